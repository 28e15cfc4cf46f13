//! Numbers as people write them: decimals, fractions, mixed numbers, thousands separators, powers of ten.

use std::ops::Range;

/// A number found at the start of a text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Number {
    pub value: f64,
    /// First byte behind the number.
    pub end: usize,
}

/// Why the start of a text is no number.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fault {
    pub span: Range<usize>,
    pub message: String,
    pub help: String,
}

fn fault(span: Range<usize>, message: impl Into<String>, help: impl Into<String>) -> Fault {
    Fault { span, message: message.into(), help: help.into() }
}

/// Value of a one-character fraction.
pub(super) fn vulgar(c: char) -> Option<f64> {
    let (over, under) = match c {
        '½' => (1.0, 2.0),
        '⅓' => (1.0, 3.0),
        '⅔' => (2.0, 3.0),
        '¼' => (1.0, 4.0),
        '¾' => (3.0, 4.0),
        '⅕' => (1.0, 5.0),
        '⅖' => (2.0, 5.0),
        '⅗' => (3.0, 5.0),
        '⅘' => (4.0, 5.0),
        '⅙' => (1.0, 6.0),
        '⅚' => (5.0, 6.0),
        '⅛' => (1.0, 8.0),
        '⅜' => (3.0, 8.0),
        '⅝' => (5.0, 8.0),
        '⅞' => (7.0, 8.0),
        '⅒' => (1.0, 10.0),
        _ => return None,
    };
    Some(over / under)
}

fn is_fraction_bar(c: char) -> bool {
    matches!(c, '/' | '⁄' | '∕')
}

struct Scanner<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Scanner<'a> {
    fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or("")
    }

    fn look(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn take(&mut self) -> Option<char> {
        let c = self.look()?;
        self.at += c.len_utf8();
        Some(c)
    }

    fn spaces(&mut self) {
        while self.look().is_some_and(char::is_whitespace) {
            self.take();
        }
    }

    fn digits(&mut self) -> &'a str {
        let start = self.at;
        while self.look().is_some_and(|c| c.is_ascii_digit()) {
            self.take();
        }
        self.text.get(start..self.at).unwrap_or("")
    }

    /// `1500`, `1,500`: digits without the separators.
    fn whole(&mut self) -> Result<String, Fault> {
        let start = self.at;
        let mut digits = self.digits().to_owned();
        let mut groups = 0;
        while self.look() == Some(',') && self.rest().chars().nth(1).is_some_and(|c| c.is_ascii_digit()) {
            let leading = digits.clone();
            self.take();
            let group = self.digits();
            let grouped =
                group.len() == 3 && (groups > 0 || (1..=3).contains(&leading.len())) && !leading.starts_with('0');
            if !grouped {
                let typed = self.text.get(start..self.at).unwrap_or("");
                return Err(fault(
                    start..self.at,
                    format!("`{typed}` has a comma that does not part thousands"),
                    format!("the decimal mark is a point: write `{}`", typed.replacen(',', ".", 1)),
                ));
            }
            digits.push_str(group);
            groups += 1;
        }
        Ok(digits)
    }

    /// `e-3`, `x10^-3`, `×10⁻³` behind a decimal number, as the text of the exponent.
    fn exponent(&mut self) -> Option<String> {
        let start = self.at;
        let found = self.e_exponent().or_else(|| {
            self.at = start;
            self.times_ten_exponent()
        });
        if found.is_none() {
            self.at = start;
        }
        found
    }

    fn e_exponent(&mut self) -> Option<String> {
        if !matches!(self.take()?, 'e' | 'E') {
            return None;
        }
        self.signed_digits()
    }

    fn signed_digits(&mut self) -> Option<String> {
        let mut exponent = String::new();
        match self.look()? {
            '-' | '−' => {
                self.take();
                exponent.push('-');
            }
            '+' => {
                self.take();
            }
            _ => {}
        }
        let digits = self.digits();
        exponent.push_str(digits);
        (!digits.is_empty()).then_some(exponent)
    }

    fn times_ten_exponent(&mut self) -> Option<String> {
        self.spaces();
        if !matches!(self.take()?, 'x' | 'X' | '×' | '*' | '·') {
            return None;
        }
        self.spaces();
        let after = self.rest().strip_prefix("10")?;
        self.at = self.text.len() - after.len();
        if self.look() == Some('^') {
            self.take();
            return self.signed_digits();
        }
        let mut exponent = String::new();
        while let Some(c) = self.look() {
            match "⁰¹²³⁴⁵⁶⁷⁸⁹".chars().position(|s| s == c) {
                Some(d) => exponent.push_str(&d.to_string()),
                None if c == '⁻' && exponent.is_empty() => exponent.push('-'),
                None => break,
            }
            self.take();
        }
        exponent.ends_with(|c: char| c.is_ascii_digit()).then_some(exponent)
    }

    /// `/8` or `/12.5` behind a whole number: the number below the bar.
    fn denominator(&mut self) -> Result<Option<f64>, Fault> {
        let start = self.at;
        self.spaces();
        if !self.look().is_some_and(is_fraction_bar) {
            self.at = start;
            return Ok(None);
        }
        self.take();
        self.spaces();
        let from = self.at;
        let mut digits = self.digits().to_owned();
        if digits.is_empty() {
            self.at = start;
            return Ok(None);
        }
        if self.look() == Some('.') && self.rest().chars().nth(1).is_some_and(|c| c.is_ascii_digit()) {
            self.take();
            digits.push('.');
            digits.push_str(self.digits());
        }
        let value: f64 = digits.parse().unwrap_or(f64::NAN);
        if !(value > 0.0) {
            return Err(fault(from..self.at, "this fraction divides by zero", "write it like `3/8` or `0.375`"));
        }
        Ok(Some(value))
    }

    /// ` 1/2`, `-1/2`, `½`, ` ½` behind a whole number. Zero where there is none.
    fn added_fraction(&mut self) -> Result<f64, Fault> {
        let start = self.at;
        if let Some(v) = self.look().and_then(vulgar) {
            self.take();
            return Ok(v);
        }
        if self.look() == Some('-') {
            self.take();
        } else {
            self.spaces();
            if let Some(v) = self.look().and_then(vulgar) {
                self.take();
                return Ok(v);
            }
        }
        let from = self.at;
        let over = self.digits();
        if from > start
            && !over.is_empty()
            && let Some(under) = self.denominator()?
        {
            let over: f64 = over.parse().unwrap_or(f64::NAN);
            if over < under {
                return Ok(over / under);
            }
            return Err(fault(
                from..self.at,
                "the fraction of a mixed number must be less than one",
                "write it like `1 1/2` or `1.5`",
            ));
        }
        self.at = start;
        Ok(0.0)
    }
}

/// Reads the number at byte `start`. Signs, decimals, `1,500`, `3/8`, `1 1/2`, `1-1/2`, `½`, `1e-3`, `1.5×10⁻³`.
pub(super) fn read(text: &str, start: usize) -> Result<Number, Fault> {
    let mut s = Scanner { text, at: start };
    let sign = match s.look() {
        Some('-' | '−') => {
            s.take();
            -1.0
        }
        Some('+') => {
            s.take();
            1.0
        }
        _ => 1.0,
    };
    s.spaces();
    if let Some(v) = s.look().and_then(vulgar) {
        s.take();
        return Ok(Number { value: sign * v, end: s.at });
    }
    let from = s.at;
    let whole = s.whole()?;
    let has_point =
        s.look() == Some('.') && (s.rest().chars().nth(1).is_some_and(|c| c.is_ascii_digit()) || !whole.is_empty());
    let mut decimals = "";
    if has_point {
        s.take();
        decimals = s.digits();
        if s.look() == Some(',') && s.rest().chars().nth(1).is_some_and(|c| c.is_ascii_digit()) {
            return Err(fault(
                from..s.at,
                "a comma behind a decimal point",
                "the decimal mark is a point and the comma parts thousands, as in `1,500.5`",
            ));
        }
    }
    if whole.is_empty() && decimals.is_empty() {
        return Err(fault(start..start, "no number here", ""));
    }
    let exponent = s.exponent();
    let digits = format!(
        "{}.{}e{}",
        if whole.is_empty() { "0" } else { &whole },
        if decimals.is_empty() { "0" } else { decimals },
        exponent.as_deref().unwrap_or("0")
    );
    let mut value: f64 = digits.parse().unwrap_or(f64::NAN);
    let nonzero = whole.bytes().chain(decimals.bytes()).any(|b| b != b'0');
    if !value.is_finite() || (nonzero && value == 0.0) {
        return Err(fault(from..s.at, "this number is too large or too small to hold", "check the power of ten"));
    }
    if !has_point && exponent.is_none() {
        value = match s.denominator()? {
            Some(under) => value / under,
            None => value + s.added_fraction()?,
        };
    }
    Ok(Number { value: sign * value, end: s.at })
}
