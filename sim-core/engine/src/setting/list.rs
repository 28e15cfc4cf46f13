//! Settings that are lists: rows of quantities, and known words that may be counted.

use std::ops::Range;

use toml::de::DeValue;

use super::wanted::wanted;
use super::{Reader, Setting};
use washgraph_units::problem::did_you_mean;
use washgraph_units::quantity::Dimension;

/// Most repetitions of a word in a list, as in `3 x word`.
const MOST_OF_A_WORD: usize = 100;

impl Reader<'_> {
    /// Adds a word of a list, as often as `3 x word` says.
    pub(super) fn counted_word(
        &mut self,
        setting: &Setting,
        known: &[(&'static str, &'static str)],
        text: &str,
        place: Option<Range<usize>>,
        words: &mut Vec<String>,
    ) -> Option<()> {
        let (count, word) = match text.split_once(" x ") {
            Some((count, word)) => (count.trim().parse::<usize>().ok().filter(|n| *n <= MOST_OF_A_WORD), word.trim()),
            None => (Some(1), text.trim()),
        };
        let Some(count) = count else {
            self.problems.error(
                place,
                format!("`{text}` does not say how many"),
                "write e.g. \"2 x elbow-90-threaded\"",
            );
            return None;
        };
        if !known.iter().any(|k| k.0 == word) {
            let list = known.iter().map(|k| k.0).collect::<Vec<_>>().join(", ");
            let help = match did_you_mean(word, known.iter().map(|k| k.0)) {
                Some(near) => format!("did you mean `{near}`? known: {list}"),
                None => format!("known: {list}"),
            };
            self.problems.error(place, format!("`{word}` is not known in `{}`", setting.key), help);
            return None;
        }
        words.extend(std::iter::repeat_n(word.to_string(), count));
        Some(())
    }

    /// Reads a list of rows, each a list of quantities.
    pub(super) fn rows(
        &mut self,
        setting: &Setting,
        columns: &[Dimension],
        items: &toml::de::DeArray<'_>,
    ) -> Option<Vec<Vec<f64>>> {
        let mut rows = Vec::new();
        let errors = self.problems.error_count();
        for item in items.iter() {
            let cells: Option<Vec<(&str, Range<usize>)>> = match item.get_ref() {
                DeValue::Array(cells) => {
                    cells.iter().map(|c| c.get_ref().as_str().map(|text| (text, c.span()))).collect()
                }
                _ => None,
            };
            let Some(cells) = cells.filter(|c| c.len() == columns.len()) else {
                self.problems.error(
                    item.span(),
                    format!("each row of `{}` has {} texts in brackets", setting.key, columns.len()),
                    wanted(setting),
                );
                continue;
            };
            let mut row = Vec::with_capacity(columns.len());
            for ((text, at), dimension) in cells.into_iter().zip(columns) {
                let inner = at.start + 1..at.end.saturating_sub(1).max(at.start + 1);
                if let Some(parsed) = self.parse(text, *dimension, &inner, Some(inner.clone())) {
                    row.push(parsed.si);
                }
            }
            rows.push(row);
        }
        (self.problems.error_count() == errors).then_some(rows)
    }
}
