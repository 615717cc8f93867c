//! The domain of Coldbench: checklists, rods, stations, clearances, crew.
//!
//! Pure: no I/O and no clock. The one way through it is
//! [`decide`]`(&state, &actor, command, now) -> Result<Vec<Event>, Refusal>`, and then
//! [`State::evolve`] for each event once it is stored. Rules live in `decide` and nowhere else.

mod air;
mod audit;
pub mod checklist;
mod command;
mod crew;
pub mod cure;
mod decide;
mod difference;
mod event;
pub mod figure;
mod gate;
pub mod hazard;
mod ids;
pub mod layout;
mod library;
mod refusal;
mod rod;
mod run;
mod state;
mod subject;
mod teaching;
mod words;

pub use air::{
    AirReading, Estimate, HourlyUse, PersonExposure, Released, RoomRecord, Unaccounted, course,
    day_course, estimate, flammable_category_of, flow_of, hourly_use,
};
pub use audit::{AuditFault, Audited, audit};
pub use command::{Actor, Command, NewChange, NewStation, Override, SheetLine};
pub use crew::{Person, Role};
pub use cure::clock_minutes;
pub use decide::{clock_runs, decide, lead_sees};
pub use difference::{Compare, Difference, differences, takes_away};
pub use event::{
    Answer, ContainerState, Correction, Event, EventRef, FromPaper, Happened, KeptLimits, LeadSees,
    Moment, StepPlace, Vapour, WithdrawalCause,
};
pub use gate::{
    HottestGun, Judged, heat_gate, hottest_gun, is_stale, judge, lead_beside, missing, vapour,
};
pub use ids::{
    ClearanceId, ClockId, ContainerId, LotId, PersonId, RodId, StageId, StationId, StepId,
    TextDigest,
};
pub use library::{
    FileFindings, Flaw, Library, Listed, OverText, SourceFile, StageStanding, Wait, standing,
};
pub use refusal::Refusal;
pub use rod::{
    DiameterReading, GripMaterial, Part, PartBore, PartKind, PartWritten, Reading, ReelType,
    RodChange, RodPlan,
};
pub use run::{
    Away, Clock, Correctable, CorrectableKind, Corrected, Mark, MovedText, Position, Revised,
    StageRun, StepRun, Value,
};
pub use state::{
    Accepted, Answered, Clearance, Container, KeptText, LeftOut, ListInHand, Lot, Rod, State,
    Station, Workshop,
};
pub use subject::{About, CREW, record_of, station_of, subject_of};
pub use teaching::{Learning, MOST_RUNS, Presented, TeachingAsked};
pub use words::{celsius, span};
