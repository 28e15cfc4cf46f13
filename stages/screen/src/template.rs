//! The holes of the plate laid out on the flat sheet that rolls up to the shell.

use sim_core::shop::{HoleGrid, Opening};

use crate::open_area::Pattern;

/// Least steel between two holes over the hole, so that a rounded-up count cannot run holes into each other. Our choice.
const LEAST_WEB: f64 = 0.02;

/// Where the holes come on the flat plate: x around the drum, y along it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layout {
    /// The holes. The odd rows have one hole on the seam.
    pub holes: HoleGrid,
    /// Size of the flat plate, m.
    pub plate_m: (f64, f64),
    /// Plate without holes at each end, edge to first hole, m.
    pub edge_m: f64,
}

impl Layout {
    /// Area of the holes over the area of the plate.
    pub fn open_share(&self) -> f64 {
        self.holes.area_m2() / (self.plate_m.0 * self.plate_m.1)
    }

    /// Holes that the seam runs through.
    pub fn on_seam(&self) -> u64 {
        if self.holes.shift_m > 0.0 { u64::from(self.holes.rows / 2) } else { 0 }
    }
}

/// Lays rows of holes around the girth: a whole number in each row, the pitch around stretched or pressed to suit, the
/// rows as far apart as the pattern asks for that pitch; what the length leaves over goes to both ends alike.
///
/// n = round(girth/pitch), step = girth/n, row step = step sqrt(3)/2 (round staggered), step (square, in line), slot
/// length + bridge (slots; the bridge as wide as the steel between two slots). m. Source: geometry. `None` when no row
/// fits between the solid edges.
pub fn lay_out(
    opening: Opening,
    pattern: Pattern,
    pitch_m: f64,
    girth_m: f64,
    length_m: f64,
    solid_edge_m: f64,
) -> Option<Layout> {
    let (half_x, half_y) = opening.half_m();
    let mut columns = (girth_m / pitch_m).round().max(1.0);
    if girth_m / columns < 2.0 * half_x * (1.0 + LEAST_WEB) {
        columns = (girth_m / pitch_m).floor().max(1.0);
    }
    let step = girth_m / columns;
    let row_step = match (opening, pattern) {
        (Opening::Round(_), Pattern::Staggered) => step * 3.0_f64.sqrt() / 2.0,
        (Opening::Slot(width, length), _) => length + (step - width),
        _ => step,
    };
    let span = length_m - 2.0 * solid_edge_m - 2.0 * half_y;
    if !(span >= 0.0 && row_step > 0.0) {
        return None;
    }
    let rows = (span / row_step * (1.0 + 1e-12)).floor() + 1.0;
    let first_y = 0.5 * (length_m - (rows - 1.0) * row_step);
    let shift = if pattern == Pattern::Staggered { 0.5 * step } else { 0.0 };
    Some(Layout {
        holes: HoleGrid {
            opening,
            // The seam runs midway between two holes of the even rows.
            first_m: (0.5 * step, first_y),
            columns: columns as u32,
            rows: rows as u32,
            column_step_m: step,
            row_step_m: row_step,
            shift_m: shift,
        },
        plate_m: (girth_m, length_m),
        edge_m: first_y - half_y,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::open_area::{round_in_line, round_staggered};

    #[test]
    fn property_whole_rows_close_around_the_drum_and_stay_on_the_plate() {
        for (hole, pitch, girth, length, edge) in [
            (0.0127, 0.01905, 2.893, 1.829, 0.0254),
            (0.0254, 0.0381, 3.83, 0.4, 0.03),
            (0.006, 0.0061, 1.0, 1.0, 0.0),
            (0.1, 0.15, 0.4, 0.3, 0.02),
        ] {
            for pattern in [Pattern::Staggered, Pattern::InLine] {
                let plan = lay_out(Opening::Round(hole), pattern, pitch, girth, length, edge).expect("fits");
                let h = plan.holes;
                assert!((f64::from(h.columns) * h.column_step_m - girth).abs() < 1e-12);
                assert!(h.column_step_m > hole);
                assert!(plan.edge_m >= edge - 1e-12 && plan.edge_m < edge + h.row_step_m);
                for (_, y) in h.centres_m() {
                    assert!(y - 0.5 * hole >= edge - 1e-9 && y + 0.5 * hole <= length - edge + 1e-9);
                }
                assert!((plan.open_share() * girth * length - h.count() as f64 * h.opening.area_m2()).abs() < 1e-12);
            }
        }
    }

    /// Six neighbours at one distance, also across the seam.
    #[test]
    fn identity_staggered_neighbours_stand_at_one_distance() {
        let plan = lay_out(Opening::Round(0.0127), Pattern::Staggered, 0.01905, 2.893, 1.0, 0.02).expect("fits");
        let h = plan.holes;
        let (a, b) = (h.centre_m(3, 2), h.centre_m(3, 3));
        let apart = ((a.0 - b.0) * (a.0 - b.0) + (a.1 - b.1) * (a.1 - b.1)).sqrt();
        assert!((apart - h.column_step_m).abs() < 1e-12);
        let last = h.centre_m(h.columns - 1, 1);
        assert!((last.0 - plan.plate_m.0).abs() < 1e-12, "the last hole of an odd row lies on the seam");
        assert_eq!(plan.on_seam(), u64::from(h.rows / 2));
    }

    /// A long plate without solid edges comes near the open area of an endless one.
    #[test]
    fn identity_long_plate_has_the_open_area_of_the_pattern() {
        let plan = lay_out(Opening::Round(0.01), Pattern::Staggered, 0.015, 0.015 * 100.0, 50.0, 0.0).expect("fits");
        assert!((plan.open_share() / round_staggered(0.01, 0.015) - 1.0).abs() < 1e-3);
        let plan = lay_out(Opening::Round(0.01), Pattern::InLine, 0.015, 0.015 * 100.0, 50.0, 0.0).expect("fits");
        assert!((plan.open_share() / round_in_line(0.01, 0.015) - 1.0).abs() < 1e-3);
    }

    #[test]
    fn property_plate_too_short_for_a_row_has_no_layout() {
        assert!(lay_out(Opening::Round(0.05), Pattern::InLine, 0.075, 2.0, 0.08, 0.02).is_none());
        assert!(lay_out(Opening::Round(0.05), Pattern::InLine, 0.075, 2.0, f64::NAN, 0.02).is_none());
    }
}
