//! The names of the drawings that a step can show. What is drawn, and its words for those who don't
//! see it, stand with the screens, in `ui/src/pictures/`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

macro_rules! pictures {
    ($($(#[$doc:meta])* $name:ident = $word:literal,)*) => {
        /// A drawing that a step can show. It explains and guards nothing.
        #[derive(
            Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
        )]
        #[schemars(rename = "picture")]
        pub enum PictureName {
            $($(#[$doc])* #[serde(rename = $word)] $name,)*
        }

        impl PictureName {
            /// Every drawing there is.
            pub const ALL: &'static [Self] = &[$(Self::$name),*];

            /// Its name in a file.
            pub fn name(self) -> &'static str {
                match self {
                    $(Self::$name => $word,)*
                }
            }
        }
    };
}

// A name that was once in a file stays: stages in hand keep their text.
pictures! {
    /// A cotton pad drawn along the blank snags at a broken fibre.
    PadSnags = "pad-snags",
    /// A blank clamped at its butt, a weight at its tip, and how far tip and middle go down.
    BlankLoaded = "blank-loaded",
    /// A saw in tape wound round the blank, which is rolled under it.
    SawThroughTape = "saw-through-tape",
    /// Two pieces pushed together straight, and the gap left between their shoulders.
    FerruleClosed = "ferrule-closed",
    /// Pencil dots in line on both sides of a joint.
    FerruleDots = "ferrule-dots",
    /// A strip with degrees taped round the butt, and the pencil line from its zero.
    ScaleRoundButt = "scale-round-butt",
    /// A blank on two supports, its middle pressed down, read on top.
    SpineTrial = "spine-trial",
    /// T on top and G on the guide side, ahead of the handle.
    SpineMark = "spine-mark",
    /// A grip cut open on its tapered blank, and the even gap round it.
    ReamToFit = "ream-to-fit",
    /// The inner jaws of a caliper square in a bore, then turned a quarter.
    BoreMeasured = "bore-measured",
    /// Tape round the blank along the front edge of a grip.
    TapeAtFrontEdge = "tape-at-front-edge",
    /// The blank rubbed dull up to a little short of the tape.
    RoughenToTape = "roughen-to-tape",
    /// A cloth drawn one way only, then turned to a fresh face, then put into the lidded bin.
    WipeOneWay = "wipe-one-way",
    /// Resin, zero, hardener: one cup on a scale.
    PartsOnScale = "parts-on-scale",
    /// Wall and bottom of the cup scraped, and the mix poured out flat.
    PourFlat = "pour-flat",
    /// A grip turned home over resin to the tape, by gloved hands.
    GripTurnedHome = "grip-turned-home",
    /// Squeezed-out resin wiped away from the joint, and the tape pulled.
    SqueezeOut = "squeeze-out",
    /// A gloved fingernail in the leftover: no mark, or a mark.
    NailTest = "nail-test",
    /// A reel seat slid over the tip against the grip, its edge marked in pencil.
    SeatAgainstGrip = "seat-against-grip",
    /// Bands of tape under a seat cut open, with bare blank between them.
    TapeBands = "tape-bands",
    /// A straight edge from the G back to the middle of the reel's foot.
    ReelFootTrue = "reel-foot-true",
    /// How far the nozzle stays from the sleeve, the rod turning and the gun moving.
    GunOffSleeve = "gun-off-sleeve",
    /// From the ring at the middle to one end, then to the other.
    HeatToTheEnds = "heat-to-the-ends",
    /// The gun, switched off, nozzle up on bare metal, with somebody watching.
    GunInStand = "gun-in-stand",
    /// A slip of thin metal between sleeve and blank, under the knife.
    CardUnderCut = "card-under-cut",
    /// The blank seen from its butt: the keeper a quarter turn from the guide side.
    KeeperSide = "keeper-side",
    /// A ring slid over the tip against the face it covers.
    RingOverFace = "ring-over-face",
    /// The rings sighted through from the butt, one of them off to the side.
    RingsInLine = "rings-in-line",
    /// The rod with its reel clamped, the line through all guides, a weight on it.
    RodUnderLoad = "rod-under-load",
    /// The line between two guides, where it comes nearest to the blank.
    LineClear = "line-clear",
    /// The foot of a guide filed to a slope that runs out at its end.
    FootRunOut = "foot-run-out",
    /// A strand of cotton drawn round the inside of a ring.
    CottonInRing = "cotton-in-ring",
    /// Five turns of thread over its own end.
    ThreadStart = "thread-start",
    /// Turns packed up the foot of a guide, and a gap that must not stay.
    ThreadUpFoot = "thread-up-foot",
    /// A loop of fine thread under the last turns, its eye to the frame.
    ThreadLoop = "thread-loop",
    /// A strip of paper that leans to the outlet of the air.
    StripInAir = "strip-in-air",
    /// The rod level in its turner on padded rests.
    RodInTurner = "rod-in-turner",
    /// Two marked syringes, read at eye level.
    TwoSyringes = "two-syringes",
    /// Finish brushed past both ends of the thread on to the blank.
    FinishPastThread = "finish-past-thread",
    /// What hangs below drawn off with a dry brush, a bubble opened with a needle.
    FinishLevelled = "finish-levelled",
    /// A blade held flat along the thread, edge up and away.
    BladeFlat = "blade-flat",
    /// The tip-top's tube warmed in pliers, the blank far off.
    TipTopWarmed = "tip-top-warmed",
    /// The rod level in one loop, and its place from the butt.
    RodInLoop = "rod-in-loop",
    /// A weight bedded in the butt cap, cut open.
    WeightInCap = "weight-in-cap",
    /// The rod held below upright, no hand on its tip.
    BelowUpright = "below-upright",
    /// The rod carried level, far from an overhead line.
    OffPowerLines = "off-power-lines",
}
