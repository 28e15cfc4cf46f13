//! Files of the owner: those in an output folder stay, and what is no plain file is refused before it is read.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use washgraph_tests::{Answer, binary, repository_file, washgraph};

fn demo() -> String {
    repository_file("tests/broken/sound.toml").to_string_lossy().into_owned()
}

fn done(folder: &Path, arguments: &[&str]) -> Answer {
    let answer = washgraph(folder, 2, arguments);
    assert!(answer.code == 0 || answer.code == 1, "{arguments:?}: {}", answer.stderr);
    answer
}

/// Names and bytes of all files in a folder, those of its folders too.
fn all_files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    for entry in fs::read_dir(folder).expect("folder") {
        let path = entry.expect("entry").path();
        let name = path.file_name().expect("name").to_string_lossy().into_owned();
        if path.is_dir() {
            files.extend(all_files(&path).into_iter().map(|(inner, bytes)| (format!("{name}/{inner}"), bytes)));
        } else {
            files.insert(name, fs::read(&path).expect("file"));
        }
    }
    files
}

#[test]
fn property_prices_filled_into_a_bill_survive_and_are_read_under_the_kept_name() {
    let folder = tempfile::tempdir().expect("a folder");
    let scenario = demo();
    let sheet = ["sheet", scenario.as_str(), "--out", "shop", "--trials", "30"];
    done(folder.path(), &sheet);
    let bill = folder.path().join("shop/bill.csv");
    let blank = fs::read_to_string(&bill).expect("bill");
    for (price, kept) in [("1.25", "bill.yours.csv"), ("1.50", "bill.yours-2.csv")] {
        let priced = blank.replace(",lb,,", &format!(",lb,{price},"));
        assert_ne!(blank, priced);
        fs::write(&bill, &priced).expect("write");
        let again = done(folder.path(), &sheet);
        assert!(again.stderr.contains(&format!("Your own files are kept: bill.csv as {kept}\n")), "{}", again.stderr);
        assert_eq!(fs::read_to_string(&bill).expect("bill"), blank);
        assert_eq!(fs::read_to_string(folder.path().join("shop").join(kept)).expect("kept"), priced);
        let prices = format!("shop/{kept}");
        let priced = done(folder.path(), &["sheet", &scenario, "--json", "--trials", "30", "--prices", &prices]);
        let priced: serde_json::Value = serde_json::from_str(&priced.stdout).expect("JSON");
        assert!(priced["bill"]["sum"].as_f64().expect("sum") > 0.0);
    }
    let quiet = done(folder.path(), &sheet);
    assert!(!quiet.stderr.contains("kept"), "{}", quiet.stderr);
}

#[test]
fn property_notes_and_folders_of_the_owner_stay_and_ours_neither_pile_up_nor_linger() {
    let folder = tempfile::tempdir().expect("a folder");
    let scenario = demo();
    for command in ["run", "sheet", "holes"] {
        let arguments = [command, scenario.as_str(), "--out", "into", "--trials", "30"];
        let into = folder.path().join("into");
        done(folder.path(), &arguments);
        let ours = all_files(&into);
        let mut own = ours.clone();
        for (name, text) in [("notes.txt", "dig left"), ("photos/1/pit.jpg", "picture"), ("inputs/mine.txt", "seen")] {
            let path = into.join(name);
            fs::create_dir_all(path.parent().expect("folder")).expect("folder");
            fs::write(path, text).expect("write");
            own.insert(name.into(), text.into());
        }
        fs::create_dir(into.join("empty")).expect("folder");
        for _ in 0..2 {
            done(folder.path(), &arguments);
            assert!(all_files(&into) == own, "{command}: {:?}", all_files(&into).keys());
            assert!(into.join("empty").is_dir());
        }
        // A file of a further stage: once it is on the list and no longer written, it goes; changed by hand it stays.
        let list = fs::read_to_string(into.join(".washgraph-files")).expect("list");
        let of_notes = "2e99758548972a8e8822ad47fa1017ff72f06f3ff6a016851f45c398732bc50c"; // "this is a test"
        fs::write(into.join("gone.svg"), "this is a test").expect("write");
        fs::write(into.join("edited.svg"), "this is a test, edited").expect("write");
        let more = format!("{list}{of_notes}  gone.svg\n{of_notes}  edited.svg\n");
        fs::write(into.join(".washgraph-files"), more).expect("write");
        done(folder.path(), &arguments);
        own.insert("edited.svg".into(), "this is a test, edited".into());
        assert!(all_files(&into) == own, "{command}: {:?}", all_files(&into).keys());
        fs::remove_dir_all(&into).expect("remove");
        assert_eq!(
            fs::read_dir(folder.path()).expect("folder").count(),
            0,
            "{command} leaves nothing beside its folder"
        );
    }
}

#[test]
fn property_a_folder_of_an_earlier_version_loses_nothing_that_is_filled_in() {
    let folder = tempfile::tempdir().expect("a folder");
    let scenario = demo();
    let sheet = ["sheet", scenario.as_str(), "--out", "shop", "--trials", "30"];
    done(folder.path(), &sheet);
    let shop = folder.path().join("shop");
    let mut own = all_files(&shop);
    fs::remove_file(shop.join(".washgraph-files")).expect("remove");
    for (name, kept) in [("bill.csv", "bill.yours.csv"), ("old-drawing.svg", "old-drawing.svg")] {
        fs::write(shop.join(name), "own").expect("write");
        own.insert(kept.into(), b"own".to_vec());
    }
    fs::write(shop.join("sheet.html"), "the page of an earlier version").expect("write");
    done(folder.path(), &sheet);
    assert!(all_files(&shop) == own, "{:?}", all_files(&shop).keys());
}

#[cfg(target_os = "linux")]
#[test]
fn property_a_full_disk_behind_stdout_is_told_and_a_closed_pipe_is_not() {
    let folder = tempfile::tempdir().expect("a folder");
    let scenario = demo();
    let to = |stdout: Stdio, arguments: &[&str]| -> Answer {
        let mut program = Command::new(binary());
        program.args(arguments).current_dir(folder.path()).stdout(stdout).output().expect("start").into()
    };
    let cases: [&[&str]; 4] =
        [&["run", &scenario, "--json", "--trials", "30"], &["check", &scenario], &["stages"], &["--help"]];
    for arguments in cases {
        let full = fs::File::options().write(true).open("/dev/full").expect("the full device");
        let answer = to(full.into(), arguments);
        assert_eq!(answer.code, 2, "{arguments:?}: {}", answer.stderr);
        assert!(answer.stderr.contains("cannot write to standard output"), "{arguments:?}: {}", answer.stderr);
        let (reader, writer) = std::io::pipe().expect("a pipe");
        drop(reader);
        let answer = to(writer.into(), arguments);
        assert!(answer.code < 2 && !answer.stderr.contains("standard output"), "{arguments:?}: {}", answer.stderr);
    }
}

#[cfg(target_os = "linux")]
#[test]
fn property_pipes_devices_and_folders_are_refused_at_once_wherever_a_file_is_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    assert!(Command::new("mkfifo").arg(at("pipe.toml")).status().expect("mkfifo").success());
    fs::create_dir(at("folder.toml")).expect("folder");
    let sound = fs::read_to_string(demo()).expect("the sound plant");
    for (name, says) in [
        ("pipe.toml", "is a pipe or a device, not a"),
        ("/dev/zero", "is a pipe or a device, not a"),
        ("/dev/urandom", "is a pipe or a device, not a"),
        ("folder.toml", "is a folder, not a"),
    ] {
        fs::write(at("tuned.toml"), format!("tuned = \"{name}\"\n{sound}")).expect("write");
        fs::write(at("sampled.toml"), sampled_from(name)).expect("write");
        let scenario = demo();
        let cases: [&[&str]; 7] = [
            &["run", name],
            &["check", name],
            &["tune", &scenario, name],
            &["sheet", &scenario, "--prices", name],
            &["check", "tuned.toml"],
            &["check", "sampled.toml"],
            &["rerun", name],
        ];
        for arguments in cases {
            // A folder may well be named to `rerun`.
            if arguments[0] == "rerun" && name == "folder.toml" {
                continue;
            }
            let begun = Instant::now();
            let answer = at_once(folder.path(), arguments);
            assert!(answer.stderr.contains(says), "{arguments:?}: {}", answer.stderr);
            assert_eq!(answer.code, 2, "{arguments:?}: {}", answer.stderr);
            assert!(begun.elapsed() < Duration::from_secs(5), "{arguments:?} took {:?}", begun.elapsed());
        }
    }
}

/// The program, ended when it takes longer than it may.
#[cfg(target_os = "linux")]
fn at_once(folder: &Path, arguments: &[&str]) -> Answer {
    let mut program = Command::new(binary());
    program.args(arguments).current_dir(folder).stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = program.spawn().expect("start");
    for _ in 0..500 {
        if child.try_wait().expect("state").is_some() {
            return child.wait_with_output().expect("output").into();
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    let _ = child.kill();
    panic!("{arguments:?} hangs");
}

/// The demonstration with another field sheet for its sieves.
#[cfg(target_os = "linux")]
fn sampled_from(name: &str) -> String {
    let demo = fs::read_to_string(repository_file("scenarios/juniper-creek.toml")).expect("the demonstration");
    let sieves = "file = \"juniper-creek-sieves.csv\"";
    assert!(demo.contains(sieves));
    demo.replace(sieves, &format!("file = \"{name}\""))
}
