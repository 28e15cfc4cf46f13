//! What hoses, pipes and fittings are made of: roughness, Hazen-Williams C and loss coefficients, each with its source.

use washgraph_units::check::Status;

/// Inner wall of a pipe or hose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PipeMaterial {
    /// Name used in scenarios, kebab-case.
    pub name: &'static str,
    /// Roughness to take (m).
    pub roughness_m: f64,
    /// Lowest and highest roughness worth sampling (m).
    pub roughness_range_m: (f64, f64),
    /// Hazen-Williams C where the tables give one (-).
    pub hazen_williams_c: Option<f64>,
    /// Where it comes from.
    pub source: &'static str,
    /// How it came to us.
    pub status: Status,
}

/// Source of the roughness values that were read.
const ROUGHNESS_TABLES: &str = "engineering reference tables on the web";
/// Source of those that were not.
const ROUGHNESS_JUDGED: &str = "assumed here: no handbook value found for this hose";

/// Inner walls. Sampling limits are our judgement where the tables give one number.
pub const PIPE_MATERIALS: &[PipeMaterial] = &[
    material("plastic", 1.5e-6, (0.0, 1e-5), Some(145.0), ROUGHNESS_TABLES, Status::Seen),
    material("drawn-tube", 1.5e-6, (1e-6, 5e-6), None, ROUGHNESS_TABLES, Status::Seen),
    material("steel-new", 4.5e-5, (3e-5, 9e-5), Some(140.0), ROUGHNESS_TABLES, Status::Seen),
    material("steel-galvanised-or-old", 1.5e-4, (1e-4, 5e-4), Some(120.0), ROUGHNESS_TABLES, Status::Seen),
    material("cast-iron", 2.6e-4, (1.5e-4, 6e-4), None, ROUGHNESS_TABLES, Status::Seen),
    material("riveted-steel", 2.5e-3, (9e-4, 9e-3), Some(110.0), ROUGHNESS_TABLES, Status::Seen),
    material("wood-stave", 4e-4, (1.8e-4, 9e-4), None, ROUGHNESS_TABLES, Status::Seen),
    material("layflat-new", 2e-5, (1e-5, 5e-5), None, ROUGHNESS_JUDGED, Status::Assumed),
    material("rubber-lined", 2e-5, (1e-5, 5e-5), None, ROUGHNESS_JUDGED, Status::Assumed),
    material("suction-corrugated-bore", 1.5e-4, (1.5e-4, 1e-3), None, ROUGHNESS_JUDGED, Status::Assumed),
];

const fn material(
    name: &'static str,
    roughness_m: f64,
    roughness_range_m: (f64, f64),
    hazen_williams_c: Option<f64>,
    source: &'static str,
    status: Status,
) -> PipeMaterial {
    PipeMaterial { name, roughness_m, roughness_range_m, hazen_williams_c, source, status }
}

/// A fitting and its loss coefficient, referred to the speed in the pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitting {
    /// Name used in scenarios, kebab-case.
    pub name: &'static str,
    /// Loss coefficient K to take (-).
    pub k: f64,
    /// Lowest and highest K worth sampling (-).
    pub k_range: (f64, f64),
    /// Where it comes from.
    pub source: &'static str,
    /// How it came to us.
    pub status: Status,
}

/// Source of the loss coefficients that were read; sampling limits are 30 % either way, assumed, unless tables differ more.
const LOSS_TABLES: &str = "engineering reference tables on the web, one of them citing the Crane handbook";

/// Source of the partly closed valves: a half-open one is 2.1 in some tables and 5.6 in others.
const GATE_VALVES: &str = "fluid mechanics texts, from memory";

/// Fittings.
pub const FITTINGS: &[Fitting] = &[
    fitting("elbow-90-threaded", 1.5, (0.9, 1.95), LOSS_TABLES, Status::Seen),
    fitting("elbow-90-flanged", 0.3, (0.2, 0.4), LOSS_TABLES, Status::Seen),
    fitting("elbow-90-long-radius-threaded", 0.7, (0.5, 0.9), LOSS_TABLES, Status::Seen),
    fitting("elbow-90-long-radius-flanged", 0.2, (0.14, 0.26), LOSS_TABLES, Status::Seen),
    fitting("elbow-90-mitre", 1.2, (1.1, 1.3), LOSS_TABLES, Status::Seen),
    fitting("tee-straight-threaded", 0.9, (0.6, 1.2), LOSS_TABLES, Status::Seen),
    fitting("tee-straight-flanged", 0.2, (0.14, 0.26), LOSS_TABLES, Status::Seen),
    fitting("tee-branch-threaded", 2.0, (1.4, 2.6), LOSS_TABLES, Status::Seen),
    fitting("tee-branch-flanged", 1.0, (0.7, 1.3), LOSS_TABLES, Status::Seen),
    fitting("gate-valve-open", 0.15, (0.1, 0.2), LOSS_TABLES, Status::Seen),
    fitting("gate-valve-three-quarters-open", 0.26, (0.2, 0.9), GATE_VALVES, Status::Memory),
    fitting("gate-valve-half-open", 2.1, (1.6, 5.6), GATE_VALVES, Status::Memory),
    fitting("gate-valve-quarter-open", 17.0, (10.0, 24.0), GATE_VALVES, Status::Memory),
    fitting("check-valve-swing", 2.0, (1.4, 2.6), LOSS_TABLES, Status::Seen),
    fitting("entrance-flush", 0.5, (0.4, 0.6), LOSS_TABLES, Status::Seen),
    fitting("entrance-projecting", 0.9, (0.8, 1.0), LOSS_TABLES, Status::Seen),
    fitting("exit", 1.0, (1.0, 1.0), LOSS_TABLES, Status::Seen),
    fitting(
        "foot-valve-with-strainer",
        1.5,
        (0.8, 15.0),
        "tables disagree: 0.8-1.5 in one, 15 in another; a clogged strainer is at the high end",
        Status::Seen,
    ),
    fitting(
        "cam-lock-pair",
        0.2,
        (0.1, 0.4),
        "estimated from a bore narrowed to 0.9; no handbook value found",
        Status::Computed,
    ),
];

/// A gate valve from open to a quarter open: the fitting at each setting, and how far it is closed in words.
pub const GATE_VALVE: [(&str, &str); 4] = [
    ("gate-valve-open", "open"),
    ("gate-valve-three-quarters-open", "a quarter closed"),
    ("gate-valve-half-open", "half closed"),
    ("gate-valve-quarter-open", "three quarters closed"),
];

const fn fitting(name: &'static str, k: f64, k_range: (f64, f64), source: &'static str, status: Status) -> Fitting {
    Fitting { name, k, k_range, source, status }
}

/// The inner wall of that name.
pub fn pipe_material(name: &str) -> Option<&'static PipeMaterial> {
    PIPE_MATERIALS.iter().find(|material| material.name == name)
}

/// The fitting of that name.
pub fn find_fitting(name: &str) -> Option<&'static Fitting> {
    FITTINGS.iter().find(|fitting| fitting.name == name)
}

/// Speed in a hose above which losses and wear climb steeply (m/s). Assumed: practice says 3 to 4.
pub const HOSE_SPEED_LIMIT_M_S: f64 = 4.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_tables_have_unique_names_and_ordered_ranges() {
        for (i, m) in PIPE_MATERIALS.iter().enumerate() {
            assert!(m.roughness_range_m.0 <= m.roughness_m && m.roughness_m <= m.roughness_range_m.1, "{}", m.name);
            assert!(PIPE_MATERIALS.iter().skip(i + 1).all(|other| other.name != m.name));
        }
        let k_of = |name: &str| find_fitting(name).unwrap().k;
        assert!(GATE_VALVE.windows(2).all(|pair| k_of(pair[0].0) < k_of(pair[1].0)), "each closed further");
        for (i, k) in FITTINGS.iter().enumerate() {
            assert!(k.k_range.0 <= k.k && k.k <= k.k_range.1, "{}", k.name);
            assert!(FITTINGS.iter().skip(i + 1).all(|other| other.name != k.name));
        }
    }
}
