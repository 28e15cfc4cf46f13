//! Runs the program and reads what it wrote, as somebody would who knows none of its code.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::{Path, PathBuf};

use calamine::{Data, Reader, Xlsx};
use serde_json::Value;
use sim_core::math::pow;

use washgraph_tests::{repository_file, washgraph};

/// A scenario of the repository.
pub fn scenario(name: &str) -> PathBuf {
    repository_file(&format!("scenarios/{name}.toml"))
}

/// A run and its folder.
pub struct Run {
    pub folder: tempfile::TempDir,
    pub screen: String,
    pub html: String,
    pub json: Value,
}

impl Run {
    /// Runs a scenario file over so many trials.
    pub fn of(path: &Path, trials: &str) -> Run {
        let folder = tempfile::tempdir().unwrap();
        let call = ["run", &path.display().to_string(), "--trials", trials, "--out", "out"];
        let answer = washgraph(folder.path(), 2, &call);
        assert!(answer.code < 2, "{}", answer.stderr);
        let screen = answer.stdout;
        let read = |name: &str| std::fs::read_to_string(folder.path().join("out").join(name)).unwrap();
        let (html, json) = (read("report.html"), serde_json::from_str(&read("result.json")).unwrap());
        assert_eq!(read("verdict.txt"), screen, "what is piped is what is filed");
        Run { screen, html, json, folder }
    }

    /// Sheets of its workbook, by name.
    pub fn sheets(&self) -> BTreeMap<String, Vec<Vec<Data>>> {
        let bytes = std::fs::read(self.folder.path().join("out/tables.xlsx")).unwrap();
        let mut book: Xlsx<_> = calamine::open_workbook_from_rs(Cursor::new(bytes)).unwrap();
        book.worksheets().into_iter().map(|(n, r)| (n, r.rows().map(<[Data]>::to_vec).collect())).collect()
    }

    /// A CSV file with its heading as the first row.
    pub fn csv(&self, name: &str) -> Vec<Vec<String>> {
        let path = self.folder.path().join("out").join(format!("{name}.csv"));
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_path(path).unwrap();
        reader.records().map(|r| r.unwrap().iter().map(String::from).collect()).collect()
    }
}

/// Text of a piece of HTML, spaces collapsed.
pub fn text(html: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for c in html.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                out.push(' ');
            }
            _ if !inside => out.push(c),
            _ => {}
        }
    }
    for (from, to) in [("&quot;", "\""), ("&lt;", "<"), ("&gt;", ">"), ("&amp;", "&")] {
        out = out.replace(from, to);
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ").replace(" .", ".").replace(" ,", ",").replace(" ;", ";")
}

/// Pieces between two tags.
pub fn between<'a>(html: &'a str, open: &str, close: &str) -> Vec<&'a str> {
    html.split(open).skip(1).filter_map(|rest| rest.split(close).next()).collect()
}

/// Every table of a page: rows of cells, the headings first.
pub fn tables(html: &str) -> Vec<Vec<Vec<String>>> {
    let cells = |row: &str| -> Vec<String> {
        let row = row.replace("<th ", "<td ").replace("</th>", "</td>");
        row.split("<td").skip(1).map(|c| text(&c[c.find('>').unwrap() + 1..])).collect()
    };
    between(html, "<table", "</table>")
        .into_iter()
        .map(|t| &t[t.find('>').unwrap()..])
        .map(|t| between(t, "<tr>", "</tr>").into_iter().map(cells).collect())
        .collect()
}

/// Whether a printed number is a value, rounded where it was printed: `4.5`, `36,400` (three figures), `-0.052`.
pub fn rounds_to(printed: &str, value: f64) -> bool {
    let plain: String = printed.chars().filter(|c| *c != ',' && *c != '+').collect();
    let Ok(number) = plain.parse::<f64>() else { return false };
    let decimals = plain.split_once('.').map_or(0, |(_, d)| d.len());
    let mut step = pow(10.0, -(decimals as f64));
    if decimals == 0 {
        // Three figures of a large amount; none of a small one is dropped.
        let figures = plain.trim_start_matches('-').len() as i32;
        step = pow(10.0, f64::from((figures - 3).max(0)));
    }
    (number - value).abs() <= 0.5 * step * (1.0 + 1e-9)
}

/// Whether a printed share (`42 %`, `under 0.1 %`, `all runs`) is a fraction.
pub fn is_share(printed: &str, value: f64) -> bool {
    if printed.starts_with("under 0.1 %") {
        return value > 0.0 && value < 0.001;
    }
    match printed {
        "none of the runs" => value < 0.001,
        "all runs" => value > 0.999,
        _ => printed.split_once(" %").is_some_and(|(n, _)| rounds_to(n, 100.0 * value)),
    }
}

/// The word that stands right before a phrase.
pub fn before<'a>(text: &'a str, phrase: &str) -> &'a str {
    let head = text.split(phrase).next().filter(|h| h.len() < text.len());
    let head = head.unwrap_or_else(|| panic!("`{phrase}` is not in: {text}"));
    head.trim_end().rsplit(' ').next().unwrap()
}
