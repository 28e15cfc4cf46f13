//! What washed rock carries over the end: film and coating, and what the sprays take off them.

use sim_core::drum::rinse::{SHAPE_FACTOR, after_bar_kg_m3, coating_left, surface_m2_kg};
use sim_core::size::{GOLD_CLASSES, SOLID_CLASSES, gold_class, solid_class};
use sim_core::stage::Trial;
use sim_core::stream::Stream;

use crate::built::DrumStage;

/// Gold and fines below this size travel with the film. Assumed.
const FILM_SIZE_M: f64 = 0.1e-3;

impl DrumStage {
    /// Moves the film and the coating, with the fines and fine gold in them, to the oversize. Returns the fines that stay on
    /// the rock, kg/s, those of dirty spray water included.
    pub(crate) fn rinse(
        &self,
        trial: &Trial<'_>,
        undersize: &mut Stream,
        oversize: &mut Stream,
        water_in: f64,
        note: usize,
    ) -> f64 {
        let ground = trial.ground;
        let mut surface_m2_s = 0.0;
        for c in 0..SOLID_CLASSES {
            let class = solid_class(c);
            if class.middle_m > FILM_SIZE_M {
                surface_m2_s +=
                    oversize.rock_kg_s[c] * surface_m2_kg(ground.rock_density_kg_m3, class.middle_m, SHAPE_FACTOR);
            }
        }
        let rock_kg_s: f64 = oversize.rock_kg_s.iter().sum();
        let film_m3_s = (surface_m2_s * trial.get(self.film_thickness)).min(water_in);
        // The bars on the sections with holes rinse the rock one after another, from the feed end; the pressure that counts
        // for the coating is that of the strongest. Liquor of strength 1 before the first bar; dirty return water brings fines
        // of its own, but no gold.
        let mixing = trial.get(self.spray_mixing);
        let mut spray_m3_s = 0.0;
        let mut pressure_pa: f64 = 0.0;
        let (mut rinsed, mut brought_kg_m3) = (1.0, 0.0);
        for (plan, mounted) in self.plans.iter().zip(&self.water) {
            if plan.holes().is_none() || !(film_m3_s > 0.0) {
                continue;
            }
            for m in mounted {
                let flow_m3_s = trial.water_m3_s(m);
                spray_m3_s += flow_m3_s;
                pressure_pa = pressure_pa.max(trial.outlets.get(m.index).map_or(0.0, |o| o.pressure_pa));
                rinsed = after_bar_kg_m3(film_m3_s, rinsed, flow_m3_s, 0.0, mixing);
                brought_kg_m3 =
                    after_bar_kg_m3(film_m3_s, brought_kg_m3, flow_m3_s, trial.return_water.fines_kg_m3, mixing);
            }
        }
        let in_film = if water_in > 0.0 { film_m3_s / water_in } else { 0.0 } * rinsed;
        let fines_kg_s: f64 = undersize.clay_kg_s
            + (0..SOLID_CLASSES)
                .filter(|c| solid_class(*c).middle_m < FILM_SIZE_M)
                .map(|c| undersize.rock_kg_s[c])
                .sum::<f64>();
        let spray_l_kg = if rock_kg_s > 0.0 { 1000.0 * spray_m3_s / rock_kg_s } else { 0.0 };
        let coat_kg_s =
            trial.get(self.coating) * rock_kg_s * coating_left(trial.get(self.coating_wash), spray_l_kg, pressure_pa);
        let in_coat = if fines_kg_s > 0.0 { coat_kg_s / fines_kg_s } else { 0.0 };
        let moved = (in_film + in_coat).min(1.0);
        let mut on_rock_kg_s = film_m3_s * brought_kg_m3;
        for c in 0..SOLID_CLASSES {
            if solid_class(c).middle_m < FILM_SIZE_M {
                let kg_s = undersize.rock_kg_s[c] * moved;
                undersize.rock_kg_s[c] -= kg_s;
                oversize.rock_kg_s[c] += kg_s;
                on_rock_kg_s += kg_s;
            }
        }
        let clay = undersize.clay_kg_s * moved;
        undersize.clay_kg_s -= clay;
        oversize.clay_kg_s += clay;
        for g in 0..GOLD_CLASSES {
            if gold_class(g).middle_m < FILM_SIZE_M {
                let kg_s = undersize.gold_kg_s[g] * moved;
                undersize.gold_kg_s[g] -= kg_s;
                oversize.gold_kg_s[g] += kg_s;
                oversize.astray_kg_s[note][g] += kg_s;
            }
        }
        oversize.water_m3_s = film_m3_s;
        undersize.water_m3_s = water_in - film_m3_s;
        on_rock_kg_s + clay
    }
}
