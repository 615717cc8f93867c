//! Waits that follow the adhesive and the thermometer, and steps that are not for every rod.

use crate::bench::{
    BENCH, LEAD, LEAD_PIN, ROD, act, founded, own_checklist, pass, place, refused, shipped_text,
    unlock,
};
use crate::walk::{
    begin_stage, next_command, open_bench, plan, prepare_step, wait_for_clock, walk_stage,
};
use chrono::TimeDelta;
use coldbench::Workshop;
use coldbench_shop::cure::Ready;
use coldbench_shop::{
    Command, GripMaterial, NewChange, PartKind, ReelType, Refusal, RodId, RodPlan, StageId,
    StageStanding, StationId, standing,
};

const GRIP: &str = "rear-grip";

fn warm(shop: &mut Workshop, celsius: &str) {
    let command =
        Command::ReadTemperature { station: StationId::new(BENCH), text: celsius.to_owned() };
    act(shop, command);
}

/// A rod whose rear grip was bonded just now, at the temperature given.
fn bonded(celsius: &str) -> (tempfile::TempDir, Workshop) {
    let (folder, mut shop) = founded();
    open_bench(&mut shop, BENCH);
    act(&mut shop, Command::BeginRod(Box::new(plan(GripMaterial::Cork))));
    walk_stage(&mut shop, ROD, "spine", None);
    unlock(&mut shop, LEAD, LEAD_PIN);
    walk_stage(&mut shop, ROD, GRIP, Some("bond"));
    warm(&mut shop, celsius);
    let bond = prepare_step(&mut shop, ROD, GRIP);
    act(&mut shop, Command::SignStep(bond));
    walk_stage(&mut shop, ROD, GRIP, Some("cured"));
    (folder, shop)
}

fn clock_minutes(shop: &Workshop) -> i64 {
    let run = shop.state().rods[&RodId::new(ROD)].stage(&StageId::new(GRIP)).unwrap();
    let clock = run.clocks.values().find(|clock| clock.name.starts_with("Bond")).unwrap();
    i64::from(clock.minutes)
}

fn stands(shop: &Workshop, stage: &str) -> StageStanding {
    let (state, library) = (shop.state(), shop.library());
    let stage = &library.stage(&StageId::new(stage)).unwrap().list;
    standing(state, library, &state.rods[&RodId::new(ROD)], stage, shop.now())
}

/// Everything up to the signature of the step that waits for the cure.
fn sign_cured(shop: &mut Workshop) -> Command {
    loop {
        match next_command(shop, ROD, GRIP).unwrap() {
            sign @ Command::SignStep(_) => return sign,
            other => drop(act(shop, other)),
        }
    }
}

/// The sheet of the shipped epoxy: 24 hours at 23 °C. Warmer takes no less, colder more.
#[test]
fn the_clock_takes_the_time_of_the_sheet_or_longer() {
    let minutes = |celsius: &str| clock_minutes(&bonded(celsius).1);
    let (warm, at_sheet, cool) = (minutes("26 °C"), minutes("23 °C"), minutes("18 °C"));
    assert_eq!((warm, at_sheet), (1440, 1440));
    assert!(cool > 1440 * 5 / 4, "{cool}");
}

/// The clock is over after 24 hours; the night was cold, and the bond is not there yet.
#[test]
fn a_cold_night_makes_the_wait_longer() {
    let (_folder, mut shop) = bonded("23 °C");
    let sign = sign_cured(&mut shop);
    pass(&mut shop, TimeDelta::hours(2));
    warm(&mut shop, "14 °C");
    pass(&mut shop, TimeDelta::hours(23));
    let StageStanding::InHand { wait: Some(wait), .. } = stands(&shop, GRIP) else {
        panic!("{:?}", stands(&shop, GRIP))
    };
    assert!(wait.clock.is_over(shop.now()), "by the clock it is over");
    assert!(!wait.until.is_reached(shop.now()), "by the thermometer it is not");
    let refusal = refused(&mut shop, sign.clone());
    assert!(matches!(refusal, Refusal::CureGoesOn { .. }), "{refusal}");
    // Too cold to cure at all: no time will do.
    warm(&mut shop, "6 °C");
    let refusal = refused(&mut shop, sign.clone());
    assert!(matches!(refusal, Refusal::TooColdToCure { .. }), "{refusal}");
    pass(&mut shop, TimeDelta::days(3));
    assert!(matches!(refused(&mut shop, sign.clone()), Refusal::TooColdToCure { .. }));
    warm(&mut shop, "23 °C");
    let Refusal::CureGoesOn { .. } = refused(&mut shop, sign.clone()) else { panic!() };
    pass(&mut shop, TimeDelta::hours(24));
    act(&mut shop, sign);
}

/// A rod is not handed over before its bonds and its finish have the strength of their sheets, and the
/// rack says until when.
#[test]
fn a_later_stage_waits_for_full_cure() {
    let (_folder, mut shop) = bonded("23 °C");
    let text = shipped_text("stages/reel-seat.toml").replace(
        "needs = [\"rear-grip\", \"sleeve-by-heat\"]",
        "needs = [{ stage = \"rear-grip\", cured = \"full\" }, \"sleeve-by-heat\"]",
    );
    own_checklist(&mut shop, "stages/reel-seat.toml", &text);
    let StageStanding::Waits { until: Some(Ready::At(first)), .. } = stands(&shop, "reel-seat")
    else {
        panic!("{:?}", stands(&shop, "reel-seat"))
    };
    wait_for_clock(&mut shop, ROD, GRIP);
    walk_stage(&mut shop, ROD, GRIP, None);
    let StageStanding::Waits { needs, until: Some(Ready::At(full)) } = stands(&shop, "reel-seat")
    else {
        panic!("{:?}", stands(&shop, "reel-seat"))
    };
    assert_eq!(needs, [StageId::new(GRIP)]);
    assert!(full >= first && full - shop.now() > TimeDelta::days(5));
    unlock(&mut shop, LEAD, LEAD_PIN);
    open_bench(&mut shop, BENCH);
    let begin = begin_stage(&shop, ROD, "reel-seat", BENCH);
    assert!(matches!(refused(&mut shop, begin), Refusal::BondCures { .. }));
    warm(&mut shop, "23 °C");
    pass(&mut shop, TimeDelta::days(8));
    open_bench(&mut shop, BENCH);
    warm(&mut shop, "23 °C");
    assert_eq!(stands(&shop, "reel-seat"), StageStanding::Ready);
    unlock(&mut shop, LEAD, LEAD_PIN);
    let begin = begin_stage(&shop, ROD, "reel-seat", BENCH);
    act(&mut shop, begin);
}

fn left_out(shop: &Workshop, stage: &str) -> Vec<String> {
    let run = shop.state().rods[&RodId::new(ROD)].stage(&StageId::new(stage)).unwrap();
    run.left_out.keys().map(ToString::to_string).collect()
}

/// Steps for several pieces are passed over on a blank in one, at both ends of the stage.
#[test]
fn a_step_that_is_not_for_this_rod_is_passed_over() {
    let (_folder, mut shop) = founded();
    open_bench(&mut shop, BENCH);
    act(&mut shop, Command::BeginRod(Box::new(plan(GripMaterial::Cork))));
    walk_stage(&mut shop, ROD, "spine", None);
    assert_eq!(left_out(&shop, "spine"), ["apart", "other-pieces"]);
    assert_eq!(stands(&shop, "spine"), StageStanding::Done);
    let skipped = Command::SignStep(place(ROD, "spine", "apart"));
    unlock(&mut shop, LEAD, LEAD_PIN);
    assert!(matches!(refused(&mut shop, skipped), Refusal::NotThisStep { .. }));
    assert!(shop.verify(&[]).is_ok());
}

/// What applies is judged when the step comes next: a sheet that is put right before counts.
#[test]
fn a_part_added_in_time_brings_its_step_back() {
    let (_folder, mut shop) = founded();
    open_bench(&mut shop, BENCH);
    let part = |kind, from: &str, to: &str| NewChange::Part {
        row: None,
        kind,
        description: String::new(),
        from: from.to_owned(),
        to: to.to_owned(),
        diameter: "24 mm".to_owned(),
        thinnest: String::new(),
    };
    let fly = RodPlan { reel: ReelType::Fly, ..plan(GripMaterial::Cork) };
    act(&mut shop, Command::BeginRod(Box::new(fly)));
    let add = |shop: &mut Workshop, change| {
        act(
            shop,
            Command::ReviseRod { rod: RodId::new(ROD), change, reason: String::new(), sure: false },
        );
    };
    add(&mut shop, part(PartKind::RearGrip, "100 mm", "280 mm"));
    assert!(
        matches!(stands(&shop, "butt-cap"), StageStanding::NotApplicable(why) if why.contains("butt cap"))
    );
    add(&mut shop, part(PartKind::ButtCap, "0 mm", "20 mm"));
    assert!(matches!(stands(&shop, "butt-cap"), StageStanding::Waits { .. }));
}
