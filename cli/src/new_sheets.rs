//! Field sheets beside a new scenario: CSV files or one workbook, with invented rows to write over.

use std::io::Write;
use std::path::{Path, PathBuf};

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, XlsxError};
use sim_core::field::templates::{self, Template};

/// How the sheets are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(crate) enum SheetKind {
    /// None: the samples stand in the scenario
    None,
    /// Three CSV files
    Csv,
    /// One workbook with three sheets
    Xlsx,
}

/// The files of a kind, each with its content. `stem` is the name of the scenario without ending.
pub(crate) fn files(kind: SheetKind, stem: &str) -> Result<Vec<(String, Vec<u8>)>, XlsxError> {
    Ok(match kind {
        SheetKind::None => Vec::new(),
        SheetKind::Csv => {
            templates::ALL.iter().map(|t| (format!("{stem}-{}.csv", t.name), t.csv().into_bytes())).collect()
        }
        SheetKind::Xlsx => vec![(format!("{stem}.xlsx"), workbook()?)],
    })
}

/// The scenario with its tables of samples pointing to the sheets.
pub(crate) fn point_to(text: &str, kind: SheetKind, stem: &str) -> String {
    let (Some(from), Some(to)) = (text.find("[ground.gradation]"), text.find("\n[[stage]]")) else {
        return text.to_string();
    };
    // The comment above the table belongs to the list that goes.
    let from = text[..from].trim_end().rfind("\n\n").map_or(from, |blank| blank + 2);
    let file = |name: &str| match kind {
        SheetKind::Xlsx => format!("{stem}.xlsx"),
        _ => format!("{stem}-{name}.csv"),
    };
    let tables = format!(
        "# Sieve tests, and the stones of the pit wall counted from `splice` up.\n\
         [ground.gradation]\nfile = \"{}\"\nstones_file = \"{}\"\nsplice = \"2 in\"\n\n\
         # Pans and bulk samples.\n[ground.gold]\nfile = \"{}\"\nfineness = \"0.86\"\n",
        file("sieves"),
        file("stones"),
        file("pans")
    );
    // Clay share and lump size come from the lumps that the sieve sheet lists.
    let head: String = text[..from]
        .lines()
        .filter(|l| !(l.starts_with("clay = ") || l.starts_with("clay_lump_size = ")))
        .flat_map(|l| [l, "\n"])
        .collect();
    format!("{head}{tables}{}", &text[to..])
}

fn workbook() -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    // A fixed date, so that the same program writes the same bytes.
    book.set_properties(&DocProperties::new().set_creation_datetime(&ExcelDateTime::from_ymd(2000, 1, 1)?));
    for template in &templates::ALL {
        sheet(&mut book, template)?;
    }
    book.save_to_buffer()
}

fn sheet(book: &mut Workbook, template: &Template) -> Result<(), XlsxError> {
    let bold = Format::new().set_bold();
    // Sizes such as 1/2 in must stay text, or the spreadsheet makes dates of them.
    let text = Format::new().set_num_format("@");
    let sheet = book.add_worksheet();
    sheet.set_name(template.name)?;
    sheet.write_string(0, 0, template.title)?;
    sheet.set_freeze_panes(2, 0)?;
    for (c, heading) in (0_u16..).zip(template.headings) {
        sheet.write_string_with_format(1, c, *heading, &bold)?;
        sheet.set_column_width(c, heading.chars().count().max(9) as f64 + 2.0)?;
    }
    for (r, row) in (2_u32..).zip(template.rows) {
        for (c, cell) in (0_u16..).zip(*row) {
            match cell.parse::<f64>() {
                _ if cell.is_empty() => continue,
                Ok(number) => sheet.write_number(r, c, number)?,
                Err(_) => sheet.write_string_with_format(r, c, *cell, &text)?,
            };
        }
    }
    Ok(())
}

/// Writes files into a folder, none of which may be there; on a failure those written are taken away again.
pub(crate) fn write_new(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<(), String> {
    let mut written: Vec<PathBuf> = Vec::new();
    for (name, content) in files {
        let path = folder.join(name);
        let outcome =
            std::fs::OpenOptions::new().write(true).create_new(true).open(&path).and_then(|mut f| f.write_all(content));
        if let Err(error) = outcome {
            for path in &written {
                let _ = std::fs::remove_file(path);
            }
            return Err(format!("cannot write {}: {error}", path.display()));
        }
        written.push(path);
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_same_kind_same_bytes_and_the_scenario_points_there() {
        assert_eq!(files(SheetKind::Xlsx, "a").unwrap(), files(SheetKind::Xlsx, "a").unwrap());
        let names: Vec<_> = files(SheetKind::Csv, "a").unwrap().into_iter().map(|f| f.0).collect();
        assert_eq!(names, ["a-sieves.csv", "a-stones.csv", "a-pans.csv"]);
        let text = point_to(include_str!("new_scenario.toml"), SheetKind::Csv, "a");
        assert!(text.contains("stones_file = \"a-stones.csv\"") && !text.contains("passing ="), "{text}");
    }
}
