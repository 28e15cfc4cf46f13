//! Page one: the four questions, each answered in a few sentences, and one picture.

use maud::{Markup, html as markup};
use sim_core::quantity::UnitChoice;
use sim_core::result::Outcome;

use super::backing::Backing;
use crate::answers::{STRONG, Told, Tone, Voice, answers, main_losses};
use crate::money_words;
use crate::verdict::next_step;

/// A sentence with its marks.
pub(super) fn sentence(text: &str) -> Markup {
    let pieces = text.split(STRONG.0).map(|piece| piece.split_once(STRONG.1));
    markup! {
        @for (i, (piece, raw)) in pieces.zip(text.split(STRONG.0)).enumerate() {
            @match piece {
                Some((marked, after)) if i > 0 => { strong { (marked) } (after) },
                _ => { (raw) },
            }
        }
    }
}

fn told(number: usize, t: &Told, more: &Markup) -> Markup {
    let items: Vec<_> = t.lines.iter().filter(|l| l.tone == Tone::Item).collect();
    markup! {
        section.answer {
            h2 { span.number { (number) } " " (t.question) }
            @for l in t.lines.iter().filter(|l| l.tone != Tone::Item) {
                @if l.tone == Tone::Bad { p.bad { (sentence(&l.text)) } } @else { p { (sentence(&l.text)) } }
            }
            @if !items.is_empty() { ul { @for l in items { li { (sentence(&l.text)) } } } }
            (more)
        }
    }
}

/// The four answers and the picture.
pub(super) fn front(outcome: &Outcome, backing: &Backing, picture: Option<Markup>, units: UnitChoice) -> Markup {
    let list = answers(outcome, &backing.understood, Voice { units, both: true });
    let none = markup! {};
    let remedy = backing.remedies.lines().nth(1).map(str::trim);
    let more_water = markup! {
        @if let Some(first) = remedy { p { "First remedy: " (first.trim_start_matches("1. ")) ". All of them stand under Water." } }
    };
    let stops = stops(outcome, backing, units);
    let more_losses = markup! {
        @if !stops.is_empty() { p { "What would stop them, each tried by itself on the same ground:" } ul { @for s in stops { li { (s) } } } }
        p { strong { "Next: " } (next_step(outcome)) }
    };
    let paid = outcome.money.as_ref().and_then(money_words::paid_off);
    let more_money = markup! {
        @if let Some(text) = paid { p { (text) } }
    };
    markup! {
        @for (i, (t, more)) in list.iter().zip([&none, &more_water, &more_losses, &more_money]).enumerate() {
            (told(i + 1, t, more))
        }
        @if let Some(p) = picture { div.front { (p) } }
    }
}

/// What would stop each of the main losses, by the name of the loss.
fn stops(outcome: &Outcome, backing: &Backing, units: UnitChoice) -> Vec<String> {
    if backing.changes.list.is_empty() {
        return Vec::new();
    }
    main_losses(outcome)
        .map(|loss| format!("{} ({}): {}", crate::figures::words::capital(&loss.reason), loss.stage, lower(&backing.changes.sentence(loss, units))))
        .collect()
}

/// First letter small.
fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |c| c.to_lowercase().chain(letters).collect())
}
