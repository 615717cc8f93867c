//! The air of a room: what was used, what is estimated, when heat may begin, what is watched.

use crate::bench::{
    BENCH, CAN, CORNER, HELPER, HELPER_PIN, LEAD, LEAD_PIN, ROD, SLEEVE, act, at_heat_step,
    own_checklist, pass, pin, place, refused, shipped_text, start, unlock,
};
use crate::walk::{
    answer, answer_clearance, begin_list, clear, good_answers, open_bench, prepare_step,
};
use chrono::TimeDelta;
use coldbench::views::{PaperWord, Printable};
use coldbench::{Clock, ShellError, Taken, Workshop};
use coldbench_shop::checklist::StationKind;
use coldbench_shop::{
    Answer, ClearanceId, Command, ContainerId, NewStation, PersonId, Refusal, StationId, Vapour,
    WithdrawalCause, course, estimate,
};

const ALCOHOL: &str = "isopropyl-alcohol";

fn bench() -> StationId {
    StationId::new(BENCH)
}

fn complete() -> Command {
    Command::CompleteList { station: bench() }
}

fn used(shop: &Workshop, station: &str, material: &str, amount: &str) -> Command {
    let material = Box::new(shop.library().material(material).unwrap().clone());
    Command::RecordRelease {
        station: StationId::new(station),
        material,
        amount: amount.to_owned(),
        purpose: "A rag".to_owned(),
    }
}

fn read_air(station: &str, flow: &str) -> Command {
    let answer = Answer::RatedAirflow { flow: flow.to_owned(), share: "60".to_owned() };
    Command::ReadAir { station: StationId::new(station), answer }
}

fn limits(shop: &Workshop) -> coldbench_shop::checklist::HeatLimits {
    let list = shop.library().list(StationKind::HeatClearance).unwrap();
    list.list.limits.clone().unwrap()
}

fn percent(shop: &Workshop) -> Result<f64, String> {
    estimate(shop.state(), &bench(), &limits(shop), shop.now()).percent_of_lfl
}

fn withdrawn(shop: &Workshop, id: &str) -> Option<WithdrawalCause> {
    shop.state().clearances[&ClearanceId::new(id)].withdrawn.map(|(_, cause)| cause)
}

fn missing(shop: &mut Workshop) -> String {
    match refused(shop, complete()) {
        Refusal::ListIncomplete { missing } => missing.join(" "),
        other => panic!("{other}"),
    }
}

/// 15 mL of 2-propanol in 50 m³: by hand, 0.79 g/mL and 60.1 g/mol at 24.45 L/mol make 4.82 L of
/// vapour, 0.0096 % of the air, 0.48 % of a limit of 2 %.
#[test]
fn what_was_used_is_estimated_and_cleared_by_the_air() {
    let (_folder, mut shop) = at_heat_step();
    assert_eq!(percent(&shop), Ok(0.0));
    let command = used(&shop, BENCH, ALCOHOL, "15 mL");
    act(&mut shop, command);
    let one = percent(&shop).unwrap();
    assert!((one - 0.48).abs() < 0.01, "{one}");
    // No reading, no air: it stays.
    pass(&mut shop, TimeDelta::hours(2));
    assert!((percent(&shop).unwrap() - one).abs() < 1e-9);
    // Two hours at 96 ppm, whose limits are 400 ppm over 15 minutes and 200 ppm over 8 hours.
    let known = estimate(shop.state(), &bench(), &limits(&shop), shop.now());
    let lead = &known.exposures[0];
    assert_eq!(lead.person.as_str(), LEAD);
    let (short, long) = (lead.fifteen_minutes.clone().unwrap(), lead.eight_hours.clone().unwrap());
    assert!((short - 96.3 / 400.0).abs() < 0.002 && (long - 96.3 / 800.0).abs() < 0.002);
    // A litre is far too much, and with no air it never falls.
    let command = used(&shop, BENCH, ALCOHOL, "1 L");
    act(&mut shop, command);
    let much = percent(&shop).unwrap();
    assert!(much > 30.0, "{much}");
    let no_air = estimate(shop.state(), &bench(), &limits(&shop), shop.now());
    assert_eq!(no_air.heat_from, None);
    // With air it falls by the hour: 420 m³/h over a mixing factor of 10 in 50 m³.
    act(&mut shop, read_air(BENCH, "700 m3/h"));
    let with_air = estimate(shop.state(), &bench(), &limits(&shop), shop.now());
    let from = with_air.heat_from.unwrap();
    let hours = (much / 10.0).ln() / (420.0 / 10.0 / 50.0);
    let found = (from - shop.now()).as_seconds_f64() / 3600.0;
    assert!((found - hours).abs() < 0.01, "{found} for {hours}");
    let answers = good_answers(&shop, BENCH, "140 °C");
    answer_clearance(&mut shop, BENCH, answers);
    let words = missing(&mut shop);
    assert!(words.contains("% of the lower flammable limit; needed: 10 % or less"), "{words}");
    // The curve falls, and crosses the line where it is said to.
    let points = course(shop.state(), &bench(), &limits(&shop), shop.now(), from, 50).unwrap();
    assert!(points.len() == 50 && (points.last().unwrap().1 - 10.0).abs() < 0.1, "{points:?}");
    // Read every hour and it is cleared then, by the estimate.
    while shop.now() < from {
        pass(&mut shop, TimeDelta::minutes(50));
        act(&mut shop, read_air(BENCH, "700 m3/h"));
    }
    clear(&mut shop, BENCH);
    let given = &shop.state().clearances[&ClearanceId::new("C-1")];
    assert!(
        matches!(given.vapour, Vapour::Estimate { percent_of_lfl, .. } if percent_of_lfl <= 10.0)
    );
    shop.verify(&[]).unwrap();
}

/// Whoever says that nothing is kept here, and used it here, forgot a container.
#[test]
fn what_was_used_came_out_of_something() {
    let (_folder, mut shop) = at_heat_step();
    let rack = Command::AddStation(NewStation {
        name: "Drying rack".to_owned(),
        room: "50 m3".to_owned(),
        shares_room_with: None,
    });
    act(&mut shop, rack);
    let rack = shop.state().stations.keys().last().unwrap().clone();
    let lacks = |shop: &Workshop| match shop.would(Command::CompleteList { station: rack.clone() })
    {
        Err(Refusal::ListIncomplete { missing }) => missing.join(" "),
        Err(other) => panic!("{other}"),
        Ok(_) => String::new(),
    };
    // What does not burn, and nothing at all, came out of no flammable's container.
    for (material, amount) in [("epoxy-resin", "5 mL"), (ALCOHOL, "0 mL")] {
        let command = used(&shop, rack.as_str(), material, amount);
        act(&mut shop, command);
    }
    let answers = good_answers(&shop, rack.as_str(), "140 °C");
    answer_clearance(&mut shop, rack.as_str(), answers);
    assert_eq!(lacks(&shop), "");
    let command = used(&shop, rack.as_str(), ALCOHOL, "1 mL");
    act(&mut shop, command);
    // Days later too: the vapour is gone, the bottle need not be.
    pass(&mut shop, TimeDelta::days(3));
    let answers = good_answers(&shop, rack.as_str(), "140 °C");
    answer_clearance(&mut shop, rack.as_str(), answers);
    let told = lacks(&shop);
    assert!(
        told.contains("“Isopropyl alcohol” was used in this room: list what it came out of"),
        "{told}"
    );
}

#[test]
fn what_nobody_set_down_keeps_heat_back_until_it_is() {
    let (_folder, mut shop) = at_heat_step();
    act(&mut shop, Command::OpenContainer { container: ContainerId::new(CAN) });
    assert!(percent(&shop).unwrap_err().contains("is open"));
    let command = used(&shop, BENCH, ALCOHOL, "5 mL");
    act(&mut shop, command);
    assert!(percent(&shop).unwrap_err().contains("is open"), "more may come out of it");
    act(&mut shop, Command::CloseContainer { container: ContainerId::new(CAN) });
    let why = percent(&shop).unwrap_err();
    assert!(why.contains("Nobody has set down how much was used"), "{why}");
    let nothing_more = used(&shop, BENCH, ALCOHOL, "0 mL");
    act(&mut shop, nothing_more);
    assert!(percent(&shop).unwrap() > 0.0);
    clear(&mut shop, BENCH);
}

/// A material of which the sheet leaves something out: nothing is known, and no heat.
#[test]
fn an_unknown_figure_means_no_heat() {
    let (_folder, mut shop) = at_heat_step();
    own_checklist(
        &mut shop,
        "materials/secret.toml",
        "format = 1\nkind = \"material\"\nid = \"secret\"\ntitle = \"Secret mix\"\nrevised = \"2026-01-01\"\nsheet = \"Invented.\"\ndensity = \"0.8 g/mL\"\nflash = \"10 °C\"\nboils = \"90 °C\"\nautoignition = \"unknown\"\nsource = \"Invented.\"\n[[component]]\nname = \"Trade secret\"\nshare = \"100 %\"\nmolar-mass = \"60 g/mol\"\nlower-limit = \"unknown\"\n",
    );
    let command = used(&shop, BENCH, "secret", "5 mL");
    act(&mut shop, command);
    let why = percent(&shop).unwrap_err();
    assert!(why.contains("Secret mix") && why.contains("lower flammable limit"), "{why}");
    let answers = good_answers(&shop, BENCH, "140 °C");
    answer_clearance(&mut shop, BENCH, answers);
    assert!(missing(&mut shop).contains("No data about vapour: Secret mix"));
}

/// Who set up a station without its volume is not stuck: it is set down later, for all in the room; and
/// what was cleared by another volume is so no longer.
#[test]
fn the_volume_of_a_room_is_set_down_later() {
    let (_folder, mut shop) = at_heat_step();
    let station = |name: &str, shares_room_with| {
        Command::AddStation(NewStation {
            name: name.to_owned(),
            room: String::new(),
            shares_room_with,
        })
    };
    act(&mut shop, station("Shed", None));
    let (shed, shelf) = (StationId::new("S-3"), StationId::new("S-4"));
    act(&mut shop, station("Shelf", Some(shed.clone())));
    let at = |shop: &Workshop, at| estimate(shop.state(), at, &limits(shop), shop.now());
    let unknown = at(&shop, &shelf).percent_of_lfl.unwrap_err();
    assert!(unknown.contains("volume of the room is not known"), "{unknown}");
    let measure = |station: &StationId, volume: &str| Command::MeasureRoom {
        station: station.clone(),
        volume: volume.to_owned(),
    };
    let refusal = refused(&mut shop, measure(&shed, "much"));
    assert!(matches!(refusal, Refusal::BadValue { .. }), "{refusal}");
    let refusal = refused(&mut shop, measure(&shed, "0 m3"));
    assert!(matches!(refusal, Refusal::NoRoom { .. }), "{refusal}");
    act(&mut shop, measure(&shed, " 40 m3 "));
    for place in [&shed, &shelf] {
        assert_eq!(shop.state().stations[place].room.as_ref().unwrap().text, "40 m3");
        assert_eq!(at(&shop, place).percent_of_lfl, Ok(0.0));
    }
    // Another room is none of its business; its own ends what was cleared in it.
    clear(&mut shop, BENCH);
    act(&mut shop, measure(&shelf, "41 m3"));
    assert_eq!(withdrawn(&shop, "C-1"), None);
    act(&mut shop, measure(&bench(), "49 m3"));
    assert_eq!(withdrawn(&shop, "C-1"), Some(WithdrawalCause::RoomMeasured));
    // An airflow that was answered is answered again, and comes to what the room makes of it: 420 m³/h
    // move 200 m³ too slowly.
    let answers = good_answers(&shop, BENCH, "140 °C");
    let air = answers["airflow"].clone();
    answer_clearance(&mut shop, BENCH, answers);
    let again = |shop: &mut Workshop, volume: &str| {
        act(shop, measure(&bench(), volume));
        let view = coldbench::station(shop, &bench()).unwrap();
        assert_eq!(view.in_hand.unwrap().checks[0].answered, None);
        assert!(missing(shop).contains("Not answered: How much air"));
        act(shop, answer(BENCH, "airflow", air.clone()));
    };
    again(&mut shop, "200 m3");
    assert!(missing(&mut shop).contains("2.1 air changes an hour"));
    again(&mut shop, "49 m3");
    act(&mut shop, complete());
    let granted = shop.state().clearances.values().last().unwrap();
    let kept = granted.answers.values().find(|given| given.answer == air).unwrap();
    assert!(kept.shown.contains("8.6 air changes an hour"), "{}", kept.shown);
    // What was read says nothing of a room.
    let read = shop.state().room_of(&bench()).unwrap().readings.last().unwrap();
    assert_eq!(read.shown, "700 m3/h rated, 60 % counted: 420 m³/h.");
    assert!(shop.verify(&[]).is_ok());
    unlock(&mut shop, HELPER, HELPER_PIN);
    assert!(matches!(refused(&mut shop, measure(&shed, "44 m3")), Refusal::LeadOnly { .. }));
}

/// One room, two stations: what happens at the one counts at the other.
#[test]
fn stations_of_one_room_share_their_air() {
    let (_folder, mut shop) = at_heat_step();
    act(
        &mut shop,
        Command::AddStation(NewStation {
            name: "Rack".to_owned(),
            room: "900 m3".to_owned(),
            shares_room_with: Some(bench()),
        }),
    );
    let rack = StationId::new("S-3");
    assert_eq!(shop.state().stations[&rack].room, shop.state().stations[&bench()].room);
    let thinner = Box::new(shop.library().material("lacquer-thinner").unwrap().clone());
    act(
        &mut shop,
        Command::ListContainer {
            station: rack.clone(),
            name: "Thinner".to_owned(),
            autoignition: String::new(),
            material: Some(thinner),
        },
    );
    let can = ContainerId::new("F-3");
    let found = shop.state().containers[&can].autoignition.clone().unwrap();
    assert_eq!(found.text, "232 °C");
    clear(&mut shop, BENCH);
    act(&mut shop, Command::OpenContainer { container: can.clone() });
    assert_eq!(withdrawn(&shop, "C-1"), Some(WithdrawalCause::FlammableReleased));
    let answers = good_answers(&shop, BENCH, "140 °C");
    answer_clearance(&mut shop, BENCH, answers);
    assert!(missing(&mut shop).contains("open at another station of this room"));
    act(&mut shop, Command::CloseContainer { container: can });
    let command = used(&shop, "S-3", "lacquer-thinner", "5 mL");
    act(&mut shop, command);
    clear(&mut shop, BENCH);
    // The corner has a room of its own.
    let command = used(&shop, CORNER, ALCOHOL, "5 mL");
    act(&mut shop, command);
    assert_eq!(withdrawn(&shop, "C-2"), None);
    let command = used(&shop, "S-3", ALCOHOL, "5 mL");
    act(&mut shop, command);
    assert_eq!(withdrawn(&shop, "C-2"), Some(WithdrawalCause::FlammableReleased));
    clear(&mut shop, BENCH);
    act(&mut shop, Command::StopAir { station: rack });
    assert_eq!(withdrawn(&shop, "C-3"), Some(WithdrawalCause::AirflowStopped));
    shop.verify(&[]).unwrap();
}

/// Nobody knows what went on while it was shut.
#[test]
fn a_started_program_knows_nothing_of_what_was_cleared() {
    let (folder, mut shop) = at_heat_step();
    clear(&mut shop, BENCH);
    let now = shop.now();
    drop(shop);
    let shop = Workshop::open(folder.path(), Clock::Set(now + TimeDelta::minutes(1))).unwrap();
    assert_eq!(withdrawn(&shop, "C-1"), Some(WithdrawalCause::Interrupted));
    shop.verify(&[]).unwrap();
    // Nothing live, nothing noted.
    let events = shop.events();
    drop(shop);
    let again = Workshop::open(folder.path(), Clock::Set(now + TimeDelta::minutes(2))).unwrap();
    assert_eq!(again.events(), events);
}

/// A reading that is too old counts no more, and the clearance does not outlast it.
#[test]
fn a_clearance_does_not_outlast_its_reading() {
    let (_folder, mut shop) = at_heat_step();
    let text = shipped_text("stations/heat-clearance.toml");
    let short = text.replace("air-reading-holds-minutes = 60", "air-reading-holds-minutes = 20");
    assert_ne!(text, short);
    own_checklist(&mut shop, "stations/heat-clearance.toml", &short);
    let read = shop.now();
    clear(&mut shop, BENCH);
    let until = shop.state().clearances[&ClearanceId::new("C-1")].until;
    assert!(until - read < TimeDelta::minutes(21), "{until}");
}

/// Heat was used: the place is watched, and the station stays open until that is signed.
#[test]
fn after_heat_the_place_is_watched() {
    let (_folder, mut shop) = at_heat_step();
    let close = || Command::CloseStation { station: bench() };
    let watch = || Command::SignWatch { station: bench() };
    assert!(matches!(refused(&mut shop, close()), Refusal::Unknown { what: "open station", .. }));
    open_bench(&mut shop, BENCH);
    assert_eq!(refused(&mut shop, watch()), Refusal::NoWatch);
    clear(&mut shop, BENCH);
    let at = prepare_step(&mut shop, ROD, SLEEVE);
    act(&mut shop, Command::SignStep(at));
    let Refusal::NotClosed { missing } = refused(&mut shop, close()) else { panic!() };
    assert!(missing.join(" ").contains("heat is cleared until"), "{missing:?}");
    assert!(missing.join(" ").contains("the watch after heat runs until"), "{missing:?}");
    pass(&mut shop, TimeDelta::minutes(59));
    assert!(matches!(refused(&mut shop, watch()), Refusal::WatchRuns { .. }));
    pass(&mut shop, TimeDelta::minutes(1));
    // The helper was the watcher, and may sign; somebody else's watch is a lead's to sign.
    unlock(&mut shop, HELPER, HELPER_PIN);
    act(&mut shop, watch());
    act(&mut shop, close());
    assert_eq!(shop.state().stations[&bench()].open_until, None);
    shop.verify(&[]).unwrap();
}

#[test]
fn a_unit_that_was_mistaken_is_asked_about() {
    let (_folder, shop) = at_heat_step();
    for (amount, words) in
        [("15 L", "Look at the unit"), ("15", ""), ("much", "Write for example"), ("-5 mL", "")]
    {
        let command = used(&shop, BENCH, ALCOHOL, amount);
        match shop.would(command) {
            Err(refusal) => assert!(refusal.to_string().contains(words), "{refusal}"),
            Ok(events) => panic!("“{amount}” was taken: {events:?}"),
        }
    }
}

/// Only a lead clears, whoever asks and however well the checks are answered; and a heat step
/// that was reached in another way is refused all the same.
#[test]
fn the_rule_stands_behind_every_door() {
    let (_folder, mut shop) = at_heat_step();
    let answers = good_answers(&shop, BENCH, "140 °C");
    answer_clearance(&mut shop, BENCH, answers);
    let helper = shop.act_once(&PersonId::new(HELPER), &pin(HELPER_PIN), complete());
    assert_eq!(helper.unwrap_err().code(), "lead-only");
    let sign = Command::SignStep(place(ROD, SLEEVE, "shrink-middle"));
    let refusal = shop.act_once(&PersonId::new(LEAD), &pin(LEAD_PIN), sign).unwrap_err();
    assert_eq!(refusal.code(), "no-clearance", "{refusal}");
    // A list that was begun anew asks everything anew.
    let begin = begin_list(&shop, StationKind::HeatClearance, BENCH);
    act(&mut shop, begin);
    assert!(missing(&mut shop).contains("Not answered"));
    assert!(start() < shop.now());
}

fn log_of(shop: &Workshop, station: &str, day: &str) -> Result<Taken, ShellError> {
    let what = Printable::StationLog { station: station.to_owned(), day: day.to_owned() };
    Taken::of(shop, &what, PaperWord::A4)
}

fn pages(shop: &Workshop, station: &str) -> String {
    let day = shop.now().format("%Y-%m-%d").to_string();
    let pdf = log_of(shop, station, &day).unwrap().pdf().unwrap();
    coldbench_record::page_texts(&pdf).unwrap().join("\n").replace('\n', " ")
}

/// A day of a station on paper: readings, what was used, clearances given and ended, the watch.
#[test]
fn a_day_of_a_station_is_printed() {
    let (_folder, mut shop) = at_heat_step();
    let empty = pages(&shop, BENCH);
    assert!(empty.contains("Nothing was recorded") || empty.contains("nothing"), "{empty}");
    open_bench(&mut shop, BENCH);
    let command = used(&shop, BENCH, ALCOHOL, "5 mL");
    act(&mut shop, command);
    clear(&mut shop, BENCH);
    act(&mut shop, Command::OpenContainer { container: ContainerId::new(CAN) });
    act(&mut shop, Command::CloseContainer { container: ContainerId::new(CAN) });
    let command = used(&shop, BENCH, ALCOHOL, "0 mL");
    act(&mut shop, command);
    clear(&mut shop, BENCH);
    let at = prepare_step(&mut shop, ROD, SLEEVE);
    act(&mut shop, Command::SignStep(at));
    pass(&mut shop, TimeDelta::minutes(61));
    let unwatched = pages(&shop, BENCH);
    for words in [
        "700 m3/h rated, 60 % counted: 420 m³/h",
        "5 mL of Isopropyl alcohol: A rag",
        "C-1: A flammable was opened or used in the room.",
        "C-2: It lapsed.",
        "R-1 under C-2",
        "Test bench",
        "no gas detector",
    ] {
        assert!(unwatched.contains(words), "“{words}” is not printed:\n{unwatched}");
    }
    act(&mut shop, Command::SignWatch { station: bench() });
    let watched = pages(&shop, BENCH);
    assert!(watched.contains("The watch after C-2 was kept to its end."), "{watched}");
    // Of the corner, which has a room of its own, nothing of this.
    let corner = pages(&shop, CORNER);
    assert!(!corner.contains("Isopropyl") && !corner.contains("C-2"), "{corner}");
    // A day that is none, a station that is none.
    let error = log_of(&shop, BENCH, "yesterday").map(drop).unwrap_err();
    assert!(error.to_string().contains("is no day"), "{error}");
    assert!(log_of(&shop, "S-9", "2026-03-06").is_err());
}

/// Written down from the sheet in the hand: a file like any other, judged by the same reader.
#[test]
fn a_material_is_written_down_from_its_sheet() {
    use coldbench::views::{ComponentDraft, MaterialDraft};
    let (folder, mut shop) = at_heat_step();
    let component = ComponentDraft {
        name: "Ethyl acetate".to_owned(),
        cas: "141-78-6".to_owned(),
        share: "60–100 %".to_owned(),
        volatile: true,
        molar_mass: "88.11 g/mol".to_owned(),
        lower_limit: "2.0 %".to_owned(),
        day_limit: "400 ppm".to_owned(),
        short_limit: String::new(),
        ceiling: String::new(),
    };
    let draft = MaterialDraft {
        title: "Bench wash “No. 4”".to_owned(),
        sheet: "Its maker's sheet, 2026-01-12 (invented).".to_owned(),
        hazards: vec!["H225".to_owned(), " H319 ".to_owned(), String::new()],
        caution: "It burns. Keep air moving. The sheet comes first.".to_owned(),
        density: "0.9 g/mL".to_owned(),
        flash: "-4 °C".to_owned(),
        boils: "77 °C".to_owned(),
        autoignition: "427 °C".to_owned(),
        lower_limit: String::new(),
        components: vec![component],
        amount: "10 mL".to_owned(),
        purpose: "a wet cloth".to_owned(),
    };
    let file = folder.path().join("checklists/materials/bench-wash-no-4.toml");
    let wrong = MaterialDraft { flash: "cold".to_owned(), ..draft.clone() };
    let problems = coldbench::material_form::save(&mut shop, &wrong).unwrap();
    assert!(problems.iter().any(|problem| problem.unusable), "{problems:?}");
    assert!(!file.exists(), "an unusable file was written");
    let problems = coldbench::material_form::save(&mut shop, &draft).unwrap();
    assert!(problems.iter().all(|problem| !problem.unusable), "{problems:?}");
    assert!(file.exists());
    let command = used(&shop, BENCH, "bench-wash-no-4", "10 mL");
    act(&mut shop, command);
    // By hand: 0.9 g/mL and 88.11 g/mol at 24.45 L/mol make 2.50 L of 50 m³, 0.25 % of 2 %.
    let found = percent(&shop).unwrap();
    assert!((found - 0.25).abs() < 0.005, "{found}");
    let again = coldbench::material_form::save(&mut shop, &draft).unwrap_err();
    assert!(again.to_string().contains("There is a material of this name"), "{again}");
    for title in ["", "  ", "???", "../../etc"] {
        let draft = MaterialDraft { title: title.to_owned(), ..draft.clone() };
        match coldbench::material_form::save(&mut shop, &draft) {
            Err(error) => assert!(error.to_string().contains("letters or digits"), "{error}"),
            Ok(_) => assert!(
                folder.path().join("checklists/materials/etc.toml").exists(),
                "“{title}” went elsewhere"
            ),
        }
    }
}
