//! The answers to the miner's four questions in plain sentences: said once, shown in the terminal and on page one of the report.

use sim_core::constants::S_PER_H;
use sim_core::lever::Serves;
use sim_core::plant::Understood;
use sim_core::quantity::{Dimension, UnitChoice, show, show_both};
use washgraph_model::result::{Loss, RunResult};

use crate::line::{Line, Tone, strong};
use crate::money_words;
use crate::numbers::{mostly, percent, runs, three};
use crate::water_words::{SHORT, TIGHT};

/// Gold finer than this is fine, mm: between fine beach sand and table salt. Our choice.
pub const FINE_MM: f64 = 0.25;
/// Longer words for a loss are too long for one line of a terminal.
const LONG_WORDS: usize = 48;
/// Losses named in the answer.
const LOSSES: usize = 3;
/// A smaller share of the gold is not worth a word.
pub const LEAST: f64 = 0.0005;

fn line(tone: Tone, text: String) -> Line {
    Line { text, tone }
}

fn plain(text: String) -> Line {
    line(Tone::Plain, text)
}

/// A question and its answer.
#[derive(Debug, Clone, PartialEq)]
pub struct QuestionAnswer {
    /// The question.
    pub question: &'static str,
    /// The lines of the answer.
    pub lines: Vec<Line>,
}

/// In which units to speak.
#[derive(Debug, Clone, Copy)]
pub struct Wording {
    /// Units of the reader.
    pub units: UnitChoice,
    /// With SI beside the user's units and all that there is to say; else as short as a terminal wants it.
    pub full: bool,
}

impl Wording {
    fn say(self, si: f64, dimension: Dimension) -> String {
        if self.full { show_both(si, dimension, self.units) } else { show(si, dimension, self.units) }
    }

    fn flow(self, m3_h: f64) -> String {
        self.say(m3_h / S_PER_H, Dimension::Flow)
    }

    /// A flow that stands beside others: in the user's units alone.
    fn brief_flow(self, m3_h: f64) -> String {
        show(m3_h / S_PER_H, Dimension::Flow, self.units)
    }
}

/// All four, in their order.
pub fn answers(outcome: &RunResult, understood: &[Understood], wording: Wording) -> [QuestionAnswer; 4] {
    [
        QuestionAnswer { question: "Which hole size?", lines: hole(outcome, understood, wording) },
        QuestionAnswer { question: "How much water, at what pressure?", lines: water(outcome, wording) },
        QuestionAnswer { question: "Why do fines leave, and what would stop it?", lines: fines(outcome, wording) },
        QuestionAnswer { question: "Does it pay?", lines: pay(outcome, wording) },
    ]
}

/// Hole size of each screen, e.g. `1/2 in (12.7 mm)`: the settings that serve as holes.
fn holes(understood: &[Understood]) -> Vec<String> {
    let rows = understood.iter().flat_map(|u| &u.rows);
    rows.filter(|r| r.serves == Some(Serves::Hole)).map(|r| r.value.clone()).collect()
}

/// Stages that have, themselves or in a section, a setting that serves one of these.
fn stages_that<'u>(understood: &'u [Understood], serve: &[Serves]) -> Vec<&'u str> {
    let has = |u: &&Understood| u.rows.iter().any(|r| r.serves.is_some_and(|s| serve.contains(&s)));
    understood.iter().filter(has).map(|u| u.owner.split('.').next().unwrap_or_default()).collect()
}

fn share_of<'a>(losses: impl Iterator<Item = &'a Loss>) -> f64 {
    losses.map(|l| l.share_of_fed.mean).sum()
}

/// What goes over the end of the screens with the rocks, by the few words of its reason.
fn over_the_end(outcome: &RunResult) -> Vec<(f64, &str)> {
    let mut named: Vec<(f64, &str)> = Vec::new();
    for loss in outcome.losses.iter().filter(|l| l.class.is_over_the_end()) {
        match named.iter_mut().find(|n| n.1 == loss.short) {
            Some(n) => n.0 += loss.share_of_fed.mean,
            None => named.push((loss.share_of_fed.mean, &loss.short)),
        }
    }
    named
}

fn hole(outcome: &RunResult, understood: &[Understood], wording: Wording) -> Vec<Line> {
    let screening = stages_that(understood, &[Serves::Hole, Serves::Scrubbing]);
    let feeding = stages_that(understood, &[Serves::Feed]);
    let is_at = |stages: &[&str], loss: &Loss| stages.contains(&loss.stage.split('.').next().unwrap_or_default());
    let holes = holes(understood);
    let named = over_the_end(outcome);
    let over: f64 = named.iter().map(|n| n.0).sum();
    let of_drum = |l: &&Loss| is_at(&screening, l) && !l.class.is_over_the_end();
    let rest = share_of(outcome.losses.iter().filter(of_drum));
    let below = share_of(outcome.losses.iter().filter(|l| !is_at(&screening, l) && !is_at(&feeding, l)));
    let listed = |list: Vec<String>| if list.is_empty() { String::new() } else { format!(" ({})", list.join(", ")) };
    let detail = listed(named.iter().filter(|n| n.0 >= LEAST).map(|(v, w)| format!("{} {w}", percent(*v))).collect());
    let why = |l: &Loss| format!("{} {}", percent(l.share_of_fed.mean), l.reason);
    let other =
        listed(outcome.losses.iter().filter(of_drum).filter(|l| l.share_of_fed.mean >= LEAST).map(why).collect());
    let now = if holes.is_empty() {
        "No screen in this plant".to_string()
    } else {
        format!("Now {}", strong(holes.join(" and ")))
    };
    let detail = if wording.full { detail } else { String::new() };
    let mut text = format!("{now}. Over the holes, with the rocks, goes {} of the gold{detail}", strong(percent(over)));
    if rest >= LEAST {
        let name = screening.first().copied().unwrap_or_default();
        text += &format!("; the {name} loses a further {}{other}", strong(percent(rest)));
    }
    text += &format!("; below the holes {} is lost.", strong(percent(below)));
    if !holes.is_empty() {
        if wording.full {
            text += " Larger holes let more gold through and load the box with more gravel.";
        }
        text += " `washgraph holes` compares plate sizes on this ground.";
    }
    vec![plain(text)]
}

fn water(outcome: &RunResult, wording: Wording) -> Vec<Line> {
    let w = &outcome.water;
    let mut lines = vec![plain(supply(outcome, wording))];
    let mut needs: Vec<(&String, f64, f64)> = w
        .need_m3_h
        .iter()
        .map(|(name, need)| {
            let at_hand = w.at_hand_m3_h.get(name).unwrap_or(&w.supply_m3_h);
            (name, need.pctl_50, at_hand.pctl_50)
        })
        .collect();
    needs.sort_by(|a, b| (a.2 / a.1).total_cmp(&(b.2 / b.1)));
    let said: Vec<String> = needs
        .iter()
        .enumerate()
        .map(|(i, (name, need, hand))| {
            let name = name.replace('_', " ");
            if i == 0 {
                format!("the {name} needs {} and gets {}", wording.flow(*need), wording.flow(*hand))
            } else {
                format!("{name} {} and {}", wording.brief_flow(*need), wording.brief_flow(*hand))
            }
        })
        .collect();
    if !said.is_empty() {
        lines.push(plain(format!("Tightest first: {}.", said.join("; "))));
    }
    let short = runs(w.short_share);
    if needs.is_empty() {
        lines.push(plain("No stage says how much water it needs.".into()));
    } else if w.short_share > SHORT {
        let worst = if wording.full {
            format!(", more than {} in 1 run of 10", wording.brief_flow(w.shortfall_m3_h.pctl_90))
        } else {
            String::new()
        };
        let missing = wording.flow(w.shortfall_m3_h.pctl_50);
        let text = format!("{} in {short}: {missing} missing in the middle run{worst}.", strong("SHORT OF WATER"));
        lines.push(line(Tone::Bad, text));
    } else if w.short_share > TIGHT {
        lines.push(line(Tone::Bad, format!("{} in {short}: it is tight.", strong("Short"))));
    } else {
        lines.push(line(Tone::Good, format!("{}: short in {short}.", strong("Enough"))));
    }
    if wording.full {
        lines.extend(pond(outcome, wording).map(plain));
    }
    lines
}

/// How much is supplied at which pressure.
fn supply(outcome: &RunResult, wording: Wording) -> String {
    let w = &outcome.water;
    let head =
        outcome.measures.iter().find(|m| m.name == "pump_head").map_or(String::new(), |m| {
            format!(" at {} of head", strong(wording.say(m.value.pctl_50, Dimension::Head)))
        });
    let pressures: Vec<String> = w
        .branches
        .iter()
        .filter(|b| b.pressure_kpa.pctl_50 > 0.0)
        .map(|b| format!("{} {}", b.name, wording.say(b.pressure_kpa.pctl_50 * 1e3, Dimension::Pressure)))
        .collect();
    let mut text = format!("{} supplied{head} in the middle run", strong(wording.flow(w.supply_m3_h.pctl_50)));
    if wording.full {
        let (low, high) = (wording.brief_flow(w.supply_m3_h.pctl_10), wording.brief_flow(w.supply_m3_h.pctl_90));
        text += &format!(" ({low} to {high} in 8 runs of 10)");
    }
    if !pressures.is_empty() {
        text += &format!("; ahead of the holes: {}", pressures.join(", "));
    }
    text + "."
}

/// What the pond takes and gives back; `None` without a pond.
fn pond(outcome: &RunResult, wording: Wording) -> Option<String> {
    let makeup = outcome.water.makeup_m3_h.as_ref()?;
    let returned = outcome.measures.iter().find(|m| m.name == "returned_fines")?;
    Some(format!(
        "Pond: {} of fresh water while running; the water comes back with {} of fines (1 run in 10 above {}).",
        wording.brief_flow(makeup.pctl_50),
        wording.say(returned.value.pctl_50, Dimension::Density),
        wording.say(returned.value.pctl_90, Dimension::Density)
    ))
}

/// What becomes of the fine gold.
struct FineGold<'a> {
    /// Share of all gold.
    fed: f64,
    /// Share of the fine gold that is caught.
    caught: f64,
    /// The two losses that take most of it, each with its share of the fine gold.
    losses: Vec<(f64, &'a Loss)>,
}

fn fine_gold(outcome: &RunResult) -> Option<FineGold<'_>> {
    let fine = |i: usize| {
        let class = outcome.gold.recovery_by_size.get(i)?;
        class.to_mm.filter(|to| *to <= FINE_MM * 1.0001).map(|_| class)
    };
    let classes = outcome.gold.recovery_by_size.len();
    let fed: f64 = (0..classes).filter_map(fine).map(|c| c.fed_share).sum();
    if !(fed > LEAST) {
        return None;
    }
    let caught: f64 = (0..classes).filter_map(fine).map(|c| c.fed_share * c.recovery.mean).sum();
    let mut by_loss: Vec<(f64, &Loss)> = outcome
        .losses
        .iter()
        .map(|l| {
            (l.by_size.iter().enumerate().filter(|(i, _)| fine(*i).is_some()).map(|(_, v)| v).sum::<f64>() / fed, l)
        })
        .collect();
    by_loss.sort_by(|a, b| b.0.total_cmp(&a.0));
    by_loss.truncate(2);
    by_loss.retain(|l| l.0 >= 0.005);
    Some(FineGold { fed, caught: caught / fed, losses: by_loss })
}

/// Place and plain words of a loss.
pub fn place_and_words(loss: &Loss) -> String {
    if loss.stage.is_empty() { loss.words.clone() } else { format!("at the {}: {}", loss.stage, loss.words) }
}

/// The losses that the answer names, largest first.
pub fn main_losses(outcome: &RunResult) -> impl Iterator<Item = &Loss> {
    outcome.losses.iter().filter(|l| l.share_of_fed.mean >= LEAST).take(LOSSES)
}

/// A loss in one line: in full with its plain words, in short with its name where the words are long.
fn loss_line(loss: &Loss, outcome: &RunResult, wording: Wording) -> String {
    let share = strong(percent(loss.share_of_fed.mean));
    let sizes = mostly(loss, outcome);
    let sizes = if sizes.is_empty() { sizes } else { format!(" ({sizes})") };
    if wording.full {
        return format!("{share} {}{sizes}", place_and_words(loss));
    }
    let words = if loss.words.len() > LONG_WORDS { &loss.reason } else { &loss.words };
    format!("{share} {}: {words}{}", loss.stage, sizes.replace("mostly ", ""))
}

fn fines(outcome: &RunResult, wording: Wording) -> Vec<Line> {
    let g = &outcome.gold;
    let mut lines = vec![plain(format!(
        "{} of the gold is caught ({} to {} in 8 runs of 10): {} g of raw gold an hour ({} to {}).",
        strong(percent(g.recovery.mean)),
        percent(g.recovery.pctl_10),
        percent(g.recovery.pctl_90),
        strong(three(g.caught_g_per_h.mean)),
        three(g.caught_g_per_h.pctl_10),
        three(g.caught_g_per_h.pctl_90)
    ))];
    if let Some(FineGold { fed, caught, losses }) = fine_gold(outcome) {
        let why: Vec<String> = losses
            .iter()
            .take(if wording.full { 2 } else { 1 })
            .enumerate()
            .map(|(i, (v, l))| {
                let verb = if i == 0 { "leaves as" } else { "as" };
                format!("{} {verb} \"{}\" ({})", percent(*v), l.reason, l.stage)
            })
            .collect();
        let why = if why.is_empty() { String::new() } else { format!("; {}", why.join(", ")) };
        lines.push(plain(format!(
            "Of the gold finer than table salt (under {FINE_MM} mm, {} of all) {} is caught{why}.",
            percent(fed),
            strong(percent(caught))
        )));
    }
    if outcome.losses.iter().all(|l| l.share_of_fed.mean < LEAST) {
        lines.push(plain("Hardly any gold is lost.".into()));
        return lines;
    }
    lines.extend(main_losses(outcome).map(|loss| line(Tone::Item, loss_line(loss, outcome, wording))));
    let others = share_of(outcome.losses.iter().skip(LOSSES));
    if others >= LEAST {
        lines.push(line(Tone::Item, format!("{} all other losses", strong(percent(others)))));
    }
    lines
}

fn pay(outcome: &RunResult, wording: Wording) -> Vec<Line> {
    let Some(m) = &outcome.money else {
        return vec![plain(
            "The scenario has no prices and costs: give it a [money] table to see what is left.".into(),
        )];
    };
    let tone = if m.net_per_season.pctl_50 < 0.0 { Tone::Bad } else { Tone::Plain };
    let grade = if wording.full {
        money_words::from_which_grade(m, wording.units)
    } else {
        money_words::from_which_grade_in_short(m, wording.units)
    };
    vec![
        line(tone, format!("At your prices {}", money_words::left_of_season(m))),
        plain(money_words::risk(m, false)),
        plain(grade),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::example;

    #[test]
    fn property_four_answers_whatever_is_missing() {
        let mut outcome = example::outcome();
        let wording = Wording { units: UnitChoice::Us, full: true };
        let told = answers(&outcome, &[], wording);
        assert!(told.iter().all(|t| !t.lines.is_empty() && t.lines.iter().all(|l| !l.text.is_empty())));
        assert!(told[2].lines[0].text.contains(&percent(outcome.gold.recovery.mean)));
        outcome.losses.clear();
        outcome.money = None;
        outcome.water.need_m3_h.clear();
        outcome.water.branches.clear();
        outcome.gold.recovery_by_size.clear();
        let told = answers(&outcome, &[], wording);
        assert!(told.iter().all(|t| !t.lines.is_empty()));
        assert!(told[3].lines[0].text.contains("[money]"));
    }
}
