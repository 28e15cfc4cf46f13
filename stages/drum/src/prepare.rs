//! Sizes, flows and section laws set to a trial, and who rides in the bed and who in the slurry.

use sim_core::drum::Drum;
use sim_core::size::gold_class;
use sim_core::stage::{GoldAxes, GravelFed, SectionTrial, Trial};
use sim_core::stream::Stream;

use crate::built::{DrumStage, Scratch};

/// Gravel of the size of gold times this settles as the gold does: (16/1.65)^0.7 between viscous and turbulent settling.
/// Shape left out; assumed.
const GOLD_SETTLES_AS: f64 = 4.9;

/// Share of a size that rides in the slurry, 1/(1 + (d/d_s)^3); d_s the size that does so by half, 0.5-1 mm for gravel.
///
/// Assumed here; that drums carry two populations is from a review of scrubbers (seen).
fn share_in_slurry(size_m: f64, half_m: f64) -> f64 {
    let ratio = size_m / half_m;
    1.0 / (1.0 + ratio * ratio * ratio)
}

/// Size of gravel that settles like gold of this size, m.
fn settling_with_gravel_m(gold_m: f64) -> f64 {
    GOLD_SETTLES_AS * gold_m
}

impl DrumStage {
    /// Sets sizes, flows and section laws to a trial.
    pub(crate) fn prepare(&self, trial: &Trial<'_>, feed: &Stream, scratch: &mut Scratch, shell: &Drum) {
        self.gravel.spread(&feed.rock_kg_s, &mut scratch.gravel_kg_s);
        for ((axes, class), size_m) in scratch.gold_axes.iter_mut().zip(self.gold.class()).zip(self.gold.size_m()) {
            let settled = &trial.ground.settling[*class];
            let middle = gold_class(*class).middle_m;
            let at_middle =
                GoldAxes { sieve_m: middle, intermediate_m: settled.intermediate_m, thickness_m: settled.thickness_m };
            *axes = at_middle.scaled(size_m / middle);
        }
        scratch.gold_in_bed[..self.gold.len()].fill(1.0);
        if let Some(half_m) = self.slurry_m {
            for (flow, size_m) in scratch.gravel_kg_s.iter_mut().zip(self.gravel.size_m()) {
                *flow *= 1.0 - share_in_slurry(*size_m, half_m);
            }
            for (share, axes) in scratch.gold_in_bed.iter_mut().zip(&scratch.gold_axes) {
                *share = 1.0 - share_in_slurry(settling_with_gravel_m(axes.sieve_m), half_m);
            }
        }
        let mut water_m3_s = feed.added_water_m3_s;
        let gravel = GravelFed {
            size_m: self.gravel.size_m(),
            low_m: self.gravel.low_m(),
            high_m: self.gravel.high_m(),
            flow_kg_s: &scratch.gravel_kg_s[..self.gravel.len()],
            density_kg_m3: trial.ground.rock_density_kg_m3,
        };
        for (laws, mounted) in scratch.laws.iter_mut().zip(&self.water) {
            water_m3_s += mounted.iter().map(|m| trial.water_m3_s(m)).sum::<f64>();
            laws.set_trial(
                trial,
                &SectionTrial {
                    added_water_m3_s: water_m3_s,
                    speed_over_critical: shell.speed_over_critical(),
                    speed_rev_s: shell.speed_rev_s,
                    circumference_m: std::f64::consts::PI * shell.diameter_m,
                    gravel,
                    gold: &scratch.gold_axes[..self.gold.len()],
                },
            );
        }
    }
}
