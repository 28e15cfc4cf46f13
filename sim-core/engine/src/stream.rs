//! What flows from stage to stage.
//!
//! ```text
//!            rock by size ─┐
//!    clay lumps (by bin) ──┤
//!      clay in the water ──┼──> one Stream, per second
//!   gold, free and locked ─┤
//!                  water ──┘
//! ```
//! Gold is a tracer: solids and water decide the flow, gold rides along. Gold that a stage has sent astray keeps a note of
//! the stage and the reason until another stage handles it anew or it reaches the tailings, where the note becomes a loss.

use washgraph_physics::size::{ByGold, BySolid, GOLD_CLASSES, LUMP_BINS, SOLID_CLASSES};

/// A stream between two stages. All flows per second.
#[derive(Debug, Clone)]
pub struct Stream {
    /// Rock, sand and silt by size class, kg/s dry.
    pub rock_kg_s: BySolid,
    /// Clay lumps: dry mass flow of each bin, kg/s.
    pub lump_kg_s: [f64; LUMP_BINS],
    /// Clay lumps: present size of each bin, m.
    pub lump_m: [f64; LUMP_BINS],
    /// Clay that has been freed into the water, kg/s dry.
    pub clay_kg_s: f64,
    /// Free gold by class, kg/s.
    pub gold_kg_s: ByGold,
    /// Gold locked in clay lumps by class, kg/s.
    pub locked_kg_s: ByGold,
    /// Gold of this stream that has been sent astray, by note (stage and reason) and class, kg/s. Contained in the gold above.
    pub astray_kg_s: Vec<ByGold>,
    /// Water, moisture of the feed included, m3/s.
    pub water_m3_s: f64,
    /// The part of the water that was added (hopper, sprays, make-up), m3/s.
    pub added_water_m3_s: f64,
    /// Largest rock that can be in the stream (what the bars or the holes let through), m.
    pub largest_m: f64,
    /// Unevenness of the load: coefficient of variation as felt at the sluice.
    pub load_cv: f64,
}

impl Stream {
    /// An empty stream of a plant with `notes` stage-and-reason pairs.
    pub fn empty(notes: usize) -> Self {
        Stream {
            rock_kg_s: [0.0; SOLID_CLASSES],
            lump_kg_s: [0.0; LUMP_BINS],
            lump_m: [0.0; LUMP_BINS],
            clay_kg_s: 0.0,
            gold_kg_s: [0.0; GOLD_CLASSES],
            locked_kg_s: [0.0; GOLD_CLASSES],
            astray_kg_s: vec![[0.0; GOLD_CLASSES]; notes],
            water_m3_s: 0.0,
            added_water_m3_s: 0.0,
            largest_m: 0.0,
            load_cv: 0.0,
        }
    }

    /// Empties the stream in place.
    pub fn clear(&mut self) {
        self.rock_kg_s = [0.0; SOLID_CLASSES];
        self.lump_kg_s = [0.0; LUMP_BINS];
        self.lump_m = [0.0; LUMP_BINS];
        self.clay_kg_s = 0.0;
        self.gold_kg_s = [0.0; GOLD_CLASSES];
        self.locked_kg_s = [0.0; GOLD_CLASSES];
        self.astray_kg_s.fill([0.0; GOLD_CLASSES]);
        self.water_m3_s = 0.0;
        self.added_water_m3_s = 0.0;
        self.largest_m = 0.0;
        self.load_cv = 0.0;
    }

    /// Copies another stream of the same plant into this one.
    pub fn copy_from(&mut self, other: &Stream) {
        let mut astray_kg_s = core::mem::take(&mut self.astray_kg_s);
        astray_kg_s.copy_from_slice(&other.astray_kg_s);
        *self = Stream { astray_kg_s, ..*other };
    }

    /// Adds a share of another stream. Lump bins keep mass and number: the mixed size is (mass/number)^(1/3). The unevenness
    /// is that of the solids, weighted by mass.
    pub fn add(&mut self, other: &Stream, share: f64) {
        let (before, more) = (self.solids_kg_s(), other.solids_kg_s() * share);
        for (a, b) in self.rock_kg_s.iter_mut().zip(&other.rock_kg_s) {
            *a += share * b;
        }
        for i in 0..LUMP_BINS {
            let (m1, d1) = (self.lump_kg_s[i], self.lump_m[i]);
            let (m2, d2) = (share * other.lump_kg_s[i], other.lump_m[i]);
            self.lump_kg_s[i] = m1 + m2;
            self.lump_m[i] = match (m1 > 0.0 && d1 > 0.0, m2 > 0.0 && d2 > 0.0) {
                (true, true) if d1 != d2 => {
                    washgraph_units::math::cbrt((m1 + m2) / (m1 / (d1 * d1 * d1) + m2 / (d2 * d2 * d2)))
                }
                (true, _) => d1,
                _ => d2,
            };
        }
        self.clay_kg_s += share * other.clay_kg_s;
        for (a, b) in self.gold_kg_s.iter_mut().zip(&other.gold_kg_s) {
            *a += share * b;
        }
        for (a, b) in self.locked_kg_s.iter_mut().zip(&other.locked_kg_s) {
            *a += share * b;
        }
        for (mine, theirs) in self.astray_kg_s.iter_mut().zip(&other.astray_kg_s) {
            for (a, b) in mine.iter_mut().zip(theirs) {
                *a += share * b;
            }
        }
        self.water_m3_s += share * other.water_m3_s;
        self.added_water_m3_s += share * other.added_water_m3_s;
        self.largest_m = self.largest_m.max(other.largest_m);
        if before + more > 0.0 {
            self.load_cv = (self.load_cv * before + other.load_cv * more) / (before + more);
        }
    }

    /// Dry solids, kg/s: rock, clay lumps and clay in the water.
    pub fn solids_kg_s(&self) -> f64 {
        self.rock_kg_s.iter().sum::<f64>() + self.lumps_kg_s() + self.clay_kg_s
    }

    /// Clay lumps, kg/s dry.
    pub fn lumps_kg_s(&self) -> f64 {
        self.lump_kg_s.iter().sum()
    }

    /// Free and locked gold of a class, kg/s.
    pub fn gold_of_class(&self, class: usize) -> f64 {
        self.gold_kg_s[class] + self.locked_kg_s[class]
    }
}
