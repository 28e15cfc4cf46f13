//! Units of the trade: what a miner writes, read into SI, and SI printed in his units.

mod dimension;

pub use dimension::Dimension;
