//! The tuned file: what the plant's own results say of its constants, to be read with the scenario.
//!
//! ```text
//! # comment lines: what it is, how to use it, what moved           for people
//! format, made_by, title, log, observations, dates, ...            where it comes from
//! constant = [ { name, meaning, unit, before, after, prior } ]     before and after: 1 run in 10 below, middle, 1 in 10 above
//! draws = """..."""                                                one line a joint draw, four hexadecimal digits a constant
//! ```
//! A draw of 8000 (hexadecimal) is the middle of the constant's spread as the scenario has it, 0000 its low end, ffff its
//! high end; in steps of 1 in 65,536. `prior` is a fingerprint of that spread: when the scenario gives the constant another
//! spread later, its column no longer means what it meant, and the constant is drawn from the new spread instead. A file of
//! no observations holds no draws and changes nothing.

use sim_core::provenance::TunedNote;
use std::fmt::Write as _;

use serde::Deserialize;

use super::constants::{Constant, Constants, places_of, set_middle_of_gold};
use sim_core::draw::InputList;
use sim_core::ground::Ground;
use sim_core::joint::JointDraws;

/// Version of the layout that is written and read.
pub const FORMAT: u32 = 1;

/// Steps into which a spread is cut.
const STEPS: f64 = 65_536.0;
/// Digits of a number.
const DIGITS: usize = 4;
/// Most joint draws that are read.
const MOST_DRAWS: usize = 100_000;

/// What a tuned file says.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TunedFile {
    /// Version of the layout.
    pub format: u32,
    /// Program and version.
    #[serde(default)]
    pub made_by: String,
    /// Title of the scenario that was tuned.
    #[serde(default)]
    pub title: String,
    /// File of the field log.
    #[serde(default)]
    pub log: String,
    /// SHA-256 of the scenario that was tuned, with the files that it names.
    #[serde(default)]
    pub scenario_sha256: String,
    /// Number of observations.
    pub observations: usize,
    /// Date of the first observation, as in the log; empty when it has none.
    #[serde(default)]
    pub first: String,
    /// Date of the last.
    #[serde(default)]
    pub last: String,
    /// Seed of the tuning.
    #[serde(default)]
    pub seed: u64,
    /// Trials of constants that were weighed.
    #[serde(default)]
    pub trials: usize,
    /// How many independent trials the weighed ones are worth.
    #[serde(default)]
    pub effective_trials: f64,
    /// The constants, in the order of the columns.
    #[serde(default)]
    pub constant: Vec<TunedConstant>,
    /// The joint draws.
    #[serde(default)]
    pub draws: String,
}

/// One constant in a tuned file.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TunedConstant {
    /// Name of the input.
    pub name: String,
    /// Meaning in plain words.
    #[serde(default)]
    pub meaning: String,
    /// SI unit.
    #[serde(default)]
    pub unit: String,
    /// 1 run in 10 falls below, middle, 1 in 10 above: as the scenario has it.
    pub before: [f64; 3],
    /// The same with the observations.
    pub after: [f64; 3],
    /// Fingerprint of the spread that was tuned.
    pub prior: String,
}

impl TunedConstant {
    /// A constant with its new spread.
    pub fn new(constant: &Constant, after: [f64; 3]) -> TunedConstant {
        TunedConstant {
            name: constant.name.clone(),
            meaning: constant.meaning.clone(),
            unit: constant.dimension.si_symbol().into(),
            before: constant.before(),
            after,
            prior: hex(constant.fingerprint),
        }
    }
}

/// A tuned file put to a plant: joint draws for its inputs, and what could not be used.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// The joint draws; `None` when nothing of the file fits, or it holds no observations.
    pub joint: Option<JointDraws>,
    /// Number of constants used.
    pub used: usize,
    /// Constants whose spread has been changed since: they are drawn as now written.
    pub respread: Vec<String>,
    /// Constants that the plant does not have as uncertain inputs.
    pub gone: Vec<String>,
}

impl TunedFile {
    /// What a result says of this file under the name `name`: constants that it bears on, and those left out.
    pub(crate) fn note(&self, name: &str, constants: usize, left_out: usize) -> TunedNote {
        TunedNote {
            file: name.to_string(),
            observations: self.observations,
            first: self.first.clone(),
            last: self.last.clone(),
            effective_trials: self.effective_trials,
            constants,
            left_out,
        }
    }

    /// Reads the text of a file; the error says what is wrong, and in which line where that is known.
    pub fn read(text: &str) -> Result<TunedFile, String> {
        let file: TunedFile = toml::from_str(text).map_err(|e| {
            let line = e.span().map(|s| text.get(..s.start).map_or(1, |t| t.matches('\n').count() + 1));
            let place = line.map_or(String::new(), |n| format!("line {n}: "));
            format!("{place}{}", e.message().to_lowercase())
        })?;
        if file.format != FORMAT {
            return Err(format!("its layout is version {}, this program reads version {FORMAT}", file.format));
        }
        Ok(file)
    }

    /// Number of joint draws.
    pub fn rows(&self) -> usize {
        self.draws.lines().filter(|l| !l.trim().is_empty()).count()
    }

    /// Puts the file to the inputs of a plant. The error says what is wrong with the draws.
    pub fn fit(&self, inputs: &InputList, ground: &Ground) -> Result<Fitted, String> {
        let mut fitted = Fitted { joint: None, used: 0, respread: Vec::new(), gone: Vec::new() };
        let width = self.constant.len();
        let numbers = numbers_of(&self.draws, width)?;
        if numbers.is_empty() {
            return Ok(fitted);
        }
        let now = Constants::among(inputs, ground);
        let usable = |c: &TunedConstant| match now.all().iter().find(|n| n.name == c.name) {
            Some(known) if hex(known.fingerprint) == c.prior => true,
            Some(_) => {
                fitted.respread.push(c.name.clone());
                false
            }
            None => {
                fitted.gone.push(c.name.clone());
                false
            }
        };
        // A name that no input has takes the place of a constant that is not used.
        let mut usable = usable;
        let names: Vec<&str> = self.constant.iter().map(|c| if usable(c) { c.name.as_str() } else { "" }).collect();
        let used = names.iter().filter(|n| !n.is_empty()).count();
        fitted.used = used;
        if used > 0 {
            fitted.joint = JointDraws::new(places_of(&names, inputs), width, numbers).map(|mut joint| {
                set_middle_of_gold(&mut joint, ground);
                joint
            });
        }
        Ok(fitted)
    }

    /// The text of the file. `comments` stand on top, one a line.
    pub fn text(&self, comments: &[String]) -> String {
        let mut t = String::new();
        for line in comments {
            let _ = writeln!(t, "{}", format!("# {line}").trim_end());
        }
        let quoted = |s: &str| toml::Value::from(s).to_string();
        let _ = writeln!(t, "\nformat = {}", self.format);
        for (key, value) in [
            ("made_by", &self.made_by),
            ("title", &self.title),
            ("log", &self.log),
            ("scenario_sha256", &self.scenario_sha256),
            ("first", &self.first),
            ("last", &self.last),
        ] {
            let _ = writeln!(t, "{key} = {}", quoted(value));
        }
        let _ = writeln!(t, "observations = {}\nseed = {}\ntrials = {}", self.observations, self.seed, self.trials);
        let _ = writeln!(t, "effective_trials = {:.1}", self.effective_trials);
        let _ = writeln!(t, "\n# SI units: 1 run in 10 falls below, middle, 1 run in 10 is above.");
        let _ = writeln!(t, "constant = [");
        for c in &self.constant {
            let _ = writeln!(
                t,
                "  {{ name = {}, unit = {}, before = {}, after = {}, prior = {}, meaning = {} }},",
                quoted(&c.name),
                quoted(&c.unit),
                three(&c.before),
                three(&c.after),
                quoted(&c.prior),
                quoted(&c.meaning)
            );
        }
        let _ = writeln!(t, "]\n\n# For the program: not to be edited by hand.\ndraws = \"\"\"\n{}\"\"\"", self.draws);
        t
    }
}

fn three(values: &[f64; 3]) -> String {
    let [a, b, c] = values.map(|v| format!("{v:.4e}"));
    format!("[{a}, {b}, {c}]")
}

fn hex(fingerprint: u64) -> String {
    format!("{fingerprint:016x}")
}

/// Rows of numbers between 0 and 1 as text.
pub fn draws_text(numbers: &[f64], width: usize) -> String {
    let mut t = String::with_capacity(numbers.len() * DIGITS + numbers.len() / width.max(1));
    for row in numbers.chunks(width.max(1)) {
        for u in row {
            let _ = write!(t, "{:04x}", (u * STEPS).clamp(0.0, STEPS - 1.0) as u32);
        }
        t.push('\n');
    }
    t
}

/// The number that stands in the file for a number.
pub fn on_steps(u: f64) -> f64 {
    number_of((u * STEPS).clamp(0.0, STEPS - 1.0) as u32)
}

/// The number that a step stands for.
fn number_of(step: u32) -> f64 {
    (f64::from(step) + 0.5) / STEPS
}

/// The numbers of rows given as text.
fn numbers_of(draws: &str, width: usize) -> Result<Vec<f64>, String> {
    let mut numbers = Vec::new();
    for (i, line) in draws.lines().map(str::trim).filter(|l| !l.is_empty()).enumerate() {
        if i >= MOST_DRAWS {
            return Err(format!("it holds more than {MOST_DRAWS} draws"));
        }
        if line.len() != DIGITS * width || !line.is_ascii() {
            return Err(format!(
                "draw {} has {} digits where {width} constants need {}: the file has been cut or edited",
                i + 1,
                line.len(),
                DIGITS * width
            ));
        }
        for c in 0..width {
            let digits = line.get(c * DIGITS..(c + 1) * DIGITS).unwrap_or("");
            let step = u32::from_str_radix(digits, 16)
                .map_err(|_| format!("draw {}: `{digits}` is no number: the file has been edited", i + 1))?;
            numbers.push(number_of(step));
        }
    }
    Ok(numbers)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_draws_come_back_within_half_a_step() {
        let numbers: Vec<f64> = (0..60).map(|i| (f64::from(i) + 0.37) / 60.0).collect();
        let back = numbers_of(&draws_text(&numbers, 6), 6).unwrap();
        assert_eq!(back.len(), 60);
        for (a, b) in numbers.iter().zip(&back) {
            assert!((a - b).abs() <= 0.5 / STEPS, "{a} {b}");
        }
        assert_eq!(draws_text(&back, 6), draws_text(&numbers, 6));
    }

    #[test]
    fn property_a_file_that_was_cut_or_edited_is_refused_in_words() {
        let sound = TunedFile { format: FORMAT, observations: 2, draws: "80000000\n".into(), ..TunedFile::default() };
        let text = sound.text(&["a comment".into()]);
        assert_eq!(TunedFile::read(&text).unwrap().draws, "80000000\n");
        for (broken, says) in [
            (text.replace("format = 1", "format = 9"), "version 9"),
            (text.replace("format = 1", "formt = 1"), "line 3"),
            (text.replace("observations = 2", "observations = \"two\""), "line"),
        ] {
            let error = TunedFile::read(&broken).unwrap_err();
            assert!(error.contains(says), "{error}");
        }
        assert!(numbers_of("8000\n80\n", 1).unwrap_err().contains("draw 2"));
        assert!(numbers_of("80zz\n", 1).unwrap_err().contains("80zz"));
    }
}
