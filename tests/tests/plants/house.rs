//! The shape of the workspace: each crate uses only crates of a lower rank, and no two modules at the top of a crate know each
//! other. The compiler refuses a circle of crates; that a crate reaches too high, or a circle inside one, is seen here alone.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;

/// Packages in the order of knowing. A row may use any row above it; the packages of one row do not use each other.
const RANKS: &[&[&str]] = &[
    &["washgraph-units"],
    &["washgraph-stats"],
    &["washgraph-physics"],
    &["washgraph-money"],
    &["washgraph-ground"],
    &["washgraph-engine"],
    &["washgraph-sim-core"],
    &[
        "washgraph-catch-table",
        "washgraph-drum",
        "washgraph-hopper",
        "washgraph-junction",
        "washgraph-make-up",
        "washgraph-nugget-trap",
        "washgraph-pond",
        "washgraph-pump",
        "washgraph-screen",
        "washgraph-scrubber",
        "washgraph-sluice",
        "washgraph-splitter",
        "washgraph-spray-bar",
    ],
    &["washgraph-standard-stages"],
    &["washgraph-model"],
    &["washgraph-advice"],
    &["washgraph-view"],
    &["washgraph-cli", "washgraph-conformance"],
    &["washgraph-tests", "washgraph-golden"],
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn rank(package: &str) -> Option<usize> {
    RANKS.iter().position(|row| row.contains(&package))
}

/// Packages of the workspace: name, folder, names of the packages of the workspace that it is built on (not for tests alone).
fn packages() -> Vec<(String, PathBuf, Vec<String>)> {
    let out = Command::new(env!("CARGO"))
        .args(["metadata", "--no-deps", "--offline", "--format-version", "1"])
        .current_dir(root())
        .output()
        .expect("start cargo");
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let metadata: serde_json::Value = serde_json::from_slice(&out.stdout).expect("JSON");
    let text = |v: &serde_json::Value| v.as_str().expect("text").to_string();
    let list = metadata["packages"].as_array().expect("packages");
    let own: BTreeSet<String> = list.iter().map(|p| text(&p["name"])).collect();
    list.iter()
        .map(|p| {
            let uses = p["dependencies"].as_array().expect("dependencies").iter();
            let uses = uses.filter(|d| d["kind"].as_str() != Some("dev")).map(|d| text(&d["name"]));
            let manifest = PathBuf::from(text(&p["manifest_path"]));
            (
                text(&p["name"]),
                manifest.parent().expect("folder").to_path_buf(),
                uses.filter(|d| own.contains(d)).collect(),
            )
        })
        .collect()
}

#[test]
fn property_each_crate_uses_only_crates_of_a_lower_rank() {
    let mut faults = Vec::new();
    for (name, _, uses) in packages() {
        let Some(own) = rank(&name) else {
            faults.push(format!("{name} has no rank: give it a place in the list"));
            continue;
        };
        for used in uses {
            match rank(&used) {
                Some(below) if below < own => {}
                _ => faults.push(format!("{name} uses {used}, which does not stand below it")),
            }
            let is_kind = rank(&used) >= rank("washgraph-drum") && rank(&used) <= rank("washgraph-standard-stages");
            // The program knows the list of the standard kinds, for its own binary, and no kind by itself.
            let is_its_list = name == "washgraph-cli" && used == "washgraph-standard-stages";
            if is_kind
                && own > rank("washgraph-standard-stages").unwrap_or(0)
                && !is_its_list
                && name != "washgraph-tests"
            {
                faults.push(format!("{name} uses {used}: it meets the kinds through the registry alone"));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// The code of a file without comments and without the block of its tests.
fn code(path: &Path) -> String {
    let text = std::fs::read_to_string(path).expect("source");
    let end = text.find("#[cfg(test)]").unwrap_or(text.len());
    text[..end].lines().filter(|l| !l.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

fn sources(folder: &Path, list: &mut Vec<PathBuf>) {
    let mut entries: Vec<PathBuf> =
        std::fs::read_dir(folder).expect("folder").map(|e| e.expect("entry").path()).collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            sources(&path, list);
        } else if path.extension().is_some_and(|e| e == "rs") {
            list.push(path);
        }
    }
}

/// First names of the paths that start with `crate::`, groups in braces taken apart.
fn crate_paths(code: &str) -> BTreeSet<String> {
    let first = |text: &str| -> String { text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect() };
    let mut names = BTreeSet::new();
    for (at, found) in code.match_indices("crate::") {
        if code[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_') {
            continue;
        }
        let rest = &code[at + found.len()..];
        match rest.strip_prefix('{') {
            None => drop(names.insert(first(rest))),
            Some(group) => {
                let mut depth = 0;
                for item in group.split_inclusive(['{', '}', ',']) {
                    let name = first(item.trim_start());
                    if depth == 0 && !name.is_empty() {
                        names.insert(name);
                    }
                    match item.chars().last() {
                        Some('{') => depth += 1,
                        Some('}') if depth == 0 => break,
                        Some('}') => depth -= 1,
                        _ => {}
                    }
                }
            }
        }
    }
    names
}

/// Which module at the top of a crate names which.
fn arrows(folder: &Path) -> BTreeMap<String, BTreeSet<String>> {
    let src = folder.join("src");
    let mut files = Vec::new();
    sources(&src, &mut files);
    let module = |path: &Path| -> String {
        let first = path.strip_prefix(&src).expect("below src").iter().next().expect("a name").to_string_lossy();
        first.trim_end_matches(".rs").to_string()
    };
    let modules: BTreeSet<String> = files.iter().map(|f| module(f)).filter(|m| m != "lib" && m != "main").collect();
    let mut map: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for file in files.iter().filter(|f| modules.contains(&module(f))) {
        let own = module(file);
        let named = crate_paths(&code(file)).into_iter().filter(|n| *n != own && modules.contains(n));
        map.entry(own.clone()).or_default().extend(named);
    }
    map
}

#[test]
fn property_no_circle_between_the_modules_at_the_top_of_a_crate() {
    let mut faults = Vec::new();
    for (name, folder, _) in packages() {
        if !folder.join("src/lib.rs").exists() {
            continue;
        }
        let mut left = arrows(&folder);
        // Modules that name nobody who is left go, again and again; what stays stands in a circle or above one.
        loop {
            let known: BTreeSet<String> = left.keys().cloned().collect();
            let free: Vec<String> =
                left.iter().filter(|(_, to)| to.iter().all(|t| !known.contains(t))).map(|(m, _)| m.clone()).collect();
            if free.is_empty() {
                break;
            }
            free.iter().for_each(|m| drop(left.remove(m)));
        }
        // And from above: modules that nobody who is left names.
        loop {
            let named: BTreeSet<String> = left.values().flatten().cloned().collect();
            let free: Vec<String> = left.keys().filter(|m| !named.contains(*m)).cloned().collect();
            if free.is_empty() {
                break;
            }
            free.iter().for_each(|m| drop(left.remove(m)));
        }
        if !left.is_empty() {
            faults.push(format!("{name}: {}", left.keys().cloned().collect::<Vec<_>>().join(", ")));
        }
    }
    assert!(faults.is_empty(), "circles:\n{}", faults.join("\n"));
}

#[test]
fn identity_a_circle_is_seen() {
    let list = crate_paths("use crate::a::B;\nuse crate::{c::{D, E}, f};\nlet x = crate::g::h();\nlet y = mycrate::z;");
    assert_eq!(list.into_iter().collect::<Vec<_>>(), ["a", "c", "f", "g"]);
}

/// What a registry, a licence checker and a reader of `cargo metadata` look for stands in the declaration of each package.
#[test]
fn property_each_package_says_what_it_is() {
    let out = Command::new(env!("CARGO"))
        .args(["metadata", "--no-deps", "--offline", "--format-version", "1"])
        .current_dir(root())
        .output()
        .expect("start cargo");
    let metadata: serde_json::Value = serde_json::from_slice(&out.stdout).expect("JSON");
    for package in metadata["packages"].as_array().expect("packages") {
        let name = &package["name"];
        for field in ["description", "license", "rust_version"] {
            assert!(package[field].as_str().is_some_and(|text| !text.is_empty()), "{name} says no {field}");
        }
        assert!(package["categories"].as_array().is_some_and(|list| !list.is_empty()), "{name} has no categories");
    }
}
