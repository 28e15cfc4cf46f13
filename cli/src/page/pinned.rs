//! A pinned design against this one on the same ground: both take the same draws, so the difference is taken run by run.

use maud::{Markup, html};
use sim_core::constants::{G_H_PER_KG_S, S_PER_H};
use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::stats::compare::paired;
use sim_core::stats::order::percentile_sorted;
use washgraph_model::result::Money;

use crate::page::work::Worked;
use washgraph_view::numbers::{amount, percent, runs, three};

/// Difference of this design from the pinned one in raw gold caught, g/h.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Gap {
    pub mean: f64,
    pub low: f64,
    pub high: f64,
    /// Share of the runs in which this one catches more; ties count half.
    pub better: f64,
}

/// The difference run by run; `None` when the runs do not match.
pub(super) fn gap(this: &Worked, pinned: &Worked) -> Option<Gap> {
    let compared = paired(&this.caught, &pinned.caught)?;
    let mut gaps: Vec<f64> = this.caught.iter().zip(&pinned.caught).map(|(a, b)| (a - b) * G_H_PER_KG_S).collect();
    gaps.sort_by(f64::total_cmp);
    Some(Gap {
        mean: compared.mean_gap * G_H_PER_KG_S,
        low: percentile_sorted(&gaps, 0.1),
        high: percentile_sorted(&gaps, 0.9),
        better: compared.chance_a,
    })
}

/// A signed number with about three figures: `+0.21`, `-1.4`, `0`.
pub(super) fn signed(x: f64) -> String {
    if x.abs() < 5e-4 {
        "no difference".into()
    } else if x > 0.0 {
        format!("+{} g/h", three(x))
    } else {
        format!("\u{2212}{} g/h", three(-x))
    }
}

impl Gap {
    /// The difference in a sentence.
    pub fn sentence(&self) -> String {
        let same = self.low.abs() < 5e-4 && self.high.abs() < 5e-4;
        if same {
            return "This design catches as much gold as the pinned one.".into();
        }
        let word = if self.mean >= 0.0 { "more" } else { "less" };
        format!(
            "On the same ground this design catches {} g of raw gold an hour {word} than the pinned one in the mean \
             (1 run in 10 falls below {}, 1 run in 10 is above {}). It catches more in {}.",
            three(self.mean.abs()),
            signed(self.low),
            signed(self.high),
            runs(self.better)
        )
    }
}

/// Both designs side by side.
pub(super) fn side_by_side(this: &Worked, pinned: &Worked, units: UnitChoice) -> Markup {
    let flow = |m3_h: f64| show(m3_h / S_PER_H, Dimension::Flow, units);
    let row = |name: &str, of: &dyn Fn(&Worked) -> String| (name.to_string(), of(pinned), of(this));
    let mut rows = vec![
        row("Share of the gold caught", &|w| percent(w.outcome.gold.recovery.mean)),
        row("Raw gold caught, mean", &|w| format!("{} g/h", three(w.outcome.gold.caught_g_per_h.mean))),
        row("Gravel fed, loose, mean", &|w| {
            show(w.outcome.plant.feed_loose_m3_h.mean / S_PER_H, Dimension::GravelRate, units)
        }),
        row("Water supplied, middle", &|w| flow(w.outcome.water.supply_m3_h.pctl_50)),
        row("Runs short of water", &|w| percent(w.outcome.water.short_share)),
    ];
    if this.outcome.money.is_some() && pinned.outcome.money.is_some() {
        let of = |w: &Worked, what: fn(&Money) -> String| w.outcome.money.as_ref().map(what).unwrap_or_default();
        rows.push(row("Left of the season, middle", &|w| {
            of(w, |m| format!("{} {}", m.currency, amount(m.net_per_season.pctl_50)))
        }));
        rows.push(row("Seasons that lose money", &|w| of(w, |m| percent(m.chance_of_loss))));
    }
    html! {
        div.wide { table {
            thead { tr { td {} th.n scope="col" { "Pinned" } th.n scope="col" { "This design" } } }
            tbody { @for (name, a, b) in rows {
                tr { th scope="row" { (name) } td.n data-h="Pinned" { (a) } td.n data-h="This design" { (b) } }
            } }
        } }
    }
}
