//! Heat-shrink sleeves: which size, how thick it gets, how long to cut it, and what it may lie on.
//!
//! Hot air burns skin, and an overheated sleeve gives off choking smoke; PVC gives off hydrogen
//! chloride from about 150 °C. These figures advise; the maker's data sheet comes first, and no
//! figure here replaces the clearance that heat needs.

use uom::si::f64::{Length, Ratio, TemperatureInterval, ThermodynamicTemperature};
use uom::si::length::meter;
use uom::si::ratio::{percent, ratio};
use uom::si::temperature_interval::kelvin as kelvins;
use uom::si::thermodynamic_temperature::{degree_celsius, kelvin};

/// Why a figure of the sleeve can't be worked out.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SleeveError {
    /// A diameter or wall of the sleeve is not above zero, or it does not shrink.
    #[error(
        "Sleeve {name} needs an expanded diameter above its recovered one, and a wall above zero. Take them from the maker's table."
    )]
    Size {
        /// The size as the maker names it.
        name: String,
    },
    /// A diameter to be covered is not above zero, or they are out of order.
    #[error(
        "The sleeve must slide over the thickest part: give diameters above zero, the smallest covered, the largest covered, and the largest it passes over."
    )]
    Diameters,
    /// A clearance or a share of the sizing window is negative or too large.
    #[error(
        "The clearance must be zero or more, and the shares of shrinkage must lie between 0 and 90 %."
    )]
    Window,
    /// No size in the list fits.
    #[error(
        "No sleeve in the list both slides on and grips. Add sizes, take a kind that shrinks more (3:1), or cover it in two pieces."
    )]
    NoneFits,
    /// The sleeve is too narrow for the part.
    #[error("Sleeve {name} is too narrow to slide over the part. Take a larger size.")]
    TooNarrow {
        /// The size as the maker names it.
        name: String,
    },
    /// A longitudinal change does not lie between -50 and 50 percent.
    #[error("The change of length on shrinking must lie between -50 and 50 %.")]
    Change,
    /// A length is not above zero, or an overlap is negative.
    #[error("The length to cover must be more than zero, and the part tucked under zero or more.")]
    Length,
    /// A temperature lies outside -50 to 600 °C, or the sleeve's range is out of order.
    #[error(
        "The sleeve must begin to shrink below the temperature at which it is fully shrunk. Check the units."
    )]
    Temperature,
    /// A margin is negative or no number.
    #[error("The margin between sleeve and material must be zero or more.")]
    Margin,
}

/// One size of a maker's table.
#[derive(Debug, Clone, PartialEq)]
pub struct SleeveSize {
    name: String,
    /// m.
    expanded: f64,
    recovered: f64,
    wall: f64,
}

impl SleeveSize {
    /// A size: its least inside diameter as supplied (expanded), its greatest inside diameter when
    /// fully shrunk (recovered), and its wall when fully shrunk.
    pub fn new(
        name: &str,
        expanded: Length,
        recovered: Length,
        wall: Length,
    ) -> Result<Self, SleeveError> {
        let [expanded, recovered, wall] =
            [expanded, recovered, wall].map(|length| length.get::<meter>());
        let known = [expanded, recovered, wall].iter().all(|length| above_zero(*length));
        if known && expanded > recovered {
            Ok(Self { name: name.to_owned(), expanded, recovered, wall })
        } else {
            Err(SleeveError::Size { name: name.to_owned() })
        }
    }

    /// The size as the maker names it.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Expanded to recovered inside diameter: 2 for a sleeve sold as 2:1.
    pub fn shrink_ratio(&self) -> f64 {
        self.expanded / self.recovered
    }

    /// Its wall as supplied, if the length does not change on shrinking; by conservation of area.
    pub fn expanded_wall(&self) -> Length {
        Length::new::<meter>(self.wall_over(self.expanded, 1.0))
    }

    /// Wall in m on `over` m: `t (d + t) (1 + e) = t_r (d_r + t_r)` solved for t, in the form that
    /// does not lose figures where t is small.
    fn wall_over(&self, over: f64, stretch: f64) -> f64 {
        let area = self.wall * (self.recovered + self.wall) / stretch;
        2.0 * area / (over + (over * over + 4.0 * area).sqrt())
    }
}

/// What a sleeve must go over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Covered {
    /// The thickest it must slide over on the way, whether covered or not.
    pub passes: Length,
    /// The thickest it covers.
    pub largest: Length,
    /// The thinnest it must grip.
    pub smallest: Length,
}

/// How a sleeve must sit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizingWindow {
    /// Room between sleeve and thickest part while sliding on, in diameter.
    pub clearance: Length,
    /// How much of its supplied diameter it must lose on the thickest part covered.
    pub least_shrink: Ratio,
    /// How much wider than fully recovered it must still be on the thinnest part, so that it pulls.
    pub least_pull: Ratio,
}

impl SizingWindow {
    /// Shrink by at least 20 % of the supplied diameter, and stay at least 10 % above the recovered
    /// one. Source: a manufacturer's open sizing guide. The clearance for sliding is the builder's:
    /// common practice, no source.
    pub fn published(clearance: Length) -> Self {
        Self {
            clearance,
            least_shrink: Ratio::new::<percent>(20.0),
            least_pull: Ratio::new::<percent>(10.0),
        }
    }
}

/// What speaks against a size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SleeveWarning {
    /// It does not slide over the thickest part with the clearance.
    DoesNotSlide,
    /// It hardly shrinks on the thickest part covered: it may split or slip.
    HardlyShrinks,
    /// Fully shrunk, it is still as wide as the thinnest part, or wider: it can't grip.
    CannotGrip,
    /// Fully shrunk, it is only just narrower than the thinnest part: it may turn.
    HardlyGrips,
    /// The change of length on shrinking is not known: 15 % shorter is taken.
    ChangeUnknown,
}

impl std::fmt::Display for SleeveWarning {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let words = match self {
            Self::DoesNotSlide => {
                "It does not slide over the thickest part with the clearance. Take a larger size."
            }
            Self::HardlyShrinks => {
                "It hardly shrinks on the thickest part covered: it may split or slip. Take a larger size."
            }
            Self::CannotGrip => {
                "Fully shrunk, it is no narrower than the part: it can't grip. Take a smaller size, or one that shrinks more."
            }
            Self::HardlyGrips => {
                "Fully shrunk, it is only just narrower than the thinnest part: it may turn. Take a smaller size, or one that shrinks more."
            }
            Self::ChangeUnknown => {
                "Its change of length is not known: 15 % shorter is taken. Shrink a short piece first and measure it."
            }
        };
        f.write_str(words)
    }
}

/// What speaks against `size`; nothing if it fits.
pub fn judge_size(
    size: &SleeveSize,
    covered: &Covered,
    window: &SizingWindow,
) -> Result<Vec<SleeveWarning>, SleeveError> {
    let [passes, largest, smallest] =
        [covered.passes, covered.largest, covered.smallest].map(|length| length.get::<meter>());
    let clearance = window.clearance.get::<meter>();
    let (shrink, pull) = (window.least_shrink.get::<ratio>(), window.least_pull.get::<ratio>());
    let shares = 0.0..=0.9;
    let known = zero_or_more(clearance) && shares.contains(&shrink) && shares.contains(&pull);
    if !(above_zero(smallest) && above_zero(passes) && smallest <= largest && largest <= passes) {
        return Err(SleeveError::Diameters);
    }
    if !known {
        return Err(SleeveError::Window);
    }
    // What a conversion from inches may lose must not turn a size away.
    let above = |left: f64, right: f64| left > right * (1.0 + 1e-9);
    let cannot_grip = !above(smallest, size.recovered);
    Ok([
        (above(passes + clearance, size.expanded), SleeveWarning::DoesNotSlide),
        (above(largest, size.expanded * (1.0 - shrink)), SleeveWarning::HardlyShrinks),
        (cannot_grip, SleeveWarning::CannotGrip),
        (
            !cannot_grip && above(size.recovered * (1.0 + pull), smallest),
            SleeveWarning::HardlyGrips,
        ),
    ]
    .into_iter()
    .filter(|(holds, _)| *holds)
    .map(|(_, warning)| warning)
    .collect())
}

/// The narrowest of `sizes` that fits with nothing against it, since it has the least to shrink. Any
/// order.
pub fn choose_size<'a>(
    sizes: &'a [SleeveSize],
    covered: &Covered,
    window: &SizingWindow,
) -> Result<&'a SleeveSize, SleeveError> {
    let mut best: Option<&SleeveSize> = None;
    for size in sizes {
        let fits = judge_size(size, covered, window)?.is_empty();
        if fits && best.is_none_or(|best| size.expanded < best.expanded) {
            best = Some(size);
        }
    }
    best.ok_or(SleeveError::NoneFits)
}

/// A sleeve after shrinking.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recovered {
    /// Its inside diameter: that of the part, or its own if it can't grip.
    pub inside: Length,
    /// Its wall.
    pub wall: Length,
    /// Its outside diameter.
    pub outside: Length,
    /// If it sits loose.
    pub warning: Option<SleeveWarning>,
}

/// `size` shrunk onto a part of diameter `over`. `change` is how much longer it is than when fully
/// shrunk with nothing inside, as a share, -50 to 50 %; zero where nothing is known of it.
///
/// Source: conservation of area (of volume, with `change`); derived, no published figure was found
/// to check it. A maker's primer confirms that the wall stays thinner than nominal where the sleeve
/// is not fully shrunk. The makers' walls spread by 10 to 20 %.
pub fn recovered_on(
    size: &SleeveSize,
    over: Length,
    change: Ratio,
) -> Result<Recovered, SleeveError> {
    let (over, change) = (over.get::<meter>(), checked_change(change)?);
    if !above_zero(over) {
        return Err(SleeveError::Diameters);
    }
    if over > size.expanded {
        return Err(SleeveError::TooNarrow { name: size.name.clone() });
    }
    let loose = over <= size.recovered;
    let inside = over.max(size.recovered);
    let wall = size.wall_over(inside, 1.0 + change);
    Ok(Recovered {
        inside: Length::new::<meter>(inside),
        wall: Length::new::<meter>(wall),
        outside: Length::new::<meter>(inside + 2.0 * wall),
        warning: loose.then_some(SleeveWarning::CannotGrip),
    })
}

/// Change of length on shrinking, `(L1 - L0) / L0`: negative where it gets shorter. Both above zero.
/// Source: a maker's open specification, after 5 min in the oven.
pub fn longitudinal_change(before: Length, after: Length) -> Result<Ratio, SleeveError> {
    let (before, after) = (before.get::<meter>(), after.get::<meter>());
    if above_zero(before) && above_zero(after) {
        Ok(Ratio::new::<ratio>((after - before) / before))
    } else {
        Err(SleeveError::Length)
    }
}

/// Taken where the change of length is not known, percent. Source: sellers' pages give 5 to 15 % in
/// general, and about 15 % for one irradiated PVC.
const UNKNOWN_CHANGE_PERCENT: f64 = -15.0;

/// A length to cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// What to cut off the supplied sleeve.
    pub length: Length,
    /// What is left of it after shrinking.
    pub after: Length,
    /// If something was taken for want of knowledge.
    pub warning: Option<SleeveWarning>,
}

/// The length to cut so that, shrunk, the sleeve covers `covered` and `tucked` beyond it, under the
/// seat or the grip's end: `(covered + tucked) / (1 + change)`.
///
/// `change` is the greatest shortening on the sheet (for "+1, -10 %": -10 %), -50 to 50 %; None
/// where it is not known: -15 %. A positive change is not counted, since the sheet gives limits.
pub fn cut_length(
    covered: Length,
    tucked: Length,
    change: Option<Ratio>,
) -> Result<Cut, SleeveError> {
    if !(above_zero(covered.get::<meter>()) && zero_or_more(tucked.get::<meter>())) {
        return Err(SleeveError::Length);
    }
    let unknown = change.is_none().then_some(SleeveWarning::ChangeUnknown);
    let change = checked_change(change.unwrap_or(Ratio::new::<percent>(UNKNOWN_CHANGE_PERCENT)))?;
    let after = covered + tucked;
    Ok(Cut { length: after / (1.0 + change.min(0.0)), after, warning: unknown })
}

/// The temperatures at which a sleeve shrinks, from its sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShrinkRange {
    /// It begins to shrink.
    pub begins: ThermodynamicTemperature,
    /// It is fully shrunk: what the gun must bring it to.
    pub full: ThermodynamicTemperature,
}

/// What lies beneath or beside the sleeve: foam, cork, cured resin, the blank; and the sleeve
/// itself, with what its own sheet bears.
#[derive(Debug, Clone, PartialEq)]
pub struct Beneath {
    /// What it is.
    pub name: String,
    /// The temperature it bears, from its maker; None if not known.
    pub bears: Option<ThermodynamicTemperature>,
}

/// What heat for a sleeve does to a material.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum UnderHeat {
    /// It bears the temperature of full shrinkage with the margin.
    Bears,
    /// It bears where the sleeve begins to shrink, but not full shrinkage with the margin.
    Marginal,
    /// It does not bear even where the sleeve begins to shrink.
    Damaged,
    /// What it bears is not known, so no heat.
    Unknown,
}

impl UnderHeat {
    /// What to tell of a material of this name; nothing where it bears the heat.
    pub fn told(self, name: &str) -> Option<String> {
        match self {
            Self::Bears => None,
            Self::Marginal => Some(format!(
                "{name} does not bear full shrinkage with the margin. Take a sleeve that needs less heat."
            )),
            Self::Damaged => Some(format!(
                "{name} does not bear even where the sleeve begins to shrink. No heat on it."
            )),
            Self::Unknown => {
                Some(format!("What {name} bears is not known, so no heat. Ask its maker."))
            }
        }
    }
}

/// What the heat that a sleeve needs does to each material, in the order given. Heat is out of the
/// question unless all of them bear it. The air of a gun is hotter than the sleeve gets.
///
/// `margin` zero or more; 10 K and up is prudent, since nobody shrinks to the degree (common
/// practice, no source). Figures: makers print 90 to 135 °C for polyolefins and 80 to 100 °C for
/// PVC; EVA softens from about 50 to 90 °C (an instrument maker's polymer table).
pub fn under_heat(
    range: &ShrinkRange,
    margin: TemperatureInterval,
    materials: &[Beneath],
) -> Result<Vec<UnderHeat>, SleeveError> {
    let (begins, full) = (checked_kelvin(range.begins)?, checked_kelvin(range.full)?);
    let margin = margin.get::<kelvins>();
    if begins > full {
        return Err(SleeveError::Temperature);
    }
    if !zero_or_more(margin) {
        return Err(SleeveError::Margin);
    }
    materials
        .iter()
        .map(|material| {
            let Some(bears) = material.bears else { return Ok(UnderHeat::Unknown) };
            let bears = checked_kelvin(bears)?;
            Ok(if bears >= full + margin {
                UnderHeat::Bears
            } else if bears > begins {
                UnderHeat::Marginal
            } else {
                UnderHeat::Damaged
            })
        })
        .collect()
}

fn checked_change(change: Ratio) -> Result<f64, SleeveError> {
    let change = change.get::<ratio>();
    if (-0.5..=0.5).contains(&change) { Ok(change) } else { Err(SleeveError::Change) }
}

fn checked_kelvin(temperature: ThermodynamicTemperature) -> Result<f64, SleeveError> {
    if (-50.0..=600.0).contains(&temperature.get::<degree_celsius>()) {
        Ok(temperature.get::<kelvin>())
    } else {
        Err(SleeveError::Temperature)
    }
}

fn above_zero(value: f64) -> bool {
    value > 0.0 && value.is_finite()
}

fn zero_or_more(value: f64) -> bool {
    value >= 0.0 && value.is_finite()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use uom::si::length::millimeter;

    fn mm(value: f64) -> Length {
        Length::new::<millimeter>(value)
    }

    fn share(value: f64) -> Ratio {
        Ratio::new::<ratio>(value)
    }

    fn celsius(value: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<degree_celsius>(value)
    }

    fn size(expanded: f64, recovered: f64, wall: f64) -> SleeveSize {
        SleeveSize::new("demo", mm(expanded), mm(recovered), mm(wall)).unwrap()
    }

    fn covered(passes: f64, largest: f64, smallest: f64) -> Covered {
        Covered { passes: mm(passes), largest: mm(largest), smallest: mm(smallest) }
    }

    #[test]
    fn refuses_what_no_sleeve_is() {
        for (expanded, recovered, wall) in [
            (0.0, 6.0, 0.6),
            (12.0, -6.0, 0.6),
            (12.0, 6.0, 0.0),
            (f64::NAN, 6.0, 0.6),
            (6.0, 12.0, 0.6),
            (12.0, 12.0, 0.6),
        ] {
            let size = SleeveSize::new("demo", mm(expanded), mm(recovered), mm(wall));
            assert_eq!(size, Err(SleeveError::Size { name: "demo".to_owned() }));
        }
        let demo = size(24.0, 12.0, 0.8);
        let window = SizingWindow::published(mm(0.5));
        for bad in [covered(20.0, 18.0, 0.0), covered(20.0, 21.0, 14.0), covered(20.0, 14.0, 15.0)]
        {
            assert_eq!(judge_size(&demo, &bad, &window), Err(SleeveError::Diameters));
        }
        let bad = SizingWindow::published(mm(-0.5));
        assert_eq!(judge_size(&demo, &covered(20.0, 18.0, 14.0), &bad), Err(SleeveError::Window));
        assert_eq!(recovered_on(&demo, mm(f64::NAN), share(0.0)), Err(SleeveError::Diameters));
        assert_eq!(
            recovered_on(&demo, mm(24.1), share(0.0)),
            Err(SleeveError::TooNarrow { name: "demo".to_owned() })
        );
        assert_eq!(recovered_on(&demo, mm(20.0), share(0.6)), Err(SleeveError::Change));
        assert_eq!(cut_length(mm(0.0), mm(5.0), None), Err(SleeveError::Length));
        assert_eq!(cut_length(mm(90.0), mm(-1.0), None), Err(SleeveError::Length));
        assert_eq!(cut_length(mm(90.0), mm(5.0), Some(share(-0.51))), Err(SleeveError::Change));
        assert_eq!(longitudinal_change(mm(0.0), mm(9.0)), Err(SleeveError::Length));
    }

    #[test]
    fn says_what_speaks_against_a_size() {
        use SleeveWarning::{CannotGrip, DoesNotSlide, HardlyGrips, HardlyShrinks};
        let demo = size(24.0, 12.0, 0.8);
        let window = SizingWindow::published(mm(0.5));
        for (covered, expected) in [
            (covered(19.0, 19.0, 14.0), vec![]),
            (covered(23.5, 19.0, 14.0), vec![]),
            (covered(23.6, 19.0, 14.0), vec![DoesNotSlide]),
            (covered(20.0, 19.3, 14.0), vec![HardlyShrinks]),
            (covered(19.0, 19.0, 13.0), vec![HardlyGrips]),
            (covered(19.0, 19.0, 12.0), vec![CannotGrip]),
            (covered(30.0, 30.0, 8.0), vec![DoesNotSlide, HardlyShrinks, CannotGrip]),
        ] {
            assert_eq!(judge_size(&demo, &covered, &window), Ok(expected), "{covered:?}");
        }
        let sizes = [demo];
        let none = choose_size(&sizes, &covered(30.0, 30.0, 8.0), &window);
        assert_eq!(none, Err(SleeveError::NoneFits));
    }

    #[test]
    fn a_sleeve_that_hangs_loose_says_so() {
        let loose = recovered_on(&size(24.0, 12.0, 0.8), mm(10.0), share(0.0)).unwrap();
        assert_eq!(loose.warning, Some(SleeveWarning::CannotGrip));
        assert!((loose.outside - mm(13.6)).abs() < mm(1e-9));
        assert!((loose.inside - mm(12.0)).abs() < mm(1e-9));
    }

    #[test]
    fn heat_waits_for_what_is_not_known() {
        let range = ShrinkRange { begins: celsius(80.0), full: celsius(100.0) };
        let margin = TemperatureInterval::new::<kelvins>(10.0);
        let material = |bears| Beneath { name: "demo foam".to_owned(), bears };
        let judged =
            |bears| under_heat(&range, margin, &[material(bears)]).map(|verdicts| verdicts[0]);
        assert_eq!(judged(None), Ok(UnderHeat::Unknown));
        assert_eq!(judged(Some(celsius(110.5))), Ok(UnderHeat::Bears));
        assert_eq!(judged(Some(celsius(105.0))), Ok(UnderHeat::Marginal));
        assert_eq!(judged(Some(celsius(80.0))), Ok(UnderHeat::Damaged));
        assert_eq!(judged(Some(celsius(f64::NAN))), Err(SleeveError::Temperature));
        let wrong = ShrinkRange { begins: celsius(100.0), full: celsius(80.0) };
        assert_eq!(under_heat(&wrong, margin, &[]), Err(SleeveError::Temperature));
        let negative = TemperatureInterval::new::<kelvins>(-1.0);
        assert_eq!(under_heat(&range, negative, &[]), Err(SleeveError::Margin));
    }

    proptest! {
        /// Plastic is neither lost nor gained, whatever the part and the change of length.
        #[test]
        fn area_is_conserved(
            recovered in 0.5..50.0, grows in 1.1..6.0, wall in 0.1..3.0,
            part in 0.0..1.0, change in -0.5..0.5,
        ) {
            let demo = size(recovered * grows, recovered, wall);
            let over = recovered * (1.0 + (grows - 1.0) * part * 0.999);
            let on = recovered_on(&demo, mm(over), share(change)).unwrap();
            let (inside, outside) = (on.inside.get::<millimeter>(), on.outside.get::<millimeter>());
            let area = (outside * outside - inside * inside) * (1.0 + change);
            let free = (recovered + 2.0 * wall).powi(2) - recovered * recovered;
            prop_assert!((area - free).abs() <= 1e-9 * (free + outside * outside));
            prop_assert!((inside + 2.0 * on.wall.get::<millimeter>() - outside).abs() < 1e-9);
        }

        /// Twice the size is twice the wall; a thicker part has a thinner wall.
        #[test]
        fn walls_scale(
            recovered in 0.5..50.0, wall in 0.1..3.0, over in 1.01..1.9, scale in 0.1..10.0,
        ) {
            let on = |scale: f64, over: f64| {
                let demo = size(2.0 * recovered * scale, recovered * scale, wall * scale);
                let on = recovered_on(&demo, mm(over * recovered * scale), share(0.0)).unwrap();
                on.wall.get::<millimeter>()
            };
            prop_assert!((on(scale, over) - scale * on(1.0, over)).abs() < 1e-9);
            prop_assert!(on(1.0, over) > on(1.0, over * 1.02));
        }

        /// What was cut covers what it must after the greatest shortening, and no less is cut for a
        /// sleeve of which less is known.
        #[test]
        fn a_cut_covers(length in 1.0..500.0, tucked in 0.0..50.0, change in -0.5..0.5) {
            let cut = cut_length(mm(length), mm(tucked), Some(share(change))).unwrap();
            let left = cut.length.get::<millimeter>() * (1.0 + change.min(0.0));
            prop_assert!((left - length - tucked).abs() < 1e-9 * left);
            let unknown = cut_length(mm(length), mm(tucked), None).unwrap();
            prop_assert_eq!(unknown.warning, Some(SleeveWarning::ChangeUnknown));
            prop_assert!(change < -0.15 || unknown.length >= cut.length);
        }

        /// The chosen size has nothing against it and no narrower one fits.
        #[test]
        fn the_narrowest_that_fits_is_chosen(
            sizes in proptest::collection::vec((2.0..60.0, 1.1..4.0), 1..12),
            smallest in 2.0..20.0, taper in 1.0..2.0, hood in 1.0..1.3,
        ) {
            let sizes: Vec<_> = sizes.iter().map(|&(e, r)| size(e, e / r, 0.6)).collect();
            let covered = covered(smallest * taper * hood, smallest * taper, smallest);
            let window = SizingWindow::published(mm(0.5));
            let fits = |size: &SleeveSize| judge_size(size, &covered, &window).unwrap().is_empty();
            match choose_size(&sizes, &covered, &window) {
                Ok(chosen) => prop_assert!(
                    fits(chosen) && !sizes.iter().any(|s| s.expanded < chosen.expanded && fits(s))
                ),
                Err(fault) => {
                    prop_assert_eq!(fault, SleeveError::NoneFits);
                    prop_assert!(!sizes.iter().any(fits));
                }
            }
        }
    }
}
