//! What to bring for each observation, how many rows to leave, and how long it takes. Times are assumed.

use washgraph_model::tune::observe::ObservationKind;

/// What an observation takes.
#[derive(Debug, Clone, Copy)]
pub struct Effort {
    /// Name of the observation in the log.
    pub name: &'static str,
    /// Minutes of one person, all told. Assumed.
    pub minutes: f64,
    /// Minutes for which the plant stands. Assumed.
    pub stopped: f64,
    /// What to bring.
    pub bring: &'static [&'static str],
    /// Rows to leave for readings.
    pub rows: usize,
}

const PANNING: &[&str] = &[
    "bucket with a line at a known volume",
    "two tubs, long-handled scoop",
    "gold pan, snuffer, vials with labels",
    "sieves: US 30, 60, 100, 200 or near",
    "milligram scale, tray, good light",
];
const OVERSIZE: &[&str] =
    &["tub and long-handled shovel", "spring scale to 50 kg", "water and brush", "gold pan, vials with labels"];

const EFFORTS: &[Effort] = &[
    Effort {
        name: "clean-up",
        minutes: 90.0,
        stopped: 0.0,
        bring: &["scale for the gold", "sieves and tray", "the count of buckets or the hours since the last clean-up"],
        rows: 4,
    },
    Effort { name: "tailings-pan", minutes: 150.0, stopped: 0.0, bring: PANNING, rows: 5 },
    Effort { name: "oversize-pan", minutes: 90.0, stopped: 0.0, bring: OVERSIZE, rows: 4 },
    Effort {
        name: "oversize-sieve",
        minutes: 45.0,
        stopped: 0.0,
        bring: &[
            "tub and long-handled shovel",
            "sieve with the plate's hole size, or a piece of the plate",
            "spring scale to 50 kg",
        ],
        rows: 0,
    },
    Effort {
        name: "oversize-rinse",
        minutes: 60.0,
        stopped: 0.0,
        bring: &["tub, clean water, brush", "cloth filter or settling bucket", "stove or sun to dry", "kitchen scale"],
        rows: 0,
    },
    Effort {
        name: "cobbles",
        minutes: 30.0,
        stopped: 0.0,
        bring: &[
            "ten to twenty cobbles of 3 to 5 in, painted",
            "stopwatch",
            "a second person at the discharge, with a clear view and out of reach",
        ],
        rows: 10,
    },
    Effort {
        name: "bed-depth",
        minutes: 40.0,
        stopped: 30.0,
        bring: &["lock and tag, the key in your pocket", "chocks for the drum", "ruler, lamp"],
        rows: 4,
    },
    Effort {
        name: "clay-lumps",
        minutes: 45.0,
        stopped: 0.0,
        bring: &[
            "clay lumps of one size from the face",
            "cement mixer with a bucket of gravel and water",
            "kitchen scale, stopwatch",
        ],
        rows: 5,
    },
    Effort {
        name: "bucket-flow",
        minutes: 20.0,
        stopped: 10.0,
        bring: &["bucket with a line at a known volume", "stopwatch", "short hose or funnel"],
        rows: 0,
    },
    Effort {
        name: "box-water",
        minutes: 15.0,
        stopped: 0.0,
        bring: &["ruler held on edge", "chips of wood, stopwatch, tape"],
        rows: 0,
    },
    Effort {
        name: "jar",
        minutes: 20.0,
        stopped: 0.0,
        bring: &[
            "clear jar with straight sides",
            "ruler, watch",
            "syringe or tube to draw from one depth, if you weigh what hangs",
        ],
        rows: 5,
    },
    Effort { name: "buckets", minutes: 60.0, stopped: 0.0, bring: &["watch, pencil for a tally"], rows: 0 },
    Effort { name: "pump-speed", minutes: 5.0, stopped: 0.0, bring: &["rev counter"], rows: 0 },
];

/// What an observation takes: as its kind says, or from the list; for one that nobody tells of a guess.
pub fn effort(kind: &ObservationKind) -> Effort {
    const UNKNOWN: Effort = Effort { name: "", minutes: 60.0, stopped: 0.0, bring: &["pencil, watch"], rows: 6 };
    match kind.minutes {
        Some((minutes, stopped)) => Effort { name: kind.name, minutes, stopped, bring: kind.bring, rows: 0 },
        None => EFFORTS.iter().copied().find(|e| e.name == kind.name).unwrap_or(UNKNOWN),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_every_observation_has_its_effort() {
        for kind in washgraph_model::tune::observe::all(&washgraph_standard_stages::registry()) {
            assert_eq!(effort(&kind).name, kind.name);
        }
    }
}
