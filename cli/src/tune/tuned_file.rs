//! The tuned file with its comments, and how a scenario names it.

use std::path::{Component, Path, PathBuf};

use washgraph_view::tune::Tuned;
use washgraph_view::tune::words::{constant_lines, moved};

/// Name of the tuned file in the folder of a tuning.
pub(super) const NAME: &str = "tuned.toml";

/// Text of the tuned file.
pub(super) fn text(t: &Tuned<'_>) -> String {
    let plant = &t.base.plant;
    let file = t.tuning.file(plant, &t.log_name);
    let mut comments = vec![
        format!("Constants of the plant \"{}\", tuned on its own results by washgraph tune.", plant.title),
        String::new(),
    ];
    if file.observations == 0 {
        comments.push(format!("The log {} holds no observations: this file changes nothing.", t.log_name));
    } else {
        comments.push(format!(
            "It stands on {} observations of the log {}, {} to {}.",
            file.observations, t.log_name, file.first, file.last
        ));
    }
    comments.extend([
        "To use it, put a line  tuned = \"...\"  with the path of this file, seen from the scenario, above the first [table]".into(),
        "of the scenario. run, holes, water, page and all others then draw these constants from here. Prices, and what".into(),
        "changes from hour to hour, stay as the scenario has them. A constant whose spread is changed in the scenario".into(),
        "later is taken from the scenario; the program says so. Take the line out to run as before.".into(),
    ]);
    if !t.tuning.stands() {
        comments.push(format!(
            "CAUTION: only {:.0} effective trials stand behind it; {:.0} are asked for. Take its spreads with care.",
            t.tuning.effective_trials, t.tuning.options.least_effective
        ));
    }
    let odd: Vec<&str> = t.tuning.observations.iter().filter(|o| o.disagrees()).map(|o| o.name.as_str()).collect();
    if !odd.is_empty() {
        comments.push(format!("CAUTION: does not fit the rest: {}.", odd.join("; ")));
    }
    let list = moved(&t.tuning);
    if !list.is_empty() {
        comments.push(String::new());
        comments.push("What moved most, middle (1 run in 10 below to 1 in 10 above):".into());
        comments.extend(list.iter().flat_map(|m| {
            let [words, numbers] = constant_lines(t, m);
            [format!("  {words}"), format!("    {numbers}")]
        }));
    }
    file.text(&comments)
}

/// The path by which a scenario names the tuned file in a folder.
pub(super) fn named_from(scenario: &Path, folder: &Path) -> String {
    let absolute = |p: &Path| std::path::absolute(p).unwrap_or_else(|_| p.to_path_buf());
    let home = absolute(scenario).parent().map(Path::to_path_buf).unwrap_or_default();
    relative(&home, &absolute(&folder.join(NAME)))
}

/// A path seen from a folder, with forward slashes. Both are absolute; `..` in them is taken literally.
fn relative(home: &Path, target: &Path) -> String {
    let parts = |p: &Path| -> Vec<PathBuf> {
        let mut list: Vec<PathBuf> = Vec::new();
        for c in p.components() {
            match c {
                Component::ParentDir => drop(list.pop()),
                Component::CurDir => {}
                _ => list.push(c.as_os_str().into()),
            }
        }
        list
    };
    let (home, target) = (parts(home), parts(target));
    let common = home.iter().zip(&target).take_while(|(a, b)| a == b).count();
    let up = std::iter::repeat_n("..".to_string(), home.len() - common);
    let down = target.iter().skip(common).map(|p| p.to_string_lossy().into_owned());
    up.chain(down).collect::<Vec<_>>().join("/")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_a_scenario_names_the_file_from_where_it_stands() {
        let at = |home: &str, target: &str| relative(Path::new(home), Path::new(target));
        assert_eq!(at("/mine", "/mine/out/creek-tune/tuned.toml"), "out/creek-tune/tuned.toml");
        assert_eq!(at("/mine/scenarios", "/mine/out/tuned.toml"), "../out/tuned.toml");
        assert_eq!(at("/mine/./a/..", "/mine/tuned.toml"), "tuned.toml");
    }
}
