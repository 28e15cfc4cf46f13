//! Elementary functions without branches or calls, for loops over several gold classes at once.
//!
//! The compiler can run two or four of them side by side, which calls into a library prevent. Only +, -, x, / and moves of
//! bits are used, so that every machine gives the same bits. Good to a few units in the last place (tested against
//! `sim_core::math`).

/// Classes taken side by side. More of them hide the waiting of one step for the next; 27 classes fill two rounds.
pub(crate) const LANES: usize = 16;

/// Adding this to a number below 2^51 rounds it to a whole number, kept in the low bits: 1.5 x 2^52.
const ROUNDING: f64 = 6_755_399_441_055_744.0;
/// 2^52, and its bits: a whole number below 2^52 in the low bits of it reads as 2^52 + that number.
const TWO_52: f64 = 4_503_599_627_370_496.0;
const TWO_52_BITS: u64 = 0x4330_0000_0000_0000;
/// Bits of sqrt(1/2): logarithms are taken of a fraction between sqrt(1/2) and sqrt 2.
const SQRT_HALF_BITS: u64 = 0x3fe6_a09e_667f_3bcd;
const EXPONENT_BIAS: u64 = 1023;
const FRACTION_BITS: u32 = 52;
/// Beyond this, e^x leaves the range of normal numbers; the sluice never needs more.
const MOST: f64 = 700.0;
/// ln 2 in two parts: whole numbers up to 2^11 times the first are exact.
const LN_2_HIGH: f64 = 6.931_471_803_691_238_164_90e-1;
const LN_2_LOW: f64 = 1.908_214_929_270_587_700_02e-10;

/// e^s - 1 for |s| up to ln 2/2, Taylor series to s^12 (the rest is below 2e-16 of it). Terms are paired, so that the
/// machine need not wait for one before it starts the next.
#[inline(always)]
fn expm1_small(s: f64) -> f64 {
    let s2 = s * s;
    let s4 = s2 * s2;
    let low = (1.0 / 2.0 + s * (1.0 / 6.0)) + s2 * (1.0 / 24.0 + s * (1.0 / 120.0));
    let middle = (1.0 / 720.0 + s * (1.0 / 5_040.0)) + s2 * (1.0 / 40_320.0 + s * (1.0 / 362_880.0));
    let high = (1.0 / 3_628_800.0 + s * (1.0 / 39_916_800.0)) + s2 * (1.0 / 479_001_600.0);
    s + s2 * (low + s4 * (middle + s4 * high))
}

/// e^x as 2^k and e^s - 1, x = k ln 2 + s. x is held within +-700.
#[inline(always)]
fn split_exp(x: f64) -> (f64, f64) {
    let x = x.clamp(-MOST, MOST);
    let rounded = x * core::f64::consts::LOG2_E + ROUNDING;
    let k = rounded - ROUNDING;
    let s = (x - k * LN_2_HIGH) - k * LN_2_LOW;
    let scale = f64::from_bits(rounded.to_bits().wrapping_add(EXPONENT_BIAS) << FRACTION_BITS);
    (scale, expm1_small(s))
}

/// e^x; outside +-700 the value at the nearer end.
#[inline(always)]
pub(crate) fn exp(x: f64) -> f64 {
    let (scale, p) = split_exp(x);
    scale + scale * p
}

/// 1 - e^-x without loss of digits for small x; above 700 it is 1.
#[inline(always)]
pub(crate) fn one_minus_exp_neg(x: f64) -> f64 {
    let (scale, p) = split_exp(-x);
    (1.0 - scale) - scale * p
}

/// ln x for finite x >= 1.
#[inline(always)]
pub(crate) fn ln_above_one(x: f64) -> f64 {
    let bits = x.to_bits();
    let k = bits.wrapping_sub(SQRT_HALF_BITS) >> FRACTION_BITS;
    let fraction = f64::from_bits(bits.wrapping_sub(k << FRACTION_BITS));
    let k = f64::from_bits(k | TWO_52_BITS) - TWO_52;
    // ln f = 2 artanh((f - 1)/(f + 1)), |.| <= 0.172: odd series, the rest below 1e-16.
    let s = (fraction - 1.0) / (fraction + 1.0);
    let z = s * s;
    let z2 = z * z;
    let z4 = z2 * z2;
    let low = (1.0 / 3.0 + z * (1.0 / 5.0)) + z2 * (1.0 / 7.0 + z * (1.0 / 9.0));
    let high = (1.0 / 11.0 + z * (1.0 / 13.0)) + z2 * (1.0 / 15.0 + z * (1.0 / 17.0));
    let p = low + z4 * high;
    k * LN_2_HIGH + (2.0 * s + (2.0 * s * z * p + k * LN_2_LOW))
}

/// A function of one number over all lanes. A loop of its own per function keeps the lanes independent of each other, so
/// that the machine works on several at once instead of waiting for one long chain.
#[inline(always)]
pub(crate) fn each<const N: usize>(mut x: [f64; N], f: impl Fn(f64) -> f64) -> [f64; N] {
    for v in &mut x {
        *v = f(*v);
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::math;

    #[test]
    fn identity_lanes_agree_with_the_elementary_functions() {
        let mut x = 1e-12;
        while x < 690.0 {
            assert!((exp(x) / math::exp(x) - 1.0).abs() < 1e-15, "exp {x}");
            assert!((exp(-x) / math::exp(-x) - 1.0).abs() < 1e-15, "exp -{x}");
            assert!((one_minus_exp_neg(x) / -math::expm1(-x) - 1.0).abs() < 2e-15, "expm1 {x}");
            assert!((ln_above_one(1.0 + x) - math::ln(1.0 + x)).abs() < 2e-15 * math::ln(1.0 + x).max(1e-3), "ln {x}");
            x *= 1.003;
        }
        assert_eq!(one_minus_exp_neg(0.0), 0.0);
        assert_eq!(one_minus_exp_neg(f64::INFINITY), 1.0);
        assert_eq!(exp(0.0), 1.0);
        assert_eq!(ln_above_one(1.0), 0.0);
        assert!((ln_above_one(1e300) / math::ln(1e300) - 1.0).abs() < 1e-15);
    }
}
