//! From what is written to quantities, each fault at its field.

use super::LayoutPlan;
use crate::rod::{ReelType, RodPlan};
use coldbench_trade::bend::{
    self, BendError, Cut, Guide, Join, LineLoad, Loads, Modulus, Reel, Stiffness, TipLoad, Tube,
    Unknowns, Wall, fit_stiffness, weight,
};
use coldbench_trade::guides::{Layout, Ring, Side, Sits, Spiral};
use coldbench_trade::units::{
    Angle, Length, Mass, Pressure, Ratio, degree, gigapascal, gram, percent,
};
use coldbench_trade::{LengthUnit, Measure, Units, millimetres, parse_measure};

/// Wall and modulus that are taken where nothing is written (house values, no source): with a load
/// test only their run along the blank counts, not their size.
pub const HOUSE_WALL_MM: f64 = 0.8;
/// See [`HOUSE_WALL_MM`].
pub const HOUSE_MODULUS_GPA: f64 = 60.0;
/// How far a ferrule reaches to either side of its join (house value, no source), in mm.
const FERRULE_REACH_MM: f64 = 30.0;
/// By how much a reading of a load test may be off (house value, no source), in mm.
const READING_MM: f64 = 2.0;
/// Heaviest weight that is hung on a rod here, in g.
const HEAVIEST_G: f64 = 20_000.0;

/// What is wrong with a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The field, e.g. `guides.2.from-tip`.
    pub field: String,
    /// What is wrong, and how to mend it.
    pub message: String,
}

/// A layout as quantities.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadLayout {
    /// The blank, fitted to its load test where there is one.
    pub blank: Stiffness,
    /// What the load test says.
    pub fitted: Option<bend::FittedStiffness>,
    /// What hangs on the line.
    pub hang: Mass,
    /// The direction of the butt: 0° is level, negative with the tip raised.
    pub butt: Angle,
    /// On which side reel and guides sit; in a spiral the side of the reel.
    pub sits: Sits,
    /// Where the line leaves the reel.
    pub reel_from_butt: Length,
    /// How far off the axis.
    pub reel_height: Length,
    /// The tip-top.
    pub tip_top: Ring,
    /// Where the guides stand; `None` where there are none.
    pub layout: Option<Layout>,
    /// Their rings, from the tip.
    pub rings: Vec<Ring>,
    /// How they turn round the blank.
    pub spiral: Option<Spiral>,
    /// The least distance of line and blank that is wanted.
    pub least_clearance: Length,
    /// What was taken for granted; whole sentences.
    pub assumed: Vec<String>,
    /// Whether blank and guides weigh.
    pub own_weight: bool,
}

struct Fields<'a> {
    units: Units,
    plan: &'a RodPlan,
    faults: Vec<Fault>,
}

impl Fields<'_> {
    fn fault(&mut self, field: &str, message: &dyn ToString) {
        self.faults.push(Fault { field: field.to_owned(), message: message.to_string() });
    }

    /// A quantity in the kept unit of its measure; a fault and `None` if it is none.
    fn value(
        &mut self,
        field: &str,
        text: &str,
        measure: Measure,
        bare: LengthUnit,
    ) -> Option<f64> {
        match parse_measure(text, measure, bare) {
            Ok(value) => Some(value),
            Err(error) => {
                self.fault(field, &error);
                None
            }
        }
    }

    fn within(&mut self, field: &str, text: &str, measure: Measure, most: f64) -> Option<f64> {
        let value = self.value(field, text, measure, LengthUnit::Millimetre)?;
        if (0.0..=most).contains(&value) {
            return Some(value);
        }
        self.fault(field, &format!("“{text}” must be zero or more, and at most {most}."));
        None
    }

    fn place(&mut self, field: &str, text: &str) -> Option<Length> {
        let unit = self.units.distances.unit();
        self.value(field, text, Measure::Length, unit).map(millimetres)
    }

    fn across(&mut self, field: &str, text: &str) -> Option<Length> {
        let unit = self.units.diameters.unit();
        self.value(field, text, Measure::Length, unit).map(millimetres)
    }

    /// Nothing written is nothing there.
    fn mass_or_none(&mut self, field: &str, text: &str) -> Option<Mass> {
        if text.trim().is_empty() {
            return Some(Mass::new::<gram>(0.0));
        }
        self.within(field, text, Measure::Mass, HEAVIEST_G).map(Mass::new::<gram>)
    }

    /// How far the butt points up, as a direction.
    fn held(&mut self, field: &str, text: &str) -> Option<Angle> {
        if text.trim().is_empty() {
            return Some(Angle::new::<degree>(0.0));
        }
        let value = self.value(field, text, Measure::Angle, LengthUnit::Millimetre)?;
        if (-90.0..=90.0).contains(&value) {
            return Some(Angle::new::<degree>(-value));
        }
        self.fault(field, &"The butt points at most 90° up, or 90° down with a minus before it.");
        None
    }

    fn tube(&mut self, layout: &LayoutPlan, assumed: &mut Vec<String>) -> Option<Tube> {
        let wall = if layout.wall.trim().is_empty() {
            assumed.push(format!("No wall is written down: {HOUSE_WALL_MM} mm is taken."));
            Some(millimetres(HOUSE_WALL_MM))
        } else {
            self.across("wall", &layout.wall)
        };
        let modulus = if layout.modulus.trim().is_empty() {
            if layout.test_hang.trim().is_empty() {
                assumed.push(format!("No modulus is written down and no load test was done: {HOUSE_MODULUS_GPA} GPa is taken, so loads and curve are a guess. Do a load test."));
            }
            Some(HOUSE_MODULUS_GPA)
        } else {
            self.value("modulus", &layout.modulus, Measure::Number, LengthUnit::Millimetre)
        };
        let ferrule = if layout.ferrule.trim().is_empty() {
            Some(100.0)
        } else {
            self.value("ferrule", &layout.ferrule, Measure::Percent, LengthUnit::Millimetre)
        };
        let (wall, modulus, ferrule) = (wall?, modulus?, ferrule?);
        let plan = as_tested(self.plan, layout);
        let reach = millimetres(FERRULE_REACH_MM);
        let joins = plan.joins.iter().map(|join| {
            let at = millimetres(join.value);
            Join { at, from: at - reach, to: at + reach, factor: Ratio::new::<percent>(ferrule) }
        });
        let measured = plan.measured();
        // Where the blank is thinner than two walls it counts as solid.
        let walls = measured.iter().map(|one| (one.from_butt, wall.min(one.diameter / 2.0)));
        let walls: Vec<_> = walls.collect();
        if walls.iter().any(|(_, here)| *here < wall) {
            assumed.push(
                "Where the blank is thinner than two walls, it is taken as solid.".to_owned(),
            );
        }
        Some(Tube {
            length: millimetres(plan.length.value),
            measured,
            joins: joins.collect(),
            wall: Wall::At(walls),
            modulus: Modulus::Even(Pressure::new::<gigapascal>(modulus)),
        })
    }

    fn ring(&mut self, at: &str, guide: &super::GuidePlan) -> Option<Ring> {
        let size =
            self.value(&format!("{at}.ring"), &guide.ring, Measure::Length, LengthUnit::Millimetre);
        let height = self.across(&format!("{at}.height"), &guide.height);
        let mass = self.mass_or_none(&format!("{at}.mass"), &guide.mass);
        let (size, height, mass) = (millimetres(size?), height?, mass?);
        // The size is about the inside of the ring.
        let ring = Ring { size, inside: size, height, mass };
        match ring.check() {
            Ok(()) => Some(ring),
            Err(error) => {
                self.fault(&format!("{at}.height"), &error);
                None
            }
        }
    }
}

/// The blank on which the load test was done.
fn as_tested(plan: &RodPlan, layout: &LayoutPlan) -> RodPlan {
    let mut whole = plan.clone();
    if let Some(tested) = &layout.tested {
        whole.length = tested.length.clone();
        whole.joins.clone_from(&tested.joins);
        whole.diameters.clone_from(&tested.diameters);
    }
    whole
}

/// Reads a layout for the rod it is of; else every fault, at its field.
pub fn read(plan: &RodPlan, layout: &LayoutPlan, units: Units) -> Result<ReadLayout, Vec<Fault>> {
    let mut fields = Fields { units, plan, faults: Vec::new() };
    let mut assumed = Vec::new();
    let tube = fields.tube(layout, &mut assumed);
    let blank_weighs = fields.mass_or_none("weight", &layout.weight);
    let hang = fields.within("hang", &layout.hang, Measure::Mass, HEAVIEST_G);
    let butt = fields.held("held", &layout.held);
    let reel_from_butt = fields.place("reel-from-butt", &layout.reel_from_butt);
    let reel_height = fields.across("reel-height", &layout.reel_height);
    let tip_height = fields.across("tip-height", &layout.tip_height);
    let tip_mass = fields.mass_or_none("tip-mass", &layout.tip_mass);
    let least_clearance = match layout.least_clearance.trim() {
        "" => Some(millimetres(0.0)),
        text => fields.across("least-clearance", text),
    };
    let mut rings = Vec::new();
    let mut places = Vec::new();
    for (n, guide) in layout.guides.iter().enumerate() {
        let at = format!("guides.{n}");
        rings.extend(fields.ring(&at, guide));
        places.extend(fields.place(&format!("{at}.from-tip"), &guide.from_tip));
    }
    let spiral = layout.spiral.and_then(|side| fields.spiral(layout, side));
    let sits = match plan.reel {
        ReelType::Casting | ReelType::Conventional => Sits::OnTop,
        ReelType::Spinning | ReelType::Fly => Sits::Underneath,
    };
    let length = millimetres(plan.length.value);
    let mut guides = None;
    if !layout.guides.is_empty() && places.len() == layout.guides.len() {
        match Layout::new(length, &places) {
            Ok(found) => guides = Some(found),
            Err(error) => {
                let at = places.windows(2).position(|two| two[1] <= two[0]).map_or(0, |n| n + 1);
                fields.fault(&format!("guides.{at}.from-tip"), &error);
            }
        }
    }
    let stiff = tube.and_then(|tube| fields.stiffness(&tube, layout, blank_weighs?));
    let (Some((blank, fitted)), true) = (stiff, fields.faults.is_empty()) else {
        return Err(fields.faults);
    };
    let own_weight = !layout.weight.trim().is_empty();
    if !own_weight {
        assumed
            .push("The blank was not weighed: nothing of it counts but its stiffness.".to_owned());
    }
    let all = (hang, butt, reel_from_butt, reel_height, tip_height, tip_mass, least_clearance);
    let (
        Some(hang),
        Some(butt),
        Some(reel),
        Some(reel_height),
        Some(height),
        Some(mass),
        Some(least),
    ) = all
    else {
        return Err(fields.faults);
    };
    // Only its height counts; its size is that of its tube.
    let tip_top = Ring { size: height, inside: height, height, mass };
    if let Err(error) = tip_top.check() {
        return Err(vec![Fault { field: "tip-height".to_owned(), message: error.to_string() }]);
    }
    Ok(ReadLayout {
        blank,
        fitted,
        hang: Mass::new::<gram>(hang),
        butt,
        sits,
        reel_from_butt: reel,
        reel_height,
        tip_top,
        layout: guides,
        rings,
        spiral,
        least_clearance: least,
        assumed,
        own_weight,
    })
}

impl Fields<'_> {
    fn spiral(&mut self, layout: &LayoutPlan, side: Side) -> Option<Spiral> {
        if matches!(self.plan.reel, ReelType::Spinning | ReelType::Fly) {
            self.fault("spiral", &"A spiral is for a reel on top: this rod's reel hangs below.");
            return None;
        }
        let mut angles = Vec::new();
        for (n, guide) in layout.guides.iter().enumerate() {
            let field = format!("guides.{n}.turned");
            let text = if guide.turned.trim().is_empty() { "0" } else { &guide.turned };
            angles.push(self.value(&field, text, Measure::Angle, LengthUnit::Millimetre)?);
        }
        let angles: Vec<Angle> = angles.into_iter().map(Angle::new::<degree>).collect();
        match Spiral::by_angles(&angles, side) {
            Ok(spiral) => Some(spiral),
            Err(error) => {
                self.fault("guides.0.turned", &error);
                None
            }
        }
    }

    /// The blank's stiffness, by its load test where one was done.
    fn stiffness(
        &mut self,
        tube: &Tube,
        layout: &LayoutPlan,
        blank_weighs: Mass,
    ) -> Option<(Stiffness, Option<bend::FittedStiffness>)> {
        let made = Stiffness::of(tube).and_then(|blank| {
            if blank_weighs.get::<gram>() > 0.0 {
                blank.with_weight(blank_weighs)
            } else {
                Ok(blank)
            }
        });
        let blank = match made {
            Ok(blank) => blank,
            Err(error) => {
                let field = match error {
                    BendError::Modulus => "modulus",
                    BendError::Mass { .. } => "weight",
                    _ => "wall",
                };
                self.fault(field, &error);
                return None;
            }
        };
        if layout.test_hang.trim().is_empty() {
            if layout.marks.iter().any(|mark| !mark.drop.trim().is_empty()) {
                self.fault("test-hang", &"Write what was hung on the tip in this test.");
                return None;
            }
            return Some((blank, None));
        }
        let hang = self.within("test-hang", &layout.test_hang, Measure::Mass, HEAVIEST_G);
        let butt = self.held("test-held", &layout.test_held);
        let mut marks = Vec::new();
        for (n, mark) in layout.marks.iter().enumerate() {
            let from_butt = self.place(&format!("marks.{n}.from-butt"), &mark.from_butt);
            let drop = self.place(&format!("marks.{n}.drop"), &mark.drop);
            marks.push(bend::Mark::Drop { from_butt: from_butt?, drop: drop? });
        }
        let tip = TipLoad {
            force: weight(Mass::new::<gram>(hang?)),
            direction: Angle::new::<degree>(90.0),
        };
        let loads = Loads { butt: butt?, tip: Some(tip), ..Loads::default() };
        let unknowns = if marks.len() > 1 { Unknowns::ScaleAndTaper } else { Unknowns::Scale };
        let test = bend::LoadTest { loads, marks };
        match fit_stiffness(&blank, &test, unknowns, millimetres(READING_MM)) {
            Ok(fitted) => {
                let cut = layout.tested.as_ref().map(|tested| Cut {
                    tip: millimetres(tested.off_tip),
                    butt: millimetres(tested.off_butt),
                });
                let blank = match cut {
                    None => fitted.stiffness.clone(),
                    Some(cut) => match fitted.stiffness.trimmed(cut) {
                        Ok(blank) => blank,
                        Err(error) => {
                            self.fault("marks.0.drop", &error);
                            return None;
                        }
                    },
                };
                Some((blank, Some(fitted)))
            }
            Err(error) => {
                self.fault("marks.0.drop", &error);
                None
            }
        }
    }
}

impl ReadLayout {
    /// What acts on the rod: the line through its guides, or the weight on the bare tip where it
    /// has none. Heights are as seen from the side.
    pub fn loads(&self) -> Loads {
        let direction = Angle::new::<degree>(90.0);
        let Some(layout) = &self.layout else {
            let tip = TipLoad { force: weight(self.hang), direction };
            return Loads {
                butt: self.butt,
                tip: Some(tip),
                own_weight: self.own_weight,
                ..Loads::default()
            };
        };
        let up = match self.sits {
            Sits::OnTop => -1.0,
            Sits::Underneath => 1.0,
        };
        let seen = |turned: Option<Angle>, height: Length| {
            turned.map_or(height * up, |turned| height * up * turned.cos().value)
        };
        let turned = self.spiral.as_ref().map(Spiral::angles).unwrap_or_default();
        let guide = |from_butt, ring: &Ring, turned| Guide {
            from_butt,
            height: seen(turned, ring.height),
            mass: ring.mass,
        };
        let under = self.spiral.as_ref().map(|_| Angle::new::<degree>(180.0));
        let mut guides = vec![guide(layout.length(), &self.tip_top, under)];
        for (n, (at, ring)) in layout.from_butt().into_iter().zip(&self.rings).enumerate() {
            guides.push(guide(at, ring, turned.get(n).copied()));
        }
        guides.reverse();
        Loads {
            butt: self.butt,
            own_weight: self.own_weight,
            line: Some(LineLoad {
                reel: Reel { from_butt: self.reel_from_butt, height: self.reel_height * up },
                guides,
                tension: weight(self.hang),
                direction,
                friction: None,
            }),
            ..Loads::default()
        }
    }
}
