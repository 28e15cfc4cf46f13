//! The explicit list of the standard kinds.
