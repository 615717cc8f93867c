//! The words to choose from.

use serde::{Deserialize, Serialize};
use ts_rs::TS;

words! {
    /// The unit in which lengths are shown.
    pub enum LengthWord {
        /// Inches.
        Inch,
        /// Millimetres.
        Millimetre,
    }
    /// A person's role.
    pub enum RoleWord {
        /// Lead.
        Lead,
        /// Helper.
        Helper,
    }
    /// Reel types.
    pub enum ReelWord {
        /// Spinning.
        Spinning,
        /// Casting.
        Casting,
        /// Conventional.
        Conventional,
        /// Fly.
        Fly,
    }
    /// Grip materials.
    pub enum GripWord {
        /// Cork.
        Cork,
        /// EVA foam.
        Eva,
        /// Composite core under a sleeve.
        Composite,
    }
    /// Parts fitted to the blank.
    pub enum PartWord {
        /// Rear grip.
        RearGrip,
        /// Sleeve.
        Sleeve,
        /// Reel seat.
        ReelSeat,
        /// Fore grip.
        ForeGrip,
        /// Trim ring.
        TrimRing,
        /// Butt cap.
        ButtCap,
        /// Hook keeper.
        HookKeeper,
    }
    /// How a length is shown.
    pub enum LengthFormWord {
        /// Millimetres.
        Millimetre,
        /// Decimal inches.
        DecimalInch,
        /// Inches with fractions.
        FractionInch,
    }
    /// How a mass is shown.
    pub enum MassFormWord {
        /// Grams.
        Gram,
        /// Ounces.
        Ounce,
    }
    /// How a volume of liquid is shown.
    pub enum LiquidFormWord {
        /// Millilitres.
        Millilitre,
        /// US fluid ounces.
        FluidOunce,
    }
    /// How a temperature is shown.
    pub enum TemperatureFormWord {
        /// °C.
        Celsius,
        /// °F.
        Fahrenheit,
    }
    /// How a part is drawn.
    pub enum PartDrawn {
        /// Done: solid.
        Done,
        /// Its resin cures: hatched.
        Curing,
        /// In hand: outlined, with its step count.
        InHand,
        /// To come: dashed.
        ToCome,
    }
    /// Where a rod stands with a stage.
    pub enum StandingWord {
        /// Does not apply to this rod.
        NotApplicable,
        /// Other stages come first.
        Waits,
        /// Can be begun.
        Ready,
        /// In hand.
        InHand,
        /// In hand, and a cure or watch has to run out first.
        Curing,
        /// Done.
        Done,
    }
    /// To which side guides turn round the blank, seen from the butt.
    pub enum SpiralWord {
        /// They don't.
        None,
        /// To the left.
        Left,
        /// To the right.
        Right,
    }
    /// Where a walk stands.
    pub enum PositionWord {
        /// At a step.
        Step,
        /// A lead has to witness the step.
        Witness,
        /// All done.
        Finished,
    }
    /// What a clock counts.
    pub enum ClockWord {
        /// Working time of mixed resin.
        WorkingTime,
        /// Cure.
        Cure,
        /// Gloves.
        GloveChange,
        /// Watch after heat.
        Watch,
    }
    /// Station checklists.
    pub enum ListWord {
        /// Opening the bench.
        OpenBench,
        /// Clearance for heat.
        HeatClearance,
        /// Closing the bench.
        CloseBench,
        /// Something was spilt.
        Spill,
        /// Something got on skin or into an eye.
        Contact,
        /// A product that was never on the shelf before.
        NewProduct,
        /// What is looked at every few weeks.
        MonthlyLook,
        /// A list of the shop's own.
        Own,
    }
    /// The form of an answer.
    pub enum AnswerForm {
        /// Pick a state.
        Choice,
        /// Write a value.
        Value,
        /// Air speed and opening, or rated flow and share.
        Airflow,
        /// A state for each container.
        Containers,
        /// Distance, and whether shielded.
        Distance,
        /// A person of the crew.
        Watcher,
        /// The gun's set temperature.
        GunTemperature,
        /// A meter reading, or no meter.
        Vapour,
    }
    /// The form of rows for other programs.
    pub enum TableWord {
        /// Comma-separated values.
        Csv,
        /// A JSON array.
        Json,
    }
    /// Why a clearance is withdrawn by hand.
    pub enum CauseWord {
        /// The ventilation stopped.
        AirflowStopped,
        /// The reading was lost.
        ReadingLost,
        /// The watcher left.
        WatcherLeft,
        /// Stopped by hand.
        StoppedByHand,
    }
    /// Where a container is.
    pub enum ContainerWord {
        /// Closed and in its store.
        ClosedAway,
        /// Closed, still on the bench.
        ClosedHere,
        /// Open.
        Open,
    }
    /// Paper sizes.
    pub enum PaperWord {
        /// A4.
        A4,
        /// US Letter.
        Letter,
    }
}
