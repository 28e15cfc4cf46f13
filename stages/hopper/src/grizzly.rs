//! What stays on the bars and what clings to it.

use sim_core::math::ln;

/// Share of a size class that stays on bars with a gap, by the share of the class (in log size) above the gap.
///
/// share = ln(to/gap) / ln(to/from), within 0 and 1. Sizes and gap in m, `from` < `to`. Source: common practice, no source
/// (the intermediate axis of a stone decides; a class is spread evenly over log size). Without a gap nothing stays.
pub fn share_on_bars(from_m: f64, to_m: f64, gap_m: f64) -> f64 {
    if !(gap_m > 0.0) || to_m <= gap_m {
        0.0
    } else if from_m >= gap_m {
        1.0
    } else {
        ln(to_m / gap_m) / ln(to_m / from_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_half_of_a_class_in_log_size() {
        assert!((share_on_bars(0.1, 0.4, 0.2) - 0.5).abs() < 1e-12);
        assert_eq!(share_on_bars(0.1, 0.2, 0.2), 0.0);
        assert_eq!(share_on_bars(0.2, 0.4, 0.2), 1.0);
        assert_eq!(share_on_bars(0.2, 0.4, f64::NAN), 0.0);
    }
}
