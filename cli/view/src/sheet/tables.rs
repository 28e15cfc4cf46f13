//! The same words as tables for other programs.

use crate::sheet::document::Document;
use crate::sheet::page::FIRST_START;
use crate::tables::{Cell, TableFile};

/// `numbers`, `bill` and `first-start`.
pub fn all(d: &Document) -> [TableFile; 3] {
    [numbers(d), bill(d), checks(d)]
}

fn numbers(d: &Document) -> TableFile {
    let mut table = TableFile::new(
        "numbers",
        &[
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
        ],
    );
    for p in &d.parts {
        for r in &p.rows {
            let (low, high) = r.spread.clone().unwrap_or_default();
            table.row([
                Cell::Number(p.number as f64),
                words(&p.title),
                words(&p.owner),
                words(&r.what),
                words(&r.value),
                words(r.metric.as_deref().unwrap_or("")),
                words(&low),
                words(&high),
                words(r.how_sure),
                words(&r.note),
                r.si.into(),
                words(r.si_unit.unwrap_or("")),
            ]);
        }
    }
    table
}

/// The first columns are those that the price list is read by.
fn bill(d: &Document) -> TableFile {
    let mut table = TableFile::new(
        "bill",
        &[
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
        ],
    );
    for l in &d.bill.lines {
        table.row([
            words(&l.item),
            words(&l.size),
            words(l.unit),
            l.price.into(),
            l.pace_per_h.into(),
            l.quantity.into(),
            l.cost.into(),
            words(&l.used_for),
            l.count.map(|n| n as f64).into(),
            words(&l.way),
            words(if l.counted { "yes" } else { "no" }),
            l.weight_kg.into(),
            words(&l.note),
        ]);
    }
    table
}

fn checks(d: &Document) -> TableFile {
    let mut table = TableFile::new("first-start", &["done", "part", "check"]);
    for (part, check) in d.checks() {
        table.row([Cell::Empty, words(&part.title), words(check)]);
    }
    for check in FIRST_START {
        table.row([Cell::Empty, Cell::Empty, words(check)]);
    }
    table
}

fn words(text: &str) -> Cell {
    if text.is_empty() { Cell::Empty } else { text.into() }
}
