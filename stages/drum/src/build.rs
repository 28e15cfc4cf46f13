//! From the settings of a drum to a drum that cannot be wrong.

use sim_core::drum::MAX_SECTIONS;
use sim_core::drum::transport::critical_speed_rev_s;
use sim_core::stage::{Holes, Mounted, SectionBuilder, StageBuilder};

use crate::built::{Built, DrumStage};
use crate::drive::Drive;
use crate::numbers::Numbers;
use crate::points;

/// Feed opening over drum diameter unless given. Common practice, no source.
const USUAL_OPENING: f64 = 0.6;

/// Builds a drum, or records what is wrong.
pub(crate) fn build(b: &mut StageBuilder<'_>) -> Option<DrumStage> {
    let s = b.settings;
    let diameter_m = s.number("diameter");
    let critical = critical_speed_rev_s(diameter_m, 0.0);
    let speed_rev_s = if s.of_critical("speed") { s.number("speed") * critical } else { s.number("speed") };
    if speed_rev_s >= critical {
        b.problems.error(
            s.place("speed"),
            format!(
                "at {:.0} rpm a drum of this diameter centrifuges: its critical speed is {:.0} rpm",
                speed_rev_s * 60.0,
                critical * 60.0
            ),
            "30 to 45 % of critical is usual",
        );
        return None;
    }
    let opening_m = s.maybe("feed_opening").unwrap_or(USUAL_OPENING * diameter_m);
    if opening_m >= diameter_m {
        b.problems.error(
            s.place("feed_opening"),
            "the feed opening is not smaller than the drum",
            "give its diameter; usual is 0.6 of the drum",
        );
        return None;
    }
    if b.sections.len() > MAX_SECTIONS {
        b.problems.error(
            s.span.clone(),
            format!("a drum has at most {MAX_SECTIONS} sections"),
            "join sections of the same kind",
        );
        return None;
    }
    let mut plans = Vec::new();
    for section in b.sections {
        let plan =
            (section.kind.build)(&mut SectionBuilder { settings: &section.settings, drum: s, problems: b.problems });
        plans.push(plan?);
    }
    let water = (0..b.sections.len())
        .map(|i| {
            let here = |m: &&Mounted| match &m.section {
                Some(name) => b.sections.get(i).is_some_and(|x| x.id == *name),
                None => i == 0,
            };
            b.mounted.iter().filter(here).cloned().collect()
        })
        .collect();
    let all: Vec<Holes> = plans.iter().filter_map(|p| p.holes()).collect();
    if all.is_empty() {
        b.problems.error(
            s.span.clone(),
            "the drum has no section with holes: all would go over the end",
            "add a [[stage.section]] of kind screen",
        );
        return None;
    }
    let holes = all.iter().copied().max_by(|x, y| x.hole_m.total_cmp(&y.hole_m));
    let gravel_holes: Vec<f64> = all.iter().map(|h| h.gravel_m).collect();
    let gold_holes: Vec<f64> = all.iter().map(|h| h.gold_m).collect();
    let (gravel, gold) = match (points::gravel(&gravel_holes), points::gold(&gold_holes)) {
        (Ok(gravel), Ok(gold)) => (gravel, gold),
        (Err(error), _) | (_, Err(error)) => {
            b.problems.error(s.span.clone(), format!("the drum: {error}"), "");
            return None;
        }
    };
    let names: Vec<String> = b.sections.iter().map(|x| x.id.clone()).collect();
    let lengths: Vec<f64> = plans.iter().map(|p| p.new_laws().length_m()).collect();
    for (section, plan) in b.sections.iter().zip(&plans) {
        if plan.new_laws().exit_ring_m() >= 0.5 * diameter_m {
            b.problems.error(
                section.settings.place("exit_ring"),
                "the ring reaches the axis of the drum: nothing could pass it",
                "give its height above the shell; 2 to 4 in is usual on a small drum",
            );
            return None;
        }
    }
    let drive = Drive::new(b, diameter_m, lengths.iter().sum(), speed_rev_s);
    let m = Numbers::declare(b, &names, &plans);
    let s = b.settings;
    Some(DrumStage {
        diameter_m,
        slope: s.number("slope"),
        speed_rev_s,
        opening_depth_m: 0.5 * (diameter_m - opening_m),
        repose: s.input("repose"),
        residence_factor: s.input("residence_factor"),
        film_thickness: s.input("film_thickness"),
        spray_mixing: s.input("spray_mixing"),
        coating: s.input("coating"),
        coating_wash: s.input("coating_wash"),
        wash_need: s.input("wash_need"),
        fines_need: s.input("fines_need"),
        slurry_need: s.input("slurry_need"),
        slurry_m: s.maybe("slurry_size"),
        wall_friction: if s.word("lining") == "ribbed" { None } else { Some(s.input("wall_friction")) },
        drive,
        plans,
        names,
        built: Built {
            wall_m: s.number("wall"),
            wall_given: s.was_given("wall"),
            opening_m,
            opening_given: s.was_given("feed_opening"),
        },
        water,
        holes,
        gravel,
        gold,
        m,
    })
}
