//! Short forms of units (`gpm`, `lcy`, `kWh`) and the places that have a miner's inch.

use super::unit::Basis;

/// A short form of a product of single units.
pub(super) struct ShortForm {
    pub spellings: &'static [&'static str],
    pub parts: &'static [(&'static str, i32)],
    pub basis: Option<Basis>,
}

/// Places that have a miner's inch, in words.
pub(super) const PLACES: &[(&str, &str)] = &[
    ("arizona", "AZ"),
    ("california", "CA"),
    ("montana", "MT"),
    ("nevada", "NV"),
    ("oregon", "OR"),
    ("idaho", "ID"),
    ("kansas", "KS"),
    ("nebraska", "NE"),
    ("new mexico", "NM"),
    ("north dakota", "ND"),
    ("south dakota", "SD"),
    ("utah", "UT"),
    ("colorado", "CO"),
    ("british columbia", "BC"),
];

const fn short(spellings: &'static [&'static str], parts: &'static [(&'static str, i32)]) -> ShortForm {
    ShortForm { spellings, parts, basis: None }
}

const fn dug(spellings: &'static [&'static str], parts: &'static [(&'static str, i32)], basis: Basis) -> ShortForm {
    ShortForm { spellings, parts, basis: Some(basis) }
}

/// Short forms, in lower case.
pub(super) const SHORT_FORMS: &[ShortForm] = &[
    short(&["gpm"], &[("gal", 1), ("min", -1)]),
    short(&["usgpm"], &[("US gal", 1), ("min", -1)]),
    short(&["igpm", "impgpm", "ukgpm"], &[("imp gal", 1), ("min", -1)]),
    short(&["gph"], &[("gal", 1), ("h", -1)]),
    short(&["gpd"], &[("gal", 1), ("day", -1)]),
    short(&["lpm"], &[("L", 1), ("min", -1)]),
    short(&["lps"], &[("L", 1), ("s", -1)]),
    short(&["cfs", "cusec"], &[("ft", 3), ("s", -1)]),
    short(&["cfm"], &[("ft", 3), ("min", -1)]),
    short(&["cumec", "cumecs"], &[("m", 3), ("s", -1)]),
    short(&["fps"], &[("ft", 1), ("s", -1)]),
    short(&["fpm"], &[("ft", 1), ("min", -1)]),
    short(&["mph"], &[("mi", 1), ("h", -1)]),
    short(&["kph", "kmh"], &[("km", 1), ("h", -1)]),
    short(&["tph"], &[("ton", 1), ("h", -1)]),
    short(&["stph"], &[("short ton", 1), ("h", -1)]),
    short(&["mtph"], &[("t", 1), ("h", -1)]),
    short(&["rps"], &[("rev", 1), ("s", -1)]),
    short(&["cc", "ccm"], &[("cm", 3)]),
    short(&["cbm"], &[("m", 3)]),
    short(&["cy", "cuyd"], &[("yd", 3)]),
    short(&["cf", "cuft"], &[("ft", 3)]),
    short(&["cuin"], &[("in", 3)]),
    short(&["sqft", "sf"], &[("ft", 2)]),
    short(&["sqin"], &[("in", 2)]),
    short(&["sqyd"], &[("yd", 2)]),
    short(&["sqm"], &[("m", 2)]),
    short(&["psf"], &[("lbf", 1), ("ft", -2)]),
    short(&["pcf"], &[("lb", 1), ("ft", -3)]),
    short(&["kwh"], &[("kW", 1), ("h", 1)]),
    short(&["hph"], &[("hp", 1), ("h", 1)]),
    short(&["nm"], &[("N", 1), ("m", 1)]),
    short(&["pas"], &[("Pa", 1), ("s", 1)]),
    short(&["ftlb"], &[("ft", 1), ("lb", 1)]),
    short(&["ftlbf", "lbfft"], &[("ft", 1), ("lbf", 1)]),
    dug(&["lcy", "lyd"], &[("yd", 3)], Basis::Loose),
    dug(&["bcy", "byd"], &[("yd", 3)], Basis::Bank),
    dug(&["lcm"], &[("m", 3)], Basis::Loose),
    dug(&["bcm"], &[("m", 3)], Basis::Bank),
];
