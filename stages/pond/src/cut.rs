//! The pond over the days of a cut: how long water and room for mud last, and its course.

use sim_core::constants::S_PER_DAY;
use sim_core::hydraulics::circuit::{Circuit, CircuitFlows, Fines, PondBody};
use sim_core::hydraulics::pond_days::{DayPlan, PondHolds};
use sim_core::hydraulics::pond_time::PondShape;
use sim_core::quantity::Dimension;
use sim_core::stage::StageBuilder;

/// What is built and worked, known for all trials.
pub(crate) struct Basin {
    pub area_m2: f64,
    pub capacity_m3: f64,
    pub working_depth_m: f64,
}

/// How the pond is worked over the cut.
pub(crate) struct Cut {
    pub days: f64,
    pub run_s: f64,
    pub fresh_limit_m3_s: f64,
    pub start_full: f64,
    pub old_mud: f64,
    pub dig_out_days: f64,
}

/// How long things last.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Lasting {
    /// Fresh water that the pond takes in a day of running and rest to keep its level, m3; negative when it gains.
    pub need_a_day_m3: f64,
    /// Room that the mud of a day takes, m3.
    pub mud_a_day_m3: f64,
    /// Time that the water lasts, s, at most the cut.
    pub water_s: f64,
    /// Time until mud leaves less than the working depth, s, at most the cut.
    pub mud_s: f64,
}

impl Cut {
    /// Straight lines: what a day takes and brings stays the same all through the cut.
    pub fn lasting(&self, basin: &Basin, flows: &CircuitFlows, circuit: &Circuit, body: &PondBody) -> Lasting {
        let cut_s = self.days * S_PER_DAY;
        let rest_s = S_PER_DAY - self.run_s;
        let resting_m3_s = flows.seepage_m3_s + flows.evaporation_m3_s - flows.gained_m3_s;
        let need_a_day_m3 = flows.short_m3_s(circuit.mud_water_m3_s) * self.run_s + resting_m3_s * rest_s;
        let mud_a_day_m3 = circuit.settled_kg_s * self.run_s / body.mud_dry_density_kg_m3;
        let water_m3 = (self.start_full - self.old_mud) * basin.capacity_m3;
        let days_of = |stock_m3: f64, a_day_m3: f64| {
            if a_day_m3 > 0.0 { (stock_m3.max(0.0) / a_day_m3 * S_PER_DAY).min(cut_s) } else { cut_s }
        };
        let room_m3 = (1.0 - self.old_mud) * basin.capacity_m3 - basin.working_depth_m * basin.area_m2;
        let fills_s = days_of(room_m3, mud_a_day_m3);
        Lasting {
            need_a_day_m3,
            mud_a_day_m3,
            water_s: days_of(water_m3, need_a_day_m3 - self.fresh_limit_m3_s * S_PER_DAY),
            // Dug out before it fills, the pond has room all through the cut.
            mud_s: if self.dig_out_days * S_PER_DAY < fills_s { cut_s } else { fills_s },
        }
    }
}

/// Name of the courses in results.
const LEVEL: &str = "pond_level";
const MUD: &str = "pond_mud_level";
const FINES: &str = "pond_returned_fines";
const RUNNING: &str = "pond_running";
/// Days shown, at most.
const MOST_POINTS: usize = 13;

/// The course of the pond: its days and the numbers of the measures.
pub(crate) struct CutDays {
    days: Vec<u32>,
    level: Vec<usize>,
    mud: Vec<usize>,
    fines: Vec<usize>,
    running: Vec<usize>,
}

impl CutDays {
    /// Declares the course: day 0 and then up to twelve days as evenly as whole days allow.
    pub fn declare(b: &mut StageBuilder<'_>, cut: &Cut) -> CutDays {
        let last = (cut.days.floor() as u32).max(1);
        let steps = (MOST_POINTS as u32 - 1).min(last);
        let days: Vec<u32> = (0..=steps).map(|k| (f64::from(k * last) / f64::from(steps)).round() as u32).collect();
        let mut course = |name, dimension, words: &str| {
            days.iter().map(|d| b.day(name, f64::from(*d), dimension, words)).collect::<Vec<usize>>()
        };
        let level = course(LEVEL, Dimension::Length, "height of the water line over the bottom, in the morning");
        let mud = course(MUD, Dimension::Length, "height of the mud, if it lay flat");
        let fines = course(FINES, Dimension::Density, "fines in the water of the outlets when the last run ended");
        let running = course(
            RUNNING,
            Dimension::Fraction,
            "share of the day's running time for which water and room for mud last",
        );
        CutDays { days, level, mud, fines, running }
    }

    /// Works the pond day by day and writes the days that are shown.
    pub fn work(
        &self,
        cut: &Cut,
        basin: &Basin,
        flows: &CircuitFlows,
        fines: &Fines,
        body: &PondBody,
        measures: &mut [f64],
    ) {
        let shape = PondShape {
            area_m2: basin.area_m2,
            capacity_m3: basin.capacity_m3,
            tanks: body.tanks,
            working_depth_m: basin.working_depth_m,
            mud_dry_density_kg_m3: body.mud_dry_density_kg_m3,
        };
        let plan = DayPlan {
            run_s: cut.run_s,
            fresh_limit_m3_s: cut.fresh_limit_m3_s,
            fill_to: cut.start_full,
            dig_out_days: cut.dig_out_days,
        };
        let mut pond = PondHolds::filled(&shape, cut.start_full, cut.old_mud);
        let mut day = 0;
        // What the water was like when the plant last ran: a plant that stands gives no water back.
        let (mut returned_kg_m3, mut running) = (0.0, 1.0);
        for (k, shown) in self.days.iter().enumerate() {
            while day < *shown {
                day += 1;
                let worked = pond.work_day(&shape, flows, fines, body.grain_kg_m3, &plan, day);
                running = worked.ran_s / plan.run_s;
                if worked.ran_s > 0.0 {
                    returned_kg_m3 = flows.recycled * worked.fines_kg_m3;
                }
            }
            measures[self.level[k]] = pond.level_m(&shape);
            measures[self.mud[k]] = pond.mud_m3 / shape.area_m2;
            measures[self.fines[k]] = returned_kg_m3;
            measures[self.running[k]] = running;
        }
    }
}
