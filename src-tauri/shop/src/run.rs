//! A stage in hand or done: what was signed and measured at its steps, and its clocks.

use crate::checklist::{ClockKind, Stage, Step};
use crate::crew::{Person, Role};
use crate::difference::Difference;
use crate::event::{Correction, EventRef, FromPaper, LeadSees, Moment};
use crate::figure::KeptFigure;
use crate::ids::{ClearanceId, ClockId, PersonId, StageId, StationId, StepId, TextDigest};
use crate::rod::Reading;
use chrono::TimeDelta;
use std::collections::BTreeMap;

/// A stage in hand or done.
#[derive(Debug, Clone, PartialEq)]
pub struct StageRun {
    /// Which stage.
    pub id: StageId,
    /// The text that holds.
    pub digest: TextDigest,
    /// Where.
    pub station: StationId,
    /// When it was begun.
    pub begun: Moment,
    /// By whom.
    pub by: Option<PersonId>,
    /// When its last step was settled.
    pub finished: Option<Moment>,
    /// The texts of the products that its figures rest on.
    pub products: Vec<TextDigest>,
    /// What was done at each step.
    pub steps: BTreeMap<StepId, StepRun>,
    /// Its clocks.
    pub clocks: BTreeMap<ClockId, Clock>,
    /// The text that comes with Coldbench, where the shop's own took its place when it was begun.
    pub over_first: Option<TextDigest>,
    /// Each time it went on by another text, oldest first.
    pub moved: Vec<MovedText>,
    /// Steps that were left out because they are not for this rod, each with why in a sentence. A step
    /// is judged when it comes next, by the rod's sheet as it then stands.
    pub left_out: BTreeMap<StepId, String>,
    /// Each time somebody was called away, oldest first.
    pub away: Vec<Away>,
}

/// Somebody was called away from a step.
#[derive(Debug, Clone, PartialEq)]
pub struct Away {
    /// From which.
    pub step: StepId,
    /// Who, and when.
    pub left: Mark,
    /// Who came back, and when.
    pub back: Option<Mark>,
}

/// A stage went on by another text.
#[derive(Debug, Clone, PartialEq)]
pub struct MovedText {
    /// The text before.
    pub from: TextDigest,
    /// The text since.
    pub to: TextDigest,
    /// The text that comes with Coldbench, where the new one is the shop's own.
    pub over: Option<TextDigest>,
    /// In what it differs, as whoever signed saw it.
    pub differences: Vec<Difference>,
    /// By whom and when.
    pub mark: Mark,
}

/// What was done at a step.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct StepRun {
    /// Who understood the caution, and when.
    pub understood: Vec<Mark>,
    /// Measured values, oldest first; the last one counts.
    pub values: Vec<Value>,
    /// The lot named last.
    pub lot: Option<(String, Mark)>,
    /// Why a lead let a lot be used after its last day.
    pub lot_accepted: Option<(String, Mark)>,
    /// Who signed it as done.
    pub done: Option<Mark>,
    /// What it was copied from, where it was done away from the program.
    pub from_paper: Option<FromPaper>,
    /// The clearance under which heat was used.
    pub clearance: Option<ClearanceId>,
    /// Why a lead has to look at it, beside what its text asks; as it stood when it was signed.
    pub lead_sees: Option<LeadSees>,
    /// To whom it was presented, and by whom.
    pub presented: Vec<(PersonId, Mark)>,
    /// Who told its key point in their own words, and who heard it.
    pub told: Vec<(PersonId, Mark)>,
    /// Who witnessed it.
    pub witnessed: Option<Mark>,
    /// Notes.
    pub notes: Vec<(String, Mark)>,
    /// Every start of its clock; the last one counts.
    pub clock_starts: Vec<Clock>,
    /// What was put right after it was signed, oldest first.
    pub corrections: Vec<Corrected>,
    /// The figures that stood in it when it was signed.
    pub figures: Vec<KeptFigure>,
}

/// Something that was added to a rod's sheet, or put right on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Revised {
    /// What stood there; `None` where nothing did.
    pub was: Option<String>,
    /// What stands there now.
    pub now: String,
    /// Why; empty where something was added.
    pub reason: String,
    /// By whom and when, in which event.
    pub mark: Mark,
}

/// Something that was put right.
#[derive(Debug, Clone, PartialEq)]
pub struct Corrected {
    /// The event that is put right.
    pub event: EventRef,
    /// What that event said.
    pub was: String,
    /// What it should have said.
    pub to: Correction,
    /// Why.
    pub reason: String,
    /// By whom and when, in which event.
    pub mark: Mark,
}

/// Something at a step that can be put right.
#[derive(Debug, Clone, PartialEq)]
pub struct Correctable<'a> {
    /// The event.
    pub mark: &'a Mark,
    /// What it said, in a few words.
    pub said: String,
    /// What kind of thing it is.
    pub kind: CorrectableKind,
}

/// What kind of thing is put right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CorrectableKind {
    /// A measured value.
    Value,
    /// A lot.
    Lot,
    /// A signature or a note.
    Words,
}

/// Who and when, in which event.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// The event.
    pub event: EventRef,
    /// Who; `None` for the program.
    pub by: Option<PersonId>,
    /// When.
    pub at: Moment,
}

/// A value as measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Value {
    /// The value.
    pub reading: Reading,
    /// Whether it keeps the limits.
    pub within: bool,
    /// Who measured.
    pub mark: Mark,
    /// Why a lead accepted it all the same.
    pub accepted: Option<(String, Mark)>,
}

/// A clock that was started. What it shows follows from its start and the time now.
#[derive(Debug, Clone, PartialEq)]
pub struct Clock {
    /// What it counts.
    pub kind: ClockKind,
    /// What is shown beside it.
    pub name: String,
    /// How long it runs.
    pub minutes: u32,
    /// When and by whom it was started.
    pub started: Mark,
    /// When the step that ends it was signed.
    pub ended: Option<Moment>,
}

impl Clock {
    /// When it runs out.
    pub fn runs_out(&self) -> Moment {
        self.started.at + TimeDelta::minutes(i64::from(self.minutes))
    }

    /// Whether it has run out.
    pub fn is_over(&self, now: Moment) -> bool {
        now >= self.runs_out()
    }
}

/// Where a stage stands.
#[derive(Debug, Clone, PartialEq)]
pub enum Position<'a> {
    /// At this step (counted from 0).
    Step(usize, &'a Step),
    /// This step is signed and waits for its witness.
    Witness(usize, &'a Step),
    /// All steps are settled.
    Finished,
}

impl StageRun {
    /// When whoever was here was called away, if nobody has come back since.
    pub fn away_since(&self) -> Option<&Mark> {
        self.away.last().filter(|away| away.back.is_none()).map(|away| &away.left)
    }

    /// Where it stands.
    pub fn position<'a>(
        &self,
        stage: &'a Stage,
        crew: &BTreeMap<PersonId, Person>,
    ) -> Position<'a> {
        for (index, step) in stage.steps.iter().enumerate() {
            match self.steps.get(&step.id) {
                Some(run) if run.done.is_some() => {
                    if run.awaits_witness(step, crew) {
                        return Position::Witness(index, step);
                    }
                }
                _ if self.left_out.contains_key(&step.id) => {}
                _ => return Position::Step(index, step),
            }
        }
        Position::Finished
    }
}

impl StageRun {
    /// The clock that a step starts, if it was started for the mix at hand: where the step ends
    /// a working time, a clock older than that mix belongs to one that was thrown away.
    pub fn started_at(&self, step: &Step) -> Option<&Clock> {
        let clock = self.clocks.get(&step.starts.as_ref()?.id)?;
        let mixed = step.ends.as_ref().and_then(|ends| self.clocks.get(ends));
        mixed.is_none_or(|mixed| clock.started.at >= mixed.started.at).then_some(clock)
    }
}

impl StepRun {
    /// What was entered by a text that holds no more is kept as notes: it was judged by limits that are
    /// gone, and a caution that may read otherwise now.
    pub(crate) fn set_aside(&mut self) {
        let mut aside: Vec<(String, Mark)> = Vec::new();
        for value in self.values.drain(..) {
            aside
                .push((format!("Measured by the text before: {}", value.reading.text), value.mark));
        }
        if let Some((lot, mark)) = self.lot.take() {
            aside.push((format!("Lot named by the text before: {lot}"), mark));
        }
        self.lot_accepted = None;
        self.understood.clear();
        // Another text may have another key point.
        self.told.clear();
        self.notes.extend(aside);
    }

    /// Whether nothing was entered or signed.
    pub fn is_empty(&self) -> bool {
        self == &Self::default()
    }

    /// All that can be put right, in the order in which it was written. What was corrected can
    /// be corrected again, at its correction.
    pub fn correctables(&self) -> Vec<Correctable<'_>> {
        use CorrectableKind as Kind;
        let made = |kind, mark, said: &str| Correctable { mark, said: said.to_owned(), kind };
        let mut all: Vec<Correctable<'_>> = Vec::new();
        all.extend(self.values.iter().map(|v| made(Kind::Value, &v.mark, &v.reading.text)));
        all.extend(self.lot.iter().map(|(lot, mark)| made(Kind::Lot, mark, lot)));
        all.extend(self.done.iter().map(|mark| made(Kind::Words, mark, "did this step")));
        all.extend(
            self.witnessed.iter().map(|mark| made(Kind::Words, mark, "witnessed this step")),
        );
        all.extend(self.notes.iter().map(|(text, mark)| made(Kind::Words, mark, text)));
        all.extend(self.corrections.iter().map(|c| {
            let kind = match c.to {
                Correction::Value { .. } => Kind::Value,
                Correction::Lot { .. } => Kind::Lot,
                Correction::Words { .. } => Kind::Words,
            };
            made(kind, &c.mark, c.to.shown())
        }));
        all
    }

    /// What a value was put right to, if it was.
    pub fn corrected_value(&self, event: &EventRef) -> Option<&str> {
        let mut at = event;
        let mut text = None;
        // A correction can be corrected in its turn; each comes after what it corrects.
        for correction in &self.corrections {
            if &correction.event == at
                && let Correction::Value { .. } = &correction.to
            {
                text = Some(correction.to.shown());
                at = &correction.mark.event;
            }
        }
        text
    }

    /// Whether an event of this step was put right later.
    pub fn is_corrected(&self, event: &EventRef) -> bool {
        self.corrections.iter().any(|correction| &correction.event == event)
    }

    /// Who did the step; not always who signed it, for a lead can copy in what another did.
    pub fn doer(&self) -> Option<&PersonId> {
        let done = self.done.as_ref()?;
        self.from_paper.as_ref().map_or(done.by.as_ref(), |paper| Some(&paper.by))
    }

    /// When the step was done; not always when it was signed.
    pub fn when(&self) -> Option<Moment> {
        let done = self.done.as_ref()?;
        Some(self.from_paper.as_ref().map_or(done.at, |paper| paper.when))
    }

    /// Whether a lead still has to witness: a helper did a step that asks for it, or still learns.
    pub fn awaits_witness(&self, step: &Step, crew: &BTreeMap<PersonId, Person>) -> bool {
        if self.done.is_none() {
            return false;
        }
        let by_lead = self
            .doer()
            .and_then(|person| crew.get(person))
            .is_some_and(|person| person.role == Role::Lead);
        (step.needs_witness() || self.lead_sees.is_some()) && self.witnessed.is_none() && !by_lead
    }
}
