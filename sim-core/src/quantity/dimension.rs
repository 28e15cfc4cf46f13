//! The kinds of quantity that the tool knows.

/// A kind of quantity. The SI unit in brackets is the one used inside.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Dimension {
    /// Bare number or ratio without percent [-].
    Number,
    /// Share of a whole, typed as a number or in percent [-].
    Fraction,
    /// Length [m].
    Length,
    /// Sieve or grain size: a length, or a mesh number of a named series [m].
    SieveSize,
    /// Area [m2].
    Area,
    /// Volume [m3]; of gravel it is loose or bank.
    Volume,
    /// Volume of gravel per time [m3/s]; loose or bank.
    GravelRate,
    /// Volume of water per time [m3/s].
    Flow,
    /// Flow per width [m2/s].
    FlowPerWidth,
    /// Water per mass of dry solids [m3/kg].
    WaterPerMass,
    /// Pressure [Pa]; a head of water is accepted.
    Pressure,
    /// Head of fluid [m].
    Head,
    /// Speed of turning [1/s]; percent of critical is accepted and marked.
    RotationSpeed,
    /// Slope as the tangent of the angle [-].
    Slope,
    /// Angle [rad].
    Angle,
    /// Mass [kg].
    Mass,
    /// Mass per time [kg/s].
    MassRate,
    /// Mass per volume [kg/m3].
    Density,
    /// Gold mass per volume of ground [kg/m3]; loose or bank.
    Grade,
    /// Power [W].
    Power,
    /// Power per mass [W/kg].
    PowerPerMass,
    /// Energy per mass [J/kg].
    EnergyPerMass,
    /// Torque [N m].
    Torque,
    /// Force [N].
    Force,
    /// Stress, shear or yield [Pa].
    Stress,
    /// Temperature [degree Celsius].
    Temperature,
    /// Duration [s].
    Time,
    /// Rate of a first-order process [1/s].
    PerTime,
    /// Velocity [m/s].
    Velocity,
    /// Dynamic viscosity [Pa s].
    Viscosity,
    /// Kinematic viscosity [m2/s].
    KinematicViscosity,
    /// Displacement of a hydraulic motor or pump per turn [m3].
    Displacement,
    /// Fuel volume per energy [m3/J].
    FuelPerEnergy,
    /// Money in the user's currency [-].
    Money,
    /// Money per time [1/s].
    MoneyPerTime,
    /// Money per volume [1/m3].
    MoneyPerVolume,
    /// Money per mass [1/kg].
    MoneyPerMass,
}
