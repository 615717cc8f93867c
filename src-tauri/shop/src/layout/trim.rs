//! What cutting the blank does, before anybody cuts.

use super::read::ReadLayout;
use coldbench_trade::bend::{Cut, TipLoad, Trimmed, trim, weight};
use coldbench_trade::units::{Angle, Length, degree, newton_per_meter};
use coldbench_trade::{Units, in_millimetres};

/// A cut worked out, in the builder's units.
#[derive(Debug, Clone, PartialEq)]
pub struct TrimFigures {
    /// What, before, after.
    pub rows: Vec<(String, String, String)>,
    /// The bent axis before, in mm.
    pub before: Vec<(f64, f64)>,
    /// The bent axis after.
    pub after: Vec<(f64, f64)>,
    /// What to mind.
    pub warnings: Vec<String>,
}

/// So much off the tip and the butt, with the layout's weight hung on the bare tip.
pub fn trimmed(
    read: &ReadLayout,
    tip: Length,
    butt: Length,
    units: Units,
) -> Result<TrimFigures, String> {
    let load = TipLoad { force: weight(read.hang), direction: Angle::new::<degree>(90.0) };
    let effect = trim(&read.blank, Cut { tip, butt }, read.butt, load);
    let effect = effect.map_err(|error| error.to_string())?;
    let both = |label: &str, value: &dyn Fn(&Trimmed) -> String| {
        (label.to_owned(), value(&effect.before), value(&effect.after))
    };
    let size = |one: &Trimmed| format!("{} (64ths of an inch)", one.tip_tube.size());
    let axis = |one: &Trimmed| {
        let points = one.curve.points().iter();
        points.map(|at| (in_millimetres(at.x), in_millimetres(at.y))).collect()
    };
    Ok(TrimFigures {
        rows: vec![
            both("Length", &|one| units.distance(one.stiffness.length())),
            both("Tip moves under the load by", &|one| units.distance(one.deflection)),
            both("Stiffness at the tip, small loads", &|one| {
                format!("{:.1} N/m", one.tip_stiffness.get::<newton_per_meter>())
            }),
            both("Tip diameter", &|one| units.diameter(one.tip_diameter)),
            both("Tip-top tube", &size),
        ],
        before: axis(&effect.before),
        after: axis(&effect.after),
        warnings: read.assumed.clone(),
    })
}
