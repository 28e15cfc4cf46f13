//! Numbers of one run on every frontend.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Command, Stdio};

use calamine::Data;
use serde_json::Value;
use sim_core::quantity::{Dimension, UnitChoice, show, show_both};

use crate::reader::{Run, before, is_share, rounds_to, scenario, tables, text};
use washgraph_tests::binary;

/// As many as the page takes while a setting moves, so that it shows the same numbers.
const TRIALS: &str = "2000";

fn at<'a>(json: &'a Value, path: &str) -> &'a Value {
    path.split('.').fold(json, |v, key| key.parse::<usize>().map_or_else(|_| &v[key], |i| &v[i]))
}

fn number(json: &Value, path: &str) -> f64 {
    at(json, path).as_f64().unwrap_or_else(|| panic!("{path} is no number"))
}

/// The page of a design, asked over a plain socket.
pub fn page(file: &str) -> String {
    let folder = scenario("x").parent().unwrap().to_path_buf();
    let mut child = Command::new(binary())
        .args(["page", "--port", "0"])
        .current_dir(folder)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut line = String::new();
    BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
    let port: u16 = line.trim().trim_end_matches('/').rsplit(':').next().unwrap().parse().unwrap();
    let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
    let request = format!("GET /plant?file={file} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n");
    stream.write_all(request.as_bytes()).unwrap();
    let mut bytes = Vec::new();
    stream.read_to_end(&mut bytes).unwrap();
    let _ = child.kill();
    let _ = child.wait();
    let answer = String::from_utf8(bytes).unwrap();
    assert!(answer.starts_with("HTTP/1.1 200"), "{}", &answer[..200.min(answer.len())]);
    answer
}

/// The numbers that everybody reads first.
fn headlines(face: &str, said: &str, json: &Value) {
    let share = |phrase: &str, path: &str| {
        let n = before(said, phrase);
        assert!(rounds_to(n, 100.0 * number(json, path)), "{face}: {n}{phrase}, {}", number(json, path));
    };
    let plain = |phrase: &str, path: &str| {
        let n = before(said, phrase);
        assert!(rounds_to(n, number(json, path)), "{face}: {n}{phrase}, {}", number(json, path));
    };
    share(" % of the gold is caught", "gold.recovery.mean");
    plain(" g of raw gold an hour", "gold.caught_g_per_h.mean");
    share(" % of the runs, does not pay", "money.chance_of_loss");
    plain(" before the owner's wage", "money.net_per_season.pctl_50");
    share(" %, nor wage", "money.below_wage.share");
    let supply = show(number(json, "water.supply_m3_h.pctl_50") / 3600.0, Dimension::Flow, UnitChoice::Us);
    let supply = supply.as_str();
    assert!(said.contains(supply), "{face}: {supply}");
    for loss in json["losses"].as_array().unwrap().iter().take(3) {
        let (stage, reason, words) = (&loss["stage"], &loss["reason"], &loss["words"]);
        let starts = [words, reason].map(|w| format!(" % {}: {}", stage.as_str().unwrap(), w.as_str().unwrap()));
        let long = format!(" % at the {}: {}", stage.as_str().unwrap(), words.as_str().unwrap());
        let phrase = starts.iter().chain([&long]).find(|p| said.contains(p.as_str())).expect("the loss is named");
        let n = before(said, phrase);
        assert!(rounds_to(n, 100.0 * loss["share_of_fed"]["mean"].as_f64().unwrap()), "{face}: {n}{phrase}");
    }
}

#[test]
fn identity_every_face_says_the_numbers_of_the_result() {
    let run = Run::of(&scenario("juniper-creek"), TRIALS);
    let screen = run.screen.split_whitespace().collect::<Vec<_>>().join(" ");
    headlines("terminal", &screen, &run.json);
    headlines("report", &text(&run.html[run.html.find("<main>").unwrap()..]), &run.json);
    page_says_the_same(&run.json);
    let compared = workbook_is_the_report(&run);
    assert!(compared > 700, "only {compared} cells were compared");
    workbook_is_the_result(&run);
    figures_have_their_numbers(&run);
}

fn page_says_the_same(json: &Value) {
    let page = page("juniper-creek.toml");
    let said = text(&page);
    let n = |phrase: &str| before(&said, phrase).to_string();
    assert!(rounds_to(&n(" g of raw gold an hour"), number(json, "gold.caught_g_per_h.mean")));
    let strip = said.split("Gold caught ").nth(1).unwrap();
    assert!(is_share(strip, number(json, "gold.recovery.mean")), "{}", &strip[..40]);
    let season = n(" before the owner's wage");
    assert!(rounds_to(&season, number(json, "money.net_per_season.pctl_50")), "{season}");
    let supply = show(number(json, "water.supply_m3_h.pctl_50") / 3600.0, Dimension::Flow, UnitChoice::Us);
    assert!(said.contains(&format!("{supply} is supplied")), "{supply}");
    // Its folded tables are those of the report.
    let all = tables(&page);
    let losses = all.iter().find(|t| t[0].first().is_some_and(|h| h == "Where")).expect("the table of losses");
    for (row, loss) in losses[1..].iter().zip(json["losses"].as_array().unwrap()) {
        for (cell, key) in row[2..].iter().zip(["mean", "pctl_10", "pctl_50", "pctl_90"]) {
            let value = loss["share_of_fed"][key].as_f64().unwrap();
            assert!(is_share(cell, value) || (cell == "0 %" && value == 0.0), "{row:?} {key} {value}");
        }
    }
}

/// Kinds of quantity that stand in a unit of the workbook.
fn dimensions(unit: &str) -> impl Iterator<Item = Dimension> {
    Dimension::ALL.into_iter().filter(move |d| d.si_symbol() == unit && unit != "-")
}

/// Whether a cell of the report shows a number of the workbook.
fn shows(cell: &str, value: f64, unit: &str) -> bool {
    if dimensions(unit).any(|d| show_both(value, d, UnitChoice::Us) == cell) {
        return true;
    }
    match unit {
        "fraction" => is_share(cell, value) || (cell == "0 %" && value == 0.0),
        "m3/h" => show_both(value / 3600.0, Dimension::Flow, UnitChoice::Us) == cell,
        "mg/m3" => show_both(value * 1e-6, Dimension::Grade, UnitChoice::Us) == cell,
        "kPa" => show_both(value * 1e3, Dimension::Pressure, UnitChoice::Us) == cell,
        // In the page first in the user's volume, then in brackets in SI.
        "mg/m3 bank" => cell.split_once('(').is_some_and(|(_, si)| rounds_to(si.trim_end_matches(')'), value)),
        _ => rounds_to(cell.split(' ').next().unwrap_or_default(), value),
    }
}

fn unit_of<'a>(heads: &'a [String], row: &'a [Data], column: usize) -> &'a str {
    match heads.iter().position(|h| h == "unit") {
        Some(c) => match &row[c] {
            Data::String(unit) => unit,
            _ => "",
        },
        None => heads[column].rsplit_once(" (").map_or("", |(_, u)| u.trim_end_matches(')')),
    }
}

/// Every number of the workbook against its cell of the report; how many were compared.
fn workbook_is_the_report(run: &Run) -> usize {
    let shown = tables(&run.html);
    let own = |name: &str| name == "recovery-by-size" || name == "warnings" || name == "provenance" || name == "inputs";
    let mut compared = 0;
    for (name, rows) in run.sheets().iter().filter(|(n, _)| !n.ends_with("-numbers") && !own(n)) {
        let heads: Vec<String> = rows[0].iter().map(ToString::to_string).collect();
        let unit_column = heads.iter().position(|h| h == "unit");
        for row in &rows[1..] {
            let words: Vec<Option<String>> = row
                .iter()
                .enumerate()
                .filter(|(c, _)| Some(*c) != unit_column)
                .map(|(_, cell)| match cell {
                    Data::String(s) => Some(s.split_whitespace().collect::<Vec<_>>().join(" ")),
                    _ => None,
                })
                .collect();
            let fits = |cells: &&Vec<String>| {
                cells.len() == words.len() && words.iter().zip(*cells).all(|(w, c)| w.as_ref().is_none_or(|w| w == c))
            };
            let candidates: Vec<&Vec<String>> = shown.iter().flatten().filter(fits).collect();
            assert!(!candidates.is_empty(), "{name}: no row of the report reads {words:?}");
            let values: Vec<(usize, f64, &str)> = row
                .iter()
                .enumerate()
                .filter(|(c, _)| Some(*c) != unit_column)
                .enumerate()
                .filter_map(|(shown_at, (c, cell))| match cell {
                    Data::Float(v) => Some((shown_at, *v, unit_of(&heads, row, c))),
                    Data::Int(v) => Some((shown_at, *v as f64, unit_of(&heads, row, c))),
                    _ => None,
                })
                .collect();
            let all_shown = |cells: &&Vec<String>| values.iter().all(|(c, v, unit)| shows(&cells[*c], *v, unit));
            assert!(
                candidates.iter().any(all_shown),
                "{name}: {values:?} are not the numbers of any of {candidates:?}"
            );
            compared += values.len();
        }
    }
    compared
}

/// Numbers of the workbook that are those of result.json, to the 15 digits that a workbook holds.
fn workbook_is_the_result(run: &Run) {
    let sheets = run.sheets();
    let spread = ["mean", "pctl_10", "pctl_50", "pctl_90"];
    let float = |cell: &Data| match cell {
        Data::Float(v) => *v,
        Data::Int(v) => *v as f64,
        other => panic!("{other:?} is no number"),
    };
    let check = |sheet: &str, row: usize, from: usize, json: &Value| {
        for (i, key) in spread.iter().enumerate() {
            let there = json[key].as_f64().unwrap();
            let here = float(&sheets[sheet][row + 1][from + i]);
            assert!((here - there).abs() <= 1e-14 * there.abs(), "{sheet} row {row} {key}: {here} {there}");
        }
    };
    for (i, loss) in run.json["losses"].as_array().unwrap().iter().enumerate() {
        check("losses", i, 2, &loss["share_of_fed"]);
    }
    for (i, class) in run.json["gold"]["recovery_by_size"].as_array().unwrap().iter().enumerate() {
        check("recovery-by-size", i, 3, &class["recovery"]);
    }
    for (i, measure) in run.json["measures"].as_array().unwrap().iter().enumerate() {
        check("measures", i, 3, &measure["value"]);
    }
    check("gold", 2, 2, &run.json["gold"]["fed_g_per_h"]);
    check("gold", 3, 2, &run.json["gold"]["caught_g_per_h"]);
    check("gold", 5, 2, &run.json["gold"]["recovery"]);
    check("money", 0, 2, &run.json["money"]["net_per_season"]);
    check("break-even", 2, 1, &run.json["money"]["breakeven_mg_per_m3_bank"]);
    check("water-balance", 0, 1, &run.json["water"]["supply_m3_h"]);
    for (i, line) in run.json["money"]["account"].as_array().unwrap().iter().enumerate() {
        let (here, there) = (float(&sheets["account"][i + 1][1]), line["mean"].as_f64().unwrap());
        assert!((here - there).abs() <= 1e-14 * there.abs(), "account row {i}: {here} {there}");
    }
}

/// Beside each figure stands a file with the numbers that the report folds away under it.
fn figures_have_their_numbers(run: &Run) {
    let shown = tables(&run.html);
    let folder = std::fs::read_dir(run.folder.path().join("out")).unwrap();
    let mut figures = 0;
    for name in
        folder.filter_map(|e| e.unwrap().file_name().to_str().and_then(|n| n.strip_suffix(".svg").map(String::from)))
    {
        let rows = run.csv(&format!("{name}-numbers"));
        let unit = |c: usize| rows[0][c].rsplit_once(" (").map_or("", |(_, u)| u.trim_end_matches(')'));
        let alike = |(c, (there, here)): (usize, (&String, &String))| match here.parse::<f64>() {
            Ok(x) => plain(there, unit(c)).is_some_and(|y| y == x),
            Err(_) => there.split_whitespace().eq(here.split_whitespace()),
        };
        let same_row =
            |(a, b): (&Vec<String>, &Vec<String>)| a.len() == b.len() && a.iter().zip(b).enumerate().all(alike);
        let same = |t: &&Vec<Vec<String>>| t.len() == rows.len() && t[1..].iter().zip(&rows[1..]).all(same_row);
        assert!(shown.iter().any(|t| same(&t)), "{name}: its numbers are not in the report: {:?}", rows.get(1));
        figures += 1;
    }
    assert!(figures >= 10, "{figures} figures");
}

/// The number of a cell, its unit and its thousands marks left out.
fn plain(cell: &str, unit: &str) -> Option<f64> {
    cell.strip_suffix(unit).unwrap_or(cell).trim().replace(',', "").parse().ok()
}
