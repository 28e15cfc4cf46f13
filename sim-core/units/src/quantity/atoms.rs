//! The single units of which all others are put together: spellings, size in SI, and where the size comes from.
//!
//! `yd3/h` or `US gpm per short ton/h` have no factor of their own: it follows from the rows here.

use super::dimension::Powers;
use super::unit::{Factor, System};
use crate::constants::S_PER_DAY;
use std::f64::consts::PI;

/// A single unit, or a word that names several and must be told apart (`choices` not empty).
pub(super) struct Atom {
    pub symbol: &'static str,
    pub spellings: &'static [&'static str],
    pub factor: Factor,
    pub powers: Powers,
    pub system: System,
    pub source: &'static str,
    /// What the word may mean, by symbol.
    pub choices: &'static [&'static str],
}

const NONE: Powers = [0, 0, 0, 0, 0];
const LENGTH: Powers = [1, 0, 0, 0, 0];
const AREA: Powers = [2, 0, 0, 0, 0];
const VOLUME: Powers = [3, 0, 0, 0, 0];
const MASS: Powers = [0, 1, 0, 0, 0];
const TIME: Powers = [0, 0, 1, 0, 0];
const PER_TIME: Powers = [0, 0, -1, 0, 0];
const FLOW: Powers = [3, 0, -1, 0, 0];
const FORCE: Powers = [1, 1, -2, 0, 0];
const PRESSURE: Powers = [-1, 1, -2, 0, 0];
const ENERGY: Powers = [2, 1, -2, 0, 0];
const POWER: Powers = [2, 1, -3, 0, 0];
const VISCOSITY: Powers = [-1, 1, -1, 0, 0];
const KINEMATIC: Powers = [2, 0, -1, 0, 0];
const TEMPERATURE: Powers = [0, 0, 0, 1, 0];
const MONEY: Powers = [0, 0, 0, 0, 1];

const SI: &str = "SI brochure, BIPM 2019";
const YARD_POUND: &str = "International Yard and Pound Agreement 1959 (exact)";
const US_LAW: &str = "NIST Handbook 44, appendix C (exact)";
const UK_LAW: &str = "UK Weights and Measures Act 1985 (exact)";
const GRAVITY: &str = "from the pound or kilogram with standard gravity 9.80665 m/s2 (exact)";
const WATER: &str = "water at 1000 kg/m3 and standard gravity (the conventional value of NIST SP 811)";
const HORSE: &str = "550 ft lbf/s";
const METRIC_HORSE: &str = "75 kgf m/s";
const PLAIN: &str = "definition";
const STATES: &str =
    "state statutes as collected in water-right tables (seen in a copy); cubic foot from the 1959 yard";

use System::{Imperial, Si, Us};

const fn atom(
    symbol: &'static str,
    spellings: &'static [&'static str],
    num: f64,
    den: f64,
    powers: Powers,
    system: System,
    source: &'static str,
) -> Atom {
    Atom { symbol, spellings, factor: Factor { num, den }, powers, system, source, choices: &[] }
}

const fn ambiguous(
    symbol: &'static str,
    spellings: &'static [&'static str],
    powers: Powers,
    choices: &'static [&'static str],
) -> Atom {
    Atom { symbol, spellings, factor: Factor::ONE, powers, system: Us, source: PLAIN, choices }
}

/// A miner's inch of 1/n cubic foot per second. 1 ft3 = 28316846592e-12 m3.
const fn miners_inch(symbol: &'static str, inches_per_cfs: f64) -> Atom {
    atom(symbol, &[], 28_316_846_592.0, 1e12 * inches_per_cfs, FLOW, Us, STATES)
}

/// All single units.
pub(super) const ATOMS: &[Atom] = &[
    // Length
    atom("m", &["m", "metre", "meter", "mtr"], 1.0, 1.0, LENGTH, Si, SI),
    atom("mm", &["mm", "millimetre", "millimeter"], 1.0, 1e3, LENGTH, Si, SI),
    atom("cm", &["cm", "centimetre", "centimeter"], 1.0, 1e2, LENGTH, Si, SI),
    atom("km", &["km", "kilometre", "kilometer"], 1e3, 1.0, LENGTH, Si, SI),
    atom("um", &["um", "micron", "micrometre", "micrometer"], 1.0, 1e6, LENGTH, Si, SI),
    atom("in", &["in", "inch", "inches", "\""], 254.0, 1e4, LENGTH, Us, YARD_POUND),
    atom("thou", &["thou"], 254.0, 1e7, LENGTH, Us, YARD_POUND),
    atom("ft", &["ft", "foot", "feet", "'"], 3048.0, 1e4, LENGTH, Us, YARD_POUND),
    atom("yd", &["yd", "yard"], 9144.0, 1e4, LENGTH, Us, YARD_POUND),
    atom("mi", &["mi", "mile"], 1_609_344.0, 1e3, LENGTH, Us, YARD_POUND),
    // Area, volume
    atom("ha", &["ha", "hectare"], 1e4, 1.0, AREA, Si, SI),
    atom("acre", &["acre", "ac"], 40_468_564_224.0, 1e7, AREA, Us, YARD_POUND),
    atom("L", &["L", "l", "litre", "liter", "ltr"], 1.0, 1e3, VOLUME, Si, SI),
    atom("mL", &["mL", "ml", "millilitre", "milliliter"], 1.0, 1e6, VOLUME, Si, SI),
    atom("ML", &["ML", "megalitre", "megaliter"], 1e3, 1.0, VOLUME, Si, SI),
    atom("US gal", &["usgal", "usg"], 3_785_411_784.0, 1e12, VOLUME, Us, US_LAW),
    atom("imp gal", &["impgal", "igal", "ukgal"], 454_609.0, 1e8, VOLUME, Imperial, UK_LAW),
    ambiguous("gal", &["gal", "gallon"], VOLUME, &["US gal", "imp gal"]),
    // Mass
    atom("kg", &["kg", "kilogram", "kilogramme", "kilo"], 1.0, 1.0, MASS, Si, SI),
    atom("g", &["g", "gram", "gramme", "gm"], 1.0, 1e3, MASS, Si, SI),
    atom("mg", &["mg", "milligram", "milligramme"], 1.0, 1e6, MASS, Si, SI),
    atom("ug", &["ug", "microgram"], 1.0, 1e9, MASS, Si, SI),
    atom("t", &["t", "tonne", "Mg", "mt"], 1e3, 1.0, MASS, Si, SI),
    atom("lb", &["lb", "lbm", "pound"], 45_359_237.0, 1e8, MASS, Us, YARD_POUND),
    atom("oz avdp", &["ozav", "ozavdp"], 45_359_237.0, 16e8, MASS, Us, YARD_POUND),
    atom("ozt", &["ozt", "toz", "oztr", "troyoz"], 311_034_768.0, 1e10, MASS, Us, YARD_POUND),
    atom("dwt", &["dwt", "pennyweight"], 155_517_384.0, 1e11, MASS, Us, YARD_POUND),
    atom("grain", &["grain"], 6_479_891.0, 1e11, MASS, Us, YARD_POUND),
    atom("short ton", &["shortton", "ston"], 2000.0 * 45_359_237.0, 1e8, MASS, Us, US_LAW),
    atom("long ton", &["longton", "lton"], 2240.0 * 45_359_237.0, 1e8, MASS, Imperial, UK_LAW),
    ambiguous("oz", &["oz", "ounce"], MASS, &["ozt", "oz avdp"]),
    ambiguous("ton", &["ton", "tn"], MASS, &["t", "short ton", "long ton"]),
    // Time, turning
    atom("s", &["s", "sec", "second"], 1.0, 1.0, TIME, Si, SI),
    atom("ms", &["ms", "millisecond"], 1.0, 1e3, TIME, Si, SI),
    atom("min", &["min", "minute"], 60.0, 1.0, TIME, Si, SI),
    atom("h", &["h", "hr", "hour"], 3600.0, 1.0, TIME, Si, SI),
    atom("day", &["day", "d"], S_PER_DAY, 1.0, TIME, Si, SI),
    atom("week", &["week", "wk"], 604_800.0, 1.0, TIME, Si, PLAIN),
    atom("rpm", &["rpm"], 1.0, 60.0, PER_TIME, Si, PLAIN),
    atom("rev", &["rev", "turn", "revolution", "r"], 1.0, 1.0, NONE, Si, PLAIN),
    // Force, pressure
    atom("N", &["N", "newton"], 1.0, 1.0, FORCE, Si, SI),
    atom("kN", &["kN", "kilonewton"], 1e3, 1.0, FORCE, Si, SI),
    atom("lbf", &["lbf"], 44_482_216_152_605.0, 1e13, FORCE, Us, GRAVITY),
    atom("kgf", &["kgf", "kp"], 980_665.0, 1e5, FORCE, Si, GRAVITY),
    atom("Pa", &["Pa", "pascal"], 1.0, 1.0, PRESSURE, Si, SI),
    atom("mPa", &["mPa"], 1.0, 1e3, PRESSURE, Si, SI),
    atom("hPa", &["hPa"], 1e2, 1.0, PRESSURE, Si, SI),
    atom("kPa", &["kPa", "kilopascal"], 1e3, 1.0, PRESSURE, Si, SI),
    atom("MPa", &["MPa", "megapascal"], 1e6, 1.0, PRESSURE, Si, SI),
    atom("bar", &["bar"], 1e5, 1.0, PRESSURE, Si, SI),
    atom("mbar", &["mbar", "millibar"], 1e2, 1.0, PRESSURE, Si, SI),
    atom("atm", &["atm"], 101_325.0, 1.0, PRESSURE, Si, "NIST SP 811 (exact)"),
    atom("psi", &["psi", "psig"], 44_482_216_152_605.0, 6_451_600_000.0, PRESSURE, Us, GRAVITY),
    atom("m of water", &["mwc", "mwg"], 980_665.0, 100.0, PRESSURE, Si, WATER),
    atom("cm of water", &[], 980_665.0, 1e4, PRESSURE, Si, WATER),
    atom("mm of water", &[], 980_665.0, 1e5, PRESSURE, Si, WATER),
    atom("ft of water", &["ftwc"], 980_665.0 * 3048.0, 1e6, PRESSURE, Us, WATER),
    atom("in of water", &["inwc"], 980_665.0 * 254.0, 1e6, PRESSURE, Us, WATER),
    // Energy, power
    atom("J", &["J", "joule"], 1.0, 1.0, ENERGY, Si, SI),
    atom("mJ", &["mJ"], 1.0, 1e3, ENERGY, Si, SI),
    atom("kJ", &["kJ"], 1e3, 1.0, ENERGY, Si, SI),
    atom("MJ", &["MJ"], 1e6, 1.0, ENERGY, Si, SI),
    atom("W", &["W", "watt"], 1.0, 1.0, POWER, Si, SI),
    atom("mW", &["mW"], 1.0, 1e3, POWER, Si, SI),
    atom("kW", &["kW", "kilowatt"], 1e3, 1.0, POWER, Si, SI),
    atom("MW", &["MW", "megawatt"], 1e6, 1.0, POWER, Si, SI),
    atom("hp", &["hp", "bhp", "horsepower"], 550.0 * 3048.0 * 44_482_216_152_605.0, 1e17, POWER, Us, HORSE),
    atom("PS", &["PS", "cv"], 735.49875, 1.0, POWER, Si, METRIC_HORSE),
    // Viscosity
    atom("cP", &["cP", "centipoise"], 1.0, 1e3, VISCOSITY, Si, "0.01 g/(cm s)"),
    atom("cSt", &["cSt", "centistokes"], 1.0, 1e6, KINEMATIC, Si, "0.01 cm2/s"),
    // Angle, ratio
    atom("rad", &["rad", "radian"], 1.0, 1.0, NONE, Si, SI),
    atom("deg", &["deg", "degree", "°"], PI, 180.0, NONE, Si, SI),
    atom("%", &["%", "percent", "pct"], 1.0, 100.0, NONE, Si, PLAIN),
    atom("per mille", &["‰", "permille"], 1.0, 1e3, NONE, Si, PLAIN),
    // Gold in 24 parts; as a weight of stones it has no place here.
    atom("carat", &["carat", "karat"], 1.0, 24.0, NONE, Si, PLAIN),
    atom("ppm", &["ppm"], 1.0, 1e6, NONE, Si, PLAIN),
    // Temperature
    atom("°C", &["C", "celsius", "degC", "°C", "℃", "centigrade"], 1.0, 1.0, TEMPERATURE, Si, SI),
    atom("°F", &["F", "fahrenheit", "degF", "°F", "℉"], 5.0, 9.0, TEMPERATURE, Us, "NIST SP 811 (exact)"),
    atom("K", &["K", "kelvin"], 1.0, 1.0, TEMPERATURE, Si, SI),
    // Money
    atom("$", &["$", "dollar", "usd", "cad", "aud", "nzd", "eur", "€", "gbp", "£"], 1.0, 1.0, MONEY, Si, PLAIN),
    // Miner's inches
    miners_inch("miner's inch AZ", 40.0),
    miners_inch("miner's inch CA", 40.0),
    miners_inch("miner's inch MT", 40.0),
    miners_inch("miner's inch NV", 40.0),
    miners_inch("miner's inch OR", 40.0),
    miners_inch("miner's inch ID", 50.0),
    miners_inch("miner's inch KS", 50.0),
    miners_inch("miner's inch NE", 50.0),
    miners_inch("miner's inch NM", 50.0),
    miners_inch("miner's inch ND", 50.0),
    miners_inch("miner's inch SD", 50.0),
    miners_inch("miner's inch UT", 50.0),
    miners_inch("miner's inch CO", 38.4),
    atom("miner's inch BC", &[], 28.0 * 28_316_846_592.0, 1e15, FLOW, Imperial, STATES),
    ambiguous("miner's inch", &[], FLOW, MINERS_INCHES),
];

/// The miner's inches by place.
pub(super) const MINERS_INCHES: &[&str] = &[
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
];
