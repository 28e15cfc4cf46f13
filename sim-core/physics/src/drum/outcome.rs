//! What a march found: the state of the bed in each section, and what is still in the drum at the end of each.
//!
//! What leaves through the shell of a section is booked by difference, so that every size closes exactly, however coarse
//! the march.

use super::points::MAX_POINTS;
use super::section::{Carried, LocalBed, MAX_LUMPS, MAX_SECTIONS, MAX_TRACERS};

/// The bed at one place, for figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Station {
    /// Index of the section.
    pub section: usize,
    /// Distance from the feed end, m.
    pub from_feed_m: f64,
    /// Depth at mid-chord, m.
    pub depth_m: f64,
    /// Filled share of the cross-section.
    pub fill: f64,
    /// Bulk volume passing per second, m3/s.
    pub flow_m3_s: f64,
}

/// One section after a march.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionOutcome {
    /// Time that the bed spends in the section, s.
    pub residence_s: f64,
    /// Turns of the drum in that time.
    pub turns: f64,
    /// Loose volume of bed in the section, m3.
    pub hold_up_m3: f64,
    /// Depth at the upstream end, m.
    pub entry_depth_m: f64,
    /// Depth at the downstream end, m.
    pub exit_depth_m: f64,
    /// Mean filled share of the cross-section.
    pub mean_fill: f64,
    /// Torque of the bed, N m.
    pub torque_n_m: f64,
    /// Power that the bed takes up, W.
    pub power_w: f64,
    /// Solids entering, gravel and lumps, kg/s.
    pub solids_in_kg_s: f64,
    /// Added water per dry tonne entering, m3/t.
    pub water_m3_per_t: f64,
    /// The bed half way along the section, as its laws were asked about it; empty for a closed shell without clay.
    pub middle_bed: LocalBed,
    /// Gravel still in the drum at the exit, by point, kg/s.
    pub gravel_left_kg_s: [f64; MAX_POINTS],
    /// Share of the gold fed free that is still in the drum at the exit, by size.
    pub gold_left: [f64; MAX_TRACERS],
    /// Gold freed from lumps on the way and still in the drum at the exit, as a share of all that was locked, by size.
    pub freed_left: [f64; MAX_TRACERS],
    /// Clay still in lumps in the drum at the exit, by lump size fed, kg/s.
    pub lump_left_kg_s: [f64; MAX_LUMPS],
    /// Clay that left through the shell in lumps, by lump size fed, kg/s.
    pub lump_passed_kg_s: [f64; MAX_LUMPS],
    /// Mean present size of the lumps that passed, by lump size fed, m; zero where none passed.
    pub lump_passed_size_m: [f64; MAX_LUMPS],
    /// Clay worn off in the section, kg/s.
    pub clay_worn_kg_s: f64,
    /// How much smaller every lump is at the exit than at the feed, m.
    pub lump_shrunk_m: f64,
}

impl SectionOutcome {
    const EMPTY: SectionOutcome = SectionOutcome {
        residence_s: 0.0,
        turns: 0.0,
        hold_up_m3: 0.0,
        entry_depth_m: 0.0,
        exit_depth_m: 0.0,
        mean_fill: 0.0,
        torque_n_m: 0.0,
        power_w: 0.0,
        solids_in_kg_s: 0.0,
        water_m3_per_t: 0.0,
        middle_bed: LocalBed { turnovers_per_m: 0.0, mean_depth_m: 0.0, median_m: 0.0, wetness: 0.0 },
        gravel_left_kg_s: [0.0; MAX_POINTS],
        gold_left: [0.0; MAX_TRACERS],
        freed_left: [0.0; MAX_TRACERS],
        lump_left_kg_s: [0.0; MAX_LUMPS],
        lump_passed_kg_s: [0.0; MAX_LUMPS],
        lump_passed_size_m: [0.0; MAX_LUMPS],
        clay_worn_kg_s: 0.0,
        lump_shrunk_m: 0.0,
    };
}

/// A drum after a march.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    used: usize,
    pub(crate) sections: Vec<SectionOutcome>,
    /// Bulk volume fed per second, m3/s.
    pub feed_flow_m3_s: f64,
    /// Dry solids fed, gravel and lumps, kg/s.
    pub solids_fed_kg_s: f64,
    /// The bed ran over the axis somewhere: the drum can't carry this feed.
    pub overloaded: bool,
    /// Deepest bed, m.
    pub greatest_depth_m: f64,
}

impl Outcome {
    pub(crate) fn new() -> Self {
        Outcome {
            used: 0,
            sections: vec![SectionOutcome::EMPTY; MAX_SECTIONS],
            feed_flow_m3_s: 0.0,
            solids_fed_kg_s: 0.0,
            overloaded: false,
            greatest_depth_m: 0.0,
        }
    }

    /// Starts the books: until a march closes them, nothing has left the drum and nothing moved.
    pub(crate) fn reset(&mut self, sections: usize, carried: &Carried<'_>, flow_m3_s: f64, solids_kg_s: f64) {
        self.used = sections;
        self.feed_flow_m3_s = flow_m3_s;
        self.solids_fed_kg_s = solids_kg_s;
        self.overloaded = false;
        self.greatest_depth_m = 0.0;
        if solids_kg_s > 0.0 {
            return;
        }
        for section in self.sections.iter_mut().take(sections) {
            *section = SectionOutcome::EMPTY;
            section.gold_left[..carried.tracers].fill(1.0);
        }
    }

    /// The sections, from the feed end.
    pub fn sections(&self) -> &[SectionOutcome] {
        &self.sections[..self.used]
    }

    /// Depth at the feed end, m.
    pub fn feed_end_depth_m(&self) -> f64 {
        self.sections().first().map_or(0.0, |s| s.entry_depth_m)
    }

    /// Time from feed to exit, s.
    pub fn residence_s(&self) -> f64 {
        self.sections().iter().map(|s| s.residence_s).sum()
    }

    /// Loose volume of bed in the drum, m3.
    pub fn hold_up_m3(&self) -> f64 {
        self.sections().iter().map(|s| s.hold_up_m3).sum()
    }

    /// Torque of the bed, N m.
    pub fn torque_n_m(&self) -> f64 {
        self.sections().iter().map(|s| s.torque_n_m).sum()
    }

    /// Power that the bed takes up, W.
    pub fn power_w(&self) -> f64 {
        self.sections().iter().map(|s| s.power_w).sum()
    }
}
