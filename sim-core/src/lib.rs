//! The engine of washgraph. It knows no particular stage: stages, drum sections and water outlets plug in from their own
//! crates.
//!
//! Rooms of this house, in the order in which a run passes through them:
//!
//! | module | what belongs there |
//! |---|---|
//! | [`quantity`] | units of the trade: parsing, printing |
//! | [`size`] | sieve series, the size grid, gradation curves |
//! | [`particle`] | water properties, settling and threshold laws, grain shape |
//! | [`hydraulics`] | orifices, pipes, open channels, ponds |
//! | [`stats`] | distributions, quantiles, posteriors, percentiles |
//! | [`money`] | what gold, fuel, hours and clean-ups are worth |
//! | [`drum`] | transport along a rotating drum |
//! | [`formula`], [`check`] | the handbook entries and the published-value checks, each kept beside its formula |
//! | [`math`], [`constants`] | elementary functions with the same bits on every machine; physical constants |

pub mod check;
pub mod constants;
pub mod drum;
pub mod formula;
pub mod hydraulics;
pub mod math;
pub mod money;
pub mod particle;
pub mod quantity;
pub mod size;
pub mod stats;
