//! The program of the plant: everything that washgraph does, with this kind beside the standard ones.

use sim_core::provenance::Program;

fn main() -> std::process::ExitCode {
    let program = Program { name: env!("CARGO_PKG_NAME"), version: env!("CARGO_PKG_VERSION") };
    let registry = washgraph_standard_stages::registry().stage(&bar_screen_plant::BAR_SCREEN);
    washgraph_cli::main_with(registry.program(program))
}
