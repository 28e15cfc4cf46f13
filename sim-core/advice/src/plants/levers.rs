//! The levers of a plant: what its kinds declare, where each stands, and what moving it changes in the scenario.

use sim_core::lever::{By, Lever, Move, Serves};
use sim_core::quantity::{Dimension, like, parse, show};
use sim_core::setting::Setting;
use sim_core::stock::Stock;
use washgraph_model::variant::Settable;

use crate::plants::base::{Base, Change};
use crate::plants::range::scaled_to;

/// Nobody sets a slope of 5.99 degrees.
const FIGURES: usize = 2;
/// A size within this share of the present one is the same to whoever buys it. Our choice.
const SAME_SIZE: f64 = 0.03;

/// A lever and where it stands.
#[derive(Debug, Clone, Copy)]
pub struct LeverAt<'b> {
    /// The lever.
    pub lever: Lever,
    /// Its setting in the scenario.
    pub at: &'b Settable,
}

impl Base<'_> {
    /// Every lever of the plant, in the order of the scenario.
    pub fn levers(&self) -> impl Iterator<Item = LeverAt<'_>> {
        self.list.iter().filter_map(|at| Some(LeverAt { lever: at.lever?, at }))
    }

    /// The levers that serve this, in the order of the scenario.
    pub fn levers_that(&self, serves: Serves) -> impl DoubleEndedIterator<Item = LeverAt<'_>> {
        let found: Vec<_> = self.levers().filter(|l| l.lever.serves == Some(serves)).collect();
        found.into_iter()
    }

    /// The lever of one table that serves this.
    pub fn lever_of(&self, owner: &str, serves: Serves) -> Option<LeverAt<'_>> {
        self.levers_that(serves).find(|l| l.at.owner == owner)
    }

    /// What a setting is bought as; `None` for what is cut or set to any size.
    pub fn stock_at(&self, path: &str) -> Option<&'static Stock> {
        let found = self.list.iter().find(|s| s.path == path)?;
        Some(Stock::of(found.lever?.sold_as?, self.plant.units))
    }

    /// The changes that put a lever to a value: its setting, and those that keep their ratio to it. `None` where a path of them
    /// leads nowhere or the value cannot be read.
    pub fn set(&self, lever: &LeverAt<'_>, value: &str) -> Option<Vec<Change>> {
        let mut changes = vec![(self.find(&lever.at.path).ok()?, value.to_string())];
        let now = self.si(&lever.at.path);
        for key in lever.lever.follows {
            let path = format!("{}.{key}", lever.at.owner);
            let own = self.si(&path);
            // What does not stand in the scenario and has no usual value follows by itself.
            if own.is_finite() && now > 0.0 {
                let typed = parse(value, lever.at.setting.dimension()?).ok()?;
                let path = self.find(&path).ok()?;
                let text = like(typed.si * own / now, path.setting().dimension()?, &typed);
                changes.push((path, text));
            }
        }
        Some(changes)
    }

    /// The changes of a move; `None` where nothing would change, or there is nothing to move.
    pub fn moved(&self, lever: &LeverAt<'_>, by: By) -> Option<Vec<Change>> {
        let now = self.in_force(&lever.at.path);
        let value = self.after(lever, now, by)?;
        if now == Some(value.as_str()) { None } else { self.set(lever, &value) }
    }

    fn after(&self, lever: &LeverAt<'_>, now: Option<&str>, by: By) -> Option<String> {
        let setting = &lever.at.setting;
        let stock = self.stock_at(&lever.at.path);
        let si = self.si(&lever.at.path);
        match (by, stock) {
            (By::To(value), _) => Some(self.worded(setting, value)),
            (By::Times(factor), _) if si == 0.0 => self.first(lever).filter(|_| factor > 1.0),
            (By::Times(factor), Some(stock)) => next_size(stock, si, factor),
            (By::Times(factor), None) => scaled_to(now?, setting, factor, FIGURES),
            (By::Larger, Some(stock)) => stock.above(si * (1.0 + SAME_SIZE)).map(|x| stock.say(x)),
            (By::Smaller, Some(stock)) => stock.below(si * (1.0 - SAME_SIZE)).map(|x| stock.say(x)),
            (By::Larger | By::Smaller, None) => None,
        }
    }

    /// Where a lever starts that stands at nothing.
    fn first(&self, lever: &LeverAt<'_>) -> Option<String> {
        let first = lever.lever.first?;
        let holder = lever.at.owner.split('.').next()?;
        let size = first.share * self.si(&format!("{holder}.{}", first.of));
        if !(size > 0.0) {
            return None;
        }
        match self.stock_at(&lever.at.path) {
            Some(stock) => Some(stock.say(stock.nearest(size))),
            None => Some(show(size, lever.at.setting.dimension()?, self.plant.units)),
        }
    }

    /// A declared value as the owner would write it.
    fn worded(&self, setting: &Setting, value: &str) -> String {
        let read = setting.dimension().and_then(|d| Some(show(parse(value, d).ok()?.si, d, self.plant.units)));
        read.unwrap_or_else(|| value.to_string())
    }

    /// A move in words, with from and to and the path: `box longer: from 10 ft to 15 ft (sluice.length)`.
    pub fn move_words(&self, lever: &LeverAt<'_>, way: Move, to: &str) -> String {
        let path = &lever.at.path;
        let now = self.in_force(path).unwrap_or_default();
        let from = match self.stock_at(path) {
            Some(_) if self.si(path) == 0.0 => "none".to_string(),
            Some(stock) => parse(now, Dimension::Length).map_or(now.to_string(), |p| stock.say(p.si)),
            None => now.to_string(),
        };
        format!("{}: from {from} to {to} ({path})", way.words)
    }
}

/// The size that is sold nearest to a factor on the present one, at least one size up or down from it.
pub fn next_size(stock: &Stock, now_m: f64, factor: f64) -> Option<String> {
    let wanted = stock.nearest(factor * now_m);
    let next = if factor > 1.0 { stock.above(now_m)?.max(wanted) } else { stock.below(now_m)?.min(wanted) };
    Some(stock.say(next))
}

#[cfg(test)]
mod tests {
    use std::path::{Path, PathBuf};

    use sim_core::problem::Problems;
    use sim_core::registry::Registry;
    use sim_core::stock::Item;
    use washgraph_model::scenario::{Opened, build, open};

    use super::*;
    use crate::changes::single::single_changes;
    use crate::holes::retune::{USUAL, retune};
    use crate::holes::study::{hole_changes, usual_sizes};
    use crate::plants::base::{Base, Change};

    /// Both demonstrations, in inches and in millimetres.
    fn bases(registry: &Registry) -> Vec<Base<'_>> {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().find(|f| f.join("scenarios").is_dir()).unwrap();
        let mut list = Vec::new();
        for name in ["juniper-creek", "badger-gulch"] {
            let folder: PathBuf = root.join("scenarios");
            let text = open(&folder.join(format!("{name}.toml"))).unwrap().text;
            for units in ["us", "metric"] {
                let text = text.replacen("units = \"us\"", &format!("units = \"{units}\""), 1);
                let opened = Opened { text, folder: folder.clone() };
                let plant = build(&opened, registry, &mut Problems::default()).unwrap();
                list.push(Base::of(registry, opened, plant).unwrap());
            }
        }
        list
    }

    /// Every change of a setting that is bought is to a size that is sold; how many there were.
    fn bought(base: &Base<'_>, changes: &[Change]) -> usize {
        let mut count = 0;
        for (path, value) in changes {
            let Some(stock) = base.stock_at(&path.text()) else { continue };
            let size_m = parse(value, Dimension::Length).unwrap().si;
            assert!(stock.has(size_m), "{}: {value} is not among {}", path.text(), stock.name);
            count += 1;
        }
        count
    }

    #[test]
    fn property_nothing_is_proposed_that_is_not_sold() {
        let registry = washgraph_standard_stages::registry();
        for base in bases(&registry) {
            let single: usize = single_changes(&base).iter().map(|c| bought(&base, &c.changes)).sum();
            assert!(single >= 4, "a hole and a hose up and down: {single}");
            let hole = base.levers_that(Serves::Hole).next_back().unwrap();
            let present_m = base.si(&hole.at.path);
            let plates = Stock::of(Item::PlateHole, base.plant.units);
            for (name, hole_m) in usual_sizes(&base, present_m) {
                // The present plate is among them, whatever its holes.
                if (hole_m / present_m - 1.0).abs() > 1e-6 {
                    assert!(plates.has(parse(&name, Dimension::Length).unwrap().si), "{name}");
                }
                let changes = hole_changes(&base, &hole, &name, None).unwrap();
                let plant = base.variant(&changes).unwrap();
                let tuned = retune(&base, &plant, hole_m, &changes, &USUAL).unwrap();
                assert!(bought(&base, &tuned.changes[changes.len()..]) > 0, "{:?}", tuned.words);
                assert!(base.variant(&tuned.changes).is_ok(), "{:?}", tuned.words);
            }
        }
    }

    #[test]
    fn property_a_search_between_two_ends_meets_sizes_that_are_sold() {
        let registry = washgraph_standard_stages::registry();
        for base in bases(&registry) {
            for text in ["drum.screen.hole=6 mm..32 mm", "box-water.hose_bore=20 mm..80 mm"] {
                let Ok(varied) = crate::plants::range::Varied::read(text, &base, 9) else { continue };
                let varied = varied.as_sold(&base);
                for share in [0.0, 0.21, 0.5, 0.83, 1.0] {
                    assert_eq!(bought(&base, &[(varied.path.clone(), varied.at(share))]), 1);
                }
            }
        }
    }
}
