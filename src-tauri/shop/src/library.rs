//! The checklists of a workshop, and where a rod stands with them.

use crate::checklist::{
    self, Adhesive, Checklist, Diagnostic, Glove, Material, Severity, Signed, Sleeve, Stage,
    StationKind, StationList, ToBegin,
};
use crate::event::Moment;
use crate::ids::{StageId, TextDigest};
use crate::run::{Clock, Position};
use crate::state::{Rod, State};
use std::collections::BTreeMap;

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
    /// Findings by file, files without findings left out.
    pub findings: Vec<FileFindings>,
}

impl Library {
    /// Reads all files. Between files it is checked that ids are used once, that what a stage needs
    /// exists and leads in no circle, and that gloves name materials that exist.
    pub fn load(files: impl IntoIterator<Item = SourceFile>) -> Self {
        let mut library = Self::default();
        let mut paths: BTreeMap<String, String> = BTreeMap::new();
        let mut stage_files: BTreeMap<StageId, (String, String)> = BTreeMap::new();
        for file in files {
            if let Some(flaw) = &file.flaw {
                let finding = flawed(&file.text, flaw);
                library.report(file.path, file.text, vec![finding]);
                continue;
            }
            let read = checklist::read(&file.text);
            let mut findings = read.findings;
            if let Some(checklist) = read.checklist {
                let id = checklist.id().to_owned();
                if let Some(other) = paths.get(&id) {
                    findings.push(between(
                        "checklist::id-in-two-files",
                        &file.text,
                        &id,
                        format!("The id “{id}” is used by {other} already."),
                        "Give this checklist an id of its own, or take one of the files away.",
                    ));
                } else {
                    paths.insert(id, file.path.clone());
                    let (digest, source) = (file.digest, file.text.clone());
                    match checklist {
                        Checklist::Stage(list) => {
                            stage_files
                                .insert(list.id.clone(), (file.path.clone(), file.text.clone()));
                            library.stages.push(Signed { digest, source, list });
                        }
                        Checklist::Station(list) => {
                            library.lists.push(Signed { digest, source, list });
                        }
                        Checklist::Material(list) => {
                            library.materials.push(Signed { digest, source, list });
                        }
                        Checklist::Adhesive(list) => {
                            library.adhesives.push(Signed { digest, source, list });
                        }
                        Checklist::Sleeve(list) => {
                            library.sleeves.push(Signed { digest, source, list });
                        }
                        Checklist::Glove(list) => {
                            library.gloves.push(Signed { digest, source, list });
                        }
                    }
                }
            }
            library.report(file.path, file.text, findings);
        }
        library.check_needs(&stage_files);
        library.check_gloves(&paths);
        library.check_products(&stage_files);
        library
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

    /// Orders stages so that what is needed comes first; unknown needs and circles are errors.
    fn check_needs(&mut self, files: &BTreeMap<StageId, (String, String)>) {
        let mut ordered: Vec<Signed<Stage>> = Vec::new();
        let mut waiting = std::mem::take(&mut self.stages);
        waiting.sort_by(|a, b| a.list.id.cmp(&b.list.id));
        loop {
            let ready = waiting.iter().position(|stage| {
                stage.list.needs.iter().all(|need| ordered.iter().any(|done| &done.list.id == need))
            });
            match ready {
                Some(index) => ordered.push(waiting.remove(index)),
                None => break,
            }
        }
        self.stages = ordered;
        // What is left waits for something unknown, or in a circle.
        for stage in waiting {
            let Some((path, text)) = files.get(&stage.list.id) else { continue };
            let unknown = stage.list.needs.iter().find(|need| !files.contains_key(need));
            let finding = match unknown {
                Some(need) => between(
                    "checklist::unknown-need",
                    text,
                    need.as_str(),
                    format!("The stage needs “{need}”, and there is no usable stage with that id."),
                    "Mend that stage or its id, or take the need out.",
                ),
                None => between(
                    "checklist::needs-in-a-circle",
                    text,
                    "needs",
                    "This stage can never begin: what it needs waits, directly or in a circle, for something that can't begin."
                        .to_owned(),
                    "Follow the needs from stage to stage and take one out.",
                ),
            };
            self.report(path.clone(), text.clone(), vec![finding]);
        }
    }

    /// A glove is of use even if one of the materials it names is not there, so this is a warning:
    /// perhaps the id was mistyped, and the material counts as unknown.
    fn check_gloves(&mut self, paths: &BTreeMap<String, String>) {
        let gloves = std::mem::take(&mut self.gloves);
        for glove in &gloves {
            let Some(path) = paths.get(&glove.list.id) else { continue };
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
    fn check_products(&mut self, files: &BTreeMap<StageId, (String, String)>) {
        let mut found = Vec::new();
        for stage in &self.stages {
            let Some((path, text)) = files.get(&stage.list.id) else { continue };
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

    /// How many files can be used.
    pub fn usable(&self) -> usize {
        let of_builds = self.stages.len() + self.lists.len() + self.materials.len();
        of_builds + self.adhesives.len() + self.sleeves.len() + self.gloves.len()
    }
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
    /// It does not apply to this rod.
    NotApplicable,
    /// Other stages come first.
    Waits {
        /// Which.
        needs: Vec<StageId>,
    },
    /// It can be begun.
    Ready,
    /// It is in hand; the number of steps signed and of all steps.
    InHand {
        /// Steps signed.
        done: usize,
        /// All steps.
        of: usize,
        /// The wait that runs, if the next step waits for one.
        wait: Option<Clock>,
    },
    /// All steps are settled.
    Done,
}

/// Whether a stage is out of the way for those that need it. A stage that does not apply, or
/// that the library no longer has, was never begun; the caller leaves those out of `needs`.
pub(crate) fn stage_is_satisfied(rod: &Rod, id: &StageId) -> bool {
    rod.stage(id).is_some_and(|run| run.finished.is_some())
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
        let Some(text) = state.stage_text(&run.digest) else {
            return StageStanding::InHand { done: 0, of: stage.steps.len(), wait: None };
        };
        return match run.position(text, &state.crew) {
            Position::Finished => StageStanding::Done,
            Position::Step(index, step) => StageStanding::InHand {
                done: index,
                of: text.steps.len(),
                wait: step
                    .waits_for
                    .as_ref()
                    .and_then(|id| run.clocks.get(id))
                    .filter(|clock| !clock.is_over(now))
                    .cloned(),
            },
            Position::Witness(index, _) => {
                StageStanding::InHand { done: index, of: text.steps.len(), wait: None }
            }
        };
    }
    if !stage.condition.holds(&rod.plan) {
        return StageStanding::NotApplicable;
    }
    let needs: Vec<StageId> = library
        .needs_of(rod, stage)
        .into_iter()
        .filter(|need| !stage_is_satisfied(rod, need))
        .collect();
    if needs.is_empty() { StageStanding::Ready } else { StageStanding::Waits { needs } }
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
                    if !needed.list.condition.holds(&rod.plan) && rod.stage(&need).is_none() =>
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
    /// the products that its figures rest on.
    pub fn stage_for(&self, rod: &Rod, id: &StageId) -> Option<ToBegin> {
        let mut stage = self.stage(id)?.clone();
        stage.list.needs = self.needs_of(rod, &stage.list);
        let named = stage.list.steps.iter().flat_map(|step| &step.figures);
        let products = named
            .flat_map(|figure| figure.product.iter().chain(&figure.open))
            .filter_map(|id| self.product_text(id))
            .collect();
        Some(ToBegin { stage, products })
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
