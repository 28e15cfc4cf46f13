//! Books that do not close are a fault that names its stage; what is sound closes, however it is wired.

use std::path::PathBuf;
use std::sync::atomic::AtomicU64;

use sim_core::plant::Plant;
use sim_core::problem::Problems;
use sim_core::registry::Registry;
use sim_core::trial::{TrialStatistics, run_trials};
use washgraph_model::scenario::{Opened, build};
use washgraph_tests::renamed::THIEF;

const SOUND: &str = include_str!("../../broken/sound.toml");
const EVERY_KIND: &str = include_str!("../conformance/every-kind.toml");

/// The plant, or what is wrong with it.
fn built(text: &str, registry: &Registry) -> Result<Plant, Vec<String>> {
    let mut problems = Problems::default();
    let plant = build(&Opened { text: text.into(), folder: PathBuf::new() }, registry, &mut problems);
    plant.ok_or_else(|| problems.in_order().iter().map(|p| format!("{}; {}", p.message, p.help)).collect())
}

fn ran(text: &str, registry: &Registry) -> TrialStatistics {
    let plant = built(text, registry).unwrap_or_else(|told| panic!("{told:#?}"));
    run_trials(&plant, 1, 200, &AtomicU64::new(0))
}

#[test]
fn identity_a_stage_that_drops_half_of_something_is_named() {
    let registry = washgraph_standard_stages::registry().stage(&THIEF);
    for (id, of) in [("gold-thief", "gold"), ("rock-thief", "solids")] {
        let wires = format!("\"hopper.feed -> {id}.feed\", \"{id}.out -> drum.feed\"");
        let text = SOUND.replace("\"hopper.feed -> drum.feed\"", &wires)
            + &format!("\n[[stage]]\nkind = \"thief\"\nid = \"{id}\"\n");
        let broken = ran(&text, &registry).broken.expect("a fault");
        assert_eq!((broken.stage.as_str(), broken.kind, broken.of), (id, "thief", of));
        assert!((broken.residual - 0.5).abs() < 0.1, "{}", broken.words());
        assert!(broken.words().contains(&format!("books of {of} do not close at `{id}`")), "{}", broken.words());
    }
}

#[test]
fn identity_every_standard_kind_and_two_hoppers_close() {
    let registry = washgraph_standard_stages::registry();
    let all = ran(EVERY_KIND, &registry);
    assert!(all.broken.is_none() && all.residuals.close(), "{:?}", all.residuals);

    let wires = "\"hopper.feed -> both-feeds.a\", \"second.feed -> both-feeds.b\", \"both-feeds.out -> drum.feed\"";
    let more = "
        [[stage]]
        kind = \"hopper\"
        id = \"second\"
        rate = { low = \"5 yd3/h loose\", mid = \"8 yd3/h loose\", high = \"11 yd3/h loose\" }
        grizzly_gap = \"4 in\"
        [[stage]]
        kind = \"junction\"
        id = \"both-feeds\"";
    let two = ran(&(SOUND.replace("\"hopper.feed -> drum.feed\"", wires) + more), &registry);
    let r = two.residuals;
    assert!(two.broken.is_none() && r.gold < 1e-12 && r.solids < 1e-12 && r.water < 1e-12, "{r:?} {:?}", two.broken);
}

#[test]
fn property_water_is_refused_where_it_would_vanish() {
    let registry = washgraph_standard_stages::registry();
    for id in ["pump", "halves", "both", "pond"] {
        let text = EVERY_KIND.replace("on = \"hopper\"", &format!("on = \"{id}\""));
        let told = built(&text, &registry).err().unwrap_or_default().join("\n");
        assert!(told.contains(&format!("is mounted on `{id}`, and a ")) && told.contains("takes no water"), "{told}");
        assert!(told.contains("stages that do: hopper, drum, left, right"), "{told}");
    }
}
