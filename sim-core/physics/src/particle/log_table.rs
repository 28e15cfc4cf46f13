//! A settling law as a table: ln Re against ln of its driving group, so that no trial iterates.

use std::sync::Arc;

use crate::size::pchip::hermite;
use washgraph_units::math;

/// First node, ln of the driving group: Re about 1e-10, deep in the Stokes range.
const FIRST: f64 = -20.0;
/// Distance of the nodes. The cubic's error falls with its fourth power; 1/8 gives below 1e-7 relative in Re.
const STEP: f64 = 0.125;
/// Number of nodes; the last is ln group = 38, Re about 1e8 (a boulder of gold).
const NODES: usize = 465;

/// Table of y = ln Re against x = ln(Re^2 C), where C(Re) is a drag law: cubic Hermite, with values and slopes from the
/// exact solution at evenly spaced nodes.
///
/// Outside the nodes the line goes on with the end slope: 1 (Stokes) below, 1/2 (Newton) above, which is what the laws
/// themselves tend to.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LogTable {
    /// Value and slope at each node.
    nodes: Arc<[(f64, f64)]>,
}

impl LogTable {
    /// Builds the table of a drag law. Deterministic: three Newton steps at each node from the line through the node
    /// before, which the curve leaves by less than 1e-3.
    pub(super) fn new(drag: impl Fn(f64) -> f64) -> LogTable {
        // dx/dy = 2 + d ln C/d ln Re, by a central difference; its error is below 1e-8.
        const NUDGE: f64 = 1e-4;
        let ln_drag = |ln_re: f64| math::ln(drag(math::exp(ln_re)));
        let slope = |ln_re: f64| {
            let rise = ln_drag(ln_re + NUDGE) - ln_drag(ln_re - NUDGE);
            1.0 / (2.0 + rise / (2.0 * NUDGE))
        };
        // Stokes: Re^2 24/Re = group.
        let mut ln_re = FIRST - math::ln(24.0);
        let mut rise = 1.0;
        let nodes = (0..NODES)
            .map(|i| {
                let ln_group = FIRST + STEP * i as f64;
                if i > 0 {
                    ln_re += rise * STEP;
                }
                for _ in 0..3 {
                    ln_re -= slope(ln_re) * (2.0 * ln_re + ln_drag(ln_re) - ln_group);
                }
                rise = slope(ln_re);
                (ln_re, rise)
            })
            .collect();
        LogTable { nodes }
    }

    /// ln Re for ln of the driving group. NaN in, NaN out.
    #[inline]
    pub(super) fn ln_reynolds(&self, ln_group: f64) -> f64 {
        let place = (ln_group - FIRST) / STEP;
        // A NaN or a place before the table becomes node 0 (the cast saturates).
        let k = (place as usize).min(NODES - 2);
        let (y0, m0) = self.nodes[k];
        let (y1, m1) = self.nodes[k + 1];
        let x0 = FIRST + STEP * k as f64;
        let x1 = x0 + STEP;
        if ln_group < x0 {
            y0 + m0 * (ln_group - x0)
        } else if ln_group > x1 {
            y1 + m1 * (ln_group - x1)
        } else {
            hermite(ln_group, (x0, x1), (y0, y1), (m0, m1))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::particle::flake::bagheri_reduced_drag;
    use crate::particle::sphere::drag_cheng_2009;
    use crate::particle::terminal::{OPEN_REYNOLDS, solve_reynolds};

    #[test]
    fn identity_table_equals_the_exact_solution() {
        for drag in [bagheri_reduced_drag, drag_cheng_2009] {
            let table = LogTable::new(drag);
            for i in 0..3000 {
                let ln_group = -19.97 + 0.0193 * f64::from(i);
                let exact = solve_reynolds(math::exp(ln_group), drag, OPEN_REYNOLDS);
                let read = math::exp(table.ln_reynolds(ln_group));
                assert!((read / exact - 1.0).abs() < 1e-6, "{ln_group} {read} {exact}");
            }
            // Beyond both ends: Stokes and Newton.
            let below = math::exp(table.ln_reynolds(-25.0));
            assert!((below / (math::exp(-25.0) / 24.0) - 1.0).abs() < 1e-3);
            let slope = table.ln_reynolds(60.0) - table.ln_reynolds(58.0);
            assert!((slope - 1.0).abs() < 1e-2);
            assert!(table.ln_reynolds(f64::NAN).is_nan());
        }
    }
}
