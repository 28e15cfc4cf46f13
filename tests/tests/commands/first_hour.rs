//! The first hour of the read-me, done as it stands there: each command in a fresh folder, each line that it shows.

use washgraph_tests::{repository_file, washgraph};

/// What stands between fences: what follows the opening fence, and the lines.
fn blocks(text: &str) -> Vec<(&str, Vec<&str>)> {
    let mut list: Vec<(&str, Vec<&str>)> = Vec::new();
    let mut inside = false;
    for line in text.lines() {
        match line.strip_prefix("```") {
            Some(kind) if !inside => {
                list.push((kind, Vec::new()));
                inside = true;
            }
            Some(_) => inside = false,
            None if inside => {
                if let Some((_, lines)) = list.last_mut() {
                    lines.push(line);
                }
            }
            None => {}
        }
    }
    list
}

/// Words of a command line; what stands in quotes is one word.
fn words(command: &str) -> Vec<String> {
    let quoted = command.split('"').enumerate();
    quoted
        .flat_map(|(i, part)| {
            let whole = i % 2 == 1;
            if whole { vec![part.to_string()] } else { part.split_whitespace().map(String::from).collect() }
        })
        .collect()
}

#[test]
fn identity_the_first_hour_goes_as_the_read_me_says() {
    let readme = std::fs::read_to_string(repository_file("README.md")).expect("the read-me");
    let start = readme.find("### The first hour").expect("its first hour");
    let walk = &readme[start..];
    let walk = walk[4..].find("\n### ").map_or(walk, |end| &walk[..end + 4]);
    let folder = tempfile::tempdir().expect("a folder");
    let (mut commands, mut compared) = (0, 0);
    for (kind, lines) in blocks(walk) {
        if let Some(name) = kind.strip_prefix("csv ") {
            std::fs::write(folder.path().join(name), lines.join("\n") + "\n").expect("write the sheet");
            continue;
        }
        let mut said = String::new();
        for line in lines {
            if let Some(command) = line.strip_prefix("$ washgraph ") {
                let words = words(command);
                let words: Vec<&str> = words.iter().map(String::as_str).collect();
                let answer = washgraph(folder.path(), 2, &words);
                assert_eq!(answer.code, 0, "{command}: {}", answer.stderr);
                said = answer.stdout + &answer.stderr;
                commands += 1;
            } else {
                let there = match line.strip_suffix(" ...") {
                    Some(start) => said.lines().any(|l| l.starts_with(start)),
                    None => said.lines().any(|l| l.trim_end() == line.trim_end()),
                };
                assert!(there, "the read-me shows\n{line}\nbut the program says\n{said}");
                compared += 1;
            }
        }
    }
    assert!(commands >= 5 && compared >= 8, "{commands} commands, {compared} lines");
    assert!(folder.path().join("out/creek/report.html").exists());
}
