//! The figures of a result, each with its finding in words, its text for those who cannot see it, and its numbers.
//!
//! | file | what it does |
//! |---|---|
//! | `render` | the list of figures, to SVG and PNG in memory |
//! | `style` | fonts, greys, lines and hatches |
//! | `sheet` | a sheet with a title, on which a figure is drawn |
//! | `axis` | a frame with a logarithmic size axis or a plain one |
//! | `ground` | figures of the samples |
//! | `curve_sheet` | curves that a stage draws of its middle case |
//! | `pump_curve`, `hole_flows`, `water_ways` | figures of the water side |
//! | `curves`, `difference`, `map`, `tornado` | figures of several plants on the same ground |
//! | `tuning`, `before_after`, `recovery_before_after` | what a field log has taught: constants, observations, recovery |
//! | the others | one figure each |

mod axis;
pub mod bed_depth;
pub mod before_after;
mod curve_sheet;
pub mod curves;
pub mod difference;
pub mod drum_power;
pub mod gold_path;
pub mod gradation;
pub mod ground;
pub mod hole_flows;
pub mod in_short;
pub mod losses;
pub mod map;
pub mod pond_days;
pub mod pump_curve;
pub mod recovery_before_after;
pub mod recovery_by_size;
mod render;
pub mod screen_fate;
pub mod scrub_time;
pub mod season_money;
mod sheet;
mod style;
pub mod tornado;
pub mod tuning;
pub mod water;
pub mod water_ways;

pub use render::{Figure, FigureError, all, all_vectors, vectors};

#[cfg(test)]
pub mod example;
#[cfg(test)]
mod tests;
