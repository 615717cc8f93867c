//! From the state of the workshop to the printed build log's plain data.

use crate::show;
use crate::views::ReelWord;
use coldbench_record as page;
use coldbench_shop::checklist::{ClockKind, Step};
use coldbench_shop::figure::{FigureRow, KeptFigure};
use coldbench_shop::layout;
use coldbench_shop::{
    Accepted, Clearance, ClearanceId, Clock, Corrected, Correction, Difference, LeadSees, Mark,
    Moment, MovedText, PartKind, PersonId, Position, Refusal, Rod, RodId, RodPlan, StageRun, State,
    StepRun, TextDigest, Value, hazard,
};
use std::collections::BTreeSet;

/// The build log of a rod as it stands in `state`, which holds at least the events of its record.
pub fn build_log(
    state: &State,
    id: &RodId,
    ledger: page::LedgerHead,
    printed: Moment,
    paper: page::Paper,
) -> Result<page::BuildLog, Refusal> {
    let rod =
        state.rods.get(id).ok_or_else(|| Refusal::Unknown { what: "rod", id: id.to_string() })?;
    let shop = state.workshop.as_ref().ok_or(Refusal::NotFounded)?;
    let used: BTreeSet<&ClearanceId> = rod
        .stages
        .iter()
        .flat_map(|run| run.steps.values())
        .filter_map(|step| step.clearance.as_ref())
        .collect();
    Ok(page::BuildLog {
        shop: shop.name.clone(),
        demo: shop.demo,
        rod: rod_sheet(state, id, rod, printed),
        stages: rod.stages.iter().filter_map(|run| stage(state, run)).collect(),
        statements: statements(state, rod),
        statements_edition: hazard::PRECAUTIONS_EDITION.to_owned(),
        left_out: rod
            .left_out
            .values()
            .map(|left_out| page::LeftOutRecord {
                title: left_out.title.clone(),
                reason: left_out.reason.clone(),
                who: show::name(state, left_out.mark.by.as_ref()),
                when: left_out.mark.at,
                event: left_out.mark.event.number,
            })
            .collect(),
        clearances: used
            .into_iter()
            .filter_map(|id| {
                let found = state.clearances.get(id)?;
                let record = clearance(state, id, found, printed);
                Some(page::ClearanceRecord { watch: watch(state, found), ..record })
            })
            .collect(),
        ledger,
        printed,
        paper,
        attached: Vec::new(),
    })
}

/// The kept layout of guides; none where there is none, or it can't be worked out any more.
fn guide_layout(state: &State, plan: &RodPlan) -> Option<page::GuideLayout> {
    let kept = plan.layout.as_deref()?;
    let units = state.workshop.as_ref().map(|shop| shop.units)?;
    let read = layout::read(plan, kept, units).ok()?;
    let worked = layout::work_out(plan, &read, units).ok()?;
    // A page is drawn again when it is verified: a tenth of a millimetre is the same everywhere.
    let tenth = |value: f64| (value * 10.0).round() / 10.0;
    let point = |(x, y): (f64, f64)| (tenth(x), tenth(y));
    let name = |number: Option<usize>| match number {
        None => "reel".to_owned(),
        Some(0) => "tip".to_owned(),
        Some(number) => number.to_string(),
    };
    let rows = worked.rows.into_iter().map(|row| page::GuideRecord {
        number: name(Some(row.number)),
        from_tip: row.from_tip,
        from_butt: row.from_butt,
        gap: row.gap,
        ring: row.ring,
        height: row.height,
        turned: row.turned,
        load: row.load,
        turn: row.turn,
        clearance: row.clearance,
        touches: row.tight,
    });
    let rings = worked.rod.rings.iter().map(|ring| page::BentRing {
        number: name(ring.number),
        from_butt_mm: tenth(ring.from_butt_mm),
        height_mm: tenth(ring.height_mm),
        foot: point(ring.foot),
        ring: point(ring.ring),
        touches: ring.tight,
    });
    let pairs = |rows: Vec<FigureRow>| rows.into_iter().map(|row| (row.label, row.value));
    Some(page::GuideLayout {
        facts: pairs(worked.facts).chain(pairs(worked.fitted)).collect(),
        rows: rows.collect(),
        warnings: worked.warnings,
        source: layout::SOURCE.to_owned(),
        curve: page::BentRod {
            length_mm: tenth(worked.rod.length_mm),
            axis: worked.rod.axis.iter().copied().map(point).collect(),
            rings: rings.collect(),
            load: worked.rod.load,
        },
    })
}

/// The sheet of a rod as it is printed.
pub fn rod_sheet(state: &State, id: &RodId, rod: &Rod, now: Moment) -> page::RodSheet {
    let plan = &rod.plan;
    page::RodSheet {
        id: id.to_string(),
        title: plan.title.clone(),
        customer: plan.customer.clone(),
        wishes: plan.wishes.clone(),
        reel: reel_words(plan.reel.into()).to_owned(),
        blank: plan.blank.clone(),
        length_mm: plan.length.value,
        length_text: plan.length.text.clone(),
        joins_mm: plan.joins.iter().map(|join| join.value).collect(),
        stations: plan
            .diameters
            .iter()
            .map(|row| page::Station {
                from_butt_mm: row.from_butt.value,
                diameter_mm: row.diameter.value,
                from_butt_text: row.from_butt.text.clone(),
                diameter_text: row.diameter.text.clone(),
            })
            .collect(),
        parts: plan
            .parts
            .iter()
            .map(|part| {
                let bore = part
                    .bore
                    .as_ref()
                    .map_or_else(String::new, |bore| format!("; bore {}", bore.shown()));
                let words = format!("{}{bore}", part.description);
                (show::part_words(part.kind).to_owned(), words)
            })
            .collect(),
        fitted: plan
            .parts
            .iter()
            .map(|part| page::Fitted {
                label: show::part_words(part.kind).to_owned(),
                from_mm: part.from_mm,
                to_mm: part.to_mm,
                diameter_mm: part.diameter_mm,
                state: part_state(state, rod, part.kind, now),
            })
            .collect(),
        revisions: rod
            .revisions
            .iter()
            .map(|revised| page::RevisionRecord {
                was: revised.was.clone(),
                now: revised.now.clone(),
                reason: revised.reason.clone(),
                who: show::name(state, revised.mark.by.as_ref()),
                when: revised.mark.at,
                event: revised.mark.event.number,
            })
            .collect(),
        layout: guide_layout(state, plan),
    }
}

/// How far a part has come, by the stage that works on it.
fn part_state(state: &State, rod: &Rod, kind: PartKind, now: Moment) -> page::PartState {
    let works_on = |run: &&StageRun| {
        state.stage_text(&run.digest).is_some_and(|stage| stage.part == Some(kind))
    };
    let Some(run) = rod.stages.iter().find(works_on) else { return page::PartState::ToCome };
    if run.finished.is_some() {
        return page::PartState::Done;
    }
    let waits =
        state.stage_text(&run.digest).and_then(|stage| match run.position(stage, &state.crew) {
            Position::Step(_, step) => step.waits_for.as_ref(),
            _ => None,
        });
    match waits.and_then(|id| run.clocks.get(id)) {
        // What waits for a watch after heat cures no more.
        Some(clock) if clock.kind == ClockKind::Cure && !clock.is_over(now) => {
            page::PartState::Curing
        }
        _ => page::PartState::ToCome,
    }
}

fn reel_words(reel: ReelWord) -> &'static str {
    match reel {
        ReelWord::Spinning => "Spinning",
        ReelWord::Casting => "Casting",
        ReelWord::Conventional => "Conventional",
        ReelWord::Fly => "Fly",
    }
}

fn stage(state: &State, run: &StageRun) -> Option<page::StageRecord> {
    let text = state.stage_text(&run.digest)?;
    let station = state.stations.get(&run.station);
    Some(page::StageRecord {
        title: text.title.clone(),
        checklist: text.id.to_string(),
        revised: text.revised.clone(),
        sha256: run.digest.to_string(),
        station: station.map_or_else(|| run.station.to_string(), |s| s.name.clone()),
        begun: run.begun,
        finished: run.finished,
        steps: text
            .steps
            .iter()
            .enumerate()
            .map(|(index, step)| one_step(state, run, index, step))
            .collect(),
        texts: texts(state, run),
    })
}

/// What official statements ask with each hazard that a stage of the rod names, each hazard once.
fn statements(state: &State, rod: &Rod) -> Vec<(String, Vec<String>)> {
    let stages = rod.stages.iter().filter_map(|run| state.stage_text(&run.digest));
    let named: BTreeSet<&str> = stages
        .flat_map(|stage| &stage.steps)
        .flat_map(|step| &step.hazards)
        .map(String::as_str)
        .collect();
    named
        .into_iter()
        .map(|code| (hazard_words(code), hazard::precautions([code])))
        .filter(|(_, precautions)| !precautions.is_empty())
        .collect()
}

/// What is to be said about the texts a stage went by, oldest first.
fn texts(state: &State, run: &StageRun) -> Vec<page::TextRecord> {
    let first = run.moved.first().map_or(&run.digest, |moved| &moved.from);
    let own = |digest: &TextDigest, over: &TextDigest| {
        match state.accepted.get(&(digest.clone(), over.clone())) {
            Some(accepted) => signed_for(state, over, accepted),
            None => page::TextRecord {
                what: "The shop's own text, in place of the one that comes with Coldbench. It takes no guard away."
                    .to_owned(),
                other_sha256: over.to_string(),
                lines: Vec::new(),
                reason: String::new(),
                signed: None,
            },
        }
    };
    let moved = |moved: &MovedText| page::TextRecord {
        what: "The stage went on by another text.".to_owned(),
        other_sha256: moved.from.to_string(),
        lines: moved.differences.iter().map(Difference::words).collect(),
        reason: String::new(),
        signed: Some(signed_by(state, &moved.mark)),
    };
    let mut all: Vec<page::TextRecord> = Vec::new();
    all.extend(run.over_first.as_ref().map(|over| own(first, over)));
    for text in &run.moved {
        all.push(moved(text));
        all.extend(text.over.as_ref().map(|over| own(&text.to, over)));
    }
    all
}

/// A text of the shop's own that takes guards away, and the lead who signed for it.
fn signed_for(state: &State, over: &TextDigest, accepted: &Accepted) -> page::TextRecord {
    page::TextRecord {
        what:
            "The shop's own text, in place of the one that comes with Coldbench, takes guards away."
                .to_owned(),
        other_sha256: over.to_string(),
        lines: accepted.takes_away.iter().map(Difference::words).collect(),
        reason: accepted.reason.clone(),
        signed: Some(signed_by(state, &accepted.mark)),
    }
}

fn signed_by(state: &State, mark: &Mark) -> (String, u64, Moment) {
    (show::name(state, mark.by.as_ref()), mark.event.number, mark.at)
}

/// Who was called away at a step, and who came back.
fn interruptions(state: &State, run: &StageRun, step: &Step) -> Vec<page::Note> {
    let line = |mark: &Mark, text: &str| page::Note {
        who: show::name(state, mark.by.as_ref()),
        when: mark.at,
        text: text.to_owned(),
    };
    run.away
        .iter()
        .filter(|away| away.step == step.id)
        .flat_map(|away| {
            let back = "Back at this step, after a look at the last one that was done.";
            [
                Some(line(&away.left, "Called away from this step; its clocks went on.")),
                away.back.as_ref().map(|mark| line(mark, back)),
            ]
        })
        .flatten()
        .collect()
}

fn one_step(state: &State, run: &StageRun, index: usize, step: &Step) -> page::StepRecord {
    let empty = StepRun::default();
    let done = run.steps.get(&step.id).unwrap_or(&empty);
    let signed = |mark: &Mark, meaning: &str| signature(state, mark, meaning);
    let repeated = step.record.as_ref().is_some_and(|record| record.repeat > 1);
    let last = done.values.len().saturating_sub(1);
    page::StepRecord {
        number: u32::try_from(index + 1).unwrap_or(u32::MAX),
        what: step.what.clone(),
        key_point: step.key_point.clone(),
        reason: step.reason.clone(),
        hazards: step.hazards.iter().map(|code| hazard_words(code)).collect(),
        caution: step.caution.clone(),
        acknowledged: done
            .understood
            .iter()
            .map(|mark| signed(mark, "read and understood the caution"))
            .collect(),
        values: done
            .values
            .iter()
            .enumerate()
            .map(|(n, value)| page::ValueRecord {
                corrected: done.is_corrected(&value.mark.event),
                // What is measured several times counts each time.
                ..value_record(state, step, value, n < last && !repeated)
            })
            .collect(),
        figures: done.figures.iter().map(figure_record).collect(),
        clocks: done.clock_starts.iter().map(|clock| clock_record(state, clock)).collect(),
        lots: done
            .lot
            .iter()
            .map(|(lot, _)| (step.lot.clone().unwrap_or_default(), lot_words(state, lot, done)))
            .collect(),
        notes: done
            .notes
            .iter()
            .map(|(text, mark)| page::Note {
                who: show::name(state, mark.by.as_ref()),
                when: mark.at,
                text: text.clone(),
            })
            .collect(),
        interruptions: interruptions(state, run, step),
        corrections: done
            .corrections
            .iter()
            .map(|corrected| correction_record(state, step, corrected))
            .collect(),
        signatures: signatures(state, done),
        from_paper: done
            .from_paper
            .as_ref()
            .map(|paper| (show::name(state, Some(&paper.by)), paper.when)),
        clearance: done.clearance.as_ref().map(ToString::to_string),
        left_out: run.left_out.get(&step.id).cloned().unwrap_or_default(),
        state: if run.left_out.contains_key(&step.id) {
            page::StepState::LeftOut
        } else if done.done.is_some() && !done.awaits_witness(step, &state.crew) {
            page::StepState::Signed
        } else {
            page::StepState::Open
        },
    }
}

/// Who signed what of a step: how it was taught there, that it was done, and that a lead looked, and why
/// where the step's text asks for no witness.
fn signatures(state: &State, done: &StepRun) -> Vec<page::Signature> {
    let signed = |mark: &Mark, meaning: &str| signature(state, mark, meaning);
    let taught = |(learner, mark): &(PersonId, Mark), words: [&str; 2]| {
        let learner = show::name(state, Some(learner));
        signed(mark, &format!("{} {learner}{}", words[0], words[1]))
    };
    let presented =
        done.presented.iter().map(|shown| taught(shown, ["presented this step to", ""]));
    let told = done.told.iter().map(|told| taught(told, ["heard", " tell its key point"]));
    let did = match (&done.from_paper, &done.done) {
        (Some(paper), Some(mark)) if mark.by.as_ref() != Some(&paper.by) => {
            "copied this step from paper"
        }
        _ => "did this step",
    };
    let doer = || show::name(state, done.doer());
    let witnessed = match done.lead_sees {
        Some(LeadSees::TryingOut) => format!("witnessed this step, tried out by {}", doer()),
        Some(LeadSees::FollowUp) => {
            format!("witnessed this step and lets {} do the stage alone", doer())
        }
        Some(LeadSees::HandOver) | None => "witnessed this step".to_owned(),
    };
    let signed_off = done.done.iter().map(|mark| signed(mark, did));
    let seen = done.witnessed.iter().map(|mark| signed(mark, &witnessed));
    presented.chain(told).chain(signed_off).chain(seen).collect()
}

/// A figure as it is printed.
pub fn figure_record(figure: &KeptFigure) -> page::FigureRecord {
    page::FigureRecord {
        title: figure.title.clone(),
        rows: figure.rows.iter().map(|row| (row.label.clone(), row.value.clone())).collect(),
        beside: figure.missing.iter().chain(&figure.warnings).cloned().collect(),
        source: figure.source.clone(),
    }
}

/// The lot as it was named, with what is registered of it.
fn lot_words(state: &State, named: &str, done: &StepRun) -> String {
    let mut words = named.to_owned();
    for (_, lot) in state.lots_named(named) {
        let until = lot.expires.map_or_else(
            || "no last day on the container".to_owned(),
            |expires| format!("good until {expires}"),
        );
        words = format!("{words}; {}: {}, {until}", lot.marking, lot.what);
    }
    if let Some((reason, mark)) = &done.lot_accepted {
        let who = show::name(state, mark.by.as_ref());
        words = format!("{words}; used after its last day: {reason} ({who})");
    }
    words
}

fn correction_record(state: &State, step: &Step, corrected: &Corrected) -> page::CorrectionRecord {
    let named = |text: &str| match &corrected.to {
        Correction::Value { .. } => {
            let name = step.record.as_ref().map_or("Value", |record| record.name.as_str());
            format!("{name}: {text}")
        }
        Correction::Lot { .. } => {
            format!("{}: {text}", step.lot.as_deref().unwrap_or("Lot"))
        }
        Correction::Words { .. } => text.to_owned(),
    };
    let outside = match &corrected.to {
        Correction::Value { within: false, .. } => " (outside its limits)",
        _ => "",
    };
    page::CorrectionRecord {
        event: corrected.event.number,
        what: named(&corrected.was),
        says: format!("{}{outside}", named(corrected.to.shown())),
        reason: corrected.reason.clone(),
        who: show::name(state, corrected.mark.by.as_ref()),
        when: corrected.mark.at,
        by_event: corrected.mark.event.number,
    }
}

/// A hazard as it is printed: an official code is quoted beside its words.
pub fn hazard_words(code: &str) -> String {
    let words = hazard::words(code).unwrap_or("Unknown hazard.");
    // Our own short codes say nothing that the words don't; an official code is quoted.
    if code.starts_with(['H', 'E']) { format!("{code} {words}") } else { words.to_owned() }
}

fn signature(state: &State, mark: &Mark, meaning: &str) -> page::Signature {
    let role = mark.by.as_ref().and_then(|person| state.crew.get(person));
    page::Signature {
        who: show::name(state, mark.by.as_ref()),
        role: role.map_or("program", |person| person.role.words()).to_owned(),
        meaning: meaning.to_owned(),
        when: mark.at,
    }
}

fn value_record(state: &State, step: &Step, value: &Value, replaced: bool) -> page::ValueRecord {
    let record = step.record.as_ref();
    page::ValueRecord {
        name: record.map(|record| record.name.clone()).unwrap_or_default(),
        entered: value.reading.text.clone(),
        limits: record.map(|record| record.limits.clone()).unwrap_or_default(),
        within: value.within,
        accepted: value
            .accepted
            .as_ref()
            .map(|(reason, mark)| format!("{reason} ({})", show::name(state, mark.by.as_ref()))),
        replaced,
        corrected: false,
        who: show::name(state, value.mark.by.as_ref()),
        when: value.mark.at,
    }
}

fn clock_record(state: &State, clock: &Clock) -> page::ClockRecord {
    page::ClockRecord {
        name: clock.name.clone(),
        kind: match clock.kind {
            ClockKind::WorkingTime => "working time",
            ClockKind::Cure => "cure",
            ClockKind::GloveChange => "glove change",
            ClockKind::Watch => "watch after heat",
        }
        .to_owned(),
        minutes: clock.minutes,
        begun: clock.started.at,
        who: show::name(state, clock.started.by.as_ref()),
    }
}

/// A clearance as it is printed.
pub fn clearance(
    state: &State,
    id: &ClearanceId,
    clearance: &Clearance,
    now: Moment,
) -> page::ClearanceRecord {
    let station = state.stations.get(&clearance.station);
    let lapsed = clearance.lapsed || now >= clearance.until;
    page::ClearanceRecord {
        reference: id.to_string(),
        station: station.map_or_else(|| clearance.station.to_string(), |s| s.name.clone()),
        granted: clearance.granted,
        until: clearance.until,
        granted_by: show::name(state, clearance.by.as_ref()),
        watcher: show::name(state, Some(&clearance.watcher)),
        ended: clearance
            .withdrawn
            .map(|(at, cause)| (at, cause.words().to_owned()))
            .or_else(|| lapsed.then(|| (clearance.until, "It lapsed.".to_owned()))),
        vapour: clearance.vapour.words(),
        checks: checks(state, clearance),
        text: state
            .accepted
            .iter()
            .find(|((own, _), _)| *own == clearance.digest)
            .map(|((_, over), accepted)| signed_for(state, over, accepted)),
        watcher_held_gun: under(state, id).any(|did| {
            did.done.as_ref().is_some_and(|mark| mark.by.as_ref() == Some(&clearance.watcher))
        }),
        watch: None,
    }
}

/// What was done at each step that used heat under a clearance.
fn under<'a>(state: &'a State, id: &'a ClearanceId) -> impl Iterator<Item = &'a StepRun> {
    let runs = state.rods.values().flat_map(|rod| &rod.stages).flat_map(|run| run.steps.values());
    runs.filter(move |did| did.clearance.as_ref() == Some(id))
}

/// The watch after the last heat under a clearance; `None` where no heat was used.
pub fn watch(state: &State, clearance: &Clearance) -> Option<page::Watch> {
    Some(page::Watch {
        last_heat: clearance.last_heat?,
        until: clearance.watch_until()?,
        kept: clearance.watched.as_ref().map(|mark| (mark.at, show::name(state, mark.by.as_ref()))),
    })
}

/// The answers in the order in which the checklist asks for them.
fn checks(state: &State, clearance: &Clearance) -> Vec<page::CheckRecord> {
    let Some(list) = state.list_text(&clearance.digest) else { return Vec::new() };
    list.checks
        .iter()
        .filter_map(|check| {
            let answered = clearance.answers.get(&check.id)?;
            Some(page::CheckRecord {
                what: check.ask.clone(),
                answer: answered.shown.clone(),
                who: show::name(state, answered.by.as_ref()),
                when: answered.at,
            })
        })
        .collect()
}
