//! The hopper as a stage.

use sim_core::draw::Input;
use sim_core::quantity::{Basis, Dimension};
use sim_core::shop::{ShopPart, StageSite};
use sim_core::size::LUMP_BINS;
use sim_core::size::{GOLD_CLASSES, SOLID_CLASSES, gold_class, solid_class};
use sim_core::stage::{Mounted, Port, Ports, Stage, StageBuilder, StageKind, Trial, reasons};

use crate::grizzly::share_on_bars;
use crate::settings::{LEVERS, SETTINGS};
use crate::shop;

/// The kind `hopper`.
pub static HOPPER: StageKind =
    StageKind::new("hopper", "takes the ground in, rejects boulders on a grizzly, adds water", build)
        .settings(SETTINGS)
        .levers(LEVERS)
        .outlets(&[
            Port::required("feed", "what falls through the grizzly, with the hopper water"),
            Port::optional("reject", "boulders off the grizzly"),
        ])
        .reasons(&[reasons::GRIZZLY])
        .takes_water()
        .faults(crate::trouble::FAULTS)
        .readings(crate::trouble::READINGS)
        .model("hopper 1");

/// Fines finer than this cling to stones. Assumed.
const CLINGING_SIZE_M: f64 = 1.0e-3;
/// A hosed reject keeps this share of what clings to a dry one. Assumed.
const KEPT_WHEN_WASHED: f64 = 0.1;
/// Water on drained gravel over its dry mass. From memory: drained gravel holds 1-2 %.
const DRAINED_WATER: f64 = 0.015;
/// Half the step between lump bins in log size: bins stand for sizes half a geometric deviation wide.
const HALF_BIN_RATIO: f64 = 1.19;

struct Hopper {
    rate_m3_s: Input,
    gap_m: f64,
    washed: bool,
    clinging: Input,
    uneven: Input,
    nozzles: Vec<Mounted>,
    dry_feed: usize,
    reject_share: usize,
    water_per_t: usize,
}

fn build(b: &mut StageBuilder<'_>) -> Option<Box<dyn Stage>> {
    if b.settings.basis("rate") == Some(Basis::Bank) {
        b.problems.error(
            b.settings.place("rate"),
            "the feed rate is loose volume: what the bucket carries",
            "multiply the bank rate by (1 + swell), about 1.18, and write \"... yd3/h loose\"",
        );
        return None;
    }
    if b.settings.basis("rate").is_none() {
        b.problems.note(b.settings.place("rate"), "the feed rate is taken as loose volume", "");
    }
    Some(Box::new(Hopper {
        rate_m3_s: b.settings.input("rate"),
        gap_m: b.settings.number("grizzly_gap"),
        washed: b.settings.word("reject") == "washed",
        clinging: b.settings.input("clinging"),
        uneven: b.settings.input("uneven_feed"),
        nozzles: b.mounted.to_vec(),
        dry_feed: b.dry_feed("dry_feed", "dry solids into the plant"),
        reject_share: b.measure("reject_share", Dimension::Fraction, "share of the dry feed rejected on the grizzly"),
        water_per_t: b.measure(
            "hopper_water",
            Dimension::WaterPerMass,
            "water added in the hopper per dry mass passed on",
        ),
    }))
}

impl Stage for Hopper {
    fn shop(&self, site: &StageSite<'_>) -> Vec<ShopPart> {
        let read = |m| site.reading(m);
        shop::parts(site.id, self.gap_m, read(self.dry_feed), read(self.reject_share), read(self.water_per_t))
    }

    fn feed_m3_s(&self) -> Option<Input> {
        Some(self.rate_m3_s)
    }

    fn run(&self, trial: &Trial<'_>, ports: &mut Ports<'_>) {
        let ground = trial.ground;
        let dry_kg_s = trial.get(self.rate_m3_s) * ground.loose_density_kg_m3;
        let (_, work) = ports.split();
        let note = work.note(0);
        let [feed, reject] = work.outlets else { return };
        for c in 0..SOLID_CLASSES {
            let class = solid_class(c);
            let on = share_on_bars(class.finite_from_m(), class.finite_to_m(), self.gap_m);
            let rock = dry_kg_s * ground.rock[c];
            reject.rock_kg_s[c] = rock * on;
            feed.rock_kg_s[c] = rock - reject.rock_kg_s[c];
        }
        feed.lump_m = ground.lump_m;
        reject.lump_m = ground.lump_m;
        let lumps: f64 = ground.lumps.iter().sum();
        let mut lumps_on_bars = 0.0;
        for b in 0..LUMP_BINS {
            let on = share_on_bars(ground.lump_m[b] / HALF_BIN_RATIO, ground.lump_m[b] * HALF_BIN_RATIO, self.gap_m);
            lumps_on_bars += ground.lumps[b] * on;
            reject.lump_kg_s[b] = dry_kg_s * ground.lumps[b] * on;
            feed.lump_kg_s[b] = dry_kg_s * ground.lumps[b] - reject.lump_kg_s[b];
        }
        let locked_on_bars = if lumps > 0.0 { lumps_on_bars / lumps } else { 0.0 };
        // Fines that cling to the reject.
        let reject_kg_s = reject.rock_kg_s.iter().sum::<f64>();
        let fines_kg_s: f64 =
            (0..SOLID_CLASSES).filter(|c| solid_class(*c).middle_m < CLINGING_SIZE_M).map(|c| feed.rock_kg_s[c]).sum();
        let kept = if self.washed { KEPT_WHEN_WASHED } else { 1.0 };
        let cling =
            if fines_kg_s > 0.0 { (trial.get(self.clinging) * kept * reject_kg_s / fines_kg_s).min(1.0) } else { 0.0 };
        for c in 0..SOLID_CLASSES {
            if solid_class(c).middle_m < CLINGING_SIZE_M {
                let moved = feed.rock_kg_s[c] * cling;
                feed.rock_kg_s[c] -= moved;
                reject.rock_kg_s[c] += moved;
            }
        }
        for g in 0..GOLD_CLASSES {
            let locked = dry_kg_s * ground.locked[g];
            reject.locked_kg_s[g] = locked * locked_on_bars;
            feed.locked_kg_s[g] = locked - reject.locked_kg_s[g];
            let free = dry_kg_s * ground.gold[g];
            reject.gold_kg_s[g] = if gold_class(g).middle_m < CLINGING_SIZE_M { free * cling } else { 0.0 };
            feed.gold_kg_s[g] = free - reject.gold_kg_s[g];
            reject.astray_kg_s[note][g] = reject.gold_kg_s[g] + reject.locked_kg_s[g];
        }
        let moisture_m3_s = dry_kg_s * ground.moisture / (1.0 - ground.moisture) / ground.water.density_kg_m3;
        let added: f64 = self.nozzles.iter().map(|n| trial.water_m3_s(n)).sum();
        reject.water_m3_s = (DRAINED_WATER * reject.solids_kg_s() / ground.water.density_kg_m3).min(moisture_m3_s);
        feed.water_m3_s = moisture_m3_s - reject.water_m3_s + added;
        feed.added_water_m3_s = added;
        let top_m =
            (0..SOLID_CLASSES).rev().find(|c| feed.rock_kg_s[*c] > 0.0).map_or(0.0, |c| solid_class(c).finite_to_m());
        feed.largest_m = if self.gap_m > 0.0 { top_m.min(self.gap_m) } else { top_m };
        feed.load_cv = trial.get(self.uneven);
        reject.load_cv = feed.load_cv;
        work.measures[self.dry_feed] = dry_kg_s;
        work.measures[self.reject_share] = if dry_kg_s > 0.0 { reject.solids_kg_s() / dry_kg_s } else { 0.0 };
        work.measures[self.water_per_t] = added / feed.solids_kg_s();
    }
}
