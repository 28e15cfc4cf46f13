//! An empty field log for `tune`: TOML, or CSV when the name ends so.

use std::path::Path;

use sim_core::registry::Registry;
use washgraph_model::tune::log::template;

use crate::exit::Exit;
use crate::new_sheets;

/// Writes the template. The file is never overwritten.
pub(crate) fn new_log(registry: &Registry, file: &Path) -> Exit {
    let ending = file.extension().map_or(String::new(), |e| e.to_string_lossy().to_lowercase());
    let text = match ending.as_str() {
        "toml" => template::toml(registry),
        "csv" => template::csv(registry),
        _ => {
            anstream::eprintln!("error: a field log ends in .toml or .csv; nothing was written");
            return Exit::BadInput;
        }
    };
    let name = file.file_name().map_or(String::new(), |n| n.to_string_lossy().into_owned());
    let folder = file.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    match new_sheets::write_new(folder, &[(name, text.into_bytes())]) {
        Ok(()) => {
            anstream::eprintln!(
                "Wrote {0}: every observation that can be made, switched off. Write in what you saw, then: \
                 washgraph tune SCENARIO {0}",
                file.display()
            );
            Exit::Done
        }
        Err(error) => {
            anstream::eprintln!("error: {error}; nothing was written");
            Exit::BadInput
        }
    }
}
