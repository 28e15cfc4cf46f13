//! Elementary functions that give the same bits on every machine.
//!
//! The functions of `std` call the C library of the machine, which picks a variant by processor. These are the pure-Rust
//! `libm` ones, so that the same seed gives the same bytes everywhere. (`sqrt` is exact by IEEE 754 and needs no wrapper.)
//! The two that a trial calls most, e^x and ln x, are our own: additions and multiplications only, short enough to be put in
//! place of the call, within four units of the last place of the library's (tested).

/// Adding this to a number below 2^51 rounds it to a whole number, kept in the low bits: 1.5 x 2^52.
const ROUNDING: f64 = 6_755_399_441_055_744.0;
/// Bits of sqrt(1/2): logarithms are taken of a fraction between sqrt(1/2) and sqrt 2.
const SQRT_HALF_BITS: i64 = 0x3fe6_a09e_667f_3bcd;
const EXPONENT_BIAS: u64 = 1023;
const FRACTION_BITS: u32 = 52;
/// ln 2 in two parts: whole numbers up to 2^11 times the first are exact.
const LN_2_HIGH: f64 = 6.931_471_803_691_238_164_90e-1;
const LN_2_LOW: f64 = 1.908_214_929_270_587_700_02e-10;
/// Exponents up to this give normal numbers; the library takes the rest.
const PLAIN_EXPONENT: f64 = 700.0;

/// e^x.
///
/// x = k ln 2 + s; e^s by its Taylor series to s^12 (the rest is below 2e-16 of it), terms paired so that the machine need not
/// wait for one before it starts the next.
#[inline]
pub fn exp(x: f64) -> f64 {
    if !(x.abs() < PLAIN_EXPONENT) {
        return libm::exp(x);
    }
    let rounded = x * core::f64::consts::LOG2_E + ROUNDING;
    let k = rounded - ROUNDING;
    let s = (x - k * LN_2_HIGH) - k * LN_2_LOW;
    let scale = f64::from_bits(rounded.to_bits().wrapping_add(EXPONENT_BIAS) << FRACTION_BITS);
    let s2 = s * s;
    let s4 = s2 * s2;
    let low = (1.0 / 2.0 + s * (1.0 / 6.0)) + s2 * (1.0 / 24.0 + s * (1.0 / 120.0));
    let middle = (1.0 / 720.0 + s * (1.0 / 5_040.0)) + s2 * (1.0 / 40_320.0 + s * (1.0 / 362_880.0));
    let high = (1.0 / 3_628_800.0 + s * (1.0 / 39_916_800.0)) + s2 * (1.0 / 479_001_600.0);
    scale + scale * (s + s2 * (low + s4 * (middle + s4 * high)))
}
/// e^x - 1 without loss of digits for small x.
#[inline]
pub fn expm1(x: f64) -> f64 {
    libm::expm1(x)
}
/// Natural logarithm.
///
/// x = 2^k f; ln f = 2 artanh((f - 1)/(f + 1)), at most 0.172 inside: odd series to the 19th power, the rest below 1e-17.
#[inline]
pub fn ln(x: f64) -> f64 {
    if !(f64::MIN_POSITIVE..f64::INFINITY).contains(&x) {
        return libm::log(x);
    }
    let bits = x.to_bits() as i64;
    let k = (bits - SQRT_HALF_BITS) >> FRACTION_BITS;
    let fraction = f64::from_bits((bits - (k << FRACTION_BITS)) as u64);
    let k = k as f64;
    let s = (fraction - 1.0) / (fraction + 1.0);
    let z = s * s;
    let z2 = z * z;
    let low = (1.0 / 3.0 + z * (1.0 / 5.0)) + z2 * (1.0 / 7.0 + z * (1.0 / 9.0));
    let high = (1.0 / 11.0 + z * (1.0 / 13.0)) + z2 * (1.0 / 15.0 + z * (1.0 / 17.0));
    let z4 = z2 * z2;
    k * LN_2_HIGH + (2.0 * s + (2.0 * s * z * (low + z4 * (high + z4 * (1.0 / 19.0))) + k * LN_2_LOW))
}
/// ln(1 + x) without loss of digits for small x.
#[inline]
pub fn ln_1p(x: f64) -> f64 {
    libm::log1p(x)
}
/// Base-10 logarithm.
#[inline]
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}
/// x^y.
#[inline]
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}
/// Cube root.
#[inline]
pub fn cbrt(x: f64) -> f64 {
    libm::cbrt(x)
}
/// Sine of an angle in radians.
#[inline]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}
/// Cosine of an angle in radians.
#[inline]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}
/// Tangent of an angle in radians.
#[inline]
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}
/// Arc sine, radians.
#[inline]
pub fn asin(x: f64) -> f64 {
    libm::asin(x)
}
/// Arc cosine, radians.
#[inline]
pub fn acos(x: f64) -> f64 {
    libm::acos(x)
}
/// Arc tangent, radians.
#[inline]
pub fn atan(x: f64) -> f64 {
    libm::atan(x)
}
/// Hyperbolic tangent.
#[inline]
pub fn tanh(x: f64) -> f64 {
    libm::tanh(x)
}
/// Error function.
#[inline]
pub fn erf(x: f64) -> f64 {
    libm::erf(x)
}
/// Complementary error function.
#[inline]
pub fn erfc(x: f64) -> f64 {
    libm::erfc(x)
}
/// Natural logarithm of the gamma function, for x > 0.
#[inline]
pub fn ln_gamma(x: f64) -> f64 {
    libm::lgamma(x)
}

#[cfg(test)]
mod tests {
    use super::{exp, ln};

    #[test]
    fn identity_own_exponential_and_logarithm_are_the_library_ones() {
        let mut x = 1e-300;
        while x < 1e300 {
            let l = libm::log(x);
            assert!((ln(x) - l).abs() <= 9e-16 * l.abs(), "ln {x}");
            if x < 699.0 {
                for v in [x, -x] {
                    assert!((exp(v) / libm::exp(v) - 1.0).abs() <= 9e-16, "exp {v}");
                }
            }
            x *= if x > 1e-3 && x < 1e3 { 1.000_7 } else { 1.07 };
        }
        assert_eq!([exp(0.0), ln(1.0)], [1.0, 0.0]);
        assert!((ln(1.0 + 1e-12) / 1.000_088_900_581_841e-12 - 1.0).abs() < 1e-12);
        // Ends of the range, and beyond: what the library says.
        for v in [f64::NEG_INFINITY, -800.0, -740.0, 705.0, 800.0, f64::INFINITY] {
            assert_eq!(exp(v), libm::exp(v), "{v}");
        }
        assert_eq!([ln(0.0), ln(f64::INFINITY), ln(1e-310)], [f64::NEG_INFINITY, f64::INFINITY, libm::log(1e-310)]);
        assert!(exp(f64::NAN).is_nan() && ln(f64::NAN).is_nan() && ln(-1.0).is_nan());
    }
}
