//! The washgraph program with the standard kinds.

fn main() -> std::process::ExitCode {
    washgraph_cli::main_with(standard_stages::registry())
}
