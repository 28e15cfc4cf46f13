//! The command `tune` as the owner calls it: in a folder with the demonstration and its log, then with what it wrote.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use serde_json::Value;
use washgraph_tests::{binary, repository_file, washgraph};

const SCENARIO: &str = "juniper-creek.toml";
const LOG: &str = "juniper-creek-log.toml";

/// A folder with the demonstration and its log.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for name in [SCENARIO, LOG, "juniper-creek-pans.csv", "juniper-creek-sieves.csv", "juniper-creek-stones.csv"] {
        let from = repository_file("scenarios").join(name);
        std::fs::copy(&from, folder.path().join(name)).unwrap_or_else(|e| panic!("{}: {e}", from.display()));
    }
    folder
}

fn document(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|e| panic!("{e}: {text}"))
}

fn bytes(folder: &Path, name: &str) -> Vec<u8> {
    std::fs::read(folder.join("out/juniper-creek-tune").join(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// Width of the band of recovery that 8 runs of 10 lie in.
fn band(run: &Value) -> f64 {
    let of = |key: &str| run["gold"]["recovery"][key].as_f64().expect("a share");
    of("pctl_90") - of("pctl_10")
}

#[test]
fn property_the_owner_tunes_is_kept_from_losing_a_tuning_and_runs_on_it() {
    let home = folder();
    let at = home.path();
    let first = washgraph(at, 2, &["tune", SCENARIO, LOG]);
    assert_eq!(first.code, 0, "{}", first.stderr);
    // Tables, figures, the tuned file, and a screen that fits.
    for name in
        ["tuned.toml", "tune.json", "answer.txt", "observations.csv", "constants.csv", "answers.csv", "tables.xlsx"]
    {
        assert!(!bytes(at, name).is_empty(), "{name}");
    }
    for name in ["constants-before-after", "seen-and-expected", "recovery-before-after"] {
        assert!(
            bytes(at, &format!("{name}.png")).starts_with(b"\x89PNG") && !bytes(at, &format!("{name}.svg")).is_empty()
        );
    }
    let wide: Vec<&str> = first.stdout.lines().filter(|l| l.chars().count() > 80).collect();
    // The head names the log and the count, whatever their length.
    assert!(wide.len() <= 1, "{wide:#?}");
    let told = document(&String::from_utf8(bytes(at, "tune.json")).expect("text"));
    assert_eq!(told["stands"], true);
    assert!(told["effective_trials"].as_f64().is_some_and(|e| e >= 200.0), "{}", told["effective_trials"]);

    // A second tuning does not write over the first without being told to; told to, it writes the same bytes, whatever the threads.
    let tuned = bytes(at, "tuned.toml");
    let again = washgraph(at, 2, &["tune", SCENARIO, LOG]);
    assert_eq!(again.code, 2);
    assert!(again.stderr.contains("--replace") && again.stderr.contains("tuned.toml"), "{}", again.stderr);
    assert!(again.stdout.is_empty() && bytes(at, "tuned.toml") == tuned);
    let replaced = washgraph(at, 1, &["tune", SCENARIO, LOG, "--replace"]);
    assert_eq!((replaced.code, &replaced.stdout), (0, &first.stdout));
    assert!(bytes(at, "tuned.toml") == tuned, "the file differs between one thread and two");

    // The line that the screen gives, above the first table.
    let line = first.stdout.lines().map(str::trim).find(|l| l.starts_with("tuned = ")).expect("the line to put in");
    let text = std::fs::read_to_string(at.join(SCENARIO)).expect("the scenario");
    std::fs::write(at.join("tuned-creek.toml"), text.replacen("\n[ground]", &format!("\n{line}\n\n[ground]"), 1))
        .expect("write");
    let run = |name: &str| {
        let answer = washgraph(at, 2, &["run", name, "--trials", "400", "--json"]);
        assert!(answer.code < 2, "{}", answer.stderr);
        document(&answer.stdout)
    };
    let (before, after) = (run(SCENARIO), run("tuned-creek.toml"));
    assert!(band(&after) < 0.8 * band(&before), "{} {}", band(&after), band(&before));
    assert_ne!(before["provenance"]["scenario_sha256"], after["provenance"]["scenario_sha256"]);
    let once = washgraph(at, 2, &["run", "tuned-creek.toml", "--once"]);
    assert!(once.code < 2, "{}", once.stderr);
    let holes = washgraph(at, 2, &["holes", "tuned-creek.toml", "--trials", "60", "--no-rule", "--json"]);
    assert!(holes.code < 2, "{}", holes.stderr);
    assert_eq!(document(&holes.stdout)["command"], "holes");
    let page = ask_page(at, "/plant?file=tuned-creek.toml");
    assert!(page.starts_with("HTTP/1.1 200") && page.contains("Which hole size?"), "{page:.400}");
}

/// Starts the page in a folder, asks it once, stops it.
fn ask_page(folder: &Path, path: &str) -> String {
    struct Stopped(Child);
    impl Drop for Stopped {
        fn drop(&mut self) {
            let _ = self.0.kill();
            let _ = self.0.wait();
        }
    }
    let mut page = Command::new(binary());
    page.args(["page", "--port", "0"]).current_dir(folder).stdout(Stdio::piped()).stderr(Stdio::null());
    let mut page = Stopped(page.spawn().expect("start washgraph page"));
    let mut line = String::new();
    BufReader::new(page.0.stdout.take().expect("its output")).read_line(&mut line).expect("its address");
    let port = line.trim().trim_end_matches('/').rsplit(':').next().and_then(|p| p.parse().ok());
    let port: u16 = port.unwrap_or_else(|| panic!("no port in {line:?}"));
    let mut stream = TcpStream::connect(("127.0.0.1", port)).expect("connect");
    stream.set_read_timeout(Some(Duration::from_secs(90))).expect("time-out");
    write!(stream, "GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n").expect("ask");
    let mut answer = String::new();
    stream.read_to_string(&mut answer).expect("an answer");
    answer
}
