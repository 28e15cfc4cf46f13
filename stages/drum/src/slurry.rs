//! Water in the drum beside the bed: the pools behind rings, the length of screen that drains it.

use sim_core::drum::Drum;
use sim_core::drum::lifters::{Lifters, Spill, beats_the_shell, landing_speed_m_s, lift_power_w_m};
use sim_core::drum::pool::{Pool, PoolCase, WEIR_DISCHARGE};
use sim_core::drum::residence::plate_drain_m_s;
use sim_core::drum::{SectionOutcome, geometry};
use sim_core::math::cos;
use sim_core::stage::Trial;
use sim_core::stream::Stream;

use crate::built::{DrumStage, Scratch, VOIDS};

/// Depth of water that stands over the plate where it begins, m, at least. Assumed.
const LEAST_DEPTH_M: f64 = 0.05;

/// What the water does in a trial.
pub(crate) struct Wet {
    /// Torque that pools take off, N m.
    pub(crate) relief_n_m: f64,
    /// Water runs over the end of the screen.
    pub(crate) overruns: bool,
}

impl DrumStage {
    /// Pools of the closed sections ahead of the first holes, and the drain of the screen.
    pub(crate) fn wet(
        &self,
        trial: &Trial<'_>,
        feed: &Stream,
        scratch: &Scratch,
        shell: &Drum,
        out: &mut [f64],
    ) -> Wet {
        let mut water_m3_s = feed.water_m3_s;
        let mut wet = Wet { relief_n_m: 0.0, overruns: false };
        let mut depth_m = LEAST_DEPTH_M;
        let (mut screen_m, mut open_m, mut all_m3_s) = (0.0, 0.0, feed.water_m3_s);
        for (i, (laws, mounted)) in scratch.laws.iter().zip(&self.water).enumerate() {
            let sprayed = mounted.iter().map(|m| trial.water_m3_s(m)).sum::<f64>();
            water_m3_s += sprayed;
            all_m3_s += sprayed;
            if let Some((time, level)) = self.m.sections[i].pool {
                let case = PoolCase {
                    radius_m: shell.radius_m(),
                    slope: shell.slope,
                    ring_m: laws.exit_ring_m(),
                    flow_m3_s: water_m3_s,
                    water_kg_m3: trial.ground.water.density_kg_m3,
                    repose_rad: shell.repose_rad,
                    voids: VOIDS,
                };
                let (step_m, bed) = scratch.march.half_angles_upstream(i, laws.length_m());
                let pool = Pool::behind(&case, step_m, bed);
                wet.relief_n_m += pool.relief_n_m;
                (out[time], out[level]) = (pool.slurry_s, pool.level_m);
                depth_m = pool.head_m.max(LEAST_DEPTH_M);
            } else if let Some(holes) = self.plans[i].holes() {
                let blinded = laws.blinded(&scratch.march.outcome().sections()[i].middle_bed).map_or(0.0, |b| b.0);
                screen_m += laws.length_m();
                open_m += laws.length_m() * holes.open_share * (1.0 - blinded);
            }
        }
        if screen_m > 0.0 {
            let open = open_m / screen_m;
            let width_m = 2.0 * geometry::half_chord_m(depth_m, shell.radius_m());
            let length_m = all_m3_s / (plate_drain_m_s(WEIR_DISCHARGE, open, depth_m) * width_m);
            out[self.m.drain] = length_m;
            wet.overruns = length_m > screen_m;
        }
        wet
    }

    /// Speed at which lifted stones land, and the power of those that miss the bed. Returns whether there are lifters.
    pub(crate) fn lifted(&self, scratch: &Scratch, shell: &Drum, out: &mut [f64]) -> bool {
        let Some((speed, beating)) = self.m.lifters else { return false };
        let spill = Spill::at(shell.repose_rad);
        let (mut fastest_m_s, mut beaten_w): (f64, f64) = (0.0, 0.0);
        for (section, laws) in scratch.march.outcome().sections().iter().zip(&scratch.laws) {
            if let Some(lifters) = laws.lifters() {
                let (landing_m_s, shell_w) = landing(lifters, section, laws.length_m(), shell, &spill);
                fastest_m_s = fastest_m_s.max(landing_m_s);
                beaten_w += shell_w;
            }
        }
        (out[speed], out[beating]) = (fastest_m_s, beaten_w);
        true
    }
}

/// Landing speed at the shallower end of a section, and power onto bare shell, by its two ends.
fn landing(lifters: Lifters, section: &SectionOutcome, length_m: f64, shell: &Drum, spill: &Spill) -> (f64, f64) {
    let radius_m = shell.radius_m();
    let (mut fastest_m_s, mut beaten_w) = (0.0_f64, 0.0);
    for depth_m in [section.entry_depth_m, section.exit_depth_m] {
        let phi = geometry::half_angle_rad(depth_m, radius_m);
        let lift = lifters.lift(geometry::segment_area_m2(phi, radius_m), cos(phi), radius_m, spill);
        fastest_m_s = fastest_m_s.max(landing_speed_m_s(lift.drop_m));
        if beats_the_shell(lifters.height_m, radius_m, phi, shell.repose_rad) {
            beaten_w += 0.5
                * length_m
                * lift_power_w_m(shell.speed_rev_s, lift.lifted_m2, shell.wet_density_kg_m3, lift.drop_m);
        }
    }
    (fastest_m_s, beaten_w)
}
