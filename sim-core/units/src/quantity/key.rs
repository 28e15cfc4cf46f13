//! What a unit is made of: single units with their powers.

use super::atoms::{ATOMS, Atom};
use super::dimension::Powers;
use super::unit::{Factor, System};
use std::collections::BTreeMap;

/// Single units (place in the list of atoms) and their powers. Empty: a bare number.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct Key(BTreeMap<usize, i32>);

/// Place of a single unit in the list.
pub(super) fn find(symbol: &str) -> Option<usize> {
    ATOMS.iter().position(|a| a.symbol == symbol)
}

impl Key {
    /// One single unit, by its place in the list.
    pub(super) fn of(atom: usize) -> Key {
        Key(BTreeMap::from([(atom, 1)]))
    }

    /// Multiplies by a single unit to a power.
    pub(super) fn add(&mut self, atom: usize, power: i32) {
        let p = self.0.entry(atom).or_insert(0);
        *p = p.saturating_add(power);
        if *p == 0 {
            self.0.remove(&atom);
        }
    }

    /// Multiplies by another product, or divides (sign -1).
    pub(super) fn add_all(&mut self, other: &Key, sign: i32) {
        for (&atom, &power) in &other.0 {
            self.add(atom, power.saturating_mul(sign));
        }
    }

    /// The single units and their powers.
    pub(super) fn atoms(&self) -> impl Iterator<Item = (&'static Atom, i32)> + '_ {
        self.0.iter().filter_map(|(i, p)| ATOMS.get(*i).map(|a| (a, *p)))
    }

    /// No unit at all.
    pub(super) fn is_bare(&self) -> bool {
        self.0.is_empty()
    }

    /// Powers of m, kg, s, K and money.
    pub(super) fn powers(&self) -> Powers {
        let mut powers = [0i32; 5];
        for (atom, p) in self.atoms() {
            for (sum, a) in powers.iter_mut().zip(atom.powers) {
                *sum = sum.saturating_add(a.saturating_mul(p));
            }
        }
        powers
    }

    /// Words that name several units.
    pub(super) fn ambiguous(&self) -> impl Iterator<Item = &'static Atom> + '_ {
        self.atoms().map(|(a, _)| a).filter(|a| !a.choices.is_empty())
    }

    /// Size in SI; `None` while a word is ambiguous.
    pub(super) fn factor(&self) -> Option<Factor> {
        if self.ambiguous().next().is_some() {
            return None;
        }
        Some(self.atoms().fold(Factor::ONE, |f, (a, p)| f.times(a.factor, p)))
    }

    /// System and source: those of the first single unit that is not SI.
    pub(super) fn origin(&self) -> (System, &'static str) {
        let first = |wanted: System| self.atoms().find(|(a, _)| a.system == wanted);
        let chosen = first(System::Imperial).or_else(|| first(System::Us)).or_else(|| self.atoms().next());
        chosen.map_or((System::Si, "definition"), |(a, _)| (a.system, a.source))
    }

    /// The same with one single unit put for another.
    pub(super) fn replaced(&self, from: &str, to: &[(&str, i32)]) -> Option<Key> {
        let power = *self.0.get(&find(from)?)?;
        let mut key = self.clone();
        key.0.remove(&find(from)?);
        for (symbol, p) in to {
            key.add(find(symbol)?, power.saturating_mul(*p));
        }
        Some(key)
    }

    /// The same with money above the line.
    pub(super) fn with_money(&self) -> Key {
        let mut key = self.clone();
        if let Some(money) = find("$")
            && !key.0.contains_key(&money)
        {
            key.add(money, 1);
        }
        key
    }

    /// Written out, e.g. `US gal/min/ft`.
    pub(super) fn display(&self) -> String {
        let part = |(a, p): (&Atom, i32)| match p.abs() {
            1 => a.symbol.to_owned(),
            n => format!("{}{n}", a.symbol),
        };
        let above: Vec<String> = self.atoms().filter(|(_, p)| *p > 0).map(part).collect();
        let below: Vec<String> = self.atoms().filter(|(_, p)| *p < 0).map(part).collect();
        let mut text = if above.is_empty() { "1".to_owned() } else { above.join(" ") };
        for b in below {
            text.push('/');
            text.push_str(&b);
        }
        text
    }
}
