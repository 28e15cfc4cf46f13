//! Answers as data: what would mend the water, what to measure next, what is wrong. Commands, report and page word them and
//! reckon nothing of their own.
//!
//! A variant of a scenario is built by [`plants::base::Base::variant`]; several run on the same trials ([`plants::contest`]), those far
//! behind after a pilot run left out. A symptom ([`diagnose`]) is readings that move and by how much counts, a cause a setting moved in
//! three grades; trials with the cause are compared with the same trials without it.

pub mod best;
pub mod changes;
pub mod diagnose;
pub mod holes;
pub mod next;
pub mod plants;
pub mod water;
