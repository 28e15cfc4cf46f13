//! The owner's prices, read from a table: the bill that the sheet writes, with its price column filled in.

use sim_core::problem::did_you_mean;
use sim_core::quantity::{Dimension, convert_from};

use crate::sheet::bill::EACH;

/// How the amount of a line is measured.
#[derive(Debug, Clone, Copy)]
pub struct Measured {
    /// Kind of quantity.
    pub dimension: Dimension,
    /// Unit of the amount.
    pub unit: &'static str,
}

/// A row of the price file.
#[derive(Debug, Clone, PartialEq)]
struct Price {
    item: String,
    /// Empty: for any size.
    size: String,
    unit: String,
    price: Option<f64>,
    pace_per_h: Option<f64>,
    row: u64,
}

/// All prices.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Prices {
    rows: Vec<Price>,
}

impl Prices {
    /// Reads the text of a CSV file with the columns `item` and `price`, and if there `size`, `unit`, `pace_per_h`.
    pub fn parse(text: &str) -> Result<Prices, Vec<String>> {
        let text = text.trim_start_matches('\u{feff}');
        let mut reader = csv::ReaderBuilder::new().flexible(true).trim(csv::Trim::All).from_reader(text.as_bytes());
        let headers: Vec<String> = match reader.headers() {
            Ok(headers) => headers.iter().map(str::to_lowercase).collect(),
            Err(e) => return Err(vec![format!("row 1: {e}")]),
        };
        let column = |name: &str| headers.iter().position(|h| h == name);
        let (Some(item), Some(price)) = (column("item"), column("price")) else {
            return Err(vec![format!(
                "row 1: the columns `item` and `price` are wanted, found {}; start from the bill.csv that `sheet` writes",
                if headers.is_empty() { "none".to_string() } else { headers.join(", ") }
            )]);
        };
        let (size, unit, pace) = (column("size"), column("unit"), column("pace_per_h"));
        let (mut rows, mut faults) = (Vec::new(), Vec::new());
        for record in reader.records() {
            let record = match record {
                Ok(record) => record,
                Err(e) => {
                    faults.push(e.to_string());
                    continue;
                }
            };
            let row = record.position().map_or(0, csv::Position::line);
            let cell = |c: Option<usize>| c.and_then(|c| record.get(c)).unwrap_or("").to_string();
            let number =
                |name: &str, text: &str| positive(text).map_err(|why| format!("row {row}, column {name}: {why}"));
            let (p, pace_per_h) = (number("price", &cell(Some(price))), number("pace_per_h", &cell(pace)));
            let entry = Price {
                item: cell(Some(item)),
                size: cell(size),
                unit: cell(unit),
                price: p.clone().unwrap_or(None),
                pace_per_h: pace_per_h.clone().unwrap_or(None),
                row,
            };
            faults.extend([p.err(), pace_per_h.err()].into_iter().flatten());
            if entry.price.is_none() && entry.pace_per_h.is_none() {
                continue;
            }
            if entry.item.is_empty() {
                faults.push(format!("row {row}: a price without an item"));
            } else if !known_unit(&entry.unit) {
                faults.push(format!(
                    "row {row}, column unit: `{}` is not a unit of a price list; kg, lb, t, short ton, m, ft, m2, ft2, h or each",
                    entry.unit
                ));
            } else {
                rows.push(entry);
            }
        }
        if faults.is_empty() { Ok(Prices { rows }) } else { Err(faults) }
    }

    /// Price per unit of a line; a row of the same size goes before a row for any size.
    pub fn price(&self, item: &str, size: &str, measured: &Measured) -> Option<f64> {
        let of_item = || self.rows.iter().filter(|r| r.price.is_some() && same(&r.item, item));
        let row = of_item().find(|r| same(&r.size, size)).or_else(|| of_item().find(|r| r.size.is_empty()))?;
        let price = row.price?;
        if row.unit.is_empty() || row.unit == measured.unit {
            return Some(price);
        }
        // A price for another unit of the same kind, say a kilogram for a pound.
        let (theirs, ours) =
            (convert_from(1.0, measured.dimension, &row.unit)?, convert_from(1.0, measured.dimension, measured.unit)?);
        Some(price * ours / theirs)
    }

    /// The owner's own pace, times an hour.
    pub fn pace_per_h(&self, item: &str) -> Option<f64> {
        self.rows.iter().filter(|r| same(&r.item, item)).find_map(|r| r.pace_per_h)
    }

    /// Rows that no line asks for, or whose unit does not suit, in words.
    pub fn unused<'a>(&self, lines: impl Iterator<Item = (&'a str, &'a str)>) -> Vec<String> {
        let lines: Vec<(&str, &str)> = lines.collect();
        self.rows
            .iter()
            .filter(|r| !lines.iter().any(|(i, s)| same(&r.item, i) && (r.size.is_empty() || same(&r.size, s))))
            .map(|r| {
                let near = did_you_mean(&r.item, lines.iter().map(|l| l.0));
                let help = match near {
                    Some(near) if same(near, &r.item) => "; another size is wanted".to_string(),
                    Some(near) => format!("; did you mean `{near}`?"),
                    None => String::new(),
                };
                format!("row {}: nothing in this plant is called `{} {}`{help}", r.row, r.item, r.size.trim())
            })
            .collect()
    }
}

fn same(a: &str, b: &str) -> bool {
    a.trim().eq_ignore_ascii_case(b.trim())
}

fn known_unit(unit: &str) -> bool {
    unit.is_empty()
        || unit == EACH
        || [Dimension::Mass, Dimension::Length, Dimension::Area, Dimension::Time]
            .iter()
            .any(|d| convert_from(1.0, *d, unit).is_some())
}

/// A number above zero; `None` for an empty cell. A dollar sign and commas between thousands are let pass, a comma for the
/// decimal point is not: it would make a price a hundred times too large.
fn positive(text: &str) -> Result<Option<f64>, String> {
    let bare = text.trim_start_matches('$').trim();
    if bare.is_empty() {
        return Ok(None);
    }
    let whole = bare.split('.').next().unwrap_or("");
    let by_thousands = whole.split(',').skip(1).all(|group| group.len() == 3);
    let digits: String = if by_thousands { bare.replacen(whole, &whole.replace(',', ""), 1) } else { bare.to_string() };
    match digits.parse::<f64>() {
        Ok(x) if x.is_finite() && x > 0.0 => Ok(Some(x)),
        _ => Err(format!("`{text}` is not a number above zero, such as 1.25")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const KG: Measured = Measured { dimension: Dimension::Mass, unit: "kg" };

    #[test]
    fn property_prices_are_found_by_size_first_and_change_units() {
        let text = "\u{feff}item,size,unit,price,pace_per_h\nsteel plate,,lb,1.00,\nSteel Plate,6 mm thick,kg,\"$1,003.50\",\ntorch work,,h,,120\n";
        let prices = Prices::parse(text).expect("reads");
        assert_eq!(prices.price("steel plate", "6 mm thick", &KG), Some(1003.5));
        let by_pound = prices.price("steel plate", "8 mm thick", &KG).expect("for any size");
        assert!((by_pound - 2.204_622_62).abs() < 1e-6);
        assert_eq!(prices.price("torch work", "", &Measured { dimension: Dimension::Time, unit: "h" }), None);
        assert_eq!(prices.pace_per_h("torch work"), Some(120.0));
        assert_eq!(prices.price("pipe", "", &KG), None);
        assert_eq!(prices.unused([("steel plates", ""), ("torch work", "")].into_iter()).len(), 2);
    }

    #[test]
    fn property_all_faults_of_a_price_list_are_told_at_once() {
        let faults = Prices::parse("item,price,unit\npipe,-3,ft\nplate,NaN,lb\nmat,4,psi\n,5,m\nmat,\"1,25\",m2\n")
            .expect_err("faulty");
        assert_eq!(faults.len(), 5, "{faults:?}");
        assert!(faults[0].contains("row 2, column price: `-3`") && faults[2].contains("`psi`"));
        assert!(Prices::parse("what,cost\na,1\n").expect_err("columns")[0].contains("`item` and `price`"));
        assert!(Prices::parse("").is_err());
        assert!(Prices::parse("item,price\n").expect("no prices").rows.is_empty());
    }
}
