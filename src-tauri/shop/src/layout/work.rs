//! What a layout comes to: loads, clearances and curve for the screen, the step and the record.

use super::read::ReadLayout;
use crate::figure::FigureRow;
use crate::rod::RodPlan;
use coldbench_trade::bend::{Curve, FittedStiffness, Unknowns, solve, weight};
use coldbench_trade::guides::{self, SpanClearance, TubeFit, weight_of_guides};
use coldbench_trade::units::{
    Angle, Force, Length, Ratio, degree, hertz, newton, newton_per_meter, percent,
};
use coldbench_trade::{Blank, Units, in_millimetres, millimetres};

/// Where the formulas come from.
pub const SOURCE: &str = "Large deflections of a thin tube (Euler-Bernoulli), line without friction over its guides; stiffness from diameters, or fitted to the load test by least squares. Spacing, sizes and sides: common practice, no source.";

/// A layout worked out, in the builder's units.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkedLayout {
    /// The tip-top and the guides, from the tip; empty where there are none.
    pub rows: Vec<GuideFigures>,
    /// What was worked out besides.
    pub facts: Vec<FigureRow>,
    /// What the load test says.
    pub fitted: Vec<FigureRow>,
    /// What to mind.
    pub warnings: Vec<String>,
    /// The rod straight and bent.
    pub rod: BentRod,
    /// The curve itself.
    pub curve: Curve,
}

/// A guide at the load.
#[derive(Debug, Clone, PartialEq)]
pub struct GuideFigures {
    /// From the tip; 0 is the tip-top.
    pub number: usize,
    /// Place from the tip.
    pub from_tip: String,
    /// Place from the butt.
    pub from_butt: String,
    /// To the next one towards the butt.
    pub gap: String,
    /// Size of the ring; empty for the tip-top.
    pub ring: String,
    /// Height of the ring.
    pub height: String,
    /// How far it is turned round the blank; empty where the layout is no spiral.
    pub turned: String,
    /// Force of the line on it.
    pub load: String,
    /// How much the line turns in it.
    pub turn: String,
    /// Between the line on towards the butt and the blank.
    pub clearance: String,
    /// Whether that is less than wanted, or the line touches.
    pub tight: bool,
}

/// The rod straight and under load, in mm: away from the butt, and down.
#[derive(Debug, Clone, PartialEq)]
pub struct BentRod {
    /// Length.
    pub length_mm: f64,
    /// Where the tip of the straight rod would be.
    pub straight: (f64, f64),
    /// The axis under load.
    pub axis: Vec<(f64, f64)>,
    /// The reel, then the guides from butt to tip.
    pub rings: Vec<BentRing>,
    /// What hangs on it.
    pub load: String,
}

/// The reel, a guide or the tip-top.
#[derive(Debug, Clone, PartialEq)]
pub struct BentRing {
    /// From the tip; `None` for the reel.
    pub number: Option<usize>,
    /// Place on the straight rod.
    pub from_butt_mm: f64,
    /// Height off the axis as seen from the side, below zero above the rod.
    pub height_mm: f64,
    /// Foot on the bent axis.
    pub foot: (f64, f64),
    /// The ring.
    pub ring: (f64, f64),
    /// Between the line from it towards the butt and the blank; empty for the reel.
    pub clearance: String,
    /// Whether that is less than wanted.
    pub tight: bool,
}

fn row(label: impl Into<String>, value: impl Into<String>) -> FigureRow {
    FigureRow { label: label.into(), value: value.into() }
}

fn newtons(force: Force) -> String {
    format!("{:.1} N", force.get::<newton>())
}

fn degrees(angle: Angle) -> String {
    format!("{:.1}°", angle.get::<degree>())
}

/// Works a layout out; the sentence says why it can't be.
pub fn work_out(plan: &RodPlan, read: &ReadLayout, units: Units) -> Result<WorkedLayout, String> {
    let curve = solve(&read.blank, &read.loads()).map_err(|error| error.to_string())?;
    let mut warnings = read.assumed.clone();
    let rows = match &read.layout {
        Some(layout) => rows(plan, read, layout, &curve, units, &mut warnings)?,
        None => Vec::new(),
    };
    let fit = read.fitted.iter().flat_map(|fit| &fit.warnings);
    for warning in fit.chain(curve.warnings()).map(ToString::to_string) {
        // The wall is written once and stands at every diameter: one word for both is enough.
        if !warning.starts_with("The wall ") && !warnings.contains(&warning) {
            warnings.push(warning);
        }
    }
    let rod = drawn(read, &curve, &rows, units)?;
    Ok(WorkedLayout {
        facts: facts(read, &curve, units),
        fitted: read.fitted.as_ref().map_or_else(Vec::new, |fit| test_says(fit, units)),
        rows,
        warnings,
        rod,
        curve,
    })
}

fn rows(
    plan: &RodPlan,
    read: &ReadLayout,
    layout: &guides::Layout,
    curve: &Curve,
    units: Units,
    warnings: &mut Vec<String>,
) -> Result<Vec<GuideFigures>, String> {
    let Some(path) = curve.line() else { return Ok(Vec::new()) };
    let turned = read.spiral.as_ref().map(guides::Spiral::angles).unwrap_or_default();
    let straight = spiral_clearances(plan, read, layout)?;
    if read.spiral.is_some() {
        warnings.push("In a spiral the loads are worked out with each guide's height as seen from the side, and the clearances on the straight blank.".to_owned());
    }
    let places = std::iter::once(millimetres(0.0)).chain(layout.from_tip().iter().copied());
    let rings = std::iter::once(&read.tip_top).chain(&read.rings);
    let lines = path.loads.iter().rev().zip(path.spans.iter().rev());
    let mut rows = Vec::new();
    for (number, ((from_tip, ring), (load, span))) in places.zip(rings).zip(lines).enumerate() {
        let beside = straight.iter().find(|span| span.number == number);
        let clearance = beside.map_or(span.clearance, |span| span.clearance);
        let tight = clearance < read.least_clearance || clearance <= millimetres(0.0);
        rows.push(GuideFigures {
            number,
            from_tip: units.distance(from_tip),
            from_butt: units.distance(layout.length() - from_tip),
            gap: units.distance(span.to - span.from_butt),
            ring: if number == 0 {
                String::new()
            } else {
                format!("{:.0}", in_millimetres(ring.size))
            },
            height: units.diameter(ring.height),
            turned: match number.checked_sub(1) {
                None if read.spiral.is_some() => degrees(Angle::new::<degree>(180.0)),
                None => String::new(),
                Some(n) => turned.get(n).copied().map_or_else(String::new, degrees),
            },
            load: newtons(load.force),
            turn: degrees(load.turn),
            clearance: if clearance <= millimetres(0.0) {
                "touches the blank".to_owned()
            } else {
                units.diameter(clearance)
            },
            tight,
        });
    }
    Ok(rows)
}

/// Where the guides turn round the blank, the line is looked at in space, on the straight rod.
fn spiral_clearances(
    plan: &RodPlan,
    read: &ReadLayout,
    layout: &guides::Layout,
) -> Result<Vec<SpanClearance>, String> {
    let Some(spiral) = &read.spiral else { return Ok(Vec::new()) };
    let lengths = coldbench_trade::LengthUnit::Millimetre;
    let blank: Blank = plan.checked_blank(lengths).map_err(|error| error.to_string())?;
    let heights: Vec<Length> = read.rings.iter().map(|ring| ring.height).collect();
    spiral
        .clearances(layout, &heights, read.tip_top.height, &blank)
        .map_err(|error| error.to_string())
}

fn facts(read: &ReadLayout, curve: &Curve, units: Units) -> Vec<FigureRow> {
    let tip = curve.tip();
    let length = read.blank.length();
    let rise = (length * read.butt.sin().value, length * read.butt.cos().value);
    let (down, away) = (tip.y - rise.0, rise.1 - tip.x);
    let tip_diameter = read.blank.diameter_at(length);
    let mut facts = vec![
        row("Load", hung(read, units)),
        row("Tip goes down by", units.distance(down)),
        row("Tip comes towards the butt by", units.distance(away)),
        row(
            "Stiffness at the tip, small loads",
            format!("{:.1} N/m", read.blank.tip_stiffness().get::<newton_per_meter>()),
        ),
        row("Tip diameter", units.diameter(tip_diameter)),
    ];
    if let Ok(fit) = TubeFit::smallest(tip_diameter, millimetres(0.0), true) {
        facts.push(row("Tip-top tube", format!("size {} (64ths of an inch)", fit.size)));
    }
    let most = curve.most_strained();
    facts.push(row(
        "Most strained",
        format!(
            "{:.2} % at {} from the butt; no breaking load",
            most.strain.get::<percent>().abs(),
            units.distance(most.from_butt)
        ),
    ));
    if let Some(layout) = read.layout.as_ref().filter(|_| read.own_weight)
        && let Ok(guides) = weight_of_guides(&read.blank, layout, &read.rings, &read.tip_top)
    {
        let (bare, with) = (guides.bare_frequency.get::<hertz>(), guides.frequency.get::<hertz>());
        facts.push(row("Swings, bare and with guides", format!("{bare:.2} and {with:.2} Hz")));
        facts.push(row("Guides weigh", units.mass(guides.mass)));
        let droop = guides.droop - guides.bare_droop;
        facts.push(row("They make the tip hang by", units.distance(droop)));
    }
    facts
}

fn hung(read: &ReadLayout, units: Units) -> String {
    let on = if read.layout.is_some() { "the line" } else { "the bare tip" };
    format!("{} on {on}, {}", units.mass(read.hang), newtons(weight(read.hang)))
}

fn test_says(fit: &FittedStiffness, units: Units) -> Vec<FigureRow> {
    let times = |ratio: Ratio| format!("{:.2}", ratio.get::<coldbench_trade::units::ratio>());
    let mut rows = match fit.found {
        Unknowns::Scale => vec![row("Stiffer than figured, times", times(fit.at_butt))],
        Unknowns::ScaleAndTaper => vec![
            row("Stiffer than figured at the butt, times", times(fit.at_butt)),
            row("Stiffer than figured at the tip, times", times(fit.at_tip)),
        ],
    };
    rows.push(row("May be off by", format!("{:.0} %", fit.scale_error.get::<percent>())));
    for (n, deviation) in fit.deviations.iter().enumerate() {
        rows.push(row(format!("Mark {} off the curve by", n + 1), units.distance(deviation.off)));
    }
    rows
}

fn drawn(
    read: &ReadLayout,
    curve: &Curve,
    rows: &[GuideFigures],
    units: Units,
) -> Result<BentRod, String> {
    let mm = |x: Length, y: Length| (in_millimetres(x), in_millimetres(y));
    let length = read.blank.length();
    let axis = curve.points().iter().map(|point| mm(point.x, point.y)).collect();
    let loads = read.loads();
    let mut rings = Vec::new();
    if let (Some(line), Some(path)) = (&loads.line, curve.line()) {
        let heights = std::iter::once(line.reel.height).chain(line.guides.iter().map(|g| g.height));
        let last = path.loads.len().saturating_sub(1);
        for (n, (load, height)) in path.loads.iter().zip(heights).enumerate() {
            let number = (n > 0).then(|| last - n);
            let told = number.and_then(|number| rows.get(number));
            let foot = curve.at(load.from_butt).map_err(|error| error.to_string())?;
            rings.push(BentRing {
                number,
                from_butt_mm: in_millimetres(load.from_butt),
                height_mm: in_millimetres(height),
                foot: mm(foot.x, foot.y),
                ring: mm(load.x, load.y),
                clearance: told.map_or_else(String::new, |row| row.clearance.clone()),
                tight: told.is_some_and(|row| row.tight),
            });
        }
    }
    Ok(BentRod {
        length_mm: in_millimetres(length),
        straight: mm(length * read.butt.cos().value, length * read.butt.sin().value),
        axis,
        rings,
        load: hung(read, units),
    })
}

impl WorkedLayout {
    /// The layout as rows of a figure: one for each guide, then the rest.
    pub fn as_rows(&self) -> Vec<FigureRow> {
        let guides = self.rows.iter().map(|guide| {
            let name = match guide.number {
                0 => "Tip-top".to_owned(),
                number => format!("Guide {number}, {} from the tip", guide.from_tip),
            };
            let ring = if guide.ring.is_empty() {
                String::new()
            } else {
                format!("ring {}, ", guide.ring)
            };
            let turned = if guide.turned.is_empty() {
                String::new()
            } else {
                format!("at {} round the blank, ", guide.turned)
            };
            let clear = if guide.clearance.ends_with("blank") {
                format!("the line {}", guide.clearance)
            } else {
                format!("line {} clear", guide.clearance)
            };
            row(name, format!("{ring}{turned}{}, line turns {}, {clear}", guide.load, guide.turn))
        });
        guides.chain(self.facts.iter().cloned()).collect()
    }
}
