//! One slip is one error: what follows from it alone is not told as a second mistake, and the first remedy named is the right one.

use washgraph_tests::{repository_file, washgraph};

/// What is changed in the demonstration, in which file, how many errors that makes, and what must stand in them.
struct Slip(&'static str, &'static str, &'static str, usize, &'static [&'static str]);

#[rustfmt::skip]
const SLIPS: &[Slip] = &[
    Slip("toml", "clay = { low", "clay = \"4 kg\" # { low", 1, &["`kg` is a weight"]),
    Slip("toml", "moisture = { low = \"4 %\"", "moisture = { low = \"4 kg\"", 1, &["`kg` is a weight"]),
    Slip("toml", "payable = {", "payables = {", 1, &["payables"]),
    Slip("toml", "life = 6", "life = \"6 ft\"", 1, &["life"]),
    Slip("toml", "currency = \"USD\"", "currency = \"EUR\"", 15, &["an amount in $", "the same in 14 more:"]),
    Slip("toml", "kind = \"sluice\"", "kind = \"sluce\"", 1, &["did you mean `sluice`?"]),
    Slip("toml", "kind = \"screen\"", "kind = \"screan\"", 1, &["did you mean `screen`?"]),
    Slip("toml", "kind = \"nozzles\"", "kind = \"nozles\"", 1, &["did you mean `nozzles`?"]),
    Slip("toml", "drum.undersize -> sluice.feed", "drum.undersise -> sluice.feed", 1, &["undersise"]),
    Slip("toml", "holes = 50", "holes = \"fifty\"", 1, &["fifty"]),
    Slip("pans.csv", "colours", "colrs", 1, &["column `colrs` is not read", "did you mean `colours`?"]),
    Slip("pans.csv", "A1,,US 18,US 30,1,2.27", "A1,,US 18,US 30,-1,2.27", 1, &["pans.csv:5:", "A1, , US 18, US 30, -1, 2.27"]),
];

fn demonstration() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for name in ["juniper-creek.toml", "juniper-creek-pans.csv", "juniper-creek-sieves.csv", "juniper-creek-stones.csv"]
    {
        std::fs::copy(repository_file(&format!("scenarios/{name}")), folder.path().join(name)).unwrap();
    }
    folder
}

#[test]
fn property_one_slip_is_one_error_with_its_own_remedy() {
    for Slip(file, from, to, count, said) in SLIPS {
        let folder = demonstration();
        let name = if *file == "toml" { "juniper-creek.toml".to_string() } else { format!("juniper-creek-{file}") };
        let path = folder.path().join(name);
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(text.contains(from), "{from}");
        std::fs::write(&path, text.replacen(from, to, 1)).unwrap();
        for command in ["run", "check", "water", "losses"] {
            let answer = washgraph(folder.path(), 1, &[command, "juniper-creek.toml"]);
            assert_eq!(answer.code, 2, "{to}: {}", answer.stderr);
            let told = if *count == 1 { "1 error:".to_string() } else { format!("{count} errors:") };
            assert!(answer.stderr.contains(&told), "{command} {to}: {}", answer.stderr);
            for part in *said {
                assert!(answer.stderr.contains(part), "{command} {to}: {part}: {}", answer.stderr);
            }
            let wrong = ["nothing draws from", "does not exist", "is not wired", "nothing feeds"];
            assert!(wrong.iter().all(|w| !answer.stderr.contains(w)), "{command} {to}: {}", answer.stderr);
            // The error is the last thing read.
            assert!(!answer.stderr.rsplit("\u{d7}").next().unwrap().contains("warning:"), "{}", answer.stderr);
        }
    }
}

#[test]
fn property_the_only_pump_is_found_whatever_it_is_called() {
    let folder = demonstration();
    let path = folder.path().join("juniper-creek.toml");
    let text =
        std::fs::read_to_string(&path).unwrap().replacen("kind = \"pump\"", "kind = \"pump\"\nid = \"old-red\"", 1);
    std::fs::write(&path, &text).unwrap();
    let answer = washgraph(folder.path(), 1, &["check", "juniper-creek.toml"]);
    assert_eq!(answer.code, 0, "{}", answer.stderr);
    // Of two, one must be named.
    let second =
        "\n[[stage]]\nkind = \"pump\"\nid = \"spare\"\ncurve = [[\"0 gpm\", \"90 ft\"], [\"500 gpm\", \"60 ft\"]]\n";
    std::fs::write(&path, text + second).unwrap();
    let answer = washgraph(folder.path(), 1, &["check", "juniper-creek.toml"]);
    assert_eq!(answer.code, 2, "{}", answer.stderr);
}
