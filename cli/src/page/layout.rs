//! The pages as a whole.

use maud::{DOCTYPE, Markup, html};
use sim_core::lever::Question;

use crate::page::answers::{Shown, actions, answer, care, in_words, pin, problems, status, strip};
use crate::page::design::{Design, PINNED, SET};
use crate::page::field::Sheet;
use crate::page::folder::Entry;
use crate::page::forms::{everything, levers};

/// The four questions, each with the name of its block.
const QUESTIONS: [(Question, &str, &str); 4] = [
    (Question::Hole, "hole", "Which hole size?"),
    (Question::Water, "water", "How much water?"),
    (Question::Losses, "losses", "Why do fines leave?"),
    (Question::Pay, "pay", "Does it pay?"),
];

/// A page around its content.
pub(super) fn document(title: &str, body: Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) " - washgraph" }
                link rel="icon" href="/icon.svg" type="image/svg+xml";
                link rel="stylesheet" href="/page.css";
                script src="/page.js" defer {}
            }
            body { (body) }
        }
    }
}

/// The scenarios of the folder.
pub(super) fn shelf(entries: &[Entry], folder: &str) -> Markup {
    document(
        "Scenarios",
        html! {
            main.narrow {
                h1 { "Wash plant scenarios" }
                p.quiet { "In " (folder) }
                @if entries.is_empty() {
                    p { "There is no scenario here yet. In a terminal, " code { "washgraph new my-plant.toml" } " writes one to start from." }
                }
                ul.shelf { @for e in entries {
                    li {
                        a href=(Design::of_file(&e.name).address("/plant")) { @if e.title.is_empty() { (e.name) } @else { (e.title) } }
                        @if !e.question.is_empty() { p { (e.question) } }
                        p.quiet { (e.name) }
                    }
                } }
            }
        },
    )
}

/// A design with its answers.
pub(super) struct Plan<'a> {
    pub design: &'a Design,
    pub title: &'a str,
    pub question: &'a str,
    pub sheet: &'a Sheet,
    pub shown: Option<&'a Shown<'a>>,
    pub fault: Option<&'a str>,
    pub saved: bool,
}

/// The page of a design: headline, four questions, comparison, everything else, saving.
pub(super) fn plant(p: &Plan<'_>) -> Markup {
    let title = if p.title.is_empty() { &p.design.file } else { p.title };
    document(
        title,
        html! {
            a.skip href="#hole" { "Skip to the answers" }
            header {
                p.where { a href="/" { "All scenarios" } " / " (p.design.file) }
                h1 { (title) }
                @if !p.question.is_empty() { p { (p.question) } }
                @if p.saved { p.saved role="status" { "Saved as " (p.design.file) "." } }
            }
            form #design action="/plant" method="get" {
                input type="hidden" name="file" value=(p.design.file);
                (strip(p.shown))
                (status(p.shown, p.sheet))
                (problems(p.sheet, p.fault))
                main {
                    @for (i, (question, id, words)) in QUESTIONS.into_iter().enumerate() {
                        section.block id=(id) aria-labelledby=(format!("{id}-title")) {
                            h2 id=(format!("{id}-title")) { span.number aria-hidden="true" { (i + 1) } (words) }
                            (levers(p.sheet, question))
                            (answer(question, p.design, p.shown))
                        }
                    }
                    (pin(p.design, p.shown))
                    (care(p.shown))
                    section #rest aria-labelledby="rest-title" {
                        h2 id="rest-title" { "Every other setting" }
                        (everything(p.sheet))
                    }
                    section #keep aria-labelledby="keep-title" {
                        h2 id="keep-title" { "Keep this design" }
                        (actions(p.design, p.shown.is_some()))
                        div.field.save {
                            label for="save-name" { "Save as a new scenario in this folder" }
                            input #save-name name="name" type="text" value=(next_name(&p.design.file)) maxlength="100"
                                autocomplete="off" autocapitalize="off" spellcheck="false" aria-describedby="save-hint";
                            p.hint #save-hint { "Your comments in the file stay. A file that is there is not overwritten without asking." }
                            button type="submit" formaction="/save" formmethod="post" { "Save" }
                        }
                    }
                }
            }
        },
    )
}

/// A name to save under: `creek.toml` becomes `creek-2.toml`, `creek-2.toml` `creek-3.toml`.
fn next_name(file: &str) -> String {
    let stem = file.strip_suffix(".toml").unwrap_or(file);
    match stem.rsplit_once('-').and_then(|(s, n)| n.parse::<u32>().ok().map(|n| (s, n))) {
        Some((start, n)) => format!("{start}-{}.toml", n.saturating_add(1)),
        None => format!("{stem}-2.toml"),
    }
}

/// Asks before a file is replaced.
pub(super) fn ask_to_replace(design: &Design, name: &str, mark: &str) -> Markup {
    document(
        "Replace?",
        html! {
            main.narrow {
                h1 { (name) " is there already" }
                p { "Nothing was written. Saving would replace it by " (design.file) " with these changes: " (in_words(&design.changes)) "." }
                form action="/save" method="post" {
                    (hidden(design))
                    input type="hidden" name="replace" value=(mark);
                    input type="hidden" name="name" value=(name);
                    button type="submit" { "Replace " (name) }
                }
                form action="/save" method="post" {
                    (hidden(design))
                    div.field {
                        label for="save-name" { "Or save under another name" }
                        input #save-name name="name" type="text" value=(next_name(name)) maxlength="100" autocomplete="off";
                    }
                    button type="submit" { "Save" }
                }
                p { a href=(design.address("/plant")) { "Back, without saving" } }
            }
        },
    )
}

fn hidden(design: &Design) -> Markup {
    html! {
        input type="hidden" name="file" value=(design.file);
        @for (path, value) in &design.changes { input type="hidden" name=(format!("{SET}{path}")) value=(value); }
        @if let Some(pin) = &design.pin {
            input type="hidden" name="pinned" value="yes";
            @for (path, value) in pin { input type="hidden" name=(format!("{PINNED}{path}")) value=(value); }
        }
    }
}

/// A page that says one thing.
pub(super) fn notice(title: &str, text: &str, back: Option<&Design>) -> Markup {
    document(
        title,
        html! {
            main.narrow {
                h1 { (title) }
                pre { (text) }
                p { a href=(back.map_or("/".to_string(), |d| d.address("/plant"))) { "Back" } }
            }
        },
    )
}

/// A scenario that cannot be read at all: its problems with their lines.
pub(super) fn unreadable(file: &str, problems: &[(Option<usize>, String)]) -> Markup {
    document(
        file,
        html! {
            main.narrow {
                h1 { (file) " cannot be read" }
                p { "Put these right in a text editor and load the page again." }
                ul { @for (line, text) in problems { li { @if let Some(n) = line { "Line " (n) ": " } (text) } } }
                p { a href="/" { "All scenarios" } }
            }
        },
    )
}
