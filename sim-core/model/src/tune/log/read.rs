//! From the rows of a log to cases: what was seen on one day at one set of settings, against the plant as it was set.

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;

use super::columns::{COLUMNS, column};
use super::entry::Entry;
use super::file::LogFile;
use super::raw::{RawEntry, RawLog, TypedSetting, date_of};
use super::{sheet_file, toml_file};
use crate::scenario::{Opened, build};
use crate::tune::evidence::Evidence;
use crate::tune::observe::{ObservationKind, Seen, all};
use crate::variant::{self, Settable, SettingPath, settables};
use sim_core::field::{SheetReader, Told};
use sim_core::plant::Plant;
use sim_core::problem::{Problems, Severity, did_you_mean};
use sim_core::registry::Registry;
use sim_core::setting::Kind;
use sim_core::trial::Worker;

/// What was seen on one day at one set of settings.
pub struct Case {
    /// The day, year-month-day.
    pub date: String,
    /// Settings that differed from the scenario, as text for [`variant::with`]. What changes from hour to hour by nature (the feed
    /// rate) is known for that day and has no spread there, or that of its measurement.
    pub settings: Vec<(SettingPath, String)>,
    /// The plant with these settings. Evidence of this case predicts on workers of this plant.
    pub plant: Arc<Plant>,
    /// What was seen.
    pub evidence: Vec<Box<dyn Evidence>>,
    /// Kind of each observation, by its name in the log.
    pub kinds: Vec<&'static str>,
    /// Place of the first observation in the text of a TOML log.
    pub place: Option<Range<usize>>,
}

/// A log that has been understood.
pub struct FieldLog {
    /// Its cases, in the order of the log.
    pub cases: Vec<Case>,
}

impl FieldLog {
    /// Number of observations.
    pub fn observations(&self) -> usize {
        self.cases.iter().map(|c| c.evidence.len()).sum()
    }
}

/// An entry whose head is understood.
struct Headed<'k> {
    raw: RawEntry,
    kind: &'k ObservationKind,
    date: String,
    /// Which of the cases it belongs to.
    case: usize,
}

/// Reads a log against a scenario that has been built. Problems are recorded, with places in the text of a TOML log, all at
/// once; `None` when there are errors.
pub fn read(
    file: &LogFile,
    opened: &Opened,
    registry: &Registry,
    plant: &Arc<Plant>,
    problems: &mut Problems,
) -> Option<FieldLog> {
    let before = problems.error_count();
    let raw = if file.is_toml { toml_file::raw_log(file, problems) } else { sheet_file::raw_log(file, problems) }?;
    let settables = match settables(opened, registry) {
        Ok(list) => list,
        Err(error) => {
            problems.error(None, error.message, error.help);
            return None;
        }
    };
    let mut sheet_reader = SheetReader::new(problems);
    let RawLog { sheet, entries } = raw;
    let mut cases: Vec<(String, Vec<TypedSetting>)> = Vec::new();
    let (known, readings) = (all(registry), registry.readings());
    let mut headed: Vec<Headed<'_>> = Vec::new();
    for entry in entries {
        let Some((date, kind)) = head_of(&known, &sheet, &entry, &mut sheet_reader) else { continue };
        let same = |s: &[TypedSetting]| {
            s.len() == entry.settings.len()
                && s.iter().zip(&entry.settings).all(|(a, b)| a.path == b.path && a.text == b.text)
        };
        let case = cases.iter().position(|(d, s)| *d == date && same(s)).unwrap_or_else(|| {
            cases.push((date.clone(), entry.settings.clone()));
            cases.len() - 1
        });
        headed.push(Headed { raw: entry, kind, date, case });
    }
    // What the owner did that day is part of the settings of all that he saw that day.
    let mut changes: Vec<Vec<TypedSetting>> = cases.iter().map(|(_, typed)| typed.clone()).collect();
    for h in headed.iter().filter(|h| h.kind.sets_the_day) {
        let rows = sheet.rows.get(h.raw.rows.clone()).unwrap_or_default();
        let mut entry = Entry {
            sheet: &sheet,
            rows,
            plant,
            readings: &readings,
            settables: &settables,
            sheet_reader: &mut sheet_reader,
            title: title(h),
        };
        if unused_columns(&mut entry, h.kind).is_err() {
            continue;
        }
        let Ok(Seen::Day(list)) = h.kind.take(&mut entry) else { continue };
        let place = entry.place();
        let before = if file.is_toml {
            String::new()
        } else {
            format!("{}, row {}: ", sheet.name, rows.first().map_or(0, |r| r.number))
        };
        for (path, text) in list {
            changes[h.case].push(TypedSetting { path, text, place: place.clone(), before: before.clone() });
        }
    }
    sheet_reader.finish(&sheet);
    let mut plants = Plants { opened, registry, base: plant, settables: &settables, built: BTreeMap::new() };
    let set: Vec<Option<Set>> = changes.iter().map(|c| plants.set(c, problems)).collect();
    let held = distinct_plants(&set);
    let mut workers: Vec<Option<Worker<'_>>> = held.iter().map(|_| None).collect();
    let mut sheet_reader = SheetReader::new(problems);
    let mut done: Vec<Option<Case>> = cases.iter().zip(set).map(|((date, _), set)| set.map(|s| s.case(date))).collect();
    for h in headed.iter().filter(|h| !h.kind.sets_the_day) {
        let Some(Some(case)) = done.get_mut(h.case) else { continue };
        let rows = sheet.rows.get(h.raw.rows.clone()).unwrap_or_default();
        let Some(w) = held.iter().position(|p| Arc::ptr_eq(p, &case.plant)) else { continue };
        let plant = &held[w];
        let mut entry = Entry {
            sheet: &sheet,
            rows,
            plant,
            readings: &readings,
            settables: &settables,
            sheet_reader: &mut sheet_reader,
            title: title(h),
        };
        if unused_columns(&mut entry, h.kind).is_err() {
            continue;
        }
        let Ok(Seen::Evidence(evidence)) = h.kind.take(&mut entry) else { continue };
        let worker = workers[w].get_or_insert_with(|| Worker::new(plant, plant.seed));
        if said_nothing(&mut entry, evidence.as_ref(), worker).is_err() {
            continue;
        }
        case.place = case.place.clone().or_else(|| entry.place());
        case.evidence.push(evidence);
        case.kinds.push(h.kind.name);
    }
    sheet_reader.finish(&sheet);
    if problems.error_count() > before {
        return None;
    }
    Some(FieldLog { cases: done.into_iter().flatten().filter(|c| !c.evidence.is_empty()).collect() })
}

/// Each plant once.
fn distinct_plants(sets: &[Option<Set>]) -> Vec<Arc<Plant>> {
    let mut held: Vec<Arc<Plant>> = Vec::new();
    for set in sets.iter().flatten() {
        if !held.iter().any(|p| Arc::ptr_eq(p, &set.plant)) {
            held.push(set.plant.clone());
        }
    }
    held
}

fn title(h: &Headed<'_>) -> String {
    format!("{}, {}", h.kind.name, h.date)
}

/// Date and kind of an entry.
fn head_of<'k>(
    known: &'k [ObservationKind],
    sheet: &sim_core::field::Sheet,
    entry: &RawEntry,
    sheet_reader: &mut SheetReader<'_>,
) -> Option<(String, &'k ObservationKind)> {
    let row = sheet.rows.get(entry.rows.start)?;
    let date = date_of(&entry.date);
    if date.is_none() {
        let (at, said) = if entry.date.is_empty() {
            (None, "the observation has no date".to_string())
        } else {
            (Some(column::DATE), format!("`{}` is not a day of the calendar", entry.date.trim_matches('\u{1}')))
        };
        sheet_reader.error(sheet, Some(row), at, said, "write year-month-day, e.g. 2026-06-12");
    }
    let name = entry.what.trim().to_lowercase().replace([' ', '_'], "-");
    let kind = known.iter().find(|k| k.name == name);
    if kind.is_none() {
        let names = || known.iter().map(|k| k.name);
        let help = match did_you_mean(&name, names()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("known: {}", names().collect::<Vec<_>>().join(", ")),
        };
        let said = if name.is_empty() {
            "it is not said what was observed".to_string()
        } else {
            format!("there is no observation `{}`", entry.what)
        };
        sheet_reader.error(sheet, Some(row), (!name.is_empty()).then_some(column::WHAT), said, help);
    }
    Some((date?, kind?))
}

/// Columns that this observation does not read but that are filled in: most likely a slip.
fn unused_columns(entry: &mut Entry<'_, '_>, kind: &ObservationKind) -> Result<(), Told> {
    const ALWAYS: [usize; 5] = [column::DATE, column::WHAT, column::AT, column::ERROR, column::SHARED_ERROR];
    let known = |c: &usize| ALWAYS.contains(c) || kind.once.contains(c) || kind.rows.contains(c);
    let mut result = Ok(());
    for (c, declared) in COLUMNS.iter().enumerate().filter(|(c, _)| !known(c)) {
        if let Some(row) = entry.rows_with(&[c]).first() {
            let reads: Vec<&str> =
                kind.once.iter().chain(kind.rows.iter()).filter_map(|c| COLUMNS.get(*c)).map(|c| c.key).collect();
            result = Err(entry.error(
                Some((*row, c)),
                format!("`{}` has no meaning for {}", declared.key, kind.name),
                format!("it reads: {}", reads.join(", ")),
            ));
        }
    }
    result
}

/// The middle case must predict the observation.
fn said_nothing(entry: &mut Entry<'_, '_>, evidence: &dyn Evidence, worker: &mut Worker<'_>) -> Result<(), Told> {
    let mut predicted = Vec::new();
    evidence.predict(worker, &mut predicted);
    let parts = evidence.parts();
    match parts.iter().zip(&predicted).find(|(_, p)| !p.is_finite()) {
        None if predicted.len() >= parts.len() => Ok(()),
        missing => {
            let words = missing.map_or("it", |(part, _)| part.words.as_str()).to_string();
            Err(entry.error(
                None,
                format!("the plant of this scenario does not tell {words}"),
                "give the scenario what belongs to it (motor, pump, pond), or take the observation out",
            ))
        }
    }
}

/// The plants of a log, one for each set of settings.
struct Plants<'a> {
    opened: &'a Opened,
    registry: &'a Registry,
    base: &'a Arc<Plant>,
    settables: &'a [Settable],
    built: BTreeMap<String, Arc<Plant>>,
}

/// Settings that lead somewhere, and the plant that they make.
struct Set {
    settings: Vec<(SettingPath, String)>,
    plant: Arc<Plant>,
}

impl Set {
    fn case(self, date: &str) -> Case {
        Case {
            date: date.to_string(),
            settings: self.settings,
            plant: self.plant,
            evidence: Vec::new(),
            kinds: Vec::new(),
            place: None,
        }
    }
}

impl Plants<'_> {
    fn set(&mut self, typed: &[TypedSetting], problems: &mut Problems) -> Option<Set> {
        let before = problems.error_count();
        let mut settings: Vec<(SettingPath, String)> = Vec::new();
        for t in typed {
            match SettingPath::among(&t.path, self.settables) {
                Ok(path) => {
                    let twice = settings.iter().any(|(p, _)| p.text() == path.text());
                    if twice {
                        problems.error(
                            t.place.clone(),
                            format!("{}`{}` is said twice for this day", t.before, t.path),
                            "keep one: the setting, or the measurement of that day",
                        );
                        continue;
                    }
                    self.warn_of_constant(t, &path, problems);
                    let text = self.known_that_day(&path, &t.text);
                    settings.push((path, text));
                }
                Err(error) => problems.error(t.place.clone(), format!("{}{}", t.before, error.message), error.help),
            }
        }
        if problems.error_count() > before {
            return None;
        }
        if settings.is_empty() {
            return Some(Set { settings, plant: self.base.clone() });
        }
        let key = settings.iter().map(|(p, t)| format!("{}={t}\n", p.text())).collect::<String>();
        if let Some(plant) = self.built.get(&key) {
            return Some(Set { settings, plant: plant.clone() });
        }
        let mut inner = Problems::default();
        let built = match variant::with(self.opened, &settings) {
            Ok(changed) => build(&changed, self.registry, &mut inner),
            Err(error) => {
                inner.error(None, error.message, error.help);
                None
            }
        };
        if let Some(plant) = built {
            let plant = Arc::new(plant);
            self.built.insert(key, plant.clone());
            return Some(Set { settings, plant });
        }
        let (place, before) = typed.first().map_or((None, ""), |t| (t.place.clone(), t.before.as_str()));
        for p in inner.in_order().into_iter().filter(|p| p.severity == Severity::Error) {
            problems.error(
                place.clone(),
                format!("{before}with the settings of this day the plant cannot be: {}", p.message),
                p.help,
            );
        }
        None
    }

    /// A plain value of a setting that has a spread in the scenario stands for that day: the spread goes.
    fn known_that_day(&self, path: &SettingPath, text: &str) -> String {
        let spread = self.settables.iter().find(|s| s.path == path.text()).and_then(|s| s.spread.as_ref());
        if spread.is_some() && !text.trim_start().starts_with('{') {
            let quoted = text.trim().replace('\\', "\\\\").replace('"', "\\\"");
            return format!("{{ low = \"{quoted}\", mid = \"{quoted}\", high = \"{quoted}\" }}");
        }
        text.to_string()
    }

    fn warn_of_constant(&self, t: &TypedSetting, path: &SettingPath, problems: &mut Problems) {
        let setting = path.setting();
        let drawn = self.base.inputs.all().iter().any(|i| i.name == path.text().replacen('.', "/", 1));
        if matches!(setting.kind, Kind::Quantity(_)) && setting.nature == sim_core::draw::Nature::Ignorance && drawn {
            problems.warning(
                t.place.clone(),
                format!("{}`{}` is one of the constants that tuning looks for", t.before, t.path),
                "typed for a day it takes no part in that day's comparison; what is known for good belongs in the scenario",
            );
        }
    }
}
