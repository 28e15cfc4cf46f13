//! The explicit list of the standard kinds.

use sim_core::registry::Registry;

/// All standard stages, drum sections and water outlets.
pub fn registry() -> Registry {
    Registry {
        stages: vec![
            &hopper::HOPPER,
            &drum::DRUM,
            &sluice::SLUICE,
            &splitter::SPLITTER,
            &junction::JUNCTION,
            &pump::PUMP,
            &pond::POND,
        ],
        sections: vec![&scrubber::SCRUBBER, &screen::SCREEN],
        outlets: vec![&spray_bar::SPRAY_BAR, &spray_bar::NOZZLES, &make_up::MAKE_UP],
    }
}
