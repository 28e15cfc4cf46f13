//! The explicit list of the standard kinds.

use sim_core::registry::Registry;

/// All standard stages, drum sections and water outlets.
pub fn registry() -> Registry {
    Registry {
        stages: vec![
            &washgraph_hopper::HOPPER,
            &washgraph_drum::DRUM,
            &washgraph_sluice::SLUICE,
            &washgraph_splitter::SPLITTER,
            &washgraph_junction::JUNCTION,
            &washgraph_pump::PUMP,
            &washgraph_pond::POND,
        ],
        sections: vec![
            &washgraph_scrubber::SCRUBBER,
            &washgraph_screen::SCREEN,
            &washgraph_scrubber::BLANK,
            &washgraph_nugget_trap::NUGGET_TRAP,
        ],
        outlets: vec![&washgraph_spray_bar::SPRAY_BAR, &washgraph_spray_bar::NOZZLES, &washgraph_make_up::MAKE_UP],
    }
}
