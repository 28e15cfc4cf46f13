//! Starts the program `washgraph` as a person would, in a folder of its own.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

/// Path of a file of the repository, from its root.
pub fn repository_file(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(path)
}

/// The program that the variable `WASHGRAPH` names, say the one to be given out, or else the one beside the test: `target/PROFILE/deps/TEST` has it at `target/PROFILE/washgraph`.
///
/// Cargo builds it for a test of the whole workspace only, and an old one may lie there; so it is brought up to date
/// once per test file, with the profile of the tests, which costs nothing if it is.
pub fn binary() -> &'static Path {
    static BINARY: OnceLock<PathBuf> = OnceLock::new();
    BINARY.get_or_init(|| {
        if let Some(path) = std::env::var_os("WASHGRAPH") {
            return PathBuf::from(path);
        }
        let test = std::env::current_exe().expect("path of this test");
        let profile_dir = test.parent().and_then(Path::parent).expect("folder of the profile");
        let path = profile_dir.join(format!("washgraph{}", std::env::consts::EXE_SUFFIX));
        let mut cargo = Command::new(env!("CARGO"));
        cargo.args(["build", "--quiet", "-p", "washgraph-cli", "--bin", "washgraph"]).current_dir(repository_file(""));
        cargo.arg("--target-dir").arg(profile_dir.parent().expect("target folder"));
        cargo.args(["--profile", if profile_dir.ends_with("release") { "release" } else { "test" }]);
        assert!(cargo.status().expect("start cargo").success(), "building washgraph failed");
        path
    })
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
