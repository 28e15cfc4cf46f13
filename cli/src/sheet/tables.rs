//! The same words as CSV and as a workbook.

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, FormatAlign, Workbook, Worksheet, XlsxError};

use super::document::{Document, Row};
use super::page::FIRST_START;
use super::words;

/// A table of words; numbers are written as printed.
struct Sheet {
    name: &'static str,
    headers: &'static [&'static str],
    rows: Vec<Vec<String>>,
}

const NUMBERS: &[&str] = &[
    "part",
    "title",
    "belongs_to",
    "what",
    "value",
    "metric",
    "1_run_in_10_falls_below",
    "1_run_in_10_is_above",
    "how_sure",
    "note",
    "si",
    "si_unit",
];
/// The first columns are those that the price list is read by.
const BILL: &[&str] = &[
    "item",
    "size",
    "unit",
    "price",
    "pace_per_h",
    "quantity",
    "cost",
    "for",
    "count",
    "way",
    "in_sum",
    "weight_kg",
    "note",
];
const CHECKS: &[&str] = &["done", "part", "check"];

fn numbers(d: &Document) -> Sheet {
    let rows = d.parts.iter().flat_map(|p| {
        p.rows.iter().map(move |r: &Row| {
            let (low, high) = r.spread.clone().unwrap_or_default();
            vec![
                p.number.to_string(),
                p.title.clone(),
                p.owner.clone(),
                r.what.clone(),
                r.value.clone(),
                r.metric.clone().unwrap_or_default(),
                low,
                high,
                r.how_sure.to_string(),
                r.note.clone(),
                r.si.map_or(String::new(), |x| x.to_string()),
                r.si_unit.unwrap_or("").to_string(),
            ]
        })
    });
    Sheet { name: "numbers", headers: NUMBERS, rows: rows.collect() }
}

fn bill(d: &Document) -> Sheet {
    let optional = |x: Option<f64>| x.map_or(String::new(), |x| words::trimmed(format!("{x:.4}")));
    let rows = d.bill.lines.iter().map(|l| {
        vec![
            l.item.clone(),
            l.size.clone(),
            l.unit.to_string(),
            optional(l.price),
            optional(l.pace_per_h),
            words::trimmed(format!("{:.1}", l.quantity)),
            l.cost.map_or(String::new(), |c| format!("{c:.2}")),
            l.used_for.clone(),
            l.count.map_or(String::new(), |n| n.to_string()),
            l.way.clone(),
            (if l.counted { "yes" } else { "no" }).to_string(),
            l.weight_kg.map_or(String::new(), |w| format!("{w:.3}")),
            l.note.clone(),
        ]
    });
    Sheet { name: "bill", headers: BILL, rows: rows.collect() }
}

fn checks(d: &Document) -> Sheet {
    let own = d.checks().map(|(p, c)| vec![String::new(), p.title.clone(), c.clone()]);
    let all = FIRST_START.iter().map(|c| vec![String::new(), String::new(), (*c).to_string()]);
    Sheet { name: "first start", headers: CHECKS, rows: own.chain(all).collect() }
}

/// `numbers.csv` and `bill.csv`.
pub(super) fn csv_files(d: &Document) -> Result<Vec<(String, Vec<u8>)>, String> {
    [numbers(d), bill(d)]
        .iter()
        .map(|sheet| {
            let mut writer = csv::Writer::from_writer(Vec::new());
            writer.write_record(sheet.headers).map_err(|e| e.to_string())?;
            for row in &sheet.rows {
                writer.write_record(row).map_err(|e| e.to_string())?;
            }
            let bytes = writer.into_inner().map_err(|e| e.to_string())?;
            Ok((format!("{}.csv", sheet.name), bytes))
        })
        .collect()
}

/// The workbook.
pub(super) fn xlsx(d: &Document) -> Result<Vec<u8>, String> {
    workbook(d).map_err(|e| e.to_string())
}

fn workbook(d: &Document) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    // A fixed date: the same scenario gives the same bytes.
    let date = ExcelDateTime::from_ymd(2000, 1, 1)?;
    book.set_properties(&DocProperties::new().set_title(&d.title).set_creation_datetime(&date));
    for table in [numbers(d), bill(d), checks(d)] {
        let sheet = book.add_worksheet();
        sheet.set_name(table.name)?;
        fill(sheet, &table)?;
        match d.paper {
            "A4" => sheet.set_paper_size(9),
            _ => sheet.set_paper_size(1),
        };
        sheet.set_landscape();
        sheet.set_print_fit_to_pages(1, 0);
    }
    book.save_to_buffer()
}

fn fill(sheet: &mut Worksheet, table: &Sheet) -> Result<(), XlsxError> {
    let bold = Format::new().set_bold().set_text_wrap();
    let wrapped = Format::new().set_text_wrap().set_align(FormatAlign::Top);
    let is_number = |header: &str| {
        matches!(header, "si" | "price" | "pace_per_h" | "quantity" | "cost" | "count" | "weight_kg" | "part")
    };
    for (c, header) in table.headers.iter().enumerate() {
        let c = c as u16;
        sheet.write_string_with_format(0, c, *header, &bold)?;
        let widest =
            table.rows.iter().filter_map(|r| r.get(usize::from(c))).map(|x| x.chars().count()).max().unwrap_or(0);
        sheet.set_column_width(c, (widest.max(header.len()) as f64 + 2.0).clamp(6.0, 46.0))?;
    }
    sheet.set_freeze_panes(1, 0)?;
    for (r, row) in table.rows.iter().enumerate() {
        for (c, (cell, header)) in row.iter().zip(table.headers).enumerate() {
            let (r, c) = (r as u32 + 1, c as u16);
            match cell.parse::<f64>() {
                Ok(x) if is_number(header) && x.is_finite() => sheet.write_number_with_format(r, c, x, &wrapped)?,
                _ => sheet.write_string_with_format(r, c, cell, &wrapped)?,
            };
        }
    }
    Ok(())
}
