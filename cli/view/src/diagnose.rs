//! The judgement in words.

use std::fmt::Write as _;

use comfy_table::{ContentArrangement, Table};
use sim_core::constants::G_H_PER_KG_S;
use sim_core::quantity::{UnitChoice, show};
use sim_core::stage::Symptom;

use crate::numbers::{capital, three};
use crate::words::{money, percent, points};
use washgraph_advice::diagnose::judge::{AS_BUILT_NAME, Check, DETAILED, Judgement, Remedy, Tried};
use washgraph_advice::diagnose::symptoms::sign_words;

/// Rows of the table.
const ROWS: usize = 8;
/// Width where the terminal does not say.
const WIDTH: u16 = 100;
/// Two expectations this far apart are told by one reading.
const DECIDES: f64 = 2.0;
/// Below this, hardly at all.
const HARDLY: f64 = 0.7;
/// A remedy that moves the gold by less than this share does nothing to it.
const NOTHING: f64 = 0.002;
/// Remedies shown beside the one that undoes the cause.
const STEPS: usize = 2;

/// Cautions that go with every symptom.
pub const CAUTIONS: [&str; 3] = [
    "stop the drum, lock it out and keep the key before you look into it or measure inside; never reach into a turning drum",
    "change one thing at a time, let it run for a shift, and write down what changed",
    "these are the model's expectations, not a survey of your plant: local codes and licensed practice decide what may be done",
];

/// All that the text needs.
pub struct Said<'a> {
    /// Title of the scenario.
    pub title: &'a str,
    /// What the owner sees.
    pub symptoms: &'a [&'a Symptom],
    /// Readings that this plant does not have.
    pub missing: &'a [usize],
    /// The causes, ranked.
    pub judgement: &'a Judgement<'a>,
    /// Recovery without and with each cause.
    pub recoveries: &'a [(f64, f64)],
    /// Units of the reader.
    pub units: UnitChoice,
    /// Currency; empty without money.
    pub currency: &'a str,
    /// Trials of each cause.
    pub trials: usize,
}

/// The whole text.
pub fn text(said: &Said<'_>) -> String {
    let mut t = format!("{}\n\n", said.title);
    let seen: Vec<&str> = said.symptoms.iter().map(|s| s.seen).collect();
    let _ = writeln!(t, "Seen: {}.", seen.join("; and "));
    let _ = writeln!(t, "QuestionAnswer on this plant by:");
    for sign in &said.judgement.signs {
        let _ = writeln!(t, "  {}", sign_words(sign, said.judgement.readings));
    }
    for reading in said.missing.iter().filter_map(|i| said.judgement.readings.get(*i)) {
        let _ = writeln!(t, "  (this scenario cannot say: {}; it is left out)", reading.words);
    }
    t.push('\n');
    ranking(&mut t, said);
    for (i, tried) in said.judgement.tried.iter().take(DETAILED).enumerate() {
        detail(&mut t, said, i, tried);
    }
    as_built(&mut t, said);
    closing(&mut t, said);
    wrapped(&t, width())
}

/// Width of the terminal, or the usual one.
fn width() -> usize {
    usize::from(Table::new().width().unwrap_or(WIDTH).clamp(40, 120))
}

/// Lines broken between words, what follows set in by as much as the line was and two more.
fn wrapped(text: &str, width: usize) -> String {
    let mut out = String::with_capacity(text.len() + 64);
    for line in text.lines() {
        if line.chars().count() <= width {
            let _ = writeln!(out, "{}", line.trim_end());
            continue;
        }
        let indent = line.len() - line.trim_start().len();
        let mut used = 0;
        // A number keeps its percent sign.
        let glued = line.replace(" %", "\u{a0}%");
        for word in glued.split(' ').filter(|w| !w.is_empty()) {
            let length = word.chars().count();
            if used == 0 {
                let _ = write!(out, "{}{word}", " ".repeat(indent));
                used = indent + length;
            } else if used + 1 + length <= width {
                let _ = write!(out, " {word}");
                used += 1 + length;
            } else {
                let _ = write!(out, "\n{}{word}", " ".repeat(indent + 2));
                used = indent + 2 + length;
            }
        }
        out.push('\n');
    }
    out.replace('\u{a0}', " ")
}

fn ranking(t: &mut String, said: &Said<'_>) {
    let j = said.judgement;
    if j.tried.is_empty() {
        let _ = writeln!(
            t,
            "Nothing that the model can change on this plant brings this. Either a part of it is not in the scenario, or the cause \
             is one of those at the end that the model does not know."
        );
        return;
    }
    let mut table = Table::new();
    table.load_style(comfy_table::presets::NOTHING).set_content_arrangement(ContentArrangement::Dynamic);
    if table.width().is_none() {
        table.set_width(WIDTH);
    }
    if let Some(width) = table.width() {
        table.set_width(width.clamp(40, 120));
    }
    table.set_header(["", "Cause", "Chance", "Brings it in", "Recovery"]);
    for (i, (tried, recovery)) in j.tried.iter().zip(said.recoveries).take(ROWS).enumerate() {
        table.add_row([
            format!("{}.", i + 1),
            tried.candidate.words(),
            percent(tried.chance),
            format!("{} of runs", percent(tried.brought.brings)),
            format!("{:.1} -> {:.1} %", 100.0 * recovery.0, 100.0 * recovery.1),
        ]);
    }
    if j.as_built.1 >= 0.005 {
        table.add_row([
            String::new(),
            "nothing has changed: the plant is built or fed so".to_string(),
            percent(j.as_built.1),
            format!("{} of runs", percent(j.as_built.0)),
            String::new(),
        ]);
    }
    let _ = writeln!(t, "{table}\n");
    let more = j.tried.len().saturating_sub(ROWS);
    if more > 0 {
        let _ = writeln!(t, "({more} less likely ones stand in the table in the folder.)");
    }
    let _ = writeln!(
        t,
        "Chance: how often the cause brings it on this plant ({} runs of each grade, slight to bad) times how often it happens at \
         all (assumed; set it with --weight NAME=NUMBER). One cause at a time; what it does to the recovery holds for runs that \
         show the symptom.\n",
        said.trials
    );
}

fn detail(t: &mut String, said: &Said<'_>, i: usize, tried: &Tried<'_>) {
    let j = said.judgement;
    let _ = writeln!(t, "{}. {} [{}]", i + 1, capital(&tried.candidate.words()), tried.candidate.cause.name);
    let look = tried.candidate.cause.look;
    let _ = writeln!(t, "   Look: {look}{}", if look.ends_with('?') { "" } else { "." });
    if let Some(check) = j.checks.iter().find(|c| c.one == i) {
        let _ = writeln!(t, "   {}", check_words(check, said));
    }
    let Some(list) = j.remedies.get(i) else { return };
    let (undo, steps): (Vec<&Remedy>, Vec<&Remedy>) = list.iter().partition(|r| r.undoes);
    for r in &undo {
        let _ = writeln!(t, "   First: {}. {}", r.words, remedy_words(r, said));
    }
    let helpful: Vec<&&Remedy> = steps.iter().filter(|r| helps(r)).take(STEPS).collect();
    match (undo.is_empty(), helpful.is_empty()) {
        (true, true) => {
            let _ = writeln!(
                t,
                "   Nothing that the model can change here helps: it belongs to the ground. Go on, or leave it."
            );
        }
        (true, false) => {
            let _ = writeln!(t, "   It belongs to the ground; what helps, one at a time:");
        }
        (false, false) => {
            let _ = writeln!(t, "   Until then, or if that is not it, one at a time:");
        }
        (false, true) => {}
    }
    for r in helpful {
        let _ = writeln!(t, "     {}. {}", r.words, remedy_words(r, said));
    }
    t.push('\n');
}

/// A step that brings gold, or takes much of the symptom away without costing gold.
fn helps(r: &Remedy) -> bool {
    let gain = (r.caught.1 - r.caught.0) / r.caught.0;
    gain > NOTHING || (gain > -NOTHING && r.symptom.1 < 0.7 * r.symptom.0)
}

fn check_words(check: &Check, said: &Said<'_>) -> String {
    let j = said.judgement;
    let a = check.apart;
    let Some(reading) = j.readings.get(a.reading) else { return String::new() };
    let number = |x: f64| show(x, reading.dimension, said.units);
    let next = j.tried.get(check.other).map_or(String::new(), |t| t.candidate.words());
    if a.apart < HARDLY {
        return format!("Tells it from the next ({next}): no reading that the model has; look at both.");
    }
    let sure = if a.apart >= DECIDES { "" } else { " (one reading alone does not decide: repeat it)" };
    format!(
        "Tells it from the next ({next}): {}: {} if it is this, {} if it is that; {} as it should be{sure}. Take it so: {}.",
        reading.words,
        number(a.one),
        number(a.other),
        number(a.should),
        reading.how
    )
}

fn remedy_words(r: &Remedy, said: &Said<'_>) -> String {
    let gap = r.caught.1 - r.caught.0;
    let mut words = if (gap / r.caught.0).abs() < NOTHING {
        "The model sees no difference in gold".to_string()
    } else {
        let (verb, because) = match (gap > 0.0, r.recovery.1 > r.recovery.0) {
            (true, _) => ("brings", ""),
            (false, true) => ("costs", ": less ground goes through, less of it is lost"),
            (false, false) => ("costs", ""),
        };
        format!(
            "The model says that it {verb} {} g/h of raw gold (recovery {}, {}{because})",
            three(gap.abs() * G_H_PER_KG_S),
            percent(r.recovery.1),
            points(r.recovery.1 - r.recovery.0)
        )
    };
    let season = r.season.1 - r.season.0;
    if season.is_finite() && (gap / r.caught.0).abs() >= NOTHING {
        let sign = if season < 0.0 { "less" } else { "more" };
        let _ = write!(words, ", {} a season {sign} if it stayed so", money(season.abs(), said.currency));
    }
    let gone = 1.0 - r.symptom.1 / r.symptom.0;
    let _ = match gone {
        g if g > 0.8 => write!(words, "; the symptom goes"),
        g if g > 0.3 => write!(words, "; the symptom eases"),
        g if g < -0.3 => write!(words, "; the symptom gets worse"),
        _ => write!(words, "; the symptom stays"),
    };
    words + "."
}

fn as_built(t: &mut String, said: &Said<'_>) {
    let j = said.judgement;
    if j.as_built.1 < 0.05 {
        return;
    }
    let _ = writeln!(
        t,
        "If nothing has changed [{AS_BUILT_NAME}]: {} of the runs of this plant as designed show it.",
        percent(j.as_built.0)
    );
    for r in j.remedies.last().into_iter().flatten().filter(|r| helps(r)).take(STEPS) {
        let _ = writeln!(t, "     {}. {}", r.words, remedy_words(r, said));
    }
    t.push('\n');
}

fn closing(t: &mut String, said: &Said<'_>) {
    let _ = writeln!(t, "Not in the model, look anyway (common practice, no source):");
    for line in said.symptoms.iter().flat_map(|s| s.look_anyway) {
        let _ = writeln!(t, "  - {line}");
    }
    let mut more: Vec<&str> = said.symptoms.iter().map(|s| s.ask_also).filter(|more| !more.is_empty()).collect();
    more.dedup();
    for line in more {
        let _ = writeln!(t, "\n{line}");
    }
    let j = said.judgement;
    if !j.refused.is_empty() {
        let _ = writeln!(t, "\nCould not be tried on this plant:");
        for (name, reason) in &j.refused {
            let _ = writeln!(t, "  - {name}: {reason}");
        }
    }
    let _ = writeln!(t, "\nTake care:");
    let mut own: Vec<&str> = said.symptoms.iter().flat_map(|s| s.cautions).copied().collect();
    own.dedup();
    for line in own.iter().chain(&CAUTIONS) {
        let _ = writeln!(t, "  - {line}");
    }
}
