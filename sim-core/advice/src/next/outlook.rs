//! What the plant promises before and after tuning: recovery, losses, the choice of holes, money.

use std::sync::Arc;
use std::sync::atomic::AtomicU64;

use sim_core::lever::Serves;
use sim_core::plant::Plant;
use sim_core::trial::{Course, run_course};
use washgraph_model::result::RunResult;
use washgraph_model::tune::Tuning;

use crate::holes::study::{hole_changes, usual_sizes};
use crate::plants::base::Base;
use crate::plants::contest::Contest;

/// Trials of the plant itself.
const TRIALS: usize = 2000;
/// Trials of each hole size.
const HOLE_TRIALS: usize = 600;
/// Hole sizes on each side of the present one.
const SIZES_ASIDE: usize = 2;

/// What a plant promises.
pub struct Outlook {
    /// Its result.
    pub outcome: RunResult,
    /// Hole sizes around the present one on the same ground, only the plate changed; `None` without a screen.
    pub holes: Option<Contest>,
}

impl Outlook {
    /// The plant of a scenario as written, and with its tuned constants. The same trials, so that what differs is the tuning.
    pub fn before_and_after(base: &Base<'_>, tuning: &Tuning, seed: u64) -> Result<(Outlook, Outlook), String> {
        let done = AtomicU64::new(0);
        let mut plant = base.variant(&[])?;
        let mut plates = plates(base);
        // Nobody looks at the pond day by day here.
        let course = Course { long_trials: 0, ..Course::first(seed, TRIALS) };
        let look = |plant: &Plant, plates: &[(String, Plant)]| -> Result<Outlook, String> {
            let outcome = RunResult::new(plant, seed, &run_course(plant, &course, &done));
            if !(outcome.gold.fed_g_per_h.mean > 0.0) || !outcome.gold.recovery.mean.is_finite() {
                return Err("no gold reaches the plant, or the physics has no answer here".into());
            }
            let holes = (plates.len() > 1).then(|| Contest::run(plates, seed, HOLE_TRIALS, &done));
            Ok(Outlook { outcome, holes })
        };
        let before = look(&plant, &plates)?;
        tuned(&mut plant, tuning);
        plates.iter_mut().for_each(|(_, p)| tuned(p, tuning));
        let after = look(&plant, &plates)?;
        Ok((before, after))
    }

    /// Names of hole sizes and the chance that each brings the most money, or the most gold without money.
    pub fn hole_chances(&self) -> Vec<(String, f64)> {
        let Some(holes) = &self.holes else { return Vec::new() };
        let Some(choice) = holes.money.as_ref().or(holes.gold.as_ref()) else { return Vec::new() };
        holes.design_runs.iter().zip(&choice.chance_best).map(|(a, c)| (a.name.clone(), *c)).collect()
    }

    /// The hole size that brings the most on average.
    pub fn best_hole(&self) -> Option<&str> {
        let holes = self.holes.as_ref()?;
        let choice = holes.money.as_ref().or(holes.gold.as_ref())?;
        holes.design_runs.get(choice.best).map(|a| a.name.as_str())
    }
}

/// Draws the constants of a plant as tuned.
pub fn tuned(plant: &mut Plant, tuning: &Tuning) {
    let joint = tuning.joint(plant).map(Arc::new);
    plant.inputs.set_joint(joint);
}

/// The plant with hole sizes next to the present one; sizes that cannot be built are left out.
fn plates(base: &Base<'_>) -> Vec<(String, Plant)> {
    let Some(hole) = base.levers_that(Serves::Hole).next_back() else { return Vec::new() };
    let present_m = base.si(&hole.at.path);
    let sizes = usual_sizes(base, present_m);
    let below = sizes.iter().filter(|s| s.1 < 0.999 * present_m).count();
    let near = sizes.iter().skip(below.saturating_sub(SIZES_ASIDE)).take(2 * SIZES_ASIDE + 1);
    near.filter_map(|(name, _)| {
        let changes = hole_changes(base, &hole, name, None).ok()?;
        Some((name.clone(), base.variant(&changes).ok()?))
    })
    .collect()
}
