//! A machine that is known by its test alone: what share of the gold it caught, size by size. No Rust is needed to bring one; a
//! centrifuge, a jig or a table with a test sheet is a table in the scenario.
//!
//! ```text
//!   feed ──> ┌─────────────────┐ ──> tailings: all rock and water, and the gold that the test missed
//!            │ share by size   │
//!   water ─> └─────────────────┘ ──> caught
//! ```
//! ```toml
//! [[stage]]
//! kind = "catch-table"
//! caught = [["0.05 mm", "20 %"], ["0.1 mm", "55 %"], ["0.3 mm", "90 %"], ["1 mm", "97 %"]]
//! off_by = { low = "-8 %", mid = "0 %", high = "5 %" }
//! water = "40 US gpm"
//! most_feed = "2 t/h"
//! lost = "in-the-box"
//! ```
//! The test holds for the feed that it was made with: past `most_feed` the stage only warns. The rock that is caught with the gold is
//! left in the tailings: it is little beside the feed.

mod law;

pub use law::{moved_share, tested_share};

use sim_core::draw::{Input, Nature};
use sim_core::quantity::{Dimension, Phrase};
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::shop::{Figure, ShopPart, StageSite, Sure};
use sim_core::size::{GOLD_CLASSES, gold_class};
use sim_core::stage::{LossClass, Mounted, Port, Ports, Reason, Severity, Stage, StageBuilder, StageKind, Trial};
use sim_core::stats::distribution::Spread;

/// Share of the gold that may lie outside the tested sizes before a warning. Our choice.
const MUCH_UNTESTED: f64 = 0.1;

/// Words of `lost`, in the order of the first of [`REASONS`].
const LOST: [(&str, &str); 2] =
    [("in-the-box", "reached the machine and was not held"), ("over-the-end", "went over the end with the rock")];
/// Number of the reason for gold in clay, which no such machine opens.
const IN_CLAY: usize = 2;

const NEXT: &str = "a test on your own gravel, its tailings panned size by size.";
const REASONS: [Reason; 3] = [
    Reason::new("missed by the machine", "passed the machine uncaught, by its own test", LossClass::InTheBox)
        .next_step(NEXT),
    Reason::new("over the machine's end", "went over the machine's end, by its own test", LossClass::OverTheHoles)
        .next_step(NEXT),
    Reason::new(
        "left in clay by the machine",
        "stayed in clay through the machine, by its own test",
        LossClass::InClay,
    )
    .next_step(NEXT),
];

/// The kind `catch-table`.
pub static CATCH_TABLE: StageKind =
    StageKind::new("catch-table", "a machine known by its test: share of the gold caught against size", build)
        .settings(&[
            Setting::new(
                "caught",
                Kind::Rows(&[Dimension::SieveSize, Dimension::Fraction]),
                "what the test caught: sizes, rising, each with the share of the gold of that size",
            )
            .preset(Preset::Required)
            .range((0.0, 1.0)),
            Setting::uncertain(
                "off_by",
                Dimension::Fraction,
                || Spread::split_normal(-0.1, 0.0, 0.05),
                (-0.5, 0.5),
                Nature::Ignorance,
                "how far the whole test may be off where half is caught; less towards all and nothing",
                "assumed 10 % worse to 5 % better: a maker's test is run with care on clean gold",
            ),
            Setting::optional("water", Dimension::Flow, (0.0, 10.0), "water that it wants of its own"),
            Setting::optional("most_feed", Dimension::MassRate, (0.0, 1.0e4), "dry feed up to which the test holds"),
            Setting::choice("lost", &LOST, Preset::Text("in-the-box"), "how gold that it does not catch is booked"),
        ])
        .inlets(&[Port::required("feed", "slurry")])
        .outlets(&[Port::required("tailings", "rock, water and the gold that was not caught")])
        .reasons(&REASONS)
        .formulas(|| law::FORMULAS.iter().collect())
        .checks(|| law::CHECKS.iter().collect())
        .takes_water()
        .model("catch table 1 (its own test)");

struct CatchTable {
    tested: Vec<(f64, f64)>,
    off_by: Input,
    most_feed_kg_s: f64,
    reason: usize,
    water: Vec<Mounted>,
    /// Numbers of need and of what is at hand, and the need, m3/s.
    m_water: Option<(usize, usize, f64)>,
    m_untested: usize,
    w_untested: usize,
    w_fed: usize,
}

fn build(b: &mut StageBuilder<'_>) -> Option<Box<dyn Stage>> {
    let rows = b.settings.rows("caught");
    let tested: Vec<(f64, f64)> = rows.iter().filter_map(|r| Some((*r.first()?, *r.get(1)?))).collect();
    let rises = tested.iter().zip(tested.iter().skip(1)).all(|(a, b)| a.0 < b.0);
    let right = !tested.is_empty() && rises && tested.iter().all(|(d, c)| *d > 0.0 && (0.0..=1.0).contains(c));
    if !right {
        b.problems.error(
            b.settings.place("caught"),
            format!("`caught` of `{}` is no table of sizes that rise with shares from 0 to 100 %", b.id),
            "write rows of a size and a share, small to large, e.g. caught = [[\"0.1 mm\", \"55 %\"], [\"1 mm\", \"97 %\"]]",
        );
        return None;
    }
    let wanted_m3_s = b.settings.maybe("water");
    let m_water = wanted_m3_s.map(|wanted| {
        let need = b.water_need("machine_water", "water that the machine wants of its own");
        (need, b.water_at_hand("machine_water", "water of its own that reaches the machine"), wanted)
    });
    let most_feed_kg_s = b.settings.maybe("most_feed").unwrap_or(f64::INFINITY);
    let m_untested = b.measure("untested_gold", Dimension::Fraction, "share of its gold outside the tested sizes");
    let untested = Phrase::new("more than ")
        .share(MUCH_UNTESTED)
        .text(" of the gold that comes is finer or coarser than what was tested; it is taken to do like the nearest tested size");
    let fed = Phrase::new("more rock comes than the test was made with: it holds up to ")
        .size(most_feed_kg_s, Dimension::MassRate)
        .text(", and more feed catches less");
    let word = b.settings.word("lost");
    Some(Box::new(CatchTable {
        tested,
        off_by: b.settings.input("off_by"),
        most_feed_kg_s,
        reason: LOST.iter().position(|(w, _)| *w == word).unwrap_or(0),
        water: b.mounted.to_vec(),
        m_water,
        m_untested,
        w_untested: b.warning("untested-sizes", Severity::Caution, untested),
        w_fed: b.warning("past-its-test", Severity::Caution, fed),
    }))
}

impl Stage for CatchTable {
    fn run(&self, trial: &Trial<'_>, ports: &mut Ports<'_>) {
        let (inlet, work) = ports.split();
        let (note, in_clay) = (work.note(self.reason), work.note(IN_CLAY));
        let ([tailings], Some(feed)) = (work.outlets, inlet(0)) else { return };
        tailings.add(feed, 1.0);
        // Whatever an earlier stage said of it, this machine had it in hand.
        tailings.astray_kg_s.fill([0.0; GOLD_CLASSES]);
        let own_m3_s: f64 = self.water.iter().map(|m| trial.water_m3_s(m)).sum();
        tailings.water_m3_s += own_m3_s;
        tailings.added_water_m3_s += own_m3_s;
        let off = trial.get(self.off_by);
        let (smallest_m, largest_m) =
            (self.tested.first().map_or(0.0, |t| t.0), self.tested.last().map_or(f64::INFINITY, |t| t.0));
        let (mut all, mut untested) = (0.0, 0.0);
        for g in 0..GOLD_CLASSES {
            let class = gold_class(g);
            let free = feed.gold_kg_s[g];
            let caught = free * moved_share(tested_share(class.middle_m, &self.tested), off);
            work.caught[g] = caught;
            tailings.gold_kg_s[g] = free - caught;
            tailings.astray_kg_s[note][g] = tailings.gold_kg_s[g];
            tailings.astray_kg_s[in_clay][g] = feed.locked_kg_s[g];
            all += free;
            if class.to_m <= smallest_m || class.from_m >= largest_m {
                untested += free;
            }
        }
        work.measures[self.m_untested] = if all > 0.0 { untested / all } else { 0.0 };
        if let Some((need, at_hand, wanted_m3_s)) = self.m_water {
            work.measures[need] = wanted_m3_s;
            work.measures[at_hand] = own_m3_s;
        }
        work.warnings[self.w_untested] = untested > MUCH_UNTESTED * all;
        work.warnings[self.w_fed] = feed.solids_kg_s() > self.most_feed_kg_s;
    }

    fn shop(&self, site: &StageSite<'_>) -> Vec<ShopPart> {
        let mut part = ShopPart::named("Machine by its test", site.id);
        for (size_m, share) in &self.tested {
            part.row("tested size", Figure::Size(*size_m, Dimension::SieveSize), Sure::Given)
                .note(Phrase::new("caught of gold of that size: ").share(*share));
        }
        part.cautions
            .push("Set it up, guard it and lock it out as its maker says; this sheet knows its test alone.".into());
        vec![part]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::bench::{Bench, stream};

    const TEST: &str = "caught = [[\"0.1 mm\", \"50 %\"], [\"0.4 mm\", \"90 %\"]]\n";

    #[test]
    fn identity_it_catches_what_the_test_says_and_notes_the_rest() {
        let mut feed = stream(&[(40e-3, 1.5), (1e-3, 4.0)], &[(0.2e-3, 2e-6), (3e-3, 5e-6)], 0.02);
        feed.locked_kg_s[5] = 1e-7;
        feed.astray_kg_s[0][5] = 1e-8;
        let bench = Bench::of(&CATCH_TABLE).settings(&format!("{TEST}off_by = \"0 %\"")).set_up().unwrap();
        let ran = bench.run(&[("feed", &feed)]).unwrap();
        let expected: f64 = (0..GOLD_CLASSES)
            .map(|g| feed.gold_kg_s[g] * tested_share(gold_class(g).middle_m, &[(0.1e-3, 0.5), (0.4e-3, 0.9)]))
            .sum();
        assert!((ran.caught_in_all_kg_s() - expected).abs() < 1e-15 && expected > 5e-6, "{expected}");
        let tailings = ran.outlet("tailings").unwrap();
        let noted: f64 = tailings.astray_kg_s.iter().flatten().sum();
        let left: f64 = (0..GOLD_CLASSES).map(|g| tailings.gold_of_class(g)).sum();
        assert!((noted - left).abs() < 1e-15, "{noted} of {left}");
        let missed = ran.closure;
        assert!(missed.gold < 1e-12 && missed.solids < 1e-12 && missed.water < 1e-12, "{missed:?}");
    }

    #[test]
    fn property_a_test_that_is_off_moves_every_size_and_leaves_the_ends() {
        for off in [-0.5, -0.1, 0.1, 0.5] {
            assert_eq!((moved_share(0.0, off), moved_share(1.0, off)), (0.0, 1.0));
            for c in [0.01, 0.3, 0.5, 0.99] {
                let moved = moved_share(c, off);
                assert!(moved > 0.0 && moved < 1.0 && (moved > c) == (off > 0.0), "{c} {off} {moved}");
            }
        }
        assert!((moved_share(0.5, 0.01) - 0.51).abs() < 1e-4, "the slope at one half is one");
    }

    #[test]
    fn property_a_table_that_does_not_rise_is_refused_with_words() {
        for (bad, said) in [
            ("caught = [[\"0.4 mm\", \"50 %\"], [\"0.1 mm\", \"90 %\"]]", "rise"),
            ("caught = [[\"0.1 mm\", \"150 %\"]]", ""),
            ("caught = []", "rise"),
        ] {
            let told = Bench::of(&CATCH_TABLE).settings(bad).set_up().err().unwrap();
            assert!(told.iter().any(|t| t.contains(said)), "{bad}: {told:?}");
        }
    }
}
