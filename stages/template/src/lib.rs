//! A stage crate to start from: a dewatering bar screen. Slurry runs over bars; sand, gold and most of the water fall through, the
//! coarse goes over wet.
//!
//! ```text
//!   feed ──>  ─ ─ ─ ─ ─ bars ──> over: coarse, with the water that clings to it
//!              │ │ │ │
//!              through: sand, gold, water
//! ```
//! To make your own of it:
//!
//! 1. Copy this folder, give the crate and the kind names of their own, and set the paths in `Cargo.toml`.
//! 2. Write the law as one pure function with its source (`law.rs`), its handbook entry and at least one check beside it.
//! 3. Declare in `BAR_SCREEN` what the kind takes (settings with meaning, range, source), which of it an owner would move and how (then
//!    `losses` tries it and the page has a slider for it), what flows in and out, why gold leaves; what goes wrong with it, what can
//!    be read off it and what is seen then.
//! 4. Let `run` pass on, catch or note all that comes in. Try it alone with `sim_core::bench`.
//! 5. Put the kind into `scenario.toml` and run `cargo test`: `tests/conforms.rs` asks it all that every kind must do.
//! 6. `cargo run -- run scenario.toml` is your program; every command, the page and the report know the kind.
//!
//! Nothing here comes from a real screen: the sharpness of the cut and the clinging water are assumptions with wide ranges.

mod law;

pub use law::{passing_share, sticking_share};

use sim_core::draw::{Input, Nature};
use sim_core::lever::{Effort, Lever, Move, Question};
use sim_core::quantity::{Dimension, Phrase};
use sim_core::setting::Setting;
use sim_core::shop::{Figure, ShopPart, StageSite, Sure};
use sim_core::size::{GOLD_CLASSES, LUMP_BINS, SOLID_CLASSES, gold_class, solid_class};
use sim_core::stage::{Fault, Goes, Grade, Knob, Reading, Sign, Source, Symptom};
use sim_core::stage::{LossClass, Port, Ports, Reason, Severity, Stage, StageBuilder, StageKind, Trial};
use sim_core::stats::distribution::Spread;

/// Share of the water that may leave with the coarse before a warning. Our choice.
const MUCH_WATER: f64 = 0.1;

/// The kind `bar-screen`.
pub static BAR_SCREEN: StageKind =
    StageKind::new("bar-screen", "takes the coarse and little water off a slurry on sloping bars", build)
        .settings(&[
            Setting::required("gap", Dimension::Length, (0.001, 0.1), "clear gap between the bars"),
            Setting::uncertain(
                "sharpness",
                Dimension::Number,
                || Spread::split_log_normal(3.0, 5.0, 9.0),
                (1.0, 20.0),
                Nature::Ignorance,
                "how sharp the bars cut: exponent of size over gap",
                "assumed 3-9; sieve both products to tell",
            ),
            Setting::uncertain(
                "clinging_water",
                Dimension::WaterPerMass,
                || Spread::split_log_normal(0.00005, 0.0001, 0.0002),
                (0.0, 0.001),
                Nature::Variability,
                "water that goes over the bars with each weight of coarse",
                "assumed 5-20 % of its weight; weigh a bucket wet and dry",
            ),
        ])
        .levers(&[Lever::new("gap", "Gap of the bars")
            .takes(Effort::SmallPart)
            .beside(Question::Losses)
            .more(Move::times("bars further apart", 1.25))
            .less(Move::times("bars closer together", 0.8))])
        .inlets(&[Port::required("feed", "slurry")])
        .outlets(&[
            Port::required("through", "what falls through the bars, with most of the water"),
            Port::required("over", "the coarse, wet"),
        ])
        .reasons(&[Reason::new(
            "over the bars",
            "went over the bars: too large, in clay lumps, or in the water on the coarse",
            LossClass::Other,
        )
        .next_step("closer bars, or more water on them; pan what goes over.")])
        // How often, how well it is read and what counts as much: all guesses, as everything here.
        .faults(&[Fault::new("bars-bent", "bars bent together by a boulder")
            .knobs(&[Knob::new("gap", [Grade::Times(0.8), Grade::Times(0.6), Grade::Times(0.4)])])
            .weight(1.5)
            .look("push a gauge block between the bars from one side to the other, feed stopped")
            .undo("bend them back, weld a spacer across")])
        .readings(&[Reading::new(
            "bar-coarse",
            "share of the solids that goes over the bars",
            Dimension::Fraction,
            Source::Measure("coarse_share"),
        )
        .how("buckets of what goes over in ten minutes, drained, against buckets fed")
        .off(0.1, 0.01)
        .tells("how sharp the bars cut")
        .example("50 %")
        .cautions(&["Rock rolls off the bars: catch it from the side, out of its way."])
        .takes(&["bucket of known volume, watch"], 20.0, 0.0)])
        .symptoms(&[Symptom::new("much-over-bars", "more sand and gravel over the bars than before")
            .also(&["bars blind", "sand over the bars"])
            .signs(&[Sign::new("bar-coarse", Goes::UpBy, 0.04, 0.02)])
            .look_anyway(&["grass and roots woven between the bars"])
            .cautions(&["rock rolls off the bars: stop the feed before you go near"])])
        .formulas(|| law::FORMULAS.iter().collect())
        .checks(|| law::CHECKS.iter().collect())
        .model("bar screen 1 (assumed cut)");

struct BarScreen {
    gap_m: f64,
    sharpness: Input,
    clinging_m3_kg: Input,
    coarse_share: usize,
    water_share: usize,
    wet_coarse: usize,
}

fn build(b: &mut StageBuilder<'_>) -> Option<Box<dyn Stage>> {
    let words = Phrase::new("more than ")
        .share(MUCH_WATER)
        .text(" of the water leaves with the coarse, and fine gold with it: bars further apart than ")
        .length(b.settings.number("gap"))
        .text(", or less slope, let it drain");
    Some(Box::new(BarScreen {
        gap_m: b.settings.number("gap"),
        sharpness: b.settings.input("sharpness"),
        clinging_m3_kg: b.settings.input("clinging_water"),
        coarse_share: b.measure("coarse_share", Dimension::Fraction, "share of the solids that goes over the bars"),
        water_share: b.measure("water_over", Dimension::Fraction, "share of the water that goes over the bars"),
        wet_coarse: b.warning("wet-coarse", Severity::Caution, words),
    }))
}

impl Stage for BarScreen {
    fn run(&self, trial: &Trial<'_>, ports: &mut Ports<'_>) {
        let (inlet, work) = ports.split();
        let note = work.note(0);
        let ([through, over], Some(feed)) = (work.outlets, inlet(0)) else { return };
        let sharpness = trial.get(self.sharpness);
        let passes = |size_m: f64| passing_share(size_m, self.gap_m, sharpness);
        // Every flow is divided once, and the other part is the difference, so that each class closes.
        for c in 0..SOLID_CLASSES {
            through.rock_kg_s[c] = feed.rock_kg_s[c] * passes(solid_class(c).middle_m);
            over.rock_kg_s[c] = feed.rock_kg_s[c] - through.rock_kg_s[c];
        }
        (through.lump_m, over.lump_m) = (feed.lump_m, feed.lump_m);
        for b in 0..LUMP_BINS {
            through.lump_kg_s[b] = feed.lump_kg_s[b] * passes(feed.lump_m[b]);
            over.lump_kg_s[b] = feed.lump_kg_s[b] - through.lump_kg_s[b];
        }
        let lumps_kg_s = feed.lumps_kg_s();
        let lumps_over = if lumps_kg_s > 0.0 { over.lumps_kg_s() / lumps_kg_s } else { 0.0 };
        let coarse_kg_s = over.rock_kg_s.iter().sum::<f64>() + over.lumps_kg_s();
        let wet = sticking_share(coarse_kg_s, trial.get(self.clinging_m3_kg), feed.water_m3_s);
        over.water_m3_s = wet * feed.water_m3_s;
        through.water_m3_s = feed.water_m3_s - over.water_m3_s;
        over.added_water_m3_s = wet * feed.added_water_m3_s;
        through.added_water_m3_s = feed.added_water_m3_s - over.added_water_m3_s;
        over.clay_kg_s = wet * feed.clay_kg_s;
        through.clay_kg_s = feed.clay_kg_s - over.clay_kg_s;
        for g in 0..GOLD_CLASSES {
            // Gold that would pass goes over with the water that clings.
            let falls = passes(gold_class(g).middle_m) * (1.0 - wet);
            through.gold_kg_s[g] = feed.gold_kg_s[g] * falls;
            over.gold_kg_s[g] = feed.gold_kg_s[g] - through.gold_kg_s[g];
            over.locked_kg_s[g] = feed.locked_kg_s[g] * lumps_over;
            through.locked_kg_s[g] = feed.locked_kg_s[g] - over.locked_kg_s[g];
            over.astray_kg_s[note][g] = over.gold_of_class(g);
        }
        (through.load_cv, over.load_cv) = (feed.load_cv, feed.load_cv);
        (through.largest_m, over.largest_m) = (feed.largest_m.min(self.gap_m), feed.largest_m);
        let solids_kg_s = feed.solids_kg_s();
        work.measures[self.coarse_share] = if solids_kg_s > 0.0 { over.solids_kg_s() / solids_kg_s } else { 0.0 };
        work.measures[self.water_share] = wet;
        work.warnings[self.wet_coarse] = wet > MUCH_WATER;
    }

    fn shop(&self, site: &StageSite<'_>) -> Vec<ShopPart> {
        let mut part = ShopPart::named("Bar screen", site.id);
        part.lead("clear gap between the bars", Figure::Size(self.gap_m, Dimension::Length), Sure::Given);
        let over = site.reading(self.coarse_share);
        part.row("goes over, share of the solids", Figure::Run(over, Dimension::Fraction), Sure::Run);
        part.steps.push("Set every bar with one gauge block, both ends and the middle.".into());
        part.cautions.push("Rock rolls off the bars. Keep people out from below the end.".into());
        vec![part]
    }
}
