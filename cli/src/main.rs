//! The washgraph program with the standard kinds.

fn main() -> std::process::ExitCode {
    washgraph_cli::main_with(washgraph_standard_stages::registry())
}
