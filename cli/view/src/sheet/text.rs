//! The short form for the terminal: the leading numbers of each part, the bill, what is missing.

use std::fmt::Write as _;

use crate::sheet::document::{Document, Row};
use crate::sheet::page::unit_words;
use crate::sheet::words;

/// The sheet for the terminal.
pub fn text(d: &Document) -> String {
    let mut t = format!("{}\nShop sheet, {}.\n", d.title, unit_words(d.choice));
    for part in &d.parts {
        let _ = writeln!(t, "\n{}. {}", part.number, part.title);
        for r in part.rows.iter().filter(|r| r.lead) {
            let _ = writeln!(t, "   {:<42} {}", r.what, value(r));
        }
    }
    for template in &d.templates {
        let _ = writeln!(
            t,
            "\nTemplate, {}: {} holes, {} by {} sheets of {} paper at true scale.",
            template.title,
            words::count(template.holes),
            template.sheets_across,
            template.sheets_down,
            d.paper
        );
    }
    let b = &d.bill;
    if b.any_price() {
        let _ = writeln!(t, "\nCost of what is priced: {}.", words::money(b.sum));
    }
    if !b.unpriced.is_empty() {
        let _ = writeln!(
            t,
            "\nNo price given for {} things to buy or do; put yours into the column `price` of bill.csv and give it with --prices.",
            b.unpriced.len()
        );
    }
    let _ = writeln!(t, "Weight of the pieces whose weight is known: {}.", b.weight);
    for choice in &b.choices {
        let _ = writeln!(t, "{}: {}.", choice.title, choice.words);
    }
    for unused in &b.unused_prices {
        let _ = writeln!(t, "Price list, {unused}.");
    }
    let _ = writeln!(
        t,
        "Guards, lock-out, lifting, hot work, hydraulic oil: read the cautions on the sheet before you start."
    );
    t
}

fn value(r: &Row) -> String {
    match &r.metric {
        Some(metric) => format!("{} ({metric})", r.value),
        None => r.value.clone(),
    }
}
