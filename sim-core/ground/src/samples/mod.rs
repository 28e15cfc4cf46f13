//! What the samples of a ground come to: in numbers for any reader, and what the next one is worth in money.

pub mod money;
pub mod summary;
