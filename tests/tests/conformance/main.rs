//! What every kind of stage, section and water outlet must do, asked of all standard kinds, in a plant that has every kind.

use std::sync::LazyLock;

use sim_core::lever::{Effort, Lever, Move};
use sim_core::quantity::Dimension;
use sim_core::registry::Registry;
use sim_core::setting::Setting;
use sim_core::stage::{Fault, Grade, Knob, Port, Reading, Source};
use sim_core::stage::{Ports, Stage, StageBuilder, StageKind, Trial};
use washgraph_conformance::Suite;
use washgraph_model::scenario::Opened;
use washgraph_model::variant::settables;

const EVERY_KIND: &str = include_str!("every-kind.toml");

static REGISTRY: LazyLock<Registry> = LazyLock::new(washgraph_standard_stages::registry);

/// Without clay, without an oil motor, with every hole of a bar plugged there is nothing to measure.
const SILENT: [&str; 8] = [
    "clay_left_in_lumps",
    "motor_pressure",
    "motor_start_pressure",
    "motor_oil",
    "motor_to_buy",
    "spray_first_hole",
    "spray_last_hole",
    "spray_weakest_hole",
];

fn suite() -> Suite<'static> {
    Suite::new(&REGISTRY, EVERY_KIND).silent_at_times(&SILENT)
}

#[track_caller]
fn none(faults: Vec<String>) {
    assert!(faults.is_empty(), "{} wrong:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn property_every_kind_says_what_it_is_and_where_its_ranges_come_from() {
    none(suite().words());
}

#[test]
fn property_every_formula_of_a_kind_answers_and_its_checks_pass() {
    none(suite().formulas());
}

#[test]
fn property_the_plant_of_every_kind_has_every_kind() {
    none(suite().presence());
    let opened = Opened { text: EVERY_KIND.into(), folder: std::path::PathBuf::new() };
    let list = settables(&opened, &REGISTRY).expect("settings");
    assert!(list.len() > 150, "{} settings", list.len());
}

#[test]
fn property_every_setting_at_the_ends_of_its_range_runs_and_closes_or_is_refused_with_words() {
    none(suite().ends());
}

#[test]
fn property_every_typed_spread_runs_with_draws_inside_or_is_refused_with_words() {
    none(suite().spreads());
}

#[test]
fn property_every_uncertain_input_at_its_far_ends_runs_and_closes() {
    none(suite().far_ends());
}

#[test]
fn property_every_move_of_a_lever_runs_and_closes_or_is_refused_with_words() {
    none(suite().levers());
}

#[test]
fn property_no_setting_jumps() {
    none(suite().smoothness());
}

#[test]
fn property_every_fault_runs_in_each_grade_and_closes() {
    none(suite().troubles());
}

#[test]
fn property_every_reading_has_its_number() {
    none(suite().readings());
}

/// A kind that does what no kind may: loses rock at one end of its range, has nothing to say at the other, and jumps between.
static LEAKY: StageKind = StageKind::new("leaky", "a kind with faults", |b: &mut StageBuilder<'_>| {
    let share = b.measure("share", Dimension::Fraction, "what it was set to");
    Some(Box::new(Leaky { cut: b.settings.number("cut"), share }))
})
.settings(&[Setting::usual("cut", Dimension::Fraction, "30 %", (0.0, 1.0), "where it jumps")])
.faults(&[Fault::new("cut-gone", "cut worn away")
    .knobs(&[Knob::new("cut", [Grade::Times(0.5), Grade::Times(0.2), Grade::To("100 %")])])
    .look("look at it")])
.readings(&[Reading::new("cut-seen", "what it was set to", Dimension::Fraction, Source::Measure("shear"))
    .how("see")
    .off(0.1, 0.0)])
.levers(&[Lever::new("cut", "Where it jumps")
    .takes(Effort::Adjust)
    .less(Move::to("no cut at all", "0 %"))
    .more(Move::to("all cut", "100 %"))])
.inlets(&[Port::required("feed", "all of it")])
.outlets(&[Port::required("out", "most of it")])
.model("leaky 1");

struct Leaky {
    cut: f64,
    share: usize,
}

impl Stage for Leaky {
    fn run(&self, _trial: &Trial<'_>, ports: &mut Ports<'_>) {
        let (inlet, work) = ports.split();
        let ([out], Some(feed)) = (work.outlets, inlet(0)) else { return };
        out.add(feed, 1.0);
        if self.cut == 1.0 {
            out.rock_kg_s.iter_mut().for_each(|rock| *rock *= 0.5);
        }
        if self.cut > 0.302 {
            for (gold, caught) in out.gold_kg_s.iter_mut().zip(work.caught.iter_mut()) {
                *caught = 0.1 * *gold;
                *gold -= *caught;
            }
            out.astray_kg_s.iter_mut().flatten().for_each(|gold| *gold *= 0.9);
        }
        work.measures[self.share] = if self.cut > 0.0 { self.cut } else { f64::NAN };
    }
}

#[test]
fn property_a_kind_with_faults_is_found_out() {
    let registry = washgraph_standard_stages::registry().stage(&LEAKY);
    let wires = "\"drum.oversize -> leaky.feed\", \"leaky.out -> tailings\"";
    let scenario = EVERY_KIND.replace("\"drum.oversize -> tailings\"", wires) + "\n[[stage]]\nkind = \"leaky\"\n";
    let found = washgraph_conformance::faults(&registry, &scenario, &["leaky"]);
    for part in [
        "cut = 0 -: trial 0: measure `share`",
        "cut = 1 -: trial 0: Residuals",
        "leaky.cut jumps between 0.30",
        "fault `cut-gone`, leaky.cut = 100 %: trial 0: Residuals",
        "reading `cut-seen` finds nothing to be read from: Measure(\"shear\")",
        "leaky.cut, all cut: trial 0: Residuals",
    ] {
        assert!(found.iter().any(|line| line.contains(part)), "{part}: {found:#?}");
    }
}
