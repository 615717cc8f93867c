// Written from src-tauri/src/views/. Do not edit: change the Rust types and run
// COLDBENCH_WRITE_TYPES=1 cargo test -p coldbench --test app types

export type LengthWord = "inch" | "millimetre";

export type RoleWord = "lead" | "helper";

export type ReelWord = "spinning" | "casting" | "conventional" | "fly";

export type GripWord = "cork" | "eva" | "composite";

export type PartWord = "rear-grip" | "sleeve" | "reel-seat" | "fore-grip" | "trim-ring" | "butt-cap" | "hook-keeper";

export type LengthFormWord = "millimetre" | "decimal-inch" | "fraction-inch";

export type MassFormWord = "gram" | "ounce";

export type LiquidFormWord = "millilitre" | "fluid-ounce";

export type TemperatureFormWord = "celsius" | "fahrenheit";

export type PartDrawn = "done" | "curing" | "in-hand" | "to-come";

export type StandingWord = "not-applicable" | "waits" | "ready" | "in-hand" | "curing" | "done";

export type SpiralWord = "none" | "left" | "right";

export type PositionWord = "step" | "witness" | "finished";

export type ClockWord = "working-time" | "cure" | "glove-change" | "watch";

export type ListWord = "open-bench" | "heat-clearance" | "close-bench" | "spill" | "contact" | "new-product" | "monthly-look" | "own";

export type AnswerForm = "choice" | "value" | "airflow" | "containers" | "distance" | "watcher" | "gun-temperature" | "vapour";

export type Printable = { "kind": "build-log", 
/**
 * Which.
 */
rod: string, } | { "kind": "station-log", 
/**
 * Which.
 */
station: string, 
/**
 * On which day, as in `2026-11-25`.
 */
day: string, } | { "kind": "rod-sheet", 
/**
 * Of which rod.
 */
rod: string, } | { "kind": "bench-sheet", 
/**
 * Of which rod.
 */
rod: string, 
/**
 * Which stage.
 */
stage: string, } | { "kind": "by-hand", 
/**
 * Which stage or list.
 */
list: string, 
/**
 * For which rod, if for one.
 */
rod: string | null, } | { "kind": "training", 
/**
 * Who.
 */
person: string, } | { "kind": "clearance", 
/**
 * Which.
 */
clearance: string, } | { "kind": "crew-table" };

export type TableWord = "csv" | "json";

export type CauseWord = "airflow-stopped" | "reading-lost" | "watcher-left" | "stopped-by-hand";

export type ContainerWord = "closed-away" | "closed-here" | "open";

export type PaperWord = "a4" | "letter";

export type PictureName = "pad-snags" | "blank-loaded" | "saw-through-tape" | "ferrule-closed" | "ferrule-dots" | "scale-round-butt" | "spine-trial" | "spine-mark" | "ream-to-fit" | "bore-measured" | "tape-at-front-edge" | "roughen-to-tape" | "wipe-one-way" | "parts-on-scale" | "pour-flat" | "grip-turned-home" | "squeeze-out" | "nail-test" | "seat-against-grip" | "tape-bands" | "reel-foot-true" | "gun-off-sleeve" | "heat-to-the-ends" | "gun-in-stand" | "card-under-cut" | "keeper-side" | "ring-over-face" | "rings-in-line" | "rod-under-load" | "line-clear" | "foot-run-out" | "cotton-in-ring" | "thread-start" | "thread-up-foot" | "thread-loop" | "strip-in-air" | "rod-in-turner" | "two-syringes" | "finish-past-thread" | "finish-levelled" | "blade-flat" | "tip-top-warmed" | "rod-in-loop" | "weight-in-cap" | "below-upright" | "off-power-lines";

export type ThemeWord = "paper" | "dark" | "sun" | "system";

export type BenchSettings = { 
/**
 * How the screens look.
 */
theme: ThemeWord, 
/**
 * The key that goes on in a step; a pedal sends one. `Space`, or a name such as `F13`.
 */
goOnKey: string, 
/**
 * The key for whoever is called away.
 */
awayKey: string, 
/**
 * Alarms are heard.
 */
alarmSound: boolean, 
/**
 * Alarms are told to the desktop too.
 */
notifications: boolean, 
/**
 * How wide 100 mm are on this screen, in its own pixels, where somebody measured it.
 */
hundredMm: number | null, };

export type BenchView = { 
/**
 * The settings.
 */
settings: BenchSettings, 
/**
 * Why the file could not be used; then all is as it comes.
 */
trouble: string | null, };

export type LearningWord = "not-asked" | "not-taught" | "presenting" | "trying-out" | "to-be-released" | "alone" | "due-for-refresh";

export type LessonWord = "present" | "tell-back" | "try-out" | "follow-up";

export type Trouble = { 
/**
 * A stable name the screen may switch on.
 */
code: string, 
/**
 * What happened, to what, and how to mend it.
 */
message: string, 
/**
 * The field at fault, e.g. `diameters.2.diameter`.
 */
field: string | null, };

export type Desk = { 
/**
 * What is known of the ledger and its backups.
 */
health: HealthView, 
/**
 * The workshop; nothing in an empty folder.
 */
workshop: WorkshopView | null, 
/**
 * The folder.
 */
folder: string, 
/**
 * Why nothing can be written here, if so.
 */
readOnly: string | null, 
/**
 * Checklist files with something wrong.
 */
problems: Array<Problem>, 
/**
 * The crew.
 */
crew: Array<PersonView>, 
/**
 * The person whose key is unlocked.
 */
active: string | null, 
/**
 * The stations.
 */
stations: Array<StationLine>, 
/**
 * The rods, what can be done now first.
 */
rods: Array<RodLine>, 
/**
 * The clocks that run or have run out unanswered, the next to run out first.
 */
clocks: Array<ClockView>, 
/**
 * The workshop's wall clock.
 */
now: string, 
/**
 * The clock shows an earlier time than before.
 */
clockBehind: boolean, };

export type WorkshopView = { 
/**
 * Its name.
 */
name: string, 
/**
 * Everything in it is invented.
 */
demo: boolean, 
/**
 * Unit for lengths.
 */
lengths: LengthWord, 
/**
 * Units in which figures are shown.
 */
units: UnitsChoice, 
/**
 * In a demo: the people's PINs, so that it can be tried.
 */
demoPins: string | null, };

export type HealthView = { 
/**
 * So many events were verified at the start; none while that goes on.
 */
verified: number | null, 
/**
 * Why the ledger does not open or does not hold.
 */
fault: string | null, 
/**
 * What the last backup came to.
 */
backup: string | null, 
/**
 * Why the last backup could not be made.
 */
backupTrouble: string | null, };

export type BackupsView = { 
/**
 * The folder, if one was named.
 */
folder: string | null, 
/**
 * A folder that would do.
 */
suggestion: string, 
/**
 * The newest backup, in words.
 */
newest: string | null, 
/**
 * The id of this installation.
 */
origin: string, 
/**
 * How many events the ledger holds.
 */
events: number, 
/**
 * Digest of the newest event, 64 hex digits.
 */
head: string, };

export type WayBackView = { 
/**
 * Its folder.
 */
path: string, 
/**
 * When it was made and how many events it holds, in words.
 */
words: string, };

export type EntryView = { 
/**
 * The installation that wrote it.
 */
origin: string, 
/**
 * Its number in the ledger.
 */
number: number, 
/**
 * What it says, e.g. `Gun, as set: 140 °C`.
 */
words: string, 
/**
 * What would go into the field of a correction, e.g. `140 °C`; empty for words.
 */
said: string, 
/**
 * Who and when.
 */
signed: string, 
/**
 * What it was corrected to, why, by whom; newest last.
 */
corrections: Array<string>, };

export type Problem = { 
/**
 * The file.
 */
path: string, 
/**
 * The file is not used.
 */
unusable: boolean, 
/**
 * Stable name.
 */
code: string, 
/**
 * What is wrong.
 */
message: string, 
/**
 * How to mend it.
 */
help: string, 
/**
 * Line, from 1.
 */
line: number, 
/**
 * Column, from 1.
 */
column: number, 
/**
 * The line itself.
 */
excerpt: string, };

export type PersonView = { 
/**
 * Id.
 */
id: string, 
/**
 * Name.
 */
name: string, 
/**
 * Role.
 */
role: RoleWord, 
/**
 * Still of the crew.
 */
present: boolean, };

export type StationLine = { 
/**
 * Id.
 */
id: string, 
/**
 * Name.
 */
name: string, 
/**
 * The bench is open until then.
 */
openUntil: string | null, 
/**
 * Heat is cleared until then.
 */
heatUntil: string | null, 
/**
 * Heat was used, and the place is to be watched until then at least; until that is signed.
 */
watchUntil: string | null, };

export type RodLine = { 
/**
 * Id.
 */
id: string, 
/**
 * Title.
 */
title: string, 
/**
 * For whom.
 */
customer: string, 
/**
 * Its drawing.
 */
drawing: Drawing, 
/**
 * What can be done now, or what is waited for.
 */
next: string, 
/**
 * Something can be done now.
 */
canDoNow: boolean, 
/**
 * Every stage that applies is done.
 */
allDone: boolean, };

export type Drawing = { 
/**
 * Length of the blank.
 */
lengthMm: number, 
/**
 * The same in the builder's unit.
 */
length: string, 
/**
 * Joins.
 */
joinsMm: Array<number>, 
/**
 * Measured diameters, butt to tip.
 */
outline: Array<OutlinePoint>, 
/**
 * Parts.
 */
parts: Array<DrawnPart>, 
/**
 * Guides as planned, from butt to tip.
 */
guides: Array<DrawnGuide>, };

export type OutlinePoint = { 
/**
 * Distance from the butt.
 */
fromButtMm: number, 
/**
 * Diameter.
 */
diameterMm: number, 
/**
 * The same in the builder's unit.
 */
diameter: string, };

export type DrawnPart = { 
/**
 * Kind.
 */
kind: PartWord, 
/**
 * What it is.
 */
label: string, 
/**
 * Near end.
 */
fromMm: number, 
/**
 * Far end.
 */
toMm: number, 
/**
 * Greatest diameter.
 */
diameterMm: number, 
/**
 * How it is drawn.
 */
drawn: PartDrawn, 
/**
 * The stage that works on it.
 */
stage: string | null, 
/**
 * Its clock.
 */
clock: ClockView | null, };

export type ClockView = { 
/**
 * What is shown beside it.
 */
name: string, 
/**
 * What it counts.
 */
kind: ClockWord, 
/**
 * When it was started.
 */
started: string, 
/**
 * When it runs out.
 */
runsOut: string, 
/**
 * How long it runs.
 */
minutes: number, 
/**
 * It has run out.
 */
over: boolean, 
/**
 * Why it does not come to its end as things are, in a sentence: the room is too cold.
 */
stalled: string | null, 
/**
 * The rod.
 */
rod: string, 
/**
 * The rod's title.
 */
rodTitle: string, 
/**
 * The stage.
 */
stage: string, };

export type RodView = { 
/**
 * Id.
 */
id: string, 
/**
 * Title.
 */
title: string, 
/**
 * For whom.
 */
customer: string, 
/**
 * What the customer asked.
 */
wishes: string, 
/**
 * Reel type.
 */
reel: ReelWord, 
/**
 * Grip material.
 */
grip: GripWord, 
/**
 * The blank.
 */
blank: string, 
/**
 * Length as written.
 */
length: string, 
/**
 * Joins as written.
 */
joins: Array<string>, 
/**
 * Measurements as written: from the butt, diameter.
 */
diameters: Array<[string, string]>, 
/**
 * Its parts, in the order in which they were written down.
 */
parts: Array<PartLine>, 
/**
 * In which order they go on.
 */
assembly: FigureView | null, 
/**
 * What was added or put right since it was begun, oldest first.
 */
revisions: Array<RevisionLine>, 
/**
 * When it was begun.
 */
begun: string, 
/**
 * Its drawing.
 */
drawing: Drawing, 
/**
 * Its stages, what is needed first.
 */
stages: Array<StageLine>, };

export type PartLine = { 
/**
 * Kind.
 */
kind: PartWord, 
/**
 * What it is.
 */
description: string, 
/**
 * Near end, from the butt.
 */
from: string, 
/**
 * Far end, from the butt.
 */
to: string, 
/**
 * Greatest diameter.
 */
diameter: string, 
/**
 * Diameter where it is thinnest; empty where it is the same.
 */
thinnest: string, 
/**
 * It has a bore that the blank goes through.
 */
bored: boolean, 
/**
 * Its bore at the butt end; empty if not measured.
 */
boreButt: string, 
/**
 * Its bore at the tip end; empty where it is the same.
 */
boreTip: string, };

export type RevisionLine = { 
/**
 * What stood there.
 */
was: string | null, 
/**
 * What stands there now.
 */
now: string, 
/**
 * Why; empty where something was added.
 */
reason: string, 
/**
 * By whom and when, in words.
 */
signed: string, };

export type FigureView = { 
/**
 * Its name.
 */
name: string, 
/**
 * What it tells.
 */
title: string, 
/**
 * What was worked out: what, and how much.
 */
rows: Array<[string, string]>, 
/**
 * What to tell beside it.
 */
warnings: Array<string>, 
/**
 * Where the formula comes from.
 */
source: string, 
/**
 * Its drawing.
 */
sketch: SketchView | null, 
/**
 * Why there is no figure.
 */
missing: string | null, };

export type SketchView = { 
/**
 * Part of the rod cut along its axis.
 */
section: SectionView | null, 
/**
 * Shares of a whole: name, share.
 */
shares: Array<[string, number]>, 
/**
 * Moments, in minutes from now.
 */
times: Array<TimeMarkView>, };

export type SectionView = { 
/**
 * The blank.
 */
blank: Array<[number, number]>, 
/**
 * The bore as it is.
 */
bore: Array<[number, number]>, 
/**
 * The bore it is to get.
 */
goal: Array<[number, number]>, 
/**
 * The outside of the part.
 */
outside: Array<[number, number]>, 
/**
 * Stretches: from, to, name.
 */
bands: Array<[number, number, string]>, 
/**
 * Places: where, name.
 */
marks: Array<[number, string]>, };

export type TimeMarkView = { 
/**
 * What happens.
 */
label: string, 
/**
 * When it is likely, in minutes from now.
 */
minutes: number, 
/**
 * The latest it may be.
 */
latest: number, };

export type StageLine = { 
/**
 * Id.
 */
id: string, 
/**
 * Title.
 */
title: string, 
/**
 * What is reached.
 */
aim: string, 
/**
 * Where it stands.
 */
standing: StandingWord, 
/**
 * What the standing leaves unsaid, e.g. what comes first; may be empty.
 */
words: string, 
/**
 * Until when it waits at the least, where only time is waited for.
 */
until: string | null, 
/**
 * Steps settled.
 */
done: number, 
/**
 * All steps.
 */
of: number, 
/**
 * It uses heat.
 */
heat: boolean, 
/**
 * A lead left it out on this rod.
 */
leftOut: boolean, };

export type WalkView = { 
/**
 * The rod.
 */
rod: string, 
/**
 * Its title.
 */
rodTitle: string, 
/**
 * The stage.
 */
stage: string, 
/**
 * Its title.
 */
title: string, 
/**
 * What is reached.
 */
aim: string, 
/**
 * The station.
 */
station: string, 
/**
 * Its name.
 */
stationName: string, 
/**
 * The rod's drawing.
 */
drawing: Drawing, 
/**
 * Where the walk stands.
 */
position: PositionWord, 
/**
 * The step at hand; none when finished.
 */
step: StepView | null, 
/**
 * All steps.
 */
overview: Array<StepLine>, 
/**
 * The clocks of this stage that run.
 */
clocks: Array<ClockView>, 
/**
 * The gloves that are on; none where no clock of theirs runs.
 */
gloves: GlovesView | null, 
/**
 * The file of this stage says something else now.
 */
newer: NewerView | null, 
/**
 * Who is away from it, if anyone is.
 */
away: AwayView | null, 
/**
 * The helper at the bench still learns this step.
 */
teaching: TeachingView | null, };

export type AwayView = { 
/**
 * Who.
 */
by: string, 
/**
 * Since when.
 */
since: string, 
/**
 * From which step.
 */
step: string, 
/**
 * Its number, from 1, where the text still has it.
 */
number: number | null, 
/**
 * What has become of the clearance for heat, in a stage that uses heat.
 */
clearance: string | null, };

export type TeachingView = { 
/**
 * Who learns it.
 */
learner: string, 
/**
 * Their name.
 */
name: string, 
/**
 * What is to be done now.
 */
lesson: LessonWord, 
/**
 * It is the first step of their first run: the lead prepares them.
 */
prepare: boolean, 
/**
 * Where they stand with the stage, in words.
 */
standing: string, 
/**
 * What comes next, in a sentence.
 */
next: string, };

export type CrewTableView = { 
/**
 * The helpers who are of the crew.
 */
people: Array<PersonView>, 
/**
 * The stages.
 */
stages: Array<CrewStageLine>, };

export type CrewStageLine = { 
/**
 * Its id.
 */
id: string, 
/**
 * Its title.
 */
title: string, 
/**
 * How many witnessed runs are asked.
 */
runs: number, 
/**
 * After how many days a refresh is due.
 */
refreshDays: number | null, 
/**
 * What is asked, in words.
 */
asked: string, 
/**
 * Where each helper stands, in the order of the people.
 */
cells: Array<LearningCell>, };

export type LearningCell = { 
/**
 * Which mark it gets.
 */
standing: LearningWord, 
/**
 * In words.
 */
words: string, };

export type NewerView = { 
/**
 * In what it differs from the one that holds.
 */
differences: Array<DifferenceLine>, 
/**
 * Why the stage can't go on by it, if so.
 */
refused: string | null, };

export type DifferenceLine = { 
/**
 * The step or check; empty for the text as a whole.
 */
place: string, 
/**
 * What of it.
 */
of: string, 
/**
 * What stood there; empty for nothing.
 */
was: string, 
/**
 * What stands there now; empty for nothing.
 */
now: string, 
/**
 * A guard is taken away by it.
 */
takesAway: boolean, };

export type ChecklistsView = { 
/**
 * The folder of the shop's own.
 */
folder: string, 
/**
 * Those that can be used.
 */
files: Array<ChecklistLine>, 
/**
 * What is wrong or unwise.
 */
problems: Array<Problem>, };

export type ChecklistLine = { 
/**
 * Its id.
 */
id: string, 
/**
 * Its kind, in words.
 */
kind: string, 
/**
 * Its title.
 */
title: string, 
/**
 * Its path.
 */
path: string, 
/**
 * It comes with Coldbench.
 */
shipped: boolean, 
/**
 * It is the shop's own, in the place of one that comes with Coldbench.
 */
over: boolean, 
/**
 * In what it differs from that.
 */
differences: Array<DifferenceLine>, 
/**
 * It takes a guard away, and no lead signed for it: it can't be begun.
 */
held: boolean, 
/**
 * Why a lead signed for it, who and when.
 */
accepted: string | null, };

export type ChecklistText = { 
/**
 * Its path among the shop's own files, where it is or will be saved.
 */
path: string, 
/**
 * The text.
 */
text: string, 
/**
 * It stands in a file of the shop's own.
 */
own: boolean, };

export type GlovesView = { 
/**
 * The step whose clock starts again with fresh ones.
 */
step: string, 
/**
 * Their clock.
 */
clock: ClockView, };

export type LayoutView = { 
/**
 * The draft, as it stands after what was asked.
 */
draft: LayoutDraft, 
/**
 * Whether this is what is kept on the rod's sheet.
 */
kept: boolean, 
/**
 * The rod's title.
 */
rodTitle: string, 
/**
 * Faults, each at its field.
 */
troubles: Array<Trouble>, 
/**
 * Why there is no curve though no field is at fault.
 */
missing: string | null, 
/**
 * The rod straight and bent.
 */
bent: BentView | null, 
/**
 * The tip-top and the guides, from the tip.
 */
rows: Array<GuideLine>, 
/**
 * What was worked out besides, label and value.
 */
facts: Array<[string, string]>, 
/**
 * What the load test says, label and value; empty where none was done.
 */
fitted: Array<[string, string]>, 
/**
 * What to mind.
 */
warnings: Array<string>, 
/**
 * The caution of the work.
 */
caution: string, 
/**
 * Where the formulas come from.
 */
source: string, 
/**
 * What improving came to, in words.
 */
told: string | null, };

export type BentView = { 
/**
 * Length of the rod.
 */
lengthMm: number, 
/**
 * The straight rod: its direction, as the end of a line from the butt.
 */
straight: [number, number], 
/**
 * The axis under load, butt to tip.
 */
axis: Array<[number, number]>, 
/**
 * Diameters along the blank, from the butt.
 */
outline: Array<[number, number]>, 
/**
 * The reel, then the guides from butt to tip, the tip-top last.
 */
rings: Array<BentRingView>, 
/**
 * What hangs on it, in words.
 */
load: string, 
/**
 * Where the load pulls, as a direction of length 1.
 */
pull: [number, number], };

export type BentRingView = { 
/**
 * Its number from the tip: 0 is the tip-top; none for the reel.
 */
number: number | null, 
/**
 * Its place on the straight rod.
 */
fromButtMm: number, 
/**
 * Its height off the axis, below zero for one on top.
 */
heightMm: number, 
/**
 * Its foot on the bent axis.
 */
foot: [number, number], 
/**
 * Its ring.
 */
ring: [number, number], 
/**
 * Between the line from it towards the butt and the blank; none for the reel.
 */
clearance: string | null, 
/**
 * Whether that line touches the blank, or comes nearer than is wanted.
 */
tight: boolean, };

export type GuideLine = { 
/**
 * Its number from the tip; 0 is the tip-top.
 */
number: number, 
/**
 * Place from the tip.
 */
fromTip: string, 
/**
 * Place from the butt.
 */
fromButt: string, 
/**
 * To the next one towards the butt.
 */
gap: string, 
/**
 * Load on it.
 */
load: string, 
/**
 * How much the line turns in it.
 */
turn: string, 
/**
 * Between line and blank, towards the butt.
 */
clearance: string, 
/**
 * Whether that is less than wanted.
 */
tight: boolean, };

export type TrimView = { 
/**
 * Faults, each at its field.
 */
troubles: Array<Trouble>, 
/**
 * Why there is no figure.
 */
missing: string | null, 
/**
 * What, before, after.
 */
rows: Array<[string, string, string]>, 
/**
 * The bent axis before, in mm.
 */
before: Array<[number, number]>, 
/**
 * The bent axis after.
 */
after: Array<[number, number]>, 
/**
 * What to mind.
 */
warnings: Array<string>, };

export type DrawnGuide = { 
/**
 * Its place from the butt.
 */
fromButtMm: number, 
/**
 * Its height off the axis, below zero for one on top.
 */
heightMm: number, };

export type StepLine = { 
/**
 * Id.
 */
id: string, 
/**
 * What to do.
 */
what: string, 
/**
 * Who signed it and when, in words.
 */
signed: string | null, 
/**
 * It uses heat.
 */
heat: boolean, 
/**
 * Why it was left out for this rod, or would be as things stand.
 */
leftOut: string | null, 
/**
 * What was entered and signed at it, once it is signed.
 */
entries: Array<EntryView>, 
/**
 * The figures that stood in it when it was signed.
 */
figures: Array<FigureView>, };

export type HazardView = { 
/**
 * Code.
 */
code: string, 
/**
 * Words.
 */
words: string, };

export type StatementsView = { 
/**
 * Code and words of each.
 */
lines: Array<string>, 
/**
 * In which edition they are worded, and what comes first.
 */
edition: string, };

export type StepView = { 
/**
 * Id.
 */
id: string, 
/**
 * Number, from 1.
 */
number: number, 
/**
 * What to do.
 */
what: string, 
/**
 * What makes or breaks it.
 */
keyPoint: string, 
/**
 * Why.
 */
reason: string, 
/**
 * What hurts and what to do about it.
 */
caution: string | null, 
/**
 * The hazards in words.
 */
hazards: Array<HazardView>, 
/**
 * What official statements ask with these hazards, where there are any.
 */
statements: StatementsView | null, 
/**
 * What to wear.
 */
wear: Array<string>, 
/**
 * The person at the bench has taken note of the caution.
 */
understood: boolean, 
/**
 * The figures for this rod.
 */
figures: Array<FigureView>, 
/**
 * The drawing that explains it.
 */
picture: PictureName | null, 
/**
 * The value to measure.
 */
record: RecordView | null, 
/**
 * The lot to name.
 */
lot: LotView | null, 
/**
 * The clock to start.
 */
starts: StartView | null, 
/**
 * The clock that has to run out first.
 */
waitsFor: ClockView | null, 
/**
 * The step (id) whose clock may be started anew because the working time ran out.
 */
mixAnew: string | null, 
/**
 * The heat gate, where the step uses heat.
 */
gate: GateView | null, 
/**
 * A lead has to witness it when a helper does it.
 */
witness: boolean, 
/**
 * Whoever signs gives their PIN again: a hold point.
 */
asksPin: boolean, 
/**
 * Who did it, where it waits for the witness.
 */
doneBy: string | null, 
/**
 * Where its numbers come from.
 */
source: string | null, 
/**
 * Notes so far.
 */
notes: Array<string>, 
/**
 * What a sign-off would be refused for now.
 */
blocked: Trouble | null, };

export type RecordView = { 
/**
 * What.
 */
name: string, 
/**
 * Limits in words; empty if none.
 */
limits: string, 
/**
 * A value that would be taken.
 */
example: string, 
/**
 * Whether it is how warm the room is, as cure and working time need it.
 */
room: boolean, 
/**
 * How many times it is to be measured.
 */
repeat: number, 
/**
 * All that was measured, if it is to be measured several times.
 */
values: Array<string>, 
/**
 * What was measured last.
 */
value: string | null, 
/**
 * Whether it keeps the limits.
 */
within: boolean, 
/**
 * The reason for which a lead accepted it.
 */
accepted: string | null, 
/**
 * Whether a lead may accept a value outside the limits.
 */
acceptable: boolean, };

export type LotView = { 
/**
 * The material.
 */
material: string, 
/**
 * What was named.
 */
named: string | null, 
/**
 * Registered lots that are at hand, as they are named: those of this material first.
 */
offered: Array<string>, 
/**
 * The lot named is past its last day, in words.
 */
expired: string | null, 
/**
 * Why a lead let it be used all the same.
 */
accepted: string | null, };

export type LotLine = { 
/**
 * Id.
 */
id: string, 
/**
 * What it is.
 */
what: string, 
/**
 * What is written on the container.
 */
marking: string, 
/**
 * Its last day, e.g. `2027-03-31`.
 */
expires: string | null, 
/**
 * It is past its last day.
 */
expired: boolean, 
/**
 * It is used up.
 */
gone: boolean, 
/**
 * Rods on which it was used: id and title.
 */
rods: Array<[string, string]>, };

export type StartView = { 
/**
 * What is shown beside it.
 */
name: string, 
/**
 * What it counts.
 */
kind: ClockWord, 
/**
 * How long it runs if nobody makes it stricter.
 */
minutes: number, 
/**
 * The clock, once started.
 */
running: ClockView | null, };

export type GateView = { 
/**
 * Heat may be used at this step now.
 */
open: boolean, 
/**
 * The clearance under which.
 */
clearance: string | null, 
/**
 * Until when.
 */
until: string | null, 
/**
 * Who watches by it; empty where there is none.
 */
watcher: string, 
/**
 * Whoever is unlocked is named as who watches, and would hold the gun as well.
 */
watchesAlone: boolean, 
/**
 * Highest gun setting for this step.
 */
gunLimit: string, 
/**
 * What is missing.
 */
missing: Array<string>, };

export type StationView = { 
/**
 * Id.
 */
id: string, 
/**
 * Name.
 */
name: string, 
/**
 * Room volume as written.
 */
room: string | null, 
/**
 * The bench is open until then.
 */
openUntil: string | null, 
/**
 * What is kept here.
 */
containers: Array<ContainerView>, 
/**
 * When a flammable was last known to be open or in use here.
 */
lastRelease: string | null, 
/**
 * On what the word about vapour rests now.
 */
vapour: string, 
/**
 * Something is known about vapour.
 */
vapourKnown: boolean, 
/**
 * The air of its room.
 */
air: AirView, 
/**
 * The watch that is due after heat.
 */
watch: WatchView | null, 
/**
 * The latest clearance.
 */
clearance: ClearanceView | null, 
/**
 * Every clearance there was, newest first: its reference, and when it was granted.
 */
clearances: Array<[string, string]>, 
/**
 * Why no heat may be used now; empty under a live clearance.
 */
heatMissing: Array<string>, 
/**
 * The checklists that can be begun.
 */
lists: Array<ListLine>, 
/**
 * The checklist in hand.
 */
inHand: ListView | null, };

export type AirView = { 
/**
 * Room volume as written.
 */
volume: string | null, 
/**
 * Other stations in the same room.
 */
sharedWith: Array<string>, 
/**
 * The last reading of the airflow in words, and who took it when.
 */
flow: string | null, 
/**
 * The airflow that counts now, in m³/h; 0 without a reading that counts.
 */
flowM3H: number, 
/**
 * Until when the last reading counts.
 */
readingUntil: string | null, 
/**
 * The estimate now, in percent of the lower flammable limit.
 */
percent: number | null, 
/**
 * Why it is not known.
 */
unknown: string | null, 
/**
 * At or below so many percent heat may begin.
 */
limitPercent: number, 
/**
 * When it falls to that, the air moving on as it was read.
 */
heatFrom: string | null, 
/**
 * Exposure of each person who signed anything in the room today, in words.
 */
exposure: Array<string>, 
/**
 * Exposure limits are passed.
 */
overExposed: boolean, 
/**
 * The course of the estimate: what was, and what comes.
 */
curve: Array<CurvePoint>, 
/**
 * What was used today, oldest first.
 */
releases: Array<ReleaseLine>, 
/**
 * What is open, or was opened or used and not set down.
 */
unsaid: Array<string>, 
/**
 * Products that can be set down as used.
 */
materials: Array<MaterialLine>, 
/**
 * Days for which the station has anything to print, newest first.
 */
days: Array<string>, };

export type CurvePoint = { 
/**
 * When.
 */
at: string, 
/**
 * Percent of the lower flammable limit.
 */
percent: number, };

export type ReleaseLine = { 
/**
 * When.
 */
at: string, 
/**
 * What and how much, what for, by whom.
 */
words: string, };

export type MaterialLine = { 
/**
 * Its id.
 */
id: string, 
/**
 * What it is called.
 */
title: string, 
/**
 * Whether it burns, in words; also that nobody knows.
 */
burns: string, 
/**
 * What hurts and what to do about it.
 */
caution: string | null, 
/**
 * What is missing for an estimate; then there is no heat after it was used.
 */
missing: Array<string>, 
/**
 * How much an hour bears at the airflow that counts now; none without one.
 */
hourly: string | null, 
/**
 * Amounts that are offered.
 */
amounts: Array<QuickAmountView>, };

export type QuickAmountView = { 
/**
 * What for.
 */
name: string, 
/**
 * How much, e.g. `15 mL`.
 */
amount: string, };

export type WatchView = { 
/**
 * Until when.
 */
until: string, 
/**
 * It may be signed now.
 */
over: boolean, 
/**
 * Who watches.
 */
watcher: string, };

export type ContainerView = { 
/**
 * Id.
 */
id: string, 
/**
 * What is in it.
 */
name: string, 
/**
 * Autoignition temperature as written.
 */
autoignition: string | null, 
/**
 * It is open.
 */
open: boolean, };

export type ClearanceView = { 
/**
 * Its reference.
 */
id: string, 
/**
 * It holds now.
 */
live: boolean, 
/**
 * From when.
 */
granted: string, 
/**
 * Until when.
 */
until: string, 
/**
 * By whom.
 */
by: string, 
/**
 * Who watches.
 */
watcher: string, 
/**
 * The gun's set temperature.
 */
gun: string, 
/**
 * On what the word about vapour rested.
 */
vapour: string, 
/**
 * How it ended.
 */
ended: string | null, };

export type ListLine = { 
/**
 * Its id.
 */
id: string, 
/**
 * Which.
 */
kind: ListWord, 
/**
 * Title.
 */
title: string, 
/**
 * What is reached.
 */
aim: string, 
/**
 * When it was last gone through here, and when it is due again; may be empty.
 */
words: string, 
/**
 * It is due: it comes round, and was not gone through in time.
 */
due: boolean, 
/**
 * What to do, in the order of its checks, for whoever has no time for a PIN; of urgent lists
 * alone.
 */
atOnce: Array<string>, };

export type ListView = { 
/**
 * Which.
 */
kind: ListWord, 
/**
 * Title.
 */
title: string, 
/**
 * What is reached.
 */
aim: string, 
/**
 * When it was begun.
 */
begun: string, 
/**
 * Its checks.
 */
checks: Array<CheckView>, 
/**
 * What is missing before it can be completed.
 */
missing: Array<string>, 
/**
 * Whoever completes it gives their PIN again.
 */
asksPin: boolean, 
/**
 * Titles of lists that wait until this one is done.
 */
setAside: Array<string>, };

export type CheckView = { 
/**
 * Id.
 */
id: string, 
/**
 * Number, from 1.
 */
number: number, 
/**
 * What is asked.
 */
ask: string, 
/**
 * What makes or breaks it.
 */
keyPoint: string, 
/**
 * Why.
 */
reason: string, 
/**
 * What hurts and what to do about it.
 */
caution: string | null, 
/**
 * The hazards in words.
 */
hazards: Array<HazardView>, 
/**
 * What official statements ask with these hazards, where there are any.
 */
statements: StatementsView | null, 
/**
 * The form of the answer.
 */
form: AnswerForm, 
/**
 * The states to pick from.
 */
states: Array<string>, 
/**
 * Limits in words.
 */
limits: string, 
/**
 * A value that would be taken.
 */
example: string, 
/**
 * The answer so far.
 */
answered: AnsweredView | null, };

export type AnsweredView = { 
/**
 * In words.
 */
shown: string, 
/**
 * Whether it passes.
 */
passes: boolean, 
/**
 * It is too old to rest a clearance on.
 */
stale: boolean, 
/**
 * When.
 */
at: string, 
/**
 * By whom.
 */
by: string, };

export type DraftView = { 
/**
 * What is wrong, by field.
 */
troubles: Array<Trouble>, 
/**
 * The rod drawn, once the measurements make a blank.
 */
drawing: Drawing | null, };

export type PrintView = { 
/**
 * The folder offered.
 */
folder: string, 
/**
 * The file name offered.
 */
file: string, 
/**
 * Printers known to the machine.
 */
printers: Array<string>, 
/**
 * What the machine says about printing, if nothing can be printed.
 */
printerWord: string | null, };

export type PrintedView = { 
/**
 * Where it was saved; empty where it was printed.
 */
path: string, 
/**
 * In words.
 */
words: string, 
/**
 * The job in the print queue, where there is one.
 */
job: JobView | null, };

export type JobView = { 
/**
 * Its id in the print system.
 */
job: string, 
/**
 * Nothing more will happen to it.
 */
done: boolean, 
/**
 * In words.
 */
words: string, };

export type PreviewView = { 
/**
 * An SVG document, its view box in points of the paper.
 */
svg: string, 
/**
 * Which page, from 1.
 */
page: number, 
/**
 * Of how many.
 */
pages: number, };

export type Founding = { 
/**
 * Name of the workshop.
 */
name: string, 
/**
 * Name of the lead.
 */
lead: string, 
/**
 * The lead's PIN.
 */
pin: string, 
/**
 * Name of the first station.
 */
station: string, 
/**
 * Room volume, e.g. `60 m3`; may be empty.
 */
room: string, 
/**
 * Unit for lengths.
 */
lengths: LengthWord, };

export type PaperDraft = { 
/**
 * When it was done, day and time as written.
 */
when: string, 
/**
 * The person who did it.
 */
by: string, };

export type SheetDraft = { 
/**
 * When it was done and by whom.
 */
done: PaperDraft, 
/**
 * Values, in their order.
 */
values: Array<string>, 
/**
 * What is written on the containers; empty where the step uses none.
 */
lot: string, 
/**
 * When the clock of the step was started; empty: when it was done.
 */
clock: string, 
/**
 * The number from the product's sheet, if it is stricter than the file's.
 */
minutes: number | null, 
/**
 * Why a lead accepts what is outside its limits or past its day; empty for neither.
 */
reason: string, };

export type LayoutDraft = { 
/**
 * Thickness of the wall; empty for a house value.
 */
wall: string, 
/**
 * Modulus in `GPa`; empty for a house value.
 */
modulus: string, 
/**
 * What the blank weighs; empty where it was not weighed.
 */
weight: string, 
/**
 * Stiffness of a ferrule against the blank, in percent; empty for the same.
 */
ferrule: string, 
/**
 * What was hung on the tip to find the stiffness; empty where no such test was done.
 */
testHang: string, 
/**
 * How far the butt pointed up in that test, in degrees; empty for level.
 */
testHeld: string, 
/**
 * Marks of that test.
 */
marks: Array<MarkDraft>, 
/**
 * What hangs on the line in the figure.
 */
hang: string, 
/**
 * How far the butt points up, in degrees; empty for level.
 */
held: string, 
/**
 * Where the line leaves the reel, from the butt.
 */
reelFromButt: string, 
/**
 * How far off the axis it leaves.
 */
reelHeight: string, 
/**
 * The height of the ring of the tip-top.
 */
tipHeight: string, 
/**
 * What the tip-top weighs; empty for nothing.
 */
tipMass: string, 
/**
 * The guides, from the tip.
 */
guides: Array<GuideDraft>, 
/**
 * To which side a spiral turns.
 */
spiral: SpiralWord, 
/**
 * The least distance between line and blank that is wanted; empty for none.
 */
leastClearance: string, };

export type MarkDraft = { 
/**
 * Its place from the butt.
 */
fromButt: string, 
/**
 * How far it went down.
 */
drop: string, };

export type GuideDraft = { 
/**
 * Its place from the tip.
 */
fromTip: string, 
/**
 * Its size: about the diameter of the ring in mm.
 */
ring: string, 
/**
 * From the axis of the blank to the middle of the ring.
 */
height: string, 
/**
 * What it weighs; empty for nothing.
 */
mass: string, 
/**
 * How far it is turned round the blank from the top, in degrees; empty for the reel's side.
 */
turned: string, };

export type SpacingDraft = { 
/**
 * How many guides; empty for what is usual.
 */
count: string, 
/**
 * Place of the first guide from the butt; empty for what the reel asks for.
 */
first: string, 
/**
 * Gap between the tip and the next guide; empty for what is usual.
 */
tipGap: string, 
/**
 * The reel's spool, across; empty where it is unknown.
 */
spool: string, };

export type UnitsChoice = { 
/**
 * Diameters, gaps and walls.
 */
diameters: LengthFormWord, 
/**
 * Places and lengths along the rod.
 */
distances: LengthFormWord, 
/**
 * Masses.
 */
masses: MassFormWord, 
/**
 * Volumes of liquid.
 */
liquids: LiquidFormWord, 
/**
 * Temperatures.
 */
temperatures: TemperatureFormWord, };

export type RodDraft = { 
/**
 * Title.
 */
title: string, 
/**
 * For whom.
 */
customer: string, 
/**
 * What the customer asked.
 */
wishes: string, 
/**
 * Reel type.
 */
reel: ReelWord, 
/**
 * Grip material.
 */
grip: GripWord, 
/**
 * The blank.
 */
blank: string, 
/**
 * Length of the assembled blank.
 */
length: string, 
/**
 * Joins, from the butt.
 */
joins: Array<string>, 
/**
 * Measurements.
 */
diameters: Array<DiameterDraft>, 
/**
 * Parts.
 */
parts: Array<PartDraft>, 
/**
 * Readings that seem to mix up units were looked at again and stand.
 */
sure: boolean, };

export type DiameterDraft = { 
/**
 * From the butt.
 */
fromButt: string, 
/**
 * Diameter.
 */
diameter: string, };

export type PartDraft = { 
/**
 * Kind.
 */
kind: PartWord, 
/**
 * What it is.
 */
description: string, 
/**
 * Near end, from the butt.
 */
from: string, 
/**
 * Far end, from the butt.
 */
to: string, 
/**
 * Greatest diameter.
 */
diameter: string, 
/**
 * Diameter where it is thinnest; empty where it is the same.
 */
thinnest: string, 
/**
 * Bore at the butt end; may be empty.
 */
boreButt: string, 
/**
 * Bore at the tip end; empty where it is the same.
 */
boreTip: string, };

export type ChangeDraft = { "form": "blank", 
/**
 * Length of the assembled blank.
 */
length: string, 
/**
 * Each join, from the butt; none: one piece.
 */
joins: Array<string>, } | { "form": "grip", 
/**
 * The material.
 */
to: GripWord, } | { "form": "diameter", 
/**
 * The reading it takes the place of, from 0; none: one more.
 */
row: number | null, 
/**
 * Where, from the butt.
 */
fromButt: string, 
/**
 * The diameter there.
 */
diameter: string, } | { "form": "bore", 
/**
 * Which part, from 0.
 */
part: number, 
/**
 * At its butt end.
 */
butt: string, 
/**
 * At its tip end; empty where it is the same.
 */
tip: string, } | { "form": "part", 
/**
 * The part it takes the place of, from 0; none: one more.
 */
row: number | null, 
/**
 * Kind.
 */
kind: PartWord, 
/**
 * What it is.
 */
description: string, 
/**
 * Near end, from the butt.
 */
from: string, 
/**
 * Far end, from the butt.
 */
to: string, 
/**
 * Greatest diameter.
 */
diameter: string, 
/**
 * Diameter where it is thinnest; empty where it is the same.
 */
thinnest: string, } | { "form": "layout", 
/**
 * The layout.
 */
layout: LayoutDraft, } | { "form": "cut", 
/**
 * Off the tip; empty for nothing.
 */
tip: string, 
/**
 * Off the butt; empty for nothing.
 */
butt: string, };

export type Place = { 
/**
 * The rod.
 */
rod: string, 
/**
 * The stage.
 */
stage: string, 
/**
 * The step.
 */
step: string, };

export type MaterialDraft = { 
/**
 * What it is called at the bench (section 1).
 */
title: string, 
/**
 * Whose sheet, of which date.
 */
sheet: string, 
/**
 * Hazard codes (section 2).
 */
hazards: Array<string>, 
/**
 * What hurts and what to do about it.
 */
caution: string, 
/**
 * Density (section 9).
 */
density: string, 
/**
 * Flash point, closed cup.
 */
flash: string, 
/**
 * Initial boiling point.
 */
boils: string, 
/**
 * Autoignition temperature.
 */
autoignition: string, 
/**
 * Lower flammable limit of the product.
 */
lowerLimit: string, 
/**
 * What it is made of (section 3).
 */
components: Array<ComponentDraft>, 
/**
 * An amount to be offered at the bench.
 */
amount: string, 
/**
 * What that amount is used for.
 */
purpose: string, };

export type ComponentDraft = { 
/**
 * Name.
 */
name: string, 
/**
 * CAS number.
 */
cas: string, 
/**
 * Share by mass, a range as the sheet gives it.
 */
share: string, 
/**
 * Whether it evaporates.
 */
volatile: boolean, 
/**
 * Molar mass.
 */
molarMass: string, 
/**
 * Lower flammable limit.
 */
lowerLimit: string, 
/**
 * Exposure limit, eight hours (section 8).
 */
dayLimit: string, 
/**
 * Exposure limit, fifteen minutes.
 */
shortLimit: string, 
/**
 * Exposure limit that may never be passed.
 */
ceiling: string, };

export type EntryPlace = { 
/**
 * The installation that wrote it.
 */
origin: string, 
/**
 * Its number.
 */
number: number, };

export type ContainerAnswer = { 
/**
 * Which.
 */
container: string, 
/**
 * Where it is.
 */
state: ContainerWord, };

export type AnswerDraft = { "form": "choice", 
/**
 * The state.
 */
state: string, } | { "form": "value", 
/**
 * As typed.
 */
text: string, } | { "form": "measured-airflow", 
/**
 * Air speed.
 */
speed: string, 
/**
 * Free area.
 */
opening: string, } | { "form": "traverse", 
/**
 * The speeds.
 */
speeds: Array<string>, 
/**
 * Area of the opening.
 */
opening: string, 
/**
 * Free share of it in percent.
 */
free: string, } | { "form": "filtered-fan", 
/**
 * Rated flow.
 */
flow: string, 
/**
 * Share counted, in percent.
 */
share: string, 
/**
 * What the filter takes of that, in percent.
 */
filter: string, } | { "form": "rated-airflow", 
/**
 * Rated flow.
 */
flow: string, 
/**
 * Share counted, in percent.
 */
share: string, } | { "form": "containers", 
/**
 * A state for each.
 */
states: Array<ContainerAnswer>, } | { "form": "distance", 
/**
 * As typed.
 */
nearest: string, 
/**
 * A shield that doesn't burn stands between.
 */
shielded: boolean, } | { "form": "watcher", 
/**
 * The person.
 */
person: string, } | { "form": "no-meter" };
