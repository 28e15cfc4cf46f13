//! Page one: the four questions, each answered in a few sentences, and one picture.

use maud::{Markup, html as markup};
use sim_core::quantity::UnitChoice;
use washgraph_model::result::RunResult;

use super::changes;
use crate::answers::{QuestionAnswer, Wording, answers, main_losses};
use crate::line::{STRONG, Tone};
use crate::money_words;
use crate::numbers::capital;
use crate::report::backing::Backing;
use crate::verdict::next_step;

/// A sentence with its marks, and what stands between grave accents as code.
pub fn sentence(text: &str) -> Markup {
    let code = |text: &str| {
        let pieces: Vec<String> = text.split('`').map(String::from).collect();
        markup! { @for (i, piece) in pieces.iter().enumerate() { @if i % 2 == 1 { code { (piece) } } @else { (piece) } } }
    };
    let pieces = text.split(STRONG.0).enumerate().map(|(i, raw)| (i, raw.split_once(STRONG.1), raw));
    markup! {
        @for (i, piece, raw) in pieces {
            @match piece {
                Some((marked, after)) if i > 0 => { strong { (marked) } (code(after)) },
                _ => { (code(raw)) },
            }
        }
    }
}

fn told(number: usize, t: &QuestionAnswer, more: &Markup) -> Markup {
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
pub fn front(outcome: &RunResult, backing: &Backing, picture: Option<Markup>, units: UnitChoice) -> Markup {
    let list = answers(outcome, &backing.understood, Wording { units, full: true });
    let none = markup! {};
    let remedy = backing.remedies.lines().nth(1).map(str::trim);
    let more_water = markup! {
        @if let Some(first) = remedy { p { "First remedy: " (first.trim_start_matches("1. ")) ". All of them stand under Water." } }
    };
    let stops = stops(outcome, backing);
    let more_losses = markup! {
        @if !stops.is_empty() { p { "What would stop them, each change tried by itself on the same ground:" } ul { @for (name, text) in &stops { li { (name) ": " (text) } } } }
        p { strong { "Next: " } (next_step(outcome)) }
    };
    let paid = outcome.money.as_ref().and_then(money_words::paid_off);
    let more_money = markup! {
        @if let Some(text) = paid { p { (text) } }
    };
    markup! {
        @if let Some(p) = picture { div.front { (p) } }
        @for (i, (t, more)) in list.iter().zip([&none, &more_water, &more_losses, &more_money]).enumerate() {
            (told(i + 1, t, more))
        }
    }
}

/// What would stop each of the main losses, by the name of the loss.
fn stops(outcome: &RunResult, backing: &Backing) -> Vec<(String, String)> {
    let name = |loss: &washgraph_model::result::Loss| format!("{} ({})", capital(&loss.reason), loss.stage);
    main_losses(outcome).filter_map(|loss| Some((name(loss), changes::in_short(&backing.changes, loss)?))).collect()
}
