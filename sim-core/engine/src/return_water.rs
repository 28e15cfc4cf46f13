//! Water that comes back from the pond, as the stages meet it, and the book that the pond keeps of it.
//!
//! ```text
//!   first sweep   all stages: solids, freed clay, water  ──> the pond finds the fines that hang in the return water
//!   second sweep  from the first stage on whose gold feels dirty water: gold in that water
//! ```
//! Solids, clay and water do not depend on the fines that come back, so that two sweeps give the whole answer; the plant is
//! never run in circles.

/// Which way through the plant a stage is run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Sweep {
    /// There is no pond, or nothing feels its water: one sweep does all.
    #[default]
    Only,
    /// The first of two: the return water is not known yet. A stage that feels it need only pass solids, clay and water on.
    Solids,
    /// The second of two: [`crate::stage::Trial::return_water`] is known; solids, clay and water come as before.
    Gold,
}

/// Fines that hang in the water of all outlets because it comes from the pond. Clean unless there is a pond.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ReturnWater {
    /// Mass of fines in a volume of it, kg/m3.
    pub fines_kg_m3: f64,
    /// Share of its volume that the fines and the water bound to them take up.
    pub volume_share: f64,
}

impl ReturnWater {
    /// The same fines in water of which only a share came through the outlets.
    pub fn thinned(self, share: f64) -> ReturnWater {
        ReturnWater { fines_kg_m3: share * self.fines_kg_m3, volume_share: share * self.volume_share }
    }
}

/// What the pond of a plant makes known in a trial.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PondBook {
    /// The water of the outlets.
    pub return_water: ReturnWater,
    /// Fresh water taken beside the pond, m3/s.
    pub makeup_m3_s: f64,
    /// Water that comes by itself (rain, springs), m3/s.
    pub gained_m3_s: f64,
    /// Water that leaves other than with solids (seepage, evaporation, bleed, spill), m3/s.
    pub lost_m3_s: f64,
    /// Whether the fines come to a balance at all.
    pub closes: bool,
}
