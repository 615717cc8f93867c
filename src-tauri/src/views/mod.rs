//! The transfer types: what crosses between the shell and the screen, and nothing else.
//!
//! They are written to `ui/src/lib/generated/types.ts` by `tests/app/types_drift.rs`. Times cross
//! as RFC 3339 text and ids as text; stored events never cross.

use ts_rs::TS;

macro_rules! outgoing {
    ($($(#[$doc:meta])* pub struct $name:ident { $($body:tt)* })*) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Serialize, TS)]
        #[serde(rename_all = "camelCase")]
        pub struct $name { $($body)* }
    )* };
}

macro_rules! incoming {
    ($($(#[$doc:meta])* pub struct $name:ident { $($body:tt)* })*) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
        #[serde(rename_all = "camelCase", deny_unknown_fields)]
        pub struct $name { $($body)* }
    )* };
}

macro_rules! words {
    ($($(#[$doc:meta])* pub enum $name:ident { $($body:tt)* })*) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
        #[serde(rename_all = "kebab-case")]
        pub enum $name { $($body)* }
    )* };
}

mod air;
mod bench;
mod checklists;
mod desk;
mod layout;
mod paper;
mod picture;
mod rod;
mod teaching;
mod walk;
mod words;

pub use air::*;
pub use bench::*;
pub use checklists::*;
pub use desk::*;
pub use layout::*;
pub use paper::*;
pub use picture::*;
pub use rod::*;
pub use teaching::*;
pub use walk::*;
pub use words::*;

macro_rules! every_type {
    ($($name:ident),* $(,)?) => {
        /// All transfer types as one TypeScript module.
        pub fn typescript() -> String {
            let config = ts_rs::Config::default();
            let mut out = String::from(
                "// Written from src-tauri/src/views/. Do not edit: change the Rust types and run\n// COLDBENCH_WRITE_TYPES=1 cargo test -p coldbench --test app types\n",
            );
            $(
                out.push_str("\nexport ");
                out.push_str(&<$name as TS>::decl(&config));
                out.push('\n');
            )*
            out
        }
    };
}

every_type!(
    LengthWord,
    RoleWord,
    ReelWord,
    GripWord,
    PartWord,
    LengthFormWord,
    MassFormWord,
    LiquidFormWord,
    TemperatureFormWord,
    PartDrawn,
    StandingWord,
    SpiralWord,
    PositionWord,
    ClockWord,
    ListWord,
    AnswerForm,
    Printable,
    TableWord,
    CauseWord,
    ContainerWord,
    PaperWord,
    PictureName,
    ThemeWord,
    BenchSettings,
    BenchView,
    LearningWord,
    LessonWord,
    Trouble,
    Desk,
    WorkshopView,
    HealthView,
    BackupsView,
    WayBackView,
    EntryView,
    Problem,
    PersonView,
    StationLine,
    RodLine,
    Drawing,
    OutlinePoint,
    DrawnPart,
    ClockView,
    RodView,
    PartLine,
    RevisionLine,
    FigureView,
    SketchView,
    SectionView,
    TimeMarkView,
    StageLine,
    WalkView,
    AwayView,
    TeachingView,
    CrewTableView,
    CrewStageLine,
    LearningCell,
    NewerView,
    DifferenceLine,
    ChecklistsView,
    ChecklistLine,
    ChecklistText,
    GlovesView,
    LayoutView,
    BentView,
    BentRingView,
    GuideLine,
    TrimView,
    DrawnGuide,
    StepLine,
    HazardView,
    StatementsView,
    StepView,
    RecordView,
    LotView,
    LotLine,
    StartView,
    GateView,
    StationView,
    AirView,
    CurvePoint,
    ReleaseLine,
    MaterialLine,
    QuickAmountView,
    WatchView,
    ContainerView,
    ClearanceView,
    ListLine,
    ListView,
    CheckView,
    AnsweredView,
    DraftView,
    PrintView,
    PrintedView,
    JobView,
    PreviewView,
    Founding,
    PaperDraft,
    SheetDraft,
    LayoutDraft,
    MarkDraft,
    GuideDraft,
    SpacingDraft,
    UnitsChoice,
    RodDraft,
    DiameterDraft,
    PartDraft,
    ChangeDraft,
    Place,
    MaterialDraft,
    ComponentDraft,
    EntryPlace,
    ContainerAnswer,
    AnswerDraft,
);
