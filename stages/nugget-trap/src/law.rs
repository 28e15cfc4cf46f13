//! What a pocket takes and keeps.

use sim_core::check::{Band, Check, Kind, Status};
use sim_core::formula::{Formula, Symbol};
use sim_core::quantity::Dimension;

/// Chance that a piece of gold which comes to the shell falls into a pocket, p = f (1 - I/a)^2; 0 for I >= a.
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | f | share of the shell that is open pocket | - | 0 to 0.6 |
/// | I | intermediate axis of the piece | m | >= 0 |
/// | a | clear opening of the pocket | m | > 0 |
///
/// Source: the argument of Gaudin 1939 (from memory) for a hole, taken over for a pocket; assumed.
pub fn chance_into_pocket(intermediate_m: f64, opening_m: f64, pocket_share: f64) -> f64 {
    let miss = (1.0 - intermediate_m / opening_m).max(0.0);
    pocket_share * miss * miss
}

/// Share of the pieces in a pocket that stay until the clean-out, h_0 d^3/(d^3 + d_h^3).
///
/// | symbol | meaning | unit | range |
/// |---|---|---|---|
/// | h_0 | share that stays of large pieces, although stones fill the pockets | - | 0.2 to 0.9 |
/// | d | size of the piece | m | >= 0 |
/// | d_h | size that stays half as well | m | 0.001 to 0.01 |
///
/// Assumed here: at the top of its turn a pocket hangs upside down, and only pieces wedged among stones stay; the weight of a
/// piece goes with d^3. No measurement is known.
pub fn held_share(size_m: f64, hold: f64, half_m: f64) -> f64 {
    let cube = size_m * size_m * size_m;
    hold * cube / (cube + half_m * half_m * half_m)
}

const fn symbol(
    name: &'static str,
    meaning: &'static str,
    dimension: Dimension,
    unit: &'static str,
    range: (f64, f64),
    default: Option<f64>,
) -> Symbol {
    Symbol::new(name, meaning, dimension, unit).valid(range).usual_or_none(default)
}

/// Handbook entry.
pub const FORMULAS: &[Formula] = &[Formula::new(
    "nugget-trap-chance",
    "Chance that a piece of gold which comes to the shell of a trap falls into a pocket and stays there.",
    "p = f (1 - d/a)^2; held = h_0 d^3/(d^3 + d_h^3)",
    |x| vec![chance_into_pocket(x[0], x[1], x[2]), held_share(x[0], x[3], x[4])],
)
.inputs(&[
    symbol("size", "intermediate axis of the piece", Dimension::SieveSize, "mm", (0.0, 0.1), None),
    symbol("opening", "clear opening of the pocket", Dimension::Length, "mm", (0.003, 0.2), None),
    symbol("pocket_share", "share of the shell that is pocket", Dimension::Fraction, "%", (0.0, 0.6), Some(0.2)),
    symbol("hold", "share of large pieces that stays", Dimension::Fraction, "%", (0.0, 1.0), Some(0.5)),
    symbol("half_size", "size that stays half as well", Dimension::Length, "mm", (0.0005, 0.02), Some(0.003)),
])
.outputs(&[
    symbol("chance", "chance of falling in, at one meeting", Dimension::Fraction, "%", (0.0, 1.0), None),
    symbol("held", "share of what fell in that stays", Dimension::Fraction, "%", (0.0, 1.0), None),
])
.source("assumed here; the argument of Gaudin 1939 for a hole", Status::Assumed)
.limits("no measurement is known: weigh what the trap holds against what is panned from the oversize")];

/// Checks of this file.
pub const CHECKS: &[Check] =
    &[Check::new("nugget-trap-half-size", "gold held in pockets", || held_share(0.003, 0.5, 0.003))
        .against(Kind::Identity, "closed form: at the half size half of the hold is left", Status::Computed)
        .value(0.25, "-")
        .within(Band::Absolute(1e-12))];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_checks_of_this_crate_pass() {
        assert!(CHECKS.iter().all(|check| check.passes((check.computed)())));
        assert_eq!(chance_into_pocket(0.02, 0.01, 0.2), 0.0);
        assert_eq!(chance_into_pocket(0.0, 0.01, 0.2), 0.2);
        assert!(held_share(0.02, 0.5, 0.003) > 0.49 && held_share(0.0005, 0.5, 0.003) < 0.003);
    }
}
