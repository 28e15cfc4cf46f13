//! The constants of the sluice model: defaults, ranges, sources, and the table from which uncertain inputs are made.

use crate::model::SettlingForm;
use crate::scour::Pocket;
use sim_core::check::Status;
use sim_core::constants::{STANDARD_GRAVITY_M_S2, VON_KARMAN};

/// Bypass of an ordinary plant when the unevenness of the feed is reckoned apart [-]. Assumed, so that switching the
/// uneven feed on is no reward.
pub const BYPASS_UNEVEN_FEED: f64 = 0.03;
/// Bypass of an ordinary plant when an even feed is assumed [-]. Fitted to the 1-2.5 mm row.
pub const BYPASS_EVEN_FEED: f64 = 0.04;
/// Contact efficiency at CSF 0.3 with the plant-wide settling law [-]. Fitted.
pub const CONTACT_PLANT_WIDE: f64 = 0.45;
/// Contact efficiency with the simple settling form [-]. Fitted, cut to the physical bound.
pub const CONTACT_SIMPLE_FORM: f64 = 0.95;

/// All constants of the sluice model. Plain numbers: one set per trial, written from draws through [`UNCERTAIN`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constants {
    /// Gravity [m/s2].
    pub gravity_m_s2: f64,
    /// Von Karman's constant [-].
    pub von_karman: f64,
    /// c_k, roughness / riffle height [-].
    pub roughness_ratio: f64,
    /// eta, share of the contacts with a riffle that catch [-], 0.2-1.
    pub contact: f64,
    /// Spread of eta around [`contact_efficiency`] [-]; 1 in the middle.
    pub contact_factor: f64,
    /// m, exponent of the near-bed enrichment [-].
    pub enrichment_exponent: f64,
    /// c_E, scale of the packing factor [-].
    pub packing_scale: f64,
    /// n_p, sharpness of the packing factor [-].
    pub packing_exponent: f64,
    /// f_p, share of the bed shear that reaches the pocket [-].
    pub pocket_share: f64,
    /// n_s, sharpness of the scour factor [-].
    pub scour_exponent: f64,
    /// theta_c, gamma, D_b: what holds gold in the pocket.
    pub pocket: Pocket,
    /// f_s, share of the solids that hinders settling [-].
    pub hindering_share: f64,
    /// n_h, exponent of the hindered settling [-].
    pub hindrance_exponent: f64,
    /// b, bypass of the finest gold [-].
    pub bypass: f64,
    /// Sieve size at which the bypass is halved (m); infinite: the same bypass for all sizes.
    pub bypass_size_m: f64,
    /// C_max, solids by volume at which the capture rate is halved [-]; infinite: off.
    pub thick_limit: f64,
    /// r_c, depth over rock of size D_98 at which half is lost [-]; 0: off.
    pub cover_share: f64,
    /// Depth over the depth at the published minimum flow at which half is lost [-]; 0: off.
    pub starved_share: f64,
    /// CV of the solids load as felt at the sluice [-]; 0: even feed.
    pub load_cv: f64,
    /// c_h, depth wanted over the largest rock [-]; warnings and the design sweep only.
    pub cover_ratio: f64,
}

/// The plant-wide form with everything on.
impl Default for Constants {
    fn default() -> Self {
        Constants::plant_wide()
    }
}

impl Constants {
    /// The default model: plant-wide settling, factors outside the calibration on, uneven feed on.
    pub const fn plant_wide() -> Self {
        Constants {
            gravity_m_s2: STANDARD_GRAVITY_M_S2,
            von_karman: VON_KARMAN,
            roughness_ratio: 1.4,
            contact: CONTACT_PLANT_WIDE,
            contact_factor: 1.0,
            enrichment_exponent: 0.45,
            packing_scale: 2.0,
            packing_exponent: 3.0,
            pocket_share: 0.10,
            scour_exponent: 2.0,
            pocket: Pocket { threshold: 0.045, hiding: 0.7, black_sand_m: 2.0e-3 },
            hindering_share: 0.5,
            hindrance_exponent: 3.0,
            bypass: BYPASS_UNEVEN_FEED,
            bypass_size_m: 4.0e-3,
            thick_limit: 0.16,
            cover_share: 0.6,
            starved_share: 0.5,
            load_cv: 0.30,
            cover_ratio: 1.0,
        }
    }

    /// The same with the constants fitted to the simple settling form.
    pub const fn simple_form() -> Self {
        Constants { contact: CONTACT_SIMPLE_FORM, enrichment_exponent: 0.5, ..Constants::plant_wide() }
    }

    /// The set that belongs to a settling form.
    pub const fn of(form: SettlingForm) -> Self {
        match form {
            SettlingForm::PlantWide => Constants::plant_wide(),
            SettlingForm::Simple => Constants::simple_form(),
        }
    }

    /// Even feed: no spread of the load, and the bypass that was fitted without one.
    pub const fn with_even_feed(self) -> Self {
        Constants { load_cv: 0.0, bypass: BYPASS_EVEN_FEED, ..self }
    }

    /// Without the factors for thick slurry, uncovered rock, starved box and bypass by size: the bare fitted model.
    pub const fn without_guards(self) -> Self {
        Constants {
            thick_limit: f64::INFINITY,
            cover_share: 0.0,
            starved_share: 0.0,
            bypass_size_m: f64::INFINITY,
            ..self
        }
    }

    /// With the gravity of the published rows and the fit, 9.81 m/s2.
    pub const fn with_fit_gravity(self) -> Self {
        Constants { gravity_m_s2: crate::flow::FIT_GRAVITY_M_S2, ..self }
    }

    /// With the contact efficiency that goes with the shape of the fine gold; see [`contact_efficiency`].
    pub fn with_contact_for(self, csf_of_150_to_212_um: f64) -> Self {
        Constants { contact: contact_efficiency(csf_of_150_to_212_um, self.contact_factor), ..self }
    }
}

/// Contact efficiency that goes with the shape of the fine gold (plant-wide settling).
///
/// eta = 0.45 (0.3/CSF)^0.4 x factor, kept within 0.2 to 1
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | CSF | Corey shape factor of the 150-212 um gold | - | 0.1-0.7 |
/// | factor | lognormal of median 1 and sigma 0.2 | - | 0.5-2 |
///
/// Source: fitted; free fits give 0.54 at CSF 0.2 and 0.41 at CSF 0.4: flatter gold would need better contact to give the
/// same published recovery, so the two are drawn together. It carries the error of the drag law in the sluice: do not
/// apply that again. The limits are part of the definition (a share cannot exceed 1).
pub fn contact_efficiency(csf_of_150_to_212_um: f64, factor: f64) -> f64 {
    (CONTACT_PLANT_WIDE * sim_core::math::pow(0.3 / csf_of_150_to_212_um, 0.4) * factor).clamp(0.2, 1.0)
}

/// How a constant may be drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// Triangle from low over the default to high.
    Triangular,
    /// Lognormal, median at the default, cut to low and high.
    LogNormal {
        /// Standard deviation of the logarithm.
        sigma: f64,
    },
}

/// Why a constant is uncertain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Nature {
    /// Samples of the owner's own tailings or a trial run would narrow it.
    Ignorance,
    /// It differs from hour to hour or from bench to bench.
    Variability,
}

/// A constant of the model as an uncertain input.
#[derive(Debug, Clone, Copy)]
pub struct UncertainConstant {
    /// Name, snake_case.
    pub name: &'static str,
    /// Meaning in plain words.
    pub meaning: &'static str,
    /// Unit; `-` for none.
    pub unit: &'static str,
    /// Middle.
    pub default: f64,
    /// Lowest sensible value.
    pub low: f64,
    /// Highest sensible value.
    pub high: f64,
    /// Values that may be typed for it: beyond them the law has no meaning.
    pub allowed: (f64, f64),
    /// Suggested way to draw it.
    pub shape: Shape,
    /// Ignorance or variability.
    pub nature: Nature,
    /// Where it comes from.
    pub source: &'static str,
    /// How it came to us.
    pub status: Status,
    /// Writes a drawn value.
    pub set: fn(&mut Constants, f64),
    /// Reads the value in force.
    pub get: fn(&Constants) -> f64,
}

/// What a share may be.
const SHARE: (f64, f64) = (0.0, 1.0);

/// Fields of a row that are the same for all constants of one kind.
const ROW: UncertainConstant = UncertainConstant {
    name: "",
    meaning: "",
    unit: "-",
    default: 0.0,
    low: 0.0,
    high: 0.0,
    allowed: (0.0, 100.0),
    shape: Shape::Triangular,
    nature: Nature::Ignorance,
    source: "",
    status: Status::Assumed,
    set: |_, _| (),
    get: |_| 0.0,
};

pub(crate) const CONTACT_FACTOR: UncertainConstant = UncertainConstant {
    name: "contact_factor",
    meaning: "spread of the contact efficiency around 0.45 (0.3/CSF)^0.4",
    default: 1.0,
    low: 0.5,
    high: 2.0,
    shape: Shape::LogNormal { sigma: 0.2 },
    source: "fit to the expanded-metal row (Hamilton 1988) and two rows of BGS WC/97/14; spread assumed",
    status: Status::Computed,
    set: |c, v| c.contact_factor = v,
    get: |c| c.contact_factor,
    ..ROW
};

pub(crate) const ENRICHMENT_EXPONENT: UncertainConstant = UncertainConstant {
    name: "enrichment_exponent",
    meaning: "how far the riffles leave the gold richer near the bed: 0 well mixed, 1 undisturbed",
    default: 0.45,
    low: 0.0,
    high: 1.0,
    source: "fit with a prior to the same three rows; poorly known",
    status: Status::Computed,
    set: |c, v| c.enrichment_exponent = v,
    get: |c| c.enrichment_exponent,
    ..ROW
};

pub(crate) const POCKET_SHARE: UncertainConstant = UncertainConstant {
    name: "pocket_share",
    meaning: "share of the bed shear that reaches the riffle pocket; the largest unknown",
    default: 0.10,
    low: 0.05,
    high: 0.2,
    shape: Shape::LogNormal { sigma: 0.35 },
    source: "assumed; calibrate on the scour depth between riffles",
    set: |c, v| c.pocket_share = v,
    get: |c| c.pocket_share,
    ..ROW
};

pub(crate) const SCOUR_EXPONENT: UncertainConstant = UncertainConstant {
    name: "scour_exponent",
    meaning: "sharpness of the scour factor",
    default: 2.0,
    low: 1.0,
    high: 3.0,
    source: "assumed",
    set: |c, v| c.scour_exponent = v,
    get: |c| c.scour_exponent,
    ..ROW
};

pub(crate) const POCKET_THRESHOLD: UncertainConstant = UncertainConstant {
    name: "pocket_threshold",
    meaning: "dimensionless shear at which the black sand of a pocket gives way",
    default: 0.045,
    low: 0.03,
    high: 0.06,
    source: "Shields 1936 and later thresholds of gravel",
    status: Status::Memory,
    set: |c, v| c.pocket.threshold = v,
    get: |c| c.pocket.threshold,
    ..ROW
};

pub(crate) const HIDING: UncertainConstant = UncertainConstant {
    name: "hiding",
    meaning: "hiding exponent of gold among black sand: 0 no shelter, 1 full shelter",
    default: 0.7,
    low: 0.5,
    high: 0.9,
    source: "hiding functions of mixed beds",
    status: Status::Memory,
    set: |c, v| c.pocket.hiding = v,
    get: |c| c.pocket.hiding,
    ..ROW
};

pub(crate) const BLACK_SAND_SIZE: UncertainConstant = UncertainConstant {
    name: "black_sand_size",
    meaning: "size of the black sand in the riffle pockets",
    unit: "m",
    default: 2.0e-3,
    low: 1.0e-3,
    high: 4.0e-3,
    allowed: (1.0e-5, 0.1),
    shape: Shape::LogNormal { sigma: 0.35 },
    source: "assumed",
    set: |c, v| c.pocket.black_sand_m = v,
    get: |c| c.pocket.black_sand_m,
    ..ROW
};

pub(crate) const PACKING_SCALE: UncertainConstant = UncertainConstant {
    name: "packing_scale",
    meaning: "scale of the packing factor: rated feed leaves the riffles about 85 % effective",
    default: 2.0,
    low: 1.0,
    high: 4.0,
    shape: Shape::LogNormal { sigma: 0.35 },
    source: "chosen on the published rated feed (Clarkson 1990, from memory)",
    set: |c, v| c.packing_scale = v,
    get: |c| c.packing_scale,
    ..ROW
};

pub(crate) const PACKING_EXPONENT: UncertainConstant = UncertainConstant {
    name: "packing_exponent",
    meaning: "sharpness of the packing factor",
    default: 3.0,
    low: 2.0,
    high: 4.0,
    source: "assumed",
    set: |c, v| c.packing_exponent = v,
    get: |c| c.packing_exponent,
    ..ROW
};

pub(crate) const ROUGHNESS_RATIO: UncertainConstant = UncertainConstant {
    name: "roughness_ratio",
    meaning: "roughness of the riffled bed / riffle height",
    default: 1.4,
    low: 1.0,
    high: 2.0,
    source: "fit to the published angle-iron velocity of 2.0 m/s",
    status: Status::Computed,
    set: |c, v| c.roughness_ratio = v,
    get: |c| c.roughness_ratio,
    ..ROW
};

pub(crate) const HINDERING_SHARE: UncertainConstant = UncertainConstant {
    name: "hindering_share",
    meaning: "share of the solids that hinders the settling of gold",
    default: 0.5,
    low: 0.2,
    high: 0.8,
    allowed: SHARE,
    source: "assumed; weak effect",
    set: |c, v| c.hindering_share = v,
    get: |c| c.hindering_share,
    ..ROW
};

pub(crate) const HINDRANCE_EXPONENT: UncertainConstant = UncertainConstant {
    name: "hindrance_exponent",
    meaning: "exponent of the hindered settling",
    default: 3.0,
    low: 2.4,
    high: 4.7,
    source: "range of Richardson & Zaki 1954; middle assumed",
    set: |c, v| c.hindrance_exponent = v,
    get: |c| c.hindrance_exponent,
    ..ROW
};

pub(crate) const BYPASS: UncertainConstant = UncertainConstant {
    name: "bypass",
    meaning: "share of the finest gold that splash and surge carry over, uneven feed reckoned apart",
    default: BYPASS_UNEVEN_FEED,
    low: 0.01,
    high: 0.10,
    allowed: SHARE,
    shape: Shape::LogNormal { sigma: 0.5 },
    source: "fit to the 1-2.5 mm row of BGS WC/97/14 (0.04 with an even feed), lowered for the uneven feed",
    set: |c, v| c.bypass = v,
    get: |c| c.bypass,
    ..ROW
};

pub(crate) const THICK_LIMIT: UncertainConstant = UncertainConstant {
    name: "thick_limit",
    meaning: "solids by volume at which the capture rate is halved",
    default: 0.16,
    low: 0.13,
    high: 0.22,
    source: "assumed, shaped on the published limit of 12 % solids by volume",
    set: |c, v| c.thick_limit = v,
    get: |c| c.thick_limit,
    ..ROW
};

pub(crate) const COVER_SHARE: UncertainConstant = UncertainConstant {
    name: "cover_share",
    meaning: "depth / 98 % passing size of the feed at which half of the catch is lost",
    default: 0.6,
    low: 0.4,
    high: 0.9,
    source: "assumed",
    set: |c, v| c.cover_share = v,
    get: |c| c.cover_share,
    ..ROW
};

pub(crate) const COVER_RATIO: UncertainConstant = UncertainConstant {
    name: "cover_ratio",
    meaning: "depth wanted over the largest rock / its size (warnings and the design sweep only)",
    default: 1.0,
    low: 0.6,
    high: 1.2,
    source: "old rule that water covers the largest boulder; range assumed",
    status: Status::Seen,
    set: |c, v| c.cover_ratio = v,
    get: |c| c.cover_ratio,
    ..ROW
};

/// The uncertain constants of the default model, in the order in which a trial writes them. After writing `contact_factor`, call
/// [`Constants::with_contact_for`] with the shape factor drawn for the 150-212 um gold. The unevenness of the load is not among
/// them: it comes with the feed.
pub const UNCERTAIN: &[UncertainConstant] = &[
    CONTACT_FACTOR,
    ENRICHMENT_EXPONENT,
    POCKET_SHARE,
    SCOUR_EXPONENT,
    POCKET_THRESHOLD,
    HIDING,
    BLACK_SAND_SIZE,
    PACKING_SCALE,
    PACKING_EXPONENT,
    ROUGHNESS_RATIO,
    HINDERING_SHARE,
    HINDRANCE_EXPONENT,
    BYPASS,
    THICK_LIMIT,
    COVER_SHARE,
    COVER_RATIO,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_the_table_and_the_defaults_agree() {
        let defaults = Constants::plant_wide();
        for (i, row) in UNCERTAIN.iter().enumerate() {
            assert_eq!((row.get)(&defaults), row.default, "{}", row.name);
            assert!(row.low < row.default && row.default < row.high, "{}", row.name);
            let mut c = defaults;
            (row.set)(&mut c, row.high);
            assert_eq!((row.get)(&c), row.high, "{}", row.name);
            assert!(UNCERTAIN.iter().skip(i + 1).all(|other| other.name != row.name), "{}", row.name);
        }
    }
}
