//! The washgraph program as a library, so that a binary with further stage crates is five lines:
//!
//! ```no_run
//! fn main() -> std::process::ExitCode {
//!     let registry = washgraph_standard_stages::registry(); // add your own: .stage(&YOUR_KIND)
//!     washgraph_cli::main_with(registry)
//! }
//! ```
//! A program with kinds of its own gives `.program(Program { name: "..", version: env!("CARGO_PKG_VERSION") })` as well, so that its
//! results say what made them. `stages/template` is a whole one to start from.
//!
//! | file | command |
//! |---|---|
//! | `run`, `output`, `output_folder` | `run`: trials, verdict; files written so that those of the owner stay |
//! | `rerun`, `kept_inputs` | `rerun`: the inputs kept with a result, the same bytes again |
//! | `load` | reading a scenario and showing its problems; `check` |
//! | `handbook` | every formula as a calculator |
//! | `validate` | published-value checks |
//! | `kinds` | `stages` |
//! | `samples` | what the samples of the ground say |
//! | `sheet` | the shop sheet: numbers, template at true scale, bill |
//! | `page` | `page`: the local web page |
//! | `water` | `water`: need against supply, pump, holes, readings |
//! | `decide` | `compare`, `vary`, `holes`, `losses`, `best`, `drivers`: several plants on the same ground |
//! | `diagnose` | `diagnose`: from what is seen on the plant to what may be wrong |
//! | `next` | `next`: the observation that would help most, and its sheet to fill in |
//! | `tune` | `tune`: the plant's own results correct the constants |
//! | `trial_table` | `run --draws`: a row a trial |
//! | `setup` | completions for shells, pages of the manual |
//! | `new` | a commented scenario to start from |

mod args;
mod books;
mod decide;
mod diagnose;
mod exit;
mod files;
mod handbook;
mod kept_inputs;
mod kinds;
mod load;
mod new;
mod new_log;
mod new_sheets;
mod next;
mod output;
mod output_folder;
mod page;
mod progress;
mod rerun;
mod run;
mod samples;
mod scenario_schema;
mod schema;
mod setup;
mod sheet;
mod trial_table;
mod tune;
mod validate;
mod water;

pub use args::command;
pub use exit::Exit;
pub use scenario_schema::scenario_schema;
pub use schema::result_schema;

use sim_core::registry::Registry;

/// Runs the program with these kinds and returns its exit code: 70, with every clash in words, for kinds that cannot live together.
pub fn main_with(registry: Registry) -> std::process::ExitCode {
    let problems = washgraph_model::handbook::problems(&registry);
    if !problems.is_empty() {
        anstream::eprintln!("error: the kinds of this program do not go together; this is a fault of the program:");
        problems.iter().for_each(|problem| anstream::eprintln!("  {problem}"));
        return Exit::Fault.into();
    }
    output::after_printing(args::dispatch(&registry)).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_kinds_that_clash_end_the_program_as_its_own_fault() {
        let registry = washgraph_standard_stages::registry();
        let twice = registry.stages()[0];
        assert_eq!(main_with(registry.stage(twice)), std::process::ExitCode::from(70));
    }
}
