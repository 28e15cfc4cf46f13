//! The explicit list of the standard kinds.

use sim_core::registry::Registry;

/// All standard stages, drum sections and water outlets. Add your own to what this returns.
pub fn registry() -> Registry {
    Registry::new()
        .stage(&washgraph_hopper::HOPPER)
        .stage(&washgraph_drum::DRUM)
        .stage(&washgraph_sluice::SLUICE)
        .stage(&washgraph_splitter::SPLITTER)
        .stage(&washgraph_junction::JUNCTION)
        .stage(&washgraph_catch_table::CATCH_TABLE)
        .stage(&washgraph_pump::PUMP)
        .stage(&washgraph_pond::POND)
        .section(&washgraph_scrubber::SCRUBBER)
        .section(&washgraph_screen::SCREEN)
        .section(&washgraph_scrubber::BLANK)
        .section(&washgraph_nugget_trap::NUGGET_TRAP)
        .outlet(&washgraph_spray_bar::SPRAY_BAR)
        .outlet(&washgraph_spray_bar::NOZZLES)
        .outlet(&washgraph_make_up::MAKE_UP)
}
