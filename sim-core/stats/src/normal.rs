//! The normal distribution: density, probability below and above, quantile.

use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::math::{erfc, exp, ln};

/// 1/sqrt(2 pi), exact constant rounded to f64.
const INV_SQRT_TWO_PI: f64 = 0.398_942_280_401_432_7;

/// z below which 90 % of a standard normal lies; `quantile(0.9)`.
pub const Z_90: f64 = 1.281_551_565_544_600_4;

/// z below which 97.5 % of a standard normal lies: the two-sided 95 % factor.
pub const Z_975: f64 = 1.959_963_984_540_054;

/// Density of the standard normal: phi(z) = exp(-z^2/2)/sqrt(2 pi).
///
/// Any finite z; underflows to 0 beyond |z| = 38. Source: standard result.
#[inline]
pub fn density(z: f64) -> f64 {
    INV_SQRT_TWO_PI * exp(-0.5 * z * z)
}

/// Probability that a standard normal lies at or below z: Phi(z) = erfc(-z/sqrt 2)/2.
///
/// Full relative accuracy in the lower tail. Source: standard result.
#[inline]
pub fn cdf(z: f64) -> f64 {
    0.5 * erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

/// Probability that a standard normal lies above z: 1 - Phi(z), with full relative accuracy in the upper tail.
#[inline]
pub fn upper_tail(z: f64) -> f64 {
    cdf(-z)
}

/// z with Phi(z) = p.
///
/// Rational approximations in three ranges of p; relative error about 1e-16. Source: Wichura 1988, algorithm AS 241
/// (PPND16), Applied Statistics 37, 477-484; coefficients from memory, checked by inversion to 1e-14.
///
/// `p` in (0, 1); 0 and 1 give -infinity and +infinity, anything else outside gives NaN.
///
/// ```
/// let z = washgraph_stats::normal::quantile(0.975);
/// assert!((z - 1.959_963_984_540_054).abs() < 1e-14);
/// ```
#[inline]
pub fn quantile(p: f64) -> f64 {
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        return central(q);
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    if !(tail > 0.0) {
        return if tail == 0.0 { q.signum() * f64::INFINITY } else { f64::NAN };
    }
    let z = far(tail);
    if q < 0.0 { -z } else { z }
}

/// z with 1 - Phi(z) = tail, for tails too small to be written as 1 - p.
///
/// Same source and range as [`quantile`].
pub fn quantile_upper(tail: f64) -> f64 {
    -quantile(tail)
}

/// Value of a polynomial with coefficients from the constant term up.
#[inline]
fn polynomial(c: &[f64; 8], x: f64) -> f64 {
    c[0] + x * (c[1] + x * (c[2] + x * (c[3] + x * (c[4] + x * (c[5] + x * (c[6] + x * c[7]))))))
}

/// AS 241, |p - 0.5| <= 0.425.
#[inline]
fn central(q: f64) -> f64 {
    const A: [f64; 8] = [
        3.387_132_872_796_366_608,
        133.141_667_891_784_377_45,
        1_971.590_950_306_551_442_7,
        13_731.693_765_509_461_125,
        45_921.953_931_549_871_457,
        67_265.770_927_008_700_853,
        33_430.575_583_588_128_105,
        2_509.080_928_730_122_672_7,
    ];
    const B: [f64; 8] = [
        1.0,
        42.313_330_701_600_911_252,
        687.187_007_492_057_908_3,
        5_394.196_021_424_751_107_7,
        21_213.794_301_586_595_867,
        39_307.895_800_092_710_61,
        28_729.085_735_721_942_674,
        5_226.495_278_852_854_561,
    ];
    let r = 0.180_625 - q * q;
    q * polynomial(&A, r) / polynomial(&B, r)
}

/// AS 241, tail probability below 0.075; returns the positive z.
#[inline]
fn far(tail: f64) -> f64 {
    const C: [f64; 8] = [
        1.423_437_110_749_683_577_34,
        4.630_337_846_156_545_295_9,
        5.769_497_221_460_691_405_5,
        3.647_848_324_763_204_605_04,
        1.270_458_252_452_368_382_58,
        2.417_807_251_774_506_117_7e-1,
        2.272_384_498_926_918_458_33e-2,
        7.745_450_142_783_414_076_4e-4,
    ];
    const D: [f64; 8] = [
        1.0,
        2.053_191_626_637_758_821_87,
        1.676_384_830_183_803_849_4,
        6.897_673_349_851_000_045_5e-1,
        1.481_039_764_274_800_745_9e-1,
        1.519_866_656_361_645_719_66e-2,
        5.475_938_084_995_344_946e-4,
        1.050_750_071_644_416_843_24e-9,
    ];
    const E: [f64; 8] = [
        6.657_904_643_501_103_777_2,
        5.463_784_911_164_114_369_9,
        1.784_826_539_917_291_335_8,
        2.965_605_718_285_048_912_3e-1,
        2.653_218_952_657_612_309_3e-2,
        1.242_660_947_388_078_438_6e-3,
        2.711_555_568_743_487_578_15e-5,
        2.010_334_399_292_288_132_65e-7,
    ];
    const F: [f64; 8] = [
        1.0,
        5.998_322_065_558_879_376_9e-1,
        1.369_298_809_227_358_053_1e-1,
        1.487_536_129_085_061_485_25e-2,
        7.868_691_311_456_132_591e-4,
        1.846_318_317_510_054_681_8e-5,
        1.421_511_758_316_445_888_7e-7,
        2.044_263_103_389_939_785_64e-15,
    ];
    let r = (-ln(tail)).sqrt();
    if r <= 5.0 {
        let x = r - 1.6;
        polynomial(&C, x) / polynomial(&D, x)
    } else {
        let x = r - 5.0;
        polynomial(&E, x) / polynomial(&F, x)
    }
}

/// Checks of the normal distribution.
pub const CHECKS: &[Check] =
    &[Check::new("normal-quantile-inverts-cdf", "normal quantile, Wichura AS 241", || cdf(quantile(1e-9)))
        .against(Kind::Identity, "Phi(quantile(p)) = p, here at p = 1e-9", Status::Computed)
        .value(1e-9, "-")
        .within(Band::Relative(1e-13))];

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{ContinuousCDF, Normal};

    #[test]
    fn identity_quantile_inverts_the_cdf_over_300_decades() {
        for decade in 1..300 {
            let p = washgraph_units::math::pow(10.0, -f64::from(decade));
            let back = cdf(quantile(p));
            assert!((back / p - 1.0).abs() < 4e-13 * (1.0 + f64::from(decade) / 10.0), "p = {p}: {back}");
        }
        for i in 1..2000 {
            let p = f64::from(i) / 2000.0;
            assert!((cdf(quantile(p)) - p).abs() < 3e-16, "p = {p}");
            assert!((quantile(p) + quantile(1.0 - p)).abs() < 1e-12);
        }
    }

    #[test]
    fn identity_agrees_with_statrs() {
        let oracle = Normal::new(0.0, 1.0).unwrap();
        for i in -800..=800 {
            let z = f64::from(i) / 100.0;
            assert!((cdf(z) / oracle.cdf(z) - 1.0).abs() < 1e-9, "z = {z}");
        }
        assert_eq!(quantile(0.0), f64::NEG_INFINITY);
        assert_eq!(quantile(1.0), f64::INFINITY);
        assert!(quantile(1.5).is_nan() && quantile(f64::NAN).is_nan());
        assert!((quantile(0.9) - Z_90).abs() < 1e-15);
        assert!((quantile(0.975) - Z_975).abs() < 1e-15);
    }
}
