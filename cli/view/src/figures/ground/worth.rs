//! Worth of further pans in money against their number, and what they cost.

use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::samples::money::SampleMoney;

use crate::figures::axis::{Frame, steps};
use crate::figures::render::{Drawing, picture};
use crate::figures::sheet::{Hang, Sheet, title_height};
use crate::figures::style::{DASHED, DOTTED, GOLD, INK, MARGIN, QUIET, SOLID, WIDTH};
use crate::figures::{Figure, FigureError};
use crate::numbers::amount;
use crate::sample_money::finding;
use crate::tables::Table;

const PLOT: f64 = 300.0;

struct Worth<'a> {
    money: &'a SampleMoney,
    /// Number of pans, worth, one standard error.
    points: Vec<(f64, f64, f64)>,
    /// What one pan costs.
    pan_cost: Option<f64>,
    title: String,
}

pub fn figure(money: &SampleMoney) -> Result<Figure, FigureError> {
    let mut points = vec![(0.0, 0.0, 0.0)];
    points.extend(money.plans.iter().filter_map(|p| Some((f64::from(p.pans?), p.worth?, p.noise))));
    let pan_cost = money.plans.iter().find_map(|p| p.pans.and(p.cost).map(|c| c / f64::from(p.pans.unwrap_or(1))));
    let title = finding(money);
    let alt = format!(
        "{title}. Worth in {} against further pans: {}. Knowing the gold exactly: {}.",
        money.currency,
        points.iter().map(|p| format!("{:.0} pans {}", p.0, amount(p.1))).collect::<Vec<_>>().join(", "),
        amount(money.perfect)
    );
    let headers = [
        "Sample",
        "Worth",
        "Give or take (one standard error)",
        "Worth each",
        "Changes the choice, %",
        "Cost",
        "Leaves",
    ];
    let headers = headers.iter().map(|h| match *h {
        "Worth" | "Worth each" | "Cost" | "Leaves" => format!("{h}, {}", money.currency),
        other => other.to_string(),
    });
    let or = |x: Option<f64>| x.map_or(String::new(), |x| format!("{x:.2}"));
    let row = |p: &sim_core::samples::money::PlanWorth| {
        vec![
            p.what.clone(),
            or(p.worth),
            or(p.worth.map(|_| p.noise)),
            or(p.worth_each),
            format!("{:.1}", 100.0 * p.changes),
            or(p.cost),
            or(p.left),
        ]
    };
    let mut rows: Vec<Vec<String>> = money.plans.iter().map(row).collect();
    rows.push(vec![
        "knowing the gold exactly".into(),
        format!("{:.2}", money.perfect),
        format!("{:.2}", money.perfect_noise),
        String::new(),
        String::new(),
        String::new(),
        String::new(),
    ]);
    let table = Table { headers: headers.collect(), rows };
    picture("worth-by-pans", &title, alt, table, &Worth { money, points, pan_cost, title: title.clone() })
}

impl Drawing for Worth<'_> {
    fn height(&self) -> f64 {
        title_height(&self.title) + 60.0 + 27.0 * self.keys() as f64 + PLOT + 84.0
    }

    fn draw<B: DrawingBackend>(&self, area: &DrawingArea<B, Shift>) -> Result<(), FigureError> {
        let (sheet, top) = Sheet::new(area, &self.title)?;
        let most = self.points.iter().map(|p| p.1 + p.2).fold(self.money.perfect, f64::max);
        let ticks = steps(if most > 0.0 { most } else { 1.0 });
        let begin = top + 60.0 + 27.0 * self.keys() as f64;
        // One pan more on the scale than there are, so that now stands at the left end of a logarithmic axis.
        let last = self.points.last().map_or(10.0, |p| p.0).max(1.0) + 1.0;
        let f = Frame {
            left: 104.0,
            right: WIDTH - MARGIN - 30.0,
            top: begin,
            bottom: begin + PLOT,
            x: (1.0, last),
            y: (0.0, ticks.last().copied().unwrap_or(1.0)),
            log: true,
        };
        self.key(&sheet, top)?;
        sheet.text(&format!("Worth in {}", self.money.currency), (MARGIN, begin - 28.0), Hang::Right, INK)?;
        f.levels(
            &sheet,
            &ticks.iter().map(|v| (*v, if *v == 0.0 { "0".into() } else { amount(*v) })).collect::<Vec<_>>(),
        )?;
        let at = |n: f64, v: f64| f.at((n + 1.0, v));
        if self.money.perfect > 0.0 {
            let y = f.up(self.money.perfect);
            sheet.line(&[(f.left, y), (f.right, y)], 2.0, INK, DASHED)?;
        }
        if let Some(cost) = self.pan_cost {
            // A straight line of cost is a curve on this axis; it ends where it leaves the frame.
            let end = if cost > 0.0 { (f.y.1 / cost).min(last - 1.0) } else { last - 1.0 };
            let line: Vec<_> = (0..=60).map(|i| f64::from(i) / 60.0 * end).map(|n| at(n, n * cost)).collect();
            sheet.line(&line, 2.0, QUIET, DOTTED)?;
        }
        for (n, worth, noise) in self.points.iter().filter(|p| p.2 > 0.0) {
            sheet.line(&[at(*n, (worth - noise).max(0.0)), at(*n, worth + noise)], 1.5, INK, SOLID)?;
        }
        let line: Vec<_> = self.points.iter().map(|(n, w, _)| at(*n, *w)).collect();
        sheet.line(&line, 3.0, GOLD, SOLID)?;
        for (x, y) in &line {
            sheet.face(&[(x - 6.0, *y), (*x, y - 6.0), (x + 6.0, *y), (*x, y + 6.0)], GOLD)?;
        }
        sheet.line(&[(f.left, f.bottom), (f.right, f.bottom)], 1.5, INK, SOLID)?;
        for (n, _, _) in &self.points {
            let x = f.across(n + 1.0);
            let label = if *n == 0.0 { "now".to_string() } else { format!("{n:.0}") };
            sheet.line(&[(x, f.bottom), (x, f.bottom + 7.0)], 1.5, INK, SOLID)?;
            sheet.text(&label, (x, f.bottom + 24.0), Hang::Middle, QUIET)?;
        }
        let name = "Further pans, each from a spot of its own";
        sheet.text(name, ((f.left + f.right) / 2.0, f.bottom + 56.0), Hang::Middle, INK)
    }
}

impl Worth<'_> {
    fn keys(&self) -> usize {
        1 + usize::from(self.money.perfect > 0.0) + usize::from(self.pan_cost.is_some())
    }

    fn key<B: DrawingBackend>(&self, sheet: &Sheet<'_, B>, top: f64) -> Result<(), FigureError> {
        let mut keys = vec![(3.0, GOLD, SOLID, "worth of that many pans, with one standard error")];
        if self.money.perfect > 0.0 {
            keys.push((2.0, INK, DASHED, "knowing the gold of the ground exactly"));
        }
        if self.pan_cost.is_some() {
            keys.push((2.0, QUIET, DOTTED, "what they cost you"));
        }
        for (i, (width, color, dash, words)) in keys.into_iter().enumerate() {
            let y = top + 10.0 + 27.0 * i as f64;
            sheet.line(&[(MARGIN, y), (MARGIN + 66.0, y)], width, color, dash)?;
            sheet.text(words, (MARGIN + 80.0, y), Hang::Right, INK)?;
        }
        Ok(())
    }
}
