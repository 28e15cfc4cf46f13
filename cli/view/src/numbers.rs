//! Numbers, sizes and shares in words: the one formatter of every frontend (terminal, report, page, figures, commands), so that a
//! number reads the same wherever it stands.

use sim_core::quantity::{UnitChoice, us_number_of_mm, with_commas};
use washgraph_model::result::{Loss, RunResult};

/// A share in percent with a sensible number of figures: `37 %`, `4.2 %`, `0.3 %`, `under 0.1 %`, `99.4 %`.
pub fn percent(share: f64) -> String {
    let p = 100.0 * share;
    let a = p.abs();
    if !p.is_finite() {
        "no value".into()
    } else if p == 0.0 {
        "0 %".into()
    } else if p > 0.0 && p < 0.095 {
        "under 0.1 %".into()
    } else if a < 9.95 || (a > 99.0 && a < 99.95) {
        format!("{p:.1} %")
    } else {
        format!("{p:.0} %")
    }
}

/// A share of the runs: `none of the runs`, `12 % of the runs`, `all runs`.
pub fn runs(share: f64) -> String {
    if share < 0.0005 {
        "none of the runs".into()
    } else if share > 0.9995 {
        "all runs".into()
    } else {
        format!("{} of the runs", percent(share))
    }
}

/// Percentage points of a difference of shares, with sign.
pub fn points(gap: f64) -> String {
    format!("{:+.1} points", 100.0 * gap)
}

/// A number with about three figures and its sign: `+0.042`, `-12.0`.
pub fn signed(x: f64) -> String {
    let sign = if x < 0.0 { "-" } else { "+" };
    if x.is_finite() { format!("{sign}{}", three(x.abs())) } else { three(x) }
}

/// A number with about three figures.
pub fn three(x: f64) -> String {
    let a = x.abs();
    if !x.is_finite() {
        "no value".into()
    } else if a == 0.0 || a >= 99.95 {
        format!("{x:.0}")
    } else if a >= 9.995 {
        format!("{x:.1}")
    } else if a >= 0.9995 {
        format!("{x:.2}")
    } else {
        format!("{x:.3}")
    }
}

/// An amount of money to about three figures, with commas: `23,400`, `-850`, `1.42`.
pub fn amount(x: f64) -> String {
    if !x.is_finite() {
        return "no value".into();
    }
    let a = x.abs();
    if a < 9.995 {
        return format!("{x:.2}");
    }
    if a < 999.5 {
        return format!("{x:.0}");
    }
    let rounded: f64 = format!("{a:.2e}").parse().unwrap_or(a);
    with_commas(if x < 0.0 { -rounded } else { rounded })
}

/// An amount with its currency: `USD 23,400`, `-USD 850`.
pub fn money(x: f64, currency: &str) -> String {
    let sign = if x < 0.0 { "-" } else { "" };
    if x.is_finite() { format!("{sign}{currency} {}", amount(x.abs())) } else { amount(x) }
}

/// Millimetres without trailing zeros.
pub fn mm(x: f64) -> String {
    let text = format!("{x:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// US sieve number of an opening, if it is one of the series: `No. 60`.
pub fn sieve(size_mm: f64) -> Option<String> {
    us_number_of_mm(size_mm, 0.005).map(|n| if n == 3.5 { "No. 3 1/2".into() } else { format!("No. {n}") })
}

/// A size as the user names it: `0.25 mm (No. 60)`; without the sieve number for a metric user.
pub fn size(size_mm: f64, units: UnitChoice) -> String {
    match sieve(size_mm) {
        Some(number) if units != UnitChoice::Metric => format!("{} mm ({number})", mm(size_mm)),
        _ => format!("{} mm", mm(size_mm)),
    }
}

/// A size class: `0.25-0.355 mm`, `under 0.02 mm`, `over 2 mm`.
pub fn class(from_mm: f64, to_mm: Option<f64>) -> String {
    match to_mm {
        Some(to) if from_mm > 0.0 => format!("{}-{} mm", mm(from_mm), mm(to)),
        Some(to) => format!("under {} mm", mm(to)),
        None => format!("over {} mm", mm(from_mm)),
    }
}

/// The sizes between which four fifths of a loss lie, mm: lower edge, upper edge or none.
fn most_of(loss: &Loss, outcome: &RunResult) -> Option<(f64, Option<f64>)> {
    let total: f64 = loss.by_size.iter().sum();
    let (mut sum, mut from, mut to) = (0.0, None, None);
    for (share, class) in loss.by_size.iter().zip(&outcome.gold.recovery_by_size) {
        sum += share;
        if from.is_none() && sum > 0.1 * total {
            from = Some(class.from_mm);
        }
        if to.is_none() && sum >= 0.9 * total {
            to = Some(class.to_mm);
        }
    }
    Some((from?, to?))
}

/// The sizes of most of a loss: `mostly 0.125-2 mm`; empty when nothing is known of them.
pub fn mostly(loss: &Loss, outcome: &RunResult) -> String {
    most_of(loss, outcome).map_or(String::new(), |(from, to)| format!("mostly {}", class(from, to)))
}

/// First letter large.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |c| c.to_uppercase().chain(letters).collect())
}

/// `20 %; 1 run in 10 falls below 12 %, 1 in 10 is above 31 %` for a summary of shares.
pub fn spread(s: &sim_core::stats::summary::Summary) -> String {
    format!("1 run in 10 falls below {}, 1 run in 10 is above {}", percent(s.pctl_10), percent(s.pctl_90))
}

#[cfg(test)]
mod tests {
    use super::{amount, money, percent, runs, signed};

    #[test]
    fn identity_shares_and_gaps_read_the_same_everywhere() {
        let shares = [
            (0.0, "0 %"),
            (4e-4, "under 0.1 %"),
            (9.6e-4, "0.1 %"),
            (0.0449, "4.5 %"),
            (0.863, "86 %"),
            (0.9941, "99.4 %"),
        ];
        for (share, text) in shares {
            assert_eq!(percent(share), text);
        }
        assert_eq!([runs(0.0), runs(0.214), runs(1.0)], ["none of the runs", "21 % of the runs", "all runs"]);
        assert_eq!([signed(0.0421), signed(-12.0)], ["+0.042", "-12.0"]);
        assert_eq!([money(-1_234_567.0, "USD"), money(999.4, "$")], ["-USD 1,230,000", "$ 999"]);
    }

    #[test]
    fn identity_amounts_read_like_amounts() {
        let cases =
            [(23_416.0, "23,400"), (-850.4, "-850"), (1.416, "1.42"), (-1_234_567.0, "-1,230,000"), (0.0, "0.00")];
        for (value, text) in cases {
            assert_eq!(amount(value), text);
        }
        assert_eq!(amount(f64::NAN), "no value");
    }
}
