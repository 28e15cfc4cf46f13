//! What the run says of a measure or an outlet, and what a part is told of its surroundings.

/// A number over the runs: the middle, and what 1 run in 10 falls below and 1 in 10 is above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Half of the runs fall below.
    pub middle: f64,
    /// 1 run in 10 falls below.
    pub low: f64,
    /// 1 run in 10 is above.
    pub high: f64,
}

impl Reading {
    /// A reading that is not there.
    pub const NONE: Reading = Reading { middle: f64::NAN, low: f64::NAN, high: f64::NAN };

    /// The same in another unit, or with a margin.
    pub fn times(self, factor: f64) -> Reading {
        Reading { middle: self.middle * factor, low: self.low * factor, high: self.high * factor }
    }
}

/// What a stage is told for its shop parts.
#[derive(Debug, Clone, Copy)]
pub struct StageSite<'a> {
    /// Its id in the scenario.
    pub id: &'a str,
    /// Its measures over the runs, in the order of the builder.
    pub measures: &'a [Reading],
}

impl StageSite<'_> {
    /// One of its measures.
    pub fn reading(&self, measure: usize) -> Reading {
        self.measures.get(measure).copied().unwrap_or(Reading::NONE)
    }
}

/// The shell that a drum section is part of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shell<'a> {
    /// Name of the section.
    pub section: &'a str,
    /// Inside diameter of the drum, m.
    pub diameter_m: f64,
    /// Thickness of the plate, m.
    pub wall_m: f64,
    /// Whether the thickness was given or taken.
    pub wall_given: bool,
}

impl Shell<'_> {
    /// Length of the flat plate that rolls up to the shell: the girth at the middle of the plate, pi (D + t), m.
    ///
    /// Source: geometry; rolling a thin plate leaves its middle as long as it was.
    pub fn girth_m(&self) -> f64 {
        core::f64::consts::PI * (self.diameter_m + self.wall_m)
    }

    /// Girth that a tape around the outside shows, pi (D + 2 t), m. Source: geometry.
    pub fn outside_girth_m(&self) -> f64 {
        core::f64::consts::PI * (self.diameter_m + 2.0 * self.wall_m)
    }
}

/// What a water outlet is told for its shop parts.
#[derive(Debug, Clone, Copy)]
pub struct OutletSite<'a> {
    /// Its id in the scenario.
    pub id: &'a str,
    /// The stage, or stage.section, that it is mounted on.
    pub on: &'a str,
    /// Length of what it is mounted on, m, where it has one.
    pub run_m: Option<f64>,
    /// Its flow, m3/s.
    pub flow_m3_s: Reading,
    /// Pressure ahead of its holes, Pa.
    pub pressure_pa: Reading,
}
