//! Kinds of quantity in files: a key of their own, and the SI unit beside it that older files hold alone.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::dimension::{Dimension, Dimension as D};

impl Dimension {
    /// Name in files: kebab-case, never changed once it was written.
    pub const fn key(self) -> &'static str {
        match self {
            D::Number => "number",
            D::Fraction => "fraction",
            D::Length => "length",
            D::SieveSize => "sieve-size",
            D::Area => "area",
            D::Volume => "volume",
            D::GravelRate => "gravel-rate",
            D::Flow => "flow",
            D::FlowPerWidth => "flow-per-width",
            D::SolidsPerWidth => "solids-per-width",
            D::WaterPerMass => "water-per-mass",
            D::WaterPerGravel => "water-per-gravel",
            D::Pressure => "pressure",
            D::Head => "head",
            D::RotationSpeed => "rotation-speed",
            D::Slope => "slope",
            D::Angle => "angle",
            D::Mass => "mass",
            D::MassRate => "mass-rate",
            D::Density => "density",
            D::Grade => "grade",
            D::Power => "power",
            D::PowerPerMass => "power-per-mass",
            D::EnergyPerMass => "energy-per-mass",
            D::Torque => "torque",
            D::Force => "force",
            D::Stress => "stress",
            D::Temperature => "temperature",
            D::Time => "time",
            D::PerTime => "per-time",
            D::Velocity => "velocity",
            D::Acceleration => "acceleration",
            D::Viscosity => "viscosity",
            D::KinematicViscosity => "kinematic-viscosity",
            D::Displacement => "displacement",
            D::FuelPerEnergy => "fuel-per-energy",
            D::Money => "money",
            D::MoneyPerTime => "money-per-time",
            D::MoneyPerVolume => "money-per-volume",
            D::MoneyPerMass => "money-per-mass",
        }
    }

    /// The kind of that name in files.
    ///
    /// ```
    /// use washgraph_units::quantity::Dimension;
    /// assert_eq!(Dimension::from_key("flow-per-width"), Some(Dimension::FlowPerWidth));
    /// assert_eq!(Dimension::from_key("m2/s"), None);
    /// ```
    pub fn from_key(key: &str) -> Option<Dimension> {
        Dimension::ALL.into_iter().find(|d| d.key() == key)
    }
}

impl Serialize for Dimension {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.key())
    }
}

impl<'de> Deserialize<'de> for Dimension {
    fn deserialize<T: Deserializer<'de>>(deserializer: T) -> Result<Self, T::Error> {
        let key = Cow::<'de, str>::deserialize(deserializer)?;
        Dimension::from_key(&key)
            .ok_or_else(|| serde::de::Error::custom(format!("`{key}` is no kind of quantity, such as `length`")))
    }
}

impl JsonSchema for Dimension {
    fn schema_name() -> Cow<'static, str> {
        "Dimension".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A kind of quantity; its values stand in SI.",
            "type": "string",
            "enum": Dimension::ALL.map(Dimension::key).as_slice(),
        })
    }
}

/// What numbers of a file are: written as their SI unit and the key of the kind of quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(from = "AsWritten", into = "AsWritten")]
pub struct SiUnit {
    /// Kind of quantity.
    pub dimension: Dimension,
}

impl SiUnit {
    /// The SI unit, or "-".
    pub const fn symbol(self) -> &'static str {
        self.dimension.si_symbol()
    }
}

impl From<Dimension> for SiUnit {
    fn from(dimension: Dimension) -> Self {
        SiUnit { dimension }
    }
}

/// [`SiUnit`] as it stands in a file.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
struct AsWritten {
    /// SI unit of the numbers, or "-".
    unit: String,
    /// Kind of quantity, by which the units of the trade are chosen; older files have the unit alone.
    #[serde(default)]
    dimension: Option<Dimension>,
}

impl From<SiUnit> for AsWritten {
    fn from(unit: SiUnit) -> Self {
        AsWritten { unit: unit.symbol().into(), dimension: Some(unit.dimension) }
    }
}

impl From<AsWritten> for SiUnit {
    fn from(written: AsWritten) -> Self {
        SiUnit { dimension: written.dimension.unwrap_or_else(|| usual_of(&written.unit)) }
    }
}

/// The kind that numbers of an older file are, which gives no key: by the plain name of the kind, as axes have it, or by the
/// SI unit alone. Then it is the first kind of that unit in the order of declaration, but water rather than gravel; a plain
/// number where no kind has the unit.
pub fn usual_of(text: &str) -> Dimension {
    if text == D::Flow.si_symbol() {
        return D::Flow;
    }
    let named = Dimension::ALL.into_iter().find(|d| d.name() == text);
    named.or_else(|| Dimension::ALL.into_iter().find(|d| d.si_symbol() == text)).unwrap_or(D::Number)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_every_kind_is_read_from_what_was_written() {
        for dimension in Dimension::ALL {
            assert_eq!(Dimension::from_key(dimension.key()), Some(dimension));
            let text = serde_json::to_string(&SiUnit::from(dimension)).unwrap();
            assert_eq!(serde_json::from_str::<SiUnit>(&text).unwrap().dimension, dimension, "{text}");
        }
        let older =
            |unit: &str| serde_json::from_value::<SiUnit>(serde_json::json!({ "unit": unit })).unwrap().dimension;
        for (unit, kind) in [
            ("m3/s", D::Flow),
            ("m2/s", D::FlowPerWidth),
            ("kg/m3", D::Density),
            ("-", D::Number),
            ("ell", D::Number),
            ("head", D::Head),
        ] {
            assert_eq!(older(unit), kind, "{unit}");
        }
    }
}
