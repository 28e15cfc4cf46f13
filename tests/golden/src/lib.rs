//! Golden files: numbers of this program that tests recompute and compare with a text file beside them. They guard the
//! code and say nothing of the world, so they are no rows of `validate`.
//!
//! A file has the columns `id,value,relative band,unit`; a line that starts with `#` says where the numbers below it come
//! from. With `UPDATE_GOLDEN=1` in the environment a value outside its band is written anew, a row that the file lacks is
//! added, and a row that nobody computes any more is dropped; all other lines stay as they are.

use std::collections::BTreeMap;
use std::fmt::Write as _;

/// Name of a number, and what recomputes it in the unit of its row.
pub type Row = (&'static str, fn() -> f64);

/// Band of a row that is added, as a share of its value.
const NEW_BAND: f64 = 1e-6;

/// Compares the numbers of a room with its golden file, or writes the file anew (`UPDATE_GOLDEN=1`).
///
/// # Panics
/// Where a number lies outside its band or is not a number, stands twice, or stands on one side alone; where the file can
/// not be read or written.
pub fn compare(path: &str, rooms: &[&[Row]]) {
    let kept = std::fs::read_to_string(path).unwrap_or_default();
    let computed: BTreeMap<&str, f64> = rooms.concat().into_iter().map(|(id, number)| (id, number())).collect();
    assert_eq!(computed.len(), rooms.concat().len(), "{path}: one name stands for two numbers");
    let (anew, misses) = compared(&kept, &computed);
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        let written = std::fs::write(path, anew);
        assert!(written.is_ok(), "{path}: {written:?}");
    } else {
        assert!(misses.is_empty(), "{path} (UPDATE_GOLDEN=1 writes it anew):\n{}", misses.join("\n"));
    }
}

/// The file as it should be, and what was wrong with it.
fn compared(kept: &str, computed: &BTreeMap<&str, f64>) -> (String, Vec<String>) {
    let mut waiting = computed.clone();
    let (mut anew, mut misses) = (String::new(), Vec::new());
    for line in kept.lines() {
        let mut line = line.to_string();
        if let Some((id, value, band, unit)) = row(&line) {
            let Some(now) = waiting.remove(id) else {
                misses.push(format!("{id}: nobody computes it, or it stands twice"));
                continue;
            };
            // Written so that a NaN misses.
            if !((now - value).abs() <= band * value.abs()) {
                misses.push(format!("{id}: {now} {unit}, kept is {value} within {band}"));
                line = format!("{id},{now},{band},{unit}");
            }
        }
        anew.push_str(&line);
        anew.push('\n');
    }
    for (id, now) in waiting {
        misses.push(format!("{id}: {now}, not in the file"));
        let _ = writeln!(anew, "{id},{now},{NEW_BAND},-");
    }
    (anew, misses)
}

/// Name, value, band and unit of a line; nothing for a remark or the head.
fn row(line: &str) -> Option<(&str, f64, f64, &str)> {
    let mut cells = line.split(',');
    let (id, value, band, unit) = (cells.next()?, cells.next()?, cells.next()?, cells.next()?);
    Some((id, value.parse().ok()?, band.parse().ok()?, unit)).filter(|_| !line.starts_with('#'))
}

#[cfg(test)]
mod tests {
    use super::*;

    const KEPT: &str = "# by hand\nid,value,relative band,unit\na,2,0.01,m\nb,3,0.01,s\nc,4,0.01,-\n";

    #[test]
    fn identity_a_number_within_its_band_leaves_the_file_alone() {
        let computed = BTreeMap::from([("a", 2.01), ("b", 3.0), ("c", 3.97)]);
        assert_eq!(compared(KEPT, &computed), (KEPT.to_string(), Vec::new()));
    }

    #[test]
    fn identity_moved_lacking_and_idle_rows_are_told_and_written_anew() {
        let computed = BTreeMap::from([("a", 2.1), ("b", f64::NAN), ("d", 7.0)]);
        let (anew, misses) = compared(KEPT, &computed);
        assert_eq!(misses.len(), 4, "{misses:?}");
        assert_eq!(anew, "# by hand\nid,value,relative band,unit\na,2.1,0.01,m\nb,NaN,0.01,s\nd,7,0.000001,-\n");
    }
}
