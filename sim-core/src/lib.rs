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
//! | [`plumbing`] | pumps, hoses and outlets of a scenario as one manifold each, solved trial by trial |
//! | [`stats`] | distributions, quantiles, posteriors, percentiles |
//! | [`money`] | what gold, fuel, hours and clean-ups are worth |
//! | [`drum`] | transport along a rotating drum |
//! | [`setting`], [`scenario`], [`problem`] | from the text of a scenario to a plant that cannot be wrong |
//! | [`variant`] | one setting by its path: found, read, changed in the text of a scenario |
//! | [`field`] | field sheets: sieve tests, stone counts, pans; what they say |
//! | [`draw`], [`joint`] | addressed random numbers, the list of uncertain inputs, inputs drawn together |
//! | [`tune`] | what the plant's own results say of the inputs |
//! | [`ground`] | what is known of the ground, and one draw of it |
//! | [`stream`], [`stage`], [`registry`], [`plant`] | what flows, the contract of stages, the list of kinds, the graph |
//! | [`shop`] | what the parts of a plant tell the shop that builds them |
//! | [`trial`], [`need_met`], [`result`] | the trial loop, water needed against water at hand, and what it comes to |
//! | [`paired`] | several plants on the same ground; what the result hangs on |
//! | [`formula`], [`check`] | the handbook entries and the published-value checks, each kept beside its formula |
//! | [`math`], [`constants`] | elementary functions with the same bits on every machine; physical constants |

pub mod check;
pub mod constants;
pub mod curves;
pub mod draw;
pub mod drum;
pub mod field;
mod first_numbers;
pub mod formula;
pub mod ground;
pub mod hydraulics;
pub mod joint;
pub mod math;
pub mod money;
pub mod need_met;
pub mod paired;
pub mod particle;
pub mod plant;
pub mod plumbing;
pub mod problem;
pub mod quantity;
pub mod registry;
pub mod result;
pub mod return_water;
pub mod scenario;
pub mod setting;
pub mod shop;
pub mod size;
pub mod stage;
pub mod stats;
pub mod stream;
pub mod trial;
pub mod tune;
pub mod variant;
