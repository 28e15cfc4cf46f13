//! Finds the unit of the wanted kind that a unit text means, or says why there is none.

use super::atoms::MINERS_INCHES;
use super::dimension::{Dimension, Dimension as D};
use super::key::Key;
use super::table;
use super::token::Trouble;
use super::unit::{Basis, Scale, UnitRef};
use super::unit_text::UnitText;

/// A unit that was understood.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub unit: UnitRef,
    pub scale: Scale,
    pub basis: Option<Basis>,
    pub currency: Option<&'static str>,
    pub note: Option<String>,
}

/// Why a unit text means no unit of the wanted kind.
#[derive(Debug, Clone)]
pub(super) enum Refusal {
    /// A part of the text is no unit.
    Trouble(Trouble),
    /// No unit given where one is needed.
    Missing,
    /// The word names several units.
    Ambiguous { word: &'static str, choices: String },
    /// A unit of another kind.
    OtherKind { kind: Dimension, hint: Option<&'static str> },
    /// A combination that fits no kind.
    NoKind { hint: Option<&'static str> },
    /// Loose or bank where it means nothing.
    NoBasis { basis: Basis },
}

/// Finds the unit, trying the readings in order.
pub(super) fn resolve(text: &UnitText, wanted: Dimension) -> Result<Found, Refusal> {
    if let Some(basis) = text.basis
        && !wanted.takes_basis()
    {
        return Err(Refusal::NoBasis { basis });
    }
    let mut refusal: Option<Refusal> = None;
    for key in &text.keys {
        match resolve_key(key, wanted) {
            Ok((unit, scale, note)) => {
                return Ok(Found { unit, scale, basis: text.basis, currency: text.currency, note });
            }
            Err(r) => {
                if refusal.is_none() || matches!(r, Refusal::Ambiguous { .. }) {
                    refusal = Some(r);
                }
            }
        }
    }
    Err(refusal.unwrap_or(Refusal::Missing))
}

type Unit = (UnitRef, Scale, Option<String>);

fn resolve_key(key: &Key, wanted: Dimension) -> Result<Unit, Refusal> {
    if key.is_bare() && !(wanted.takes_bare_number() || wanted.is_money()) {
        return Err(Refusal::Missing);
    }
    if key.is_bare() && wanted.is_money() && wanted != D::Money {
        return Err(Refusal::Missing);
    }
    if let Some(unit) = table::by_key(wanted, key) {
        return Ok((unit, unit.0.scale, None));
    }
    for (other, note) in alternatives(key, wanted) {
        if let Some(unit) = table::by_key(wanted, &other) {
            return Ok((unit, unit.0.scale, note));
        }
        if let Some(refusal) = ambiguity(&other, wanted) {
            return Err(refusal);
        }
        if let Some((unit, scale, _)) = sound_combination(&other, wanted) {
            return Ok((unit, scale, note));
        }
    }
    if let Some(refusal) = ambiguity(key, wanted) {
        return Err(refusal);
    }
    let kind = table::kinds_with(key).next();
    if kind.is_none()
        && let Some(found) = sound_combination(key, wanted)
    {
        return Ok(found);
    }
    let powers = key.powers();
    let kind = kind.or_else(|| {
        let same = |d: &Dimension| d.powers() == powers && powers != [0; 5];
        Dimension::ALL.into_iter().find(same)
    });
    match kind.filter(|k| *k != wanted) {
        Some(kind) => Err(Refusal::OtherKind { kind, hint: hint(wanted, kind) }),
        None => Err(Refusal::NoKind { hint: no_kind_hint(wanted) }),
    }
}

/// Other readings that the wanted kind makes safe.
fn alternatives(key: &Key, wanted: Dimension) -> Vec<(Key, Option<String>)> {
    let mut out = Vec::new();
    let mut push = |k: Option<Key>, note: Option<&str>| {
        if let Some(k) = k {
            out.push((k, note.map(str::to_owned)));
        }
    };
    match wanted {
        // Shop talk: pounds of force.
        D::Torque | D::Force | D::Pressure | D::Stress => push(key.replaced("lb", &[("lbf", 1)]), None),
        // A yard of gravel is a cubic yard.
        D::Volume | D::GravelRate | D::MoneyPerVolume => {
            let cubic = key.replaced("yd", &[("yd", 3)]);
            let cubic = if wanted == D::MoneyPerVolume { cubic.map(|k| k.with_money()) } else { cubic };
            push(cubic, Some("yards were taken as cubic yards"));
        }
        D::Head => {
            for length in ["m", "ft", "in", "cm", "mm"] {
                push(key.replaced(&format!("{length} of water"), &[(length, 1)]), None);
            }
        }
        _ => {}
    }
    if wanted.is_money() && !key.is_bare() {
        push(Some(key.with_money()), None);
    }
    out
}

/// A refusal with the choices, where the kind fits but a word names several units.
fn ambiguity(key: &Key, wanted: Dimension) -> Option<Refusal> {
    if key.powers() != wanted.powers() {
        return None;
    }
    let word = key.ambiguous().next()?.symbol;
    if word == "miner's inch" {
        return Some(Refusal::Ambiguous { word, choices: miners_inch_choices() });
    }
    let mut keys = vec![key.clone()];
    while let Some(atom) = keys.first().and_then(|k| k.ambiguous().next()) {
        keys =
            keys.iter().flat_map(|k| atom.choices.iter().filter_map(|c| k.replaced(atom.symbol, &[(c, 1)]))).collect();
    }
    let names: Vec<String> = keys
        .iter()
        .map(|k| table::by_key(wanted, k).map_or_else(|| k.display(), |u| u.symbol().to_owned()))
        .map(|n| format!("`{n}`"))
        .collect();
    Some(Refusal::Ambiguous { word: in_words(word), choices: names.join(" or ") })
}

fn in_words(word: &'static str) -> &'static str {
    match word {
        "gal" => "gallon",
        "oz" => "ounce",
        other => other,
    }
}

fn miners_inch_choices() -> String {
    let states = |list: &[&str]| -> String {
        list.iter().filter_map(|s| s.strip_prefix("miner's inch ")).collect::<Vec<_>>().join(" ")
    };
    let (fortieths, rest) = MINERS_INCHES.split_at(5);
    let (fiftieths, _) = rest.split_at(7);
    format!(
        "put the place behind it, e.g. `20 miner's inch CA`: {} (1/40 ft3/s), {} (1/50 ft3/s), CO (1/38.4 ft3/s), BC (0.028 ft3/s)",
        states(fortieths),
        states(fiftieths)
    )
}

/// A combination that no list names but whose powers are right, such as `lb/day`. Kinds without powers are too easily
/// confused for that.
fn sound_combination(key: &Key, wanted: Dimension) -> Option<Unit> {
    let powers = key.powers();
    if powers != wanted.powers() || powers == [0; 5] || wanted == D::Temperature {
        return None;
    }
    let unit = table::si_unit(wanted)?;
    Some((unit, Scale::Ratio(key.factor()?), None))
}

/// What to do about a common mix-up.
fn hint(wanted: Dimension, given: Dimension) -> Option<&'static str> {
    Some(match (wanted, given) {
        (D::GravelRate, D::MassRate) => {
            "a weight rate is no volume: divide it by the bulk density, loose gravel weighs about 1.6 t/m3"
        }
        (D::MassRate, D::GravelRate | D::Flow) => "a volume rate is no weight: multiply it by the bulk density",
        (D::GravelRate, D::Volume) | (D::Flow, D::Volume) => "say per what time, as in `/h` or `/min`",
        (D::Pressure, D::Length) => "write `ft of water` or `m of water` for a head of water",
        (D::Head, D::Pressure) => "a pressure is a head only with the density of the fluid; 1 psi is 2.31 ft of water",
        (D::Force, D::Mass) => "write N, kN, lbf or kgf for a force",
        (D::FuelPerEnergy, _) => "fuel is counted by volume here",
        (D::PerTime, D::RotationSpeed) => "a speed of turning is not a rate of change",
        (D::RotationSpeed, D::Fraction) => "write `40 % of critical` for a share of the critical speed",
        (D::RotationSpeed, D::Velocity) => "give turns per minute; divide the shell speed by pi and the diameter",
        (D::Mass, D::Volume) | (D::Volume, D::Mass) => "weight and volume are tied by the bulk density",
        _ => return None,
    })
}

fn no_kind_hint(wanted: Dimension) -> Option<&'static str> {
    match wanted {
        D::Grade => Some("a grade by weight, such as g/t, needs the density of the ground: give gold per volume"),
        D::FuelPerEnergy => Some("fuel is counted by volume here"),
        _ => None,
    }
}
