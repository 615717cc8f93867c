//! The demo workshop. Its people, rods and numbers are invented.
//!
//! It is made by the same commands a person gives at the bench, at times in the past days, so
//! that its ledger verifies like any other.

use crate::clock::Clock;
use crate::error::ShellError;
use crate::folder;
use crate::workshop::Workshop;
use chrono::TimeDelta;
use coldbench_ledger::{Ledger, LedgerError, Pin};
use coldbench_shop::checklist::{Material, Signed, StationKind};
use coldbench_shop::layout::{GuidePlan, LayoutPlan, MarkPlan};
use coldbench_shop::{
    Answer, Command, DiameterReading, GripMaterial, NewChange, NewStation, Part, PartBore,
    PartKind, PersonId, Position, Reading, ReelType, RodId, RodPlan, Role, StageId, StationId,
    StepId, StepPlace,
};
use coldbench_trade::LengthUnit;
use std::path::{Path, PathBuf};

const LEAD: (&str, &str) = ("P-1", "2468");
const HELPER: (&str, &str) = ("P-2", "1357");
const LEAD_NAME: &str = "Marta Quillfeather";
const HELPER_NAME: &str = "Odo Fennick";
const BENCH: &str = "S-1";
const ALCOHOL: &str = "isopropyl-alcohol";
const FLY: &str = "R-1";
const SPIN: &str = "R-2";

/// The people's PINs, to be shown: nothing in the demo is secret.
pub fn pins() -> String {
    format!("{LEAD_NAME}: {}, {HELPER_NAME}: {}", LEAD.1, HELPER.1)
}

/// The folder of the demo workshop that a start without arguments opens; made if it is not there.
pub fn folder() -> Result<PathBuf, ShellError> {
    let base = dirs::data_dir().unwrap_or_else(std::env::temp_dir);
    let folder = base.join("coldbench").join("demo");
    if !Ledger::exists(&folder) {
        make(&folder)?;
    }
    Ok(folder)
}

/// Makes the demo workshop in an empty folder.
pub fn make(target: &Path) -> Result<(), ShellError> {
    // `.` can neither be removed nor renamed over; its full path can.
    let target = &std::path::absolute(target).map_err(ShellError::file(target))?;
    if Ledger::exists(target) {
        return Err(LedgerError::Present { path: target.to_owned() }.into());
    }
    if !folder::is_free(target)? {
        return Err(ShellError::NotEmpty { path: target.to_owned() });
    }
    // Beside it first, then moved: a broken-off start leaves no half demo.
    let parent = target.parent().unwrap_or(Path::new("."));
    std::fs::create_dir_all(parent).map_err(ShellError::file(parent))?;
    let making = tempfile::Builder::new()
        .prefix(".coldbench-demo-")
        .tempdir_in(parent)
        .map_err(ShellError::file(parent))?;
    tell(making.path())?;
    match std::fs::remove_dir(target) {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
            return Err(ShellError::file(target)(error));
        }
        _ => {}
    }
    let made = making.keep();
    std::fs::rename(&made, target).map_err(ShellError::file(target))
}

fn tell(folder: &Path) -> Result<(), ShellError> {
    let start = Clock::Wall.now() - TimeDelta::hours(90);
    let mut story =
        Story { workshop: Workshop::open(folder, Clock::Set(start))?, start, who: LEAD };
    story.set_up()?;
    story.open_bench()?;
    story.begin_rod(fly_rod())?;
    story.bend(FLY, fly_layout())?;
    story.go(FLY, "blank-intake", None, INTAKE_FLY)?;
    story.go(FLY, "spine", None, SPINE_FLY)?;
    story.at_hour(2);
    story.go(FLY, "rear-grip", Some("cured"), GRIP_FLY)?;
    story.at_hour(34);
    story.open_bench()?;
    story.go(FLY, "rear-grip", None, GRIP_FLY)?;
    story.begin_rod(spinning_rod())?;
    story.bend(SPIN, spinning_layout())?;
    story.go(SPIN, "blank-intake", None, INTAKE_SPIN)?;
    story.cut(SPIN, "10 mm")?;
    story.unlock(HELPER)?;
    story.go(SPIN, "spine", None, SPINE_SPIN)?;
    story.at_hour(50);
    story.open_bench()?;
    story.go(SPIN, "rear-grip", Some("cured"), GRIP_SPIN)?;
    story.at_hour(84);
    story.open_bench()?;
    story.go(SPIN, "rear-grip", None, GRIP_SPIN)?;
    story.unlock(LEAD)?;
    story.go(FLY, "reel-seat", Some("cured"), SEAT_FLY)?;
    Ok(())
}

/// What was measured, by step.
type Measured = &'static [(&'static str, &'static str)];

const SPINE_FLY: Measured = &[
    ("apart", "2"),
    ("look-over", "2 mm"),
    ("scale", "31 mm"),
    ("zero", "0.2 mm"),
    ("tip-scale", "1°"),
    ("butt-trials", "112° | 118° | 115°"),
    ("tip-trials", "119° | 114° | 116°"),
    ("mark", "115°"),
    ("other-pieces", "8°"),
];
const SPINE_SPIN: Measured = &[
    ("look-over", "1.5 mm"),
    ("scale", "33 mm"),
    ("zero", "0.2 mm"),
    ("tip-scale", "1°"),
    ("butt-trials", "204° | 211° | 209°"),
    ("tip-trials", "206° | 341° | 212° | 207°"),
    ("mark", "208°"),
];
const INTAKE_FLY: Measured = &[
    ("look-over", "0"),
    ("length", "2590 mm"),
    ("taper", "1.5 mm"),
    ("weigh", "58 g"),
    ("clamp", "900 mm"),
    ("load-test", "455 mm"),
    ("trim-tip", "0 mm"),
    ("trim-butt", "0 mm"),
    ("cut", "2590 mm"),
];
const INTAKE_SPIN: Measured = &[
    ("look-over", "0"),
    ("length", "2130 mm"),
    ("taper", "1.7 mm"),
    ("weigh", "64 g"),
    ("clamp", "900 mm"),
    ("load-test", "398 mm"),
    ("trim-tip", "10 mm"),
    ("trim-butt", "0 mm"),
    ("cut", "2120 mm"),
];
const GRIP_FLY: Measured = &[
    ("ream-to-fit", "0.15 mm"),
    ("bore", "9.9 mm"),
    ("mark-edge", "292 mm"),
    ("tape-and-roughen", "0.5 mm"),
    ("wipe", "IPA-0412"),
    ("weigh", "101 %"),
    ("weigh/lot", "R 2207-B, H 2207-A"),
    ("mix", "21.5 °C"),
    ("bond", "0.3 mm"),
    ("cured", "0.3 mm"),
];
const GRIP_SPIN: Measured = &[
    ("ream-to-fit", "0.2 mm"),
    ("bore", "11.9 mm"),
    ("mark-edge", "300 mm"),
    ("tape-and-roughen", "0.5 mm"),
    ("wipe", "IPA-0412"),
    ("weigh", "99 %"),
    ("weigh/lot", "R 2207-B, H 2207-A"),
    ("mix", "22 °C"),
    ("bond", "0.5 mm"),
    ("cured", "0.5 mm"),
];
const SEAT_FLY: Measured = &[
    ("bore", "12.7 mm"),
    ("place-fly", "112 mm"),
    ("roughen", "0.5 mm"),
    ("wipe", "10 min"),
    ("wipe/lot", "IPA-0412"),
    ("build-up", "0.15 mm"),
    ("dry-align", "1°"),
    ("weigh", "100 %"),
    ("weigh/lot", "R 2207-B, H 2207-A"),
    ("mix", "21.5 °C"),
    ("bond", "0.2 mm"),
    ("wipe-down", "IPA-0412"),
    ("wet-align", "1°"),
];

struct Story {
    workshop: Workshop,
    start: coldbench_shop::Moment,
    /// Who is at the bench, with their PIN: a key locks with the end of each stage.
    who: (&'static str, &'static str),
}

impl Story {
    fn at_hour(&mut self, hour: i64) {
        let target = self.start + TimeDelta::hours(hour);
        let now = self.workshop.now();
        if target > now {
            self.workshop.clock_mut().advance(target - now);
        }
    }

    fn act(&mut self, command: Command) -> Result<(), ShellError> {
        self.workshop.clock_mut().advance(TimeDelta::seconds(50));
        if self.workshop.active().is_none() {
            self.unlock(self.who)?;
        }
        self.workshop.act(command).map(drop)
    }

    fn unlock(&mut self, (person, pin): (&'static str, &'static str)) -> Result<(), ShellError> {
        self.who = (person, pin);
        self.workshop.unlock(&PersonId::new(person), &Pin::new(pin.to_owned()))
    }

    fn set_up(&mut self) -> Result<(), ShellError> {
        let room = "58 m3".to_owned();
        self.workshop.found(
            Command::Found {
                name: "Alder Loop Rod Shop".to_owned(),
                demo: true,
                lengths: LengthUnit::Millimetre,
                lead: LEAD_NAME.to_owned(),
                station: NewStation { name: "Long bench".to_owned(), room, shares_room_with: None },
            },
            &Pin::new(LEAD.1.to_owned()),
        )?;
        self.unlock(LEAD)?;
        let helper = Command::AddPerson { name: HELPER_NAME.to_owned(), role: Role::Helper };
        self.workshop.add_person(helper, &Pin::new(HELPER.1.to_owned()))?;
        self.act(Command::AddStation(NewStation {
            name: "Heat corner".to_owned(),
            room: String::new(),
            shares_room_with: Some(StationId::new(BENCH)),
        }))?;
        let next_year = (self.workshop.now() + TimeDelta::days(300)).format("%Y-%m-%d").to_string();
        for (what, marking) in [
            ("Epoxy resin", "R 2207-B"),
            ("Epoxy hardener", "H 2207-A"),
            ("Wiping alcohol", "IPA-0412"),
        ] {
            self.act(Command::RegisterLot {
                what: what.to_owned(),
                marking: marking.to_owned(),
                expires: next_year.clone(),
            })?;
        }
        for (station, name, material) in [
            (BENCH, "Wiping alcohol (2-propanol)", ALCOHOL),
            ("S-2", "Mineral spirits, half a can", "mineral-spirits"),
        ] {
            let material = Some(Box::new(self.material(material)?));
            self.act(Command::ListContainer {
                station: StationId::new(station),
                name: name.to_owned(),
                // As the material's file has it.
                autoignition: String::new(),
                material,
            })?;
        }
        Ok(())
    }

    fn material(&self, id: &str) -> Result<Signed<Material>, ShellError> {
        let missing = || ShellError::NoChecklist { what: id.to_owned() };
        self.workshop.library().material(id).cloned().ok_or_else(missing)
    }

    fn open_bench(&mut self) -> Result<(), ShellError> {
        let missing = || ShellError::NoChecklist { what: "open-bench".to_owned() };
        let list = self.workshop.library().list(StationKind::OpenBench).cloned();
        let list = Box::new(list.ok_or_else(missing)?.into());
        let station = StationId::new(BENCH);
        self.act(Command::BeginList { station: station.clone(), list, from_paper: None })?;
        for (check, seen) in [
            ("air", "fan on, strip drawn to the outlet"),
            ("rag-bin", "metal, lid shut, emptied since yesterday"),
            ("extinguisher", "charged, pin in, within reach"),
            ("washing", "soap, running water and eye rinse, in date"),
            ("bench-top", "clear and wiped, floor free"),
        ] {
            let answer = Answer::Choice { state: seen.to_owned() };
            self.answer(&station, check, answer)?;
        }
        for (check, value) in [("gloves", "26"), ("temperature", "21 °C")] {
            self.answer(&station, check, Answer::Value { text: value.to_owned() })?;
        }
        self.act(Command::CompleteList { station: station.clone() })?;
        let answer = Answer::RatedAirflow { flow: "900 m3/h".to_owned(), share: "60".to_owned() };
        self.act(Command::ReadAir { station, answer })
    }

    fn answer(
        &mut self,
        station: &StationId,
        check: &str,
        answer: Answer,
    ) -> Result<(), ShellError> {
        let (station, check) = (station.clone(), StepId::new(check));
        self.act(Command::AnswerCheck { station, check, answer })
    }

    fn bend(&mut self, rod: &str, layout: LayoutPlan) -> Result<(), ShellError> {
        self.revise(rod, NewChange::Layout(Box::new(layout)))
    }

    fn cut(&mut self, rod: &str, tip: &str) -> Result<(), ShellError> {
        self.revise(rod, NewChange::Cut { tip: tip.to_owned(), butt: String::new() })
    }

    fn revise(&mut self, rod: &str, change: NewChange) -> Result<(), ShellError> {
        let rod = RodId::new(rod);
        self.act(Command::ReviseRod { rod, change, reason: String::new(), sure: false })
    }

    fn begin_rod(&mut self, plan: RodPlan) -> Result<(), ShellError> {
        self.act(Command::BeginRod(Box::new(plan)))
    }

    /// Walks a stage up to, not including, the step `until`; begins it if need be.
    fn go(
        &mut self,
        rod: &str,
        stage: &str,
        until: Option<&str>,
        measured: Measured,
    ) -> Result<(), ShellError> {
        let (rod, stage) = (RodId::new(rod), StageId::new(stage));
        let missing = || ShellError::NoChecklist { what: stage.to_string() };
        let known = self.workshop.state().rods.get(&rod).ok_or_else(missing)?;
        if known.stage(&stage).is_none() {
            let signed = self.workshop.library().stage_for(known, &stage).ok_or_else(missing)?;
            self.act(Command::BeginStage {
                rod: rod.clone(),
                stage: Box::new(signed),
                station: StationId::new(BENCH),
            })?;
        }
        while let Some((place, step, witness)) = self.next(&rod, &stage) {
            if witness {
                self.workshop.clock_mut().advance(TimeDelta::seconds(40));
                let pin = Pin::new(LEAD.1.to_owned());
                let lead = PersonId::new(LEAD.0);
                self.workshop.act_once(&lead, &pin, Command::WitnessStep(place))?;
                continue;
            }
            if until.is_some_and(|until| until == step.id.as_str()) {
                break;
            }
            self.do_step(place, &step, measured)?;
        }
        Ok(())
    }

    fn next(
        &self,
        rod: &RodId,
        stage: &StageId,
    ) -> Option<(StepPlace, coldbench_shop::checklist::Step, bool)> {
        let state = self.workshop.state();
        let run = state.rods.get(rod)?.stage(stage)?;
        let text = state.stage_text(&run.digest)?;
        let (step, witness) = match run.position(text, &state.crew) {
            Position::Step(_, step) => (step, false),
            Position::Witness(_, step) => (step, true),
            Position::Finished => return None,
        };
        let place = StepPlace { rod: rod.clone(), stage: stage.clone(), step: step.id.clone() };
        Some((place, step.clone(), witness))
    }

    fn do_step(
        &mut self,
        place: StepPlace,
        step: &coldbench_shop::checklist::Step,
        measured: Measured,
    ) -> Result<(), ShellError> {
        let value = |key: &str| {
            measured
                .iter()
                .find(|(name, _)| *name == key)
                .map(|(_, value)| (*value).to_owned())
                .unwrap_or_default()
        };
        let id = step.id.as_str();
        if step.caution.is_some() {
            self.act(Command::UnderstandCaution(place.clone()))?;
        }
        self.workshop.clock_mut().advance(TimeDelta::minutes(3));
        if step.record.is_some() {
            for text in value(id).split(" | ") {
                let text = text.to_owned();
                self.act(Command::MeasureValue { at: place.clone(), text })?;
            }
        }
        if step.lot.is_some() {
            let both = step.record.is_some();
            let lot = if both { value(&format!("{id}/lot")) } else { value(id) };
            self.act(Command::NameLot { at: place.clone(), lot })?;
        }
        if step.starts.is_some() {
            self.act(Command::StartClock { at: place.clone(), minutes: None })?;
        }
        self.act(Command::SignStep(place))?;
        if step.releases_flammable() {
            let material = Box::new(self.material(ALCOHOL)?);
            self.act(Command::RecordRelease {
                station: StationId::new(BENCH),
                material,
                amount: "15 mL".to_owned(),
                purpose: "A damp rag".to_owned(),
            })?;
        }
        Ok(())
    }
}

fn reading(text: &str, mm: f64) -> Reading {
    Reading { text: text.to_owned(), value: mm }
}

fn diameters(rows: &[(f64, f64)]) -> Vec<DiameterReading> {
    rows.iter()
        .map(|&(from_butt, diameter)| DiameterReading {
            from_butt: reading(&format!("{from_butt} mm"), from_butt),
            diameter: reading(&format!("{diameter} mm"), diameter),
        })
        .collect()
}

fn part(kind: PartKind, description: &str, from_mm: f64, to_mm: f64, diameter_mm: f64) -> Part {
    Part {
        kind,
        description: description.to_owned(),
        from_mm,
        to_mm,
        diameter_mm,
        thinnest: None,
        bore: None,
        written: None,
    }
}

fn bored(part: Part, butt: (&str, f64), tip: Option<(&str, f64)>) -> Part {
    let bore = PartBore {
        butt: reading(butt.0, butt.1),
        tip: tip.map(|(text, value)| reading(text, value)),
    };
    Part { bore: Some(bore), ..part }
}

/// Guides from the tip: place, size, height and weight.
fn guides(rows: &[(f64, f64, f64, f64)]) -> Vec<GuidePlan> {
    rows.iter()
        .map(|&(from_tip, ring, height, mass)| GuidePlan {
            from_tip: format!("{from_tip} mm"),
            ring: format!("{ring} mm"),
            height: format!("{height} mm"),
            mass: format!("{mass} g"),
            turned: String::new(),
        })
        .collect()
}

fn marks(rows: &[(f64, f64)]) -> Vec<MarkPlan> {
    rows.iter()
        .map(|(from_butt, drop)| MarkPlan {
            from_butt: format!("{from_butt} mm"),
            drop: format!("{drop} mm"),
        })
        .collect()
}

fn fly_layout() -> LayoutPlan {
    LayoutPlan {
        weight: "58 g".to_owned(),
        test_hang: "40 g".to_owned(),
        marks: marks(&[(1800.0, 187.0), (2590.0, 455.0)]),
        hang: "150 g".to_owned(),
        held: "30°".to_owned(),
        reel_from_butt: "60 mm".to_owned(),
        reel_height: "45 mm".to_owned(),
        tip_height: "4 mm".to_owned(),
        tip_mass: "0.2 g".to_owned(),
        guides: guides(&[
            (115.0, 3.0, 6.0, 0.1),
            (240.0, 3.0, 6.0, 0.1),
            (380.0, 3.0, 6.0, 0.1),
            (535.0, 3.0, 6.5, 0.2),
            (710.0, 4.0, 7.0, 0.2),
            (905.0, 4.0, 7.5, 0.2),
            (1120.0, 4.0, 8.0, 0.3),
            (1360.0, 5.0, 9.0, 0.4),
            (1620.0, 10.0, 16.0, 0.9),
        ]),
        ..LayoutPlan::default()
    }
}

fn spinning_layout() -> LayoutPlan {
    LayoutPlan {
        weight: "64 g".to_owned(),
        test_hang: "100 g".to_owned(),
        marks: marks(&[(1500.0, 161.0), (2130.0, 398.0)]),
        hang: "500 g".to_owned(),
        held: "30°".to_owned(),
        reel_from_butt: "357 mm".to_owned(),
        reel_height: "38 mm".to_owned(),
        tip_height: "5 mm".to_owned(),
        tip_mass: "0.4 g".to_owned(),
        guides: guides(&[
            (105.0, 6.0, 9.0, 0.4),
            (225.0, 6.0, 9.0, 0.4),
            (365.0, 6.0, 9.5, 0.5),
            (530.0, 7.0, 11.0, 0.6),
            (730.0, 10.0, 19.0, 1.1),
            (985.0, 20.0, 32.0, 2.6),
        ]),
        ..LayoutPlan::default()
    }
}

fn fly_rod() -> RodPlan {
    RodPlan {
        title: "Two-piece fly rod for the upper beck".to_owned(),
        customer: "Wilhelmina Oakhanger".to_owned(),
        wishes: "A slow rod for short casts under alders. Half-wells cork, walnut in the seat, \
                 nothing that shines."
            .to_owned(),
        reel: ReelType::Fly,
        grip: GripMaterial::Cork,
        blank: "Two-piece glass and carbon blank, 2590 mm, invented for the demo".to_owned(),
        length: reading("2590 mm", 2590.0),
        joins: vec![reading("1300 mm", 1300.0)],
        diameters: diameters(&[
            (10.0, 9.6),
            (300.0, 8.7),
            (700.0, 7.3),
            (1280.0, 5.6),
            (1320.0, 6.1),
            (1800.0, 3.9),
            (2580.0, 1.5),
        ]),
        parts: vec![
            bored(
                part(PartKind::ReelSeat, "Walnut spacer, sliding rings", 15.0, 112.0, 18.0),
                ("12.7 mm", 12.7),
                None,
            ),
            bored(
                part(PartKind::RearGrip, "Half-wells cork, 12 rings", 112.0, 292.0, 26.0),
                ("9.6 mm", 9.6),
                Some(("9.05 mm", 9.05)),
            ),
        ],
        layout: None,
        sure: false,
    }
}

fn spinning_rod() -> RodPlan {
    RodPlan {
        title: "Light spinning rod for the harbour wall".to_owned(),
        customer: "Tobias Wenlock-Marsh".to_owned(),
        wishes: "Light in the hand, for small metal lures. Grip must be wiped clean of fish."
            .to_owned(),
        reel: ReelType::Spinning,
        grip: GripMaterial::Composite,
        blank: "One-piece carbon blank, 2130 mm, invented for the demo".to_owned(),
        length: reading("2130 mm", 2130.0),
        joins: Vec::new(),
        diameters: diameters(&[
            (0.0, 11.2),
            (300.0, 10.1),
            (700.0, 8.3),
            (1200.0, 5.7),
            (1700.0, 3.2),
            (2120.0, 1.7),
        ]),
        parts: vec![
            bored(
                part(PartKind::RearGrip, "Composite core, 300 mm", 0.0, 300.0, 24.0),
                ("11.6 mm", 11.6),
                Some(("10.5 mm", 10.5)),
            ),
            part(PartKind::Sleeve, "Textured sleeve over the core", 0.0, 300.0, 26.0),
            bored(
                part(PartKind::ReelSeat, "Size 16 seat on tape bands", 300.0, 415.0, 23.0),
                ("15.9 mm", 15.9),
                None,
            ),
            bored(
                part(PartKind::ForeGrip, "Short composite fore grip", 415.0, 470.0, 22.0),
                ("9.5 mm", 9.5),
                None,
            ),
        ],
        layout: None,
        sure: false,
    }
}
