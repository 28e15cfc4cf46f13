//! The two versions of the sluice model, and what to say of their quality.

/// Which settling law feeds the sluice, with the constants that were fitted to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SettlingForm {
    /// The gold law used everywhere in the plant: sieve size to nominal diameter, then Bagheri & Bonadonna 2016 under
    /// the sphere cap. The default.
    #[default]
    PlantWide,
    /// The simple form of [`crate::settling`], kept as a second opinion with its own fit.
    Simple,
}

impl SettlingForm {
    /// Name and version of the model, as results carry it.
    pub const fn model_name(self) -> &'static str {
        match self {
            SettlingForm::PlantWide => "washgraph-sluice-1 (plant-wide settling)",
            SettlingForm::Simple => "washgraph-sluice-1 (simple settling form)",
        }
    }
}

/// What every result of the sluice must say of itself.
pub const QUALITY_NOTE: &str = "The sluice constants are set on three published recovery rows: a calibration, not a \
    validation. Trends and rank order are usable. Absolute recovery: about 5 points either way at 0.15-0.3 mm under \
    conditions like those of the tests (expanded metal, screened feed), 10 to 15 points at 0.075-0.15 mm, unreliable \
    for unscreened boxes, and on the bright side for deep, gently sloped ones. Your own tailings samples are the remedy.";

/// What the model leaves out.
pub const MISSING_NOTE: &str = "Not in the model: coarse gold lost to surging or to steep expanded metal, filling of \
    the mat with clay, clay balls that pick up gold, flakes floating on the surface.";
