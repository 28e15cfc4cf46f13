//! The ground: what is known of it from sieves and pans, and one draw of it in a trial.
//!
//! How the samples are read and what they say is in [`crate::field`]; here it is drawn from, once a trial.

use rand_distr::Distribution;

use crate::field::gold_between::MOST_DIRECTIONS;
use crate::field::gold_posterior::{GoldPosterior, Prior};
use crate::field::patchiness::Patchiness;
use crate::field::{GoldSamples, GradationKnown, SieveTest, StoneCount};
use washgraph_physics::particle::gold::{GoldSettling, GrainForm, SettlingTable};
use washgraph_physics::particle::shape::Proportions;
use washgraph_physics::particle::water::WaterState;
use washgraph_physics::size::{ByGold, BySolid, LUMP_BINS};
use washgraph_physics::size::{GOLD_CLASSES, SOLID_CLASSES, gold_class};
use washgraph_stats::draw::{Address, Draws, Input, InputList};
use washgraph_units::math::{exp, ln};
use washgraph_units::quantity::Phrase;

/// Scalar inputs of the ground.
#[derive(Debug, Clone, Copy)]
pub struct GroundInputs {
    /// Dry mass per loose volume, kg/m3.
    pub loose_density_kg_m3: Input,
    /// Bank to loose: loose volume over bank volume, less 1.
    pub swell: Input,
    /// Water over wet mass of the feed.
    pub moisture: Input,
    /// Density of the rock, kg/m3.
    pub rock_density_kg_m3: Input,
    /// Clay lumps over dry mass.
    pub clay_share: Input,
    /// Median size of the clay lumps, m.
    pub lump_size_m: Input,
    /// Gold per mass of clay lumps over gold per mass of the rest.
    pub clay_richness: Input,
    /// Speed at which a lump loses size on each side at the reference power, m/s.
    pub clay_wear_m_s: Input,
    /// Factor of frost on that wear; 1 without.
    pub frost_gain: Input,
    /// Density of the gold, kg/m3.
    pub gold_density_kg_m3: Input,
    /// Factor on the Corey shape factor of all gold.
    pub shape_factor: Input,
    /// Temperature of the water, degree Celsius.
    pub water_temperature_c: Input,
    /// Factor on the grade as a whole: what washing the samples lost, or the believed grade itself.
    pub grade_factor: Input,
    /// Grade of the period's ground over the mean grade.
    pub day_factor: Input,
    /// Tilt of the gradation because the pits may not be like the ground.
    pub mean_tilt: Input,
    /// Tilt of the gradation from bench to bench.
    pub bench_tilt: Input,
}

impl GroundInputs {
    /// All of them, in the order of the list above.
    pub fn all(&self) -> [Input; 16] {
        [
            self.loose_density_kg_m3,
            self.swell,
            self.moisture,
            self.rock_density_kg_m3,
            self.clay_share,
            self.lump_size_m,
            self.clay_richness,
            self.clay_wear_m_s,
            self.frost_gain,
            self.gold_density_kg_m3,
            self.shape_factor,
            self.water_temperature_c,
            self.grade_factor,
            self.day_factor,
            self.mean_tilt,
            self.bench_tilt,
        ]
    }
}

/// Gold by class as known.
#[derive(Debug, Clone, PartialEq)]
pub enum GoldKnown {
    /// Joint draws of the mass per loose volume of all classes, kg/m3, from samples.
    Sampled(Box<GoldPosterior>),
    /// Shares of the classes per loose volume, times the believed grade.
    Believed(Box<ByGold>),
}

/// The samples behind the ground, for reports and for `samples`.
#[derive(Debug, Clone)]
pub struct Known {
    /// Where gradation and gold come from, in words.
    pub provenance: Vec<String>,
    /// What a reader of any result should know of the samples, in words.
    pub findings: Vec<Phrase>,
    /// Sieve tests.
    pub tests: Vec<SieveTest>,
    /// Stones counted.
    pub stones: Option<StoneCount>,
    /// Gold samples; `None` for a belief.
    pub samples: Option<GoldSamples>,
    /// Scatter of the samples, when there are enough.
    pub patchiness: Option<Patchiness>,
    /// Share of the ground's volume that the samples stand for, the rest being stones left out.
    pub kept_share: f64,
    /// What was believed before any sample.
    pub prior: Prior,
}

/// What is known of the ground; drawn from in each trial.
#[derive(Debug, Clone)]
pub struct Ground {
    /// Scalar inputs.
    pub inputs: GroundInputs,
    /// Gradation of the rock.
    pub gradation: GradationKnown,
    /// Gold by class.
    pub gold: GoldKnown,
    /// Mean mass of a grain by class, kg, for the lumpiness of coarse gold.
    pub grain_kg: ByGold,
    /// Corey shape factor by class before the common factor.
    pub corey: ByGold,
    /// Fineness of the gold (share of gold in raw gold).
    pub fineness: f64,
    /// Geometric standard deviation of the lump sizes by mass.
    pub lump_spread: f64,
    /// Whether the clay is of the sticky kind that rolls into balls.
    pub clay_is_sticky: bool,
    /// Duration over which the gold is averaged, s; coarse classes hold few grains in it.
    pub period_s: f64,
    /// The samples behind it.
    pub known: Known,
    /// Settling laws, tabulated.
    pub settling: SettlingTable,
}

/// The ground in one trial, per kg of dry solids.
#[derive(Debug, Clone)]
pub struct GroundDraw {
    /// Rock by class, share of the dry mass.
    pub rock: BySolid,
    /// Clay lumps by bin, share of the dry mass.
    pub lumps: [f64; LUMP_BINS],
    /// Size of the lumps of each bin, m.
    pub lump_m: [f64; LUMP_BINS],
    /// Gold expected by class, free and locked, kg per loose m3.
    pub grade: ByGold,
    /// Free gold by class, kg per kg dry solids.
    pub gold: ByGold,
    /// Gold locked in lumps by class, kg per kg dry solids.
    pub locked: ByGold,
    /// Grains that came in the period over those expected, by class; `gold` and `locked` are the expected ones. Gold is a
    /// tracer: the plant is worked out for the expected gold and the books are multiplied by this.
    pub grains: ByGold,
    /// Dry mass per loose volume, kg/m3.
    pub loose_density_kg_m3: f64,
    /// Bank to loose.
    pub swell: f64,
    /// Water over wet mass.
    pub moisture: f64,
    /// Density of the rock, kg/m3.
    pub rock_density_kg_m3: f64,
    /// Wear of clay lumps at the reference power, m/s.
    pub clay_wear_m_s: f64,
    /// Whether the clay is of the sticky kind that rolls into balls.
    pub clay_is_sticky: bool,
    /// Density of the gold, kg/m3.
    pub gold_density_kg_m3: f64,
    /// Corey shape factor by class.
    pub corey: ByGold,
    /// Sizes of the grains by class, and what they decide of settling in any water.
    pub forms: [GrainForm; GOLD_CLASSES],
    /// Settling speed, nominal diameter and axes by class, in the water of this trial.
    pub settling: [GoldSettling; GOLD_CLASSES],
    /// The water.
    pub water: WaterState,
    /// Gold per loose volume over all classes, kg/m3.
    pub grade_loose_kg_m3: f64,
}

impl GroundDraw {
    /// A draw without anything in it, in clean water of 10 degrees, to be filled in place.
    pub fn bare(settling: &SettlingTable) -> GroundDraw {
        let water = WaterState::clean(10.0);
        let law = settling.gold_law(17_000.0, &water, Proportions::default());
        let form = law.form(1e-3, ln(1e-3), 0.3);
        GroundDraw {
            rock: [0.0; SOLID_CLASSES],
            lumps: [0.0; LUMP_BINS],
            lump_m: [0.0; LUMP_BINS],
            grade: [0.0; GOLD_CLASSES],
            gold: [0.0; GOLD_CLASSES],
            locked: [0.0; GOLD_CLASSES],
            grains: [1.0; GOLD_CLASSES],
            loose_density_kg_m3: 0.0,
            swell: 0.0,
            moisture: 0.0,
            rock_density_kg_m3: 0.0,
            clay_wear_m_s: 0.0,
            clay_is_sticky: false,
            gold_density_kg_m3: 0.0,
            corey: [0.3; GOLD_CLASSES],
            forms: [form; GOLD_CLASSES],
            settling: [law.fall(&form); GOLD_CLASSES],
            water,
            grade_loose_kg_m3: 0.0,
        }
    }
}

/// Normal scores and weights of the lump bins: equal steps over two standard deviations either side. Our choice.
const LUMP_SCORES: [f64; LUMP_BINS] = [-1.75, -1.25, -0.75, -0.25, 0.25, 0.75, 1.25, 1.75];

/// Most grains in the period for which a class is drawn as a count; above, the spread is under 1 % and is left out.
const MOST_COUNTED_GRAINS: f64 = 10_000.0;

impl Ground {
    /// An empty draw to be filled in place.
    pub fn new_draw(&self) -> GroundDraw {
        GroundDraw::bare(&self.settling)
    }

    /// Number of the joint draw of the gold that each of the first trials of a run has; empty for a belief.
    pub fn gold_draws(&self, inputs: &InputList, seed: u64, trials: usize) -> Vec<usize> {
        let GoldKnown::Sampled(posterior) = &self.gold else { return Vec::new() };
        let mut draws = Draws::new(seed, inputs);
        let mut u = [0.5];
        (0..trials)
            .map(|trial| {
                draws.set_some(trial as u64, inputs, &[]);
                draws.uniforms(*GOLD_ADDRESS, &mut u);
                posterior.index(u[0])
            })
            .collect()
    }

    /// Whether another ground has the same draws as this one where the scalar inputs have the same values.
    pub fn is_drawn_like(&self, other: &Ground) -> bool {
        (self.gold == other.gold && self.gradation == other.gradation)
            && (self.settling == other.settling && self.corey == other.corey && self.grain_kg == other.grain_kg)
            && (self.lump_spread, self.clay_is_sticky, self.period_s)
                == (other.lump_spread, other.clay_is_sticky, other.period_s)
    }

    /// Draws the ground of a trial. `feed_m3_s` is the loose volume fed per second, which decides how many coarse grains
    /// come in the period.
    pub fn draw(&self, draws: &mut Draws, feed_m3_s: f64, out: &mut GroundDraw) {
        let i = &self.inputs;
        out.loose_density_kg_m3 = i.loose_density_kg_m3.get(draws);
        out.swell = i.swell.get(draws);
        out.moisture = i.moisture.get(draws);
        out.rock_density_kg_m3 = i.rock_density_kg_m3.get(draws);
        out.clay_wear_m_s = i.clay_wear_m_s.get(draws) * i.frost_gain.get(draws);
        out.clay_is_sticky = self.clay_is_sticky;
        out.gold_density_kg_m3 = i.gold_density_kg_m3.get(draws);
        out.water = WaterState::clean(i.water_temperature_c.get(draws));
        let clay = i.clay_share.get(draws);
        self.draw_gradation(draws, 1.0 - clay, out);
        self.draw_lumps(clay, i.lump_size_m.get(draws), out);
        self.draw_gold(draws, clay, feed_m3_s, out);
        let shape = i.shape_factor.get(draws);
        let law = self.settling.gold_law(out.gold_density_kg_m3, &out.water, Proportions::default());
        for g in 0..GOLD_CLASSES {
            out.corey[g] = (self.corey[g] * shape).min(1.0);
            out.forms[g] = law.form(gold_class(g).middle_m, LN_GOLD_MIDDLE[g], out.corey[g]);
            out.settling[g] = law.fall(&out.forms[g]);
        }
    }

    fn draw_gradation(&self, draws: &mut Draws, rock_share: f64, out: &mut GroundDraw) {
        // One number more than classes: the last is for all that is finer than the splice.
        let mut u = [0.5; SOLID_CLASSES + 1];
        draws.uniforms(Address::of("ground/gradation"), &mut u);
        let tilt = self.inputs.mean_tilt.get(draws) + self.inputs.bench_tilt.get(draws);
        self.gradation.draw((!draws.is_middle()).then_some(&u), tilt, &mut out.rock);
        for share in &mut out.rock {
            *share *= rock_share;
        }
    }

    fn draw_lumps(&self, clay_share: f64, median_m: f64, out: &mut GroundDraw) {
        let weights = LUMP_SCORES.map(|z| exp(-0.5 * z * z));
        let total: f64 = weights.iter().sum();
        let step = ln(self.lump_spread);
        for b in 0..LUMP_BINS {
            out.lump_m[b] = median_m * exp(step * LUMP_SCORES[b]);
            out.lumps[b] = clay_share * weights[b] / total;
        }
    }

    fn draw_gold(&self, draws: &mut Draws, clay_share: f64, feed_m3_s: f64, out: &mut GroundDraw) {
        let middle = draws.is_middle();
        let between = self.between_draws(draws);
        let by_class = match &self.gold {
            GoldKnown::Believed(shares) => shares,
            GoldKnown::Sampled(posterior) => match &between {
                Some(gold) => gold,
                None if middle => posterior.middle(),
                None => {
                    let mut u = [0.5];
                    draws.uniforms(*GOLD_ADDRESS, &mut u);
                    posterior.row(u[0])
                }
            },
        };
        let factor = self.inputs.grade_factor.get(draws) * self.inputs.day_factor.get(draws);
        let factor = if between.is_some() { factor } else { factor * self.tuned_middle(draws) };
        let richness = self.inputs.clay_richness.get(draws);
        // Clay lumps of richness r hold r c/(r c + 1 - c) of the gold.
        let locked_share = richness * clay_share / (richness * clay_share + 1.0 - clay_share);
        for (g, known) in by_class.iter().enumerate() {
            out.grade[g] = factor * known;
            let per_kg = out.grade[g] / out.loose_density_kg_m3;
            out.locked[g] = per_kg * locked_share;
            out.gold[g] = per_kg - out.locked[g];
        }
        self.count_grains(draws, feed_m3_s, out);
    }

    /// Counts the grains that come in the period: all of a draw that the feed has a say in.
    pub fn count_grains(&self, draws: &mut Draws, feed_m3_s: f64, out: &mut GroundDraw) {
        let middle = draws.is_middle();
        out.grade_loose_kg_m3 = 0.0;
        for g in 0..GOLD_CLASSES {
            let grade = out.grade[g];
            out.grains[g] = if middle { 1.0 } else { self.grains_of_period(draws, g, grade, feed_m3_s) };
            out.grade_loose_kg_m3 += grade * out.grains[g];
        }
    }

    /// Gold between the joint draws, as a row of constants says; `None` where it does not.
    fn between_draws(&self, draws: &Draws) -> Option<ByGold> {
        let GoldKnown::Sampled(posterior) = &self.gold else { return None };
        let u = draws.given(*GOLD_ADDRESS, 0)?;
        let mut aside = [draws.given(*GOLD_ADDRESS, 1)?; MOST_DIRECTIONS];
        let aside = aside.get_mut(..posterior.between().directions())?;
        for (k, number) in aside.iter_mut().enumerate() {
            *number = draws.given(*GOLD_ADDRESS, k + 1)?;
        }
        Some(if draws.is_middle() { posterior.middle_between(u, aside) } else { posterior.row_between(u, aside) })
    }

    /// Richness of the middle case of a tuned plant over that of the samples alone; 1 for any other.
    fn tuned_middle(&self, draws: &Draws) -> f64 {
        match (&self.gold, draws.middle_of(*GOLD_ADDRESS, 0)) {
            (GoldKnown::Sampled(posterior), Some(u)) => posterior.total(u) / posterior.total(0.5),
            _ => 1.0,
        }
    }

    /// Grains of a class that come in the period, as a whole number, over the number expected; 1 where they are many.
    fn grains_of_period(&self, draws: &mut Draws, class: usize, grade_kg_m3: f64, feed_m3_s: f64) -> f64 {
        let expected = self.grains_expected(class, grade_kg_m3, feed_m3_s * self.period_s);
        match poisson_count(draws, LUMPY_ADDRESSES[class], expected) {
            Some(count) => count / expected,
            None => 1.0,
        }
    }

    /// Grains of each class that come in a season over the number expected. The period of the trial is part of the season:
    /// season = period + a Poisson count for the rest. `volume_m3` is the LOOSE volume of the season whose gold is that of
    /// the trial; one not larger than that of the period gives the factors of the period.
    pub fn grains_of_season(&self, draws: &mut Draws, ground: &GroundDraw, feed_m3_s: f64, volume_m3: f64) -> ByGold {
        let mut factors = ground.grains;
        let period_m3 = feed_m3_s * self.period_s;
        if draws.is_middle() || !(volume_m3 > period_m3) {
            return factors;
        }
        for (g, factor) in factors.iter_mut().enumerate() {
            let grade = (ground.gold[g] + ground.locked[g]) * ground.loose_density_kg_m3;
            let season = self.grains_expected(g, grade, volume_m3);
            if season >= MOST_COUNTED_GRAINS {
                *factor = 1.0;
            } else if season > 0.0 {
                let period = season * period_m3 / volume_m3;
                let rest = poisson_count(draws, SEASON_ADDRESSES[g], season - period).unwrap_or(season - period);
                *factor = (*factor * period + rest) / season;
            }
        }
        factors
    }

    fn grains_expected(&self, class: usize, grade_kg_m3: f64, volume_m3: f64) -> f64 {
        grade_kg_m3 * volume_m3 / self.grain_kg[class]
    }
}

/// A Poisson count drawn at an address; `None` where nothing is expected or so much that the count hardly varies.
fn poisson_count(draws: &mut Draws, address: Address, expected: f64) -> Option<f64> {
    if !(expected > 0.0 && expected < MOST_COUNTED_GRAINS) {
        return None;
    }
    let poisson = rand_distr::Poisson::new(expected).ok()?;
    Some(poisson.sample(draws.generator_at(address)))
}

/// ln of the middle sizes of the gold classes, m.
static LN_GOLD_MIDDLE: std::sync::LazyLock<[f64; GOLD_CLASSES]> =
    std::sync::LazyLock::new(|| std::array::from_fn(|g| ln(gold_class(g).middle_m)));

/// Address of the number that names the joint draw of the gold.
static GOLD_ADDRESS: std::sync::LazyLock<Address> = std::sync::LazyLock::new(|| Address::of("ground/gold"));

/// One address a class, so that a class with more grains does not shift the draws of the next.
static LUMPY_ADDRESSES: std::sync::LazyLock<[Address; GOLD_CLASSES]> =
    std::sync::LazyLock::new(|| std::array::from_fn(|g| Address::of(&format!("ground/grains-{g}"))));

/// The same for the grains of the rest of the season.
static SEASON_ADDRESSES: std::sync::LazyLock<[Address; GOLD_CLASSES]> =
    std::sync::LazyLock::new(|| std::array::from_fn(|g| Address::of(&format!("ground/season-grains-{g}"))));
