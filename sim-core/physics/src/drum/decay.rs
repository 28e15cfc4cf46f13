//! e^-x over a slice, without branches, so that the compiler works on several classes at once.
//!
//! The drum takes one such step per cell and class, some thousands per trial; the library function, called one value at a
//! time, would be half of the cost of a trial. Same bits on every machine: additions and multiplications only.

/// 1/ln 2.
const LOG2_E: f64 = core::f64::consts::LOG2_E;
/// ln 2 to 32 bits, so that its product with a small integer is exact.
const LN_2_HIGH: f64 = 0.693_147_180_369_123_816_490;
/// Rest of ln 2.
const LN_2_LOW: f64 = 1.908_214_929_270_587_7e-10;
/// 1.5 x 2^52: adding it rounds a small number to an integer, left in the low bits.
const ROUNDER: f64 = 6_755_399_441_055_744.0;
/// Exponent at which the result, 1e-304, is as good as nothing.
const LARGEST: f64 = 700.0;

/// e^-x for x >= 0, relative error below 1e-11. Above x = 700 the value at 700 (1e-304) is returned; a NaN gives that too.
///
/// Method: x = k ln 2 - r with |r| <= 0.35, Taylor series of e^r to r^9, exponent bits set to -k.
#[inline(always)]
pub fn decay(x: f64) -> f64 {
    let x = if x < LARGEST { x } else { LARGEST };
    let shifted = x * LOG2_E + ROUNDER;
    let k = shifted - ROUNDER;
    let r = (k * LN_2_HIGH - x) + k * LN_2_LOW;
    let high = 1.0 / 362_880.0 * r + 1.0 / 40_320.0;
    let high = (high * r + 1.0 / 5_040.0) * r + 1.0 / 720.0;
    let high = (high * r + 1.0 / 120.0) * r + 1.0 / 24.0;
    let high = (high * r + 1.0 / 6.0) * r + 0.5;
    let series = (high * r + 1.0) * r + 1.0;
    let whole = shifted.to_bits().wrapping_sub(ROUNDER.to_bits());
    series * f64::from_bits(1023_u64.wrapping_sub(whole) << 52)
}

/// 1/(1 + x + x^2/2 + x^3/6): e^-x for a first guess, high by 0.8 % at x = 1, never negative.
#[inline(always)]
pub(crate) fn rough_decay(x: f64) -> f64 {
    1.0 / (1.0 + x * (1.0 + x * (0.5 + x * (1.0 / 6.0))))
}

/// (1 - e^-x)/x for x >= 0: share that is left, at the end of a step, of what was added evenly along it.
#[inline(always)]
pub fn mean_decay(x: f64, decay_of_x: f64) -> f64 {
    if x > 1e-4 { (1.0 - decay_of_x) / x } else { 1.0 - 0.5 * x }
}

#[cfg(test)]
mod tests {
    use super::*;
    use washgraph_units::math::exp;

    #[test]
    fn identity_equals_the_library_exponential() {
        let mut x = 0.0;
        while x < 600.0 {
            let e = exp(-x);
            assert!((decay(x) - e).abs() <= 1e-11 * e, "{x}");
            x = x * 1.003 + 1e-3;
        }
        assert_eq!(decay(0.0), 1.0);
        assert!(decay(f64::INFINITY) < 1e-300);
        assert!((rough_decay(1.0) / exp(-1.0) - 1.0).abs() < 0.02);
        assert!((mean_decay(2.0, exp(-2.0)) - (1.0 - exp(-2.0)) / 2.0).abs() < 1e-15);
    }
}
