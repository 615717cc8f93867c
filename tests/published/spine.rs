//! The spine against worked examples of circular statistics, and against other people's programs.
//!
//! The textbooks' examples were read at second hand, in the data files and tests of an open package
//! for circular statistics. Printed values are compared to their last printed figure.

use coldbench_trade::spine::{
    Circular, Deflection, DoubtForm, Jump, Readings, Sides, SpineError, SpineLimits, Trials,
    Trouble, Verdict, judge, outliers, stiffness,
};
use coldbench_trade::units::{Angle, Length, degree, millimeter, ratio};

/// Zar, Biostatistical Analysis, 5th ed. (2010), Example 26.4.
const ZAR_26_4: [f64; 8] = [45.0, 55.0, 81.0, 96.0, 110.0, 117.0, 132.0, 154.0];
/// Zar (2010), Example 27.2.
const ZAR_27_2: [f64; 10] = [66.0, 75.0, 86.0, 88.0, 88.0, 93.0, 97.0, 101.0, 118.0, 130.0];
/// Fisher, Statistical Analysis of Circular Data (1993), data B.5: axes of 60 feldspar laths.
const FISHER_B5: [f64; 60] = [
    1.0, 1.0, 2.0, 2.0, 3.0, 8.0, 9.0, 12.0, 16.0, 17.0, 19.0, 23.0, 28.0, 28.0, 34.0, 34.0, 35.0,
    36.0, 36.0, 37.0, 41.0, 45.0, 49.0, 50.0, 51.0, 53.0, 58.0, 68.0, 69.0, 70.0, 72.0, 72.0, 76.0,
    78.0, 80.0, 85.0, 97.0, 97.0, 99.0, 101.0, 105.0, 121.0, 125.0, 126.0, 133.0, 141.0, 143.0,
    149.0, 152.0, 156.0, 160.0, 163.0, 167.0, 168.0, 170.0, 171.0, 172.0, 174.0, 175.0, 176.0,
];

fn degrees(value: f64) -> Angle {
    Angle::new::<degree>(value)
}

fn in_degrees(angle: Angle) -> f64 {
    angle.get::<degree>()
}

fn sample(sides: Sides, angles: &[f64]) -> Circular {
    let angles: Vec<Angle> = angles.iter().copied().map(degrees).collect();
    Circular::new(sides, &angles).unwrap()
}

fn mean(sample: &Circular) -> f64 {
    in_degrees(sample.mean().unwrap())
}

fn doubt(sample: &Circular, form: DoubtForm) -> f64 {
    in_degrees(sample.doubt_by(form).unwrap())
}

fn close(got: f64, expected: f64, within: f64) {
    assert!((got - expected).abs() <= within, "{got} is not {expected}");
}

fn at_butt(sides: Sides, angles: &[f64]) -> Verdict {
    let jumps: Vec<Jump> = angles.iter().map(|&angle| Jump::One(degrees(angle))).collect();
    let butt = Some(Trials::new(sides, degrees(1.0), &jumps).unwrap());
    judge(&Readings { butt, ..Readings::default() }, &SpineLimits::default()).unwrap().verdict
}

/// Zar (2010), Examples 26.2 and 26.4: mean 99°, r 0.82522, angular deviation 34°, circular standard
/// deviation 36°; section 27.1: z 5.448 and 0.001 < p < 0.002. More figures computed with scipy
/// 1.17.1.
#[test]
fn zar_mean_and_spread() {
    let eight = sample(Sides::One, &ZAR_26_4);
    close(mean(&eight), 99.0, 0.5);
    close(mean(&eight), 98.987_75, 1e-5);
    close(eight.resultant(), 0.825_22, 5e-6);
    close(1.0 - eight.variance(), 0.825_22, 5e-6);
    close(in_degrees(eight.angular_deviation()), 34.0, 0.5);
    close(in_degrees(eight.angular_deviation()), 33.8755, 1e-4);
    close(in_degrees(eight.circular_sd().unwrap()), 36.0, 0.5);
    close(in_degrees(eight.circular_sd().unwrap()), 35.5149, 1e-4);
    let rayleigh = eight.rayleigh();
    close(rayleigh.z, 5.448, 5e-4);
    assert!(rayleigh.p > 0.001 && rayleigh.p < 0.002, "{rayleigh:?}");
    close(rayleigh.p, 0.001_851_64, 1e-8);
}

/// Zar (2010) p. 619, after Upton: 95 % limits of that mean 68° and 130°. The wider interval for
/// trials close together, with the quantile of F, is computed with scipy 1.17.1; the wider is taken.
#[test]
fn zar_limits_of_the_mean() {
    let eight = sample(Sides::One, &ZAR_26_4);
    let half = doubt(&eight, DoubtForm::Likelihood);
    close(half, 30.9335, 1e-4);
    close(mean(&eight) - half, 68.0, 0.5);
    close(mean(&eight) + half, 130.0, 0.5);
    let (widest, form) = eight.doubt().unwrap();
    assert_eq!(form, DoubtForm::Concentrated);
    close(in_degrees(widest), 33.817_18, 1e-5);
    // Above R = 0.9 the second of Upton's forms; computed with scipy 1.17.1.
    let ten = sample(Sides::One, &ZAR_27_2);
    close(doubt(&ten, DoubtForm::Likelihood), 12.691_909, 1e-6);
    close(doubt(&ten, DoubtForm::Concentrated), 13.731_900, 1e-6);
    let refused = ten.doubt_by(DoubtForm::Dispersion);
    assert_eq!(refused, Err(SpineError::FormNeeds { needs: 25, given: 10 }));
}

/// Zar (2010), Example 26.5: 105 directions in twelve groups of 30°: mean 162°, r 0.55064, angular
/// deviation 54°, circular standard deviation 63° before the correction for grouping.
#[test]
fn zar_grouped() {
    let frequency = [0, 6, 9, 13, 15, 22, 17, 12, 8, 3, 0, 0];
    let angles: Vec<f64> = (0..12)
        .zip(frequency)
        .flat_map(|(group, times)| std::iter::repeat_n(15.0 + 30.0 * f64::from(group), times))
        .collect();
    let grouped = sample(Sides::One, &angles);
    assert_eq!(grouped.trials(), 105);
    close(mean(&grouped), 162.0, 0.5);
    close(grouped.resultant(), 0.550_64, 5e-6);
    close(in_degrees(grouped.angular_deviation()), 54.0, 0.5);
    close(in_degrees(grouped.circular_sd().unwrap()), 63.0, 0.5);
}

/// Zar (2010), Example 26.7, two opposite clusters; axis 47.953° and r 0.948433 after doubling,
/// computed with scipy 1.17.1. A made-up axis across zero, computed likewise. Entered as jumping to
/// one side, both lots ask to be entered as an axis, and neither denies a spine.
#[test]
fn axes_with_two_ends() {
    let opposite = [
        35.0, 40.0, 40.0, 45.0, 45.0, 55.0, 60.0, 215.0, 220.0, 225.0, 225.0, 235.0, 235.0, 240.0,
        245.0,
    ];
    let axes = sample(Sides::Two, &opposite);
    close(mean(&axes), 47.953, 5e-4);
    close(axes.resultant(), 0.948_433, 5e-7);
    let Verdict::TryAgain(troubles) = at_butt(Sides::One, &opposite) else { panic!("no axis") };
    assert!(matches!(troubles[..], [Trouble::TwoSides { .. }]));
    let Verdict::Found(spine) = at_butt(Sides::Two, &opposite) else { panic!("not found") };
    close(in_degrees(spine.at()), 47.953, 5e-4);
    close(in_degrees(spine.opposite()), 227.953, 5e-4);

    let across = [172.0, 176.0, 3.0, 178.0, 5.0, 1.0, 174.0, 179.0];
    let axes = sample(Sides::Two, &across);
    close(mean(&axes), 178.5, 1e-4);
    close(axes.resultant(), 0.989_525, 5e-7);
}

/// Zar (2010), Example 27.2, where the test of Rayleigh as a series in powers of 1/n gives a negative
/// p: 5.304e-6 by the form used here, mean 94.0482°, z 9.06564; computed with scipy 1.17.1.
#[test]
fn a_probability_is_never_negative() {
    let ten = sample(Sides::One, &ZAR_27_2);
    close(mean(&ten), 94.0482, 5e-5);
    close(ten.resultant(), 0.952_137, 5e-7);
    let rayleigh = ten.rayleigh();
    close(rayleigh.z, 9.065_64, 5e-6);
    close(rayleigh.p, 5.304e-6, 5e-9);
}

/// Fisher (1993), data B.5: axis 19.8776°, R 0.237022 after doubling, z 3.37076, p 0.033695; computed
/// with scipy 1.17.1. Rock with a grain that statistics can see is still no spine to build on.
#[test]
fn fisher_laths() {
    let laths = sample(Sides::Two, &FISHER_B5);
    close(mean(&laths), 19.8776, 1e-4);
    close(laths.resultant(), 0.237_022, 5e-7);
    close(laths.rayleigh().z, 3.370_76, 5e-6);
    close(laths.rayleigh().p, 0.033_695, 5e-7);
    assert!(matches!(at_butt(Sides::Two, &FISHER_B5), Verdict::TryAgain(_)));
}

/// Fisher (1993), data B.6, set 2, 30 azimuths of cross-beds: 95 % limits of the mean 232.7° and
/// 262.5° by his dispersion. Widest of all forms: 16.263043°, computed with scipy 1.17.1.
#[test]
fn fisher_cross_beds() {
    let azimuths = sample(
        Sides::One,
        &[
            294.0, 301.0, 329.0, 315.0, 277.0, 281.0, 254.0, 245.0, 272.0, 242.0, 177.0, 257.0,
            177.0, 229.0, 250.0, 166.0, 232.0, 245.0, 224.0, 186.0, 257.0, 267.0, 241.0, 239.0,
            287.0, 229.0, 290.0, 214.0, 215.0, 224.0,
        ],
    );
    let half = doubt(&azimuths, DoubtForm::Dispersion);
    close(mean(&azimuths) - half, 232.7, 0.05);
    close(mean(&azimuths) + half, 262.5, 0.05);
    let (widest, form) = azimuths.doubt().unwrap();
    assert_eq!(form, DoubtForm::Concentrated);
    close(in_degrees(widest), 16.263_043, 1e-6);
}

/// Fisher (1993), data B.11, by Pewsey, Neuhäuser and Ruxton, Circular Statistics in R (2013),
/// section 3.2: mean 3.10°, R 0.83, dispersion 0.24; 0.24215 and a circular standard deviation of
/// 35.003° computed with scipy 1.17.1.
#[test]
fn fisher_b11() {
    let directions = sample(
        Sides::One,
        &[
            0.0, 1.0, 3.0, 3.0, 8.0, 13.0, 16.0, 18.0, 30.0, 31.0, 43.0, 45.0, 147.0, 298.0, 329.0,
            332.0, 335.0, 340.0, 350.0, 354.0, 356.0, 357.0,
        ],
    );
    close(mean(&directions), 3.10, 5e-3);
    close(directions.resultant(), 0.83, 5e-3);
    close(directions.dispersion().unwrap(), 0.24, 5e-3);
    close(directions.dispersion().unwrap(), 0.242_15, 5e-6);
    close(in_degrees(directions.circular_sd().unwrap()), 35.003, 5e-4);
}

/// Documentation of astropy 8.0.2, `astropy.stats.circstats`: mean 48.62718089°, variance
/// 0.1635635275, 0.57195022 and 0.59766999 rad; the test of Rayleigh by the series 0.2563, which the
/// closed form meets to 0.002. Documentation of scipy 1.17.1, `scipy.stats.circmean`: 7.294976658°.
#[test]
fn examples_of_other_programs() {
    let six = sample(Sides::One, &[51.0, 67.0, 40.0, 109.0, 31.0, 358.0]);
    close(mean(&six), 48.627_180_89, 1e-8);
    close(six.variance(), 0.163_563_527_5, 1e-10);
    close(in_degrees(six.angular_deviation()), 0.571_950_22f64.to_degrees(), 1e-6);
    close(in_degrees(six.circular_sd().unwrap()), 0.597_669_99f64.to_degrees(), 1e-6);
    let four = sample(Sides::One, &[130.0, 90.0, 0.0, 145.0]);
    close(four.rayleigh().p, 0.256_348_773_4, 2e-3);
    close(mean(&sample(Sides::One, &[20.0, 30.0, 330.0])), 7.294_976_658, 1e-9);
}

/// Grubbs's two-sided critical values at 5 %: 1.481 for 4 values, 1.715 for 5, 2.126 for 8, 2.290 for
/// 10 (his table of 1969; from memory, the same as computed with scipy 1.17.1 from Student's t). For
/// angles close together the criterion for a stray is his: farther by one figure in the second place
/// than the critical value is named, less far is not.
#[test]
fn grubbs_critical_values() {
    for (n, critical) in [(4, 1.481), (5, 1.715), (8, 2.126), (10, 2.290)] {
        // n - 1 trials, spread evenly about zero, and one at the place that gives this G.
        let rest: Vec<f64> = (0..n - 1).map(|i| f64::from(i) - f64::from(n - 2) / 2.0).collect();
        let squares: f64 = rest.iter().map(|x| x * x).sum();
        let stray_at = |g: f64| {
            // G² = d² ((n - 1) / n)² / ((squares + d² (n - 1) / n) / (n - 1)), solved for d.
            let n = f64::from(n);
            let share = (n - 1.0) / n;
            (g * g * squares / (share * share * (n - 1.0) - g * g * share)).sqrt()
        };
        let named = |g: f64| {
            // A thousandth of a degree for each step keeps the curve of the circle out of it.
            let mut angles: Vec<f64> = rest.iter().map(|x| x * 1e-3).collect();
            angles.push(stray_at(g) * 1e-3);
            let within = degrees((squares / f64::from(n - 1)).sqrt() * 1e-3 * 1.01);
            outliers(&sample(Sides::One, &angles), within).unwrap()
        };
        assert!(named(critical - 0.003).is_empty(), "{n}");
        let stray = named(critical + 0.003);
        assert_eq!(stray.len(), 1, "{n}");
        assert_eq!(stray[0].trial, usize::try_from(n - 1).unwrap());
    }
}

fn deflections(readings: &[(f64, f64)]) -> Vec<Deflection> {
    let one = |&(side, down): &(f64, f64)| Deflection {
        side: degrees(side),
        deflection: Length::new::<millimeter>(down),
    };
    readings.iter().map(one).collect()
}

/// A blank of 26 and 25 N m², stiffest at 35°, 1 m long under 1 N: mean 13.076923 mm, amplitude
/// 0.25641 mm, ratio 1.04 (theory of unsymmetrical bending, deflections computed with scipy 1.17.1).
#[test]
fn two_stiffnesses() {
    let readings = [
        (0.0, 12.989_226),
        (45.0, 12.835_976),
        (90.0, 13.164_621),
        (135.0, 13.317_87),
        (180.0, 12.989_226),
        (225.0, 12.835_976),
        (270.0, 13.164_621),
        (315.0, 13.317_87),
    ];
    let fit = stiffness(&deflections(&readings), Length::new::<millimeter>(0.01)).unwrap();
    close(fit.mean.get::<millimeter>(), 13.076_923, 1e-6);
    close(fit.amplitude.get::<millimeter>(), 0.256_41, 1e-6);
    let axes = fit.axes.unwrap();
    close(in_degrees(axes.softest), 125.0, 1e-3);
    close(in_degrees(axes.stiffest), 35.0, 1e-3);
    close(axes.ratio.get::<ratio>(), 1.04, 1e-6);
}

/// Made-up readings of uneven directions and much noise: mean 13.00259836, amplitude 0.50708512, axis
/// 156.76223°, residuals, their standard deviation, and the radius of the joint 95 % ellipse of both
/// coefficients, 0.68255753, which is more than the amplitude: nothing can be told. Computed with
/// numpy 2 `linalg.lstsq` and scipy 1.17.1 `f.ppf`.
#[test]
fn a_spine_that_noise_could_make() {
    let readings = [
        (0.0, 13.10),
        (30.0, 12.62),
        (75.0, 12.55),
        (110.0, 13.05),
        (160.0, 13.62),
        (200.0, 13.41),
        (290.0, 12.86),
    ];
    let fit = stiffness(&deflections(&readings), Length::new::<millimeter>(0.01)).unwrap();
    close(fit.mean.get::<millimeter>(), 13.002_598_36, 1e-8);
    close(fit.amplitude.get::<millimeter>(), 0.507_085_12, 1e-8);
    close(fit.noise.get::<millimeter>(), 0.682_557_53, 1e-8);
    close(fit.scatter.unwrap().get::<millimeter>(), 0.271_381_63, 1e-8);
    close(fit.residuals[5].get::<millimeter>(), 0.376_228_68, 1e-8);
    close(fit.residuals[0].get::<millimeter>(), -0.251_809_78, 1e-8);
    assert_eq!(fit.axes, None);
}
