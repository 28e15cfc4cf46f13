//! The parts of the page that follow the settings: the headline, and the answers to the miner's four questions.

use maud::{Markup, html};
use sim_core::constants::S_PER_H;
use sim_core::lever::Question;
use sim_core::problem::Severity;
use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::stage;
use washgraph_model::result::RunResult;

use crate::page::design::{Design, PINNED};
use crate::page::field::{Field, Remark, Sheet};
use crate::page::pinned::{Gap, gap, side_by_side, signed};
use crate::page::work::{LIVE_TRIALS, Worked};
use washgraph_view::figures::{Figure, FigureError, vectors};
use washgraph_view::numbers::{amount, capital, percent, runs, three};
use washgraph_view::report;

/// Figures that are redrawn while a setting moves.
const LIVE: [&str; 4] = ["recovery-by-size", "water", "gold-path", "season-money"];

/// Everything that an answer is made from.
pub(super) struct Shown<'a> {
    pub worked: &'a Worked,
    pub pinned: Option<&'a Worked>,
    pub gap: Option<Gap>,
    pub figures: Vec<Figure>,
}

impl<'a> Shown<'a> {
    /// Draws the figures of a result.
    pub fn new(worked: &'a Worked, pinned: Option<&'a Worked>) -> Result<Self, FigureError> {
        let figures = vectors(&worked.outcome, worked.plant.units, &LIVE)?;
        Ok(Shown { worked, pinned, gap: pinned.and_then(|p| gap(worked, p)), figures })
    }

    fn picture(&self, name: &str) -> Markup {
        let figure = self.figures.iter().find(|f| f.name == name);
        html! { @if let Some(f) = figure { (report::picture(f)) } }
    }

    fn units(&self) -> UnitChoice {
        self.worked.plant.units
    }
}

/// Name of the element that holds an answer.
pub(super) fn answer_id(question: Question) -> &'static str {
    match question {
        Question::Hole => "answer-hole",
        Question::Water => "answer-water",
        Question::Losses => "answer-losses",
        Question::Pay => "answer-pay",
    }
}

/// The headline: how much is caught, how much gold that is, whether the water suffices, what to look at.
pub(super) fn strip(shown: Option<&Shown<'_>>) -> Markup {
    html! {
        section #strip aria-label="In short" { dl {
            @match shown {
                None => div { dt { "No figures yet" } dd { "see below" } },
                Some(s) => {
                    @let o = &s.worked.outcome;
                    @let g = &o.gold;
                    @let worries = o.warnings.iter().filter(|w| w.severity > stage::Severity::Note).count();
                    div { dt { "Gold caught" } dd { (percent(g.recovery.mean)) } dd.quiet { (percent(g.recovery.pctl_10)) " to " (percent(g.recovery.pctl_90)) " in 8 runs of 10" } }
                    div { dt { "Raw gold" } dd { (three(g.caught_g_per_h.mean)) " g/h" }
                        dd.quiet { @match &s.gap {
                            Some(gap) => { (signed(gap.mean)) " against the pinned" },
                            None => { (three(g.caught_g_per_h.pctl_10)) " to " (three(g.caught_g_per_h.pctl_90)) },
                        } } }
                    div { dt { "Water" } dd { (water_word(o)) } dd.quiet { "short in " (runs(o.water.short_share)) } }
                    div { dt { "Look at" } dd { (worries) } dd.quiet { a href="#care-title" { @if worries == 1 { "warning" } @else { "warnings" } } } }
                },
            }
        } }
    }
}

fn water_word(outcome: &RunResult) -> &'static str {
    if outcome.water.short_share > 0.5 {
        "Short"
    } else if outcome.water.short_share > 0.1 {
        "Tight"
    } else {
        "Enough"
    }
}

/// The answer to one of the four questions.
pub(super) fn answer(question: Question, design: &Design, shown: Option<&Shown<'_>>) -> Markup {
    html! {
        div.answer id=(answer_id(question)) {
            @match shown {
                None => p.quiet { "Nothing can be worked out until the scenario is put right." },
                Some(s) => @match question {
                    Question::Hole => (hole(s)),
                    Question::Water => (water(s, design)),
                    Question::Losses => (losses(s)),
                    Question::Pay => (pay(s)),
                },
            }
        }
    }
}

fn hole(s: &Shown<'_>) -> Markup {
    let o = &s.worked.outcome;
    let drums: Vec<&str> = s.worked.plant.nodes.iter().filter(|n| n.kind.has_sections).map(|n| n.id.as_str()).collect();
    let of_drum = |stage: &str| drums.iter().any(|d| stage == *d || stage.starts_with(&format!("{d}.")));
    let lost: Vec<_> = o.losses.iter().filter(|l| of_drum(&l.stage)).collect();
    let total: f64 = lost.iter().map(|l| l.share_of_fed.mean).sum();
    let worst = lost.first().filter(|l| l.share_of_fed.mean >= 0.0005);
    let rock = |end: &str| {
        o.gradations.iter().filter(|g| g.stream.strip_suffix(end).is_some_and(of_drum)).map(|g| g.rock_t_h).sum::<f64>()
    };
    let (under, over) = (rock(".undersize"), rock(".oversize"));
    html! {
        p.finding {
            "The drum lets " strong { (percent(total)) } " of the gold go"
            @if let Some(l) = worst { "; most of that, " (percent(l.share_of_fed.mean)) ", " (l.words) }
            "."
        }
        @if under + over > 0.0 {
            p { "Of the rock it passes " strong { (percent(under / (under + over))) } " on to the box and sends the rest over the end." }
        }
        (s.picture("recovery-by-size"))
        details { summary { "Rock and drum in numbers" }
            (report::gravel(o, s.units())) (report::measures(o, s.units()))
        }
    }
}

fn water(s: &Shown<'_>, design: &Design) -> Markup {
    let o = &s.worked.outcome;
    let flow = |m3_h: f64| show(m3_h / S_PER_H, Dimension::Flow, s.units());
    html! {
        p.finding {
            strong { (flow(o.water.supply_m3_h.pctl_50)) } " is supplied in the middle run"
            @if let Some(binding) = &o.water.binding { "; the tightest need is that of the " (binding.replace('_', " ")) }
            ". Water is short for some need in " strong { (runs(o.water.short_share)) } "."
        }
        @if o.water.short_share > washgraph_view::water_words::SHORT {
            p { a href=(design.address("/remedies")) { "What would bring enough water?" } }
        }
        (s.picture("water"))
        details { summary { "Water in numbers, part by part" } (report::water(o, s.units())) }
    }
}

fn losses(s: &Shown<'_>) -> Markup {
    let o = &s.worked.outcome;
    let main: Vec<_> = o.losses.iter().filter(|l| l.share_of_fed.mean >= 0.0005).take(3).collect();
    html! {
        @if main.is_empty() { p.finding { "Hardly any gold is lost." } } @else {
            ol.finding { @for l in main {
                li { strong { (percent(l.share_of_fed.mean)) } " at the " (l.stage) ": " (l.words) }
            } }
        }
        p { strong { "Next: " } (washgraph_view::verdict::next_step(o)) }
        (s.picture("gold-path"))
        details { summary { "Every loss in numbers" } (report::losses(o)) }
    }
}

fn pay(s: &Shown<'_>) -> Markup {
    let o = &s.worked.outcome;
    let g = &o.gold;
    let hours = s.worked.plant.season_s / S_PER_H;
    html! {
        p.finding {
            strong { (three(g.caught_g_per_h.mean)) " g of raw gold an hour" } " in the mean; 1 run in 10 falls below "
            (three(g.caught_g_per_h.pctl_10)) ", 1 run in 10 is above " (three(g.caught_g_per_h.pctl_90)) "."
        }
        @if hours.is_finite() {
            p { "Over a season of " (three(hours)) " h that is " strong { (amount(g.caught_g_per_h.mean * hours)) " g raw" } ", "
                (amount(g.caught_g_per_h.mean * hours * g.fineness)) " g fine; 1 season in 10 brings less than "
                (amount(g.caught_g_per_h.pctl_10 * hours)) " g raw." }
        }
        @match &o.money {
            Some(m) => {
                p { "With your prices, " (washgraph_view::money_words::season(m, s.units()).join(" ")) }
                (s.picture("season-money"))
                details { summary { "Money in numbers" } (report::money(o, m, None, s.units())) }
            },
            None => p.quiet { "Put prices and costs into the scenario to see money here." },
        }
        details { summary { "Gold in numbers" } (report::gold(o, s.units())) }
    }
}

/// What to take care of.
pub(super) fn care(shown: Option<&Shown<'_>>) -> Markup {
    html! {
        section #care aria-labelledby="care-title" {
            h2 id="care-title" tabindex="-1" { "Take care of" }
            @if let Some(s) = shown { (report::warnings(&s.worked.outcome)) }
            p.quiet { "A planning estimate on assumed constants: " (LIVE_TRIALS) " runs here, each with other values of what is not known for sure. Local codes and licensed practice decide. Guard the drum, lock it out before reaching in." }
        }
    }
}

/// The pinned design: how to pin, or how the two compare. Holds the pinned design's changes for the form.
pub(super) fn pin(design: &Design, shown: Option<&Shown<'_>>) -> Markup {
    html! {
        section #pin aria-labelledby="pin-title" {
            h2 id="pin-title" { "Compare" }
            @match &design.pin {
                None => {
                    p { "Pin this design, change something, and see what the change is worth on the same ground." }
                    p.row { a.button data-live="" href=(design.with_pin().address("/plant")) { "Pin this design" } }
                },
                Some(changes) => {
                    input type="hidden" name="pinned" value="yes";
                    @for (path, value) in changes { input type="hidden" name=(format!("{PINNED}{path}")) value=(value); }
                    @if let Some(s) = shown {
                        @match (&s.gap, s.pinned) {
                            (Some(gap), Some(pinned)) => {
                                p.finding { (gap.sentence()) }
                                (side_by_side(s.worked, pinned, s.units()))
                            },
                            _ => p { "The pinned design cannot be worked out on this ground." },
                        }
                    }
                    p.quiet { "Pinned: " (in_words(changes)) ". Ground, seed and prices are always those of this design." }
                    p.row {
                        a.button data-live="" href=(design.with_pin().address("/plant")) { "Pin this one instead" }
                        a.button href=(Design { changes: changes.clone(), ..design.clone() }.address("/plant")) { "Go back to the pinned" }
                        a.button data-live="" href=(design.without_pin().address("/plant")) { "Let go" }
                    }
                },
            }
        }
    }
}

/// Changes in words.
pub(super) fn in_words(changes: &[(String, String)]) -> String {
    if changes.is_empty() {
        return "the scenario as it stands in its file".into();
    }
    let one = |(path, value): &(String, String)| {
        let value = value.trim().replace('\n', "; ");
        if value.is_empty() { format!("{path} left out") } else { format!("{path} = {value}") }
    };
    changes.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// What is changed, with the way back, the report and the text.
pub(super) fn actions(design: &Design, sound: bool) -> Markup {
    html! {
        div #actions {
            p { strong { "Changed here: " } (in_words(&design.changes)) "." }
            p.row {
                @if sound { a.button href=(design.address("/report")) download="report.html" { "Download the report" } }
                a.button href=(design.address("/scenario")) download=(design.file) { "Download the scenario" }
                @if !design.changes.is_empty() { a.button href=(design.unchanged().address("/plant")) { "Undo all changes" } }
            }
        }
    }
}

/// All problems in a list, each leading to its field. `data-state` tells the script whether there are figures.
pub(super) fn problems(sheet: &Sheet, fault: Option<&str>) -> Markup {
    let all = sheet.all_remarks();
    let errors = all.iter().filter(|(_, r)| r.severity == Severity::Error).count();
    let warnings = all.iter().filter(|(_, r)| r.severity == Severity::Warning).count();
    let sound = errors == 0 && fault.is_none();
    html! {
        section #problems data-state=(if sound { "sound" } else { "unsound" }) aria-label="Problems" {
            @if let Some(fault) = fault { p.error { strong { "No figures: " } (fault) } }
            @if errors > 0 {
                p.error { strong { (if errors == 1 { "One thing to put right".into() } else { format!("{errors} things to put right") }) }
                    ": until then the figures do not move." }
            }
            @if errors + warnings > 0 {
                ul { @for (id, r) in all.iter().filter(|(_, r)| r.severity != Severity::Note) {
                    li { @if id.is_empty() { (remark_text(r)) } @else { a href=(format!("#{id}")) { (remark_text(r)) } } }
                } }
            }
        }
    }
}

fn remark_text(remark: &Remark) -> Markup {
    html! { (capital(remark.severity.word())) ": " (remark.message) @if !remark.help.is_empty() { ". " (capital(&remark.help)) } }
}

/// What is said beside a field; empty when all is well.
pub(super) fn message(id: &str, remarks: &[Remark]) -> Markup {
    html! {
        p.msg id=(format!("m{}", id.trim_start_matches('f'))) {
            @for r in remarks {
                span class=(r.severity.word()) { strong { (capital(r.severity.word())) ": " } (r.message) @if !r.help.is_empty() { ". " (capital(&r.help)) } } " "
            }
        }
    }
}

/// The spread in force of a field, in words; empty without one.
pub(super) fn spread_now(field: &Field) -> Markup {
    html! {
        span.now id=(format!("n{}", field.id().trim_start_matches('f'))) {
            @if let Some([low, _, high]) = &field.spread { "Low " (low) ", high " (high) "." }
            @if let Some(along) = &field.along { (along) }
        }
    }
}

/// Announced by screen readers when an answer has come.
pub(super) fn status(shown: Option<&Shown<'_>>, sheet: &Sheet) -> Markup {
    let errors = sheet.all_remarks().iter().filter(|(_, r)| r.severity == Severity::Error).count();
    html! {
        p #status.unseen role="status" {
            @match shown {
                Some(s) => { (percent(s.worked.outcome.gold.recovery.mean)) " of the gold is caught. Water: " (water_word(&s.worked.outcome)) "." },
                None => { (errors) " to put right." },
            }
        }
    }
}

/// All parts at once, as the script wants them after a setting has moved.
pub(super) fn parts(design: &Design, sheet: &Sheet, shown: Option<&Shown<'_>>, fault: Option<&str>) -> Markup {
    html! {
        @if shown.is_some() {
            (strip(shown))
            @for q in [Question::Hole, Question::Water, Question::Losses, Question::Pay] { (answer(q, design, shown)) }
            (care(shown))
        }
        (pin(design, shown))
        (actions(design, shown.is_some()))
        (problems(sheet, fault))
        @for f in sheet.fields() {
            @if !f.remarks.is_empty() { (message(&f.id(), &f.remarks)) }
            @if f.spread.is_some() || f.along.is_some() || f.in_step { (spread_now(f)) }
        }
        @for g in sheet.groups.iter().filter(|g| !g.remarks.is_empty()) { (message(&crate::page::field::group_id(&g.owner), &g.remarks)) }
        (message(&crate::page::field::id_of(crate::page::sieve::PATH), &sheet.sieve_remarks))
        (status(shown, sheet))
    }
}
