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
