//! Hoses as typed in a scenario.

use crate::setting::{Kind, Preset, Setting, Settings};
use washgraph_physics::hydraulics::fitting::{find_fitting, pipe_material};
use washgraph_physics::hydraulics::pipe::PipeRun;
use washgraph_units::quantity::Dimension;

/// Kinds of hose and pipe by their inner wall, as typed; each is a row of
/// [`PIPE_MATERIALS`](washgraph_physics::hydraulics::fitting::PIPE_MATERIALS).
pub const HOSE_WORDS: &[(&str, &str)] = &[
    ("layflat-new", "layflat hose"),
    ("rubber-lined", "rubber or rubber-lined hose"),
    ("suction-corrugated-bore", "suction hose with a ribbed bore"),
    ("plastic", "smooth plastic pipe"),
    ("drawn-tube", "drawn tube"),
    ("steel-new", "new steel pipe"),
    ("steel-galvanised-or-old", "galvanised or old steel pipe"),
    ("cast-iron", "cast iron pipe"),
    ("riveted-steel", "riveted steel pipe"),
    ("wood-stave", "wood stave pipe"),
];

/// Fittings as typed; each is a row of [`FITTINGS`](washgraph_physics::hydraulics::fitting::FITTINGS).
pub const FITTING_WORDS: &[(&str, &str)] = &[
    ("elbow-90-threaded", "threaded elbow"),
    ("elbow-90-flanged", "flanged elbow"),
    ("elbow-90-long-radius-threaded", "threaded long-radius elbow"),
    ("elbow-90-long-radius-flanged", "flanged long-radius elbow"),
    ("elbow-90-mitre", "mitred elbow"),
    ("tee-straight-threaded", "straight through a threaded tee"),
    ("tee-straight-flanged", "straight through a flanged tee"),
    ("tee-branch-threaded", "round the corner of a threaded tee"),
    ("tee-branch-flanged", "round the corner of a flanged tee"),
    ("gate-valve-open", "gate valve, wide open"),
    ("gate-valve-three-quarters-open", "gate valve, a quarter closed"),
    ("gate-valve-half-open", "gate valve, half closed"),
    ("gate-valve-quarter-open", "gate valve, three quarters closed"),
    ("check-valve-swing", "swing check valve"),
    ("entrance-flush", "flush entrance from a manifold or tank"),
    ("entrance-projecting", "entrance of a pipe that sticks into the manifold or tank"),
    ("exit", "open end, all speed lost"),
    ("foot-valve-with-strainer", "foot valve with strainer"),
    ("cam-lock-pair", "cam-lock coupling"),
];

/// Keys of the settings of one hose.
#[derive(Debug, Clone, Copy)]
pub struct HoseKeys {
    /// Key of the bore.
    pub bore: &'static str,
    /// Key of the length.
    pub length: &'static str,
    /// Key of the kind of hose.
    pub kind: &'static str,
    /// Key of the roughness.
    pub roughness: &'static str,
    /// Key of the list of fittings.
    pub fittings: &'static str,
    /// What bore, length, kind, roughness and fittings mean, in plain words.
    means: [&'static str; 5],
}

const fn known(
    key: &'static str,
    dimension: Dimension,
    preset: Preset,
    range: (f64, f64),
    meaning: &'static str,
) -> Setting {
    Setting::new(key, Kind::Known(dimension), meaning).preset(preset).range(range)
}

impl HoseKeys {
    /// The suction line of a pump.
    pub const SUCTION: HoseKeys = HoseKeys {
        bore: "suction_bore",
        length: "suction_length",
        kind: "suction_hose",
        roughness: "suction_roughness",
        fittings: "suction_fittings",
        means: [
            "inside diameter of the suction hose",
            "length of the suction hose",
            "what the suction hose is made of",
            "roughness of the wall of the suction hose, if you know better than its kind tells",
            "fittings along the suction hose",
        ],
    };
    /// The hose from the pump to the manifold.
    pub const DELIVERY: HoseKeys = HoseKeys {
        bore: "delivery_bore",
        length: "delivery_length",
        kind: "delivery_hose",
        roughness: "delivery_roughness",
        fittings: "delivery_fittings",
        means: [
            "inside diameter of the delivery hose",
            "length of the delivery hose",
            "what the delivery hose is made of",
            "roughness of the wall of the delivery hose, if you know better than its kind tells",
            "fittings along the delivery hose",
        ],
    };
    /// The hose from the manifold to an outlet.
    pub const BRANCH: HoseKeys = HoseKeys {
        bore: "hose_bore",
        length: "hose_length",
        kind: "hose",
        roughness: "hose_roughness",
        fittings: "hose_fittings",
        means: [
            "inside diameter of the hose from the manifold",
            "length of the hose from the manifold",
            "what the hose from the manifold is made of",
            "roughness of the wall of the hose from the manifold, if you know better than its kind tells",
            "fittings along the hose from the manifold",
        ],
    };

    /// Setting of the bore.
    pub const fn bore_setting(self, preset: Preset) -> Setting {
        known(self.bore, Dimension::Length, preset, (0.003, 1.5), self.means[0])
    }
    /// Setting of the length.
    pub const fn length_setting(self, preset: Preset) -> Setting {
        known(self.length, Dimension::Length, preset, (0.0, 5_000.0), self.means[1])
    }
    /// Setting of the kind of hose.
    pub const fn kind_setting(self, usual: &'static str) -> Setting {
        Setting::choice(self.kind, HOSE_WORDS, Preset::Text(usual), self.means[2])
    }
    /// Setting of the roughness.
    pub const fn roughness_setting(self) -> Setting {
        known(self.roughness, Dimension::Length, Preset::Absent, (0.0, 0.02), self.means[3])
    }
    /// Setting of the fittings.
    pub const fn fittings_setting(self, usual: &'static str) -> Setting {
        Setting::new(self.fittings, Kind::Words(FITTING_WORDS), self.means[4])
            .preset(Preset::Text(usual))
            .source("loss coefficients: engineering reference tables")
    }
}

/// How far the hoses of a plant are off their nominal sizes in a trial, as factors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    /// On bores.
    pub bore: f64,
    /// On roughness.
    pub roughness: f64,
    /// On loss coefficients.
    pub fittings: f64,
}

impl Tolerance {
    /// As typed.
    pub const NOMINAL: Tolerance = Tolerance { bore: 1.0, roughness: 1.0, fittings: 1.0 };
}

/// A hose as built.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hose {
    /// Nominal run.
    pub nominal: PipeRun,
}

impl Hose {
    /// A branch that sits on the manifold itself: no loss.
    pub const NONE: Hose =
        Hose { nominal: PipeRun { length_m: 0.0, bore_m: 0.1, roughness_m: 0.0, loss_coefficient: 0.0 } };

    /// Reads a hose from its settings; `None` when no bore was given. Loss coefficients beside the fittings are added.
    pub fn read(settings: &Settings, keys: HoseKeys, further_loss: f64) -> Option<Hose> {
        let bore_m = settings.maybe(keys.bore)?;
        let roughness_m = settings
            .maybe(keys.roughness)
            .or_else(|| pipe_material(settings.word(keys.kind)).map(|m| m.roughness_m))
            .unwrap_or(0.0);
        let fittings: f64 = settings.words(keys.fittings).iter().filter_map(|w| find_fitting(w)).map(|f| f.k).sum();
        Some(Hose {
            nominal: PipeRun {
                length_m: settings.maybe(keys.length).unwrap_or(0.0),
                bore_m,
                roughness_m,
                loss_coefficient: fittings + further_loss,
            },
        })
    }

    /// The run in a trial.
    #[inline]
    pub fn run(&self, tolerance: &Tolerance) -> PipeRun {
        let n = &self.nominal;
        PipeRun {
            length_m: n.length_m,
            bore_m: n.bore_m * tolerance.bore,
            roughness_m: n.roughness_m * tolerance.roughness,
            loss_coefficient: n.loss_coefficient * tolerance.fittings,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use washgraph_physics::hydraulics::fitting::{FITTINGS, PIPE_MATERIALS};

    #[test]
    fn property_every_word_is_a_row_of_the_tables_and_the_other_way_round() {
        let names = |words: &[(&'static str, &'static str)]| {
            words.iter().map(|w| w.0).collect::<std::collections::BTreeSet<_>>()
        };
        assert_eq!(names(HOSE_WORDS), PIPE_MATERIALS.iter().map(|m| m.name).collect());
        assert_eq!(names(FITTING_WORDS), FITTINGS.iter().map(|f| f.name).collect());
    }
}
