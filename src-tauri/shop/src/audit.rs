//! Going through events that were stored and asking of each whether it could be: whether whoever
//! signed had the right to, and whether it came in its turn.
//!
//! The ledger shows that nothing was changed. This shows that what stands there was not written
//! past the rules. It asks only what will always have to hold, not every rule of today: a record
//! must not fall because a later Coldbench is stricter.

use crate::checklist::{StationKind, Step};
use crate::crew::Role;
use crate::event::{Event, FromPaper, Happened, Moment, StepPlace, WithdrawalCause};
use crate::ids::{ClearanceId, PersonId, StationId, TextDigest};
use crate::run::Position;
use crate::state::State;
use crate::subject::CREW;
use std::collections::BTreeMap;

/// An event to be looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Audited<'a> {
    /// One with its content.
    Whole(&'a Happened),
    /// One of which only the subject can be read.
    Folded(&'a str),
    /// One of the ledger's own.
    Own,
}

/// The first event that could not be, and why.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("Event {number} does not hold: {why}")]
pub struct AuditFault {
    /// Its number.
    pub number: u64,
    /// Why, in words.
    pub why: String,
}

/// Goes through the events of one origin, from the first, and gives the state they come to.
/// `sha256` is the hash by which texts are kept, as 64 hex digits.
pub fn audit<'a>(
    events: impl IntoIterator<Item = Audited<'a>>,
    sha256: impl Fn(&[u8]) -> String,
) -> Result<State, AuditFault> {
    let mut auditor = Auditor {
        state: State::default(),
        folded: BTreeMap::new(),
        lists: BTreeMap::new(),
        granted: BTreeMap::new(),
    };
    for (audited, number) in events.into_iter().zip(1..) {
        match audited {
            Audited::Own => {}
            Audited::Folded(CREW) => {
                let why = "it is about the crew, and its content was left out.".to_owned();
                return Err(AuditFault { number, why });
            }
            Audited::Folded(subject) => {
                auditor.folded.insert(subject, number);
            }
            Audited::Whole(happened) => {
                auditor
                    .look_at(happened, &sha256)
                    .map_err(|why| AuditFault { number, why: why.to_owned() })?;
                auditor.note(happened, number);
                auditor.state.evolve(happened);
            }
        }
    }
    Ok(auditor.state)
}

struct Auditor<'a> {
    state: State,
    /// The last folded event of each subject.
    folded: BTreeMap<&'a str, u64>,
    /// Where the checklist in hand at each station was begun.
    lists: BTreeMap<&'a StationId, u64>,
    /// The same for each clearance that was given at the end of one.
    granted: BTreeMap<&'a ClearanceId, u64>,
}

type Answer = Result<(), &'static str>;

fn that(holds: bool, why: &'static str) -> Answer {
    if holds { Ok(()) } else { Err(why) }
}

impl<'a> Auditor<'a> {
    fn note(&mut self, happened: &'a Happened, number: u64) {
        match &happened.event {
            Event::ListBegun { station, .. } => {
                self.lists.insert(station, number);
            }
            Event::ClearanceGranted { clearance, station, .. } => {
                let first = self.lists.get(station).copied().unwrap_or(number);
                self.granted.insert(clearance, first);
            }
            _ => {}
        }
    }

    #[expect(clippy::too_many_lines, reason = "one short arm for each event, in one place")]
    fn look_at(&self, happened: &Happened, sha256: &impl Fn(&[u8]) -> String) -> Answer {
        let Happened { at, person, event, .. } = happened;
        let behind = self.state.clock_is_behind(*at) && !self.state.clock_behind;
        that(
            !behind || matches!(event, Event::ClockWentBack { .. }),
            "its time lies before that of an earlier event, and nothing notes that the clock went back.",
        )?;
        let Some(person) = person else { return self.by_program(event) };
        let signer = self.state.crew.get(person).ok_or("it was signed by nobody of the crew.")?;
        that(signer.present, "it was signed by somebody who had left the crew.")?;
        let lead = signer.role == Role::Lead;
        match event {
            Event::WorkshopFounded { .. } | Event::ClockWentBack { .. } => {
                Err("only the program itself can note this, and a person signed it.")
            }
            Event::PersonJoined { person, .. } => {
                that(lead, "only a lead can add a person to the crew.")?;
                that(!self.state.crew.contains_key(person), "the person's id was used before.")
            }
            Event::PersonLeft { .. } => that(lead, "only a lead can take a person off the crew."),
            Event::KeyRenewed { person: whose } => {
                that(lead || whose == person, "only a lead can give another person a new key.")
            }
            Event::StationAdded { .. } => that(lead, "only a lead can set up a station."),
            Event::RoomMeasured { .. } => that(lead, "only a lead can set down a room's volume."),
            Event::UnitsChosen { .. } => that(lead, "only a lead can choose the units."),
            Event::RodRevised { rod, change, .. } => {
                let rod = self.state.rods.get(rod).ok_or("the rod it changes was not begun.")?;
                that(rod.plan.changed(change).is_some(), "what it changes is not there.")?;
                that(
                    !change.is_correction() || lead || rod.by.as_ref() == Some(person),
                    "only a lead can put right what another person wrote of a rod.",
                )
            }
            Event::OverrideAccepted { .. } => {
                that(lead, "only a lead can let the shop's own text take a guard away.")
            }
            Event::StageLeftOut { rod, stage, .. } => {
                that(lead, "only a lead can leave a stage out.")?;
                let rod = self.state.rods.get(rod).ok_or("the rod it is about was not begun.")?;
                that(rod.stage(stage).is_none(), "the stage was begun already.")
            }
            Event::ListBegun { digest, over, from_paper, .. } => {
                self.copied(person, lead, from_paper.as_ref(), *at)?;
                let clears = self.state.list_text(digest);
                let clears = clears.is_some_and(|list| list.kind == StationKind::HeatClearance);
                that(!clears || from_paper.is_none(), "heat was cleared by paper alone.")?;
                over.as_ref().map_or(Ok(()), |over| self.own_list(digest, over))
            }
            Event::StageBegun { digest, over: Some(over), .. } => self.own_text(digest, over),
            Event::StageMoved { rod, stage, digest, over, .. } => {
                that(lead, "only a lead can let a stage go on by another text.")?;
                if let Some(over) = over {
                    self.own_text(digest, over)?;
                }
                let run = self.state.rods.get(rod).and_then(|rod| rod.stage(stage));
                let run = run.ok_or("its stage was not begun.")?;
                let text = self.state.stage_text(digest).ok_or("its new text is not there.")?;
                let mut signed = run.steps.iter().filter(|(_, step)| step.done.is_some());
                that(
                    run.finished.is_none() && signed.all(|(id, _)| text.step(id).is_some()),
                    "a step that was signed is not in the new text of its stage.",
                )
            }
            Event::ClearanceGranted { .. } => {
                that(lead, "only a lead can give a clearance for heat.")
            }
            Event::ValueAccepted { .. } => {
                that(lead, "only a lead can accept a value outside its limits.")
            }
            Event::ExpiredLotAccepted { .. } => {
                that(lead, "only a lead can let a lot be used after its last day.")
            }
            Event::TextKept { digest, text } => that(
                sha256(text.as_bytes()) == digest.as_str(),
                "the text of the checklist is not the one its digest stands for.",
            ),
            Event::CameBack { at: place } => {
                let run = self.state.rods.get(&place.rod).and_then(|rod| rod.stage(&place.stage));
                let away = run.is_some_and(|run| run.away_since().is_some());
                that(away, "nobody was away from the step they came back to.")
            }
            Event::ValueMeasured { when: Some(when), .. }
            | Event::ClockStarted { when: Some(when), .. } => {
                that(when <= at, "the sheet it is copied from was written later.")
            }
            Event::StepDone { at: place, clearance, from_paper, .. } => {
                self.copied(person, lead, from_paper.as_ref(), *at)?;
                that(
                    clearance.is_none() || from_paper.is_none(),
                    "heat was copied in from paper.",
                )?;
                self.step_done(person, place, clearance.as_ref(), *at)
            }
            Event::TeachingAsked { .. } => that(lead, "only a lead can say how a stage is taught."),
            Event::StepPresented { at: place, learner }
            | Event::KeyPointsTold { at: place, learner } => self.taught(lead, place, learner),
            Event::StepWitnessed { at: place } => {
                that(lead, "only a lead can witness a step.")?;
                self.step_witnessed(person, place)
            }
            Event::Corrected { at: place, corrects, .. } => {
                let run = self.state.rods.get(&place.rod).and_then(|rod| rod.stage(&place.stage));
                let step = run.and_then(|run| run.steps.get(&place.step));
                let found = step.and_then(|step| {
                    step.correctables().into_iter().find(|c| c.mark.event == *corrects)
                });
                let found = found.ok_or("what it corrects is not there.")?;
                that(
                    lead || found.mark.by.as_ref() == Some(person),
                    "only a lead can correct what another person signed.",
                )
            }
            _ => Ok(()),
        }
    }

    /// What was written by hand was written before, and by whoever copies it in unless a lead does.
    fn copied(
        &self,
        person: &PersonId,
        lead: bool,
        paper: Option<&FromPaper>,
        at: Moment,
    ) -> Answer {
        let Some(paper) = paper else { return Ok(()) };
        that(paper.when <= at, "the sheet it is copied from was written later.")?;
        that(self.state.crew.contains_key(&paper.by), "nobody of the crew filled in its sheet.")?;
        that(lead || paper.by == *person, "only a lead can copy in what another person did.")
    }

    /// The shop's own text of a stage keeps every caution, hold point and mark of heat, or a lead signed
    /// for it. What else a later Coldbench counts as a guard is no matter here.
    fn own_text(&self, own: &TextDigest, over: &TextDigest) -> Answer {
        let text =
            |digest| self.state.stage_text(digest).ok_or("the text of its stage is not there.");
        let (older, newer) = (text(over)?, text(own)?);
        let lost = older.steps.iter().any(|step| {
            let kept = newer.step(&step.id);
            let keeps = |guard: fn(&Step) -> bool| !guard(step) || kept.is_some_and(guard);
            !(keeps(|step| step.caution.is_some())
                && keeps(|step| step.hold)
                && keeps(|step| step.heat))
        });
        let accepted = self.state.accepted.contains_key(&(own.clone(), over.clone()));
        that(
            accepted || !lost,
            "the shop's own text took a guard away, and no lead had signed for it.",
        )
    }

    /// The same of a list of a station: every check with a caution is still asked, with a caution.
    fn own_list(&self, own: &TextDigest, over: &TextDigest) -> Answer {
        let text =
            |digest| self.state.list_text(digest).ok_or("the text of its list is not there.");
        let (older, newer) = (text(over)?, text(own)?);
        let lost = older
            .checks
            .iter()
            .filter(|check| check.caution.is_some())
            .any(|check| newer.check(&check.id).is_none_or(|kept| kept.caution.is_none()));
        let accepted = self.state.accepted.contains_key(&(own.clone(), over.clone()));
        that(
            accepted || !lost,
            "the shop's own list took a caution away, and no lead had signed for it.",
        )
    }

    /// What the program notes itself: the founding, and what the clock has to say.
    fn by_program(&self, event: &Event) -> Answer {
        let founding = self.state.crew.is_empty() || self.state.stations.is_empty();
        let may = match event {
            Event::WorkshopFounded { .. } => self.state.workshop.is_none(),
            Event::PersonJoined { .. } => self.state.crew.is_empty(),
            Event::StationAdded { .. } => founding,
            Event::ClockWentBack { .. } => true,
            Event::ClearanceWithdrawn { cause, .. } => {
                matches!(
                    cause,
                    WithdrawalCause::ClockWentBack
                        | WithdrawalCause::Interrupted
                        | WithdrawalCause::Lapsed
                )
            }
            _ => false,
        };
        that(may, "nobody signed it.")
    }

    fn step_done(
        &self,
        person: &PersonId,
        place: &StepPlace,
        clearance: Option<&ClearanceId>,
        at: Moment,
    ) -> Answer {
        let run = self
            .state
            .rods
            .get(&place.rod)
            .and_then(|rod| rod.stage(&place.stage))
            .ok_or("its stage was not begun.")?;
        let stage =
            self.state.stage_text(&run.digest).ok_or("the text of its stage is not there.")?;
        let Position::Step(_, step) = run.position(stage, &self.state.crew) else {
            return Err("the step was not the one that was next.");
        };
        that(step.id == place.step, "the step was not the one that was next.")?;
        let done = run.steps.get(&step.id);
        let read = done.is_some_and(|done| {
            done.understood.iter().any(|mark| mark.by.as_ref() == Some(person))
        });
        that(step.caution.is_none() || read, "its caution was not read by whoever signed.")?;
        if let Some(waits) = &step.waits_for {
            let over = run.clocks.get(waits).is_some_and(|clock| clock.is_over(at));
            that(over, "the clock it waits for had not run out.")?;
        }
        if !step.heat {
            return Ok(());
        }
        let id = clearance.ok_or("it used heat without a clearance.")?;
        let found = self.state.clearances.get(id).ok_or("the clearance it names is not there.")?;
        that(found.station == run.station, "the clearance it names was for another station.")?;
        that(self.state.is_live(found, at), "the clearance it names did not hold then.")?;
        let first = self.granted.get(id).copied().unwrap_or(0);
        let left_out = self.folded.get(found.station.as_str()).is_some_and(|last| *last > first);
        that(
            !left_out,
            "something at the station was left out while its clearance was given or used.",
        )
    }

    /// A lead taught somebody of the crew a step of a stage in hand.
    fn taught(&self, lead: bool, place: &StepPlace, learner: &PersonId) -> Answer {
        that(lead, "only a lead can sign how a step was taught.")?;
        that(self.state.crew.contains_key(learner), "nobody of the crew learnt it.")?;
        let run = self.state.rods.get(&place.rod).and_then(|rod| rod.stage(&place.stage));
        that(run.is_some(), "its stage was not begun.")
    }

    fn step_witnessed(&self, person: &PersonId, place: &StepPlace) -> Answer {
        let run = self
            .state
            .rods
            .get(&place.rod)
            .and_then(|rod| rod.stage(&place.stage))
            .ok_or("its stage was not begun.")?;
        let step = run.steps.get(&place.step).filter(|step| step.done.is_some());
        let step = step.ok_or("there was nothing to witness.")?;
        that(step.doer() != Some(person), "whoever did the step witnessed it.")
    }
}
