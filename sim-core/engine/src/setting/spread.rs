//! Uncertain quantities: low, mid and high.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::wanted::{article, wanted};
use super::{Reader, Setting, SpreadMeaning, Value};
use washgraph_stats::Spread;

impl Reader<'_> {
    /// Reads low, mid and high of an uncertain quantity.
    pub(super) fn spread(
        &mut self,
        setting: &Setting,
        table: &DeTable<'_>,
        span: Range<usize>,
        owner: &str,
    ) -> Option<Value> {
        let dimension = setting.dimension()?;
        let mut points = [f64::NAN; 3];
        let mut texts: [String; 3] = Default::default();
        let mut basis = None;
        let mut currency = None;
        for key in table.keys() {
            if !["low", "mid", "high"].contains(&key.get_ref().as_ref()) {
                self.problems.error(
                    key.span(),
                    format!("a spread has low, mid and high, not `{}`", key.get_ref()),
                    "write { low = \"..\", mid = \"..\", high = \"..\" }",
                );
                return None;
            }
        }
        for (i, name) in ["low", "mid", "high"].into_iter().enumerate() {
            let Some((_, value)) = table.iter().find(|(k, _)| k.get_ref() == name) else {
                self.problems.error(
                    span,
                    format!("the spread of `{}` lacks {name}", setting.key),
                    "write { low = \"..\", mid = \"..\", high = \"..\" }",
                );
                return None;
            };
            let at = value.span();
            let (text, inner) = match value.get_ref() {
                DeValue::String(s) => (s.to_string(), at.start + 1..at.end.saturating_sub(1)),
                DeValue::Integer(n) => (n.as_str().to_string(), at.clone()),
                DeValue::Float(n) => (n.as_str().to_string(), at.clone()),
                other => {
                    self.problems.error(at, format!("{name} cannot be {}", article(other)), wanted(setting));
                    return None;
                }
            };
            let parsed = self.parse(&text, dimension, &inner, Some(inner.clone()))?;
            if !self.in_range(setting, parsed.si, &text, Some(inner)) {
                return None;
            }
            points[i] = parsed.si;
            texts[i] = text;
            if let (Some(first), Some(other)) = (basis, parsed.basis)
                && first != other
            {
                self.problems.error(
                    span,
                    format!("the spread of `{}` is partly loose and partly bank", setting.key),
                    "say loose in all three, or bank in all three",
                );
                return None;
            }
            basis = basis.or(parsed.basis);
            if let (Some(first), Some(other)) = (currency, parsed.currency)
                && first != other
            {
                self.problems.error(
                    span,
                    format!("the spread of `{}` is in {first} and in {other}", setting.key),
                    "use one currency; there are no exchange rates here",
                );
                return None;
            }
            currency = currency.or(parsed.currency);
        }
        let [low, mid, high] = points;
        if !(low <= mid && mid <= high) {
            self.problems.error(
                span,
                format!("low, mid and high of `{}` are not in order", setting.key),
                "low must not be above mid, nor mid above high",
            );
            return None;
        }
        let spread = if low == high {
            Spread::fixed(mid)
        } else if self.meaning == SpreadMeaning::Limits {
            Spread::triangular(low, mid, high)
        } else if low > 0.0 && low < mid && mid < high {
            Spread::split_log_normal(low, mid, high)
        } else {
            Spread::split_normal(low, mid, high)
        };
        match spread.map(|s| s.within(setting.range.0, setting.range.1)) {
            Ok(spread) => {
                let middle = spread.middle();
                let text = texts.join(" / ");
                let input = self.register(setting, owner, spread, "given in the scenario".into(), span)?;
                Some(Value::Number { input, middle, basis, of_critical: false, currency, text })
            }
            Err(error) => {
                self.problems.error(span, format!("the spread of `{}`: {error}", setting.key), "");
                None
            }
        }
    }
}
