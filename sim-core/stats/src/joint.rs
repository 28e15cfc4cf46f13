//! Inputs that are drawn together: each row holds, for some inputs of a plant, where they stand in their spreads in one
//! possible truth. A trial takes a whole row, so that what the plant's own results say of several inputs at once (more
//! gold in the ground *or* a better box) stays together; all other inputs are drawn as always.
//!
//! A row holds numbers between 0 and 1, as the generator gives them: 0.1 is the value that an input falls below in one run
//! in ten. Of a vector input (the gold by class, the gradation) single elements may stand in a row.

use std::ops::Range;

use crate::address::Address;

/// Which inputs of a plant stand in which column of a row.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Places {
    /// Column of each scalar input, by its number; `None` for an input that is drawn by itself.
    columns: Vec<Option<usize>>,
    /// Column, vector input, element.
    elements: Vec<(usize, Address, usize)>,
}

impl Places {
    /// Puts scalar input number `index` into a column.
    pub fn put_scalar(&mut self, index: usize, column: usize) {
        if self.columns.len() <= index {
            self.columns.resize(index + 1, None);
        }
        if let Some(slot) = self.columns.get_mut(index) {
            *slot = Some(column);
        }
    }

    /// Puts an element of a vector input into a column.
    pub fn put_element(&mut self, vector: Address, element: usize, column: usize) {
        self.elements.push((column, vector, element));
    }

    /// The number that a row gives to a scalar input, if it has one for it.
    #[inline]
    pub fn number_of(&self, index: usize, row: &[f64]) -> Option<f64> {
        let column = self.columns.get(index).copied().flatten()?;
        row.get(column).copied()
    }

    /// Column and number of each scalar input in a row.
    pub fn scalars(&self) -> impl Iterator<Item = (usize, usize)> + '_ {
        self.columns.iter().enumerate().filter_map(|(index, column)| column.map(|c| (c, index)))
    }

    /// Column, vector input and element of each element in a row.
    pub fn elements(&self) -> impl Iterator<Item = (usize, Address, usize)> + '_ {
        self.elements.iter().copied()
    }

    /// Whether nothing stands in a row.
    pub fn is_empty(&self) -> bool {
        self.elements.is_empty() && self.columns.iter().all(Option::is_none)
    }
}

/// Rows of numbers, all equally likely.
#[derive(Debug, Clone, PartialEq)]
pub struct JointDraws {
    /// What stands in the columns.
    pub places: Places,
    width: usize,
    numbers: Vec<f64>,
    middles: Vec<f64>,
}

impl JointDraws {
    /// Rows of `width` numbers, one after another; `None` when they are no whole rows, or none.
    pub fn new(places: Places, width: usize, numbers: Vec<f64>) -> Option<JointDraws> {
        if width == 0 || numbers.is_empty() || !numbers.len().is_multiple_of(width) {
            return None;
        }
        let rows = numbers.len() / width;
        let middles = (0..width)
            .map(|c| {
                let mut column: Vec<f64> = numbers.iter().skip(c).step_by(width).copied().collect();
                column.sort_by(f64::total_cmp);
                let at = |i: usize| column.get(i).copied().unwrap_or(0.5);
                0.5 * (at((rows - 1) / 2) + at(rows / 2))
            })
            .collect();
        Some(JointDraws { places, width, numbers, middles })
    }

    /// Number of rows.
    pub fn rows(&self) -> usize {
        self.numbers.len() / self.width
    }

    /// Numbers in a row.
    pub fn width(&self) -> usize {
        self.width
    }

    /// Row number `i`; empty past the last.
    pub fn row(&self, i: usize) -> &[f64] {
        self.numbers.get(self.span(i)).unwrap_or(&[])
    }

    /// The row that a number between 0 and 1 picks.
    #[inline]
    pub fn row_of(&self, u: f64) -> &[f64] {
        let rows = self.rows();
        self.row(((u * rows as f64) as usize).min(rows - 1))
    }

    /// Middle of each column.
    pub fn middles(&self) -> &[f64] {
        &self.middles
    }

    /// Middle of a column.
    pub fn middle(&self, column: usize) -> f64 {
        self.middles.get(column).copied().unwrap_or(0.5)
    }

    /// Puts the middle of a column elsewhere: where columns mean something only together.
    pub fn set_middle(&mut self, column: usize, u: f64) {
        if let Some(middle) = self.middles.get_mut(column) {
            *middle = u;
        }
    }

    fn span(&self, i: usize) -> Range<usize> {
        i * self.width..(i + 1) * self.width
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Spread;
    use crate::draw::{Draws, Input, InputList, Nature, Swap, UncertainInput};
    use std::sync::Arc;
    use washgraph_units::quantity::Dimension;

    fn list() -> InputList {
        let mut list = InputList::default();
        for name in ["drum/a", "drum/b", "hopper/rate"] {
            list.add(UncertainInput {
                name: name.into(),
                meaning: String::new(),
                dimension: Dimension::Number,
                spread: Spread::uniform(0.0, 1.0).unwrap(),
                nature: Nature::Ignorance,
                source: String::new(),
            })
            .unwrap();
        }
        list
    }

    fn places() -> Places {
        let mut places = Places::default();
        places.put_scalar(0, 0);
        places.put_scalar(1, 1);
        places.put_element(Address::of("ground/gold"), 0, 2);
        places.put_element(Address::of("ground/gradation"), 3, 3);
        places
    }

    fn all(draws: &mut Draws) -> Vec<f64> {
        let mut out: Vec<f64> = (0..3).map(|i| Input::Drawn(i).get(draws)).collect();
        let mut five = [0.0; 5];
        draws.uniforms(Address::of("ground/gold"), &mut five[..1]);
        out.push(five[0]);
        draws.uniforms(Address::of("ground/gradation"), &mut five);
        out.extend(five);
        out
    }

    #[test]
    fn identity_a_row_of_the_numbers_that_a_trial_has_anyway_changes_nothing() {
        let (list, places) = (list(), places());
        let mut draws = Draws::new(7, &list);
        let mut row = [0.0; 4];
        draws.numbers_at(11, &list, &places, &mut row);
        draws.set_trial(11, &list);
        let plain = all(&mut draws);
        assert_eq!([plain[0], plain[1], plain[3], plain[7]], row);
        draws.set_given(11, &list, &places, &row);
        assert_eq!(all(&mut draws), plain);
        draws.set_given(12, &list, &places, &row);
        let other = all(&mut draws);
        draws.set_trial(12, &list);
        let plain = all(&mut draws);
        assert_eq!([other[0], other[1], other[3], other[7]], row);
        assert_eq!([other[2], other[4], other[8]], [plain[2], plain[4], plain[8]]);
    }

    #[test]
    fn property_a_trial_takes_one_whole_row_and_a_swap_that_of_the_other_trial() {
        let mut list = list();
        // Columns that can be told: row i holds i + 0.1, 0.2, 0.3, 0.4 over 8.
        let numbers = (0..8).flat_map(|i| [0.1, 0.2, 0.3, 0.4].map(|x| (i as f64 + x) / 8.0)).collect();
        let plain = {
            let mut draws = Draws::new(7, &list);
            draws.set_trial(5, &list);
            all(&mut draws)
        };
        list.set_joint(JointDraws::new(places(), 4, numbers).map(Arc::new));
        let mut draws = Draws::new(7, &list);
        let mut seen = [0; 8];
        let mut row_in = |draws: &mut Draws| {
            let x = all(draws);
            let i = (x[0] * 8.0).floor();
            for (value, part) in [x[0], x[1], x[3], x[7]].into_iter().zip([0.1, 0.2, 0.3, 0.4]) {
                assert!((value * 8.0 - i - part).abs() < 1e-12, "{x:?}");
            }
            seen[i as usize] += 1;
            i
        };
        for trial in 0..400 {
            draws.set_trial(trial, &list);
            row_in(&mut draws);
        }
        assert!(seen.iter().all(|n| (25..=75).contains(n)), "{seen:?}");
        draws.set_trial(5, &list);
        let (here, untouched) = (all(&mut draws), plain[2]);
        assert_eq!(here[2], untouched);
        draws.set_trial(9, &list);
        let there = all(&mut draws);
        let swap = Swap::of(&list, |i| i.name == "drum/b", &["ground/gold"]);
        draws.set_trial_swapped(5, 9, &swap, &list);
        let mixed = all(&mut draws);
        assert_eq!([mixed[0], mixed[1], mixed[3], mixed[7]], [here[0], there[1], there[3], here[7]]);
        // In the middle case the middles of the columns.
        draws.set_middle(&list);
        assert!((Input::Drawn(0).get(&draws) - 3.6 / 8.0).abs() < 1e-12);
        assert_eq!(draws.middle_of(Address::of("ground/gold"), 0), Some(3.8 / 8.0));
    }
}
