//! The washgraph program as a library, so that a binary with further stage crates is five lines:
//!
//! ```no_run
//! fn main() -> std::process::ExitCode {
//!     let registry = washgraph_standard_stages::registry(); // push your own kinds here
//!     washgraph_cli::main_with(registry)
//! }
//! ```
//!
//! | file | command |
//! |---|---|
//! | `run`, `output` | `run`: trials, verdict, output folder |
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
//! | `new` | a commented scenario to start from |

mod args;
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
mod page;
mod progress;
mod rerun;
mod run;
mod samples;
mod scenario_schema;
mod schema;
mod sheet;
mod tune;
mod validate;
mod water;

pub use args::command;
pub use exit::Exit;
pub use scenario_schema::scenario_schema;
pub use schema::result_schema;

use sim_core::registry::Registry;

/// Runs the program with these kinds and returns its exit code.
pub fn main_with(registry: Registry) -> std::process::ExitCode {
    args::dispatch(&registry).into()
}
