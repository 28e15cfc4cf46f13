//! What a unit is: its symbol, the system it belongs to, and how its numbers turn into SI.

use super::dimension::Dimension;
use super::mesh;
use crate::math;
use std::f64::consts::PI;

/// Family of units.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum System {
    /// SI and the metric units used with it; also bare numbers, percent and time.
    Si,
    /// US customary. Inch, foot, yard and pound are the same in both customary systems and are counted here.
    Us,
    /// British imperial, where it differs from US customary.
    Imperial,
}

/// State in which a volume of gravel is measured. Bank gravel swells when it is dug.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Dug and loosened, as it lies in the bucket or the hopper.
    Loose,
    /// In place, undisturbed.
    Bank,
}

impl Basis {
    /// The word that the reader and the printer use.
    pub const fn word(self) -> &'static str {
        match self {
            Basis::Loose => "loose",
            Basis::Bank => "bank",
        }
    }
}

/// A conversion factor as a ratio, so that definitions such as 1 in = 254/10000 m stay exact: SI = value * num / den.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Factor {
    /// Numerator.
    pub num: f64,
    /// Denominator.
    pub den: f64,
}

impl Factor {
    /// One.
    pub(super) const ONE: Factor = Factor { num: 1.0, den: 1.0 };

    /// This factor times `other` to the power `exponent`.
    pub(super) fn times(self, other: Factor, exponent: i32) -> Factor {
        let mut f = self;
        for _ in 0..exponent.unsigned_abs().min(12) {
            f = if exponent > 0 {
                Factor { num: f.num * other.num, den: f.den * other.den }
            } else {
                Factor { num: f.num * other.den, den: f.den * other.num }
            };
        }
        f
    }

    fn apply(self, x: f64) -> f64 {
        let scaled = x * self.num;
        if scaled.is_finite() { scaled / self.den } else { x / self.den * self.num }
    }

    fn invert(self) -> Factor {
        Factor { num: self.den, den: self.num }
    }
}

/// How a number with a unit turns into SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Scale {
    /// SI = value * factor.
    Ratio(Factor),
    /// SI = (value - zero) * factor; temperatures.
    Shifted {
        /// Value of the unit at the SI zero (here 0 degree Celsius).
        zero: f64,
        /// Size of one step.
        factor: Factor,
    },
    /// SI = tan(value in degrees); slopes.
    TangentOfDegrees,
    /// SI = 1 / value; a slope of 1 in n.
    OneIn,
    /// US sieve number (ASTM E11).
    MeshUs,
    /// Tyler mesh.
    MeshTyler,
    /// Percent of the critical speed of a drum. Not a speed until the drum is known, so it has no conversion.
    PercentOfCritical,
}

impl Scale {
    /// Value in the unit to SI. `None` where the value has no meaning (slope of 90 degrees, unknown mesh number).
    pub(super) fn to_si(self, x: f64) -> Option<f64> {
        let si = match self {
            Scale::Ratio(f) => f.apply(x),
            Scale::Shifted { zero, factor } => factor.apply(x - zero),
            Scale::TangentOfDegrees if x.abs() < 90.0 => math::tan(x * PI / 180.0),
            Scale::TangentOfDegrees => return None,
            Scale::OneIn => 1.0 / x,
            Scale::MeshUs => mesh::us_number_mm(x)? / 1000.0,
            Scale::MeshTyler => mesh::tyler_mesh_mm(x)? / 1000.0,
            Scale::PercentOfCritical => return None,
        };
        si.is_finite().then_some(si)
    }

    /// SI to a value in the unit. A mesh number is returned only for an opening of its series.
    pub(super) fn value_of(self, si: f64) -> Option<f64> {
        let x = match self {
            Scale::Ratio(f) => f.invert().apply(si),
            Scale::Shifted { zero, factor } => factor.invert().apply(si) + zero,
            Scale::TangentOfDegrees => math::atan(si) * 180.0 / PI,
            Scale::OneIn => 1.0 / si,
            Scale::MeshUs => mesh::us_number_of_mm(si * 1000.0, 1e-9)?,
            Scale::MeshTyler => mesh::tyler_mesh_of_mm(si * 1000.0, 1e-9)?,
            Scale::PercentOfCritical => return None,
        };
        x.is_finite().then_some(x)
    }
}

/// One listed unit of one kind of quantity.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Unit {
    pub(super) symbol: &'static str,
    pub(super) dimension: Dimension,
    pub(super) system: System,
    pub(super) scale: Scale,
    pub(super) source: &'static str,
}

/// A listed unit, cheap to copy.
#[derive(Debug, Clone, Copy)]
pub struct UnitRef(pub(super) &'static Unit);

impl UnitRef {
    /// Symbol as the parser reads it, e.g. `US gpm`; `-` for a bare number.
    pub fn symbol(self) -> &'static str {
        self.0.symbol
    }

    /// Family of units that it belongs to.
    pub fn system(self) -> System {
        self.0.system
    }

    /// Kind of quantity that it measures.
    pub fn dimension(self) -> Dimension {
        self.0.dimension
    }

    /// Size of the unit in SI, where one unit is always the same amount (not for a mesh number, a slope in degrees, or
    /// percent of critical; for a temperature, the size of one degree).
    pub fn factor(self) -> Option<f64> {
        match self.0.scale {
            Scale::Ratio(f) | Scale::Shifted { factor: f, .. } => Some(f.num / f.den),
            _ => None,
        }
    }

    /// Where the factor comes from.
    pub fn source(self) -> &'static str {
        self.0.source
    }
}

impl PartialEq for UnitRef {
    fn eq(&self, other: &Self) -> bool {
        self.symbol() == other.symbol() && self.dimension() == other.dimension()
    }
}
