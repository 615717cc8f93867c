//! The checklists of a workshop, and where a rod stands with them.

use crate::checklist::{
    self, Adhesive, Checklist, Diagnostic, Glove, ListToBegin, Material, Severity, Signed, Sleeve,
    Stage, StationKind, StationList, ToBegin,
};
use crate::command::Override;
use crate::cure::{self, Ready};
use crate::difference::{Difference, differences};
use crate::event::Moment;
use crate::ids::{StageId, TextDigest};
use crate::run::{Clock, Position, StageRun};
use crate::state::{Rod, State};
use std::collections::{BTreeMap, BTreeSet};

/// A checklist file as it was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceFile {
    /// Its path, as shown to a person.
    pub path: String,
    /// SHA-256 of its bytes.
    pub digest: TextDigest,
    /// Its text; as much of it as can be shown where it is flawed.
    pub text: String,
    /// Why the text is not the file's, if so; then it is not used.
    pub flaw: Option<Flaw>,
    /// Whether it comes with Coldbench; else it is the shop's own.
    pub shipped: bool,
}

/// A checklist that can be used, and where it comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// Its id.
    pub id: String,
    /// Its kind, as its file says.
    pub kind: &'static str,
    /// Its title.
    pub title: String,
    /// The path of its file.
    pub path: String,
    /// Whether it comes with Coldbench.
    pub shipped: bool,
    /// Where the shop's own takes the place of one that comes with Coldbench: the texts of both.
    pub over: Option<OverText>,
}

/// What the shop's own text is held against.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OverText {
    /// The digest of the shop's own text.
    pub own: TextDigest,
    /// The digest of the text that comes with Coldbench.
    pub shipped: TextDigest,
    /// In what they differ; nothing where they can't be compared line by line.
    pub differences: Vec<Difference>,
}

/// Why a file gives no text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Flaw {
    /// A byte at this place of the text is no UTF-8.
    NotUtf8(usize),
    /// The system does not give the file out, with what it says.
    Unreadable(String),
}

/// What was found wrong in one file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileFindings {
    /// Its path.
    pub path: String,
    /// Its text, for showing the place.
    pub source: String,
    /// What was found.
    pub findings: Vec<Diagnostic>,
}

impl FileFindings {
    /// Whether the file can't be used.
    pub fn is_unusable(&self) -> bool {
        self.findings.iter().any(|finding| finding.severity == Severity::Error)
    }
}

/// All usable checklists; a broken file does not keep the others from loading.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Library {
    stages: Vec<Signed<Stage>>,
    lists: Vec<Signed<StationList>>,
    materials: Vec<Signed<Material>>,
    adhesives: Vec<Signed<Adhesive>>,
    sleeves: Vec<Signed<Sleeve>>,
    gloves: Vec<Signed<Glove>>,
    /// What comes with Coldbench and has given way to the shop's own.
    stages_over: BTreeMap<StageId, Signed<Stage>>,
    lists_over: BTreeMap<String, Signed<StationList>>,
    /// Every usable checklist, in the order in which their files were read.
    pub listed: Vec<Listed>,
    /// Findings by file, files without findings left out.
    pub findings: Vec<FileFindings>,
}

impl Library {
    /// Reads all files. One of the shop's own takes the place of one of the same kind and id that comes
    /// with Coldbench; a plain copy of that is passed over. Between files it is checked that ids are
    /// used once, that what a stage needs exists and leads in no circle, that its clocks follow
    /// adhesives that exist, and that gloves name materials that exist.
    pub fn load(files: impl IntoIterator<Item = SourceFile>) -> Self {
        let mut library = Self::default();
        let (shipped, own): (Vec<_>, Vec<_>) = files.into_iter().partition(|file| file.shipped);
        for file in shipped.into_iter().chain(own) {
            library.take_in(file);
        }
        library.check_needs();
        library.check_clocks();
        library.check_gloves();
        library.check_products();
        library
    }

    fn take_in(&mut self, file: SourceFile) {
        if let Some(flaw) = &file.flaw {
            let finding = flawed(&file.text, flaw);
            return self.report(file.path, file.text, vec![finding]);
        }
        let read = checklist::read(&file.text);
        let mut findings = read.findings;
        if let Some(checklist) = read.checklist {
            let known = self.listed.iter().position(|known| known.id == checklist.id());
            match known.map(|at| (at, &self.listed[at])) {
                None => self.add(&file, checklist, None),
                Some((at, other)) if other.shipped && !file.shipped => {
                    if other.kind != checklist.kind() {
                        findings.push(twice(&file.text, &checklist, other));
                    } else if self.text_of(checklist.id()).map(|(digest, _)| digest)
                        != Some(&file.digest)
                    {
                        self.take_the_place(at, &file, checklist);
                    }
                }
                Some((_, other)) => findings.push(twice(&file.text, &checklist, other)),
            }
        }
        self.report(file.path, file.text, findings);
    }

    fn add(&mut self, file: &SourceFile, checklist: Checklist, over: Option<OverText>) {
        self.listed.push(Listed {
            id: checklist.id().to_owned(),
            kind: checklist.kind(),
            title: checklist.title().to_owned(),
            path: file.path.clone(),
            shipped: file.shipped,
            over,
        });
        let (digest, source) = (file.digest.clone(), file.text.clone());
        match checklist {
            Checklist::Stage(list) => self.stages.push(Signed { digest, source, list }),
            Checklist::Station(list) => self.lists.push(Signed { digest, source, list }),
            Checklist::Material(list) => self.materials.push(Signed { digest, source, list }),
            Checklist::Adhesive(list) => self.adhesives.push(Signed { digest, source, list }),
            Checklist::Sleeve(list) => self.sleeves.push(Signed { digest, source, list }),
            Checklist::Glove(list) => self.gloves.push(Signed { digest, source, list }),
        }
    }

    /// Puts the shop's own in the place of what comes with Coldbench; a plain copy changes nothing.
    fn take_the_place(&mut self, at: usize, file: &SourceFile, checklist: Checklist) {
        fn out<T>(all: &mut Vec<Signed<T>>, is: impl Fn(&T) -> bool) -> Option<Signed<T>> {
            all.iter().position(|signed| is(&signed.list)).map(|at| all.remove(at))
        }
        let id = checklist.id().to_owned();
        let mut differ = Vec::new();
        let shipped = match &checklist {
            Checklist::Stage(own) => out(&mut self.stages, |list| list.id == own.id).map(|over| {
                differ = differences(&over.list, own);
                let digest = over.digest.clone();
                self.stages_over.insert(own.id.clone(), over);
                digest
            }),
            Checklist::Station(own) => out(&mut self.lists, |list| list.id == id).map(|over| {
                differ = differences(&over.list, own);
                let digest = over.digest.clone();
                self.lists_over.insert(id.clone(), over);
                digest
            }),
            Checklist::Material(_) => {
                out(&mut self.materials, |list| list.id == id).map(|it| it.digest)
            }
            Checklist::Adhesive(_) => {
                out(&mut self.adhesives, |list| list.id == id).map(|it| it.digest)
            }
            Checklist::Sleeve(_) => {
                out(&mut self.sleeves, |list| list.id == id).map(|it| it.digest)
            }
            Checklist::Glove(_) => out(&mut self.gloves, |list| list.id == id).map(|it| it.digest),
        };
        self.listed.remove(at);
        let over = shipped.map(|shipped| OverText {
            own: file.digest.clone(),
            shipped,
            differences: differ,
        });
        self.add(file, checklist, over);
    }

    fn report(&mut self, path: String, source: String, findings: Vec<Diagnostic>) {
        if findings.is_empty() {
            return;
        }
        match self.findings.iter_mut().find(|known| known.path == path) {
            Some(known) => known.findings.extend(findings),
            None => self.findings.push(FileFindings { path, source, findings }),
        }
    }

    /// The path of the file that gave this checklist.
    fn path_of(&self, id: &str) -> String {
        let known = self.listed.iter().find(|known| known.id == id);
        known.map_or_else(String::new, |known| known.path.clone())
    }

    /// Orders stages so that what is needed comes first; unknown needs and circles are errors.
    fn check_needs(&mut self) {
        let mut ordered: Vec<Signed<Stage>> = Vec::new();
        let mut waiting = std::mem::take(&mut self.stages);
        waiting.sort_by(|a, b| a.list.id.cmp(&b.list.id));
        let known: BTreeSet<StageId> = waiting.iter().map(|stage| stage.list.id.clone()).collect();
        let needed: BTreeSet<StageId> =
            waiting.iter().flat_map(|stage| stage.list.needs.clone()).collect();
        loop {
            let is_ready = |stage: &&Signed<Stage>| {
                stage.list.needs.iter().all(|need| ordered.iter().any(|done| &done.list.id == need))
            };
            // One that no other waits for is listed as soon as it can be done: later on it might be too
            // late for it, as for colour preserver under finish.
            let ready = waiting
                .iter()
                .position(|stage| is_ready(&stage) && !needed.contains(&stage.list.id))
                .or_else(|| waiting.iter().position(|stage| is_ready(&stage)));
            match ready {
                Some(index) => ordered.push(waiting.remove(index)),
                None => break,
            }
        }
        self.stages = ordered;
        // What is left waits for something unknown, or in a circle.
        for stage in waiting {
            let unknown = stage.list.needs.iter().find(|need| !known.contains(need));
            let finding = match unknown {
                Some(need) => between(
                    "checklist::unknown-need",
                    &stage.source,
                    need.as_str(),
                    format!("The stage needs “{need}”, and there is no usable stage with that id."),
                    "Mend that stage or its id, or take the need out.",
                ),
                None => between(
                    "checklist::needs-in-a-circle",
                    &stage.source,
                    "needs",
                    "This stage can never begin: what it needs waits, directly or in a circle, for something that can't begin."
                        .to_owned(),
                    "Follow the needs from stage to stage and take one out.",
                ),
            };
            self.drop_stage(stage, finding);
        }
    }

    /// Reports why a stage can't be used.
    fn drop_stage(&mut self, stage: Signed<Stage>, finding: Diagnostic) {
        let id = stage.list.id.as_str();
        let path = self.path_of(id);
        self.listed.retain(|known| known.id != id);
        self.report(path, stage.source, vec![finding]);
    }

    /// A clock that follows an adhesive needs its file, and a bond that must be cured needs such a
    /// clock: without them the stage could not be ended, or not be begun.
    fn check_clocks(&mut self) {
        let mut found: Vec<(StageId, Diagnostic)> = Vec::new();
        for stage in &self.stages {
            let id = &stage.list.id;
            if let Some(product) =
                stage.list.cure_products().find(|product| self.adhesive(product).is_none())
            {
                let message = format!(
                    "A clock follows “{product}”, and there is no usable adhesive file with that id."
                );
                let help = "Mend the id, or write a file for that adhesive from its sheet.";
                let mark = format!("\"{product}\"");
                let code = "checklist::unknown-adhesive";
                found.push((id.clone(), between(code, &stage.source, &mark, message, help)));
            }
            for need in &stage.list.cures {
                let follows = |made: &Signed<Stage>| made.list.cure_products().next().is_some();
                if self.stage(&need.stage).is_some_and(|made| !follows(made)) {
                    let message = format!(
                        "The bond of “{}” must be cured so far, and none of its clocks names an adhesive.",
                        need.stage
                    );
                    let help = "Give the clock there product and until, or take cured out here.";
                    let mark = format!("\"{}\"", need.stage);
                    let code = "checklist::cure-not-followed";
                    found.push((id.clone(), between(code, &stage.source, &mark, message, help)));
                }
            }
        }
        let mut dropped: Vec<StageId> = Vec::new();
        for (id, finding) in found {
            if let Some(at) = self.stages.iter().position(|stage| stage.list.id == id) {
                let stage = self.stages.remove(at);
                self.drop_stage(stage, finding);
                dropped.push(id);
            }
        }
        // What needs them can't begin either.
        if !dropped.is_empty() {
            self.check_needs();
        }
    }

    /// A glove is of use even if one of the materials it names is not there, so this is a warning:
    /// perhaps the id was mistyped, and the material counts as unknown.
    fn check_gloves(&mut self) {
        let gloves = std::mem::take(&mut self.gloves);
        for glove in &gloves {
            let path = self.path_of(&glove.list.id);
            for row in &glove.list.against {
                if self.material(&row.material).is_some() {
                    continue;
                }
                let mut finding = between(
                    "checklist::unknown-material",
                    &glove.source,
                    &format!("\"{}\"", row.material),
                    format!(
                        "The glove names “{}”, and there is no usable material with that id.",
                        row.material
                    ),
                    "Mend the id, write a file for that material, or take the entry out.",
                );
                finding.severity = Severity::Warning;
                self.report(path.clone(), glove.source.clone(), vec![finding]);
            }
        }
        self.gloves = gloves;
    }

    /// A step can be done without its figure, so this is a warning: the step will say that there is
    /// none.
    fn check_products(&mut self) {
        let mut found = Vec::new();
        for stage in &self.stages {
            let (path, text) = (self.path_of(stage.list.id.as_str()), &stage.source);
            let figures = stage.list.steps.iter().flat_map(|step| &step.figures);
            for id in figures.flat_map(|figure| figure.product.iter().chain(&figure.open)) {
                if self.product_text(id).is_some() {
                    continue;
                }
                let mut finding = between(
                    "checklist::unknown-product",
                    text,
                    &format!("\"{id}\""),
                    format!(
                        "A figure names “{id}”, and there is no usable product file with that id."
                    ),
                    "Mend the id, or write a file for that product; without it the step shows no figure.",
                );
                finding.severity = Severity::Warning;
                found.push((path.clone(), text.clone(), finding));
            }
        }
        for (path, text, finding) in found {
            self.report(path, text, vec![finding]);
        }
    }

    /// The stages, what is needed first.
    pub fn stages(&self) -> &[Signed<Stage>] {
        &self.stages
    }

    /// The stage with this id.
    pub fn stage(&self, id: &StageId) -> Option<&Signed<Stage>> {
        self.stages.iter().find(|stage| &stage.list.id == id)
    }

    /// The station checklist of this kind.
    pub fn list(&self, kind: StationKind) -> Option<&Signed<StationList>> {
        self.lists.iter().find(|list| list.list.kind == kind)
    }

    /// All station checklists.
    pub fn lists(&self) -> &[Signed<StationList>] {
        &self.lists
    }

    /// All materials, in the order of their files.
    pub fn materials(&self) -> &[Signed<Material>] {
        &self.materials
    }

    /// The material with this id.
    pub fn material(&self, id: &str) -> Option<&Signed<Material>> {
        self.materials.iter().find(|material| material.list.id == id)
    }

    /// All two-part adhesives, in the order of their files.
    pub fn adhesives(&self) -> &[Signed<Adhesive>] {
        &self.adhesives
    }

    /// The adhesive with this id.
    pub fn adhesive(&self, id: &str) -> Option<&Signed<Adhesive>> {
        self.adhesives.iter().find(|adhesive| adhesive.list.id == id)
    }

    /// All families of sleeves, in the order of their files.
    pub fn sleeves(&self) -> &[Signed<Sleeve>] {
        &self.sleeves
    }

    /// The family of sleeves with this id.
    pub fn sleeve(&self, id: &str) -> Option<&Signed<Sleeve>> {
        self.sleeves.iter().find(|sleeve| sleeve.list.id == id)
    }

    /// All kinds of glove, in the order of their files.
    pub fn gloves(&self) -> &[Signed<Glove>] {
        &self.gloves
    }

    /// The kind of glove with this id.
    pub fn glove(&self, id: &str) -> Option<&Signed<Glove>> {
        self.gloves.iter().find(|glove| glove.list.id == id)
    }

    /// The stage that comes with Coldbench, where the shop's own took its place.
    pub fn stage_over(&self, id: &StageId) -> Option<&Signed<Stage>> {
        self.stages_over.get(id)
    }

    /// The station list of this id as it may be begun.
    pub fn list_for(&self, id: &str) -> Option<ListToBegin> {
        let list = self.lists.iter().find(|list| list.list.id == id)?.clone();
        Some(ListToBegin { list, over: self.lists_over.get(id).cloned() })
    }

    /// The shop's own text of a checklist and the one that comes with Coldbench, where a lead may have to
    /// sign for what it takes away.
    pub fn override_of(&self, id: &str) -> Option<Override> {
        if let Some(shipped) = self.lists_over.get(id) {
            let own = self.lists.iter().find(|list| list.list.id == id)?;
            return Some(Override::List { own: own.clone(), shipped: shipped.clone() });
        }
        let id = StageId::new(id);
        let shipped = self.stages_over.get(&id)?;
        Some(Override::Stage { own: self.stage(&id)?.clone(), shipped: shipped.clone() })
    }

    /// How many files can be used.
    pub fn usable(&self) -> usize {
        self.listed.len()
    }

    /// The text of the checklist with this id.
    pub fn source_of(&self, id: &str) -> Option<&str> {
        self.text_of(id).map(|(_, source)| source)
    }

    /// Digest and text of the checklist with this id.
    fn text_of(&self, id: &str) -> Option<(&TextDigest, &str)> {
        fn of<T>(all: &[Signed<T>], is: impl Fn(&T) -> bool) -> Option<(&TextDigest, &str)> {
            let found = all.iter().find(|signed| is(&signed.list))?;
            Some((&found.digest, found.source.as_str()))
        }
        of(&self.stages, |list| list.id.as_str() == id)
            .or_else(|| of(&self.lists, |list| list.id == id))
            .or_else(|| of(&self.materials, |list| list.id == id))
            .or_else(|| of(&self.adhesives, |list| list.id == id))
            .or_else(|| of(&self.sleeves, |list| list.id == id))
            .or_else(|| of(&self.gloves, |list| list.id == id))
    }
}

/// An id that is used already.
fn twice(text: &str, checklist: &Checklist, other: &Listed) -> Diagnostic {
    let id = checklist.id();
    let help = if other.shipped {
        "Give this checklist an id of its own; only one of the same kind takes its place."
    } else {
        "Give this checklist an id of its own, or take one of the files away."
    };
    let message = format!("The id “{id}” is used by {} already.", other.path);
    between("checklist::id-in-two-files", text, id, message, help)
}

fn flawed(text: &str, flaw: &Flaw) -> Diagnostic {
    let (code, at, message, help) = match flaw {
        Flaw::NotUtf8(at) => (
            "checklist::not-text",
            *at,
            "A character here is not UTF-8, so the text can't be kept as it is.".to_owned(),
            "Save the file as UTF-8 text in your editor.",
        ),
        Flaw::Unreadable(words) => (
            "checklist::not-given-out",
            0,
            format!("The file can't be read: {words}."),
            "Look at its permissions, or take it away.",
        ),
    };
    let end = text.get(at..).and_then(|rest| rest.chars().next()).map_or(at, |c| at + c.len_utf8());
    Diagnostic::new(Severity::Error, code, text, at..end, message, help)
}

fn between(
    code: &'static str,
    source: &str,
    mark: &str,
    message: String,
    help: &str,
) -> Diagnostic {
    let start = source.find(mark).unwrap_or(0);
    let end = if start == 0 { 0 } else { start + mark.len() };
    Diagnostic::new(Severity::Error, code, source, start..end, message, help)
}

/// Where a rod stands with a stage.
#[derive(Debug, Clone, PartialEq)]
pub enum StageStanding {
    /// It does not apply to this rod, and why, in a sentence.
    NotApplicable(String),
    /// Other stages come first.
    Waits {
        /// Which.
        needs: Vec<StageId>,
        /// Until when it waits at the least, where only time is waited for.
        until: Option<Ready>,
    },
    /// It can be begun.
    Ready,
    /// It is in hand; the number of steps settled and of all steps.
    InHand {
        /// Steps settled.
        done: usize,
        /// All steps.
        of: usize,
        /// The wait that runs, if the next step waits for one.
        wait: Option<Wait>,
    },
    /// All steps are settled.
    Done,
}

/// A wait that runs.
#[derive(Debug, Clone, PartialEq)]
pub struct Wait {
    /// Its clock.
    pub clock: Clock,
    /// When it is over, as far as can be told now.
    pub until: Ready,
}

/// Whether a stage is out of the way for those that need it. A stage that does not apply, or
/// that the library no longer has, was never begun; the caller leaves those out of `needs`.
pub(crate) fn stage_is_satisfied(rod: &Rod, id: &StageId) -> bool {
    rod.stage(id).is_some_and(|run| run.finished.is_some())
}

/// Why a stage that was not begun is not done on this rod, in a sentence.
fn why_not(rod: &Rod, stage: &Stage) -> Option<String> {
    let left_out = rod.left_out.get(&stage.id);
    left_out
        .map(|left_out| format!("Left out by a lead: {}", left_out.reason))
        .or_else(|| stage.condition.why_not(&rod.plan))
}

/// Where a rod stands with a stage of the library.
pub fn standing(
    state: &State,
    library: &Library,
    rod: &Rod,
    stage: &Stage,
    now: Moment,
) -> StageStanding {
    if let Some(run) = rod.stage(&stage.id) {
        return standing_of(state, run, stage, now);
    }
    if let Some(why) = why_not(rod, stage) {
        return StageStanding::NotApplicable(why);
    }
    let mut until: Option<Ready> = None;
    let mut by_time_alone = true;
    let mut wait = |ready: Ready| {
        until = Some(until.map_or(ready, |until: Ready| until.later(ready)));
    };
    let mut needs = Vec::new();
    for need in library.needs_of(rod, stage) {
        if !stage_is_satisfied(rod, &need) {
            let run = rod.stage(&need);
            let stands = run.and_then(|run| {
                state.stage_text(&run.digest).map(|text| standing_of(state, run, text, now))
            });
            match stands {
                Some(StageStanding::InHand { wait: Some(found), .. }) => wait(found.until),
                // Work is to be done first: no time can be named.
                _ => by_time_alone = false,
            }
            needs.push(need);
        }
    }
    for need in &stage.cures {
        let Some(run) = rod.stage(&need.stage) else { continue };
        let Some(made) = state.stage_text(&run.digest) else { continue };
        match cure::bond_ready(state, run, made, need.until, now) {
            Some(ready) if !ready.is_reached(now) => {
                wait(ready);
                if !needs.contains(&need.stage) {
                    needs.push(need.stage.clone());
                }
            }
            _ => {}
        }
    }
    if needs.is_empty() {
        return StageStanding::Ready;
    }
    StageStanding::Waits { needs, until: until.filter(|_| by_time_alone) }
}

/// Where a stage stands that was begun. `known` is the text of the library, for want of its own.
fn standing_of(state: &State, run: &StageRun, known: &Stage, now: Moment) -> StageStanding {
    let Some(text) = state.stage_text(&run.digest) else {
        return StageStanding::InHand { done: 0, of: known.steps.len(), wait: None };
    };
    match run.position(text, &state.crew) {
        Position::Finished => StageStanding::Done,
        Position::Step(index, step) => StageStanding::InHand {
            done: index,
            of: text.steps.len(),
            wait: step
                .waits_for
                .as_ref()
                .and_then(|id| cure::wait(state, run, text, id, now))
                .filter(|(_, until)| !until.is_reached(now))
                .map(|(clock, until)| Wait { clock, until }),
        },
        Position::Witness(index, _) => {
            StageStanding::InHand { done: index, of: text.steps.len(), wait: None }
        }
    }
}

impl Library {
    /// The stages that come first for this rod: needs that don't apply to it are replaced by
    /// what they need themselves, so that leaving out a stage never leaves out the order.
    pub fn needs_of(&self, rod: &Rod, stage: &Stage) -> Vec<StageId> {
        let mut found: Vec<StageId> = Vec::new();
        let mut queue: Vec<StageId> = stage.needs.clone();
        while let Some(need) = queue.pop() {
            match self.stage(&need) {
                Some(needed)
                    if rod.stage(&need).is_none() && why_not(rod, &needed.list).is_some() =>
                {
                    queue.extend(needed.list.needs.iter().cloned());
                }
                _ if !found.contains(&need) => found.push(need),
                _ => {}
            }
        }
        found.sort();
        found
    }

    /// The stage as it may be begun on this rod: with the needs that apply to it, and the texts of
    /// the products that its figures and clocks rest on.
    pub fn stage_for(&self, rod: &Rod, id: &StageId) -> Option<ToBegin> {
        let mut stage = self.stage(id)?.clone();
        stage.list.needs = self.needs_of(rod, &stage.list);
        let products = stage.list.products().filter_map(|id| self.product_text(id)).collect();
        Some(ToBegin { stage, products, over: self.stages_over.get(id).cloned() })
    }

    /// Digest and text of a product's file: an adhesive, a sleeve, a glove or a material.
    fn product_text(&self, id: &str) -> Option<(TextDigest, String)> {
        fn text<T>(found: &Signed<T>) -> (TextDigest, String) {
            (found.digest.clone(), found.source.clone())
        }
        let technical = self.adhesive(id).map(text).or_else(|| self.sleeve(id).map(text));
        technical.or_else(|| self.glove(id).map(text)).or_else(|| self.material(id).map(text))
    }
}
