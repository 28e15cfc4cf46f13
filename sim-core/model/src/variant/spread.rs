//! A spread that moves along with its middle.

use sim_core::quantity::{Dimension, like, parse};
use sim_core::setting::Setting;

/// The spread with a new middle. Low and high keep their ratio to the middle: a feed given as 22 / 25 / 28 becomes
/// 26.4 / 30 / 33.6 at 30. Temperatures, and spreads about zero, keep their distance instead. A value that cannot be read
/// is put in as it is, for the reading of the scenario to object to.
pub(super) fn moved(old: &[String; 3], text: &str, setting: &Setting) -> [String; 3] {
    let as_typed = || [text.to_string(), text.to_string(), text.to_string()];
    let Some(dimension) = setting.dimension() else { return as_typed() };
    let (Ok(new), Ok(mid)) = (parse(text, dimension), parse(&old[1], dimension)) else { return as_typed() };
    let end = |typed: &String| {
        let Ok(end) = parse(typed, dimension) else { return text.to_string() };
        let by_ratio = dimension != Dimension::Temperature && mid.si > 0.0 && new.si >= 0.0 && end.si >= 0.0;
        let si = if by_ratio { end.si / mid.si * new.si } else { end.si - mid.si + new.si };
        // A share that was moved up must not pass the end of what the setting allows merely by its spread.
        like(si.clamp(setting.range.0.min(new.si), setting.range.1.max(new.si)), dimension, &new)
    };
    [end(&old[0]), text.to_string(), end(&old[2])]
}
