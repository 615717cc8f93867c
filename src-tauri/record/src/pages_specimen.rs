//! Invented single sheets to look at and to test with: no such shop, people, rod or numbers exist.

use crate::{
    model::{FigureRecord, Paper, RevisionRecord, Watch},
    pages_model::{
        BenchSheet, BenchStep, ClearancePage, ClearedHeat, CrewStage, CrewTable, HandAnswer,
        HandClock, HandLine, HandList, Imprint, Lesson, RodName, RodPage, TaughtStage, TextOf,
        TrainedHeat, TrainedStage, TrainedStep, TrainingRecord, WitnessedStep,
    },
    specimen::{self, HELPER, LEAD, at, text},
};

fn imprint() -> Imprint {
    Imprint {
        shop: text("Lower Mill Rods (invented)"),
        demo: true,
        ledger: specimen::ledger(184, at(25, 17, 31)),
        printed: at(25, 17, 40),
        paper: Paper::A4,
    }
}

fn grip_text() -> TextOf {
    TextOf {
        title: text("Bond the grips"),
        aim: text("The grips sit at their marks in a thin, even bond."),
        id: text("grip-bonding"),
        revised: text("2026-10-30"),
        sha256: text("b94d27b9934d3e08a52e52d7da7dabfac484efe37a5380ee9088f7ace2efcde9"),
    }
}

fn line(number: u32, what: &str, key_point: &str) -> HandLine {
    HandLine {
        number,
        what: text(what),
        asks: what.ends_with('?'),
        key_point: text(key_point),
        caution: None,
        hazards: vec![],
        wear: vec![],
        heat: None,
        answers: vec![],
        lot: None,
        clocks: vec![],
        witness: false,
        closed: String::new(),
    }
}

/// A stage of a rod to fill in by hand, with one of everything.
pub(crate) fn hand_stage() -> HandList {
    let mut ream = line(
        1,
        "Ream the rear grip until it stops 40 mm short of its mark.",
        "Turn by hand and clear the dust after every ten turns.",
    );
    ream.caution = Some(text(
        "Cork and foam dust irritates lungs and eyes. Draw the dust off at the bore, wear a dust \
         mask and glasses, and keep the sheet of the product at hand.",
    ));
    ream.hazards = vec![text("Dust harms the lungs.")];
    ream.wear = vec![text("dust mask"), text("glasses")];
    ream.answers = vec![HandAnswer::Value {
        name: text("Where the grip stops, from its mark"),
        limits: text("30 mm to 50 mm"),
        times: 1,
    }];
    let mut weigh = line(
        2,
        "Weigh the resin, then the hardener, and mix for two minutes.",
        "Scrape sides and bottom; the scale reads to 0.01 g.",
    );
    weigh.caution = Some(text(
        "Uncured epoxy on skin can make you allergic for life. Wear nitrile gloves; change them \
         when soiled. The safety data sheet comes first.",
    ));
    weigh.hazards = vec![text("H317 May cause an allergic skin reaction.")];
    weigh.answers = vec![HandAnswer::Value {
        name: text("Hardener weighed, in percent of what the sheet of the product asks for it"),
        limits: text("95 % to 105 %"),
        times: 1,
    }];
    weigh.lot = Some(text("Epoxy resin and hardener"));
    weigh.clocks =
        vec![HandClock { words: text("Gloves: glove change, 30 min at most."), starts: true }];
    weigh.witness = true;
    let mut trial = line(3, "Turn the blank four times and mark where it comes to rest.", "");
    trial.answers =
        vec![HandAnswer::Value { name: text("Where it rests"), limits: String::new(), times: 5 }];
    let mut shrink = line(
        4,
        "Shrink the sleeve from the middle outwards.",
        "Keep the gun moving and turn the rod a quarter turn at each pass.",
    );
    shrink.caution = Some(text(
        "Hot air lights solvent vapour you cannot smell. Air on, extinguisher in reach, somebody \
         watches. Doubt means: no heat.",
    ));
    shrink.heat = Some(text(
        "Heat waits for a clearance that Coldbench granted and that still holds; this sheet grants \
         none. Gun at 135 °C at most.",
    ));
    shrink.witness = true;
    let mut turned =
        line(5, "Turn each guide to its degrees, and measure the widest step off the sheet.", "");
    turned.closed = text("Left out on this rod. Only where the guides run in a spiral.");
    let mut cured =
        line(6, "When the cure has run out, press a gloved fingernail into the leftover.", "");
    cured.clocks =
        vec![HandClock { words: text("Rear grip: cure, 24 h at least."), starts: false }];
    HandList {
        imprint: imprint(),
        text: grip_text(),
        rod: Some(RodName {
            id: text("R-0007"),
            title: text("Estuary spinning rod for light jigs"),
        }),
        of_rod: true,
        notices: vec![],
        lines: vec![ream, weigh, trial, shrink, turned, cured],
    }
}

/// The list before heat, to fill in by hand.
pub(crate) fn hand_station() -> HandList {
    let mut air =
        line(1, "How much air does the ventilation move now?", "Switch it on and read it.");
    air.caution =
        Some(text("Vapour that stays can burn or dull the head. No reading means no heat."));
    air.answers = vec![HandAnswer::Lines(vec![
        text("Mean air speed, with its unit"),
        text("Free opening, with its unit"),
        text("Or the fan's rated flow, cut down"),
    ])];
    let mut cans = line(2, "Where is each container of something flammable?", "Touch each lid.");
    cans.answers = vec![HandAnswer::Ticks {
        head: text("Container"),
        states: vec![text("closed, in its store"), text("closed, still here"), text("open")],
        rows: vec![
            text("Wiping alcohol, 0.5 l can"),
            text("Thread finish, the bottle with the long name that somebody wrote on it"),
        ],
    }];
    let mut rags = line(3, "Where are the wiping rags?", "Look in pockets and under the bench.");
    rags.answers = vec![HandAnswer::Choice(vec![
        (text("all in the metal bin, lid shut"), true),
        (text("lying out"), false),
    ])];
    let mut list = hand_stage();
    list.text.title = text("Clear the station for heat");
    list.text.aim = text("Air, vapour, flammables and people were looked at a moment ago.");
    list.text.id = text("heat-clearance");
    list.rod = None;
    list.of_rod = false;
    list.notices = vec![text("Filled in by hand this sheet grants no clearance: no heat.")];
    list.lines = vec![air, cans, rags];
    list.imprint.paper = Paper::Letter;
    list
}

fn trained(what: &str, times: u32, witnessed: &[(&str, u32)], days: (u32, u32)) -> TrainedStep {
    TrainedStep {
        what: text(what),
        heat: false,
        times,
        witnessed: witnessed.iter().map(|(name, times)| (text(name), *times)).collect(),
        first: at(days.0, 9, 20),
        last: at(days.1, 10, 19),
    }
}

fn lesson(day: u32, what: &str, told: bool) -> Lesson {
    let (rod, lead) = (text("R-0007"), text(LEAD));
    Lesson { when: at(day, 9, 10), rod, what: text(what), told, lead }
}

/// Four helpers against some stages.
pub(crate) fn crew() -> CrewTable {
    let stage = |title: &str, asked: &str, standings: [&str; 4]| CrewStage {
        title: text(title),
        asked: text(asked),
        standings: standings.iter().map(|words| text(words)).collect(),
    };
    CrewTable {
        imprint: imprint(),
        leads: vec![text(LEAD)],
        people: [HELPER, "Tamsin Oakley", "Ivo Marchbanks", "Sunniva Quell"].map(text).to_vec(),
        stages: vec![
            stage(
                "Bond the grips",
                "2 witnessed runs, refresh after 90 days",
                [
                    "alone since 2026-11-23",
                    "presenting, 2 of 4 steps",
                    "due for a refresh, last done 2026-06-02",
                    "trying out, 1 of 2 runs witnessed",
                ],
            ),
            stage(
                "Shrink the sleeve over the rear grip",
                "3 witnessed runs",
                [
                    "not taught yet",
                    "not taught yet",
                    "next run alone, then a lead releases",
                    "not taught yet",
                ],
            ),
            stage("Look the blank over", "none", ["as its steps ask"; 4]),
        ],
    }
}

/// A helper who did two stages, one of them with heat, and witnessed a step.
pub(crate) fn training() -> TrainingRecord {
    let mut shrink =
        trained("Shrink the sleeve from the middle outwards.", 2, &[(LEAD, 2)], (24, 25));
    shrink.heat = true;
    let heat = |day, rod: &str, clearance: &str, witness: &str| TrainedHeat {
        when: at(day, 15, 22),
        rod: text(rod),
        stage: text("Shrink the sleeve over the rear grip"),
        what: text("Shrink the sleeve from the middle outwards."),
        clearance: text(clearance),
        witness: text(witness),
    };
    TrainingRecord {
        imprint: imprint(),
        name: text(HELPER),
        id: text("P-2"),
        role: text("helper"),
        joined: Some(at(3, 9, 0)),
        left: None,
        stages: vec![
            TrainedStage {
                title: text("Bond the grips"),
                of_steps: 4,
                rods: vec![text("R-0007"), text("R-0009"), text("R-0011")],
                first: at(12, 9, 20),
                last: at(23, 10, 19),
                steps: vec![
                    trained(
                        "Ream the rear grip until it stops 40 mm short of its mark.",
                        3,
                        &[(LEAD, 2), ("Tamsin Oakley", 1)],
                        (12, 23),
                    ),
                    trained(
                        "Weigh the resin, then the hardener, and mix for two minutes.",
                        3,
                        &[(LEAD, 3)],
                        (12, 23),
                    ),
                    trained("Slide the grip home and turn it once on the blank.", 1, &[], (23, 23)),
                ],
            },
            TrainedStage {
                title: text("Shrink the sleeve over the rear grip"),
                of_steps: 3,
                rods: vec![text("R-0007")],
                first: at(24, 15, 22),
                last: at(25, 15, 22),
                steps: vec![shrink],
            },
        ],
        taught: vec![
            TaughtStage {
                title: text("Bond the grips"),
                standing: text("alone since 2026-11-23"),
                witnessed: text("2 of 2"),
                released: text("Wren Tolliver, 2026-11-23, on R-0011"),
                lessons: vec![
                    lesson(
                        12,
                        "Weigh the resin, then the hardener, and mix for two minutes.",
                        false,
                    ),
                    lesson(12, "Slide the grip home and turn it once on the blank.", true),
                ],
            },
            TaughtStage {
                title: text("Shrink the sleeve over the rear grip"),
                standing: text("not taught yet"),
                witnessed: text("0 of 3"),
                released: String::new(),
                lessons: Vec::new(),
            },
        ],
        heat: vec![heat(24, "R-0007", "C-3", LEAD), heat(25, "R-0011", "", "")],
        witnessed: vec![WitnessedStep {
            stage: text("Bond the grips"),
            what: text("Weigh the resin, then the hardener, and mix for two minutes."),
            did: vec![(text(LEAD), 1)],
            first: at(23, 10, 6),
            last: at(23, 10, 6),
        }],
    }
}

/// The sheet of a rod with one of everything.
pub(crate) fn rod() -> RodPage {
    let mut rod = specimen::rich().rod;
    rod.revisions = vec![RevisionRecord {
        was: Some(text("8.2 mm at 42 in from the butt")),
        now: text("8.1 mm at 42 in from the butt"),
        reason: text("The caliper stood on a wrap."),
        who: text(LEAD),
        when: at(22, 11, 4),
        event: 31,
    }];
    RodPage { imprint: imprint(), rod }
}

/// A clearance under which heat was used.
pub(crate) fn clearance() -> ClearancePage {
    let mut clearance = specimen::clearances().remove(1);
    // It is told in a part of its own.
    clearance.watch = None;
    let pair = |label: &str, words: &str| (text(label), text(words));
    ClearancePage {
        imprint: imprint(),
        clearance,
        text: TextOf {
            title: text("Clear the station for heat"),
            aim: String::new(),
            id: text("heat-clearance"),
            ..grip_text()
        },
        unanswered: vec![text("What does the gas meter read?")],
        limits: vec![
            pair("Gun", "set to 120 °C; at most 80 % of the lowest autoignition temperature"),
            pair("Air", "6 changes an hour or more"),
            pair("Vapour", "10 % of the lower flammable limit at most"),
        ],
        heat: vec![ClearedHeat {
            when: at(24, 15, 22),
            rod: text("R-0007"),
            what: text("Shrink the sleeve from the middle outwards."),
            who: text(HELPER),
            witness: text(LEAD),
        }],
        watch: Some(Watch {
            last_heat: at(24, 15, 22),
            until: at(24, 16, 22),
            kept: Some((at(24, 16, 23), text(HELPER))),
        }),
    }
}

/// A stage for the bench: the steps of the one to fill in by hand, with a figure.
pub(crate) fn bench() -> BenchSheet {
    let by_hand = hand_stage();
    let mut steps: Vec<BenchStep> = by_hand
        .lines
        .into_iter()
        .map(|line| BenchStep {
            number: line.number,
            what: line.what,
            key_point: line.key_point,
            caution: line.caution,
            wear: line.wear,
            heat: line.heat,
            value: None,
            figures: vec![],
            also: vec![],
            left_out: line.closed.trim_start_matches("Left out on this rod. ").to_owned(),
        })
        .collect();
    steps[0].value = Some((text("Where the grip stops, from its mark"), text("30 mm to 50 mm")));
    steps[1].also =
        vec![text("Lot of: Epoxy resin and hardener"), text("A lead witnesses this step.")];
    steps[1].figures = vec![FigureRecord {
        title: text("Resin to mix"),
        rows: vec![
            (text("Resin"), text("8.2 g")),
            (text("Hardener"), text("4.1 g, at least 3.9 g, at most 4.3 g")),
        ],
        beside: vec![text("Invented for this specimen.")],
        source: text("none: invented"),
    }];
    BenchSheet {
        imprint: imprint(),
        rod: RodName { id: text("R-0007"), title: text("Estuary spinning rod for light jigs") },
        text: grip_text(),
        notices: vec![],
        steps,
    }
}
