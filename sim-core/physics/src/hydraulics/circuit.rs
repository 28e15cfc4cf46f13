//! The closed circuit: wash water runs to the pond, leaves its fines there, and comes back to the plant with the rest.
//!
//! ```text
//!            ground: fresh fines F_i, moisture        fresh water
//!                        v                                v
//!   ┌──> outlets ──> plant ──> slurry ──> pile ──> pond, R_i ──┬──> back to the outlets, C_i
//!   │                  v (wet rock)        v W_p     v W_m      ├──> bleed, spill, seepage that carries
//!   └──────────────────────────────────────────────────────────┘
//! ```
//! Solids, freed clay and the bed in the drum do not depend on the return water, so that only the hanging fines go round:
//! one equation a class, in closed form. Two things couple the classes: the mud that they make thickens the pond water, which
//! slows all of them, and the mud holds water in its pores. Both need a few rounds, started from clear water.
//!
//! Water that leaves in the pores of the pile and of the mud takes hanging fines with it, as a bleed does. Without it the fines that
//! do not settle would build up without end in each plant that lets nothing out; with it they stop at `F` over that
//! water, which may still be a paste. That the pores carry the fines of the water that fills them is a mass balance;
//! that the sand of the pile filters none out is a simplification, on the side of dirty water.

use super::fines::{ByFines, FINES_CLASSES, SILT_CLASSES};
use super::pond::tank_removal;
use crate::particle::water::{FINES_MAXIMUM_PACKING, THICKEST_MUD, relative_viscosity_krieger_dougherty};

/// Water of a circuit while the plant runs (m3/s) and shares of it (-).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CircuitFlows {
    /// Given by all outlets together.
    pub supplied_m3_s: f64,
    /// Share of that which is drawn from the pond; the rest is fresh.
    pub recycled: f64,
    /// Reaches the pile and the pond with the slurry, moisture of the ground included.
    pub arriving_m3_s: f64,
    /// The part of it that came through the outlets.
    pub arriving_supplied_m3_s: f64,
    /// Stays in the pores of the pile.
    pub pile_m3_s: f64,
    /// Let out for good.
    pub bleed_m3_s: f64,
    /// Seeps away.
    pub seepage_m3_s: f64,
    /// Share of the seepage that takes its fines along.
    pub seepage_carrying: f64,
    /// Evaporates.
    pub evaporation_m3_s: f64,
    /// Comes by itself: rain on the pond, springs, run-off; clean.
    pub gained_m3_s: f64,
}

impl CircuitFlows {
    /// Drawn from the pond for the outlets.
    pub fn returned_m3_s(&self) -> f64 {
        self.recycled * self.supplied_m3_s
    }

    /// Fresh water needed beside the pond's own, so that the pond neither gains nor loses; negative when it gains.
    pub fn short_m3_s(&self, mud_water_m3_s: f64) -> f64 {
        self.returned_m3_s()
            + self.pile_m3_s
            + mud_water_m3_s
            + self.seepage_m3_s
            + self.evaporation_m3_s
            + self.bleed_m3_s
            - self.arriving_m3_s
            - self.gained_m3_s
    }
}

/// The pond as the circuit sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PondBody {
    /// Surface that settles (m2).
    pub area_m2: f64,
    /// Tanks in a row that it is worth (-).
    pub tanks: f64,
    /// Dry solids in a volume of mud (kg/m3).
    pub mud_dry_density_kg_m3: f64,
    /// Density of the grains (kg/m3).
    pub grain_kg_m3: f64,
}

impl PondBody {
    /// Water in the pores of mud, m3 a kg of dry solids: `1/rho_dry - 1/rho_s`.
    pub fn mud_water_m3_kg(&self) -> f64 {
        1.0 / self.mud_dry_density_kg_m3 - 1.0 / self.grain_kg_m3
    }
}

/// Fines that the ground brings into the circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fines {
    /// Reaching the pile and the pond for the first time (kg/s).
    pub fresh_kg_s: ByFines,
    /// Fall speed in clean water of that temperature (m/s).
    pub fall_m_s: ByFines,
    /// Volume of a clay grain with its bound water over its own (-); silt has 1.
    pub clay_swelling: f64,
}

impl Fines {
    /// Share by volume that fines take up in water with their bound water.
    pub fn volume_share(&self, kg_m3: &ByFines, grain_kg_m3: f64) -> f64 {
        let (silt, clay) = kg_m3.split_at(SILT_CLASSES);
        (silt.iter().sum::<f64>() + self.clay_swelling * clay.iter().sum::<f64>()) / grain_kg_m3
    }
}

/// A circuit in balance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circuit {
    /// Fines in the water that leaves the pond (kg/m3).
    pub pond_kg_m3: ByFines,
    /// Fines that settle (kg/s).
    pub settled_kg_s: f64,
    /// Fines that stay in the pores of the pile (kg/s).
    pub pile_kg_s: f64,
    /// Water in the pores of the mud (m3/s).
    pub mud_water_m3_s: f64,
    /// Fresh water that the pond needs to keep its level (m3/s).
    pub fresh_m3_s: f64,
    /// Water that runs over because the pond gains (m3/s).
    pub spill_m3_s: f64,
    /// Share by volume of the fines of the pond water with their bound water (-).
    pub volume_share: f64,
    /// Viscosity of the pond water over that of clean water (-).
    pub thickness: f64,
    /// Whether there is a balance at all. If not, the fields describe water as thick as the viscosity law goes.
    pub closes: bool,
    /// Rounds that it took.
    pub rounds: u32,
}

/// Fines of one class in the water that leaves the pond, in balance.
///
/// `C = (1 - p)(1 - R) F / (Q_c - (1 - p)(1 - R) Q_b)`
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | F | fresh fines that reach the pile and the pond | kg/s | >= 0 |
/// | p | share of the slurry's water that stays in the pile | - | 0 to 1 |
/// | R | removal in the pond | - | 0 to 1 |
/// | Q_c | all water that leaves the pond with its fines: return, bleed, spill, pores of the mud, carrying seepage | m3/s | > 0 |
/// | Q_b | the part of the return that comes round to the pile again | m3/s | 0 to Q_c |
///
/// Source: mass balance of one class, `C Q_c = (1 - p)(1 - R)(F + Q_b C)`. With p = 0 and no fresh water it is
/// [`super::pond::steady_return_kg_m3`]. Infinite when nothing settles and nothing leaves.
pub fn returned_kg_m3(fresh_kg_s: f64, pile_share: f64, removal: f64, carrying_m3_s: f64, round_m3_s: f64) -> f64 {
    let passing = (1.0 - pile_share) * (1.0 - removal);
    let leaving_m3_s = carrying_m3_s - passing * round_m3_s;
    if fresh_kg_s == 0.0 {
        0.0
    } else if leaving_m3_s > 0.0 {
        passing * fresh_kg_s / leaving_m3_s
    } else {
        f64::INFINITY
    }
}

/// Rounds after which a circuit that has neither settled nor turned to paste is given up.
const MOST_ROUNDS: u32 = 60;
/// Change from round to round, relative, at which a circuit is in balance.
const TOLERANCE: f64 = 1e-10;

/// Brings a circuit into balance: fines by class in closed form, thickness and mud in rounds from clear water up.
///
/// Thicker water settles worse, so that each round is dirtier than the one before; the rounds end at the cleanest balance there is,
/// or pass [`THICKEST_MUD`], in which case there is none. Fall speeds go with 1/viscosity (Krieger and Dougherty) as
/// Stokes' law says for fines; the thickness is that of the water which leaves the pond, though it is thicker where it
/// comes in.
pub fn balance(flows: &CircuitFlows, pond: &PondBody, fines: &Fines) -> Circuit {
    let pile_share = if flows.arriving_m3_s > 0.0 { flows.pile_m3_s / flows.arriving_m3_s } else { 1.0 };
    let into_pond_m3_s = flows.arriving_m3_s - flows.pile_m3_s;
    let round_m3_s = flows.recycled * flows.arriving_supplied_m3_s;
    let mut now = Circuit {
        pond_kg_m3: [0.0; FINES_CLASSES],
        settled_kg_s: fines.fresh_kg_s.iter().sum::<f64>() * (1.0 - pile_share),
        pile_kg_s: 0.0,
        mud_water_m3_s: 0.0,
        fresh_m3_s: 0.0,
        spill_m3_s: 0.0,
        volume_share: 0.0,
        thickness: 1.0,
        closes: false,
        rounds: 0,
    };
    // Last guess of the volume share and what it led to, for the secant.
    let mut before: Option<(f64, f64)> = None;
    let mut guess = 0.0;
    while now.rounds < MOST_ROUNDS {
        now.rounds += 1;
        now.mud_water_m3_s = now.settled_kg_s * pond.mud_water_m3_kg();
        let short_m3_s = flows.short_m3_s(now.mud_water_m3_s);
        (now.fresh_m3_s, now.spill_m3_s) = (short_m3_s.max(0.0), (-short_m3_s).max(0.0));
        let carrying_m3_s = flows.returned_m3_s()
            + now.mud_water_m3_s
            + flows.bleed_m3_s
            + now.spill_m3_s
            + flows.seepage_carrying * flows.seepage_m3_s;
        now.thickness = relative_viscosity_krieger_dougherty(guess, FINES_MAXIMUM_PACKING);
        let per_speed =
            if into_pond_m3_s > 0.0 { pond.area_m2 / (into_pond_m3_s * now.thickness) } else { f64::INFINITY };
        let settled_before_kg_s = now.settled_kg_s;
        (now.settled_kg_s, now.pile_kg_s) = (0.0, 0.0);
        for class in 0..FINES_CLASSES {
            let removal = tank_removal(fines.fall_m_s[class] * per_speed, pond.tanks);
            let fresh = fines.fresh_kg_s[class];
            let kg_m3 = returned_kg_m3(fresh, pile_share, removal, carrying_m3_s, round_m3_s);
            let arriving = fresh + round_m3_s * kg_m3;
            now.pond_kg_m3[class] = kg_m3;
            now.pile_kg_s += pile_share * arriving;
            now.settled_kg_s += (1.0 - pile_share) * removal * arriving;
        }
        now.volume_share = fines.volume_share(&now.pond_kg_m3, pond.grain_kg_m3);
        if !(now.volume_share <= THICKEST_MUD) {
            return as_paste(now, fines, pond, settled_before_kg_s);
        }
        let steady = |a: f64, b: f64| (a - b).abs() <= TOLERANCE * b.abs();
        if steady(now.volume_share, guess) && steady(now.settled_kg_s, settled_before_kg_s) {
            now.closes = true;
            return now;
        }
        // Secant towards the point where a guess leads to itself; never beyond the paste, never backwards.
        let led_to = now.volume_share;
        let slope = before.map_or(0.0, |(g, l)| if guess != g { (led_to - l) / (guess - g) } else { 0.0 });
        let leap = guess + (led_to - guess) / (1.0 - slope);
        before = Some((guess, led_to));
        guess = if slope < 1.0 && leap > 0.0 && leap < THICKEST_MUD { leap } else { led_to };
    }
    let settled_kg_s = now.settled_kg_s;
    as_paste(now, fines, pond, settled_kg_s)
}

/// A circuit without balance, described by water as thick as the viscosity law goes, so that what follows has numbers to work
/// with; [`Circuit::closes`] says that they mean nothing.
fn as_paste(mut now: Circuit, fines: &Fines, pond: &PondBody, settled_kg_s: f64) -> Circuit {
    let finite = now.pond_kg_m3.iter().all(|c| c.is_finite());
    if !finite {
        // Only the classes without end matter.
        now.pond_kg_m3 = now.pond_kg_m3.map(|c| if c.is_finite() { 0.0 } else { 1.0 });
    }
    let share = fines.volume_share(&now.pond_kg_m3, pond.grain_kg_m3);
    if share > 0.0 {
        now.pond_kg_m3 = now.pond_kg_m3.map(|c| c * THICKEST_MUD / share);
    }
    now.volume_share = THICKEST_MUD;
    now.settled_kg_s = settled_kg_s;
    now.closes = false;
    now
}

#[cfg(test)]
mod tests {
    use super::super::pond::{return_share, steady_return_kg_m3};
    use super::*;
    use washgraph_units::constants::{QUARTZ_KG_M3, S_PER_H};

    fn plant() -> CircuitFlows {
        let q = 165.0 / S_PER_H;
        CircuitFlows {
            supplied_m3_s: q,
            recycled: 1.0,
            arriving_m3_s: q,
            arriving_supplied_m3_s: 0.99 * q,
            pile_m3_s: 0.02 * q,
            bleed_m3_s: 0.0,
            seepage_m3_s: 1.5e-4,
            seepage_carrying: 0.0,
            evaporation_m3_s: 7e-5,
            gained_m3_s: 0.0,
        }
    }

    fn pond(area_m2: f64) -> PondBody {
        PondBody { area_m2, tanks: 2.0, mud_dry_density_kg_m3: 700.0, grain_kg_m3: QUARTZ_KG_M3 }
    }

    fn fines(clay_fall_m_s: f64, clay_kg_s: f64) -> Fines {
        let mut fresh_kg_s = [0.05; FINES_CLASSES];
        let mut fall_m_s = [1e-6, 1.7e-5, 7e-5, 2e-4, 5e-4, 1e-3, 1.6e-3, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0];
        fresh_kg_s[SILT_CLASSES..].fill(clay_kg_s);
        fall_m_s[SILT_CLASSES..].fill(clay_fall_m_s);
        Fines { fresh_kg_s, fall_m_s, clay_swelling: 4.0 }
    }

    #[test]
    fn identity_one_class_without_pores_is_the_closed_form_of_the_pond() {
        let (fresh, q, bleed, removal) = (0.3, 0.05, 0.004, 0.4);
        let ours = returned_kg_m3(fresh, 0.0, removal, q, q - bleed);
        let theirs = steady_return_kg_m3(fresh, q, return_share(q - bleed, 0.0, bleed), removal);
        assert!((ours / theirs - 1.0).abs() < 1e-12);
        assert!(returned_kg_m3(0.1, 0.0, 0.0, 0.05, 0.05).is_infinite());
    }

    #[test]
    fn identity_books_of_fines_and_water_close() {
        let (flows, fines) = (plant(), fines(2e-5, 0.02));
        let c = balance(&flows, &pond(1_500.0), &fines);
        assert!(c.closes && c.rounds < 12, "{}", c.rounds);
        let hanging: f64 = c.pond_kg_m3.iter().sum();
        let wet_rock = flows.recycled * (flows.supplied_m3_s - flows.arriving_supplied_m3_s) * hanging;
        let out = c.settled_kg_s + c.pile_kg_s + hanging * (c.mud_water_m3_s + c.spill_m3_s) + wet_rock;
        let fresh: f64 = fines.fresh_kg_s.iter().sum();
        assert!((out / fresh - 1.0).abs() < 1e-9, "{out} {fresh}");
        assert!(c.fresh_m3_s > 0.0 && c.spill_m3_s == 0.0);
        let into = flows.arriving_m3_s + c.fresh_m3_s;
        let left = flows.returned_m3_s() + flows.pile_m3_s + c.mud_water_m3_s + 1.5e-4 + 7e-5;
        assert!((into / left - 1.0).abs() < 1e-12);
        // The balance leads to itself: removal in water of that thickness.
        let again = relative_viscosity_krieger_dougherty(c.volume_share, FINES_MAXIMUM_PACKING);
        assert!((again / c.thickness - 1.0).abs() < 1e-8);
    }

    #[test]
    fn property_larger_ponds_bleed_and_fresh_water_clean_the_return() {
        let dirt = |flows: &CircuitFlows, area: f64| {
            let c = balance(flows, &pond(area), &fines(2e-5, 0.02));
            assert!(c.closes);
            c.pond_kg_m3.iter().sum::<f64>()
        };
        let usual = dirt(&plant(), 1_500.0);
        assert!(dirt(&plant(), 3_000.0) < usual && dirt(&plant(), 700.0) > usual);
        assert!(dirt(&CircuitFlows { bleed_m3_s: 0.005, ..plant() }, 1_500.0) < usual);
        assert!(dirt(&CircuitFlows { recycled: 0.7, ..plant() }, 1_500.0) < usual);
        assert!(dirt(&CircuitFlows { gained_m3_s: 0.01, ..plant() }, 1_500.0) < usual);
    }

    #[test]
    fn property_clay_that_never_settles_ends_in_paste_and_says_so() {
        // 0.9 kg/s of clay that does not settle, against 3.3 m3/h that leaves in the pile.
        let never = balance(&plant(), &pond(1_500.0), &fines(0.0, 0.15));
        assert!(!never.closes && never.rounds <= MOST_ROUNDS);
        assert!((never.volume_share - THICKEST_MUD).abs() < 1e-12 && never.pond_kg_m3.iter().all(|c| c.is_finite()));
        // A bleed of a tenth of the water closes it.
        let bled = balance(&CircuitFlows { bleed_m3_s: 0.0045, ..plant() }, &pond(1_500.0), &fines(0.0, 0.06));
        assert!(bled.closes);
        // Nothing settles, nothing leaves: no end at all.
        let sealed = CircuitFlows { arriving_supplied_m3_s: plant().supplied_m3_s, pile_m3_s: 0.0, ..plant() };
        let mut only_clay = fines(0.0, 1e-6);
        only_clay.fresh_kg_s[..SILT_CLASSES].fill(0.0);
        let stuck = balance(&sealed, &pond(1_500.0), &only_clay);
        assert!(!stuck.closes && stuck.pond_kg_m3.iter().all(|c| c.is_finite()));
        // No fines at all: clear water.
        let mut none = only_clay;
        none.fresh_kg_s.fill(0.0);
        let clear = balance(&plant(), &pond(1_500.0), &none);
        assert!(clear.closes && clear.volume_share == 0.0);
    }
}
