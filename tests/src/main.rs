//! The program as the tests start it. A package's tests can have only the package's own programs built for them, so this
//! one is here; it is the program of `cli` and nothing else.

fn main() -> std::process::ExitCode {
    washgraph_cli::main_with(washgraph_standard_stages::registry())
}
