//! What is typed to vary a setting: `path=lo..hi`, `path=lo..hi:n`, `path=a; b; c`.

use sim_core::quantity::{Dimension, Parsed, QuantityError, convert_from, convert_to, like, parse};
use sim_core::setting::{Kind, Setting};
use sim_core::stock::Stock;
use washgraph_model::variant::{PathError, SettingPath};

use crate::plants::base::Base;

/// Steps of a range unless the user says how many.
pub const USUAL_STEPS: usize = 9;
/// Most values of one setting.
pub const MOST_VALUES: usize = 60;

/// A setting and the values that it is to take.
#[derive(Debug, Clone)]
pub struct Varied {
    /// The setting.
    pub path: SettingPath,
    /// Values as a user would type them, in order.
    pub values: Vec<String>,
    /// The same in SI (whole numbers as they are; the place in the list for words).
    pub si: Vec<f64>,
    /// Whether the values are numbers of a range rather than words.
    pub numeric: bool,
    /// The ends of a range as typed, for values between them.
    ends: Option<(Parsed, Parsed)>,
    /// Where what is between the ends is bought from.
    stock: Option<&'static Stock>,
}

fn error(message: impl Into<String>, help: impl Into<String>) -> PathError {
    PathError { message: message.into(), help: help.into() }
}

const FORM: &str =
    "write e.g. drum.slope=\"2 deg..6 deg\", sluice.width=\"24 in..60 in:7\" or drum.screen.shape=\"round; slot\"";

impl Varied {
    /// Reads `path=values` for a scenario. `steps` is how many values a range gets that does not say.
    pub fn read(text: &str, base: &Base<'_>, steps: usize) -> Result<Varied, PathError> {
        let Some((path, values)) = text.split_once('=') else {
            return Err(error(format!("`{text}` does not say which values"), FORM));
        };
        let path = base.find(path)?;
        match values.split_once("..") {
            Some((low, high)) => Varied::range(path, low.trim(), high.trim(), steps),
            None => Varied::list(path, values),
        }
    }

    fn range(path: SettingPath, low: &str, high: &str, steps: usize) -> Result<Varied, PathError> {
        // A slope may be written 1:12, which is no number of values.
        let is_ratio =
            |start: &str| path.setting().dimension() == Some(Dimension::Slope) && start.trim().parse::<f64>().is_ok();
        let (high, steps) = match high.rsplit_once(':').filter(|(start, _)| !is_ratio(start)) {
            Some((high, n)) => match n.trim().parse::<usize>() {
                Ok(n) if (2..=MOST_VALUES).contains(&n) => (high.trim(), n),
                _ => {
                    return Err(error(
                        format!("`{n}` is not a number of values"),
                        format!("a range has 2 to {MOST_VALUES} values: {FORM}"),
                    ));
                }
            },
            None => (high, steps),
        };
        let setting = *path.setting();
        let (low, high) = ends(&path, low, high)?;
        if !(high.si > low.si) {
            return Err(error(
                format!("the range of `{}` is empty: its end is not above its start", path.text()),
                "write the lower value first",
            ));
        }
        let mut values: Vec<String> =
            (0..steps).map(|i| between(&low, &high, i as f64 / (steps - 1) as f64, &setting, 4)).collect();
        values.dedup();
        let si = values.iter().map(|v| Ok(number(&setting, v)?.si)).collect::<Result<Vec<f64>, PathError>>()?;
        Ok(Varied { path, values, si, numeric: true, ends: Some((low, high)), stock: None })
    }

    fn list(path: SettingPath, values: &str) -> Result<Varied, PathError> {
        let values: Vec<String> = values.split(';').map(|v| v.trim().to_string()).filter(|v| !v.is_empty()).collect();
        if values.is_empty() {
            return Err(error(format!("`{}` is given no value", path.text()), FORM));
        }
        if values.len() > MOST_VALUES {
            return Err(error(format!("more than {MOST_VALUES} values for `{}`", path.text()), ""));
        }
        let setting = path.setting();
        let read: Result<Vec<f64>, PathError> = values.iter().map(|v| Ok(number(setting, v)?.si)).collect();
        let numeric = matches!(setting.kind, Kind::Known(_) | Kind::Quantity(_) | Kind::Whole);
        let si = if numeric { read? } else { (0..values.len()).map(|i| i as f64).collect() };
        Ok(Varied { path, values, si, numeric, ends: None, stock: None })
    }

    /// The same with what lies between the ends of a range kept to sizes that are sold.
    pub fn as_sold(self, base: &Base<'_>) -> Varied {
        Varied { stock: base.stock_at(&self.path.text()), ..self }
    }

    /// The value at a share of the way from the first to the last: between the ends of a range, or the nearest of a list.
    pub fn at(&self, share: f64) -> String {
        match &self.ends {
            Some((low, high)) => {
                let value = between(low, high, share, self.path.setting(), 3);
                self.sold_near(&value, (low.si, high.si)).unwrap_or(value)
            }
            None => {
                let last = self.values.len().saturating_sub(1) as f64;
                self.values.get((share * last).round() as usize).cloned().unwrap_or_default()
            }
        }
    }

    /// The size sold between the ends that is nearest to a value; `None` where none is, or any size can be had.
    fn sold_near(&self, value: &str, (low, high): (f64, f64)) -> Option<String> {
        let (stock, wanted) = (self.stock?, number(self.path.setting(), value).ok()?.si);
        let miss = |x: &f64| (x / wanted - 1.0).abs();
        let size = stock.between(low, high).min_by(|a, b| miss(a).total_cmp(&miss(b)))?;
        Some(stock.say(size))
    }

    /// Share of the way at which a value in SI stands; `None` outside, or for words.
    pub fn share_of(&self, si: f64) -> Option<f64> {
        let (low, high) = self.ends.as_ref()?;
        let shares = |x: f64| in_unit(x, self.path.setting(), low);
        let share = (shares(si) - shares(low.si)) / (shares(high.si) - shares(low.si));
        (0.0..=1.0).contains(&share).then_some(share)
    }

    /// The plain name of the axis: meaning of the setting.
    pub fn meaning(&self) -> &'static str {
        self.path.setting().meaning
    }
}

/// A value in SI in the unit of something typed; in SI where that unit cannot say it.
fn in_unit(si: f64, setting: &Setting, typed: &Parsed) -> f64 {
    setting.dimension().and_then(|d| convert_to(si, d, typed.unit.symbol())).unwrap_or(si)
}

/// A value a share of the way between two typed ends, evenly in the unit of the first (degrees stay degrees), rounded to so
/// many figures.
fn between(low: &Parsed, high: &Parsed, share: f64, setting: &Setting, figures: usize) -> String {
    let (a, b) = (in_unit(low.si, setting, low), in_unit(high.si, setting, low));
    let x = a + share * (b - a);
    let si = setting.dimension().and_then(|d| convert_from(x, d, low.unit.symbol())).unwrap_or(x);
    neat(si, setting, low, figures)
}

/// A value as a shop would write it: so many figures in the unit that was typed.
fn neat(si: f64, setting: &Setting, typed: &Parsed, figures: usize) -> String {
    let Some(dimension) = setting.dimension() else { return format!("{}", si.round()) };
    let symbol = typed.unit.symbol();
    let digits = figures.saturating_sub(1);
    let rounded = convert_to(si, dimension, symbol)
        .and_then(|x| format!("{x:.digits$e}").parse::<f64>().ok())
        .and_then(|x| convert_from(x, dimension, symbol));
    like(rounded.unwrap_or(si), dimension, typed)
}

/// A setting scaled by a factor, written like what holds now; `None` for words and for what cannot be read.
pub fn scaled(now: &str, setting: &Setting, factor: f64) -> Option<String> {
    scaled_to(now, setting, factor, 3)
}

/// The same to so many figures: a size that somebody would build.
pub fn scaled_to(now: &str, setting: &Setting, factor: f64, figures: usize) -> Option<String> {
    let typed = number(setting, now).ok()?;
    match setting.kind {
        Kind::Whole => Some(format!("{}", (typed.si * factor).round().max(1.0))),
        Kind::Known(_) | Kind::Quantity(_) => Some(neat(typed.si * factor, setting, &typed, figures)),
        _ => None,
    }
}

/// Both ends; one that lacks its unit takes that of the other.
fn ends(path: &SettingPath, low: &str, high: &str) -> Result<(Parsed, Parsed), PathError> {
    let setting = path.setting();
    if !matches!(setting.kind, Kind::Known(_) | Kind::Quantity(_) | Kind::Whole) {
        return Err(error(
            format!("`{}` is no number: a range has no meaning", path.text()),
            "write the values in a list: a; b; c",
        ));
    }
    let read_low = number(setting, low).or_else(|e| borrowed_unit(setting, low, high).ok_or(e));
    let read_high = number(setting, high).or_else(|e| borrowed_unit(setting, high, low).ok_or(e));
    Ok((read_low?, read_high?))
}

/// A bare number with the unit of another text.
fn borrowed_unit(setting: &Setting, bare: &str, other: &str) -> Option<Parsed> {
    let starts = other.char_indices().map(|(i, _)| i).filter(|i| *i > 0);
    starts.filter_map(|i| other.get(i..)).find_map(|unit| number(setting, &format!("{bare} {}", unit.trim())).ok())
}

fn number(setting: &Setting, text: &str) -> Result<Parsed, PathError> {
    let dimension = setting.dimension().unwrap_or(Dimension::Number);
    let wrong = |e: QuantityError| error(format!("`{text}` for `{}`: {}", setting.key, e.message), e.help);
    let parsed = parse(text, dimension).map_err(wrong)?;
    if parsed.si < setting.range.0 || parsed.si > setting.range.1 {
        return Err(error(format!("`{text}` is out of range for `{}`", setting.key), setting.meaning));
    }
    Ok(parsed)
}
