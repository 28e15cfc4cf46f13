//! What can be wrong with a spread, in plain words.

use thiserror::Error;

/// Why a spread cannot be what was asked for.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum SpreadError {
    /// A number is NaN or infinite.
    #[error("{what} must be an ordinary number, not {value}")]
    NotFinite {
        /// Which number.
        what: &'static str,
        /// What was given.
        value: f64,
    },
    /// A number must be above zero.
    #[error("{what} must be above zero, but it is {value}")]
    NotPositive {
        /// Which number.
        what: &'static str,
        /// What was given.
        value: f64,
    },
    /// Two numbers stand in the wrong order.
    #[error("{small_name} ({small}) must not be above {large_name} ({large})")]
    WrongOrder {
        /// Name of the number that should be the smaller.
        small_name: &'static str,
        /// Its value.
        small: f64,
        /// Name of the number that should be the larger.
        large_name: &'static str,
        /// Its value.
        large: f64,
    },
    /// Two numbers that must differ are the same.
    #[error("{low_name} and {high_name} are both {value}: give a fixed value instead, or set them apart")]
    NoWidth {
        /// Name of the lower number.
        low_name: &'static str,
        /// Name of the upper number.
        high_name: &'static str,
        /// Their common value.
        value: f64,
    },
    /// The limits cut away almost the whole distribution.
    #[error("the limits {low} to {high} leave only {share:.1e} of the distribution: widen them or move its middle")]
    LimitsTooTight {
        /// Lower limit.
        low: f64,
        /// Upper limit.
        high: f64,
        /// Share of the unlimited distribution between them.
        share: f64,
    },
}

/// An ordinary number.
pub(super) fn finite(what: &'static str, value: f64) -> Result<(), SpreadError> {
    if value.is_finite() { Ok(()) } else { Err(SpreadError::NotFinite { what, value }) }
}

/// A number above zero.
pub(super) fn positive(what: &'static str, value: f64) -> Result<(), SpreadError> {
    finite(what, value)?;
    if value > 0.0 { Ok(()) } else { Err(SpreadError::NotPositive { what, value }) }
}

/// Two numbers in order, or the same.
pub(super) fn ordered(
    small_name: &'static str,
    small: f64,
    large_name: &'static str,
    large: f64,
) -> Result<(), SpreadError> {
    if small <= large { Ok(()) } else { Err(SpreadError::WrongOrder { small_name, small, large_name, large }) }
}

/// Two numbers in order and different.
pub(super) fn apart(low_name: &'static str, low: f64, high_name: &'static str, high: f64) -> Result<(), SpreadError> {
    ordered(low_name, low, high_name, high)?;
    if low < high { Ok(()) } else { Err(SpreadError::NoWidth { low_name, high_name, value: low }) }
}
