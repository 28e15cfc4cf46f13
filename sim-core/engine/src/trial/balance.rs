//! Whether the books of a trial close: over the whole plant, and stage by stage to find who breaks them.
//!
//! ```text
//!   plant:   ground + water fed         =  caught + what reaches the tailings
//!   stage:   inlets + ground and water  =  caught + outlets
//!            that it brings itself
//! ```

use super::worker::Worker;
use crate::plant::Node;
use crate::stream::Stream;
use washgraph_physics::size::{GOLD_CLASSES, SOLID_CLASSES};

/// Books that miss by more than this share of what was fed do not close. Rounding stays below 1e-11 in every plant tried; a grain
/// class that is forgotten does not.
pub const MOST_RESIDUAL: f64 = 1e-9;

/// |in - out| over in; 0 when nothing goes in and nothing comes out.
pub(crate) fn relative(into: f64, out: f64) -> f64 {
    over(into, into - out)
}

fn over(fed: f64, difference: f64) -> f64 {
    if difference == 0.0 { 0.0 } else { difference.abs() / fed.abs() }
}

/// The greater; what is not a number must show.
pub(crate) fn worse(a: f64, b: f64) -> f64 {
    if b > a || b.is_nan() { b } else { a }
}

/// Relative residuals of a balance.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Residuals {
    /// Gold, worst class.
    pub gold: f64,
    /// Solids, worst class.
    pub solids: f64,
    /// Water.
    pub water: f64,
}

impl Residuals {
    pub(super) fn worst(self, other: Residuals) -> Residuals {
        Residuals {
            gold: worse(self.gold, other.gold),
            solids: worse(self.solids, other.solids),
            water: worse(self.water, other.water),
        }
    }

    /// Whether gold, solids and water all close to [`MOST_RESIDUAL`].
    pub fn close(&self) -> bool {
        [self.gold, self.solids, self.water].into_iter().all(|r| r <= MOST_RESIDUAL)
    }

    /// What misses most, by name, and by how much.
    fn greatest(&self) -> (&'static str, f64) {
        let parts = [("gold", self.gold), ("solids", self.solids), ("water", self.water)];
        parts
            .into_iter()
            .fold(("gold", 0.0), |worst, part| if worse(worst.1, part.1) == worst.1 { worst } else { part })
    }
}

/// Books that do not close: a fault of a stage, never of the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct BrokenBooks {
    /// Id of the stage that misses most.
    pub stage: String,
    /// Name of its kind.
    pub kind: &'static str,
    /// `gold`, `solids` or `water`.
    pub of: &'static str,
    /// What is missing or too much over what was fed to the plant, of the worst class; NaN when it is no number.
    pub residual: f64,
}

impl BrokenBooks {
    /// In plain words.
    pub fn words(&self) -> String {
        let BrokenBooks { stage, kind, of, residual } = self;
        let miss =
            if residual.is_nan() { "by no number at all".into() } else { format!("by {residual:.1e} of what was fed") };
        format!("the books of {of} do not close at `{stage}` (a {kind}): what goes in and what comes out differ {miss}")
    }

    /// The worse of two.
    pub(super) fn worst(a: Option<Self>, b: Option<Self>) -> Option<Self> {
        match (a, b) {
            (Some(a), Some(b)) => Some(if worse(a.residual, b.residual) == a.residual { a } else { b }),
            (a, b) => a.or(b),
        }
    }
}

impl Worker<'_> {
    /// Worst relative residual of the balance of the last trial: gold by class, solids by class, water.
    pub fn residuals(&self) -> Residuals {
        let mut gone = [0.0; GOLD_CLASSES];
        for book in self.caught.iter().chain(&self.lost) {
            for (gone, gold) in gone.iter_mut().zip(book) {
                *gone += gold;
            }
        }
        let gold = self.fed.iter().zip(gone).map(|(fed, gone)| relative(*fed, gone)).fold(0.0, worse);
        let ends = || self.plant().tailings.iter().filter_map(|&(slot, _)| self.stream(slot));
        let mut solids: f64 = 0.0;
        for c in 0..SOLID_CLASSES {
            solids = worse(solids, relative(self.rock_fed[c], ends().map(|s| s.rock_kg_s[c]).sum()));
        }
        solids = worse(solids, relative(self.clay_fed, ends().map(|s| s.lumps_kg_s() + s.clay_kg_s).sum()));
        let left: f64 = ends().map(|s| s.water_m3_s).sum();
        // With a pond the water of the outlets goes round; what counts is what plant and pond take in and lose together.
        let water = match self.pond {
            Some(p) => relative(self.moisture_m3_s + p.makeup_m3_s + p.gained_m3_s, left + p.lost_m3_s),
            None => relative(self.water_in_m3_s, left),
        };
        Residuals { gold, solids, water }
    }

    /// The stage that breaks the books of the last trial; `None` when they close. A trial in which the fines of the pond's water
    /// come to no balance has none: it is counted as such.
    pub fn broken_books(&self) -> Option<BrokenBooks> {
        let whole = self.residuals();
        if whole.close() || self.pond.is_some_and(|pond| !pond.closes) {
            return None;
        }
        let (of, residual) = whole.greatest();
        let pick = |r: Residuals| match of {
            "gold" => r.gold,
            "solids" => r.solids,
            _ => r.water,
        };
        let stages = self.plant().nodes.iter().enumerate().map(|(k, node)| (node, pick(self.residuals_at(k, node))));
        let (node, _) = stages.reduce(|worst, next| if worse(worst.1, next.1) == worst.1 { worst } else { next })?;
        Some(BrokenBooks { stage: node.id.clone(), kind: node.kind.name, of, residual })
    }

    /// What a stage misses, each over what was fed to the plant.
    fn residuals_at(&self, k: usize, node: &Node) -> Residuals {
        let inlets = || node.inlets.iter().flatten().filter_map(|slot| self.stream(*slot));
        let outlets = || node.outlets.clone().filter_map(|slot| self.stream(slot));
        let gained = |of: &dyn Fn(&Stream) -> f64| outlets().map(of).sum::<f64>() - inlets().map(of).sum::<f64>();
        let feed_m3_s = self.feed_m3_s();
        let brought = if feed_m3_s > 0.0 { self.source_m3_s(node) / feed_m3_s } else { 0.0 };
        let mut r = Residuals::default();
        for (g, grains) in self.ground.grains.iter().enumerate() {
            let caught = self.caught.get(k).map_or(0.0, |caught| caught[g]);
            let miss = brought * self.fed[g] - caught - grains * gained(&|s: &Stream| s.gold_of_class(g));
            r.gold = worse(r.gold, over(self.fed[g], miss));
        }
        for (c, fed) in self.rock_fed.iter().enumerate() {
            r.solids = worse(r.solids, over(*fed, brought * fed - gained(&|s: &Stream| s.rock_kg_s[c])));
        }
        let clay = gained(&|s: &Stream| s.lumps_kg_s() + s.clay_kg_s);
        r.solids = worse(r.solids, over(self.clay_fed, brought * self.clay_fed - clay));
        // A pond gives its water back to the outlets: only the books of the whole plant tell of it.
        if !node.stage.is_pond() {
            let is_here = |on: &str| on.split_once('.').map_or(on, |(stage, _)| stage) == node.id;
            let mounted = self.plant().outlets.iter().zip(&self.outlets).filter(|(o, _)| is_here(&o.on));
            let given: f64 = mounted.map(|(_, state)| state.flow_m3_s).sum();
            let miss = brought * self.moisture_m3_s + given - gained(&|s: &Stream| s.water_m3_s);
            r.water = over(self.water_in_m3_s, miss);
        }
        r
    }
}
