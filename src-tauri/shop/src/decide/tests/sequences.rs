//! Whatever the order of commands, no heat step is touched without a live clearance: random
//! sequences against a tiny model that knows nothing of the code under test.

use super::*;

/// Where somebody is called away from.
struct Left(&'static str, &'static str);

const LEFT: [Left; 3] = [Left("heat", "first"), Left("heat", "second"), Left("wipe", "wipe")];

impl Left {
    fn place(&self) -> StepPlace {
        place(self.0, self.1)
    }
}

#[derive(Debug, Clone)]
enum Move {
    BeginClearance,
    /// Begun, answered and asked for in one go, or heat would hardly ever be reached: with a low
    /// gun; with a meter; the helper watching.
    Clear(bool, bool, bool),
    /// With a low gun; with a meter; the helper watching.
    AnswerAll(bool, bool, bool),
    /// By the lead, or by the helper.
    Complete(bool),
    Withdraw(u32),
    /// The can at the bench, or the one at the rack.
    Open(bool),
    Close(bool),
    Wipe,
    /// So many mL at the bench or at the rack.
    Use(bool, u32),
    ReadAir,
    StopAir,
    /// The room of both is measured, each time a little larger.
    MeasureRoom(bool),
    Wake,
    /// At the second step; by the helper.
    Understand(bool, bool),
    Sign(bool, bool),
    /// The lead witnesses, at the second step.
    Witness(bool),
    Watch,
    CloseStation,
    /// Something is spilt, at the bench or at the rack.
    Spill(bool),
    /// The list of it is gone through to its end.
    Settle(bool),
    /// A splash at the bench.
    Splash,
    /// From the first heat step, the second, or the wiping; the lead, or the helper.
    Away(usize, bool),
    Back(usize),
    Wait(i64),
}

fn a_move() -> impl Strategy<Value = Move> {
    prop_oneof![
        1 => Just(Move::BeginClearance),
        6 => (any::<bool>(), any::<bool>(), prop::bool::weighted(0.3))
            .prop_map(|(low, meter, helper)| Move::Clear(low, meter, helper)),
        2 => (any::<bool>(), any::<bool>(), prop::bool::weighted(0.3))
            .prop_map(|(low, meter, helper)| Move::AnswerAll(low, meter, helper)),
        2 => prop::bool::weighted(0.7).prop_map(Move::Complete),
        1 => (1u32..4).prop_map(Move::Withdraw),
        1 => any::<bool>().prop_map(Move::Open),
        2 => any::<bool>().prop_map(Move::Close),
        1 => Just(Move::Wipe),
        2 => (any::<bool>(), prop::sample::select(vec![0u32, 5, 15, 900]))
            .prop_map(|(rack, ml)| Move::Use(rack, ml)),
        1 => Just(Move::ReadAir),
        1 => Just(Move::StopAir),
        1 => any::<bool>().prop_map(Move::MeasureRoom),
        1 => Just(Move::Wake),
        5 => (prop::bool::weighted(0.3), prop::bool::weighted(0.4))
            .prop_map(|(second, helper)| Move::Understand(second, helper)),
        4 => (prop::bool::weighted(0.3), prop::bool::weighted(0.4))
            .prop_map(|(second, helper)| Move::Sign(second, helper)),
        2 => prop::bool::weighted(0.3).prop_map(Move::Witness),
        1 => Just(Move::Watch),
        1 => Just(Move::CloseStation),
        1 => any::<bool>().prop_map(Move::Spill),
        3 => any::<bool>().prop_map(Move::Settle),
        1 => Just(Move::Splash),
        2 => (0usize..3, any::<bool>()).prop_map(|(from, lead)| Move::Away(from, lead)),
        3 => (0usize..3).prop_map(Move::Back),
        3 => (-20i64..45).prop_map(Move::Wait),
    ]
}

/// What has to hold for heat, kept apart from the code: minutes, nothing else.
#[derive(Debug)]
struct Model {
    minute: i64,
    latest: i64,
    cleared_until: Option<i64>,
    gun_is_low: bool,
    /// The helper is named as who watches.
    helper_watches: bool,
    /// The can at the bench, and the one at the rack.
    open: [bool; 2],
    /// Something was opened or used at the bench, or at the rack, and nobody said how much.
    unsaid: [bool; 2],
    /// Something went wrong at the bench, or at the rack, and that was not gone through yet.
    wrong: [bool; 2],
    /// When nine hundred millilitres went into the air last.
    flooded: Option<i64>,
    last_heat: Option<i64>,
    /// Who is away from the heat, and from the wiping: the lead, or the helper.
    away: [Option<bool>; 2],
}

impl Model {
    fn allows(&self, second_step: bool, by_helper: bool) -> bool {
        self.cleared_until.is_some_and(|until| self.minute < until)
            && self.minute >= self.latest
            && self.open == [false; 2]
            && self.away[0].is_none()
            && (!second_step || self.gun_is_low)
            && !(by_helper && self.helper_watches)
    }

    /// Without a meter, no clearance while this is so: nobody knows how much is in the air, or
    /// it is known to be far too much.
    fn air_is_bad(&self) -> bool {
        let flooded = self.flooded.is_some_and(|at| self.minute - at < 20);
        self.unsaid != [false; 2] || flooded
    }
}

proptest! {
    #![proptest_config(ProptestConfig { max_shrink_iters: 20_000, ..ProptestConfig::with_cases(10_000) })]
    #[test]
    fn no_heat_without_a_live_clearance(moves in proptest::collection::vec(a_move(), 1..60)) {
        let mut bench = founded_bench().clone();
        let moves_made = moves.len();
        let mut model = Model {
            minute: 0,
            latest: 0,
            cleared_until: None,
            gun_is_low: false,
            helper_watches: false,
            open: [false; 2],
            unsaid: [false; 2],
            wrong: [false; 2],
            flooded: None,
            last_heat: None,
            away: [None; 2],
        };
        let (mut answered_low, mut answered_with_meter) = (false, false);
        let mut measured = 0;
        let station = StationId::new("S-1");
        let at_station = |rack: bool| StationId::new(if rack { "S-2" } else { "S-1" });
        let can = |rack: bool| ContainerId::new(if rack { "F-2" } else { "F-1" });
        for step in moves {
            bench.now = start() + TimeDelta::minutes(model.minute);
            if let Move::Wait(minutes) = step {
                model.minute += minutes;
                continue;
            }
            // What was passed over stored the look at the clock all the same.
            model.latest = model.latest.max(bench_latest(&bench));
            // The clock is looked at before every command: behind means the clearance is over.
            if model.minute < model.latest {
                model.cleared_until = None;
            }
            let (command, heat) = match step.clone() {
                Move::BeginClearance => {
                    let list = Box::new(clearance_list().clone().into());
                    (Command::BeginList { station: station.clone(), list, from_paper: None }, None)
                }
                Move::AnswerAll(low, meter, helper) => {
                    bench.answer_all(if low { "110 °C" } else { "140 °C" }, meter, watcher(helper));
                    (answered_low, answered_with_meter) = (low, meter);
                    (Command::Tick, None)
                }
                Move::Clear(low, meter, helper) => {
                    let list = Box::new(clearance_list().clone().into());
                    let begun = bench.give(Command::BeginList { station: station.clone(), list, from_paper: None });
                    prop_assert_eq!(begun.is_ok(), !model.wrong[0], "over what went wrong");
                    if begun.is_err() {
                        continue;
                    }
                    bench.answer_all(if low { "110 °C" } else { "140 °C" }, meter, watcher(helper));
                    (answered_low, answered_with_meter) = (low, meter);
                    (Command::CompleteList { station: station.clone() }, None)
                }
                Move::Complete(_) => (Command::CompleteList { station: station.clone() }, None),
                Move::Withdraw(n) => {
                    let clearance = ClearanceId::new(format!("C-{n}"));
                    (Command::Withdraw { clearance, cause: WithdrawalCause::WatcherLeft }, None)
                }
                Move::Open(rack) => (Command::OpenContainer { container: can(rack) }, None),
                Move::Close(rack) => (Command::CloseContainer { container: can(rack) }, None),
                Move::Wipe => (Command::UnderstandCaution(place("wipe", "wipe")), None),
                Move::Use(rack, ml) => {
                    let release = Command::RecordRelease {
                        station: at_station(rack),
                        material: Box::new(material()),
                        amount: format!("{ml} mL"),
                        purpose: "A rag.".to_owned(),
                    };
                    (release, None)
                }
                Move::ReadAir => {
                    let answer = Answer::RatedAirflow {
                        flow: "900 m3/h".to_owned(),
                        share: "50".to_owned(),
                    };
                    (Command::ReadAir { station: at_station(true), answer }, None)
                }
                Move::StopAir => (Command::StopAir { station: at_station(true) }, None),
                Move::MeasureRoom(rack) => {
                    measured += 1;
                    let volume = format!("50.{measured:03} m3");
                    (Command::MeasureRoom { station: at_station(rack), volume }, None)
                }
                Move::Wake => {
                    bench.wake();
                    model.cleared_until = None;
                    (Command::Tick, None)
                }
                Move::Understand(second, helper) => {
                    let at = place("heat", if second { "second" } else { "first" });
                    (Command::UnderstandCaution(at), Some((second, helper)))
                }
                Move::Sign(second, helper) => {
                    let at = place("heat", if second { "second" } else { "first" });
                    (Command::SignStep(at), Some((second, helper)))
                }
                Move::Witness(second) => {
                    let at = place("heat", if second { "second" } else { "first" });
                    (Command::WitnessStep(at), None)
                }
                Move::Watch => (Command::SignWatch { station: station.clone() }, None),
                Move::CloseStation => (Command::CloseStation { station: station.clone() }, None),
                Move::Spill(rack) => {
                    let list = Box::new(list(&went_wrong("spill")).into());
                    (Command::BeginList { station: at_station(rack), list, from_paper: None }, None)
                }
                Move::Splash => {
                    let list = Box::new(list(&went_wrong("contact")).into());
                    (Command::BeginList { station: station.clone(), list, from_paper: None }, None)
                }
                Move::Settle(rack) => {
                    let answer = Answer::Choice { state: "all out".to_owned() };
                    let (station, check) = (at_station(rack), StepId::new("people"));
                    let answered = Command::AnswerCheck { station, check, answer };
                    if bench.give(answered).is_err() {
                        continue;
                    }
                    (Command::CompleteList { station: at_station(rack) }, None)
                }
                Move::Away(from, _) => (Command::CallAway(LEFT[from].place()), None),
                Move::Back(from) => (Command::ComeBack(LEFT[from].place()), None),
                Move::Wait(_) => continue,
            };
            let by_helper = matches!(
                step,
                Move::Complete(false)
                    | Move::Understand(_, true)
                    | Move::Sign(_, true)
                    | Move::Away(_, false)
            );
            let by = watcher(by_helper);
            let before = bench.log.len();
            let result = bench.give_as(by, command);
            if let (Some((second, helper)), Ok(events)) = (heat, &result) {
                prop_assert!(model.allows(second, helper), "{step:?} passed: {model:?} {events:?}");
            }
            // What was stored carries the time of now, the look at the clock among it.
            if bench.log.len() > before
                || matches!(step, Move::AnswerAll(..) | Move::Clear(..) | Move::Wake | Move::Settle(_))
            {
                model.latest = model.latest.max(bench_latest(&bench));
            }
            if result.is_ok() {
                match step {
                    Move::Complete(_) | Move::Clear(..) => {
                        prop_assert!(by == "P-1", "a helper gave a clearance");
                        prop_assert!(
                            answered_with_meter || !model.air_is_bad(),
                            "cleared with bad air: {model:?}"
                        );
                        prop_assert!(model.open == [false; 2], "cleared with a can open");
                        let granted = result.iter().flatten().find_map(|event| match event {
                            Event::ClearanceGranted { watcher, .. } => Some(watcher.as_str()),
                            _ => None,
                        });
                        model.helper_watches = granted == Some("P-2");
                        prop_assert!(
                            !model.away.contains(&Some(!model.helper_watches)),
                            "whoever is to watch is away: {model:?}"
                        );
                        model.cleared_until = Some(model.minute + 30);
                        model.gun_is_low = answered_low;
                    }
                    Move::Open(rack) => {
                        model.open[usize::from(rack)] = true;
                        model.unsaid[usize::from(rack)] = true;
                        model.cleared_until = None;
                    }
                    Move::Close(rack) => model.open[usize::from(rack)] = false,
                    Move::Wipe => {
                        model.unsaid[0] = true;
                        model.cleared_until = None;
                    }
                    Move::Use(rack, ml) => {
                        let rack = usize::from(rack);
                        model.unsaid[rack] &= model.open[rack];
                        if ml > 0 {
                            model.cleared_until = None;
                        }
                        if ml > 500 {
                            model.flooded = Some(model.minute);
                        }
                    }
                    Move::Spill(rack) => {
                        model.unsaid[usize::from(rack)] = true;
                        model.wrong[usize::from(rack)] = true;
                        model.cleared_until = None;
                    }
                    Move::Splash => {
                        model.wrong[0] = true;
                        model.cleared_until = None;
                    }
                    // Another list of what went wrong may wait behind it.
                    Move::Settle(rack) => {
                        let station = &bench.state.stations[&at_station(rack)];
                        model.wrong[usize::from(rack)] = station.in_hand.is_some();
                    }
                    Move::Away(from, lead) => {
                        if lead != model.helper_watches {
                            model.cleared_until = None;
                        }
                        model.away[from / 2] = Some(lead);
                    }
                    Move::Back(from) => model.away[from / 2] = None,
                    Move::StopAir | Move::Withdraw(_) | Move::MeasureRoom(_) => model.cleared_until = None,
                    Move::Sign(..) => model.last_heat = Some(model.minute),
                    Move::Watch => {
                        let watched = model.last_heat.is_some_and(|at| model.minute >= at + 30);
                        prop_assert!(watched, "a watch was signed too early: {model:?}");
                        model.last_heat = None;
                    }
                    Move::CloseStation => {
                        prop_assert!(model.last_heat.is_none(), "closed unwatched: {model:?}");
                        prop_assert!(model.cleared_until.is_none_or(|until| model.minute >= until));
                    }
                    _ => {}
                }
            }
        }
        // Whatever `decide` lets through, the audit of a record finds in order.
        // Not every time: it reads all texts anew, which is nine tenths of the time.
        if moves_made % 8 == 0 {
            let audited = audited(&bench.log);
            prop_assert!(audited.as_ref() == Ok(&bench.state), "{audited:?}");
        }
    }
}

/// The latest minute any event carries.
fn bench_latest(bench: &Bench) -> i64 {
    bench.state.latest.map_or(0, |latest| (latest - start()).num_minutes())
}
