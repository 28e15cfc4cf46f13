//! Starts the program `washgraph` as a person would, in a folder of its own.
//!
//! Tests that need Chromium are ignored unless asked for: `cargo test --workspace --test page browser:: -- --ignored` (`CHROMIUM` names
//! another than the usual one). `barriers::` is the accessibility check, with `WASHGRAPH_AXE` naming `axe.min.js` of the npm package
//! `axe-core`; `WASHGRAPH_LOOK` names a folder for screenshots.
//!
//! Pictures of the README, after `run` of the demonstration: `scenarios/gold-path.png` is a copy out of its folder; `report.png` is page
//! one of the report as printed: `chromium --headless --no-sandbox --no-pdf-header-footer --print-to-pdf=report.pdf
//! file://$PWD/out/juniper-creek/report.html`, then `gs -q -dNOPAUSE -dBATCH -sDEVICE=png16m -r100 -dTextAlphaBits=4
//! -dGraphicsAlphaBits=4 -dFirstPage=1 -dLastPage=1 -sOutputFile=scenarios/report.png report.pdf`; `page.png` with `washgraph page
//! scenarios/juniper-creek.toml` running: `chromium --headless --no-sandbox --hide-scrollbars --window-size=1280,1500
//! --screenshot=scenarios/page.png 'http://127.0.0.1:4177/plant?file=juniper-creek.toml'`.

pub mod renamed;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Path of a file of the repository, from its root.
pub fn repository_file(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(path)
}

/// The program that the variable `WASHGRAPH` names, say the one to be given out, or else this crate's own build of it.
///
/// Cargo builds `src/main.rs` together with the tests and tells them its path, so it is never an old one.
pub fn binary() -> PathBuf {
    let given = std::env::var_os("WASHGRAPH").or_else(|| std::env::var_os("CARGO_BIN_EXE_washgraph-under-test"));
    PathBuf::from(given.expect("start the tests by cargo, or set WASHGRAPH to the path of the program"))
}

/// What one call of the program gave.
pub struct Answer {
    /// Exit code.
    pub code: i32,
    /// Standard output.
    pub stdout: String,
    /// Standard error.
    pub stderr: String,
}

impl From<Output> for Answer {
    fn from(output: Output) -> Self {
        let answer = Self {
            code: output.status.code().expect("the program was killed"),
            stdout: String::from_utf8(output.stdout).expect("stdout is UTF-8"),
            stderr: String::from_utf8(output.stderr).expect("stderr is UTF-8"),
        };
        assert!(!answer.stderr.contains("panicked"), "the program panicked:\n{}", answer.stderr);
        assert!(answer.code != 70 && answer.code != 101, "fault of the program:\n{}", answer.stderr);
        answer
    }
}

/// Runs the program in `folder` with so many threads of work; a panic fails the test.
pub fn washgraph(folder: &Path, threads: usize, arguments: &[&str]) -> Answer {
    Command::new(binary())
        .args(arguments)
        .current_dir(folder)
        .env("RAYON_NUM_THREADS", threads.to_string())
        .env("NO_COLOR", "1")
        .output()
        .expect("start washgraph")
        .into()
}
