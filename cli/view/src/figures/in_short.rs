//! The whole result at a glance, for page one: what becomes of the gold, the tightest need of water against what reaches it,
//! and what the season leaves.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::constants::S_PER_H;
use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::stats::summary::Summary;
use washgraph_model::result::{Money, RunResult};

use crate::figures::FigureError;
use crate::figures::sheet::{Hang, Sheet, title_height, width_of};
use crate::figures::style::{DASHED, GOLD, HATCHES, Hatch, INK, LOST, MARGIN, PAPER, QUIET, SOLID, STONE, TEXT, WIDTH};
use crate::numbers::{money, percent, runs};
use crate::tables::Table;

/// Losses with a piece of their own.
const LOSSES: usize = 3;
const BAR: f64 = 34.0;
/// Height of a line of text.
const LINE: f64 = 27.0;
/// Between two strips.
const GAP: f64 = 22.0;
/// Left end and room for numbers of the bars of water.
const WATER: (f64, f64) = (118.0, 150.0);

/// Names and shares of the pieces of gold that is lost.
fn lost(outcome: &RunResult) -> Vec<(String, f64)> {
    let mut list: Vec<(String, f64)> = outcome
        .losses
        .iter()
        .filter(|l| l.share_of_fed.mean >= 0.0005)
        .take(LOSSES)
        .map(|l| {
            let place = if l.stage.is_empty() { String::new() } else { format!(" ({})", l.stage) };
            (format!("{}{place}", l.reason), l.share_of_fed.mean)
        })
        .collect();
    let rest = 1.0 - outcome.gold.recovery.mean - list.iter().map(|l| l.1).sum::<f64>();
    if rest >= 0.0005 {
        list.push(("all other losses".into(), rest));
    }
    list
}

/// The tightest need: its name, need and what reaches it.
fn tightest(outcome: &RunResult) -> Option<(String, Summary, Summary)> {
    let w = &outcome.water;
    w.need_m3_h
        .iter()
        .map(|(name, need)| (name.replace('_', " "), *need, w.at_hand_m3_h.get(name).copied().unwrap_or(w.supply_m3_h)))
        .filter(|(_, need, _)| need.pctl_50 > 0.0)
        .min_by(|a, b| (a.2.pctl_50 / a.1.pctl_50).total_cmp(&(b.2.pctl_50 / b.1.pctl_50)))
}

fn flow(m3_h: f64, units: UnitChoice) -> String {
    show(m3_h / S_PER_H, Dimension::Flow, units)
}

/// Whether there is anything to draw.
pub fn present(outcome: &RunResult) -> bool {
    outcome.gold.fed_g_per_h.mean > 0.0 && outcome.gold.recovery.mean.is_finite()
}

/// Height of the sheet.
pub fn height(outcome: &RunResult, units: UnitChoice) -> f64 {
    let gold = LINE + BAR + 8.0 + lost(outcome).len() as f64 * LINE;
    let water = tightest(outcome).map_or(0.0, |_| GAP + LINE + 2.0 * (BAR + 4.0));
    let money = outcome.money.as_ref().map_or(0.0, |_| GAP + LINE + BAR + 2.0 * LINE);
    title_height(&title(outcome, units)) + gold + water + money + 14.0
}

/// What it shows, as a finding.
pub fn title(outcome: &RunResult, _units: UnitChoice) -> String {
    let caught = percent(outcome.gold.recovery.mean);
    let short = outcome.water.short_share;
    let water = if outcome.water.need_m3_h.is_empty() {
        String::new()
    } else if short > 0.1 {
        format!("; water is short in {}", runs(short))
    } else {
        "; water suffices".into()
    };
    let season = outcome.money.as_ref().map_or(String::new(), |m| {
        let word = if m.net_per_season.pctl_50 < 0.0 { "loses" } else { "leaves" };
        format!("; the middle season {word} {}", money(m.net_per_season.pctl_50.abs(), &m.currency))
    });
    format!("{caught} of the gold is caught{water}{season}")
}

/// The figure in words.
pub fn alt(outcome: &RunResult, units: UnitChoice) -> String {
    let losses: Vec<String> = lost(outcome).iter().map(|(name, v)| format!("{name} {}", percent(*v))).collect();
    let mut text = format!(
        "{}. A bar of all gold fed: {} caught; lost: {}.",
        title(outcome, units),
        percent(outcome.gold.recovery.mean),
        losses.join("; ")
    );
    if let Some((name, need, hand)) = tightest(outcome) {
        text += &format!(
            " Two bars of water: the {name} needs {} and gets {}.",
            flow(need.pctl_50, units),
            flow(hand.pctl_50, units)
        );
    }
    if let Some(m) = &outcome.money {
        let s = &m.net_per_season;
        text += &format!(
            " A bar of the season: 1 season in 10 is below {}, middle {}, 1 in 10 above {}.",
            money(s.pctl_10, &m.currency),
            money(s.pctl_50, &m.currency),
            money(s.pctl_90, &m.currency)
        );
    }
    text
}

/// The numbers.
pub fn table(outcome: &RunResult, units: UnitChoice) -> Table {
    let headers = ["What", "Middle or mean", "1 run in 10 falls below", "1 run in 10 is above"];
    let row = |what: String, cells: [String; 3]| std::iter::once(what).chain(cells).collect::<Vec<String>>();
    let r = &outcome.gold.recovery;
    let mut rows = vec![row("Gold caught, mean".into(), [r.mean, r.pctl_10, r.pctl_90].map(percent))];
    for l in outcome.losses.iter().filter(|l| l.share_of_fed.mean >= 0.0005).take(LOSSES) {
        let s = &l.share_of_fed;
        rows.push(row(
            format!("Gold lost, {} ({}), mean", l.reason, l.stage),
            [s.mean, s.pctl_10, s.pctl_90].map(percent),
        ));
    }
    if let Some((name, need, hand)) = tightest(outcome) {
        for (what, s) in [("needs", need), ("gets", hand)] {
            let cells = [s.pctl_50, s.pctl_10, s.pctl_90].map(|v| flow(v, units));
            rows.push(row(format!("Water that the {name} {what}, middle"), cells));
        }
    }
    if let Some(m) = &outcome.money {
        let s = &m.net_per_season;
        let cells = [s.pctl_50, s.pctl_10, s.pctl_90].map(|v| money(v, &m.currency));
        rows.push(row("Left of the season, middle".into(), cells));
    }
    Table { headers: headers.map(String::from).to_vec(), rows }
}

/// Draws it.
pub fn draw<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    outcome: &RunResult,
    units: UnitChoice,
) -> Result<(), FigureError> {
    let (sheet, top) = Sheet::new(area, &title(outcome, units))?;
    let mut y = gold_strip(&sheet, outcome, top)?;
    if let Some((name, need, hand)) = tightest(outcome) {
        y = water_strip(&sheet, (&name, &need, &hand), units, y + GAP)?;
    }
    if let Some(m) = &outcome.money {
        season_strip(&sheet, m, y + GAP)?;
    }
    Ok(())
}

fn gold_strip<B: DrawingBackend>(sheet: &Sheet<'_, B>, outcome: &RunResult, top: f64) -> Result<f64, FigureError> {
    sheet.text_in("The gold fed, mean of all runs", (MARGIN, top + 10.0), Hang::Right, TEXT, true, INK)?;
    let (left, right) = (MARGIN, WIDTH - MARGIN);
    let (a, b) = (top + LINE, top + LINE + BAR);
    let caught = outcome.gold.recovery.mean.clamp(0.0, 1.0);
    let mut x = left + caught * (right - left);
    sheet.bar((left, a), (x.max(left + 1.0), b), GOLD, Hatch::None)?;
    let words = format!("{} caught", percent(outcome.gold.recovery.mean));
    if x - left > width_of(&words, TEXT, true) + 20.0 {
        sheet.text_in(&words, (left + 10.0, (a + b) / 2.0), Hang::Right, TEXT, true, PAPER)?;
    }
    let mut under = b + 8.0;
    for (i, (name, v)) in lost(outcome).into_iter().enumerate() {
        let (face, hatch) = look(i);
        let end = (x + v * (right - left)).min(right);
        sheet.bar((x, a), (end, b), face, hatch)?;
        x = end;
        let middle = under + LINE / 2.0;
        sheet.bar((left, middle - 9.0), (left + 34.0, middle + 9.0), face, hatch)?;
        let number = percent(v);
        sheet.text_in(&number, (left + 46.0, middle), Hang::Right, TEXT, true, INK)?;
        let at = left + 46.0 + width_of(&number, TEXT, true) + 10.0;
        sheet.text(&format!("lost: {name}"), (at, middle), Hang::Right, INK)?;
        under += LINE;
    }
    Ok(under)
}

fn look(i: usize) -> (plotters::style::RGBColor, Hatch) {
    if i < LOSSES { (LOST, HATCHES.get(i).copied().unwrap_or(Hatch::None)) } else { (PAPER, Hatch::None) }
}

fn water_strip<B: DrawingBackend>(
    sheet: &Sheet<'_, B>,
    (name, need, hand): (&str, &Summary, &Summary),
    units: UnitChoice,
    top: f64,
) -> Result<f64, FigureError> {
    let heading = format!("Water of the {name}, the tightest need, middle run");
    sheet.text_in(&heading, (MARGIN, top + 10.0), Hang::Right, TEXT, true, INK)?;
    let most = need.pctl_90.max(hand.pctl_90).max(need.pctl_50).max(hand.pctl_50);
    let across = |v: f64| WATER.0 + v.max(0.0) / most * (WIDTH - MARGIN - WATER.1 - WATER.0);
    let mut y = top + LINE;
    for (what, s, face, hatch) in [("needed", need, LOST, Hatch::None), ("at hand", hand, STONE, Hatch::Rising)] {
        let middle = y + BAR / 2.0;
        sheet.text(what, (MARGIN, middle), Hang::Right, INK)?;
        sheet.text_in(&flow(s.pctl_50, units), (WIDTH - MARGIN, middle), Hang::Left, TEXT, true, INK)?;
        sheet.bar((WATER.0, y), (across(s.pctl_50).max(WATER.0 + 1.0), y + BAR), face, hatch)?;
        let (low, high) = (across(s.pctl_10), across(s.pctl_90));
        if high - low > 2.0 {
            sheet.line(&[(low, middle), (high, middle)], 2.0, INK, SOLID)?;
            for x in [low, high] {
                sheet.line(&[(x, middle - 8.0), (x, middle + 8.0)], 2.0, INK, SOLID)?;
            }
        }
        y += BAR + 4.0;
    }
    Ok(y)
}

fn season_strip<B: DrawingBackend>(sheet: &Sheet<'_, B>, m: &Money, top: f64) -> Result<(), FigureError> {
    let s = &m.net_per_season;
    let heading = "Season before wage and plant: 8 in 10 lie in the bar";
    sheet.text_in(heading, (MARGIN, top + 10.0), Hang::Right, TEXT, true, INK)?;
    let (low, high) = (s.pctl_10.min(0.0), s.pctl_90.max(0.0));
    let width = if high > low { high - low } else { 1.0 };
    let (left, right) = (MARGIN + 60.0, WIDTH - MARGIN - 60.0);
    let across = |v: f64| left + (v - low) / width * (right - left);
    let (a, b) = (top + LINE, top + LINE + BAR);
    let zero = across(0.0);
    let (from, to) = (across(s.pctl_10), across(s.pctl_90));
    if from < zero {
        sheet.bar((from, a), (to.min(zero), b), LOST, Hatch::Rising)?;
    }
    if to > zero {
        sheet.bar((from.max(zero), a), (to, b), GOLD, Hatch::None)?;
    }
    sheet.line(&[(zero, a - 6.0), (zero, b + 8.0)], 3.0, INK, DASHED)?;
    let middle = across(s.pctl_50);
    sheet.line(&[(middle, a - 3.0), (middle, b + 3.0)], 7.0, PAPER, SOLID)?;
    sheet.line(&[(middle, a - 3.0), (middle, b + 3.0)], 4.0, INK, SOLID)?;
    // Ends on the first row; the middle and zero on the second, so that no two lie on each other.
    let (first, second) = (b + LINE * 0.6, b + LINE * 1.5);
    let held = |x: f64, text: &str| {
        let half = width_of(text, TEXT, false) / 2.0;
        x.clamp(MARGIN + half, WIDTH - MARGIN - half)
    };
    for (x, v) in [(from, s.pctl_10), (to, s.pctl_90)] {
        let text = money(v, &m.currency);
        sheet.text(&text, (held(x, &text), first), Hang::Middle, INK)?;
    }
    let text = format!("middle {}", money(s.pctl_50, &m.currency));
    let x = held(middle, &text);
    sheet.text(&text, (x, second), Hang::Middle, INK)?;
    let far = (x - zero).abs() > (width_of(&text, TEXT, false) + width_of("breaks even", TEXT, false)) / 2.0 + 12.0;
    if far {
        sheet.text("breaks even", (held(zero, "breaks even"), second), Hang::Middle, QUIET)?;
    }
    Ok(())
}
