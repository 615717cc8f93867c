//! Invented layouts of guides to look at and to test with: no rod was measured for them.

use crate::model::{BentRing, BentRod, GuideLayout, GuideRecord};

/// The length of the invented rod, in mm.
const LENGTH: f64 = 2133.6;
/// Points on its curve.
const POINTS: u16 = 120;

/// Place and direction on the curve at a distance from the butt: x, y and the turn in radians.
/// The turn grows with the square of the distance, up to `turn` at the tip.
fn place(from_butt: f64, turn: f64) -> (f64, f64, f64) {
    let turned = |at: f64| turn * (at / LENGTH).powi(2);
    let step = from_butt / 400.0;
    let middles = (0..400_u16).map(|nth| turned((f64::from(nth) + 0.5) * step));
    let (x, y) =
        middles.fold((0.0, 0.0), |(x, y), angle| (x + step * angle.cos(), y + step * angle.sin()));
    (x, y, turned(from_butt))
}

/// A ring at a distance from the butt and a height below the axis, both in mm.
fn ring(number: &str, from_butt_mm: f64, height_mm: f64, turn: f64, touches: bool) -> BentRing {
    let (x, y, angle) = place(from_butt_mm, turn);
    BentRing {
        number: number.to_owned(),
        from_butt_mm,
        height_mm,
        foot: (x, y),
        ring: (x - height_mm * angle.sin(), y + height_mm * angle.cos()),
        touches,
    }
}

/// The curve without rings; `turn` is how far the tip is turned, in radians, negative upwards.
pub(crate) fn bare(turn: f64) -> BentRod {
    let axis = (0..=POINTS).map(|nth| {
        let (x, y, _) = place(LENGTH * f64::from(nth) / f64::from(POINTS), turn);
        (x, y)
    });
    BentRod {
        length_mm: LENGTH,
        axis: axis.collect(),
        rings: Vec::new(),
        load: "1.0 kg on the line".to_owned(),
    }
}

/// A layout with so many guides besides the tip-top, numbered from the tip. The line touches
/// the blank at every fifth.
pub(crate) fn with(count: u16, turn: f64, side: f64) -> GuideLayout {
    let mut curve = bare(turn);
    curve.rings.push(ring("reel", 300.0, 32.0 * side, turn, false));
    let mut rows = vec![row("tip", LENGTH, 0.0, 4.5, false)];
    for nth in 1..=count {
        let share = f64::from(nth) / f64::from(count + 1);
        let from_butt = LENGTH - (LENGTH - 640.0) * share;
        let height = 5.0 + 25.0 * share.powi(3);
        let touches = nth % 5 == 2;
        let gap = (LENGTH - 640.0) / f64::from(count + 1);
        rows.push(row(&nth.to_string(), from_butt, gap, height, touches));
        curve.rings.insert(1, ring(&nth.to_string(), from_butt, height * side, turn, touches));
    }
    curve.rings.push(ring("tip", LENGTH, 2.0 * side, turn, false));
    GuideLayout { rows, curve, ..words() }
}

/// The layout of the invented spinning rod.
pub(crate) fn spinning() -> GuideLayout {
    let guides = [
        ("1", 712.0, 29.0, "30 mm"),
        ("2", 1028.0, 17.0, "16 mm"),
        ("3", 1289.0, 11.0, "10 mm"),
        ("4", 1492.0, 7.5, "6 mm"),
        ("5", 1661.0, 6.0, "5 mm"),
        ("6", 1805.0, 6.0, "5 mm"),
        ("7", 1929.5, 6.0, "5 mm"),
        ("8", 2039.0, 6.0, "5 mm"),
    ];
    let turn = 1.25;
    let mut curve = bare(turn);
    curve.rings.push(ring("reel", 290.0, 38.0, turn, false));
    let mut rows = Vec::new();
    let mut nearer_tip = LENGTH;
    for (number, from_butt, height, size) in guides.into_iter().rev() {
        let touches = number == "4";
        let mut row = row(number, from_butt, nearer_tip - from_butt, height, touches);
        size.clone_into(&mut row.ring);
        rows.push(row);
        nearer_tip = from_butt;
    }
    for (number, from_butt, height, _) in guides {
        curve.rings.push(ring(number, from_butt, height, turn, number == "4"));
    }
    curve.rings.push(ring("tip", LENGTH, 2.2, turn, false));
    rows.insert(0, row("tip", LENGTH, 0.0, 2.2, false));
    GuideLayout { rows, curve, ..words() }
}

fn row(number: &str, from_butt: f64, gap: f64, height: f64, touches: bool) -> GuideRecord {
    let mm = |value: f64| format!("{value:.1} mm");
    GuideRecord {
        number: number.to_owned(),
        from_tip: mm(LENGTH - from_butt),
        from_butt: mm(from_butt),
        gap: if gap > 0.0 { mm(gap) } else { String::new() },
        ring: "5 mm".to_owned(),
        height: mm(height),
        turned: String::new(),
        load: "1.4 N".to_owned(),
        turn: "8.2°".to_owned(),
        clearance: if touches { "0 mm".to_owned() } else { mm(height * 0.6) },
        touches,
    }
}

fn words() -> GuideLayout {
    let fact = |(label, value): (&str, &str)| (label.to_owned(), value.to_owned());
    GuideLayout {
        facts: [
            ("Spacing", "each gap 1.13 times the one before it"),
            ("Stiffness", "from a load test, 0.5 kg on the tip (invented)"),
            ("Load", "1.0 kg on the line, rod held level"),
            ("Tip deflection", "1068 mm"),
        ]
        .map(fact)
        .to_vec(),
        rows: Vec::new(),
        warnings: vec![
            "The line touches the blank between guide 3 and guide 4 under this load: move one of \
             them, or take a higher guide."
                .to_owned(),
            "Heights are those of the guide's drawing, not measured on this rod.".to_owned(),
        ],
        source: "invented for this specimen; a real layout names its formulas here.".to_owned(),
        curve: bare(0.0),
    }
}
