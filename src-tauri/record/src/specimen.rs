//! Invented logs to look at and to test with: no such shop, people, rod or numbers exist.

use crate::{
    guide_specimen,
    model::{
        Attachment, BuildLog, CheckRecord, ClearanceRecord, ClockRecord, CorrectionRecord, Fitted,
        LedgerHead, LeftOutRecord, Note, Paper, PartState, Relation, RodSheet, Signature,
        StageRecord, Station, StepRecord, StepState, TextRecord, ValueRecord, Watch, When,
    },
};

pub(crate) const LEAD: &str = "Wren Tolliver";
pub(crate) const HELPER: &str = "Pim Aldersey";
/// A name that no line is made for.
pub(crate) const LONG_NAME: &str = "Maximiliana-Josephinenkirchweihtannenwaldbachquellenhausen";

/// A moment in November 2026, an hour east of Greenwich.
pub(crate) fn at(day: u32, hour: u32, minute: u32) -> When {
    let text = format!("2026-11-{day:02}T{hour:02}:{minute:02}:07+01:00");
    When::parse_from_rfc3339(&text).unwrap_or_default()
}

pub(crate) fn text(words: &str) -> String {
    words.to_owned()
}

fn pair((label, words): (&str, &str)) -> (String, String) {
    (text(label), text(words))
}

fn signature(who: &str, meaning: &str, when: When) -> Signature {
    let role = if who == LEAD { "lead" } else { "helper" };
    Signature { who: text(who), role: text(role), meaning: text(meaning), when }
}

pub(crate) fn ledger(events: u64, last: When) -> LedgerHead {
    LedgerHead {
        origin: text("5d0c41f2a7be48309e6611c80fd27a94"),
        events,
        digest: text("3fa91c2277e0b1d4480c6a5be1f2930d5578c1aa04be96f7d3120e8f6b4c9a21"),
        last,
    }
}

/// A rod that was ordered and measured at two places, and nothing more.
pub(crate) fn empty() -> BuildLog {
    let station = |from, diameter, words: (&str, &str)| Station {
        from_butt_mm: from,
        diameter_mm: diameter,
        from_butt_text: text(words.0),
        diameter_text: text(words.1),
    };
    BuildLog {
        shop: text("Lower Mill Rods (invented)"),
        demo: true,
        rod: RodSheet {
            id: text("R-0012"),
            title: text("Brook rod, not begun"),
            customer: String::new(),
            wishes: String::new(),
            reel: text("fly"),
            blank: text("Two-piece glass, 2.1 m"),
            length_mm: 2134.0,
            length_text: text("2134 mm (7 ft 0 in)"),
            joins_mm: vec![],
            stations: vec![
                station(0.0, 8.6, ("0 mm", "8.6 mm")),
                station(2134.0, 1.5, ("2134 mm", "1.5 mm")),
            ],
            parts: vec![],
            fitted: vec![],
            revisions: vec![],
            layout: None,
        },
        stages: vec![],
        statements: vec![],
        statements_edition: String::new(),
        left_out: vec![],
        clearances: vec![],
        ledger: ledger(3, at(24, 9, 2)),
        printed: at(25, 17, 40),
        paper: Paper::A4,
        attached: vec![],
    }
}

/// Invented files to carry, with bytes of every value. Not in the order of their names.
pub(crate) fn attached() -> Vec<Attachment> {
    let events: Vec<String> =
        (1..=184).map(|number| format!("{{\"event\":{number},\"invented\":true}}\n")).collect();
    vec![
        Attachment {
            name: text("record.jsonl"),
            mime: text("application/jsonl"),
            words: text("The events of this ledger, one a line."),
            relation: Relation::Source,
            bytes: events.concat().into_bytes(),
        },
        Attachment {
            name: text("keys.bin"),
            mime: text("application/octet-stream"),
            words: text("The public keys of those who signed."),
            relation: Relation::Supplement,
            bytes: (0..=u8::MAX).rev().collect(),
        },
    ]
}

/// The same with a tiny file to carry.
pub(crate) fn small() -> BuildLog {
    let mut log = empty();
    log.attached = attached();
    log.attached[0].bytes.truncate(64);
    log
}

/// A rod half built, with one of everything that can be recorded.
pub(crate) fn rich() -> BuildLog {
    let mut log = empty();
    log.rod = rod();
    log.stages = vec![grip_stage(), sleeve_stage(), guide_stage()];
    log.statements = vec![
        (
            text("H225 Highly flammable liquid and vapour."),
            vec![
                text(
                    "P210 Keep away from heat, hot surfaces, sparks, open flames and other ignition sources. No smoking.",
                ),
                text("P233 Keep container tightly closed."),
            ],
        ),
        (
            text("H317 May cause an allergic skin reaction."),
            vec![text(
                "P280 Wear protective gloves/protective clothing/eye protection/face protection/…",
            )],
        ),
    ];
    log.statements_edition = text(
        "In the words of an invented edition. The label and the safety data sheet of the product come first.",
    );
    log.left_out = vec![LeftOutRecord {
        title: text("Seal the thread with colour preserver"),
        reason: text("The customer wants the wraps to go dark and clear."),
        who: text(LEAD),
        when: at(25, 9, 5),
        event: 151,
    }];
    log.clearances = clearances();
    log.ledger = ledger(184, at(25, 17, 31));
    log.attached = attached();
    log
}

/// A rod whose log holds 300 steps, on Letter paper.
pub(crate) fn huge() -> BuildLog {
    let mut log = rich();
    log.paper = Paper::Letter;
    let stages = log.stages.clone();
    let steps: Vec<StepRecord> =
        stages.iter().flat_map(|stage| stage.steps.iter().cloned()).collect();
    log.stages = (0..15)
        .map(|round| {
            let mut stage = stages[round % stages.len()].clone();
            stage.title = format!("{}, round {}", stage.title, round + 1);
            stage.steps = steps.iter().cycle().skip(round).take(20).cloned().collect();
            for (number, step) in (1..).zip(&mut stage.steps) {
                step.number = number;
            }
            stage
        })
        .collect();
    log.clearances = log.clearances.iter().cycle().take(12).cloned().collect();
    log.ledger.events = 41_207;
    log
}

fn rod() -> RodSheet {
    let stations = [
        (0.0, 15.8, "0 in", "15.8 mm"),
        (152.4, 15.1, "6 in", "15.1 mm"),
        (304.8, 14.2, "12 in", "14.2 mm"),
        (609.6, 12.0, "24 in", "12.0 mm"),
        (914.4, 9.6, "36 in", "9.6 mm"),
        (1066.8, 8.1, "42 in", "8.1 mm"),
        (1371.6, 6.0, "54 in", "6.0 mm"),
        (1676.4, 4.2, "66 in", "4.2 mm"),
        (1981.2, 2.6, "78 in", "2.6 mm"),
        (2133.6, 1.8, "84 in", "1.8 mm"),
    ];
    let fitted = [
        ("Rear grip", 0.0, 230.0, 27.0, PartState::Done),
        ("Reel seat", 230.0, 352.0, 22.0, PartState::Done),
        ("Fore grip", 352.0, 412.0, 25.0, PartState::Curing),
        ("Winding check", 412.0, 416.0, 17.0, PartState::Done),
        ("Guide 1, size 30", 690.0, 735.0, 14.5, PartState::Curing),
        ("Guide 2, size 16", 1010.0, 1046.0, 11.5, PartState::Curing),
        ("Guide 3, size 10", 1275.0, 1303.0, 9.0, PartState::ToCome),
        ("Guide 4, size 6", 1480.0, 1504.0, 7.5, PartState::ToCome),
        ("Guide 5, size 5", 1650.0, 1672.0, 6.6, PartState::ToCome),
        ("Guide 6, size 5", 1795.0, 1815.0, 5.6, PartState::ToCome),
        ("Guide 7, size 5", 1920.0, 1939.0, 4.9, PartState::ToCome),
        ("Guide 8, size 5", 2030.0, 2048.0, 4.2, PartState::ToCome),
        ("Tip-top", 2118.0, 2133.6, 4.4, PartState::Done),
    ];
    let parts = [
        ("Rear grip", "Cork with burl ends, bored 6.4 mm, reamed to the blank"),
        ("Reel seat", "Size 16, bedded on build-up tape, thread locked with epoxy"),
        ("Sleeve", "Shrink sleeve over the rear grip, recovered wall 0.6 mm"),
        ("Thread", "Size A, deep blue, no colour preserver"),
        ("Resin", "Slow-cure epoxy, lot 21-07, expires 2027-03-01"),
    ];
    RodSheet {
        id: text("R-0007"),
        title: text("Estuary spinning rod for light jigs"),
        customer: text(LONG_NAME),
        wishes: text(
            "Balances a hand's width before the reel with the small reel mounted. No gloss on \
             the grip. Guides on the softer side if it matters.\nName 漢 on the butt cap, in \
             small letters.",
        ),
        reel: text("spinning, fixed spool"),
        blank: text("One-and-a-half piece carbon, 2.13 m, 7–21 g, lot B-118"),
        length_mm: 2133.6,
        length_text: text("2133.6 mm (84 in)"),
        joins_mm: vec![880.0],
        stations: stations
            .map(|(from_butt_mm, diameter_mm, from, diameter)| Station {
                from_butt_mm,
                diameter_mm,
                from_butt_text: text(from),
                diameter_text: text(diameter),
            })
            .to_vec(),
        parts: parts.map(pair).to_vec(),
        fitted: fitted
            .map(|(label, from_mm, to_mm, diameter_mm, state)| Fitted {
                label: text(label),
                from_mm,
                to_mm,
                diameter_mm,
                state,
            })
            .to_vec(),
        revisions: vec![],
        layout: Some(guide_specimen::spinning()),
    }
}

fn step(number: u32, what: &str, key_point: &str, reason: &str, when: When) -> StepRecord {
    StepRecord {
        number,
        what: text(what),
        key_point: text(key_point),
        reason: text(reason),
        hazards: vec![],
        caution: None,
        acknowledged: vec![],
        values: vec![],
        figures: vec![],
        clocks: vec![],
        lots: vec![],
        notes: vec![],
        interruptions: vec![],
        corrections: vec![],
        signatures: vec![signature(LEAD, "did", when)],
        from_paper: None,
        clearance: None,
        state: StepState::Signed,
        left_out: String::new(),
    }
}

fn value(name: &str, entered: &str, limits: &str, when: When) -> ValueRecord {
    ValueRecord {
        name: text(name),
        entered: text(entered),
        limits: text(limits),
        within: true,
        accepted: None,
        replaced: false,
        corrected: false,
        who: text(LEAD),
        when,
    }
}

fn mixing() -> StepRecord {
    let mut mix = step(
        2,
        "Weigh the resin, then the hardener, and mix for two minutes.",
        "Scrape sides and bottom; the scale reads to 0.01 g.",
        "Unmixed resin at the wall of the cup never sets.",
        at(23, 10, 5),
    );
    mix.hazards = vec![
        text("H315 Causes skin irritation."),
        text("H317 May cause an allergic skin reaction."),
        text("H319 Causes serious eye irritation."),
    ];
    mix.caution = Some(text(
        "Uncured epoxy on skin can make you allergic for life. Nitrile gloves, changed after 30 \
         minutes or at once when soiled; glasses; no solvent on skin.",
    ));
    mix.acknowledged = vec![signature(LEAD, "understood the caution", at(23, 9, 58))];
    mix.values = vec![
        ValueRecord {
            within: false,
            accepted: Some(text("the data sheet of this lot allows 100 : 48 to 100 : 54")),
            ..value(
                "Resin to hardener by weight",
                "100 : 53",
                "100 : 49 to 100 : 51",
                at(23, 10, 3),
            )
        },
        value("Room", "21.5 °C", "18 °C to 26 °C", at(23, 10, 3)),
        value("Batch", "12.4 g", "", at(23, 10, 3)),
    ];
    mix.lots = [
        ("Resin", "slow-cure epoxy, part A, lot 21-07, expires 2027-03-01"),
        ("Hardener", "part B, lot 21-09, expires 2027-03-01"),
    ]
    .map(pair)
    .to_vec();
    mix.clocks = vec![
        ClockRecord {
            name: text("batch 1"),
            kind: text("working time"),
            minutes: 38,
            begun: at(23, 10, 4),
            who: text(LEAD),
        },
        ClockRecord {
            name: text("gloves"),
            kind: text("glove change"),
            minutes: 30,
            begun: at(23, 10, 1),
            who: text(LEAD),
        },
    ];
    mix.signatures.push(signature(HELPER, "witnessed", at(23, 10, 6)));
    mix
}

fn grip_stage() -> StageRecord {
    let mut ream = step(
        1,
        "Ream the rear grip until it stops 40 mm short of its mark.",
        "Turn by hand and clear the dust after every ten turns.",
        "A bore opened too far leaves a bond line that resin alone must fill.",
        at(23, 9, 20),
    );
    ream.caution = Some(text(
        "Cork and foam dust irritates lungs and eyes. Draw the dust off at the bore, wear a dust \
         mask and glasses, and keep the sheet of the product at hand.",
    ));
    ream.acknowledged = vec![
        signature(LEAD, "understood the caution", at(23, 9, 2)),
        signature(HELPER, "understood the caution", at(23, 9, 3)),
    ];
    ream.values = vec![
        ValueRecord {
            replaced: true,
            within: false,
            ..value("Where the grip stops, from its mark", "62 mm", "30 mm to 50 mm", at(23, 9, 11))
        },
        value("Where the grip stops, from its mark", "43 mm", "30 mm to 50 mm", at(23, 9, 18)),
    ];
    let mut bond = step(
        3,
        "Slide the grip home and turn it once on the blank.",
        "Resin shows all around the front edge.",
        "",
        at(23, 10, 19),
    );
    bond.clocks = vec![ClockRecord {
        name: text("rear grip"),
        kind: text("cure"),
        minutes: 1440,
        begun: at(23, 10, 19),
        who: text(LEAD),
    }];
    bond.notes = vec![
        Note {
            who: text(LEAD),
            when: at(23, 10, 25),
            text: text("A little resin ran on the burl end.\nWiped dry at once, no solvent used."),
        },
        Note { who: text(LONG_NAME), when: at(23, 10, 40), text: text("Seen. Looks even.") },
    ];
    StageRecord {
        title: text("Bond the grips"),
        checklist: text("grip-bonding"),
        revised: text("2026-10-30"),
        sha256: text("b94d27b9934d3e08a52e52d7da7dabfac484efe37a5380ee9088f7ace2efcde9"),
        station: text("bench"),
        begun: at(23, 9, 0),
        finished: Some(at(23, 10, 41)),
        steps: vec![ream, mixing(), bond],
        texts: vec![],
    }
}

fn sleeve_stage() -> StageRecord {
    let mut shrink = step(
        2,
        "Shrink the sleeve from the middle outwards, the gun at 120 °C.",
        "Keep the gun moving and turn the rod a quarter turn at each pass.",
        "A spot held too long blisters the sleeve and softens the bond below it.",
        at(24, 15, 22),
    );
    shrink.hazards = vec![text("Heat: hot air burns skin, lights vapour and spoils plastics.")];
    shrink.caution = Some(text(
        "Hot air lights solvent vapour you cannot smell. No open solvent, finish or wet resin at \
         this station; air on; extinguisher in reach; somebody watches. Doubt means: no heat.",
    ));
    shrink.acknowledged = vec![signature(LEAD, "understood the caution", at(24, 15, 10))];
    shrink.clearance = Some(text("C-3"));
    shrink.values = vec![ValueRecord {
        corrected: true,
        ..value("Gun, as set", "130 °C", "at most 135 °C", at(24, 15, 12))
    }];
    shrink.lots = vec![pair(("Sleeve", "shrink sleeve, lot 8-114"))];
    shrink.corrections = vec![
        CorrectionRecord {
            event: 97,
            what: text("Gun, as set: 130 °C"),
            says: text("Gun, as set: 120 °C"),
            reason: text(
                "Read from the dial of the other gun. The log of the clearance has 120 °C.",
            ),
            who: text(LEAD),
            when: at(24, 16, 2),
            by_event: 142,
        },
        CorrectionRecord {
            event: 95,
            what: text("Sleeve: shrink sleeve, lot 8-114"),
            says: text("Sleeve: shrink sleeve, lot 8-141"),
            reason: text("Two digits changed places."),
            who: text(HELPER),
            when: at(24, 16, 5),
            by_event: 144,
        },
    ];
    shrink.signatures.push(signature(HELPER, "watched", at(24, 15, 23)));
    let mut measure = step(
        1,
        "Cut the sleeve 12 % longer than the grip.",
        "Cut square, on a mandrel.",
        "The sleeve shortens as it recovers.",
        at(24, 14, 50),
    );
    measure.from_paper = Some((text(HELPER), at(24, 13, 10)));
    measure.signatures[0].meaning = text("copied this step from paper");
    let mut trim = step(
        3,
        "Trim both ends with a new blade, away from the hand.",
        "One cut, all the way round.",
        "A nick starts a tear.",
        at(24, 15, 40),
    );
    trim.interruptions = vec![
        Note {
            who: text(HELPER),
            when: at(24, 15, 50),
            text: text("Called away from this step; its clocks went on."),
        },
        Note {
            who: text(LEAD),
            when: at(24, 16, 1),
            text: text("Back at this step, after a look at the last one that was done."),
        },
    ];
    trim.caution = Some(text("A new blade cuts to the bone. Cut away from the hand that holds."));
    trim.signatures = vec![];
    trim.state = StepState::Open;
    StageRecord {
        title: text("Shrink the sleeve over the rear grip"),
        checklist: text("sleeve"),
        revised: text("2026-11-02"),
        sha256: text("2cf24dba5fb0a30e26e83b2ac5b9e29e1b161e5c1fa7425e73043362938b9824"),
        station: text("heat corner"),
        begun: at(24, 14, 45),
        finished: None,
        steps: vec![measure, shrink, trim],
        texts: vec![],
    }
}

fn guide_stage() -> StageRecord {
    let mut space = step(
        1,
        "Lay the guides out from the tip and tape them on.",
        "Sight along the rod: every ring on one line.",
        "",
        at(25, 9, 30),
    );
    let spacings = ["96 mm", "113 mm", "128 mm", "147 mm", "172 mm", "206 mm", "264 mm"];
    for (number, spacing) in (1..).zip(spacings) {
        let name = format!("Tip to guide, space {number}");
        space.values.push(value(&name, spacing, "±2 mm of the figure", at(25, 9, 25)));
    }
    let mut finish = step(
        3,
        "Brush the first coat of finish on the wraps of guides 1 and 2.",
        "Turn the rod until the finish no longer moves.",
        "It runs to the lowest place as long as it can.",
        at(25, 17, 30),
    );
    finish.hazards = vec![text("H317 May cause an allergic skin reaction.")];
    finish.caution =
        Some(text("Finish is uncured epoxy. Gloves and glasses; keep it off the skin."));
    finish.acknowledged = vec![signature(LEAD, "understood the caution", at(25, 16, 55))];
    finish.clocks = vec![ClockRecord {
        name: text("guides 1 and 2, first coat"),
        kind: text("cure"),
        minutes: 1470,
        begun: at(25, 17, 29),
        who: text(LEAD),
    }];
    finish.state = StepState::Open;
    finish.signatures = vec![];
    StageRecord {
        title: text("Lay out, wrap and finish the guides"),
        checklist: text("guides"),
        revised: text("2026-10-12"),
        sha256: text("486ea46224d1bb4fb680f34f7c9ad96a8f24ec88be73ea8e5a6c65260e9cb8a7"),
        station: text("finishing rack"),
        begun: at(25, 9, 12),
        finished: None,
        steps: vec![space, turned(), finish],
        texts: texts(),
    }
}

/// A step that is not for this rod.
fn turned() -> StepRecord {
    let mut turned = step(
        2,
        "Turn each guide to its degrees, and measure the widest step off the sheet.",
        "",
        "",
        at(25, 9, 40),
    );
    turned.signatures = vec![];
    turned.state = StepState::LeftOut;
    turned.left_out = text("Only where the guides run in a spiral.");
    turned
}

/// A text of the shop's own that warns less, and one that came while the stage was in hand.
fn texts() -> Vec<TextRecord> {
    vec![
        TextRecord {
            what: text(
                "The shop's own text, in place of the one that comes with Coldbench, takes guards away.",
            ),
            other_sha256: text("9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"),
            lines: vec![text(
                "“Brush the first coat” what to wear: “gloves” in place of “gloves, mask”.",
            )],
            reason: text("The rack stands outdoors under a roof; a mask steams up the glasses."),
            signed: Some((text(LEAD), 12, at(23, 18, 2))),
        },
        TextRecord {
            what: text("The stage went on by another text."),
            other_sha256: text("60303ae22b998861bce3b28f33eec1be758a213c86c93c076dbe9f558c11c752"),
            lines: vec![text(
                "“Lay the guides out” key point: “Sight along the rod: every ring on one line.” in place of “Sight along the rod.”.",
            )],
            reason: String::new(),
            signed: Some((text(LEAD), 160, at(25, 9, 20))),
        },
    ]
}

pub(crate) fn clearances() -> Vec<ClearanceRecord> {
    let check = |what: &str, answer: &str, minute| CheckRecord {
        what: text(what),
        answer: text(answer),
        who: text(LEAD),
        when: at(24, 15, minute),
    };
    let checks = vec![
        check("Ventilation on, with a reading", "0.62 m/s through 0.30 m by 0.30 m, 201 m³/h", 1),
        check("Solvent, 0.5 l can", "lid on, moved to the cabinet, 6 m away", 2),
        check("Wiping rags", "in the lidded metal bin", 2),
        check("Wet resin, finish or solvent on the work", "none; bond cured 28 h", 3),
        check("Combustibles within reach of hot air", "cork dust swept, paper moved", 4),
        check("Extinguisher", "2 kg, in reach, gauge in the green", 4),
        check("Gun, set temperature against sleeve, foam and resin", "120 °C, limit 135 °C", 5),
    ];
    let clearance = ClearanceRecord {
        reference: text("C-3"),
        station: text("heat corner"),
        granted: at(24, 15, 8),
        until: at(24, 15, 38),
        granted_by: text(LEAD),
        watcher: text(HELPER),
        ended: Some((
            at(24, 15, 24),
            text("gun off and cooling; watched for 30 min, nothing seen"),
        )),
        vapour: text(
            "estimated 1.4 % of the lower flammable limit, well mixed, K = 3; the bound is 10 %",
        ),
        checks,
        text: None,
        watcher_held_gun: false,
        watch: Some(Watch {
            last_heat: at(24, 15, 22),
            until: at(24, 16, 22),
            kept: Some((at(24, 16, 24), text(HELPER))),
        }),
    };
    let mut open = clearance.clone();
    open.reference = text("C-2");
    open.granted = at(24, 14, 52);
    open.until = at(24, 15, 22);
    open.ended = None;
    open.watcher_held_gun = true;
    open.watch = None;
    open.checks.truncate(3);
    vec![open, clearance]
}
