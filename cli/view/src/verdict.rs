//! The verdict in the terminal: one screen, the four questions first, plain words.

use sim_core::plant::Plant;
use sim_core::stage::Severity;
use washgraph_model::result::RunResult;

use crate::answers::{Wording, answers};
use crate::line::{Line, Tone, strong};
use crate::money_words;
use crate::numbers::{percent, runs};
use crate::terminal::{USUAL_WIDTH, bare, painted, wrapped};
use crate::water_words;

/// Warnings shown; the report has all.
const WARNINGS: usize = 2;
/// Remedies against lack of water named; `water` has all.
const REMEDIES: usize = 1;

/// Whether a limit is missed: water supply below need, or a limit warning in half of the trials.
pub fn limits_missed(outcome: &RunResult) -> bool {
    outcome.water.short_share > water_words::SHORT
        || outcome.warnings.iter().any(|w| w.severity == Severity::Limit && w.share_of_trials > 0.5)
}

/// Why the plant cannot run at all: the water of its pond never clears, in the middle case or in half of the runs.
pub fn water_never_clears(outcome: &RunResult) -> Option<String> {
    let circuit = outcome.water.circuit.as_ref()?;
    let impossible = !circuit.middle_closes || circuit.unclosed_share > 0.5;
    impossible.then(|| {
        format!(
            "the water of the pond never clears in {} of runs{}: the fines build up until it is a paste, and the gold figures above mean nothing. \
             Let some water out for good (bleed), take more fresh water, or make the clay settle; time a jar of your water first",
            percent(circuit.unclosed_share),
            if circuit.middle_closes { "" } else { ", the middle case among them" }
        )
    })
}

/// What is said of a run.
pub struct Verdict {
    blocks: Vec<(String, Vec<Line>)>,
    /// What would bring enough water, in full; empty when there is enough, or no pump.
    pub remedies: String,
}

/// The verdict and, when water is short, what would bring enough of it.
pub fn with_remedies(outcome: &RunResult, plant: &Plant, seed: u64) -> Verdict {
    let short = outcome.water.short_share > water_words::SHORT;
    let remedies = if short { water_words::remedy_lines(plant, seed) } else { String::new() };
    let mut blocks = vec![(plant.title.clone(), question(plant))];
    let wording = Wording { units: plant.units, full: false };
    for (told, extra) in answers(outcome, &plant.understood, wording).into_iter().zip([
        Vec::new(),
        first_remedies(&remedies),
        Vec::new(),
        more_on_money(outcome),
    ]) {
        blocks.push((told.question.to_string(), told.lines.into_iter().chain(extra).collect()));
    }
    let (care, more) = warnings(outcome);
    if !care.is_empty() {
        let more = if more > 0 { format!(" ({more} more in the report)") } else { String::new() };
        blocks.push((format!("Take care of{more}"), care));
    }
    let mut last = vec![said(format!("{}: {}", strong("Next"), next_step(outcome)))];
    last.extend(outcome.provenance.tuned.as_ref().map(|t| said(t.words())));
    last.push(said(format!(
        "{} runs, seed {}. A planning estimate, not a promise: see the report.",
        outcome.provenance.trials, outcome.provenance.seed
    )));
    blocks.push((String::new(), last));
    Verdict { blocks, remedies }
}

fn said(text: String) -> Line {
    Line { text, tone: Tone::Plain }
}

fn item(text: String) -> Line {
    Line { text, tone: Tone::Item }
}

fn question(plant: &Plant) -> Vec<Line> {
    if plant.question.is_empty() { Vec::new() } else { vec![said(plant.question.clone())] }
}

/// The first remedies, without what each comes to.
fn first_remedies(remedies: &str) -> Vec<Line> {
    let mut lines = remedies.lines();
    let Some(start) = lines.next() else { return Vec::new() };
    let list: Vec<&str> = lines.take_while(|l| l.starts_with(' ')).collect();
    let name = |l: &&str| l.trim().trim_start_matches(|c: char| c.is_ascii_digit() || c == '.').trim().to_string();
    let first: Vec<String> =
        list.iter().take(REMEDIES).map(|l| name(l).split(": ").next().unwrap_or_default().to_string()).collect();
    let more = list.len().saturating_sub(first.len());
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let start = start.trim_end_matches(':');
    vec![said(format!(
        "{start}: {}{more}. `washgraph water` has them in full, and what pump to buy.",
        first.join("; ")
    ))]
}

/// When the plant is paid off, and what clean-ups at another interval would bring.
fn more_on_money(outcome: &RunResult) -> Vec<Line> {
    let Some(m) = &outcome.money else { return Vec::new() };
    let paid = money_words::paid_off_in_short(m);
    let clean_up = money_words::interval(m);
    paid.into_iter().chain(clean_up).map(said).collect()
}

/// The first warnings, and how many more there are.
fn warnings(outcome: &RunResult) -> (Vec<Line>, usize) {
    let worth: Vec<_> = outcome.warnings.iter().filter(|w| w.severity > Severity::Note).collect();
    let words = |w: &&washgraph_model::result::WarningSummary| {
        item(format!("{} ({}): {}", strong(&w.stage), runs(w.share_of_trials), first_sentence(&w.text)))
    };
    (worth.iter().take(WARNINGS).map(words).collect(), worth.len().saturating_sub(WARNINGS))
}

/// The first sentence of a text.
fn first_sentence(text: &str) -> &str {
    text.split_once(". ").map_or(text, |(first, _)| first)
}

impl Verdict {
    /// For a terminal of that width, with bold and colour, which the stream strips where nobody sees them.
    pub fn screen(&self, width: usize) -> String {
        self.written(width, &painted)
    }

    /// Plain text for a file.
    pub fn plain(&self) -> String {
        self.written(USUAL_WIDTH, &|text, _| bare(text))
    }

    fn written(&self, width: usize, paint: &dyn Fn(&str, Tone) -> String) -> String {
        let mut out = String::new();
        for (i, (heading, lines)) in self.blocks.iter().enumerate() {
            if !heading.is_empty() {
                out += &paint(&wrapped(&strong(heading), width, "", ""), Tone::Plain);
            }
            let indent = if i == 0 || heading.is_empty() { "" } else { "  " };
            for line in lines {
                let (first, rest) =
                    if line.tone == Tone::Item { ("  - ".to_string(), "    ") } else { (indent.to_string(), indent) };
                out += &paint(&wrapped(&line.text, width, &first, rest), line.tone);
            }
        }
        out
    }
}

/// What to do next about the greatest loss.
pub fn next_step(outcome: &RunResult) -> String {
    if outcome.water.short_share > 0.5 {
        return "give the plant more water or less gravel before anything else; better screening alone would thicken the sluice.".into();
    }
    let greatest = outcome.losses.first().map(|l| l.next_step.as_str()).filter(|step| !step.is_empty());
    greatest.unwrap_or("pan the tailings at the end of the box and compare with the table of recovery by size.").into()
}
