//! The kinds of quantity that the tool knows.

/// Powers of metre, kilogram, second, kelvin and money in a unit.
pub(super) type Powers = [i32; 5];

/// A kind of quantity. The SI unit in brackets is the one used inside.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Dimension {
    /// Bare number or ratio without percent (-).
    Number,
    /// Share of a whole, typed as a number or in percent (-).
    Fraction,
    /// Length (m).
    Length,
    /// Sieve or grain size: a length, or a mesh number of a named series (m).
    SieveSize,
    /// Area (m2).
    Area,
    /// Volume (m3); of gravel it is loose or bank.
    Volume,
    /// Volume of gravel per time (m3/s); loose or bank.
    GravelRate,
    /// Volume of water per time (m3/s).
    Flow,
    /// Flow per width (m2/s).
    FlowPerWidth,
    /// Mass of dry solids per time and width (kg/(s m)).
    SolidsPerWidth,
    /// Water per mass of dry solids (m3/kg).
    WaterPerMass,
    /// Water per volume of gravel (m3/m3); loose or bank.
    WaterPerGravel,
    /// Pressure (Pa); a head of water is accepted.
    Pressure,
    /// Head of fluid (m).
    Head,
    /// Speed of turning, turns per second (1/s); percent of critical is accepted and marked.
    RotationSpeed,
    /// Slope as the tangent of the angle (-).
    Slope,
    /// Angle (rad).
    Angle,
    /// Mass (kg).
    Mass,
    /// Mass per time (kg/s).
    MassRate,
    /// Mass per volume (kg/m3).
    Density,
    /// Gold mass per volume of ground (kg/m3); loose or bank.
    Grade,
    /// Power (W).
    Power,
    /// Power per mass (W/kg).
    PowerPerMass,
    /// Energy per mass (J/kg).
    EnergyPerMass,
    /// Torque (N m).
    Torque,
    /// Force (N).
    Force,
    /// Stress, shear or yield (Pa).
    Stress,
    /// Temperature (degree Celsius).
    Temperature,
    /// Duration (s).
    Time,
    /// Rate of a first-order process (1/s).
    PerTime,
    /// Velocity (m/s).
    Velocity,
    /// Acceleration (m/s2).
    Acceleration,
    /// Dynamic viscosity (Pa s).
    Viscosity,
    /// Kinematic viscosity (m2/s).
    KinematicViscosity,
    /// Displacement of a hydraulic motor or pump per turn (m3).
    Displacement,
    /// Fuel volume per energy (m3/J).
    FuelPerEnergy,
    /// Money in the user's currency (-).
    Money,
    /// Money per time (1/s).
    MoneyPerTime,
    /// Money per volume (1/m3).
    MoneyPerVolume,
    /// Money per mass (1/kg).
    MoneyPerMass,
}

use Dimension as D;

impl Dimension {
    /// Every kind, in the order of declaration.
    pub const ALL: [Dimension; 40] = [
        D::Number,
        D::Fraction,
        D::Length,
        D::SieveSize,
        D::Area,
        D::Volume,
        D::GravelRate,
        D::Flow,
        D::FlowPerWidth,
        D::SolidsPerWidth,
        D::WaterPerMass,
        D::WaterPerGravel,
        D::Pressure,
        D::Head,
        D::RotationSpeed,
        D::Slope,
        D::Angle,
        D::Mass,
        D::MassRate,
        D::Density,
        D::Grade,
        D::Power,
        D::PowerPerMass,
        D::EnergyPerMass,
        D::Torque,
        D::Force,
        D::Stress,
        D::Temperature,
        D::Time,
        D::PerTime,
        D::Velocity,
        D::Acceleration,
        D::Viscosity,
        D::KinematicViscosity,
        D::Displacement,
        D::FuelPerEnergy,
        D::Money,
        D::MoneyPerTime,
        D::MoneyPerVolume,
        D::MoneyPerMass,
    ];

    /// Plain words, without article.
    pub const fn name(self) -> &'static str {
        self.describe().0
    }

    /// Plain words with the article, for sentences.
    pub(super) fn name_with_article(self) -> String {
        let name = self.name();
        let article = match (self, name.chars().next()) {
            (D::Money, _) => "an amount of",
            (_, Some('a' | 'e' | 'o')) => "an",
            _ => "a",
        };
        format!("{article} {name}")
    }

    /// Something that a user may type.
    pub const fn example(self) -> &'static str {
        self.describe().1
    }

    /// Symbol of the SI unit used inside, as the parser reads it.
    pub const fn si_symbol(self) -> &'static str {
        self.describe().2
    }

    /// Whether "loose" or "bank" has a meaning with this kind.
    pub const fn takes_basis(self) -> bool {
        matches!(self, D::Volume | D::GravelRate | D::WaterPerGravel | D::Density | D::Grade | D::MoneyPerVolume)
    }

    /// Powers of m, kg, s, K and money.
    pub(super) const fn powers(self) -> Powers {
        self.describe().3
    }

    /// Whether a bare number is a complete value of this kind.
    pub(super) const fn takes_bare_number(self) -> bool {
        matches!(self, D::Number | D::Fraction | D::Slope | D::Money | D::WaterPerGravel)
    }

    /// Whether money stands above the line.
    pub(super) const fn is_money(self) -> bool {
        self.powers()[4] == 1
    }

    /// Name, example, SI symbol, powers of (m, kg, s, K, money).
    const fn describe(self) -> (&'static str, &'static str, &'static str, Powers) {
        match self {
            D::Number => ("plain number", "2.5", "-", [0, 0, 0, 0, 0]),
            D::Fraction => ("share", "12 %", "-", [0, 0, 0, 0, 0]),
            D::Length => ("length", "1/2 in", "m", [1, 0, 0, 0, 0]),
            D::SieveSize => ("sieve size", "30 mesh US", "m", [1, 0, 0, 0, 0]),
            D::Area => ("area", "12 ft2", "m2", [2, 0, 0, 0, 0]),
            D::Volume => ("volume", "20 yd3 loose", "m3", [3, 0, 0, 0, 0]),
            D::GravelRate => ("rate of gravel", "35 yd3/h loose", "m3/s", [3, 0, -1, 0, 0]),
            D::Flow => ("flow of water", "450 US gpm", "m3/s", [3, 0, -1, 0, 0]),
            D::FlowPerWidth => ("flow per width", "40 L/s/m", "m2/s", [2, 0, -1, 0, 0]),
            D::SolidsPerWidth => ("rate of solids per width", "100 lb/min/ft", "kg/s/m", [-1, 1, -1, 0, 0]),
            D::WaterPerMass => ("volume of water per weight of solids", "1.5 m3/t", "m3/kg", [3, -1, 0, 0, 0]),
            D::WaterPerGravel => {
                ("volume of water per volume of gravel", "1400 US gal/yd3 loose", "m3/m3", [0, 0, 0, 0, 0])
            }
            D::Pressure => ("pressure", "20 psi", "Pa", [-1, 1, -2, 0, 0]),
            D::Head => ("head", "40 ft", "m", [1, 0, 0, 0, 0]),
            D::RotationSpeed => ("speed of turning", "16 rpm", "rev/s", [0, 0, -1, 0, 0]),
            D::Slope => ("slope", "1.5 in/ft", "-", [0, 0, 0, 0, 0]),
            D::Angle => ("angle", "35 deg", "rad", [0, 0, 0, 0, 0]),
            D::Mass => ("weight", "25 kg", "kg", [0, 1, 0, 0, 0]),
            D::MassRate => ("weight per time", "48 t/h", "kg/s", [0, 1, -1, 0, 0]),
            D::Density => ("density", "1600 kg/m3", "kg/m3", [-3, 1, 0, 0, 0]),
            D::Grade => ("gold grade by volume", "250 mg/m3 bank", "kg/m3", [-3, 1, 0, 0, 0]),
            D::Power => ("power", "15 hp", "W", [2, 1, -3, 0, 0]),
            D::PowerPerMass => ("power per weight", "8 W/kg", "W/kg", [2, 0, -3, 0, 0]),
            D::EnergyPerMass => ("energy per weight", "0.5 kWh/t", "J/kg", [2, 0, -2, 0, 0]),
            D::Torque => ("torque", "900 lbf ft", "N m", [2, 1, -2, 0, 0]),
            D::Force => ("force", "2 kN", "N", [1, 1, -2, 0, 0]),
            D::Stress => ("stress", "25 Pa", "Pa", [-1, 1, -2, 0, 0]),
            D::Temperature => ("temperature", "8 °C", "°C", [0, 0, 0, 1, 0]),
            D::Time => ("time", "90 s", "s", [0, 0, 1, 0, 0]),
            D::PerTime => ("rate per time", "0.02 1/s", "1/s", [0, 0, -1, 0, 0]),
            D::Velocity => ("velocity", "5 ft/s", "m/s", [1, 0, -1, 0, 0]),
            D::Acceleration => ("acceleration", "9.81 m/s2", "m/s2", [1, 0, -2, 0, 0]),
            D::Viscosity => ("viscosity", "1.3 mPa s", "Pa s", [-1, 1, -1, 0, 0]),
            D::KinematicViscosity => ("kinematic viscosity", "1.3 mm2/s", "m2/s", [2, 0, -1, 0, 0]),
            D::Displacement => ("displacement per turn", "160 cm3/rev", "m3/rev", [3, 0, 0, 0, 0]),
            D::FuelPerEnergy => ("volume of fuel per energy", "0.27 L/kWh", "m3/J", [1, -1, 2, 0, 0]),
            D::Money => ("money", "$ 250", "$", [0, 0, 0, 0, 1]),
            D::MoneyPerTime => ("cost per time", "$ 450/h", "$/s", [0, 0, -1, 0, 1]),
            D::MoneyPerVolume => ("cost per volume", "$ 7.50/yd3 loose", "$/m3", [-3, 0, 0, 0, 1]),
            D::MoneyPerMass => ("price per weight", "$ 80/g", "$/kg", [0, -1, 0, 0, 1]),
        }
    }
}
