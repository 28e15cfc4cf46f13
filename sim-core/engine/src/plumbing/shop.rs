//! A hose as the shop buys it.

use super::hose::{FITTING_WORDS, HOSE_WORDS, HoseKeys};
use crate::setting::Settings;
use crate::shop::{Amount, Figure, Phrase, Piece, ShopPart, Sure};
use washgraph_units::quantity::Dimension;

/// A hose with its fittings, in the words of the scenario.
#[derive(Debug, Clone, PartialEq)]
pub struct HoseShop {
    bore_m: f64,
    length_m: f64,
    kind: &'static str,
    /// Fittings in plain words, each with its number.
    fittings: Vec<(&'static str, usize)>,
}

impl HoseShop {
    /// Reads it; `None` when no bore was given.
    pub fn read(settings: &Settings, keys: HoseKeys) -> Option<HoseShop> {
        let plain = |known: &'static [(&'static str, &'static str)], word: &str| {
            known.iter().find(|k| k.0 == word).map_or("", |k| k.1)
        };
        let mut fittings: Vec<(&'static str, usize)> = Vec::new();
        for word in settings.words(keys.fittings) {
            let name = plain(FITTING_WORDS, word);
            match fittings.iter_mut().find(|f| f.0 == name) {
                Some(found) => found.1 += 1,
                None => fittings.push((name, 1)),
            }
        }
        Some(HoseShop {
            bore_m: settings.maybe(keys.bore)?,
            length_m: settings.maybe(keys.length).unwrap_or(0.0),
            kind: plain(HOSE_WORDS, settings.word(keys.kind)),
            fittings,
        })
    }

    /// Its rows, under a name such as `suction hose`.
    pub fn rows(&self, part: &mut ShopPart, name: &str) {
        part.row(format!("{name}, bore"), Figure::Size(self.bore_m, Dimension::Length), Sure::Given).note(self.kind);
        part.row(format!("{name}, length"), Figure::Size(self.length_m, Dimension::Length), Sure::Given);
        if !self.fittings.is_empty() {
            let list = self.fittings.iter().map(|(f, n)| if *n > 1 { format!("{n} x {f}") } else { (*f).to_string() });
            let list = list.collect::<Vec<_>>().join(", ");
            part.row(format!("{name}, fittings"), Figure::Words(Phrase::new(list)), Sure::Given)
                .note("what the run counts on; every further bend costs head");
        }
    }

    /// What to buy. Entrances and open ends are counted by the run and bought by nobody.
    pub fn pieces(&self, used_for: &str) -> Vec<Piece> {
        let size = || Phrase::new("bore ").length(self.bore_m);
        let mut list = vec![Piece {
            item: self.kind.to_string(),
            size: size(),
            used_for: used_for.to_string(),
            amount: Amount::Length(self.length_m),
            mass_kg: None,
        }];
        let bought =
            |f: &&(&'static str, usize)| !f.0.contains("entrance") && !f.0.contains("open end") && !f.0.is_empty();
        list.extend(self.fittings.iter().filter(bought).map(|(f, n)| Piece {
            // How far a valve stands open is not a thing to buy.
            item: f.split(',').next().unwrap_or(f).to_string(),
            size: size(),
            used_for: used_for.to_string(),
            amount: Amount::Count(*n as f64),
            mass_kg: None,
        }));
        list
    }
}
