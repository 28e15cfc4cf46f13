//! The program made of the standard kinds under other names, for the test that no name of a kind counts.

fn main() -> std::process::ExitCode {
    washgraph_cli::main_with(washgraph_tests::renamed::registry())
}
