//! Kinds of riffle as rows of data: a kind more is a row more, here or in a file beside the scenario.
//!
//! The physics sees the height of the riffles, and constants where a row says that they differ. What is published for a kind
//! (heights, velocities, slopes, rated feed) feeds warnings and advice; a kind for which nothing is published says so.

use std::borrow::Cow;
use std::ops::Range;

use crate::constants::{Constants, UNCERTAIN};
use crate::practice::LOOSE_SOLIDS_SHARE;
use sim_core::check::Status;
use sim_core::constants::{CUBIC_YARD_M3, FOOT_M, INCH_M, S_PER_H};
use sim_core::problem::{Problems, did_you_mean};
use sim_core::quantity::Dimension;
use sim_core::setting::{Kind, Preset, Setting, Settings, tables_of_file};

/// Rated feed over expanded metal, 8 loose cubic yards per hour and foot of width, as loose volume [m2/s].
/// Source: Clarkson 1990 (from memory).
pub const RATED_FEED_EXPANDED_METAL_LOOSE_M2_S: f64 = 8.0 * CUBIC_YARD_M3 / (S_PER_H * FOOT_M);
/// Rated feed over angle iron, 16 loose cubic yards per hour and foot of width, as loose volume [m2/s]. Same source.
pub const RATED_FEED_ANGLE_IRON_LOOSE_M2_S: f64 = 16.0 * CUBIC_YARD_M3 / (S_PER_H * FOOT_M);

/// What is published for a kind of riffle; `None` where nothing is.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct RiffleRanges {
    /// Riffle heights that the model knows (m).
    pub height_m: Option<(f64, f64)>,
    /// Velocity in practice [m/s].
    pub velocity_m_s: Option<(f64, f64)>,
    /// Rated feed, solid volume per width [m2/s].
    pub rated_solids_m2_s: Option<f64>,
    /// Slope in practice, tangent [-].
    pub slope: Option<(f64, f64)>,
}

/// One kind of riffle.
#[derive(Debug, Clone, PartialEq)]
pub struct RiffleKind {
    /// Word in the scenario, kebab-case.
    pub name: Cow<'static, str>,
    /// In a sentence: "over expanded metal".
    pub said: Cow<'static, str>,
    /// What is laid in the box, as the shop says it.
    pub words: Cow<'static, str>,
    /// What is bought.
    pub item: Cow<'static, str>,
    /// What it looks like to the stream.
    pub shape: Cow<'static, str>,
    /// Height where the scenario gives none (m).
    pub usual_height_m: f64,
    /// Heights that are stocked (m), rising; may be empty.
    pub stock_heights_m: Cow<'static, [f64]>,
    /// What is published.
    pub ranges: RiffleRanges,
    /// Constants of the model whose middle differs over it: name in [`UNCERTAIN`], middle in SI. The spread goes along by
    /// ratio.
    pub constants: Cow<'static, [(&'static str, f64)]>,
    /// Published recovery by size over it, with its source; empty where none is known.
    pub recovery: Cow<'static, str>,
    /// Where the row comes from.
    pub source: Cow<'static, str>,
    /// How it came to us.
    pub status: Status,
}

/// Kinds of riffle that are built in, lowest first.
///
/// Sources: velocities from a web article on sluice sizing quoting Poling 1989 and Clarkson 1990 (seen); rated feed and
/// the slope over expanded metal (1.5-2 in/ft) Clarkson 1990 (from memory); slope of angle-iron runs (12-15 degrees)
/// Clarkson 1994, CIM Bulletin 87(979), abstract (seen); heights are those of the tests, widened (assumed); stocked heights
/// common practice, no source.
pub static RIFFLES: &[RiffleKind] = &[
    RiffleKind {
        name: Cow::Borrowed("expanded-metal"),
        said: Cow::Borrowed("expanded metal"),
        words: Cow::Borrowed("expanded metal over mat"),
        item: Cow::Borrowed("expanded metal"),
        shape: Cow::Borrowed("raised diamonds of strand"),
        usual_height_m: 0.006,
        stock_heights_m: Cow::Borrowed(&[0.006]),
        ranges: RiffleRanges {
            height_m: Some((0.004, 0.010)),
            velocity_m_s: Some((1.5, 1.8)),
            rated_solids_m2_s: Some(RATED_FEED_EXPANDED_METAL_LOOSE_M2_S * LOOSE_SOLIDS_SHARE),
            slope: Some((0.125, 0.167)),
        },
        constants: Cow::Borrowed(&[]),
        recovery: Cow::Borrowed("pilot sluice of Hamilton 1988"),
        source: Cow::Borrowed("Poling 1989, Clarkson 1990"),
        status: Status::Seen,
    },
    RiffleKind {
        name: Cow::Borrowed("angle-iron"),
        said: Cow::Borrowed("angle iron"),
        words: Cow::Borrowed("angle iron over mat"),
        item: Cow::Borrowed("angle-iron riffles"),
        shape: Cow::Borrowed("bars across the stream"),
        usual_height_m: 0.025,
        stock_heights_m: Cow::Borrowed(&[0.75 * INCH_M, INCH_M, 1.25 * INCH_M]),
        ranges: RiffleRanges {
            height_m: Some((0.019, 0.032)),
            velocity_m_s: Some((1.8, 2.2)),
            rated_solids_m2_s: Some(RATED_FEED_ANGLE_IRON_LOOSE_M2_S * LOOSE_SOLIDS_SHARE),
            slope: Some((0.213, 0.268)),
        },
        constants: Cow::Borrowed(&[]),
        // BGS WC/97/14 has recoveries of typical sluices, but does not say what lay in them.
        recovery: Cow::Borrowed(""),
        source: Cow::Borrowed("Poling 1989, Clarkson 1990, Clarkson 1994"),
        status: Status::Seen,
    },
];

const COUNT: usize = RIFFLES.len();

#[expect(
    clippy::ptr_arg,
    reason = "the static text behind a borrowed word is wanted, and &str would lose its lifetime"
)]
const fn built_in(word: &Cow<'static, str>) -> &'static str {
    match word {
        Cow::Borrowed(word) => word,
        // A row of the list above is borrowed; see the test.
        Cow::Owned(_) => "",
    }
}

/// The words of the setting `riffles`, each with its meaning.
pub const WORDS: &[(&str, &str)] = &{
    let mut words = [("", ""); COUNT];
    let mut i = 0;
    while i < COUNT {
        words[i] = (built_in(&RIFFLES[i].name), built_in(&RIFFLES[i].words));
        i += 1;
    }
    words
};

/// The built-in kind of a name.
pub fn kind_of(name: &str) -> Option<&'static RiffleKind> {
    RIFFLES.iter().find(|k| k.name == name)
}

/// The built-in kind that is made as high as wanted: the first whose heights reach so far, else the highest.
pub fn kind_for_height(height_m: f64) -> Option<&'static RiffleKind> {
    let reaches = |k: &&RiffleKind| k.ranges.height_m.is_some_and(|(_, most)| height_m <= most);
    RIFFLES.iter().find(reaches).or(RIFFLES.last())
}

impl RiffleKind {
    /// Factor on each of the [`UNCERTAIN`] constants over these riffles [-]; 1 where the row says nothing.
    pub fn factors(&self) -> Vec<f64> {
        let of = |name: &str| self.constants.iter().find(|c| c.0 == name).map(|c| c.1);
        UNCERTAIN.iter().map(|u| of(u.name).map_or(1.0, |middle| middle / u.default)).collect()
    }

    /// Writes a drawn constant, moved to where it stands over these riffles and kept to what it may be.
    pub(crate) fn write(constants: &mut Constants, number: usize, drawn: f64, factor: f64) {
        let Some(u) = UNCERTAIN.get(number) else { return };
        let moved = if factor == 1.0 { drawn } else { (drawn * factor).clamp(u.allowed.0, u.allowed.1) };
        (u.set)(constants, moved);
    }
}

/// Name of the list in a file of riffles.
const LIST: &str = "riffle";

const FREE: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

const fn text(key: &'static str, preset: Preset, meaning: &'static str) -> Setting {
    Setting::new(key, Kind::Text, meaning).preset(preset).range(FREE).nature(sim_core::draw::Nature::Ignorance)
}

const fn pair(key: &'static str, columns: &'static [Dimension], meaning: &'static str) -> Setting {
    text(key, Preset::Absent, meaning).kind(Kind::Rows(columns)).range((0.0, 1e6))
}

/// Fields of a row in a file; the constants of the model come on top.
const FIELDS: &[Setting] = &[
    text("name", Preset::Required, "word that the scenario uses, such as slotted-mat"),
    text("said", Preset::Required, "what it is in a sentence, such as slotted mat"),
    text("words", Preset::Required, "what is laid in the box, as the shop says it"),
    text("item", Preset::Text(""), "what is bought, when that is called otherwise"),
    text("shape", Preset::Text(""), "what it looks like to the stream"),
    Setting::required("usual_height", Dimension::Length, (0.001, 0.2), "height where the scenario gives none"),
    pair("stock_heights", &[Dimension::Length], "heights that are stocked, one a row"),
    pair("heights", &[Dimension::Length, Dimension::Length], "published heights, lowest and highest"),
    pair("velocities", &[Dimension::Velocity, Dimension::Velocity], "published velocities, lowest and highest"),
    pair("slopes", &[Dimension::Slope, Dimension::Slope], "published slopes, lowest and highest"),
    Setting::optional(
        "rated_solids",
        Dimension::FlowPerWidth,
        (1e-6, 10.0),
        "published rated feed: solid volume of gravel over the width",
    ),
    text("recovery", Preset::Text(""), "published recovery by size, with its source; left out: none is known"),
    text("source", Preset::Required, "where the row comes from, or \"common practice, no source\""),
    Setting::choice(
        "status",
        &[
            ("seen", "read in the source"),
            ("from memory", "from memory of the source"),
            ("computed", "calculated"),
            ("assumed", "own judgement"),
            ("common practice", "what the trade does, no source"),
        ],
        Preset::Text("assumed"),
        "how the row came to be known",
    ),
];

/// The fields of a row in a file of riffles.
pub fn file_fields() -> Vec<Setting> {
    // A middle of nothing has no spread to move.
    let constant = |u: &crate::constants::UncertainConstant| {
        let dimension = if u.unit == "m" { Dimension::Length } else { Dimension::Number };
        Setting::optional(u.name, dimension, (u.allowed.0.max(1e-6), u.allowed.1), u.meaning)
    };
    FIELDS.iter().copied().chain(UNCERTAIN.iter().map(constant)).collect()
}

/// The kinds in a file of riffles, given by its name and text; `None` when something is wrong with it, which is recorded
/// with file and line, at `place`.
pub fn kinds_of_file(
    file: (&str, &str),
    place: Option<Range<usize>>,
    problems: &mut Problems,
) -> Option<Vec<RiffleKind>> {
    let before = problems.error_count();
    let mut kinds: Vec<RiffleKind> = Vec::new();
    for row in tables_of_file(file, LIST, &file_fields(), place.clone(), problems)? {
        let name = row.word("name").to_string();
        let line = row.span.clone().map_or(1, |s| 1 + file.1.bytes().take(s.start).filter(|b| *b == b'\n').count());
        let mut refuse = |what: String, help: &str| {
            problems.error(place.clone(), format!("{}, line {line}: {what}", file.0), help);
        };
        if name.is_empty() || kind_of(&name).is_some() || kinds.iter().any(|k| k.name == name) {
            refuse(format!("`{name}` cannot be the name of a riffle of your own"), "give it a name that no other has");
        }
        for key in ["heights", "velocities", "slopes"] {
            let rows = row.rows(key);
            if rows.len() > 1 || rows.iter().any(|r| !matches!(r.as_slice(), [low, high] if low < high)) {
                refuse(
                    format!("`{key}` of `{name}` is one row of two values, the lower first"),
                    "write e.g. heights = [[\"6 mm\", \"10 mm\"]]",
                );
            }
        }
        kinds.push(from_row(&row));
    }
    (problems.error_count() == before).then_some(kinds)
}

fn from_row(row: &Settings) -> RiffleKind {
    let range = |key: &str| match row.rows(key).first().map(Vec::as_slice) {
        Some([low, high]) => Some((*low, *high)),
        _ => None,
    };
    let word = |key: &str| Cow::Owned(row.word(key).to_string());
    let mut heights: Vec<f64> = row.rows("stock_heights").iter().flatten().copied().collect();
    heights.sort_by(f64::total_cmp);
    RiffleKind {
        name: word("name"),
        said: word("said"),
        words: word("words"),
        item: if row.word("item").is_empty() { word("said") } else { word("item") },
        shape: word("shape"),
        usual_height_m: row.number("usual_height"),
        stock_heights_m: Cow::Owned(heights),
        ranges: RiffleRanges {
            height_m: range("heights"),
            velocity_m_s: range("velocities"),
            rated_solids_m2_s: row.maybe("rated_solids"),
            slope: range("slopes"),
        },
        constants: UNCERTAIN.iter().filter_map(|u| Some((u.name, row.maybe(u.name)?))).collect(),
        recovery: word("recovery"),
        source: word("source"),
        status: match row.word("status") {
            "seen" => Status::Seen,
            "from memory" => Status::Memory,
            "computed" => Status::Computed,
            "common practice" => Status::CommonPractice,
            _ => Status::Assumed,
        },
    }
}

/// The kind that the settings of a sluice name, built in or of its file; `None` when it is not known, which is recorded.
pub fn chosen(settings: &Settings, problems: &mut Problems) -> Option<RiffleKind> {
    let own = match settings.file("riffle_file") {
        Some(file) => kinds_of_file(file, settings.place("riffle_file"), problems)?,
        None => Vec::new(),
    };
    let word = settings.word("riffles");
    let found = RIFFLES.iter().chain(&own).find(|k| k.name == word).cloned();
    if found.is_none() {
        let names: Vec<&str> = RIFFLES.iter().chain(&own).map(|k| k.name.as_ref()).collect();
        let known = format!("known: {}", names.join(", "));
        let help = match did_you_mean(word, names) {
            Some(near) => format!("did you mean `{near}`? {known}"),
            None => known,
        };
        problems.error(settings.place("riffles"), format!("there is no riffle `{word}`"), help);
    }
    found
}

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[("sluice-rated-solids-expanded-metal", || {
        kind_of("expanded-metal").and_then(|k| k.ranges.rated_solids_m2_s).unwrap_or(f64::NAN)
    })];
}

#[cfg(test)]
mod tests {
    use super::*;

    const OWN: &str = "[[riffle]]\nname = \"slotted-mat\"\nsaid = \"slotted mat\"\nwords = \"slotted mat, bare\"\n\
        usual_height = \"8 mm\"\nstock_heights = [[\"10 mm\"], [\"8 mm\"]]\nheights = [[\"6 mm\", \"10 mm\"]]\n\
        roughness_ratio = \"1.68\"\nsource = \"invented for this test\"\n";

    fn read(text: &str) -> Result<Vec<RiffleKind>, Vec<String>> {
        let mut problems = Problems::default();
        let kinds = kinds_of_file(("own.toml", text), Some(3..4), &mut problems);
        let list = problems.in_order();
        assert!(list.iter().all(|p| p.span == Some(3..4)));
        kinds.ok_or_else(|| list.into_iter().map(|p| format!("{} | {}", p.message, p.help)).collect())
    }

    #[test]
    fn identity_each_built_in_row_is_complete_and_a_word_of_the_setting() {
        for (kind, word) in RIFFLES.iter().zip(WORDS) {
            assert_eq!((kind.name.as_ref(), kind.words.as_ref()), *word);
            assert!(!word.0.is_empty() && !kind.item.is_empty() && !kind.source.is_empty());
            assert!(kind.factors().iter().all(|f| *f == 1.0));
            let (low, high) = kind.ranges.height_m.unwrap();
            assert!((low..=high).contains(&kind.usual_height_m), "{}", kind.name);
            assert_eq!(kind_for_height(kind.usual_height_m), Some(kind));
        }
    }

    #[test]
    fn identity_a_row_of_a_file_is_read_with_its_units() {
        let kinds = read(OWN).unwrap();
        let [kind] = kinds.as_slice() else { panic!("{kinds:?}") };
        assert_eq!((kind.item.as_ref(), kind.stock_heights_m.as_ref()), ("slotted mat", &[0.008, 0.010][..]));
        assert_eq!(kind.ranges.height_m, Some((0.006, 0.010)));
        assert!(kind.ranges.velocity_m_s.is_none() && kind.recovery.is_empty());
        let moved: Vec<f64> = kind.factors().into_iter().filter(|f| *f != 1.0).collect();
        assert!(moved.len() == 1 && (moved[0] - 1.2).abs() < 1e-12, "{moved:?}");
    }

    #[test]
    fn property_what_is_wrong_in_a_file_is_told_with_its_line() {
        for (from, to, wanted) in [
            ("8 mm\"\ns", "8 gpm\"\ns", "own.toml, line 5: "),
            ("slotted-mat", "angle-iron", "own.toml, line 1: `angle-iron` cannot be the name"),
            ("[\"6 mm\", \"10 mm\"]", "[\"10 mm\", \"6 mm\"]", "own.toml, line 1: `heights` of `slotted-mat`"),
            ("roughness_ratio", "rougness_ratio", "line 8: `rougness_ratio` is not a setting of riffle | did you mean"),
            ("source", "surce", "did you mean `source`?"),
            ("[[riffle]]", "[[rifle]]", "own.toml, line 1: `rifle` is not known here | did you mean [[riffle]]?"),
            ("name = ", "name = =", "own.toml, line 2: "),
        ] {
            let wrong = read(&OWN.replacen(from, to, 1)).unwrap_err();
            assert!(wrong.iter().any(|w| w.contains(wanted)), "{to}: {wrong:?}");
        }
    }
}
