//! A sieve sheet, typed, pasted or opened from a file, as the gradation of the scenario.

use sim_core::field::sieve_test::{self, SieveDefaults};
use sim_core::field::{SheetReader, SieveTest, sheet_of_bytes, sieve_columns};
use sim_core::problem::{Problems, Severity};
use sim_core::quantity::{Dimension, UnitChoice, show};
use toml_edit::{Array, DocumentMut, Item, Value};
use washgraph_model::scenario::Opened;

/// Path by which a sieve sheet stands among the changes of a design.
pub(super) const PATH: &str = "ground.gradation.passing";

const MOST_ROWS: usize = 60;

/// What is wrong, and what would be right.
type Refusal = (String, String);

/// One sieve: size and share passing, as typed.
pub(super) type Row = [String; 2];

/// Reads rows of size and share passing, one a line, divided by a tab, semicolon, colon or comma. A line without any digit
/// is a heading.
pub(super) fn rows(text: &str) -> Result<Vec<Row>, Refusal> {
    let mut rows = Vec::new();
    for (i, line) in text.lines().enumerate().filter(|(_, l)| l.chars().any(|c| c.is_ascii_digit())) {
        let divider = ['\t', ';', ':', ','].into_iter().find(|d| line.contains(*d));
        let Some((size, share)) = divider.and_then(|d| line.split_once(d)) else {
            return Err((
                format!("line {}: `{}` does not name a sieve and a share", i + 1, line.trim()),
                "write one sieve a line, e.g. 1/2 in, 57 %".into(),
            ));
        };
        let clean = |t: &str| t.trim().trim_matches('"').trim().to_string();
        let (size, share) = (clean(size), clean(share.trim_end_matches(['\t', ';', ',', ' '])));
        // A bare number above 1 in a column of percentages is a percentage.
        let share = if share.parse::<f64>().is_ok_and(|x| x > 1.0) { format!("{share} %") } else { share };
        rows.push([size, share]);
        if rows.len() > MOST_ROWS {
            return Err((format!("more than {MOST_ROWS} sieves"), "one sheet at a time".into()));
        }
    }
    if rows.is_empty() {
        return Err(("the sheet names no sieve".into(), "write one sieve a line, e.g. 1/2 in, 57 %".into()));
    }
    Ok(rows)
}

/// Reads a field sheet as the scenario would (CSV or XLSX, shares passing or masses retained, several pits) and gives it
/// as one sieve a line. Pits are joined in proportion to what was sieved.
pub(super) fn from_file(name: &str, bytes: &[u8], units: UnitChoice) -> Result<String, Vec<String>> {
    // Masses retained add up by themselves. A sheet of shares alone need not say here what they are shares of.
    let read = |sample_kg| tests_of(name, bytes, sample_kg, units);
    let tests = read(None).or_else(|problems| read(Some(1.0)).map_err(|_| problems))?;
    Ok(joined(&tests, units))
}

fn tests_of(
    name: &str,
    bytes: &[u8],
    sample_kg: Option<f64>,
    units: UnitChoice,
) -> Result<Vec<SieveTest>, Vec<String>> {
    let mut problems = Problems::default();
    let usual = ["sieves", "sieve", "gradation", "sieve tests"];
    let sheet = sheet_of_bytes(name, bytes, "", &usual, sieve_columns::COLUMNS, None, &mut problems);
    let tests = sheet.and_then(|sheet| {
        // What lies on the top sieve is for the scenario to judge: here any stone will do.
        let largest_m = Some(5.0);
        let defaults = SieveDefaults { sample_kg, wet: false, moisture: 0.0, largest_m, splice_m: None, units };
        let mut sheet_reader = SheetReader::new(&mut problems);
        let tests = sieve_test::read(&sheet, &defaults, &mut sheet_reader);
        sheet_reader.finish(&sheet);
        tests
    });
    let errors = problems.in_order().into_iter().filter(|p| p.severity == Severity::Error);
    tests.ok_or_else(|| errors.map(|p| format!("{}; {}", p.message, p.help)).collect())
}

/// Share passing each sieve that all pits have, coarsest first.
fn joined(tests: &[SieveTest], units: UnitChoice) -> String {
    let total: f64 = tests.iter().map(|t| t.sample_kg).sum();
    let same = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-6;
    let mut lines = Vec::new();
    for (size, _) in tests.first().map_or(&[][..], |t| &t.points).iter().rev() {
        let shares: Option<Vec<f64>> = tests
            .iter()
            .map(|t| t.points.iter().find(|(s, _)| same(*s, *size)).map(|(_, share)| share * t.sample_kg / total))
            .collect();
        if let Some(shares) = shares {
            let share = format!("{:.2}", 100.0 * shares.iter().sum::<f64>());
            let share = share.trim_end_matches('0').trim_end_matches('.');
            lines.push(format!("{}, {share} %", show(*size, Dimension::SieveSize, units)));
        }
    }
    lines.join("\n")
}

/// The scenario with these sieves as its gradation, in place of its own list or file.
pub(super) fn put(opened: &Opened, text: &str) -> Result<Opened, Refusal> {
    let rows = rows(text)?;
    let mut document: DocumentMut =
        opened.text.parse().map_err(|e: toml_edit::TomlError| (e.message().to_lowercase(), String::new()))?;
    let lacks = || ("the scenario has no [ground] to put the sieves into".to_string(), String::new());
    let ground = document.get_mut("ground").and_then(Item::as_table_like_mut).ok_or_else(lacks)?;
    let table = ground.entry("gradation").or_insert_with(toml_edit::table).as_table_like_mut().ok_or_else(lacks)?;
    table.remove("file");
    table.remove("sheet");
    let mut list = Array::new();
    for row in rows {
        let mut pair = Value::from(row.into_iter().collect::<Array>());
        pair.decor_mut().set_prefix("\n  ");
        list.push_formatted(pair);
    }
    list.set_trailing("\n");
    list.set_trailing_comma(true);
    match table.get_mut("passing") {
        Some(Item::Value(old)) => {
            let decor = old.decor().clone();
            *old = Value::Array(list);
            *old.decor_mut() = decor;
        }
        _ => {
            table.insert("passing", Item::Value(Value::Array(list)));
        }
    }
    Ok(Opened { text: document.to_string(), folder: opened.folder.clone() })
}

/// The gradation that the scenario lists itself, one sieve a line; empty when it stands in a file.
pub(super) fn listed(opened: &Opened) -> String {
    let Ok(document) = opened.text.parse::<DocumentMut>() else { return String::new() };
    let item = document.get("ground").and_then(|g| g.get("gradation")).and_then(|g| g.get("passing"));
    let cell = |v: &Value| v.as_str().map_or_else(|| v.to_string().trim().to_string(), str::to_string);
    let lines = item.and_then(Item::as_array).into_iter().flatten().filter_map(Value::as_array);
    lines.map(|pair| pair.iter().map(cell).collect::<Vec<_>>().join(", ")).collect::<Vec<_>>().join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_a_sheet_is_read_however_it_is_divided() {
        let wanted = vec![["1/2 in".to_string(), "57 %".to_string()], ["US 200".into(), "4 %".into()]];
        for sheet in [
            "sieve, passing\n1/2 in, 57 %\nUS 200, 4 %\n",
            "1/2 in\t57\r\nUS 200\t4\t\n",
            "1/2 in: 57 %\n\n\"US 200\"; 4",
        ] {
            assert_eq!(rows(sheet).unwrap(), wanted, "{sheet:?}");
        }
        assert!(rows("half an inch").is_err() && rows("12").is_err());
    }

    #[test]
    fn identity_a_field_sheet_of_masses_becomes_shares() {
        let sheet = "pit,sieve,retained (kg)\nA,1 in,2\nA,1/2 in,3\nA,US 10,3\nA,pan,2\nB,1 in,4\nB,1/2 in,6\nB,US 10,6\nB,pan,4\n";
        let text = from_file("pits.csv", sheet.as_bytes(), UnitChoice::Us).unwrap();
        assert_eq!(text, "1 in, 80 %\n1/2 in, 50 %\n10 mesh US, 20 %");
        assert!(rows(&text).is_ok());
        assert!(!from_file("x.csv", b"\x00\x01", UnitChoice::Us).unwrap_err().is_empty());
        assert!(!from_file("x.csv", b"colour,smell\nred,none\n", UnitChoice::Us).unwrap_err().is_empty());
    }

    #[test]
    fn identity_comments_stay_when_a_sheet_is_put_in() {
        let opened = Opened {
            text: "# top\n[ground.gradation] # pit\nsample_mass = \"2 kg\"\npassing = [[\"1 in\", \"9 %\"]] # old\n# end\n".into(),
            folder: std::path::PathBuf::new(),
        };
        let next = put(&opened, "1/2 in, 57 %\nUS 200, 4 %").unwrap();
        for kept in ["# top", "# pit", "# old", "# end", "[\"1/2 in\", \"57 %\"]"] {
            assert!(next.text.contains(kept), "{}", next.text);
        }
        assert_eq!(listed(&next), "1/2 in, 57 %\nUS 200, 4 %");
    }
}
