//! Lists of a scenario as text: words divided by commas, rows one a line with their cells divided by commas.

use toml_edit::{Array, Item, Value};

use super::path::PathError;

/// Most rows of a list that is typed.
const MOST_ROWS: usize = 200;

/// A list as text: a list of texts on one line, a list of rows one a line. `None` for anything else.
pub(super) fn listed(item: &Item) -> Option<String> {
    let list = item.as_array()?;
    let cell = |v: &Value| v.as_str().map_or_else(|| v.to_string().trim().to_string(), str::to_string);
    let line = |row: &Array| row.iter().map(cell).collect::<Vec<_>>().join(", ");
    if list.iter().all(Value::is_array) {
        Some(list.iter().filter_map(Value::as_array).map(line).collect::<Vec<_>>().join("\n"))
    } else {
        Some(line(list))
    }
}

/// Rows typed one a line, their cells divided by a tab, a semicolon or a comma, as a list of lists. A semicolon may stand
/// in the place of a line's end when cells are divided by commas.
pub(super) fn rows(text: &str, path: &str) -> Result<Value, PathError> {
    let by_comma = !text.contains('\t');
    let lines: Vec<&str> = if by_comma { text.split(['\n', ';']).collect() } else { text.lines().collect() };
    let mut list = Array::new();
    for line in lines.into_iter().map(str::trim).filter(|l| !l.is_empty()) {
        let cells = line.split(if by_comma { ',' } else { '\t' }).map(str::trim).filter(|c| !c.is_empty());
        list.push(cells.collect::<Array>());
        if list.len() > MOST_ROWS {
            return Err(PathError::new(format!("`{path}` has more than {MOST_ROWS} rows"), ""));
        }
    }
    Ok(Value::Array(list))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_rows_come_back_as_typed() {
        for text in
            ["0 gpm, 125 ft\n400 gpm, 108 ft", "0 gpm, 125 ft; 400 gpm, 108 ft", "0 gpm\t125 ft\n\n400 gpm\t108 ft\n"]
        {
            let value = rows(text, "pump.curve").unwrap();
            assert_eq!(listed(&Item::Value(value)).unwrap(), "0 gpm, 125 ft\n400 gpm, 108 ft");
        }
        assert!(rows(&"1, 2\n".repeat(300), "pump.curve").is_err());
        let words: Item = "[\"elbow\", \"2 x tee\"]".parse::<Value>().map(Item::Value).unwrap();
        assert_eq!(listed(&words).unwrap(), "elbow, 2 x tee");
    }
}
