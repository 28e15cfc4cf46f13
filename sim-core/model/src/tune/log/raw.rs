//! A log as rows, cut into observations, whatever the form of its file.

use std::ops::Range;

use sim_core::field::Sheet;

/// Most observations of a log. Each is weighed against thousands of trials.
pub(super) const MOST_ENTRIES: usize = 1_000;
/// Most rows of a sheet.
pub(super) const MOST_ROWS: usize = 20_000;

/// A setting of the day as typed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TypedSetting {
    pub path: String,
    pub text: String,
    /// Place in a TOML log.
    pub place: Option<Range<usize>>,
    /// File, row and column of a sheet, to go before a message; empty for TOML.
    pub before: String,
}

/// One observation.
#[derive(Debug, Clone)]
pub(super) struct RawEntry {
    /// Its rows in the sheet.
    pub rows: Range<usize>,
    pub date: String,
    pub what: String,
    pub settings: Vec<TypedSetting>,
}

/// A log cut into observations.
pub(super) struct RawLog {
    pub sheet: Sheet,
    pub entries: Vec<RawEntry>,
}

/// A date as year-month-day; `None` for anything else.
pub(super) fn date_of(text: &str) -> Option<String> {
    let text = sim_core::field::day_shown(text).unwrap_or(text);
    let mut parts = text.trim().split('-');
    let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
    if parts.next().is_some() || year.len() != 4 {
        return None;
    }
    let (y, m, d): (u32, u32, u32) = (year.parse().ok()?, month.parse().ok()?, day.parse().ok()?);
    let leap = y.is_multiple_of(4) && (!y.is_multiple_of(100) || y.is_multiple_of(400));
    let days = match m {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => return None,
    };
    (1..=days).contains(&d).then(|| format!("{y:04}-{m:02}-{d:02}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_dates_are_days_of_the_calendar() {
        assert_eq!(date_of("2026-6-2").as_deref(), Some("2026-06-02"));
        assert_eq!(date_of("2028-02-29").as_deref(), Some("2028-02-29"));
        for wrong in ["2026-02-29", "2026-13-01", "12.6.2026", "06-12-2026", "June 12", "2026-06", ""] {
            assert_eq!(date_of(wrong), None, "{wrong}");
        }
    }
}
