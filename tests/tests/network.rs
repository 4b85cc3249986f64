//! Least squares and what they suspect, held against NIST's certified values and against simulation.

use bobbinwright_estimate::network::{Adjusted, Equation, adjust};
use bobbinwright_estimate::{Doubt, Doubts, Estimate, Length, Origin};
use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

type Causes = Doubts<()>;

/// Readings of unit weight: rows of factors, and values.
fn fit(rows: &[Vec<f64>], values: &[f64]) -> Adjusted {
    let mut doubts = Causes::default();
    let equations: Vec<Equation> = rows
        .iter()
        .zip(values)
        .map(|(row, value)| Equation {
            terms: row.iter().copied().enumerate().collect(),
            value: read(&mut doubts, *value, 1.0),
        })
        .collect();
    adjust(&equations, rows[0].len()).unwrap()
}

fn read(doubts: &mut Causes, mm: f64, u: f64) -> Estimate {
    let doubt = Doubt::new(None, Origin::Resolution, f64::INFINITY);
    doubts.enter(doubt, Length::from_mm(u)).moved_to(Length::from_mm(mm))
}

/// Standard deviation of one reading by what is left over, as NIST's are.
fn residual_deviation(adjusted: &Adjusted, values: usize) -> f64 {
    let squares: f64 = adjusted.leftovers.iter().map(|l| l.value.value().as_mm()).map(|v| v * v).sum();
    (squares / (values - adjusted.unknowns.len()) as f64).sqrt()
}

fn near(found: f64, certified: f64, relative: f64) {
    assert!((found - certified).abs() <= relative * certified.abs(), "{found} is not {certified}");
}

/// NIST `StRD`, linear regression, `Norris` (certified values, read from public test files that quote them).
#[test]
fn norris() {
    let y = [
        0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8,
        339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9,
        10.2, 117.6, 228.9, 668.4, 449.2, 0.2,
    ];
    let x = [
        0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9,
        338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0,
        11.1, 118.3, 229.2, 669.1, 448.9, 0.5,
    ];
    let rows: Vec<Vec<f64>> = x.iter().map(|x| vec![1.0, *x]).collect();
    let adjusted = fit(&rows, &y);
    let s = residual_deviation(&adjusted, y.len());
    near(s * s * 34.0, 26.617_398_529_422_4, 1e-10);
    let certified =
        [(-0.262_323_073_774_029, 0.232_818_234_301_152), (1.002_116_818_020_45, 0.429_796_848_199_937e-3)];
    for (unknown, (value, deviation)) in adjusted.unknowns.iter().zip(certified) {
        near(unknown.value().as_mm(), value, 1e-11);
        near(unknown.uncertainty().as_mm() * s, deviation, 1e-10);
    }
    // Not certified, "computed" in a public test file.
    let shared = adjusted.unknowns[0].covariance(&adjusted.unknowns[1]) * s * s;
    near(shared, -7.743_275_363_395_70e-5, 1e-9);
}

/// NIST `StRD` `Longley` (data as statistics libraries have it, from memory): columns so alike that normal equations lose most digits.
#[test]
fn longley() {
    let y = [
        60_323.0, 61_122.0, 60_171.0, 61_187.0, 63_221.0, 63_639.0, 64_989.0, 63_761.0, 66_019.0, 67_857.0,
        68_169.0, 66_513.0, 68_655.0, 69_564.0, 69_331.0, 70_551.0,
    ];
    let x = [
        [83.0, 234_289.0, 2356.0, 1590.0, 107_608.0],
        [88.5, 259_426.0, 2325.0, 1456.0, 108_632.0],
        [88.2, 258_054.0, 3682.0, 1616.0, 109_773.0],
        [89.5, 284_599.0, 3351.0, 1650.0, 110_929.0],
        [96.2, 328_975.0, 2099.0, 3099.0, 112_075.0],
        [98.1, 346_999.0, 1932.0, 3594.0, 113_270.0],
        [99.0, 365_385.0, 1870.0, 3547.0, 115_094.0],
        [100.0, 363_112.0, 3578.0, 3350.0, 116_219.0],
        [101.2, 397_469.0, 2904.0, 3048.0, 117_388.0],
        [104.6, 419_180.0, 2822.0, 2857.0, 118_734.0],
        [108.4, 442_769.0, 2936.0, 2798.0, 120_445.0],
        [110.8, 444_546.0, 4681.0, 2637.0, 121_950.0],
        [112.6, 482_704.0, 3813.0, 2552.0, 123_366.0],
        [114.2, 502_601.0, 3931.0, 2514.0, 125_368.0],
        [115.7, 518_173.0, 4806.0, 2572.0, 127_852.0],
        [116.9, 554_894.0, 4007.0, 2827.0, 130_081.0],
    ];
    let rows: Vec<Vec<f64>> = x
        .iter()
        .enumerate()
        .map(|(i, row)| [1.0].into_iter().chain(row.iter().copied()).chain([1947.0 + i as f64]).collect())
        .collect();
    let adjusted = fit(&rows, &y);
    let certified = [
        -3_482_258.634_595_82,
        15.061_872_271_373_3,
        -0.035_819_179_292_591_0,
        -2.020_229_803_816_83,
        -1.033_226_867_173_59,
        -0.051_104_105_653_580_7,
        1_829.151_464_613_55,
    ];
    for (unknown, certified) in adjusted.unknowns.iter().zip(certified) {
        near(unknown.value().as_mm(), certified, 1e-7);
    }
    let s = residual_deviation(&adjusted, y.len());
    for (unknown, deviation) in adjusted.unknowns.iter().zip([890_420.383_607_373, 84.914_925_774_766_9]) {
        near(unknown.uncertainty().as_mm() * s, deviation, 1e-7);
    }
}

/// NIST `StRD` `Wampler1` and `Wampler2`: exact polynomials of the fifth degree.
#[test]
fn wampler() {
    for base in [1.0, 0.1] {
        let coefficients: Vec<f64> = powers(base);
        let rows: Vec<Vec<f64>> = (0..=20).map(|x| powers(f64::from(x))).collect();
        let values: Vec<f64> =
            rows.iter().map(|row| row.iter().zip(&coefficients).map(|(a, b)| a * b).sum()).collect();
        for (unknown, certified) in fit(&rows, &values).unknowns.iter().zip(&coefficients) {
            near(unknown.value().as_mm(), *certified, 1e-6);
        }
    }
}

/// From the noughth to the fifth.
fn powers(x: f64) -> Vec<f64> {
    std::iter::successors(Some(1.0), |power| Some(power * x)).take(6).collect()
}

/// A string's place from two readings that share its gauge: what they have in common counts once. Closed form: with
/// variances a + c, b + c and covariance c the best mean weighs them as b to a, and its variance is c + a b / (a + b).
#[test]
fn what_readings_share_is_not_averaged_out() {
    let mut doubts = Causes::default();
    let (shared, one, other) =
        (read(&mut doubts, 0.0, 0.1), read(&mut doubts, 10.0, 0.03), read(&mut doubts, 10.1, 0.06));
    let equation = |value: Estimate| Equation { terms: vec![(0, 1.0)], value };
    let adjusted = adjust(&[equation(one + shared.clone()), equation(other + shared)], 1).unwrap();
    let (a, b, c) = (0.0009, 0.0036, 0.01);
    near(adjusted.unknowns[0].value().as_mm(), 10.0 + 0.1 * a / (a + b), 1e-9);
    near(adjusted.unknowns[0].uncertainty().as_mm(), f64::sqrt(c + a * b / (a + b)), 1e-6);
}

/// An unknown that nothing ties, and two that hang on each other only.
#[test]
fn what_is_loose_is_named() {
    let mut doubts = Causes::default();
    let mut equation =
        |terms: &[(usize, f64)]| Equation { terms: terms.to_vec(), value: read(&mut doubts, 1.0, 0.1) };
    let tied = equation(&[(0, 1.0)]);
    let pair = equation(&[(1, 1.0), (2, -1.0)]);
    let again = equation(&[(1, 1.0), (2, -1.0)]);
    let loose = adjust(&[tied.clone(), pair, again], 3).unwrap_err();
    assert!(loose.0 == 1 || loose.0 == 2, "{loose:?}");
    assert_eq!(adjust(&[tied], 2).unwrap_err().0, 1);
}

/// A sheet like a bench's: four strings, each spacing, the spread over all and over three, and both ends' distances from sides
/// whose length is read.
fn sheet(doubts: &mut Causes, errors: &[f64], slip: Option<(usize, f64)>) -> Vec<Equation> {
    // Unknown: length, and four places from its middle.
    let rows: [&[(usize, f64)]; 10] = [
        &[(0, 1.0)],
        &[(1, 1.0), (2, -1.0)],
        &[(2, 1.0), (3, -1.0)],
        &[(3, 1.0), (4, -1.0)],
        &[(1, 1.0), (4, -1.0)],
        &[(1, 1.0), (3, -1.0)],
        &[(2, 1.0), (4, -1.0)],
        &[(0, 0.5), (1, -1.0)],
        &[(0, 0.5), (4, 1.0)],
        &[(0, 0.5), (2, 1.0)],
    ];
    let truth = [92.0, 24.0, 8.0, -8.0, -24.0];
    let read = |(i, row): (usize, &&[(usize, f64)])| {
        let value: f64 = row.iter().map(|(u, f)| truth[*u] * f).sum();
        let off = slip.filter(|(reading, _)| *reading == i).map_or(0.0, |(_, off)| off);
        Equation { terms: row.to_vec(), value: read(doubts, value + 0.04 * errors[i] + off, 0.04) }
    };
    rows.iter().enumerate().map(read).collect()
}

/// Honest sheets are accused as often as was said; slips of the least size that shows (Baarda: 80 % at one in a thousand)
/// are found at least as often as the larger share of one in a hundred for the sheet allows, and mostly the right reading is
/// among those that are named.
#[test]
fn slips_show_and_honest_sheets_are_not_accused() {
    const SEEDS: u32 = 4000;
    let mut rng = ChaCha8Rng::seed_from_u64(20);
    let mut draw = || (0..10).map(|_| StandardNormal.sample(&mut rng)).collect::<Vec<f64>>();
    let mut accused = 0;
    for _ in 0..SEEDS {
        let mut doubts = Causes::default();
        let adjusted = adjust(&sheet(&mut doubts, &draw(), None), 5).unwrap();
        accused += u32::from(adjusted.suspects(&doubts, |_| true, 0.01).is_some());
    }
    let share = f64::from(accused) / f64::from(SEEDS);
    // Binomial: 0.01 ± 3 · 0.0016.
    assert!((0.005..0.015).contains(&share), "{share}");
    let (mut found, mut named, mut tried) = (0, 0, 0);
    for seed in 0..SEEDS {
        let reading = seed as usize % 10;
        let mut doubts = Causes::default();
        let honest = adjust(&sheet(&mut doubts, &[0.0; 10], None), 5).unwrap();
        let Some(least) = honest.leftovers[reading].least_slip() else { panic!("{reading} shows nothing") };
        let mut doubts = Causes::default();
        let equations = sheet(&mut doubts, &draw(), Some((reading, least.as_mm())));
        let adjusted = adjust(&equations, 5).unwrap();
        tried += 1;
        if let Some(suspects) = adjusted.suspects(&doubts, |_| true, 0.01) {
            found += 1;
            named += u32::from(suspects.among.iter().take(3).any(|i| *i == reading));
        }
    }
    let (found, named) = (f64::from(found) / f64::from(tried), f64::from(named) / f64::from(found));
    assert!((0.8..0.95).contains(&found), "{found}");
    assert!(named > 0.7, "{named}");
    // Redundancies add up to ten readings less five unknowns.
    let mut doubts = Causes::default();
    let adjusted = adjust(&sheet(&mut doubts, &[0.0; 10], None), 5).unwrap();
    let all: f64 = adjusted.leftovers.iter().map(|l| l.redundancy).sum();
    assert!((all - 5.0).abs() < 1e-9, "{all}");
}
