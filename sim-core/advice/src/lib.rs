//! Answers as data: what would mend the water, what to measure next, what is wrong. Commands, report and page word them and
//! reckon nothing of their own.

pub mod best;
pub mod changes;
pub mod diagnose;
pub mod holes;
pub mod next;
pub mod plants;
pub mod water;
