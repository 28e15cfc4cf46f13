//! What size of gold is lost where, beside things of everyday life.

use maud::{Markup, html as markup};
use washgraph_model::result::{Loss, RunResult};

use crate::answers::LEAST;
use crate::numbers::{capital, percent};
use crate::report::grid::{Grid, Piece, share};

/// Upper edge in mm, what is about as large. Common knowledge, no source: table salt 0.3-0.5 mm, granulated sugar 0.5-0.8 mm,
/// fine beach sand 0.1-0.25 mm, a grain of rice about 2 mm thick and 6 mm long, flour dust under 0.1 mm.
const EVERYDAY: [(f64, &str); 6] = [
    (0.09, "flour dust"),
    (0.25, "fine beach sand"),
    (0.5, "table salt"),
    (1.0, "granulated sugar"),
    (2.0, "a pinhead, coarse salt"),
    (f64::INFINITY, "a grain of rice (about 2 mm thick, 6 mm long) or more"),
];

/// One of the everyday sizes and what becomes of gold of that size.
struct Band<'a> {
    size: String,
    like: &'static str,
    fed: f64,
    caught: f64,
    /// The loss that takes most of it, with its share of the gold of that size.
    worst: Option<(&'a Loss, f64)>,
}

fn bands(outcome: &RunResult) -> Vec<Band<'_>> {
    let mut from = 0.0;
    let mut list = Vec::new();
    for (to, like) in EVERYDAY {
        let inside: Vec<usize> = outcome
            .gold
            .recovery_by_size
            .iter()
            .enumerate()
            .filter(|(_, c)| c.from_mm >= from * 0.999 && c.from_mm < to * 0.999)
            .map(|(i, _)| i)
            .collect();
        let classes = || inside.iter().filter_map(|i| outcome.gold.recovery_by_size.get(*i));
        let fed: f64 = classes().map(|c| c.fed_share).sum();
        let caught: f64 = classes().map(|c| c.fed_share * c.recovery.mean).sum();
        let of = |l: &Loss| inside.iter().filter_map(|i| l.by_size.get(*i)).sum::<f64>() / fed;
        let worst = outcome.losses.iter().map(|l| (l, of(l))).max_by(|a, b| a.1.total_cmp(&b.1));
        let size = match (from > 0.0, to.is_finite()) {
            (false, _) => format!("under {to} mm"),
            (true, true) => format!("{from} to {to} mm"),
            (true, false) => format!("over {from} mm"),
        };
        if fed > 1e-6 {
            list.push(Band { size, like, fed, caught: caught / fed, worst: worst.filter(|w| w.1 >= LEAST) });
        }
        from = to;
    }
    list
}

/// The table.
pub fn grid(outcome: &RunResult) -> Grid {
    let heads = [
        ("About as large as", "everyday_size"),
        ("Gold of", "size"),
        ("Of all gold fed", "fed_share"),
        ("Caught of it", "recovery"),
        ("What takes most of the rest", "worst_loss"),
        ("Of that size it takes", "worst_share"),
    ];
    let rows = bands(outcome).into_iter().map(|b| {
        let (worst, taken) = match b.worst {
            Some((l, v)) => (Piece::from(format!("{} ({})", l.reason, l.stage)), share(v)),
            None => ("nothing worth a word".into(), share(0.0)),
        };
        vec![capital(b.like).into(), b.size.into(), share(b.fed), share(b.caught), worst, taken]
    });
    Grid::new("everyday-sizes", &heads, rows.collect())
}

/// The story of sizes.
pub fn story(outcome: &RunResult) -> Markup {
    let list = bands(outcome);
    let lost = |b: &Band<'_>| b.fed * (1.0 - b.caught);
    let all: f64 = list.iter().map(lost).sum();
    let worst = list.iter().max_by(|a, b| lost(a).total_cmp(&lost(b)));
    let poorest = list.iter().filter(|b| b.fed > 0.005).min_by(|a, b| a.caught.total_cmp(&b.caught));
    markup! {
        @if all > LEAST { @if let (Some(w), Some(p)) = (worst, poorest) {
            p { "The most gold by weight is lost in grains about as large as " strong { (w.like) } " (" (w.size) "): " (percent(lost(w) / all)) " of all that is lost. "
                @if p.like == w.like { "They are also caught worst" } @else { "Caught worst are grains like " (p.like) " (" (p.size) ")" }
                ": " strong { (percent(p.caught)) } " of them stay. They are " (percent(p.fed)) " of the gold fed." }
        } } @else { p { "Hardly any gold is lost, of whatever size." } }
        (grid(outcome).html())
        p.quiet { "Everyday sizes are rough: hold a pinch beside the gold. A flake counts by the sieve that it passes, not by its thickness. Shares are of all runs together." }
    }
}
