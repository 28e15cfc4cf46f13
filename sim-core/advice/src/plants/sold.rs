//! Settings that are bought in set sizes: what is proposed for them is a size that is sold.

use sim_core::quantity::UnitChoice;
use sim_core::stock::{Item, Stock};

/// What a setting is bought as, by kind of table and key; `None` for what is cut or set to any size.
fn item_of(kind: &str, key: &str) -> Option<Item> {
    match (kind, key) {
        ("screen", "hole") => Some(Item::PlateHole),
        ("spray-bar", "hole") => Some(Item::Drill),
        (_, "hose_bore" | "suction_bore" | "delivery_bore") => Some(Item::HoseBore),
        _ => None,
    }
}

/// The list that a setting is bought from.
pub fn stock_of(kind: &str, key: &str, units: UnitChoice) -> Option<&'static Stock> {
    item_of(kind, key).map(|item| Stock::of(item, units))
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
    use sim_core::quantity::{Dimension, parse};
    use sim_core::registry::Registry;
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
            let kind = base.list.iter().find(|s| s.path == path.text()).map_or("", |s| s.kind.as_str());
            let Some(stock) = stock_of(kind, path.setting().key, base.plant.units) else { continue };
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
            let screen = base.owners_of_kind("screen").pop().unwrap();
            let present_m = base.si(&format!("{screen}.hole"));
            let plates = Stock::of(Item::PlateHole, base.plant.units);
            for (name, hole_m) in usual_sizes(&base, present_m) {
                // The present plate is among them, whatever its holes.
                if (hole_m / present_m - 1.0).abs() > 1e-6 {
                    assert!(plates.has(parse(&name, Dimension::Length).unwrap().si), "{name}");
                }
                let changes = hole_changes(&base, &screen, (&name, hole_m), None).unwrap();
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
