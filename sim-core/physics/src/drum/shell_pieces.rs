//! A section cut into pieces under its own laws, so that a march tells what is left at the end of each.

use super::lifters::Lifters;
use super::section::{LocalBed, Section};

/// A piece of a section.
#[derive(Clone, Copy)]
pub struct Piece<'a> {
    /// The section.
    pub whole: &'a dyn Section,
    /// Its share of the length.
    pub share: f64,
    /// Whether it is the last, which has the ring.
    pub last: bool,
    /// Added water per dry tonne entering the whole section, which decides its wetness, m3/t.
    pub water_m3_per_t: f64,
}

impl Section for Piece<'_> {
    fn length_m(&self) -> f64 {
        self.share * self.whole.length_m()
    }
    fn exit_ring_m(&self) -> f64 {
        if self.last { self.whole.exit_ring_m() } else { 0.0 }
    }
    fn transport_factor(&self) -> f64 {
        self.whole.transport_factor()
    }
    fn lifters(&self) -> Option<Lifters> {
        self.whole.lifters()
    }
    fn added_water_m3_s(&self) -> f64 {
        self.whole.added_water_m3_s()
    }
    fn open_points(&self) -> usize {
        self.whole.open_points()
    }
    fn takes_gold(&self) -> bool {
        self.whole.takes_gold()
    }
    fn wetness(&self, _water_m3_per_t: f64) -> f64 {
        self.whole.wetness(self.water_m3_per_t)
    }
    fn gravel_rates(&self, bed: &LocalBed, rate_per_m: &mut [f64]) {
        self.whole.gravel_rates(bed, rate_per_m);
    }
    fn tracer_rates(&self, bed: &LocalBed, rate_per_m: &mut [f64]) {
        self.whole.tracer_rates(bed, rate_per_m);
    }
    fn lump_rates(&self, bed: &LocalBed, size_m: &[f64], rate_per_m: &mut [f64]) {
        self.whole.lump_rates(bed, size_m, rate_per_m);
    }
}
