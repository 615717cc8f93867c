//! Every stage of six kinds of rod, walked to the end, with the rules of heat and witness live; and
//! the hazards of every step held against a list, so that a lost caution fails.

use crate::bench::{
    BENCH, HELPER, HELPER_PIN, LEAD, LEAD_PIN, act, founded, pass, pin, place, unlock,
};
use crate::walk::{clear_watched, next_command, open_bench, plan, step_at, wait_for_clock};
use chrono::TimeDelta;
use coldbench::{ShellError, Workshop};
use coldbench_shop::checklist::Stage;
use coldbench_shop::cure::Ready;
use coldbench_shop::layout::LayoutPlan;
use coldbench_shop::{
    Command, DiameterReading, GripMaterial, PersonId, Reading, ReelType, Refusal, RodId, RodPlan,
    StageId, StageStanding, StationId, StepId, standing,
};
use coldbench_trade::guides::Side;
use std::collections::BTreeSet;
use std::fmt::Write as _;

fn ready(shop: &Workshop, rod: &RodId) -> Vec<(StageId, StageStanding)> {
    let (state, library) = (shop.state(), shop.library());
    let known = &state.rods[rod];
    let standing = |stage: &Stage| standing(state, library, known, stage, shop.now());
    library.stages().iter().map(|it| (it.list.id.clone(), standing(&it.list))).collect()
}

/// Stretching a PIN takes a while: only where somebody else has to come to the bench.
fn at_bench(shop: &mut Workshop, person: &str) {
    if shop.active() != Some(PersonId::new(person)) {
        unlock(shop, person, if person == LEAD { LEAD_PIN } else { HELPER_PIN });
    }
}

fn bench_is_open(shop: &Workshop) -> bool {
    let station = &shop.state().stations[&StationId::new(BENCH)];
    station.open_until.is_some_and(|until| until > shop.now() + TimeDelta::hours(4))
}

/// A helper does every step that is not a lead's, and a lead witnesses what asks for it.
fn walk(shop: &mut Workshop, rod: &str, stage: &str) -> (usize, usize) {
    let (mut heat, mut witnessed) = (0, 0);
    while let Some(step) = step_at(shop, rod, stage) {
        // Opening the bench reads the thermometer, and a colder room makes the wait longer.
        loop {
            wait_for_clock(shop, rod, stage);
            if bench_is_open(shop) {
                break;
            }
            at_bench(shop, LEAD);
            open_bench(shop, BENCH);
        }
        let live = |shop: &Workshop| {
            shop.state().live_clearance(&StationId::new(BENCH), shop.now()).is_some()
        };
        if step.heat && !live(shop) {
            let place = place(rod, stage, step.id.as_str());
            let refused = shop.would(Command::UnderstandCaution(place)).unwrap_err();
            assert!(refused.to_string().contains("clear"), "{refused}");
            at_bench(shop, LEAD);
            clear_watched(shop, BENCH, LEAD);
        }
        at_bench(shop, HELPER);
        let command = next_command(shop, rod, stage).unwrap();
        if let Command::WitnessStep(_) = &command {
            let own = shop.act_once(&PersonId::new(HELPER), &pin(HELPER_PIN), command.clone());
            assert!(matches!(own, Err(ShellError::Refused(Refusal::OwnWitness))), "{own:?}");
            shop.act_once(&PersonId::new(LEAD), &pin(LEAD_PIN), command).unwrap();
            witnessed += 1;
            continue;
        }
        if step.heat && matches!(command, Command::SignStep(_)) {
            heat += 1;
        }
        act(shop, command);
    }
    (heat, witnessed)
}

fn to_the_end(reel: ReelType, grip: GripMaterial) {
    walked_to_the_end(RodPlan { reel, ..plan(grip) });
}

fn walked_to_the_end(plan: RodPlan) -> Workshop {
    let (reel, grip, several) = (plan.reel, plan.grip, !plan.joins.is_empty());
    let (_folder, mut shop) = founded();
    open_bench(&mut shop, BENCH);
    act(&mut shop, Command::BeginRod(Box::new(plan)));
    let rod = RodId::new("R-1");
    let (mut heat, mut witnessed, mut waited, mut walked) = (0, 0, 0, BTreeSet::new());
    loop {
        let all = ready(&shop, &rod);
        let next = all.iter().find(|(_, standing)| *standing == StageStanding::Ready);
        let waits = all.iter().find_map(|(_, standing)| match standing {
            StageStanding::Waits { until: Some(Ready::At(until)), .. } => Some(*until),
            _ => None,
        });
        if let (None, Some(until)) = (next, waits) {
            // Only time is waited for: a bond, or the finish, cures through.
            assert!(until > shop.now());
            let left = until - shop.now();
            pass(&mut shop, left);
            waited += 1;
            continue;
        }
        let Some((stage, _)) = next else {
            // Nothing is left that waits for what will never come.
            for (stage, standing) in &all {
                let over =
                    matches!(standing, StageStanding::Done | StageStanding::NotApplicable(_));
                assert!(over, "{reel:?} {grip:?}: {stage} is left as {standing:?}");
            }
            break;
        };
        let stage = stage.to_string();
        if !bench_is_open(&shop) {
            at_bench(&mut shop, LEAD);
            open_bench(&mut shop, BENCH);
        }
        at_bench(&mut shop, HELPER);
        let begin = crate::walk::begin_stage(&shop, "R-1", &stage, BENCH);
        act(&mut shop, begin);
        let (hot, seen) = walk(&mut shop, "R-1", &stage);
        (heat, witnessed) = (heat + hot, witnessed + seen);
        walked.insert(stage);
        pass(&mut shop, TimeDelta::hours(1));
    }
    assert_eq!(walked.contains("sleeve-by-heat"), grip == GripMaterial::Composite);
    assert_eq!(walked.contains("ferrule-fit"), several);
    assert!(walked.len() >= 14, "{reel:?} {grip:?}: only {walked:?}");
    assert!(heat >= 1 && witnessed >= 8, "{heat} steps with heat, {witnessed} witnessed");
    assert!(waited >= 1, "the finish was not left to cure through before the rod was handed over");
    assert!(shop.verify(&[]).is_ok());
    shop
}

#[test]
fn a_spinning_rod_with_cork() {
    to_the_end(ReelType::Spinning, GripMaterial::Cork);
}

#[test]
fn a_conventional_rod_under_a_sleeve() {
    to_the_end(ReelType::Conventional, GripMaterial::Composite);
}

#[test]
fn a_fly_rod_in_two_pieces() {
    let mut two = RodPlan { reel: ReelType::Fly, ..plan(GripMaterial::Cork) };
    let reading = |value: f64| Reading { text: format!("{value} mm"), value };
    two.joins = vec![reading(1050.0)];
    two.diameters.insert(2, DiameterReading { from_butt: reading(1060.0), diameter: reading(6.3) });
    walked_to_the_end(two);
}

/// The steps for a spiral are walked on it, and on no other rod.
#[test]
fn a_casting_rod_with_its_guides_in_a_spiral() {
    let layout = LayoutPlan { spiral: Some(Side::Left), ..LayoutPlan::default() };
    let spiral = RodPlan {
        reel: ReelType::Casting,
        layout: Some(Box::new(layout)),
        ..plan(GripMaterial::Eva)
    };
    let turned = |shop: &Workshop| {
        let rod = &shop.state().rods[&RodId::new("R-1")];
        ["guide-layout", "thread-wraps"]
            .map(|stage| rod.stage(&StageId::new(stage)).unwrap())
            .map(|run| !run.left_out.contains_key(&StepId::new("turned")))
    };
    assert_eq!(turned(&walked_to_the_end(spiral)), [true; 2]);
    let straight = RodPlan { reel: ReelType::Casting, ..plan(GripMaterial::Eva) };
    assert_eq!(turned(&walked_to_the_end(straight)), [false; 2]);
}

#[test]
fn a_spinning_rod_under_a_sleeve() {
    to_the_end(ReelType::Spinning, GripMaterial::Composite);
}

/// Stage, step and its hazards, with how the step begins to warn.
fn hazards(library: &coldbench_shop::Library) -> String {
    let mut told = String::new();
    for stage in library.stages() {
        for step in &stage.list.steps {
            let warns = if step.caution.is_some() { " caution" } else { "" };
            let heat = if step.heat { " heat" } else { "" };
            let hold = if step.needs_witness() { " witness" } else { "" };
            writeln!(
                told,
                "{} {}:{warns}{heat}{hold} {}",
                stage.list.id,
                step.id,
                step.hazards.join(" ")
            )
            .unwrap();
        }
    }
    told.lines().map(str::trim_end).collect::<Vec<_>>().join("\n") + "\n"
}

/// Run with `COLDBENCH_WRITE_HAZARDS=1` after a change that is meant, and read the difference.
#[test]
fn no_caution_is_lost() {
    let found = hazards(&coldbench::read_library(&crate::shipped::folder()));
    let kept = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/app/hazards.txt");
    if std::env::var_os("COLDBENCH_WRITE_HAZARDS").is_some() {
        std::fs::write(&kept, &found).unwrap();
    }
    let kept = std::fs::read_to_string(&kept).unwrap();
    assert!(kept.lines().count() > 120);
    assert_eq!(found, kept, "the hazards of a step changed; see above this test");
}
