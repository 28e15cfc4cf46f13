//! The scrubber as a section of the drum: a closed shell in which water and turning wear clay lumps.
//!
//! The wear law itself is shared by every section and lives in [`sim_core::drum::clay`]; this section brings its length,
//! its ring and its water.

use sim_core::drum::{Lifters, Section};

/// A closed length of drum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScrubberSection {
    /// Length along the axis, m.
    pub length_m: f64,
    /// Ring at the exit, m; 0 for none.
    pub exit_ring_m: f64,
    /// Added water in the section (hopper and bars ahead of and in it), m3/s.
    pub added_water_m3_s: f64,
    /// Lifters on the shell.
    pub lifters: Option<Lifters>,
}

impl Section for ScrubberSection {
    fn length_m(&self) -> f64 {
        self.length_m
    }

    fn exit_ring_m(&self) -> f64 {
        self.exit_ring_m
    }

    fn lifters(&self) -> Option<Lifters> {
        self.lifters
    }

    fn added_water_m3_s(&self) -> f64 {
        self.added_water_m3_s
    }
}
