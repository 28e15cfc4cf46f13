//! The settling jar as typed, checked.

use sim_core::hydraulics::fines::{CLAY_CLASSES, JarReading, JarSeen, jar_fall_speeds_m_s};
use sim_core::stage::StageBuilder;

/// Fall speeds of the clay by the jar, m/s, and the temperature of the jar; `None` without one.
pub(crate) struct Jar {
    pub fall_m_s: [f64; CLAY_CLASSES],
    pub temperature_c: f64,
}

/// Reads the jar; every fault is recorded, and then the answer is `Err`.
pub(crate) fn read(b: &mut StageBuilder<'_>) -> Result<Option<Jar>, ()> {
    let s = b.settings;
    let (hanging, cleared) = (s.rows("jar_hanging"), s.rows("jar_cleared"));
    if hanging.is_empty() && cleared.is_empty() {
        if s.was_given("jar_hanging") || s.was_given("jar_cleared") {
            let key = if s.was_given("jar_hanging") { "jar_hanging" } else { "jar_cleared" };
            b.problems.error(s.place(key), "the settling jar has no readings", "give some, or take the line out");
            return Err(());
        }
        return Ok(None);
    }
    let errors = b.problems.error_count();
    if !hanging.is_empty() && !cleared.is_empty() {
        b.problems.error(
            s.place("jar_cleared"),
            "the settling jar is given twice: by what hangs and by what has cleared",
            "keep one of `jar_hanging` and `jar_cleared`",
        );
    }
    if s.was_given("clay_grain") {
        b.problems.error(
            s.place("clay_grain"),
            "both `clay_grain` and a settling jar say how the clay falls",
            "keep the jar, which was measured, and take `clay_grain` out",
        );
    }
    let depth_m = s.number("jar_depth");
    if !hanging.is_empty() && depth_m.is_nan() {
        b.problems.error(
            s.place("jar_hanging"),
            "`jar_hanging` needs `jar_depth`",
            "say how deep under the water line the jar was sampled, e.g. jar_depth = \"4 in\"",
        );
    }
    check_order(b, "jar_hanging", "still hangs", false);
    check_order(b, "jar_cleared", "has cleared", true);
    if b.problems.error_count() > errors {
        return Err(());
    }
    let of = |row: &Vec<f64>, seen: fn(f64, f64) -> JarSeen| match row.as_slice() {
        [after_s, value] => Some(JarReading { after_s: *after_s, seen: seen(*value, depth_m) }),
        _ => None,
    };
    let readings: Vec<JarReading> = if hanging.is_empty() {
        cleared.iter().filter_map(|r| of(r, |clear_m, _| JarSeen::ClearTo(clear_m))).collect()
    } else {
        hanging.iter().filter_map(|r| of(r, |share, depth_m| JarSeen::HangingAt { depth_m, share })).collect()
    };
    let temperature_c = s.number("jar_temperature");
    Ok(jar_fall_speeds_m_s(&readings).map(|fall_m_s| Jar { fall_m_s, temperature_c }))
}

/// Times must grow; what hangs must shrink from at most all, what has cleared must grow from more than nothing.
fn check_order(b: &mut StageBuilder<'_>, key: &str, what: &str, growing: bool) {
    let s = b.settings;
    let rows = s.rows(key);
    let place = s.place(key);
    let pairs: Vec<(f64, f64)> =
        rows.iter().filter_map(|r| if let [t, x] = r.as_slice() { Some((*t, *x)) } else { None }).collect();
    if pairs.iter().any(|(t, _)| *t <= 0.0) || pairs.windows(2).any(|w| w[1].0 <= w[0].0) {
        b.problems.error(
            place.clone(),
            format!("the times of `{key}` do not grow from row to row"),
            "count each from the moment the jar was set down, shortest first",
        );
    }
    let falls = pairs.windows(2).any(|w| if growing { w[1].1 < w[0].1 } else { w[1].1 > w[0].1 });
    let outside = pairs.iter().any(|(_, x)| if growing { !(*x > 0.0) } else { !(*x >= 0.0 && *x <= 1.0) });
    if falls || outside {
        let help = if growing {
            "the clear water grows with time; leave out readings before a line shows"
        } else {
            "shares lie between 0 and 100 % of the shaken jar and shrink with time"
        };
        b.problems.error(place, format!("what {what} in `{key}` goes the wrong way"), help);
    }
}
