//! The bend of a blank. Each check names its source.

mod inverse;
mod line;
mod swing;

use coldbench_trade::Measured;
use coldbench_trade::bend::{
    BendError, Curve, Cut, Loads, Modulus, Stiffness, TipLoad, TipTube, Tube, Wall, solve,
    solve_at, trim, weight,
};
use coldbench_trade::units::{
    Angle, Force, Length, Mass, MassDensity, Pressure, degree, gram, gram_per_cubic_centimeter,
    inch, meter, millimeter, newton, newton_meter, newton_per_meter, pascal, radian, ratio,
};
use std::f64::consts::PI;

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn n(value: f64) -> Force {
    Force::new::<newton>(value)
}

fn deg(value: f64) -> Angle {
    Angle::new::<degree>(value)
}

fn grams(value: f64) -> Mass {
    Mass::new::<gram>(value)
}

#[track_caller]
fn close(found: f64, expected: f64, tolerance: f64) {
    let off = (found - expected).abs();
    assert!(off <= tolerance, "{found} is not {expected} within {tolerance}");
}

/// A solid round rod of 1 m with E I = 1 N m² throughout: then the load in N is P L² / (E I).
fn uniform() -> Stiffness {
    let second = PI / 64.0 * 0.01_f64.powi(4);
    Stiffness::of(&Tube {
        length: m(1.0),
        measured: readings(&[(0.0, 10.0), (1.0, 10.0)]),
        joins: Vec::new(),
        wall: Wall::Solid,
        modulus: Modulus::Even(Pressure::new::<pascal>(1.0 / second)),
    })
    .unwrap()
}

/// 1 kgf is 9.80665 N (General Conference on Weights and Measures, 1901; exact); 1 lbf is 4.448222 N
/// (NIST SP 811, appendix B, from memory).
#[test]
fn what_hangs_pulls_with_its_weight() {
    close(weight(grams(1000.0)).get::<newton>(), 9.806_65, 1e-12);
    close(weight(grams(453.592_37)).get::<newton>(), 4.448_222, 1e-6);
}

fn readings(pairs: &[(f64, f64)]) -> Vec<Measured> {
    let reading = |&(at, d)| Measured { from_butt: m(at), diameter: mm(d) };
    pairs.iter().map(reading).collect()
}

/// Three invented blanks: length in m, diameters and walls at butt and tip in mm, modulus in
/// gigapascals, density in g/cm³.
fn blank(name: char) -> Stiffness {
    let (long, [butt, tip], walls, gpa, density) = match name {
        'A' => (2.0, [12.0, 2.0], Some([0.8, 0.4]), 60.0, 1.55),
        'B' => (1.5, [10.0, 3.0], Some([0.5, 0.5]), 100.0, 1.58),
        _ => (1.0, [8.0, 2.0], None, 40.0, 1.9),
    };
    let wall = walls
        .map_or(Wall::Solid, |[butt, tip]| Wall::At(vec![(m(0.0), mm(butt)), (m(long), mm(tip))]));
    Stiffness::of(&Tube {
        length: m(long),
        measured: readings(&[(0.0, butt), (long, tip)]),
        joins: Vec::new(),
        wall,
        modulus: Modulus::Even(Pressure::new::<pascal>(gpa * 1e9)),
    })
    .unwrap()
    .with_density(MassDensity::new::<gram_per_cubic_centimeter>(density))
    .unwrap()
}

type Row = (f64, f64, f64, f64);

struct Tip {
    slope: f64,
    x: f64,
    y: f64,
}

fn tip(curve: &Curve) -> Tip {
    let tip = curve.tip();
    Tip { slope: tip.slope.get::<degree>(), x: tip.x.get::<meter>(), y: tip.y.get::<meter>() }
}

/// The inextensible elastica in closed form: `sqrt(P L²/(E I)) = K(k) - F(phi, k)` with
/// `sin(phi) = sin((180° - psi)/2) / k` (form as in Bisshopp & Drucker, Quart. Appl. Math. 3 (1945)
/// 272). Rows of P L²/(E I), tip slope in degrees, y and x of the tip over L; computed with mpmath.
const ELASTICA: [(f64, [Row; 10]); 5] = [
    (
        30.0,
        [
            (0.25, 3.280_234_860, 0.038_292_635_89, 0.999_121_553_64),
            (0.5, 6.039_707_659, 0.070_704_254_71, 0.997_007_493_23),
            (1.0, 10.385_137_398, 0.122_171_964_47, 0.991_069_405_92),
            (2.0, 16.100_638_819, 0.191_112_562_22, 0.978_144_958_43),
            (3.0, 19.620_147_119, 0.234_956_278_69, 0.966_978_789_92),
            (4.0, 21.964_300_620, 0.265_358_643_72, 0.957_923_308_33),
            (5.0, 23.614_089_955, 0.287_777_992_38, 0.950_587_493_20),
            (7.5, 26.111_664_845, 0.324_808_654_04, 0.937_352_861_91),
            (10.0, 27.449_317_941, 0.347_780_446_51, 0.928_543_717_75),
            (15.0, 28.745_459_411, 0.375_506_096_30, 0.917_463_560_15),
        ],
    ),
    (
        45.0,
        [
            (0.25, 4.704_850_406, 0.054_870_360_79, 0.998_194_696_31),
            (0.5, 8.751_388_499, 0.102_205_518_84, 0.993_730_740_35),
            (1.0, 15.242_965_895, 0.178_273_552_69, 0.980_847_180_73),
            (2.0, 23.905_834_452, 0.280_102_124_14, 0.952_238_133_33),
            (3.0, 29.262_639_271, 0.343_860_056_69, 0.927_421_890_91),
            (4.0, 32.827_869_569, 0.387_347_175_21, 0.907_358_510_83),
            (5.0, 35.333_539_780, 0.418_986_460_64, 0.891_168_755_31),
            (7.5, 39.119_938_953, 0.470_444_989_90, 0.862_112_704_53),
            (10.0, 41.144_464_364, 0.501_912_442_89, 0.842_869_906_77),
            (15.0, 43.104_269_059, 0.539_537_386_90, 0.818_748_610_33),
        ],
    ),
    (
        90.0,
        [
            (0.25, 7.121_432_358, 0.082_745_915_35, 0.995_882_181_59),
            (0.5, 14.010_745_930, 0.162_143_575_66, 0.984_081_037_53),
            (1.0, 26.433_519_589, 0.301_720_773_80, 0.943_566_763_72),
            (2.0, 44.790_965_983, 0.493_457_480_40, 0.839_358_279_17),
            (3.0, 56.494_609_575, 0.603_253_441_13, 0.745_579_815_44),
            (4.0, 64.242_282_435, 0.669_964_181_28, 0.671_058_757_75),
            (5.0, 69.635_463_694, 0.713_791_523_61, 0.612_371_639_28),
            (7.5, 77.688_871_448, 0.776_702_000_44, 0.510_425_751_48),
            (10.0, 81.949_324_872, 0.810_609_024_88, 0.445_004_402_25),
            (15.0, 86.049_102_338, 0.847_715_674_33, 0.364_714_219_64),
        ],
    ),
    (
        120.0,
        [
            (0.25, 6.511_343_335, 0.075_515_816_20, 0.996_567_561_68),
            (0.5, 13.550_831_619, 0.156_211_126_13, 0.985_197_687_72),
            (1.0, 28.332_204_360, 0.319_640_966_92, 0.936_045_028_88),
            (2.0, 54.280_261_817, 0.571_659_998_79, 0.772_192_306_26),
            (3.0, 71.806_147_812, 0.704_824_990_91, 0.611_395_596_31),
            (4.0, 83.296_335_866, 0.771_991_368_19, 0.485_861_801_80),
            (5.0, 91.169_730_633, 0.807_954_063_83, 0.390_203_886_76),
            (7.5, 102.719_508_057, 0.845_237_738_93, 0.231_226_530_33),
            (10.0, 108.739_575_479, 0.857_240_856_51, 0.133_455_882_96),
            (15.0, 114.487_376_651, 0.863_936_005_55, 0.016_807_376_19),
        ],
    ),
    (
        150.0,
        [
            (0.25, 3.928_236_315, 0.045_521_419_13, 0.998_753_186_88),
            (0.5, 8.652_605_751, 0.099_731_381_50, 0.993_986_003_80),
            (1.0, 21.032_049_186, 0.238_088_302_34, 0.964_978_229_76),
            (2.0, 54.362_710_314, 0.563_166_226_52, 0.777_045_503_06),
            (3.0, 81.714_688_404, 0.745_663_107_72, 0.523_970_122_52),
            (4.0, 99.130_491_529, 0.809_014_010_12, 0.329_130_470_15),
            (5.0, 110.586_832_888, 0.825_262_080_24, 0.189_795_594_98),
            (7.5, 126.756_890_546, 0.810_199_031_08, -0.023_503_357_11),
            (10.0, 134.947_583_616, 0.782_559_651_74, -0.144_907_885_52),
            (15.0, 142.661_114_162, 0.737_869_568_41, -0.282_615_873_13),
        ],
    ),
];

#[test]
fn uniform_rod_is_the_elastica() {
    let rod = uniform();
    for (psi, rows) in ELASTICA {
        for (alpha, slope, y, x) in rows {
            let found = tip(&solve(&rod, &Loads::on_tip(n(alpha), deg(psi))).unwrap());
            close(found.slope, slope, 1e-7);
            close(found.y, y, 1e-9);
            close(found.x, x, 1e-9);
        }
    }
}

/// Mattiasson, Int. J. Numer. Meth. Engng 17 (1981) 145, table 1, in P L²/(E I), drop, shortening
/// (second-hand, as quoted in open verification suites; the tip slope of the first row is 0.46135
/// rad); the row of Bisshopp & Drucker's chart (1945) at 3 is 0.60 and 0.76 in x (second-hand; a
/// chart, good to 0.02).
#[test]
fn uniform_rod_in_print() {
    let rod = uniform();
    let bent = |alpha| tip(&solve(&rod, &Loads::on_tip(n(alpha), deg(90.0))).unwrap());
    for (alpha, drop, shortening) in [
        (1.0, 0.301_72, 0.056_43),
        (2.0, 0.493_46, 0.160_64),
        (5.0, 0.713_79, 0.387_63),
        (10.0, 0.810_61, 0.555_00),
    ] {
        let found = bent(alpha);
        close(found.y, drop, 6e-6);
        close(1.0 - found.x, shortening, 6e-6);
    }
    close(bent(1.0).slope.to_radians(), 0.461_35, 6e-6);
    let chart = bent(3.0);
    close(chart.y, 0.60, 0.02);
    close(chart.x, 0.76, 0.02);
}

/// A tapered tube under a dead load on its tip: slope (degrees), x and y (m) of the tip, moment at
/// the butt (N m), and slope, x and y at a quarter, half and three quarters of the length.
struct Case {
    blank: char,
    load: f64,
    psi: f64,
    butt: f64,
    weighs: bool,
    tip: [f64; 3],
    moment: f64,
    on_the_way: [[f64; 3]; 3],
}

/// Computed with scipy 1.17.1: backward shooting from the tip with DOP853 at rtol 1e-13, the tip
/// slope by `brentq`; `solve_bvp` at 1e-10 gives the same to all its digits. Silverman & Farrah,
/// World J. Mech. 8 (2018) 272, solve the same model and photographed it.
#[rustfmt::skip]
const TAPERED: [Case; 19] = [
    Case { blank: 'A', load: 0.5, psi: 90.0, butt: 0.0, weighs: false, tip: [22.073_830_09, 1.975_554_894_5, 0.222_739_831_1], moment: 0.987_777_447, on_the_way: [[1.415_658_1, 0.499_956_057, 0.005_597_739], [4.077_972_0, 0.999_399_559, 0.028_220_747], [9.963_726_3, 1.495_877_956, 0.085_610_764]] },
    Case { blank: 'A', load: 1.0, psi: 90.0, butt: 0.0, weighs: false, tip: [39.653_359_46, 1.918_837_853_9, 0.404_547_466_0], moment: 1.918_837_854, on_the_way: [[2.736_365_5, 0.499_835_390, 0.010_838_309], [7.808_593_7, 0.997_780_969, 0.054_300_610], [18.681_753_0, 1.485_220_385, 0.162_309_262]] },
    Case { blank: 'A', load: 2.0, psi: 90.0, butt: 0.0, weighs: false, tip: [61.150_561_30, 1.791_089_457_2, 0.646_017_780_5], moment: 3.582_178_914, on_the_way: [[5.045_127_4, 0.499_436_765, 0.020_065_828], [14.059_190_7, 0.992_662_827, 0.098_920_148], [31.911_077_5, 1.454_685_379, 0.284_770_997]] },
    Case { blank: 'A', load: 5.0, psi: 90.0, butt: 0.0, weighs: false, tip: [82.153_769_12, 1.524_299_294_0, 0.975_474_217_6], moment: 7.621_496_470, on_the_way: [[10.382_901_6, 0.497_573_156, 0.041_724_272], [27.141_252_6, 0.971_200_474, 0.196_344_257], [53.827_065_3, 1.353_212_560, 0.511_880_097]] },
    Case { blank: 'A', load: 10.0, psi: 90.0, butt: 0.0, weighs: false, tip: [88.394_692_14, 1.289_349_224_8, 1.200_436_682_3], moment: 12.893_492_248, on_the_way: [[16.850_901_9, 0.493_473_899, 0.068_481_135], [40.716_759_2, 0.931_080_493, 0.302_783_631], [69.795_988_0, 1.213_667_196, 0.708_662_237]] },
    Case { blank: 'A', load: 2.0, psi: 60.0, butt: 0.0, weighs: false, tip: [42.014_192_64, 1.893_217_527_3, 0.482_592_135_7], moment: 2.796_556_811, on_the_way: [[3.867_075_4, 0.499_665_898, 0.015_483_011], [10.490_694_5, 0.995_811_741, 0.075_177_241], [22.883_590_2, 1.475_496_285, 0.212_792_833]] },
    Case { blank: 'A', load: 2.0, psi: 120.0, butt: 0.0, weighs: false, tip: [77.035_908_48, 1.703_879_960_0, 0.727_378_608_7], moment: 3.678_585_270, on_the_way: [[5.321_028_3, 0.499_382_072, 0.020_964_902], [15.442_190_0, 0.991_461_124, 0.105_917_116], [37.352_469_0, 1.442_273_421, 0.315_152_429]] },
    Case { blank: 'A', load: 2.0, psi: 150.0, butt: 0.0, weighs: false, tip: [85.013_889_23, 1.689_286_717_8, 0.702_274_636_7], moment: 2.905_662_069, on_the_way: [[4.370_510_3, 0.499_591_362, 0.016_989_441], [13.486_025_7, 0.993_815_932, 0.089_265_728], [36.139_261_3, 1.451_267_961, 0.283_086_079]] },
    Case { blank: 'A', load: 2.0, psi: 90.0, butt: 0.0, weighs: true, tip: [61.508_408_43, 1.785_677_117_7, 0.657_684_904_2], moment: 3.831_377_630, on_the_way: [[5.306_105_0, 0.499_372_168, 0.021_215_714], [14.542_444_9, 0.992_042_511, 0.103_315_124], [32.482_914_8, 1.452_253_459, 0.293_554_683]] },
    Case { blank: 'A', load: 2.0, psi: 90.0, butt: -30.0, weighs: false, tip: [47.035_908_48, 1.839_292_634_8, -0.222_011_626_7], moment: 3.678_585_270, on_the_way: [[-24.678_971_7, 0.442_960_012, -0.231_534_899], [-14.557_810_0, 0.911_589_078, -0.404_003_649], [7.352_469_0, 1.406_621_637, -0.448_206_701]] },
    Case { blank: 'B', load: 1.0, psi: 90.0, butt: 0.0, weighs: false, tip: [14.112_115_83, 1.487_161_705_4, 0.159_272_905_5], moment: 1.487_161_705, on_the_way: [[2.222_182_8, 0.374_913_356, 0.006_884_891], [5.340_831_3, 0.749_090_208, 0.031_011_084], [9.782_512_4, 1.120_840_855, 0.079_548_480]] },
    Case { blank: 'B', load: 2.0, psi: 90.0, butt: 0.0, weighs: false, tip: [26.808_407_82, 1.453_374_667_3, 0.301_750_777_9], moment: 2.906_749_335, on_the_way: [[4.327_356_1, 0.374_670_838, 0.013_420_738], [10.339_291_6, 0.746_574_971, 0.060_150_670], [18.762_113_4, 1.109_576_787, 0.152_891_679]] },
    Case { blank: 'B', load: 5.0, psi: 90.0, butt: 0.0, weighs: false, tip: [52.922_880_08, 1.311_681_969_9, 0.592_229_235_7], moment: 6.558_409_849, on_the_way: [[9.592_360_6, 0.373_368_639, 0.029_887_966], [22.280_394_6, 0.733_748_810, 0.130_773_904], [38.693_339_5, 1.056_762_638, 0.318_718_906]] },
    Case { blank: 'B', load: 10.0, psi: 90.0, butt: 0.0, weighs: false, tip: [72.255_191_95, 1.120_419_724_9, 0.817_266_159_4], moment: 11.204_197_249, on_the_way: [[15.880_767_9, 0.370_461_135, 0.049_855_415], [35.092_780_7, 0.708_130_900, 0.208_881_190], [56.600_213_3, 0.968_125_112, 0.476_035_884]] },
    Case { blank: 'B', load: 2.0, psi: 120.0, butt: 0.0, weighs: false, tip: [28.217_831_94, 1.450_083_538_4, 0.309_229_020_6], moment: 2.820_847_384, on_the_way: [[4.265_680_3, 0.374_682_696, 0.013_158_670], [10.397_272_0, 0.746_599_790, 0.059_730_849], [19.343_128_9, 1.109_112_596, 0.154_194_492]] },
    Case { blank: 'C', load: 0.5, psi: 90.0, butt: 0.0, weighs: false, tip: [13.991_559_29, 0.994_016_382_4, 0.081_437_389_1], moment: 0.497_008_191, on_the_way: [[1.165_664_5, 0.249_985_009, 0.002_314_360], [3.276_612_6, 0.499_801_702, 0.011_513_490], [7.507_405_2, 0.748_741_840, 0.033_889_572]] },
    Case { blank: 'C', load: 1.0, psi: 90.0, butt: 0.0, weighs: false, tip: [26.638_508_62, 0.978_101_397_8, 0.155_297_051_6], moment: 0.978_101_398, on_the_way: [[2.287_806_9, 0.249_942_173, 0.004_546_367], [6.399_127_8, 0.499_240_582, 0.022_539_636], [14.514_810_6, 0.745_253_788, 0.065_829_170]] },
    Case { blank: 'C', load: 2.0, psi: 90.0, butt: 0.0, weighs: false, tip: [45.957_489_02, 0.932_700_376_4, 0.269_994_396_1], moment: 1.865_400_753, on_the_way: [[4.327_346_6, 0.249_792_224, 0.008_622_567], [11.921_285_1, 0.497_331_310, 0.042_293_802], [26.220_336_3, 0.734_069_684, 0.120_607_833]] },
    Case { blank: 'C', load: 5.0, psi: 90.0, butt: 0.0, weighs: false, tip: [72.549_021_69, 0.809_624_320_7, 0.447_018_095_7], moment: 4.048_121_604, on_the_way: [[9.137_154_0, 0.249_060_512, 0.018_362_250], [23.921_822_7, 0.488_803_317, 0.086_764_222], [47.582_623_0, 0.692_347_133, 0.228_833_797]] },
];

#[test]
fn tapered_tubes_under_a_dead_load() {
    for case in TAPERED {
        let rod = blank(case.blank);
        let loads = Loads {
            butt: deg(case.butt),
            own_weight: case.weighs,
            ..Loads::on_tip(n(case.load), deg(case.psi))
        };
        let curve = solve(&rod, &loads).unwrap();
        let found = tip(&curve);
        close(found.slope, case.tip[0], 1e-6);
        close(found.x, case.tip[1], 1e-8);
        close(found.y, case.tip[2], 1e-8);
        close(-curve.reaction().moment.get::<newton_meter>(), case.moment, 1e-8);
        close(curve.points()[0].moment.get::<newton_meter>(), case.moment, 1e-8);
        for (part, [slope, x, y]) in [0.25, 0.5, 0.75].into_iter().zip(case.on_the_way) {
            let here = curve.at(rod.length() * part).unwrap();
            close(here.slope.get::<degree>(), slope, 1e-6);
            close(here.x.get::<meter>(), x, 1e-8);
            close(here.y.get::<meter>(), y, 1e-8);
        }
    }
}

/// The same cases (computed with scipy 1.17.1 `solve_bvp`, tol 1e-10): the largest strain of the
/// surface and where.
#[test]
fn strain_of_the_surface() {
    for (name, load, strain, at) in [
        ('A', 0.5, 0.000_802_85, 1.739),
        ('A', 2.0, 0.002_025_2, 1.626),
        ('A', 10.0, 0.003_441_4, 0.78),
        ('B', 5.0, 0.002_199_1, 0.754),
        ('B', 10.0, 0.003_377_3, 0.289),
    ] {
        let curve = solve(&blank(name), &Loads::on_tip(n(load), deg(90.0))).unwrap();
        let worst = curve.most_strained();
        close(worst.strain.get::<ratio>() / strain, 1.0, 1e-4);
        close(worst.from_butt.get::<meter>(), at, 0.01);
    }
}

/// Halving the elements brings the tip nearer by 2⁶: against the closed form above.
#[test]
fn error_falls_with_the_sixth_power() {
    let rod = uniform();
    let (y, x) = (0.847_715_674_33, 0.364_714_219_64);
    let off = |stations| {
        let curve = solve_at(&rod, &Loads::on_tip(n(15.0), deg(90.0)), stations).unwrap();
        let found = tip(&curve);
        (found.x - x).hypot(found.y - y)
    };
    let errors = [6, 12, 24].map(off);
    for two in errors.windows(2) {
        let order = (two[0] / two[1]).log2();
        assert!((5.0..7.5).contains(&order), "{errors:?} {order}");
    }
}

/// E I (N m²) along the three blanks and their mass (kg), from the formula of the annulus and
/// quadrature with scipy 1.17.1; the tube of 12 by 10.4 mm has I = 443.62304 mm⁴ (textbook).
#[test]
fn sections() {
    for (name, rigidity, mass) in [
        ('A', [26.617_383, 11.310_883, 3.738_545_5, 0.765_763_21, 0.041_016_634], 0.040_513_979),
        ('B', [16.881_152, 9.177_807_1, 4.270_602_5, 1.528_151_7, 0.319_068], 0.022_336_724),
        ('C', [8.042_477_2, 3.504_962, 1.227_184_6, 0.294_647_03, 0.031_415_927], 0.041_783_182),
    ] {
        let rod = blank(name);
        for (quarter, expected) in [0.0, 0.25, 0.5, 0.75, 1.0].into_iter().zip(rigidity) {
            let found = rod.at(rod.length() * quarter).value;
            close(found / expected, 1.0, 1e-7);
        }
        close(rod.mass().unwrap().get::<gram>() / 1000.0 / mass, 1.0, 1e-7);
    }
    close(blank('A').at(m(0.0)).value / 60e9, 443.623_04e-12, 5e-18);
}

/// How far 1 N moves the tip, for small loads, m. Solid cone: `P L³ D_butt / (3 E I_butt D_tip)`
/// (derived; the same problem is treated by `McCutcheon`, Civil Eng. Pract. Des. Eng. 2 (1983) 207).
/// Thin tube of even wall: a closed form with the mean radius, 0.73 % high here. The tubes A and B:
/// quadrature with scipy 1.17.1. Rods whose stiffness falls with the first and with the fourth power
/// along them: coefficients of `P L³ / (E I_tip)` for stiffness ratios of 2, 4, 8, 16 (quadrature;
/// the family of a table in Roark's Formulas for Stress and Strain).
#[test]
fn small_loads_on_tapers() {
    let give = |rod: &Stiffness| 1.0 / rod.tip_stiffness().get::<newton_per_meter>();
    let cone = blank('C');
    close(give(&cone), 8.0 / 2.0 / (3.0 * cone.at(m(0.0)).value), 1e-10);
    close(give(&cone), 0.165_786_399, 1e-9);
    close(give(&blank('A')), 0.464_052_75, 1e-8);
    close(give(&blank('B')), 0.162_531_055, 1e-9);
    close(give(&blank('B')) / 0.163_714_33, 1.0, 0.0075);
    let first = [0.193_147_181, 0.106_899_791, 0.057_082_919_9, 0.029_710_396_7];
    let fourth = [0.198_201_186, 0.117_851_13, 0.070_074_701_3, 0.041_666_666_7];
    for (index, steep) in [2.0_f64, 4.0, 8.0, 16.0].into_iter().enumerate() {
        let gpa = |value: f64| Pressure::new::<pascal>(value * 1e9);
        let mut tube = Tube {
            length: m(1.0),
            measured: readings(&[(0.0, 5.0), (1.0, 5.0)]),
            joins: Vec::new(),
            wall: Wall::Solid,
            modulus: Modulus::At(vec![(m(0.0), gpa(10.0 * steep)), (m(1.0), gpa(10.0))]),
        };
        let rod = Stiffness::of(&tube).unwrap();
        close(give(&rod) * rod.at(m(1.0)).value, first[index], 1e-9);
        tube.measured = readings(&[(0.0, 5.0 * steep.powf(0.25)), (1.0, 5.0)]);
        tube.modulus = Modulus::Even(gpa(10.0));
        let rod = Stiffness::of(&tube).unwrap();
        close(give(&rod) * rod.at(m(1.0)).value, fourth[index], 1e-9);
    }
}

/// Blank A cut by 100 mm in all, 1 N on the tip (computed with scipy 1.17.1): small-load stiffness
/// in N/m, drop in m, tip slope in degrees.
#[test]
fn trims() {
    let rod = blank('A');
    let load = TipLoad { force: n(1.0), direction: deg(90.0) };
    for (off_tip, off_butt, stiffness, drop, slope) in [
        (100.0, 0.0, 3.002_142, 0.309_908, 28.201_8),
        (0.0, 100.0, 2.229_089, 0.391_303, 39.346_9),
        (50.0, 50.0, 2.600_569, 0.348_391, 33.225_9),
    ] {
        let cut = Cut { tip: mm(off_tip), butt: mm(off_butt) };
        let effect = trim(&rod, cut, deg(0.0), load).unwrap();
        let (before, after) = (effect.before, effect.after);
        close(before.tip_stiffness.get::<newton_per_meter>(), 2.154_927, 1e-6);
        close(after.tip_stiffness.get::<newton_per_meter>(), stiffness, 1e-6);
        close(before.curve.tip().y.get::<meter>(), 0.404_547, 1e-6);
        close(after.curve.tip().y.get::<meter>(), drop, 1e-6);
        close(after.curve.tip().slope.get::<degree>(), slope, 1e-4);
        close(after.tip_diameter.get::<millimeter>(), 2.0 + off_tip / 200.0, 1e-9);
    }
}

/// Tube sizes in 64ths of an inch: 4.5 is 1.7859375 mm (25.4 mm to the inch, exact; that half sizes
/// exist is common practice, no source). 2.5 mm needs 6.5, since 6 is 2.38 mm.
#[test]
fn tip_tubes() {
    let size = |diameter, clearance| TipTube::over(mm(diameter), mm(clearance)).unwrap().size();
    for (found, expected) in [
        (size(1.785_937_5, 0.0), 4.5),
        (size(1.786, 0.0), 5.0),
        (size(1.75, 0.05), 5.0),
        (size(2.5, 0.0), 6.5),
        (size(2.0, 0.0), 5.5),
    ] {
        close(found, expected, 1e-12);
    }
    let tube = TipTube::over(mm(1.7), mm(0.0)).unwrap();
    close(tube.bore().get::<millimeter>(), 1.785_937_5, 1e-9);
    close(tube.bore().get::<inch>() * 64.0, tube.size(), 1e-12);
}

/// The load that takes the tip down by a third of the length (that this is a usual test is common
/// practice, no source): P L²/(E I) = 1.13134276 with a tip slope of 29.3324° for the uniform rod,
/// and 2.1157, 3.8212, 2.7759 N for the three blanks (computed with scipy 1.17.1).
#[test]
fn a_third_of_the_length() {
    for (rod, load) in [
        (uniform(), 1.131_342_76),
        (blank('A'), 2.1157),
        (blank('B'), 3.8212),
        (blank('C'), 2.7759),
    ] {
        let curve = solve(&rod, &Loads::on_tip(n(load), deg(90.0))).unwrap();
        close((curve.tip().y / rod.length()).get::<ratio>(), 1.0 / 3.0, 1e-5);
    }
    let curve = solve(&uniform(), &Loads::on_tip(n(1.131_342_76), deg(90.0))).unwrap();
    close(curve.tip().slope.get::<radian>().to_degrees(), 29.3324, 1e-4);
}

/// An invented steel ruler of 0.4 m by 25 by 0.4 mm, 194.3e9 Pa, weighing 0.758 N/m, with a load on
/// its tip: computed with scipy 1.17 `solve_bvp`. A solid round rod of the same stiffness and weight
/// stands for it.
#[test]
fn ruler_under_its_own_weight() {
    let second = 0.025 * 0.0004_f64.powi(3) / 12.0;
    let rod = Stiffness::of(&Tube {
        length: m(0.4),
        measured: readings(&[(0.0, 2.0), (0.4, 2.0)]),
        joins: Vec::new(),
        wall: Wall::Solid,
        modulus: Modulus::Even(Pressure::new::<pascal>(
            194.3e9 * second / (PI / 64.0 * 0.002_f64.powi(4)),
        )),
    });
    let rod = rod.unwrap().with_weight(grams(0.758 * 0.4 / 9.806_65 * 1000.0)).unwrap();
    for (load, drop, slope) in [
        (0.0, 0.089_82, 17.324_75),
        (0.098, 0.151_61, 31.544_54),
        (0.294, 0.227_19, 50.854_95),
        (0.588, 0.278_41, 66.077_06),
    ] {
        let loads = Loads { own_weight: true, ..Loads::on_tip(n(load), deg(90.0)) };
        let found = tip(&solve(&rod, &loads).unwrap());
        close(found.y, drop, 1e-5);
        close(found.slope, slope, 1e-3);
    }
}

/// A rod pressed along its axis gives way at `pi² E I / (4 L²)` (Euler 1744; any
/// strength-of-materials text), and upright under its own weight of w a metre when `w L³ / (E I)`
/// reaches 7.837347 (Greenhill 1881; the root `9/4 j²` of Bessel's function of order -1/3 computed
/// with mpmath). The share is found to a millionth.
#[test]
fn uniform_rod_gives_way() {
    let share = |rod: &Stiffness, loads: &Loads| match solve(rod, loads) {
        Err(BendError::TooGreat { share }) => share.get::<ratio>(),
        other => panic!("{other:?}"),
    };
    let pressed = |force| Loads::on_tip(n(force), deg(180.0));
    close(share(&uniform(), &pressed(3.0)) * 3.0, PI * PI / 4.0, 1e-5);
    close(tip(&solve(&uniform(), &pressed(2.46)).unwrap()).y, 0.0, 1e-12);
    let upright = Loads { butt: deg(-90.0), own_weight: true, ..Loads::default() };
    let heavy = |weight| uniform().with_weight(grams(weight / 9.806_65 * 1000.0)).unwrap();
    close(share(&heavy(10.0), &upright) * 10.0, 7.837_347_44, 1e-4);
    assert!(solve(&heavy(7.8), &upright).is_ok());
}
