//! Elementary functions that give the same bits on every machine.
//!
//! The functions of `std` call the C library of the machine, which picks a variant by processor. These are the pure-Rust
//! `libm` ones, so that the same seed gives the same bytes everywhere. (`sqrt` is exact by IEEE 754 and needs no wrapper.)

/// e^x.
#[inline]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}
/// e^x - 1 without loss of digits for small x.
#[inline]
pub fn expm1(x: f64) -> f64 {
    libm::expm1(x)
}
/// Natural logarithm.
#[inline]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
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
