//! Figures for one rod: that they follow its sheet, say what is missing, and are kept as signed.

use super::{KeptFigure, Sketch, StepFigure, figures};
use crate::checklist::{self, Checklist, ClockKind, ClockStart, Runs, Signed, Stage, ToBegin};
use crate::command::{Actor, Command, NewChange, NewStation};
use crate::event::{Event, EventRef, Happened, Moment, StepPlace};
use crate::ids::{ClockId, PersonId, RodId, StageId, StationId, StepId, TextDigest};
use crate::refusal::Refusal;
use crate::rod::{
    DiameterReading, GripMaterial, Part, PartBore, PartKind, Reading, ReelType, RodPlan,
};
use crate::run::{Mark, Value};
use crate::{State, clock_runs, decide};
use chrono::{TimeDelta, TimeZone};
use coldbench_trade::{LengthForm, LengthUnit, Units};

mod blank;

const STAGE: &str = r#"
format = 1
kind = "stage"
id = "grip"
title = "Grip"
aim = "It sits."
revised = "2026-11-25"
part = "rear-grip"

[[step]]
id = "ream"
what = "Ream it."
key-point = "Little by little."
reason = "It scrapes."
figures = [
    { name = "bore-stop" },
    { name = "ream", least = "0.05 mm", most = "0.25 mm" },
    { name = "glue-line" },
    { name = "roughening", set-back = "2 mm" },
    { name = "assembly-order" },
    { name = "tape-build-up", part = "reel-seat", tape = "0.15 mm" },
    { name = "bushings", part = "reel-seat", width = "8 mm", inset = "4 mm", free-at-most = "40 mm" },
]
"#;

const STEPS: &str = r#"
[[step]]
id = "mix"
what = "Mix it."
key-point = "By the sheet."
reason = "It stays soft."
starts = { id = "pot", clock = "working-time", name = "Resin", minutes = 40 }
figures = [
    { name = "mix", product = "epoxy", lost = "30 %" },
    { name = "working-time", product = "epoxy" },
    { name = "gloves", product = "gloves", open = ["epoxy"] },
    { name = "sleeve", product = "tube", tuck = "20 mm" },
]

[[step]]
id = "bond"
what = "Bond it."
key-point = "Turn it."
reason = "It spreads."
ends = "pot"
starts = { id = "cure", clock = "cure", name = "Cure", minutes = 600 }
figures = [{ name = "cure", product = "epoxy" }, { name = "mix", product = "tube", lost = "5 %" }]

[[step]]
id = "beneath"
what = "Look it up."
key-point = "In the sheet."
reason = "It goes soft."
record = { name = "What it bears", measure = "temperature" }
figures = [{ name = "heat-beneath", product = "tube" }]

[[step]]
id = "butt"
what = "Try it."
key-point = "Do not steer."
reason = "It rolls."
record = { name = "Trial at the butt", measure = "angle", repeat = 3 }
figures = [{ name = "spine", trials = "butt" }]

[[step]]
id = "tip"
what = "Try it there."
key-point = "Do not steer."
reason = "It may twist."
record = { name = "Trial at the tip", measure = "angle", repeat = 3, pairs = true }
figures = [{ name = "spine", trials = "butt", tip-trials = "tip" }]

[[step]]
id = "mark"
what = "Mark it."
key-point = "On top."
reason = "It is hidden later."
record = { name = "Mark", measure = "angle" }
figures = [{ name = "spine-mark", trials = "butt", tip-trials = "tip" }]

[[step]]
id = "off"
what = "Settle it."
key-point = "Little."
reason = "It can't be uncut."
record = { name = "Off the tip", measure = "length" }
figures = [{ name = "trim-tip" }, { name = "trim-butt" }]

[[step]]
id = "hang"
what = "Hang it."
key-point = "By hand."
reason = "It shows."
record = { name = "Down", measure = "length" }
figures = [{ name = "static-test", at = "100 %", tolerance = "10 %" }, { name = "guide-layout" }]
"#;

const EPOXY: &str = r#"
format = 1
kind = "adhesive"
id = "epoxy"
title = "Invented epoxy"
revised = "2026-11-25"
source = "Invented."
resin-density = "1.2 g/mL"
hardener-density = "1.0 g/mL"
ratio = { by = "volume", resin = 2, hardener = 1 }
tolerance = "5 %"
most-in-one-cup = "50 g"
pot-life = { time = "45 min", mass = "100 g", at = "23 °C" }
reference = "23 °C"
handle = "10 h"
load = "20 h"
full = "100 h"
"#;

const TUBE: &str = r#"
format = 1
kind = "sleeve"
id = "tube"
title = "Invented sleeve"
revised = "2026-11-25"
source = "Invented."
shrinks = { from = "80 °C", full = "100 °C" }
length-change = "-10 %"
bears = "130 °C"

[[size]]
name = "large"
expanded = "40 mm"
recovered = "20 mm"
wall = "1 mm"
"#;

const GLOVES: &str = r#"
format = 1
kind = "glove"
id = "gloves"
title = "Invented gloves"
revised = "2026-11-25"
type = "nitrile"
source = "Invented."

[[against]]
material = "epoxy"
level = 3
source = "Invented."
"#;

fn reading(mm: f64) -> Reading {
    Reading { text: format!("{mm} mm"), value: mm }
}

fn part(kind: PartKind, from: f64, to: f64, thick: f64, bore: Option<f64>) -> Part {
    Part {
        kind,
        description: kind.words().to_owned(),
        from_mm: from,
        to_mm: to,
        diameter_mm: thick,
        thinnest: None,
        bore: bore.map(|bore| PartBore { butt: reading(bore), tip: None }),
        written: None,
    }
}

fn plan() -> RodPlan {
    RodPlan {
        title: "Invented".to_owned(),
        customer: "Nobody".to_owned(),
        wishes: String::new(),
        reel: ReelType::Spinning,
        grip: GripMaterial::Cork,
        blank: "Invented blank".to_owned(),
        length: reading(2100.0),
        joins: Vec::new(),
        diameters: [(0.0, 12.0), (400.0, 10.0), (2100.0, 1.6)]
            .map(|(at, d)| DiameterReading { from_butt: reading(at), diameter: reading(d) })
            .to_vec(),
        parts: vec![
            part(PartKind::RearGrip, 0.0, 200.0, 26.0, Some(11.5)),
            part(PartKind::ReelSeat, 200.0, 300.0, 22.0, Some(16.0)),
        ],
        layout: None,
        sure: false,
    }
}

struct Shop {
    state: State,
    now: Moment,
    number: u64,
}

impl Shop {
    fn new() -> Self {
        let utc = chrono::FixedOffset::east_opt(0).unwrap();
        let now = utc.with_ymd_and_hms(2026, 11, 25, 9, 0, 0).unwrap();
        let mut shop = Self { state: State::default(), now, number: 0 };
        let station =
            NewStation { name: "Bench".to_owned(), room: String::new(), shares_room_with: None };
        let found = Command::Found {
            name: "Invented".to_owned(),
            demo: true,
            lengths: LengthUnit::Millimetre,
            lead: "Lead".to_owned(),
            station,
        };
        shop.take(decide(&shop.state, &Actor::Program, found, now).unwrap());
        shop
    }

    fn with_rod(plan: RodPlan) -> Self {
        let mut shop = Self::new();
        shop.act(Command::BeginRod(Box::new(plan))).unwrap();
        let text = format!("{STAGE}{STEPS}");
        let Some(Checklist::Stage(stage)) = checklist::read(&text).checklist else {
            panic!("{:?}", checklist::read(&text).findings)
        };
        let signed = Signed::<Stage> { digest: TextDigest::new("text"), source: text, list: stage };
        // The bench list is no matter here.
        let station = shop.state.stations.get_mut(&StationId::new("S-1")).unwrap();
        station.open_until = Some(shop.now + TimeDelta::hours(12));
        shop.act(Command::BeginStage {
            rod: RodId::new("R-1"),
            stage: Box::new(ToBegin {
                stage: signed,
                products: [EPOXY, TUBE, GLOVES]
                    .map(|text| (TextDigest::new(&text[20..60]), text.to_owned()))
                    .to_vec(),
                over: None,
            }),
            station: StationId::new("S-1"),
        })
        .unwrap();
        shop
    }

    fn take(&mut self, events: Vec<Event>) {
        for event in events {
            self.number += 1;
            self.state.evolve(&Happened {
                id: EventRef { origin: "test".to_owned(), number: self.number },
                at: self.now,
                person: Some(PersonId::new("P-1")),
                event,
            });
        }
    }

    fn act(&mut self, command: Command) -> Result<Vec<Event>, Refusal> {
        self.now += TimeDelta::seconds(5);
        let actor = Actor::PersonNow(PersonId::new("P-1"));
        let events = decide(&self.state, &actor, command, self.now)?;
        self.take(events.clone());
        Ok(events)
    }

    fn revise(&mut self, change: NewChange, reason: &str, sure: bool) -> Result<(), Refusal> {
        let rod = RodId::new("R-1");
        let reason = reason.to_owned();
        self.act(Command::ReviseRod { rod, change, reason, sure }).map(drop)
    }

    fn figures(&self) -> Vec<StepFigure> {
        figures(&self.state, &place(), self.now)
    }

    /// The figure of another step.
    fn at(&self, step: &str, name: &str) -> StepFigure {
        let place = StepPlace { step: StepId::new(step), ..place() };
        let found = figures(&self.state, &place, self.now);
        found.into_iter().find(|figure| figure.name == name).unwrap()
    }

    fn room(&mut self, text: &str) {
        let (station, text) = (StationId::new("S-1"), text.to_owned());
        self.act(Command::ReadTemperature { station, text }).unwrap();
    }

    /// As if it had been measured when its turn came.
    fn measured(&mut self, step: &str, values: impl IntoIterator<Item = f64>) {
        let event = EventRef { origin: "test".to_owned(), number: self.number };
        let mark = Mark { event, by: Some(PersonId::new("P-1")), at: self.now };
        let values: Vec<Value> = values
            .into_iter()
            .map(|value| Value {
                reading: Reading { text: value.to_string(), value },
                within: true,
                mark: mark.clone(),
                accepted: None,
            })
            .collect();
        let rod = self.state.rods.get_mut(&RodId::new("R-1")).unwrap();
        let run = rod.stages.iter_mut().find(|run| run.id == place().stage).unwrap();
        run.steps.entry(StepId::new(step)).or_default().values = values;
    }

    /// Changes what was written of the values measured there.
    fn written<const N: usize>(&mut self, step: &str, texts: [&str; N]) {
        let rod = self.state.rods.get_mut(&RodId::new("R-1")).unwrap();
        let run = rod.stages.iter_mut().find(|run| run.id == place().stage).unwrap();
        let values = &mut run.steps.get_mut(&StepId::new(step)).unwrap().values;
        for (value, text) in values.iter_mut().zip(texts) {
            value.reading.text = text.to_owned();
        }
    }

    fn start(&mut self, step: &str) {
        let at = StepPlace { step: StepId::new(step), ..place() };
        self.act(Command::StartClock { at, minutes: None }).unwrap();
    }

    fn figure(&self, name: &str) -> StepFigure {
        self.figures().into_iter().find(|figure| figure.name == name).unwrap()
    }
}

fn place() -> StepPlace {
    StepPlace { rod: RodId::new("R-1"), stage: StageId::new("grip"), step: StepId::new("ream") }
}

fn diameter(row: Option<usize>, from_butt: &str, diameter: &str) -> NewChange {
    NewChange::Diameter { row, from_butt: from_butt.to_owned(), diameter: diameter.to_owned() }
}

fn told(figure: &StepFigure) -> String {
    let rows = figure.rows.iter().map(|row| format!("{}: {}\n", row.label, row.value));
    rows.chain(figure.warnings.iter().cloned()).chain(figure.missing.clone()).collect()
}

#[test]
fn every_figure_of_the_fit_is_worked_out_for_this_rod() {
    let shop = Shop::with_rod(plan());
    for figure in shop.figures().iter().filter(|figure| figure.name != "glue-line") {
        assert_eq!(figure.missing, None, "{}", figure.name);
        assert!(!figure.rows.is_empty() && !figure.source.is_empty(), "{}", figure.name);
    }
    // By hand: the blank is 12 - at / 200 mm; a bore of 11.5 stops where the blank is that thick.
    assert!(told(&shop.figure("bore-stop")).contains("100.0 mm"), "{:?}", shop.figure("bore-stop"));
    // At the butt: 12 + 0.03 and 0.03 for two readings, 0.05 on either side.
    assert!(told(&shop.figure("ream")).contains("ream to 12.16 mm"), "{:?}", shop.figure("ream"));
    let line = shop.figure("glue-line").missing.unwrap();
    assert!(line.contains("Ream"), "the bore is narrower than the blank: {line}");
    let order = told(&shop.figure("assembly-order"));
    // The grip can't pass the seat (22 mm) with its bore of 11.5: it goes on first.
    assert!(order.starts_with("1.: rear grip"), "{order}");
    assert!(order.contains("Ream it first"), "{order}");
}

/// A cut must not be listed below bounds that it breaks.
#[test]
fn no_cut_is_listed_that_leaves_too_much_at_its_narrow_end() {
    for (steep, bore) in [(12.2, 8.0), (13.5, 9.0), (16.0, 8.0), (11.0, 10.0)] {
        let mut plan = plan();
        plan.diameters = [(0.0, steep), (600.0, 9.3), (1300.0, 5.9), (2100.0, 2.2)]
            .map(|(at, d)| DiameterReading { from_butt: reading(at), diameter: reading(d) })
            .to_vec();
        plan.parts[0] = part(PartKind::RearGrip, 0.0, 240.0, 26.0, Some(bore));
        let told = told(&Shop::with_rod(plan).figure("ream"));
        assert!(told.contains("ream to "), "{told}");
        assert!(!told.contains("The cut that begins"), "{told}");
        assert!(told.contains("Cut 1: ") != told.contains("Straight cuts: "), "{told}");
    }
}

#[test]
fn a_figure_follows_a_corrected_diameter_and_the_signed_one_stays() {
    let mut shop = Shop::with_rod(plan());
    let before = shop.figure("ream");
    let signed = shop.act(Command::SignStep(place())).unwrap();
    let Some(Event::StepDone { figures: kept, .. }) = signed.last() else { panic!("{signed:?}") };
    assert_eq!(kept[1], KeptFigure::from(&before));

    shop.revise(diameter(Some(0), "0 mm", "12.4 mm"), "Read at the wrong mark.", false).unwrap();
    let after = shop.figure("ream");
    assert!(told(&after).contains("ream to 12.56 mm"), "{after:?}");
    let run = shop.state.rods[&RodId::new("R-1")].stage(&StageId::new("grip")).unwrap();
    assert_eq!(&run.steps[&StepId::new("ream")].figures[1], &KeptFigure::from(&before));
    let revised = &shop.state.rods[&RodId::new("R-1")].revisions[0];
    assert_eq!(revised.was.as_deref(), Some("12 mm at 0 mm from the butt"));
    assert_eq!(revised.now, "12.4 mm at 0 mm from the butt");
}

#[test]
fn a_blank_written_down_wrong_is_put_right() {
    let mut shop = Shop::with_rod(plan());
    let rod = RodId::new("R-1");
    let before = shop.state.rods[&rod].plan.clone();
    let blank = |length: &str, joins: &[&str]| NewChange::Blank {
        length: length.to_owned(),
        joins: joins.iter().map(|join| (*join).to_owned()).collect(),
    };
    // Nothing that lies on the blank may fall off it, and every correction has a reason.
    let last = before.diameters.last().unwrap().from_butt.value;
    let short = blank(&format!("{} mm", last - 1.0), &[]);
    assert!(matches!(shop.revise(short, "Typed short.", false), Err(Refusal::BadBlank(_))));
    let outside = blank(&before.length.text, &["9 m"]);
    assert!(matches!(shop.revise(outside, "Two pieces.", false), Err(Refusal::BadBlank(_))));
    assert!(shop.revise(blank("84 in", &[]), " ", false).is_err());
    assert_eq!(shop.state.rods[&rod].plan, before);

    shop.revise(blank("84 in", &["1 m", " ", "700"]), "Three pieces.", false).unwrap();
    shop.revise(NewChange::Grip(GripMaterial::Composite), "The customer saw the sleeve.", false)
        .unwrap();
    let found = &shop.state.rods[&rod];
    assert_eq!(found.plan.grip, GripMaterial::Composite);
    let joins: Vec<f64> = found.plan.joins.iter().map(|join| join.value.round()).collect();
    assert_eq!(joins, [700.0, 1000.0]);
    let [blank, grip] = found.revisions.as_slice() else { panic!("{:?}", found.revisions) };
    assert_eq!(blank.was.as_deref(), Some("blank 2100 mm long, in one piece"));
    assert_eq!(blank.now, "blank 84 in long, joined at 700 mm and 1 m from the butt");
    assert_eq!(grip.was.as_deref(), Some("a cork grip"));
    assert_eq!(grip.now, "a composite grip under a sleeve");
}

#[test]
fn a_kept_figure_reads_back_and_an_older_event_has_none() {
    let shop = Shop::with_rod(plan());
    let kept: Vec<KeptFigure> = shop.figures().iter().map(KeptFigure::from).collect();
    let done = Event::StepDone {
        at: place(),
        clearance: None,
        figures: kept,
        from_paper: None,
        lead_sees: None,
    };
    let text = serde_json::to_string(&done).unwrap();
    assert_eq!(serde_json::from_str::<Event>(&text).unwrap(), done);
    let old = r#"{"kind":"step-done","body":{"rod":"R-1","stage":"grip","step":"ream","clearance":null}}"#;
    let Event::StepDone { figures, .. } = serde_json::from_str(old).unwrap() else { panic!() };
    assert!(figures.is_empty());
}

#[test]
fn what_is_missing_is_said_and_nothing_is_invented() {
    let mut unknown = plan();
    unknown.parts[0].bore = None;
    let shop = Shop::with_rod(unknown);
    for name in ["bore-stop", "ream", "glue-line", "roughening"] {
        let figure = shop.figure(name);
        assert!(figure.rows.is_empty() && figure.sketch.is_none());
        assert!(figure.missing.unwrap().contains("bore of the rear grip is not written down"));
    }
    assert!(told(&shop.figure("assembly-order")).contains("left out here"));

    let mut bare = plan();
    bare.parts.clear();
    let shop = Shop::with_rod(bare);
    assert!(shop.figure("ream").missing.unwrap().contains("No rear grip is written down"));
    assert!(shop.figure("assembly-order").missing.is_some());

    let mut late = plan();
    late.diameters[0].from_butt = reading(30.0);
    let shop = Shop::with_rod(late);
    assert!(shop.figure("ream").missing.unwrap().contains("Nothing was measured at 0.00 mm"));
}

#[test]
fn units_are_the_builders() {
    let mut shop = Shop::with_rod(plan());
    let units = Units {
        diameters: LengthForm::FractionInch,
        distances: LengthForm::DecimalInch,
        ..Units::usual(LengthUnit::Millimetre)
    };
    shop.act(Command::ChooseUnits(units)).unwrap();
    let stop = told(&shop.figure("bore-stop"));
    assert!(stop.contains("3.937 in"), "{stop}");
    // 12.16 mm is 0.479 in, nearest to 31/64.
    let ream = told(&shop.figure("ream"));
    assert!(ream.contains("ream to 31/64 in (0.479 in)"), "{ream}");
    // A bare number is now taken in inches.
    shop.revise(diameter(None, "8", "7/16"), "", false).unwrap();
    let row = &shop.state.rods[&RodId::new("R-1")].plan.diameters[1];
    assert_eq!((row.from_butt.text.as_str(), row.diameter.text.as_str()), ("8 in", "7/16 in"));
}

#[test]
fn a_drawing_shows_the_blank_inside_the_bore_it_is_to_get() {
    let Some(Sketch::Section(cut)) = Shop::with_rod(plan()).figure("ream").sketch else { panic!() };
    assert!(cut.goal.iter().all(|(at, goal)| {
        let near = cut.blank.iter().min_by(|a, b| (a.0 - at).abs().total_cmp(&(b.0 - at).abs()));
        near.is_some_and(|(_, blank)| blank < goal)
    }));
}

#[test]
fn one_place_has_one_diameter_and_a_doubtful_unit_is_asked_about() {
    let mut shop = Shop::with_rod(plan());
    let twice = shop.revise(diameter(None, "400 mm", "10.2 mm"), "", false);
    assert!(matches!(twice, Err(Refusal::MeasuredTwice { .. })), "{twice:?}");
    // Inches read as millimetres: 0.37 mm at a metre, between 10 mm and 1.6 mm.
    let slip = shop.revise(diameter(None, "1000 mm", "0.28 mm"), "", false);
    assert!(matches!(slip, Err(Refusal::MixedUnits { .. } | Refusal::BadBlank(_))), "{slip:?}");
    let grows = shop.revise(diameter(None, "1000 mm", "11 mm"), "", false);
    assert!(matches!(grows, Err(Refusal::BadBlank(_))), "{grows:?}");
    assert_eq!(shop.state.rods[&RodId::new("R-1")].plan, plan());

    let mut mixed = plan();
    mixed.diameters = [(0.0, 12.0), (400.0, 10.0), (1000.0, 0.28), (2100.0, 0.063)]
        .map(|(at, d)| DiameterReading { from_butt: reading(at), diameter: reading(d) })
        .to_vec();
    let mut other = Shop::new();
    let refused = other.act(Command::BeginRod(Box::new(mixed.clone())));
    assert!(matches!(refused, Err(Refusal::MixedUnits { .. })), "{refused:?}");
    mixed.sure = true;
    other.act(Command::BeginRod(Box::new(mixed))).unwrap();
}

#[test]
fn a_part_must_leave_something_of_itself_and_lie_on_the_blank() {
    let mut shop = Shop::with_rod(plan());
    let bore = |butt: &str| NewChange::Bore { part: 0, butt: butt.to_owned(), tip: String::new() };
    for wrong in ["26 mm", "0 mm", "-3 mm", "abc", ""] {
        assert!(shop.revise(bore(wrong), "", false).is_err(), "{wrong}");
    }
    let through = shop.revise(bore("300 mm"), "", false).unwrap_err().to_string();
    assert!(through.contains("rear grip"), "{through}");
    shop.revise(bore("12.3 mm"), "", false).unwrap();
    // Reamed: now there is a glue line.
    assert!(shop.figure("glue-line").missing.is_none());
    let ring = |to: &str| NewChange::Part {
        row: None,
        kind: PartKind::TrimRing,
        description: String::new(),
        from: "300 mm".to_owned(),
        to: to.to_owned(),
        diameter: "20 mm".to_owned(),
        thinnest: String::new(),
    };
    let long = shop.revise(ring("2200 mm"), "", false);
    assert!(matches!(long, Err(Refusal::BadPart { .. })), "{long:?}");
    shop.revise(ring("306 mm"), "", false).unwrap();
    assert_eq!(shop.state.rods[&RodId::new("R-1")].plan.parts[2].description, "Trim ring");
}

#[test]
fn putting_right_needs_a_reason_and_the_pin() {
    let mut shop = Shop::with_rod(plan());
    let change = || diameter(Some(0), "0 mm", "12.1 mm");
    let silent = shop.revise(change(), " ", false);
    assert_eq!(silent, Err(Refusal::Missing { what: "The reason" }));
    let rod = RodId::new("R-1");
    let passing = Command::ReviseRod {
        rod: rod.clone(),
        change: change(),
        reason: "Wrong mark.".to_owned(),
        sure: false,
    };
    let unlocked = Actor::Person(PersonId::new("P-1"));
    let refused = decide(&shop.state, &unlocked, passing, shop.now);
    assert_eq!(refused, Err(Refusal::PinAgain));
    let more = Command::ReviseRod {
        rod,
        change: diameter(None, "600 mm", "9 mm"),
        reason: String::new(),
        sure: false,
    };
    assert!(decide(&shop.state, &unlocked, more, shop.now).is_ok());
    let nowhere = shop.revise(diameter(Some(9), "0 mm", "12 mm"), "Wrong.", false);
    assert!(matches!(nowhere, Err(Refusal::Unknown { .. })), "{nowhere:?}");
}

/// A grip of 12.2 mm bore on 12 to 11 mm: by hand, frusta of 200 mm.
fn reamed() -> Shop {
    let mut reamed = plan();
    reamed.parts[0].bore = Some(PartBore { butt: reading(12.2), tip: Some(reading(11.2)) });
    Shop::with_rod(reamed)
}

#[test]
fn what_to_mix_follows_the_gap_and_the_products_ratio() {
    let shop = reamed();
    let mix = shop.at("mix", "mix");
    assert_eq!(mix.missing, None);
    let Some(Sketch::Shares(shares)) = &mix.sketch else { panic!("{mix:?}") };
    let (resin, hardener) = (shares[0].1, shares[1].1);
    // Two of resin to one of hardener by volume: 2.4 to 1 by weight, as the scale can show it.
    assert!((resin / hardener - 2.4).abs() < 0.05 * 2.4, "{resin} to {hardener}");
    // pi 11.6 mm x 0.1 mm x 200 mm is 0.73 mL, at most half as much again by the caliper's doubt.
    let holds = |shop: &Shop| {
        let mix = shop.at("mix", "mix");
        let row = mix.rows.iter().find(|row| row.label.starts_with("The joint")).unwrap();
        row.value.split(' ').next().unwrap().parse::<f64>().unwrap()
    };
    assert!((0.73..1.2).contains(&holds(&shop)), "{}", holds(&shop));
    let volume = resin / 1.2 + hardener;
    assert!(volume >= holds(&shop) / 0.7, "{volume}");
    // A wider bore takes more.
    let mut wide = reamed();
    let wider = NewChange::Bore { part: 0, butt: "12.6 mm".to_owned(), tip: "11.6 mm".to_owned() };
    wide.revise(wider, "", false).unwrap();
    assert!(holds(&wide) > 2.0 * holds(&shop));
    // A sleeve's file is no adhesive.
    let wrong = shop.at("bond", "mix").missing.unwrap();
    assert!(wrong.contains("no adhesive"), "{wrong}");
}

#[test]
fn working_time_runs_down_and_warmth_shortens_it() {
    let mut shop = reamed();
    shop.act(Command::SignStep(place())).unwrap();
    shop.room("23 °C");
    let whole = |shop: &Shop| told(&shop.at("mix", "working-time"));
    assert!(whole(&shop).contains(": 45 min"), "{}", whole(&shop));
    shop.start("mix");
    shop.now += TimeDelta::minutes(10);
    assert!(whole(&shop).contains("Left now: 35 min"), "{}", whole(&shop));
    shop.room("33 °C");
    assert!(whole(&shop).contains("warmer than on the sheet"), "{}", whole(&shop));
    assert!(!whole(&shop).contains("Left now: 34 min"));
    let cold = shop.act(Command::ReadTemperature {
        station: StationId::new("S-1"),
        text: "230 °C".to_owned(),
    });
    assert!(matches!(cold, Err(Refusal::NoRoomTemperature { .. })), "{cold:?}");
}

#[test]
fn a_cure_is_never_sooner_than_the_sheet_and_waits_in_the_cold() {
    let mut shop = reamed();
    shop.act(Command::SignStep(place())).unwrap();
    let never_read = shop.at("bond", "cure").missing.unwrap();
    assert!(never_read.contains("never read"), "{never_read}");
    shop.room("23 °C");
    shop.start("mix");
    shop.act(Command::SignStep(StepPlace { step: StepId::new("mix"), ..place() })).unwrap();
    shop.start("bond");
    let made = shop.now;
    // 20 h after half past nine at the latest; times are rounded up to five minutes.
    let cure = told(&shop.at("bond", "cure"));
    assert!(cure.contains("Load after: Thu 26 Nov 05:05\n"), "{cure}");
    let latest = |shop: &Shop| {
        let Some(Sketch::Times(times)) = shop.at("bond", "cure").sketch else { panic!() };
        times[1].latest
    };
    shop.now = made + TimeDelta::hours(2);
    let warm = latest(&shop);
    shop.room("30 °C");
    shop.now += TimeDelta::hours(1);
    assert!((latest(&shop) - (warm - 60.0)).abs() < 1.0, "warmth adds nothing");
    shop.room("15 °C");
    assert!(latest(&shop) > warm, "in the cold it takes longer");
    shop.room("4 °C");
    let cold = told(&shop.at("bond", "cure"));
    assert!(cold.contains("never at this temperature"), "{cold}");
    // A thermometer that nobody looks at any more proves nothing.
    let before = {
        shop.room("23 °C");
        latest(&shop)
    };
    shop.now += TimeDelta::hours(8);
    assert!((latest(&shop) - before).abs() < 1.0);
    let told = told(&shop.at("bond", "cure"));
    assert!(told.contains("there are no readings") && told.contains("Read it now"), "{told}");
}

#[test]
fn a_sleeve_is_chosen_by_the_part_it_covers_and_heat_by_what_lies_beneath() {
    let mut shop = reamed();
    let sleeve = told(&shop.at("mix", "sleeve"));
    assert!(sleeve.contains("size large"), "{sleeve}");
    // 200 mm and 20 mm, a tenth of it lost.
    assert!(sleeve.contains("Cut: 244.4 mm"), "{sleeve}");
    assert!(sleeve.contains("thinnest place of the rear grip is not written down"), "{sleeve}");
    for (bears, words) in [
        (None, "What the core beneath bears is not known, so no heat"),
        (Some(80.0), "the core beneath does not bear even where the sleeve begins to shrink"),
        (Some(105.0), "does not bear full shrinkage with the margin"),
        (Some(140.0), "yes, with 10 K (18 °F) to spare or more"),
    ] {
        shop.measured("beneath", bears);
        let heat = told(&shop.at("beneath", "heat-beneath"));
        assert!(heat.contains(words), "{bears:?}: {heat}");
        assert_eq!(heat.contains("yes,"), bears == Some(140.0), "{heat}");
    }
    let contoured = NewChange::Part {
        row: Some(0),
        kind: PartKind::RearGrip,
        description: String::new(),
        from: "0 mm".to_owned(),
        to: "200 mm".to_owned(),
        diameter: "26 mm".to_owned(),
        thinnest: "19 mm".to_owned(),
    };
    shop.revise(contoured, "It has a waist.", false).unwrap();
    // 20 mm recovered can't grip 19 mm.
    let none = shop.at("mix", "sleeve").missing.unwrap();
    assert!(none.contains("No sleeve in the list"), "{none}");
}

#[test]
fn gloves_are_changed_by_what_is_open() {
    let shop = reamed();
    let gloves = told(&shop.at("mix", "gloves"));
    // Level 3 is longer than 60 min; movement takes a third.
    assert!(gloves.contains("after: 40 min"), "{gloves}");
    assert!(gloves.contains("soap and water") && gloves.contains("Never use solvent"), "{gloves}");
    // Their clock runs as long as the figure says, or as the checklist does where that is less.
    let place = StepPlace { step: StepId::new("mix"), ..place() };
    let run = shop.state.rods[&place.rod].stage(&place.stage).unwrap();
    let runs = |kind, minutes| {
        let (id, name) = (ClockId::new("clock"), String::new());
        let start = ClockStart { id, kind, name, runs: Runs::Minutes(minutes) };
        clock_runs(&shop.state, run, &start, &place, shop.now).unwrap()
    };
    assert_eq!(runs(ClockKind::GloveChange, 60), 40);
    assert_eq!(runs(ClockKind::GloveChange, 30), 30);
    assert_eq!(runs(ClockKind::WorkingTime, 60), 60);
}
