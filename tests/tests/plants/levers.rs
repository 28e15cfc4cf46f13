//! Levers of a kind from elsewhere: found by what it declares, tried like those of any other.

use std::path::PathBuf;
use std::sync::atomic::AtomicU64;

use sim_core::lever::{Effort, Lever, Move, Question};
use sim_core::problem::Problems;
use sim_core::quantity::Dimension;
use sim_core::setting::Setting;
use sim_core::stage::{Port, Ports, Stage, StageBuilder, StageKind, Trial};
use washgraph_advice::changes::candidates::Candidates;
use washgraph_advice::plants::base::Base;
use washgraph_model::scenario::{Opened, build};

/// A jig that nobody has heard of: the longer its stroke, the more it catches.
static JIG: StageKind =
    StageKind::new("pulser", "pulses water through a bed that holds gold", |b: &mut StageBuilder<'_>| {
        Some(Box::new(Jig { share: 5.0 * b.settings.number("throw") }))
    })
    .settings(&[Setting::usual("throw", Dimension::Length, "20 mm", (0.001, 0.1), "stroke of the water")])
    .levers(&[Lever::new("throw", "Stroke of the jig")
        .takes(Effort::Adjust)
        .beside(Question::Losses)
        .more(Move::times("longer stroke of the jig", 1.25))
        .less(Move::times("shorter stroke of the jig", 0.8))])
    .inlets(&[Port::required("feed", "slurry")])
    .outlets(&[Port::required("out", "what it does not hold")])
    .model("pulser 1");

struct Jig {
    share: f64,
}

impl Stage for Jig {
    fn run(&self, _trial: &Trial<'_>, ports: &mut Ports<'_>) {
        let (inlet, work) = ports.split();
        let ([out], Some(feed)) = (work.outlets, inlet(0)) else { return };
        out.add(feed, 1.0);
        for (gold, caught) in out.gold_kg_s.iter_mut().zip(work.caught.iter_mut()) {
            *caught = self.share * *gold;
            *gold -= *caught;
        }
        out.astray_kg_s.iter_mut().flatten().for_each(|gold| *gold *= 1.0 - self.share);
    }
}

#[test]
fn property_a_jig_from_elsewhere_is_among_the_changes_that_are_tried() {
    let registry = washgraph_standard_stages::registry().stage(&JIG);
    assert_eq!(registry.problems(), Vec::<String>::new());
    let text = include_str!("../../broken/sound.toml");
    let wire = "\"drum.undersize -> sluice.feed\"";
    assert!(text.contains(wire));
    let text = text.replace(wire, "\"drum.undersize -> pulser.feed\", \"pulser.out -> sluice.feed\"")
        + "\n[[stage]]\nkind = \"pulser\"\n";
    let opened = Opened { text, folder: PathBuf::new() };
    let mut problems = Problems::default();
    let plant = build(&opened, &registry, &mut problems).unwrap_or_else(|| panic!("{:?}", problems.in_order()));
    let base = Base::of(&registry, opened, plant).expect("paths");
    let tried = Candidates::of(&base).run(&base, 1, 40, &AtomicU64::new(0)).tried;
    let gold = |words: &str| {
        let found = tried.iter().find(|t| t.change.words == words);
        found
            .map(|t| t.gold.comparison.mean_gap)
            .unwrap_or_else(|| panic!("{words}: {:#?}", tried.iter().map(|t| &t.change.words).collect::<Vec<_>>()))
    };
    assert!(gold("longer stroke of the jig: from 20 mm to 25 mm (pulser.throw)") > 0.0);
    assert!(gold("shorter stroke of the jig: from 20 mm to 16 mm (pulser.throw)") < 0.0);
}
