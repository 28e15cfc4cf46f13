//! Sizes carried through the drum: one point per size class, several where a class comes near a hole.
//!
//! Near the hole, a class is not one size: its small grains pass and its large ones stay. Carried as one point it would
//! pass or stay as a whole, and results would climb in stairs as the hole grows. So a class that reaches 0.4 to 1.2 of an
//! effective hole is cut into pieces evenly spaced in log size, each with an equal share of the class.

use super::error::DrumError;
use washgraph_units::math::{exp, ln};

/// Most size points that a drum carries.
pub const MAX_POINTS: usize = 96;
/// Pieces into which a class near a hole is cut.
pub const POINTS_PER_CLASS: usize = 6;
/// Smallest and largest size over the effective hole at which a class is cut.
pub const NEAR_HOLE: (f64, f64) = (0.4, 1.2);

/// One size class by its sieves, m. `to_m` may be infinite and `from_m` zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClassEdges {
    /// Aperture that retains the class.
    pub from_m: f64,
    /// Aperture that passes the class.
    pub to_m: f64,
}

impl ClassEdges {
    /// Middle size: geometric mean of the edges; for an open end one step of root 2 beyond its sieve (assumed).
    pub fn middle_m(self) -> f64 {
        if self.from_m <= 0.0 {
            self.to_m / core::f64::consts::SQRT_2
        } else if self.to_m.is_infinite() {
            self.from_m * core::f64::consts::SQRT_2
        } else {
            (self.from_m * self.to_m).sqrt()
        }
    }

    /// Upper edge for interpolation: that of the class, or twice the lower edge for the open top class (assumed).
    fn closed_to_m(self) -> f64 {
        if self.to_m.is_infinite() { 2.0 * self.from_m } else { self.to_m }
    }

    /// Share of the class, spread evenly in log size, that is smaller than `size_m`.
    ///
    /// The open bottom class counts as one size, its middle.
    pub fn share_below(self, size_m: f64) -> f64 {
        let to = self.closed_to_m();
        if self.from_m <= 0.0 {
            return if self.middle_m() < size_m { 1.0 } else { 0.0 };
        }
        if size_m <= self.from_m {
            0.0
        } else if size_m >= to {
            1.0
        } else {
            ln(size_m / self.from_m) / ln(to / self.from_m)
        }
    }
}

/// How size classes are laid out as points, small to large. Made when the plant is built.
#[derive(Debug, Clone)]
pub struct PointLayout {
    class: Vec<usize>,
    share: Vec<f64>,
    size_m: Vec<f64>,
    low_m: Vec<f64>,
    high_m: Vec<f64>,
    classes: usize,
}

impl PointLayout {
    /// One point per class, none cut.
    pub fn whole_classes(edges: &[ClassEdges]) -> Result<Self, DrumError> {
        Self::near_holes(edges, &[], 1)
    }

    /// Cuts the classes that come near one of the effective holes into `pieces` points.
    pub fn near_holes(edges: &[ClassEdges], effective_holes_m: &[f64], pieces: usize) -> Result<Self, DrumError> {
        let mut layout = PointLayout {
            class: Vec::new(),
            share: Vec::new(),
            size_m: Vec::new(),
            low_m: Vec::new(),
            high_m: Vec::new(),
            classes: edges.len(),
        };
        let mut last_m = 0.0;
        for (index, &edge) in edges.iter().enumerate() {
            let ordered = edge.from_m >= last_m && edge.to_m > edge.from_m;
            if !ordered {
                return Err(DrumError::BadValue {
                    what: "size class edge in m",
                    value: edge.from_m,
                    must: "in order from small to large, without overlap",
                });
            }
            last_m = edge.to_m;
            let (from, to) = (edge.from_m, edge.closed_to_m());
            let near = from > 0.0 && effective_holes_m.iter().any(|&a| to > NEAR_HOLE.0 * a && from < NEAR_HOLE.1 * a);
            let count = if near { pieces.max(1) } else { 1 };
            if count == 1 {
                layout.push(index, 1.0, edge.middle_m(), from, to);
                continue;
            }
            let step = ln(to / from) / count as f64;
            for piece in 0..count {
                let at = |position: f64| from * exp(step * position);
                let piece = piece as f64;
                layout.push(index, 1.0 / count as f64, at(piece + 0.5), at(piece), at(piece + 1.0));
            }
        }
        if layout.len() > MAX_POINTS {
            return Err(DrumError::TooMany {
                what: "size points of the gravel",
                found: layout.len(),
                most: MAX_POINTS,
            });
        }
        Ok(layout)
    }

    fn push(&mut self, class: usize, share: f64, size_m: f64, low_m: f64, high_m: f64) {
        self.class.push(class);
        self.share.push(share);
        self.size_m.push(size_m);
        self.low_m.push(low_m);
        self.high_m.push(high_m);
    }

    /// Number of points.
    pub fn len(&self) -> usize {
        self.class.len()
    }

    /// Whether there is no point.
    pub fn is_empty(&self) -> bool {
        self.class.is_empty()
    }

    /// Size of each point, m.
    pub fn size_m(&self) -> &[f64] {
        &self.size_m
    }

    /// Lower edge of each point, m.
    pub fn low_m(&self) -> &[f64] {
        &self.low_m
    }

    /// Upper edge of each point, m.
    pub fn high_m(&self) -> &[f64] {
        &self.high_m
    }

    /// Class that each point belongs to.
    pub fn class(&self) -> &[usize] {
        &self.class
    }

    /// Spreads a quantity per class over the points. Classes that are missing in `per_class` count as zero.
    pub fn spread(&self, per_class: &[f64], per_point: &mut [f64]) {
        for ((out, &class), &share) in per_point.iter_mut().zip(&self.class).zip(&self.share) {
            *out = per_class.get(class).map_or(0.0, |q| q * share);
        }
    }

    /// Sums a quantity per point into its classes.
    pub fn gather(&self, per_point: &[f64], per_class: &mut [f64]) {
        for out in per_class.iter_mut() {
            *out = 0.0;
        }
        for (&value, &class) in per_point.iter().zip(&self.class) {
            if let Some(out) = per_class.get_mut(class) {
                *out += value;
            }
        }
    }

    /// Number of classes laid out.
    pub fn classes(&self) -> usize {
        self.classes
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_points_of_a_class_add_up_to_it() {
        let edges = [
            ClassEdges { from_m: 0.0, to_m: 0.004 },
            ClassEdges { from_m: 0.004, to_m: 0.008 },
            ClassEdges { from_m: 0.008, to_m: f64::INFINITY },
        ];
        let layout = PointLayout::near_holes(&edges, &[0.01], 5).expect("layout");
        assert_eq!(layout.len(), 1 + 5 + 5);
        let mut points = [0.0; 11];
        layout.spread(&[1.0, 2.0, 3.0], &mut points);
        let mut classes = [0.0; 3];
        layout.gather(&points, &mut classes);
        for (a, b) in classes.iter().zip([1.0, 2.0, 3.0]) {
            assert!((a - b).abs() < 1e-14);
        }
        assert!((edges[1].share_below(0.004 * 2.0_f64.sqrt()) - 0.5).abs() < 1e-12);
        assert!(PointLayout::whole_classes(&[edges[1], edges[0]]).is_err());
    }
}
