//! The units listed for each kind of quantity, and the ones in which results are shown.

use super::dimension::{Dimension, Dimension as D};
use super::key::Key;
use super::unit::{Factor, Scale, System, Unit, UnitRef};
use super::unit_text;
use std::collections::BTreeMap;
use std::f64::consts::PI;
use std::sync::LazyLock;

/// Units in which a user likes to read results.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnitChoice {
    /// Inches, US gallons, cubic yards, short tons, troy ounces.
    Us,
    /// Inches, imperial gallons, cubic yards, long tons.
    Imperial,
    /// Metric.
    Metric,
}

/// Symbol of the slope "1 in n".
pub(super) const ONE_IN: &str = "1 in n";
/// Symbol of a US sieve number.
pub(super) const MESH_US: &str = "mesh US";
/// Symbol of a Tyler mesh.
pub(super) const MESH_TYLER: &str = "mesh Tyler";
/// Symbol of a drum speed as a share of the critical speed.
pub(super) const OF_CRITICAL: &str = "% of critical";

/// Units read and printed for a kind of quantity, commonest first.
fn symbols(dimension: Dimension) -> &'static [&'static str] {
    match dimension {
        D::Number => &["-"],
        D::Fraction => &["%", "-", "per mille", "ppm", "carat"],
        D::Length => &["in", "ft", "yd", "mm", "cm", "m", "um", "km", "thou"],
        D::SieveSize => &["mm", "in", "um", MESH_US, MESH_TYLER, "ft", "cm", "m", "thou"],
        D::Area => &["ft2", "in2", "yd2", "m2", "cm2", "mm2", "acre", "ha"],
        D::Volume => &["yd3", "m3", "L", "US gal", "imp gal", "ft3", "in3", "cm3", "mL", "acre ft"],
        D::GravelRate => {
            &["yd3/h", "m3/h", "yd3/day", "m3/day", "yd3/min", "m3/min", "ft3/h", "ft3/min", "ft3/s", "m3/s"]
        }
        D::Flow => &[
            "US gpm",
            "imp gpm",
            "L/s",
            "L/min",
            "m3/h",
            "m3/s",
            "m3/min",
            "m3/day",
            "L/h",
            "ft3/s",
            "ft3/min",
            "US gal/h",
            "imp gal/h",
            "US gal/day",
            "imp gal/day",
            "acre ft/day",
            "miner's inch AZ",
            "miner's inch CA",
            "miner's inch MT",
            "miner's inch NV",
            "miner's inch OR",
            "miner's inch ID",
            "miner's inch KS",
            "miner's inch NE",
            "miner's inch NM",
            "miner's inch ND",
            "miner's inch SD",
            "miner's inch UT",
            "miner's inch CO",
            "miner's inch BC",
        ],
        D::FlowPerWidth => &["US gpm/ft", "imp gpm/ft", "L/s/m", "L/min/m", "m3/h/m", "m2/s", "ft2/s"],
        D::SolidsPerWidth => &["lb/min/ft", "short ton/h/ft", "t/h/m", "kg/min/m", "kg/s/m"],
        D::WaterPerMass => &[
            "m3/t",
            "L/kg",
            "US gpm per short ton/h",
            "imp gpm per long ton/h",
            "US gal/short ton",
            "imp gal/long ton",
            "US gal/lb",
            "L/t",
            "m3/kg",
        ],
        D::WaterPerGravel => &["US gal/yd3", "imp gal/yd3", "m3/m3", "L/m3"],
        D::Pressure => &[
            "psi",
            "kPa",
            "bar",
            "MPa",
            "Pa",
            "ft of water",
            "m of water",
            "in of water",
            "cm of water",
            "mm of water",
            "mbar",
            "hPa",
            "lbf/in2",
            "kgf/cm2",
            "atm",
        ],
        D::Head => &["ft", "m", "in", "cm", "mm"],
        D::RotationSpeed => &["rpm", OF_CRITICAL, "rev/s", "1/s", "1/min", "rad/s"],
        D::Slope => &["in/ft", "%", "deg", ONE_IN, "m/m", "mm/m", "cm/m", "per mille"],
        D::Angle => &["deg", "rad"],
        D::Mass => &["kg", "g", "mg", "t", "lb", "ozt", "oz avdp", "short ton", "long ton", "dwt", "grain", "ug"],
        D::MassRate => &[
            "t/h",
            "kg/h",
            "kg/min",
            "kg/s",
            "g/h",
            "mg/h",
            "g/min",
            "g/s",
            "mg/s",
            "g/day",
            "t/day",
            "lb/min",
            "lb/h",
            "lb/s",
            "short ton/h",
            "long ton/h",
            "ozt/h",
            "ozt/day",
            "dwt/h",
        ],
        D::Density => {
            &["kg/m3", "g/cm3", "t/m3", "kg/L", "g/L", "mg/L", "lb/ft3", "lb/yd3", "short ton/yd3", "lb/US gal"]
        }
        D::Grade => &["mg/m3", "g/m3", "kg/m3", "mg/yd3", "g/yd3", "ozt/yd3", "dwt/yd3", "grain/yd3", "ozt/m3"],
        D::Power => &["kW", "hp", "W", "MW", "PS", "ft lbf/s"],
        D::PowerPerMass => &["W/kg", "kW/t", "hp/short ton", "hp/long ton"],
        D::EnergyPerMass => {
            &["kWh/t", "kWh/short ton", "hp h/short ton", "hp h/long ton", "ft lbf/lb", "kJ/kg", "J/kg"]
        }
        D::Torque => &["N m", "kN m", "lbf ft", "lbf in", "kgf m"],
        D::Force => &["N", "kN", "lbf", "kgf"],
        D::Stress => &["Pa", "kPa", "MPa", "mPa", "psi", "lbf/in2", "lbf/ft2", "N/mm2"],
        D::Temperature => &["°C", "°F", "K"],
        D::Time => &["s", "min", "h", "day", "week", "ms"],
        D::PerTime => &["1/s", "1/min", "1/h", "1/day"],
        D::Velocity => &["m/s", "ft/s", "ft/min", "mm/s", "cm/s", "m/min", "in/s", "km/h", "mm/day", "in/day"],
        D::Acceleration => &["m/s2", "ft/s2", "cm/s2"],
        D::Viscosity => &["Pa s", "mPa s", "cP"],
        D::KinematicViscosity => &["m2/s", "mm2/s", "cSt", "ft2/s"],
        D::Displacement => &["cm3/rev", "in3/rev", "L/rev", "mL/rev", "m3/rev", "cm3", "in3", "L", "mL", "m3"],
        D::FuelPerEnergy => &["L/kWh", "US gal/hp h", "imp gal/hp h", "US gal/kWh", "mL/kWh", "m3/J"],
        D::Money => &["$", "-"],
        D::MoneyPerTime => &["$/h", "$/min", "$/s", "$/day", "$/week"],
        D::MoneyPerVolume => &["$/yd3", "$/m3", "$/L", "$/US gal", "$/imp gal"],
        D::MoneyPerMass => &["$/g", "$/ozt", "$/kg", "$/t", "$/short ton", "$/lb"],
    }
}

/// Unit in which a kind of quantity is shown. Imperial differs from US in the gallon and the ton only.
pub fn preferred(dimension: Dimension, choice: UnitChoice) -> &'static str {
    let (us, imperial, metric) = match dimension {
        D::Number => ("-", "-", "-"),
        D::Fraction => ("%", "%", "%"),
        D::Length => ("in", "in", "mm"),
        D::SieveSize => ("in", "in", "mm"),
        D::Area => ("ft2", "ft2", "m2"),
        D::Volume => ("yd3", "yd3", "m3"),
        D::GravelRate => ("yd3/h", "yd3/h", "m3/h"),
        D::Flow => ("US gpm", "imp gpm", "L/s"),
        D::FlowPerWidth => ("US gpm/ft", "imp gpm/ft", "L/s/m"),
        D::SolidsPerWidth => ("lb/min/ft", "lb/min/ft", "t/h/m"),
        D::WaterPerMass => ("US gpm per short ton/h", "imp gpm per long ton/h", "m3/t"),
        D::WaterPerGravel => ("US gal/yd3", "imp gal/yd3", "m3/m3"),
        D::Pressure => ("psi", "psi", "kPa"),
        D::Head => ("ft", "ft", "m"),
        D::RotationSpeed => ("rpm", "rpm", "rpm"),
        D::Slope => ("in/ft", "in/ft", "%"),
        D::Angle => ("deg", "deg", "deg"),
        D::Mass => ("lb", "lb", "kg"),
        D::MassRate => ("short ton/h", "long ton/h", "t/h"),
        D::Density => ("lb/ft3", "lb/ft3", "kg/m3"),
        D::Grade => ("mg/yd3", "mg/yd3", "mg/m3"),
        D::Power => ("hp", "hp", "kW"),
        D::PowerPerMass => ("hp/short ton", "hp/long ton", "W/kg"),
        D::EnergyPerMass => ("hp h/short ton", "hp h/long ton", "kWh/t"),
        D::Torque => ("lbf ft", "lbf ft", "N m"),
        D::Force => ("lbf", "lbf", "N"),
        D::Stress => ("psi", "psi", "Pa"),
        D::Temperature => ("°F", "°F", "°C"),
        D::Time => ("s", "s", "s"),
        D::PerTime => ("1/s", "1/s", "1/s"),
        D::Velocity => ("ft/s", "ft/s", "m/s"),
        D::Acceleration => ("ft/s2", "ft/s2", "m/s2"),
        D::Viscosity => ("cP", "cP", "mPa s"),
        D::KinematicViscosity => ("cSt", "cSt", "mm2/s"),
        D::Displacement => ("in3/rev", "in3/rev", "cm3/rev"),
        D::FuelPerEnergy => ("US gal/hp h", "imp gal/hp h", "L/kWh"),
        D::Money => ("$", "$", "$"),
        D::MoneyPerTime => ("$/h", "$/h", "$/h"),
        D::MoneyPerVolume => ("$/yd3", "$/yd3", "$/m3"),
        D::MoneyPerMass => ("$/ozt", "$/ozt", "$/g"),
    };
    match choice {
        UnitChoice::Us => us,
        UnitChoice::Imperial => imperial,
        UnitChoice::Metric => metric,
    }
}

/// Symbols of the units of a kind of quantity, commonest first, for help texts.
pub fn units_of(dimension: Dimension) -> impl Iterator<Item = &'static str> {
    symbols(dimension).iter().copied()
}

/// The listed units, with the units of each kind found by what they are made of.
struct Table {
    units: Vec<Unit>,
    by_key: BTreeMap<(Dimension, Key), usize>,
    by_symbol: BTreeMap<(Dimension, &'static str), usize>,
}

static TABLE: LazyLock<Table> = LazyLock::new(build);

fn build() -> Table {
    let mut table = Table { units: Vec::new(), by_key: BTreeMap::new(), by_symbol: BTreeMap::new() };
    for dimension in Dimension::ALL {
        for &symbol in symbols(dimension) {
            let (unit, key) = match special(dimension, symbol) {
                Some(scale) => (plain_unit(dimension, symbol, scale), None),
                None => match composed(dimension, symbol) {
                    Some((unit, key)) => (unit, Some(key)),
                    None => continue,
                },
            };
            let place = table.units.len();
            table.units.push(unit);
            table.by_symbol.insert((dimension, symbol), place);
            if let Some(key) = key {
                table.by_key.entry((dimension, key)).or_insert(place);
            }
        }
    }
    table
}

/// Units that are not a product of single units.
fn special(dimension: Dimension, symbol: &str) -> Option<Scale> {
    match (dimension, symbol) {
        (D::Slope, ONE_IN) => Some(Scale::OneIn),
        (D::SieveSize, MESH_US) => Some(Scale::MeshUs),
        (D::SieveSize, MESH_TYLER) => Some(Scale::MeshTyler),
        (D::RotationSpeed, OF_CRITICAL) => Some(Scale::PercentOfCritical),
        _ => None,
    }
}

fn plain_unit(dimension: Dimension, symbol: &'static str, scale: Scale) -> Unit {
    let source = match scale {
        Scale::MeshUs => "ASTM E11",
        Scale::MeshTyler => "Tyler series by its US equivalents",
        _ => "definition",
    };
    let system = if scale == Scale::MeshUs { System::Us } else { System::Si };
    Unit { symbol, dimension, system, scale, source }
}

fn composed(dimension: Dimension, symbol: &'static str) -> Option<(Unit, Key)> {
    let powers = dimension.powers();
    let key = unit_text::readings(symbol).ok()?.keys.into_iter().find(|k| k.powers() == powers || k.is_bare())?;
    let factor = key.factor()?;
    let scale = match (dimension, symbol) {
        (D::Slope, "deg") => Scale::TangentOfDegrees,
        (D::Temperature, "°F") => Scale::Shifted { zero: 32.0, factor },
        (D::Temperature, "K") => Scale::Shifted { zero: 273.15, factor },
        // One turn is 2 pi radians.
        (D::RotationSpeed, "rad/s") => Scale::Ratio(Factor { num: 1.0, den: 2.0 * PI }),
        _ => Scale::Ratio(factor),
    };
    let (system, source) = key.origin();
    Some((Unit { symbol, dimension, system, scale, source }, key))
}

/// The listed unit of this kind that is made of these single units.
pub(super) fn by_key(dimension: Dimension, key: &Key) -> Option<UnitRef> {
    let table = &*TABLE;
    let place = *table.by_key.get(&(dimension, key.clone()))?;
    table.units.get(place).map(UnitRef)
}

/// The listed unit of this kind with exactly this symbol.
pub(super) fn by_symbol(dimension: Dimension, symbol: &str) -> Option<UnitRef> {
    let table = &*TABLE;
    let (_, place) = table
        .by_symbol
        .range((dimension, "")..)
        .take_while(|((d, _), _)| *d == dimension)
        .find(|((_, s), _)| *s == symbol)?;
    table.units.get(*place).map(UnitRef)
}

/// The SI unit of a kind of quantity.
pub(super) fn si_unit(dimension: Dimension) -> Option<UnitRef> {
    by_symbol(dimension, dimension.si_symbol()).or_else(|| {
        let keys = unit_text::readings(dimension.si_symbol()).ok()?.keys;
        keys.iter().find_map(|k| by_key(dimension, k))
    })
}

/// All kinds that list a unit made of these single units.
pub(super) fn kinds_with(key: &Key) -> impl Iterator<Item = Dimension> + '_ {
    Dimension::ALL.into_iter().filter(move |d| by_key(*d, key).is_some())
}

/// Every listed unit.
pub fn all_units() -> impl Iterator<Item = UnitRef> {
    TABLE.units.iter().map(UnitRef)
}

#[cfg(test)]
mod tests {
    use super::super::atoms::{ATOMS, MINERS_INCHES};
    use super::*;

    #[test]
    fn identity_every_listed_symbol_has_the_powers_of_its_kind() {
        for dimension in Dimension::ALL {
            for &symbol in symbols(dimension) {
                assert!(by_symbol(dimension, symbol).is_some(), "{dimension:?}: {symbol} was not understood");
            }
            assert!(si_unit(dimension).is_some(), "{dimension:?} has no SI unit");
            for choice in [UnitChoice::Us, UnitChoice::Imperial, UnitChoice::Metric] {
                let symbol = preferred(dimension, choice);
                assert!(symbols(dimension).contains(&symbol) || symbol == "-", "{dimension:?}: {symbol}");
            }
        }
    }

    #[test]
    fn identity_si_units_have_factor_one() {
        for dimension in Dimension::ALL {
            assert_eq!(si_unit(dimension).unwrap().factor(), Some(1.0), "{dimension:?}");
        }
    }

    #[test]
    fn identity_every_miners_inch_is_listed() {
        for symbol in MINERS_INCHES {
            assert!(by_symbol(D::Flow, symbol).is_some());
            assert!(ATOMS.iter().any(|a| a.symbol == *symbol));
        }
    }
}
