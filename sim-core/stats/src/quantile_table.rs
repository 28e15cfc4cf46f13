//! A distribution's inverse tabulated once and read in a few nanoseconds.
//!
//! The reading variable is t = min(u, 1 - u), cut into octaves (t from 2^-k to 2^-(k-1)) and each octave into equal cells,
//! so that the cell number is nothing but the leading bits of the floating-point number t: no logarithm, no search, and
//! cells that shrink with t in both tails. Inside a cell the quantile is a cubic that meets value and slope at both ends.

use std::sync::Arc;

use washgraph_units::math::exp;

/// Smallest tail probability that the table resolves: 2^-32 = 2.3e-10, one draw in four thousand million.
pub const SMALLEST_TAIL: f64 = 1.0 / 4_294_967_296.0;

/// Octaves from [`SMALLEST_TAIL`] to 1/2.
const OCTAVES: usize = 31;

/// Width of the stored fraction of a double.
const MANTISSA_BITS: u32 = 52;

/// Cubic of one cell in the cell's own coordinate 0..1, constant term first.
type Cubic = [f64; 4];

/// One node handed to the builder: the value of the quantile and its slope with respect to the tail probability t.
#[derive(Debug, Clone, Copy)]
pub struct Node {
    /// Quantile, or its natural logarithm in a logarithmic table.
    pub value: f64,
    /// d value / d t, where t is the probability of the tail on this node's side.
    pub slope: f64,
}

/// A tail of the distribution.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// t is the probability below.
    Lower,
    /// t is the probability above.
    Upper,
}

/// Tabulated inverse of a distribution with a fixed shape; evaluated by one uniform number.
#[derive(Debug, Clone, PartialEq)]
pub struct QuantileTable {
    /// Cells per octave = 2^bits.
    bits: u32,
    /// Whether the cells hold ln x.
    logarithmic: bool,
    scale: f64,
    mean: f64,
    /// Cells of the lower tail in order of rising t, then those of the upper tail.
    cells: Arc<[Cubic]>,
}

impl QuantileTable {
    /// Tabulates an inverse distribution.
    ///
    /// `bits`: 2^bits cells per octave. `logarithmic`: the nodes are ln x. `mean`: mean of the distribution, kept for
    /// reports. `node(side, t)` is called on each side in order of falling t, from 1/2 to [`SMALLEST_TAIL`], so that it may
    /// start from its previous answer. Slopes steeper than three times the secant are cut to that (Fritsch and Carlson
    /// 1980), which keeps every cell monotone.
    pub fn build(bits: u32, logarithmic: bool, mean: f64, mut node: impl FnMut(Side, f64) -> Node) -> Self {
        let mut cells = side_cells(bits, |t| node(Side::Lower, t));
        cells.extend(side_cells(bits, |t| node(Side::Upper, t)));
        Self { bits, logarithmic, scale: 1.0, mean, cells: cells.into() }
    }

    /// Value below which the share `u` of the distribution lies.
    ///
    /// `u` in [0, 1]; tails smaller than [`SMALLEST_TAIL`] are read at [`SMALLEST_TAIL`]. NaN outside [0, 1].
    #[inline]
    pub fn quantile(&self, u: f64) -> f64 {
        // Both tails sit in one array, so that the side is a number to add and not a branch that is wrong half the time.
        let other = 1.0 - u;
        let t = if u < other { u } else { other };
        if !(t >= 0.0) {
            return f64::NAN;
        }
        let t = if t < SMALLEST_TAIL { SMALLEST_TAIL } else { t };
        let side = usize::from(u > 0.5) * (self.cells.len() / 2);
        let rest = MANTISSA_BITS - self.bits;
        let steps = t.to_bits() - SMALLEST_TAIL.to_bits();
        let s = (steps & ((1 << rest) - 1)) as i64 as f64 * (1.0 / (1_u64 << rest) as f64);
        match self.cells.get(side + (steps >> rest) as usize) {
            Some(c) => {
                let y = c[0] + s * (c[1] + s * (c[2] + s * c[3]));
                self.scale * if self.logarithmic { exp(y) } else { y }
            }
            None => f64::NAN,
        }
    }

    /// Mean of the distribution.
    pub fn mean(&self) -> f64 {
        self.scale * self.mean
    }

    /// The same distribution of a quantity `factor` times as large (`factor` > 0).
    pub fn scaled_by(mut self, factor: f64) -> Self {
        self.scale *= factor;
        self
    }

    /// Bytes held by the cells.
    pub fn bytes(&self) -> usize {
        self.cells.len() * size_of::<Cubic>()
    }
}

/// Cells of one tail in order of rising t, closed by a constant cell that answers t = 1/2 exactly.
fn side_cells(bits: u32, mut node: impl FnMut(f64) -> Node) -> Vec<Cubic> {
    let count = OCTAVES << bits;
    let step = 1_u64 << (MANTISSA_BITS - bits);
    let at = |i: usize| f64::from_bits(SMALLEST_TAIL.to_bits() + i as u64 * step);
    let mut cells = vec![[0.0; 4]; count + 1];
    let mut right = node(at(count));
    if let Some(last) = cells.last_mut() {
        *last = [right.value, 0.0, 0.0, 0.0];
    }
    for i in (0..count).rev() {
        let left = node(at(i));
        cells[i] = hermite(left, right, at(i + 1) - at(i));
        right = left;
    }
    cells
}

/// Cubic through two nodes that keeps their slopes as far as monotony allows.
fn hermite(left: Node, right: Node, width: f64) -> Cubic {
    let rise = right.value - left.value;
    let limit = |slope: f64| {
        let d = slope * width;
        if d * rise <= 0.0 {
            0.0
        } else if d.abs() > 3.0 * rise.abs() {
            3.0 * rise
        } else {
            d
        }
    };
    let (d0, d1) = (limit(left.slope), limit(right.slope));
    [left.value, d0, 3.0 * rise - 2.0 * d0 - d1, d0 + d1 - 2.0 * rise]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_exponential_inverse_is_reproduced() {
        // x = -ln(1 - u): in the lower tail -ln(1 - t), in the upper tail -ln t.
        let table = QuantileTable::build(3, false, 1.0, |side, t| match side {
            Side::Lower => Node { value: -washgraph_units::math::ln_1p(-t), slope: 1.0 / (1.0 - t) },
            Side::Upper => Node { value: -washgraph_units::math::ln(t), slope: -1.0 / t },
        });
        let mut last = -1.0;
        for i in 1..100_000 {
            let u = f64::from(i) / 100_000.0;
            let x = table.quantile(u);
            assert!((x / -washgraph_units::math::ln_1p(-u) - 1.0).abs() < 6e-6, "u = {u}");
            assert!(x >= last);
            last = x;
        }
        assert_eq!(table.quantile(0.5), std::f64::consts::LN_2);
        assert_eq!(table.quantile(1.0), table.quantile(1.0 - 1e-11));
        assert!(table.quantile(-0.1).is_nan() && table.quantile(1.1).is_nan() && table.quantile(f64::NAN).is_nan());
        assert_eq!(table.clone().scaled_by(2.0).quantile(0.3), 2.0 * table.quantile(0.3));
    }
}
