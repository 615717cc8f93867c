//! A helper who still learns a stage, against a tiny model of what a lead has seen.

use super::*;
use crate::event::LeadSees;
use crate::teaching::Learning;

const RODS: usize = 5;
const RUNS: usize = 2;
/// Which step is a hold point.
const HOLD: usize = 1;
const STEPS: [&str; 3] = ["fit", "glue", "look"];
pub(super) const GLUE: &str = r#"
format = 1
kind = "stage"
id = "glue"
title = "Glue"
aim = "It holds."
revised = "2026-01-01"
[[step]]
id = "fit"
what = "Fit it dry."
key-point = "Turn it."
reason = "A tight bore scrapes."
[[step]]
id = "glue"
what = "Glue it."
key-point = "Wet both."
reason = "A dry spot clicks."
hold = true
[[step]]
id = "look"
what = "Look at it."
key-point = "From both sides."
reason = "A line shows askew."
"#;

fn at(rod: usize, step: usize) -> StepPlace {
    StepPlace {
        rod: RodId::new(format!("R-{}", rod + 1)),
        stage: StageId::new("glue"),
        step: StepId::new(STEPS[step]),
    }
}

fn helper() -> PersonId {
    PersonId::new("P-2")
}

/// Five rods at the stage, of which two witnessed runs are asked.
fn taught_bench() -> &'static Bench {
    static BENCH: std::sync::OnceLock<Bench> = std::sync::OnceLock::new();
    BENCH.get_or_init(|| {
        let mut bench = founded_bench().clone();
        for rod in 0..RODS {
            if rod > 0 {
                bench.give(Command::BeginRod(Box::new(plan()))).unwrap();
            }
            let (station, rod) = (StationId::new("S-1"), at(rod, 0).rod);
            let stage = Box::new(stage(GLUE).into());
            bench.give(Command::BeginStage { rod, stage, station }).unwrap();
        }
        ask(&mut bench, 2, Some(30)).unwrap();
        bench
    })
}

fn ask(bench: &mut Bench, runs: u8, days: Option<u32>) -> Result<Vec<Event>, Refusal> {
    let stage = StageId::new("glue");
    bench.give(Command::AskTeaching { stage, runs, refresh_days: days })
}

fn present(bench: &mut Bench, rod: usize, step: usize) -> Result<Vec<Event>, Refusal> {
    bench.give(Command::PresentStep { at: at(rod, step), learner: helper() })
}

fn hear(bench: &mut Bench, rod: usize, step: usize) -> Result<Vec<Event>, Refusal> {
    bench.give(Command::HearKeyPoints { at: at(rod, step), learner: helper() })
}

fn sign(bench: &mut Bench, rod: usize, step: usize) -> Result<Vec<Event>, Refusal> {
    bench.give_as("P-2", Command::SignStep(at(rod, step)))
}

fn witness(bench: &mut Bench, rod: usize, step: usize) -> Result<Vec<Event>, Refusal> {
    bench.give(Command::WitnessStep(at(rod, step)))
}

fn learning(bench: &Bench) -> Learning {
    bench.state.learning(&helper(), &StageId::new("glue"), bench.now)
}

/// A whole run by the helper, a lead witnessing every step.
fn run_under_eyes(bench: &mut Bench, rod: usize) {
    for step in 0..STEPS.len() {
        if step == HOLD {
            hear(bench, rod, step).unwrap();
        }
        sign(bench, rod, step).unwrap();
        witness(bench, rod, step).unwrap();
    }
}

#[test]
fn from_nothing_taught_to_alone() {
    let mut bench = taught_bench().clone();
    assert_eq!(learning(&bench), Learning::NotTaught);
    let untaught = sign(&mut bench, 0, 0);
    assert!(matches!(untaught, Err(Refusal::NotPresented { .. })), "{untaught:?}");
    let early = hear(&mut bench, 0, HOLD);
    assert!(matches!(early, Err(Refusal::NotPresented { .. })), "{early:?}");
    present(&mut bench, 0, 0).unwrap();
    assert_eq!(learning(&bench), Learning::Presenting { presented: 1, of: 3 });
    present(&mut bench, 0, 1).unwrap();
    present(&mut bench, 0, 2).unwrap();
    assert_eq!(learning(&bench), Learning::TryingOut { witnessed: 0, of: 2 });
    sign(&mut bench, 0, 0).unwrap();
    // Each step waits for the lead.
    let next = sign(&mut bench, 0, 1);
    assert!(matches!(next, Err(Refusal::AwaitsWitness)), "{next:?}");
    witness(&mut bench, 0, 0).unwrap();
    let untold = sign(&mut bench, 0, HOLD);
    assert!(matches!(untold, Err(Refusal::KeyPointNotTold { .. })), "{untold:?}");
    hear(&mut bench, 0, HOLD).unwrap();
    sign(&mut bench, 0, HOLD).unwrap();
    witness(&mut bench, 0, HOLD).unwrap();
    sign(&mut bench, 0, 2).unwrap();
    witness(&mut bench, 0, 2).unwrap();
    assert_eq!(learning(&bench), Learning::TryingOut { witnessed: 1, of: 2 });
    // What was told on one rod is told anew on the next.
    sign(&mut bench, 1, 0).unwrap();
    witness(&mut bench, 1, 0).unwrap();
    assert!(matches!(sign(&mut bench, 1, HOLD), Err(Refusal::KeyPointNotTold { .. })));
    hear(&mut bench, 1, HOLD).unwrap();
    for step in [HOLD, 2] {
        sign(&mut bench, 1, step).unwrap();
        witness(&mut bench, 1, step).unwrap();
    }
    assert_eq!(learning(&bench), Learning::ToBeReleased);
    // Alone, and a lead looks at the end.
    sign(&mut bench, 2, 0).unwrap();
    hear(&mut bench, 2, HOLD).unwrap();
    sign(&mut bench, 2, HOLD).unwrap();
    sign(&mut bench, 2, 2).unwrap();
    assert_eq!(learning(&bench), Learning::ToBeReleased);
    witness(&mut bench, 2, 2).unwrap();
    assert_eq!(learning(&bench), Learning::Alone { since: bench.now });
    for step in 0..3 {
        sign(&mut bench, 3, step).unwrap();
    }
    let done = bench.now;
    bench.now += TimeDelta::days(31);
    assert_eq!(learning(&bench), Learning::DueForRefresh { since: done });
    // Due is a word, no lock.
    for step in 0..3 {
        sign(&mut bench, 4, step).unwrap();
    }
    assert_eq!(audited(&bench.log).as_ref(), Ok(&bench.state));
}

#[test]
fn what_was_signed_while_learning_stays_so() {
    let mut bench = taught_bench().clone();
    (0..3).for_each(|step| drop(present(&mut bench, 0, step).unwrap()));
    sign(&mut bench, 0, 0).unwrap();
    ask(&mut bench, 0, None).unwrap();
    assert_eq!(learning(&bench), Learning::NotAsked);
    let next = sign(&mut bench, 0, 1);
    assert!(matches!(next, Err(Refusal::AwaitsWitness)), "{next:?}");
    witness(&mut bench, 0, 0).unwrap();
    sign(&mut bench, 0, 1).unwrap();
    // A run of which a part was not witnessed does not count.
    ask(&mut bench, 1, None).unwrap();
    sign(&mut bench, 0, 2).unwrap();
    witness(&mut bench, 0, 2).unwrap();
    assert_eq!(learning(&bench), Learning::TryingOut { witnessed: 0, of: 1 });
}

#[test]
fn a_run_that_somebody_else_shared_releases_nobody() {
    let mut bench = taught_bench().clone();
    (0..3).for_each(|step| drop(present(&mut bench, 0, step).unwrap()));
    run_under_eyes(&mut bench, 0);
    run_under_eyes(&mut bench, 1);
    bench.give(Command::SignStep(at(2, 0))).unwrap();
    hear(&mut bench, 2, HOLD).unwrap();
    let shared = sign(&mut bench, 2, HOLD).unwrap();
    assert!(
        matches!(&shared[..], [Event::StepDone { lead_sees: Some(LeadSees::TryingOut), .. }]),
        "{shared:?}"
    );
    witness(&mut bench, 2, HOLD).unwrap();
    sign(&mut bench, 2, 2).unwrap();
    witness(&mut bench, 2, 2).unwrap();
    assert_eq!(learning(&bench), Learning::ToBeReleased);
}

#[test]
fn a_lead_teaches_and_only_helpers_are_taught() {
    let mut bench = taught_bench().clone();
    let learner = helper();
    let by_helper =
        bench.give_as("P-2", Command::PresentStep { at: at(0, 0), learner: learner.clone() });
    assert!(matches!(by_helper, Err(Refusal::LeadOnly { .. })), "{by_helper:?}");
    let stage = StageId::new("glue");
    let asked = Command::AskTeaching { stage: stage.clone(), runs: 0, refresh_days: None };
    let by_helper = bench.give_as("P-2", asked.clone());
    assert!(matches!(by_helper, Err(Refusal::LeadOnly { .. })), "{by_helper:?}");
    let lead = Command::PresentStep { at: at(0, 0), learner: PersonId::new("P-1") };
    assert!(matches!(bench.give(lead), Err(Refusal::NotALearner { .. })));
    let unlocked = Actor::Person(PersonId::new("P-1"));
    let present = Command::PresentStep { at: at(0, 0), learner };
    for command in [present, asked] {
        assert_eq!(decide(&bench.state, &unlocked, command, bench.now), Err(Refusal::PinAgain));
    }
    assert_eq!(ask(&mut bench, 6, None), Err(Refusal::TooManyRuns { runs: 6 }));
    assert_eq!(ask(&mut bench, 1, Some(0)), Err(Refusal::NoRefreshDays));
    assert_eq!(bench.state.learning(&PersonId::new("P-1"), &stage, bench.now), Learning::Lead);
}

#[test]
fn the_hand_over_always_ends_with_a_lead() {
    // A shop's own text without a witness at its end, and without teaching asked.
    let text = GLUE.replace("id = \"glue\"\ntitle", "id = \"hand-over\"\ntitle");
    let mut bench = founded_bench().clone();
    let (station, rod) = (StationId::new("S-1"), at(0, 0).rod);
    let stage = Box::new(stage(&text).into());
    bench.give(Command::BeginStage { rod, stage, station }).unwrap();
    let here = |step| StepPlace { stage: StageId::new("hand-over"), ..at(0, step) };
    for step in 0..3 {
        bench.give_as("P-2", Command::SignStep(here(step))).unwrap();
    }
    assert!(bench.state.rods[&here(0).rod].stage(&here(0).stage).unwrap().finished.is_none());
    bench.give(Command::WitnessStep(here(2))).unwrap();
    assert!(bench.state.rods[&here(0).rod].stage(&here(0).stage).unwrap().finished.is_some());
}

#[derive(Debug, Clone)]
enum Taught {
    Present(usize, usize),
    Hear(usize, usize),
    /// At the step that is next; by the helper, else the lead.
    Sign(usize, bool),
    Witness(usize),
}

fn a_taught_move() -> impl Strategy<Value = Taught> {
    prop_oneof![
        2 => (0..RODS, 0..3usize).prop_map(|(rod, step)| Taught::Present(rod, step)),
        2 => (0..RODS).prop_map(|rod| Taught::Hear(rod, HOLD)),
        6 => (0..RODS, prop::bool::weighted(0.93)).prop_map(|(rod, helper)| Taught::Sign(rod, helper)),
        4 => (0..RODS).prop_map(Taught::Witness),
    ]
}

/// What a lead has seen, kept apart from the code.
#[derive(Debug, Default)]
struct Seen {
    shown: [bool; 3],
    told: [bool; RODS],
    /// Of each rod, who signed which step: by the helper; witnessed; alone.
    signed: [Vec<(bool, bool, bool)>; RODS],
    released: bool,
}

impl Seen {
    fn runs(&self) -> usize {
        let whole = |run: &&Vec<(bool, bool, bool)>| {
            run.len() == 3 && run.iter().all(|(helper, seen, _)| *helper && *seen)
        };
        self.signed.iter().filter(whole).count()
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]
    #[test]
    fn nobody_does_a_taught_stage_unseen_before_it(
        moves in proptest::collection::vec(a_taught_move(), 1..120)
    ) {
        let mut bench = taught_bench().clone();
        let mut seen = Seen::default();
        for step in moves {
            match step {
                Taught::Present(rod, step) => {
                    seen.shown[step] |= present(&mut bench, rod, step).is_ok();
                }
                Taught::Hear(rod, step) => {
                    let heard = hear(&mut bench, rod, step).is_ok();
                    prop_assert!(!heard || seen.shown[step], "told before it was shown");
                    seen.told[rod] |= heard;
                }
                Taught::Sign(rod, by_helper) => {
                    let next = seen.signed[rod].len();
                    if next == 3 {
                        continue;
                    }
                    let by = watcher(by_helper);
                    if bench.give_as(by, Command::SignStep(at(rod, next))).is_err() {
                        continue;
                    }
                    let whole = seen.signed[rod].iter().all(|(helper, ..)| *helper);
                    let alone = seen.released || (seen.runs() >= RUNS && whole);
                    if by_helper && !seen.released {
                        prop_assert!(seen.shown[next], "done unshown: {seen:?}");
                        prop_assert!(next != HOLD || seen.told[rod], "held point untold: {seen:?}");
                    }
                    for (helper, witnessed, alone) in &seen.signed[rod] {
                        prop_assert!(!helper || *witnessed || *alone, "went on unseen: {seen:?}");
                    }
                    seen.signed[rod].push((by_helper, false, alone));
                    let finished = bench.state.rods[&at(rod, 0).rod].stage(&StageId::new("glue"))
                        .unwrap().finished.is_some();
                    let needs_eyes = by_helper && !seen.released && (!alone || next == 2);
                    prop_assert_eq!(finished, next == 2 && !needs_eyes, "{:?}", seen);
                }
                Taught::Witness(rod) => {
                    let Some(last) = seen.signed[rod].len().checked_sub(1) else { continue };
                    if witness(&mut bench, rod, last).is_err() {
                        continue;
                    }
                    let (_, _, alone) = seen.signed[rod][last];
                    seen.signed[rod][last].1 = true;
                    seen.released |= alone && last == 2;
                }
            }
            let stage = StageId::new("glue");
            prop_assert_eq!(bench.state.released(&helper(), &stage).is_some(), seen.released);
        }
    }
}
