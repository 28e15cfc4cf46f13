//! Gold's way through the plant: a band as thick as the gold still on its way, from which the losses branch off
//! downwards at the same scale.
//!
//! ```text
//!  fed ════════╗═══════╗══════════> caught
//!              ║ loss  ║ loss
//! ```

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::math::{cos, sin};
use sim_core::quantity::UnitChoice;
use washgraph_model::result::RunResult;

use crate::figures::FigureError;
use crate::figures::sheet::{Hang, Point, Sheet, title_height, width_of, wrap};
use crate::figures::style::{GOLD, INK, LEADING, LOST, MARGIN, PAPER, QUIET, SOLID, STONE, TEXT, WIDTH};
use crate::numbers::{capital, percent, spread, three};
use crate::tables::Table;

/// Thickness of the band of all gold fed.
const BAND: f64 = 120.0;
/// Branches drawn; what is smaller is put together in the last.
const MOST_BRANCHES: usize = 7;
/// Smaller losses have no branch of their own.
const LEAST_SHARE: f64 = 0.002;
const BEND: f64 = 10.0;
const FIRST_BRANCH: f64 = 40.0;
/// Where the last branch must have left, so that its label has room.
const LAST_BRANCH: f64 = 430.0;
const HEAD: f64 = 66.0;

/// A branch: who loses, why, share of the gold fed.
struct Branch {
    stage: String,
    why: String,
    share: f64,
}

impl Branch {
    fn words(&self) -> String {
        if self.stage.is_empty() { self.why.clone() } else { format!("{}: {}", self.stage, self.why) }
    }

    fn lines(&self, x: f64) -> Vec<String> {
        wrap(&self.words(), TEXT, false, WIDTH - MARGIN - x)
    }
}

/// Branches in the order of flow.
fn branches(outcome: &RunResult) -> Vec<Branch> {
    let place = |stage: &str| {
        outcome.plant.stages.iter().position(|s| s.id == stage || stage.starts_with(&format!("{}.", s.id)))
    };
    let mut large: Vec<_> =
        outcome.losses.iter().filter(|l| l.share_of_fed.mean >= LEAST_SHARE).take(MOST_BRANCHES).collect();
    large.sort_by_key(|l| place(&l.stage).unwrap_or(usize::MAX));
    let shown: f64 = large.iter().map(|l| l.share_of_fed.mean).sum();
    let rest: f64 = outcome.losses.iter().map(|l| l.share_of_fed.mean).sum::<f64>() - shown;
    let mut list: Vec<Branch> = large
        .iter()
        .map(|l| Branch { stage: l.stage.clone(), why: l.reason.clone(), share: l.share_of_fed.mean })
        .collect();
    if rest > 1e-6 && outcome.losses.len() > large.len() {
        list.push(Branch { stage: String::new(), why: "smaller losses together".into(), share: rest });
    }
    list
}

/// Whether there is anything to draw.
pub fn present(outcome: &RunResult) -> bool {
    outcome.gold.fed_g_per_h.mean > 0.0 && outcome.gold.recovery.mean.is_finite()
}

/// Places of the branches from the left: middle of each, drawn to scale and evenly spread.
fn places(list: &[Branch]) -> Vec<f64> {
    let thick: f64 = list.iter().map(|b| b.share * BAND).sum();
    let gap = ((LAST_BRANCH - FIRST_BRANCH - thick) / list.len().max(1) as f64).clamp(12.0, 64.0);
    let mut x = FIRST_BRANCH;
    list.iter()
        .map(|b| {
            let t = b.share * BAND;
            x += gap + t;
            x - t / 2.0
        })
        .collect()
}

/// Height that each label takes.
fn label_height(branch: &Branch, x: f64) -> f64 {
    (1 + branch.lines(x).len()) as f64 * TEXT * LEADING + 12.0
}

fn label_x(branch: &Branch, x: f64) -> f64 {
    x + branch.share * BAND / 2.0 + 12.0
}

/// Height of the sheet.
pub fn height(outcome: &RunResult, units: UnitChoice) -> f64 {
    let list = branches(outcome);
    let labels: f64 = list.iter().zip(places(&list)).map(|(b, x)| label_height(b, label_x(b, x))).sum();
    title_height(&title(outcome, units)) + HEAD + BAND + 40.0 + labels + 10.0
}

/// What it shows, as a finding.
pub fn title(outcome: &RunResult, _units: UnitChoice) -> String {
    let caught = percent(outcome.gold.recovery.mean);
    match outcome.losses.first() {
        Some(l) => format!(
            "{caught} of the gold is caught; the greatest loss is {} ({})",
            percent(l.share_of_fed.mean),
            in_stage(&l.stage, &l.reason)
        ),
        None => format!("{caught} of the gold is caught"),
    }
}

fn in_stage(stage: &str, reason: &str) -> String {
    if stage.is_empty() { reason.to_string() } else { format!("{stage}: {reason}") }
}

/// The figure in words.
pub fn alt(outcome: &RunResult, units: UnitChoice) -> String {
    let losses: Vec<String> = branches(outcome).iter().map(|b| format!("{} {}", b.words(), percent(b.share))).collect();
    format!(
        "{}. A band shows the gold from feed to clean-up; losses branch off to scale: {}. Of the whole, {}.",
        title(outcome, units),
        losses.join("; "),
        spread(&outcome.gold.recovery)
    )
}

/// The numbers.
pub fn table(outcome: &RunResult, _units: UnitChoice) -> Table {
    let headers = [
        "Stage",
        "What becomes of the gold",
        "Share of the gold fed",
        "1 run in 10 falls below",
        "1 run in 10 is above",
    ];
    let r = &outcome.gold.recovery;
    let mut rows: Vec<Vec<String>> = outcome
        .losses
        .iter()
        .map(|l| {
            let s = &l.share_of_fed;
            vec![l.stage.clone(), format!("lost: {}", l.words), percent(s.mean), percent(s.pctl_10), percent(s.pctl_90)]
        })
        .collect();
    rows.push(vec!["whole plant".into(), "caught".into(), percent(r.mean), percent(r.pctl_10), percent(r.pctl_90)]);
    Table { headers: headers.map(String::from).to_vec(), rows }
}

/// Quarter turn around a centre from straight up (angle 0) to straight right (a quarter).
fn turn(centre: Point, radius: f64, back: bool) -> Vec<Point> {
    (0..=12)
        .map(|i| {
            let a = std::f64::consts::FRAC_PI_2 * f64::from(if back { 12 - i } else { i }) / 12.0;
            (centre.0 + radius * sin(a), centre.1 - radius * cos(a))
        })
        .collect()
}

/// Draws it.
pub fn draw<B: DrawingBackend>(
    area: &DrawingArea<B, Shift>,
    outcome: &RunResult,
    units: UnitChoice,
) -> Result<(), FigureError> {
    let (sheet, top) = Sheet::new(area, &title(outcome, units))?;
    let list = branches(outcome);
    let xs = places(&list);
    let band_top = top + HEAD;
    let gold = &outcome.gold;
    sheet.text_in(
        &format!("Fed {} g an hour", three(gold.fed_g_per_h.mean)),
        (MARGIN, top + 18.0),
        Hang::Right,
        TEXT,
        true,
        INK,
    )?;
    sheet.text("raw gold, mean of all runs", (MARGIN, top + 44.0), Hang::Right, QUIET)?;

    // Gold that is caught goes straight on; each loss is a strip on the underside that turns down where it is lost.
    let caught: f64 = 1.0 - list.iter().map(|b| b.share).sum::<f64>();
    let (left, right) = (MARGIN, WIDTH - MARGIN);
    let caught_bottom = band_top + caught.clamp(0.0, 1.0) * BAND;
    let tip = (caught_bottom - band_top) / 2.0;
    if caught > 0.0 {
        let neck = right - tip.min(34.0);
        sheet.face(
            &[
                (left, band_top),
                (neck, band_top),
                (right, band_top + tip),
                (neck, caught_bottom),
                (left, caught_bottom),
            ],
            GOLD,
        )?;
    }
    let mut under = band_top + BAND;
    let mut foot =
        band_top + BAND + 40.0 + list.iter().zip(&xs).map(|(b, x)| label_height(b, label_x(b, *x))).sum::<f64>();
    for (i, (branch, x)) in list.iter().zip(&xs).enumerate() {
        let t = branch.share * BAND;
        let upper = under - t;
        let text_x = label_x(branch, *x);
        foot -= label_height(branch, text_x);
        let end = foot + TEXT * LEADING;
        let (inner, outer) = (x - t / 2.0, x + t / 2.0);
        if t < 2.0 {
            // Too thin for two edges: one line, somewhat thicker than to scale.
            let middle = (upper + under) / 2.0;
            sheet.line(
                &[(left, middle), (x - BEND, middle), (*x, middle + BEND), (*x, end)],
                t.max(1.0),
                INK,
                SOLID,
            )?;
        }
        let centre = (inner - BEND, under + BEND);
        let mut shape = vec![(left, upper), (centre.0, upper)];
        shape.extend(turn(centre, BEND + t, false));
        shape.extend([(outer, end), (inner, end)]);
        shape.extend(turn(centre, BEND, true));
        shape.extend([(centre.0, under), (left, under)]);
        if t >= 2.0 {
            sheet.face(&shape, if i % 2 == 0 { LOST } else { STONE })?;
            shape.push((left, upper));
            sheet.line(&shape, 1.0, INK, SOLID)?;
        }
        sheet.text_in(&percent(branch.share), (text_x, foot + TEXT * 0.6), Hang::Right, TEXT, true, INK)?;
        for (n, line) in branch.lines(text_x).iter().enumerate() {
            sheet.text(line, (text_x, foot + TEXT * (0.6 + LEADING * (n + 1) as f64)), Hang::Right, INK)?;
        }
        under = upper;
    }
    let words = format!("{} caught", percent(gold.recovery.mean));
    if tip * 2.0 > 34.0 {
        sheet.text_in(&words, (right - 50.0, band_top + tip), Hang::Left, TEXT, true, PAPER)?;
    }
    let rate = format!("Caught {} g an hour", three(gold.caught_g_per_h.mean));
    if tip * 2.0 <= 34.0 {
        sheet.text_in(&words, (right, top + 44.0), Hang::Left, TEXT, true, INK)?;
    } else if let Some(at) =
        catchers(outcome, right - width_of("raw gold, mean of all runs", TEXT, false) - left - 24.0)
    {
        sheet.text(&at, (right, top + 44.0), Hang::Left, QUIET)?;
    }
    sheet.text_in(&rate, (right, top + 18.0), Hang::Left, TEXT, true, INK)
}

/// Where it is caught, if that fits.
fn catchers(outcome: &RunResult, width: f64) -> Option<String> {
    let list: Vec<String> = outcome
        .plant
        .stages
        .iter()
        .filter(|s| s.caught_share > 1e-9)
        .map(|s| format!("{} {}", s.id, percent(s.caught_share)))
        .collect();
    let text = capital(&list.join(", "));
    (!list.is_empty() && width_of(&text, TEXT, false) <= width).then_some(text)
}
