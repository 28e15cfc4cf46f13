//! Sizes and shares in words.

use sim_core::quantity::{UnitChoice, us_number_of_mm};

/// A share in percent with a sensible number of figures: `37 %`, `4.2 %`, `0.3 %`, `under 0.1 %`.
pub fn percent(share: f64) -> String {
    let p = 100.0 * share;
    if !p.is_finite() {
        "no value".into()
    } else if p > 0.0 && p < 0.1 {
        "under 0.1 %".into()
    } else if p.abs() < 9.95 {
        format!("{p:.1} %")
    } else {
        format!("{p:.0} %")
    }
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
    let digits = format!("{rounded:.0}");
    let mut text = String::from(if x < 0.0 { "-" } else { "" });
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i) % 3 == 0 {
            text.push(',');
        }
        text.push(digit);
    }
    text
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

/// First letter large.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |c| c.to_uppercase().chain(letters).collect())
}

/// `20 %; 1 run in 10 falls below 12 %, 1 in 10 is above 31 %` for a summary of shares.
pub fn spread(s: &sim_core::result::Summary) -> String {
    format!("1 run in 10 falls below {}, 1 run in 10 is above {}", percent(s.pctl_10), percent(s.pctl_90))
}

#[cfg(test)]
mod tests {
    use super::amount;

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
