//! The field log: what was seen on the running plant, dated, with the settings of the day.
//!
//! ```text
//! log.toml ──toml_file──┐
//!                       ├──> one sheet of rows, entries ──read──> cases (date, settings, plant) with their evidence
//! log.csv, .xlsx ─sheet─┘
//! ```
//! Both forms have the same columns ([`columns`]) and end as the same rows, so that each observation is read by one piece of code.
//! A log is read, never written, but for the template that `new` makes.

pub mod columns;
pub mod entry;
mod file;
mod raw;
mod read;
mod sheet_file;
pub mod template;
mod toml_file;

pub use file::{LogFile, open};
pub use read::{Case, FieldLog, read};
