//! What is possible for a kind of quantity anywhere near a wash plant.

use super::dimension::{Dimension, Dimension as D};

/// A whole turn, rad.
const TURN_RAD: f64 = 2.0 * std::f64::consts::PI;

impl Dimension {
    /// Smallest and largest value, SI, that this kind of quantity can have on and around a wash plant: signs that mean nothing
    /// are left out, and the ends lie orders of magnitude beyond anything built, so that only slips and nonsense fall outside.
    ///
    /// Densities end above osmium (22,590 kg/m3), gold grades at gold (19,300 kg/m3), gauge pressures below at a vacuum; all other
    /// ends are our judgement.
    pub const fn possible(self) -> (f64, f64) {
        match self {
            D::Number => (-1e15, 1e15),
            D::Fraction => (0.0, 1.0),
            D::Length => (0.0, 1e6),
            D::SieveSize => (0.0, 100.0),
            D::Area => (0.0, 1e10),
            D::Volume => (0.0, 1e12),
            D::GravelRate | D::Flow => (0.0, 1e6),
            D::FlowPerWidth => (0.0, 1e4),
            D::SolidsPerWidth => (0.0, 1e6),
            D::WaterPerMass => (0.0, 1e3),
            D::WaterPerGravel => (0.0, 1e6),
            D::Pressure => (-101_325.0, 1e9),
            D::Head => (-1e4, 1e5),
            D::RotationSpeed => (0.0, 1e4),
            D::Slope => (-100.0, 100.0),
            D::Angle => (-TURN_RAD, TURN_RAD),
            D::Mass => (0.0, 1e15),
            D::MassRate => (0.0, 1e9),
            D::Density => (0.0, 23_000.0),
            D::Grade => (0.0, 19_300.0),
            D::Power => (0.0, 1e12),
            D::PowerPerMass => (0.0, 1e6),
            D::EnergyPerMass => (0.0, 1e9),
            D::Torque | D::Force => (0.0, 1e12),
            D::Stress => (0.0, 1e12),
            D::Temperature => (-90.0, 100.0),
            D::Time => (0.0, 1e11),
            D::PerTime => (0.0, 1e6),
            D::Velocity => (-1e4, 1e4),
            D::Acceleration => (1.0, 30.0),
            D::Viscosity => (0.0, 1e6),
            D::KinematicViscosity => (0.0, 1e3),
            D::Displacement => (0.0, 1e3),
            D::FuelPerEnergy => (0.0, 1e-6),
            D::Money | D::MoneyPerTime | D::MoneyPerVolume | D::MoneyPerMass => (-1e15, 1e15),
        }
    }
}
