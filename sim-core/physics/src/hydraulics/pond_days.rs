//! The pond day by day over a cut: will the water last, when is it full of mud, and how dirty does the water get.
//!
//! ```text
//!   each day:  run  ─ fines go round and build up, mud settles, water is used up
//!              rest ─ the plant stands: what hangs settles in still water; seepage and evaporation go on
//!              fill ─ fresh water, as much as is wanted and may be taken
//! ```
//! While the plant runs, each class obeys `dM/dt = s - k M` with `s = (1-p)(1-R) F` and
//! `k = (Q_c - (1-p)(1-R) Q_b)/V`; volume and settling stand still within a part of a day, so that its end is an exact
//! exponential: no step can be too long to be stable, and the end of a long run is [`super::circuit::balance`].

use super::circuit::{CircuitFlows, Fines};
use super::fines::{ByFines, FINES_CLASSES};
use super::pond::{jar_settled_share, tank_removal};
use super::pond_time::PondShape;
use crate::particle::water::{FINES_MAXIMUM_PACKING, THICKEST_MUD, relative_viscosity_krieger_dougherty};
use washgraph_units::constants::S_PER_DAY;
use washgraph_units::math::{exp, expm1};

/// How the pond is worked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayPlan {
    /// Running time in a day (s).
    pub run_s: f64,
    /// Fresh water that may be taken, around the clock (m3/s); infinite when there is always enough.
    pub fresh_limit_m3_s: f64,
    /// Water line at which fresh water is shut off, share of the pond's capacity (-).
    pub fill_to: f64,
    /// Mud is dug out every so many days; infinite when never.
    pub dig_out_days: f64,
}

/// What the pond holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PondHolds {
    /// Water over the mud (m3).
    pub water_m3: f64,
    /// Settled mud (m3).
    pub mud_m3: f64,
    /// Hanging fines (kg).
    pub fines_kg: ByFines,
}

/// One day.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Day {
    /// Time that the plant could run (s).
    pub ran_s: f64,
    /// Fines in the return water when it stopped (kg/m3).
    pub fines_kg_m3: f64,
    /// Fresh water taken (m3).
    pub fresh_m3: f64,
    /// Water that ran over (m3).
    pub spilled_m3: f64,
    /// Fines that came in, settled, and left with water (kg), for the books.
    pub books: FinesBook,
}

/// Fines of a day (kg): in = settled + out + change of what hangs.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FinesBook {
    /// Fresh fines that reached the pile and the pond.
    pub in_kg: f64,
    /// Became mud.
    pub settled_kg: f64,
    /// Left in the pores of the pile, on wet rock, with bleed, spill and seepage, and in the pores of the mud.
    pub out_kg: f64,
}

impl PondHolds {
    /// A pond filled to a share of its capacity with clear water over old mud.
    pub fn filled(shape: &PondShape, fill: f64, mud_share: f64) -> PondHolds {
        let mud_m3 = mud_share * shape.capacity_m3;
        PondHolds { water_m3: (fill * shape.capacity_m3 - mud_m3).max(0.0), mud_m3, fines_kg: [0.0; FINES_CLASSES] }
    }

    /// Height of the water line over the bottom (m).
    pub fn level_m(&self, shape: &PondShape) -> f64 {
        (self.water_m3 + self.mud_m3) / shape.area_m2
    }

    fn concentration_kg_m3(&self) -> ByFines {
        if self.water_m3 > 0.0 { self.fines_kg.map(|m| m / self.water_m3) } else { [0.0; FINES_CLASSES] }
    }

    /// Area that still settles, see [`super::pond_time::PondState::working_area_m2`].
    fn working_area_m2(&self, shape: &PondShape) -> f64 {
        let free_depth_m = ((shape.capacity_m3 - self.mud_m3) / shape.area_m2).max(0.0);
        shape.area_m2 * (free_depth_m / shape.working_depth_m).min(1.0)
    }

    /// Viscosity over that of clean water; water that has become a paste keeps the thickness at which the law ends, which
    /// [`super::circuit::Circuit::closes`] reports.
    fn thickness(&self, fines: &Fines, grain_kg_m3: f64) -> f64 {
        let share = fines.volume_share(&self.concentration_kg_m3(), grain_kg_m3).min(THICKEST_MUD);
        relative_viscosity_krieger_dougherty(share, FINES_MAXIMUM_PACKING)
    }

    /// Works one day; `day` counts from 1.
    pub fn work_day(
        &mut self,
        shape: &PondShape,
        flows: &CircuitFlows,
        fines: &Fines,
        grain_kg_m3: f64,
        plan: &DayPlan,
        day: u32,
    ) -> Day {
        let mut out = Day::default();
        let pore_m3_kg = 1.0 / shape.mud_dry_density_kg_m3 - 1.0 / grain_kg_m3;
        // Fines that settle tell how much water the mud takes up.
        let fresh_kg_s: f64 = fines.fresh_kg_s.iter().sum();
        let drain_m3_s = flows.short_m3_s(fresh_kg_s * pore_m3_kg) - plan.fresh_limit_m3_s;
        out.ran_s = if drain_m3_s > 0.0 { plan.run_s.min(self.water_m3 / drain_m3_s) } else { plan.run_s };
        // No run outlasts the room for its mud.
        let mud_m3_s = fresh_kg_s / shape.mud_dry_density_kg_m3;
        if mud_m3_s > 0.0 {
            out.ran_s = out.ran_s.min((shape.capacity_m3 - self.mud_m3).max(0.0) / mud_m3_s);
        }
        self.run(shape, flows, fines, grain_kg_m3, out.ran_s, &mut out.books);
        // The fresh water of the running hours comes in while the plant runs: it thins the water that is measured here.
        out.fresh_m3 = self.fill(shape, plan, out.ran_s);
        out.fines_kg_m3 = self.concentration_kg_m3().iter().sum();
        self.rest(shape, flows, fines, grain_kg_m3, S_PER_DAY - out.ran_s, &mut out.books);
        if plan.dig_out_days.is_finite() && f64::from(day) % plan.dig_out_days < 1.0 {
            self.mud_m3 = 0.0;
        }
        out.fresh_m3 += self.fill(shape, plan, S_PER_DAY - out.ran_s);
        out.spilled_m3 = self.spill(shape, &mut out.books);
        out
    }

    fn run(
        &mut self,
        shape: &PondShape,
        flows: &CircuitFlows,
        fines: &Fines,
        grain_kg_m3: f64,
        run_s: f64,
        books: &mut FinesBook,
    ) {
        let into_pond_m3_s = flows.arriving_m3_s - flows.pile_m3_s;
        if !(run_s > 0.0 && self.water_m3 > 0.0 && into_pond_m3_s > 0.0) {
            return;
        }
        let pore_m3_kg = 1.0 / shape.mud_dry_density_kg_m3 - 1.0 / grain_kg_m3;
        let pile_share = flows.pile_m3_s / flows.arriving_m3_s;
        let round_m3_s = flows.recycled * flows.arriving_supplied_m3_s;
        let wet_rock_m3_s = flows.returned_m3_s() - round_m3_s;
        let thickness = self.thickness(fines, grain_kg_m3);
        let per_speed = self.working_area_m2(shape) / (into_pond_m3_s * thickness);
        let fresh_kg_s: f64 = fines.fresh_kg_s.iter().sum();
        let others_m3_s = fresh_kg_s * pore_m3_kg + flows.bleed_m3_s + flows.seepage_carrying * flows.seepage_m3_s;
        let mut settled_kg = 0.0;
        for class in 0..FINES_CLASSES {
            let removal = tank_removal(fines.fall_m_s[class] * per_speed, shape.tanks);
            let passing = (1.0 - pile_share) * (1.0 - removal);
            let source_kg_s = passing * fines.fresh_kg_s[class];
            let rate_per_s = (flows.returned_m3_s() + others_m3_s - passing * round_m3_s) / self.water_m3;
            let before = self.fines_kg[class];
            let fade = rate_per_s * run_s;
            // (1 - e^-kt)/k, and t for k = 0.
            let mean_s = if fade > 1e-12 { -expm1(-fade) / rate_per_s } else { run_s };
            let after = before * exp(-fade) + source_kg_s * mean_s;
            // Integral of the hanging mass over the run, kg s.
            let hung_kg_s =
                if fade > 1e-12 { (source_kg_s * run_s + before - after) / rate_per_s } else { before * run_s };
            let came_round_kg = round_m3_s / self.water_m3 * hung_kg_s;
            let reached_kg = fines.fresh_kg_s[class] * run_s + came_round_kg;
            let settled = (1.0 - pile_share) * removal * reached_kg;
            books.in_kg += fines.fresh_kg_s[class] * run_s;
            books.out_kg += pile_share * reached_kg + (wet_rock_m3_s + others_m3_s) / self.water_m3 * hung_kg_s;
            settled_kg += settled;
            self.fines_kg[class] = after;
        }
        books.settled_kg += settled_kg;
        self.mud_m3 += settled_kg / shape.mud_dry_density_kg_m3;
        self.water_m3 = (self.water_m3 - flows.short_m3_s(settled_kg / run_s * pore_m3_kg) * run_s).max(0.0);
    }

    fn rest(
        &mut self,
        shape: &PondShape,
        flows: &CircuitFlows,
        fines: &Fines,
        grain_kg_m3: f64,
        rest_s: f64,
        books: &mut FinesBook,
    ) {
        let depth_m = self.water_m3 / shape.area_m2;
        if depth_m > 0.0 {
            let thickness = self.thickness(fines, grain_kg_m3);
            let mut settled_kg = 0.0;
            for (mass, fall) in self.fines_kg.iter_mut().zip(&fines.fall_m_s) {
                let settled = *mass * jar_settled_share(fall / thickness, rest_s, depth_m);
                *mass -= settled;
                settled_kg += settled;
            }
            books.settled_kg += settled_kg;
            self.mud_m3 += settled_kg / shape.mud_dry_density_kg_m3;
        }
        let lost_m3 = (flows.seepage_m3_s + flows.evaporation_m3_s - flows.gained_m3_s) * rest_s;
        self.water_m3 = (self.water_m3 - lost_m3).max(0.0);
    }

    /// Takes fresh water for a time, up to the line; returns how much (m3).
    fn fill(&mut self, shape: &PondShape, plan: &DayPlan, time_s: f64) -> f64 {
        let wanted_m3 = (plan.fill_to * shape.capacity_m3 - self.mud_m3 - self.water_m3).max(0.0);
        // An unlimited supply times no time is no water, not NaN.
        let may_m3 = if time_s > 0.0 { plan.fresh_limit_m3_s * time_s } else { 0.0 };
        let fresh_m3 = wanted_m3.min(may_m3);
        self.water_m3 += fresh_m3;
        fresh_m3
    }

    /// Lets run over what the pond cannot hold.
    fn spill(&mut self, shape: &PondShape, books: &mut FinesBook) -> f64 {
        let room_m3 = (shape.capacity_m3 - self.mud_m3).max(0.0);
        if self.water_m3 <= room_m3 {
            return 0.0;
        }
        let spilled_m3 = self.water_m3 - room_m3;
        let stays = room_m3 / self.water_m3;
        for mass in &mut self.fines_kg {
            books.out_kg += *mass * (1.0 - stays);
            *mass *= stays;
        }
        self.water_m3 = room_m3;
        spilled_m3
    }
}

#[cfg(test)]
mod tests {
    use super::super::circuit::{PondBody, balance};
    use super::super::fines::SILT_CLASSES;
    use super::*;
    use washgraph_units::constants::{QUARTZ_KG_M3, S_PER_H};

    const GRAIN: f64 = QUARTZ_KG_M3;

    fn shape() -> PondShape {
        PondShape {
            area_m2: 1_500.0,
            capacity_m3: 2_250.0,
            tanks: 2.0,
            working_depth_m: 0.6,
            mud_dry_density_kg_m3: 700.0,
        }
    }

    fn flows() -> CircuitFlows {
        let q = 165.0 / S_PER_H;
        CircuitFlows {
            supplied_m3_s: q,
            recycled: 1.0,
            arriving_m3_s: q,
            arriving_supplied_m3_s: 0.99 * q,
            pile_m3_s: 0.02 * q,
            seepage_m3_s: 1.5e-4,
            evaporation_m3_s: 7e-5,
            ..CircuitFlows::default()
        }
    }

    fn fines() -> Fines {
        let mut fresh_kg_s = [0.03; FINES_CLASSES];
        fresh_kg_s[SILT_CLASSES..].fill(0.004);
        let mut fall_m_s = [1e-6, 1.7e-5, 7e-5, 2e-4, 5e-4, 1e-3, 1.6e-3, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0];
        fall_m_s[SILT_CLASSES..].fill(1.5e-5);
        Fines { fresh_kg_s, fall_m_s, clay_swelling: 4.0 }
    }

    const ALWAYS: DayPlan =
        DayPlan { run_s: S_PER_DAY, fresh_limit_m3_s: f64::INFINITY, fill_to: 1.0, dig_out_days: 1.0 };

    #[test]
    fn identity_days_without_rest_end_at_the_circuit_in_balance() {
        let (shape, flows, fines) = (shape(), flows(), fines());
        let mut pond = PondHolds::filled(&shape, 1.0, 0.0);
        let mut last = Day::default();
        for day in 1..=400 {
            let before: f64 = pond.fines_kg.iter().sum();
            last = pond.work_day(&shape, &flows, &fines, GRAIN, &ALWAYS, day);
            let change = pond.fines_kg.iter().sum::<f64>() - before;
            let b = last.books;
            assert!((b.in_kg - b.settled_kg - b.out_kg - change).abs() < 1e-9 * b.in_kg, "day {day}");
        }
        let body = PondBody { area_m2: 1_500.0, tanks: 2.0, mud_dry_density_kg_m3: 700.0, grain_kg_m3: GRAIN };
        let steady = balance(&flows, &body, &fines);
        // The day takes the water of the mud from the fresh fines, the balance from those that settle.
        let expected: f64 = steady.pond_kg_m3.iter().sum();
        assert!((last.fines_kg_m3 / expected - 1.0).abs() < 0.02, "{} {expected}", last.fines_kg_m3);
    }

    #[test]
    fn property_a_night_clears_water_and_a_cut_fills_with_mud() {
        let (shape, flows, fines) = (shape(), flows(), fines());
        let plan = DayPlan { run_s: 36_000.0, dig_out_days: f64::INFINITY, ..ALWAYS };
        let mut pond = PondHolds::filled(&shape, 1.0, 0.0);
        let first = pond.work_day(&shape, &flows, &fines, GRAIN, &plan, 1);
        let hanging: f64 = pond.fines_kg.iter().sum::<f64>() / pond.water_m3;
        assert!(hanging < first.fines_kg_m3);
        let mut dirtiest: f64 = first.fines_kg_m3;
        for day in 2..=60 {
            dirtiest = dirtiest.max(pond.work_day(&shape, &flows, &fines, GRAIN, &plan, day).fines_kg_m3);
        }
        assert!(dirtiest > first.fines_kg_m3);
        // 0.21 kg/s of silt, ten hours a day, sixty days, 700 kg/m3: some 600 m3.
        assert!(pond.mud_m3 > 400.0 && pond.mud_m3 < 750.0, "{}", pond.mud_m3);
        assert!((pond.level_m(&shape) - 1.5).abs() < 1e-9);
        // Dug out every ten days it stays cleaner.
        let mut dug = PondHolds::filled(&shape, 1.0, 0.0);
        for day in 1..=60 {
            dug.work_day(&shape, &flows, &fines, GRAIN, &DayPlan { dig_out_days: 10.0, ..plan }, day);
        }
        assert!(dug.mud_m3 < 1.0);
    }

    #[test]
    fn property_without_fresh_water_the_pond_runs_dry_and_the_plant_stands() {
        let (shape, flows, fines) = (shape(), flows(), fines());
        let plan = DayPlan { run_s: 36_000.0, fresh_limit_m3_s: 0.0, dig_out_days: f64::INFINITY, ..ALWAYS };
        let mut pond = PondHolds::filled(&shape, 0.3, 0.0);
        let mut ran = Vec::new();
        let mut level = pond.level_m(&shape);
        for day in 1..=60 {
            let d = pond.work_day(&shape, &flows, &fines, GRAIN, &plan, day);
            ran.push(d.ran_s);
            assert!(d.fresh_m3 == 0.0 && pond.water_m3 >= 0.0);
            assert!(pond.level_m(&shape) < level + 0.02);
            level = pond.level_m(&shape);
        }
        assert_eq!(ran[0], 36_000.0);
        assert!(ran[59] < 1_000.0, "{}", ran[59]);
    }
}
