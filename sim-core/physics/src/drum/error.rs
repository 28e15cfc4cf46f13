//! What can be wrong with the description of a drum.

/// Why a drum or its feed was refused. All of these are found when the drum is built, not in a trial.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DrumError {
    /// More points than the fixed arrays hold.
    #[error("{what}: {found} is more than the {most} that a drum can carry; use fewer size classes")]
    TooMany {
        /// What there is too much of.
        what: &'static str,
        /// Number given.
        found: usize,
        /// Largest number.
        most: usize,
    },
    /// A value outside what makes sense.
    #[error("{what} is {value}, but must be {must}")]
    BadValue {
        /// Name of the value, with its unit.
        what: &'static str,
        /// Value given.
        value: f64,
        /// What would be right.
        must: &'static str,
    },
    /// Lists that belong together differ in length.
    #[error("{what}: lists of {first} and {second} entries belong together and must be of one length")]
    Unequal {
        /// What the lists describe.
        what: &'static str,
        /// Length of the first.
        first: usize,
        /// Length of the second.
        second: usize,
    },
}
