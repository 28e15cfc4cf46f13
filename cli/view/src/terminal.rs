//! Text for a terminal: wrapped to its width, marks shown as bold, colour only for a judgement. What is piped is plain.

use std::fmt::Write as _;
use std::io::IsTerminal;

use anstyle::{AnsiColor, Style};

use crate::line::{STRONG, Tone};

/// Width when the output is no terminal, or does not say how wide it is.
pub const USUAL_WIDTH: usize = 80;
/// Longer lines are hard to read.
const WIDEST: usize = 110;
const NARROWEST: usize = 30;

/// Width to wrap to.
pub fn width() -> usize {
    if !std::io::stdout().is_terminal() {
        return USUAL_WIDTH;
    }
    let asked = terminal_size::terminal_size().map(|(w, _)| usize::from(w.0));
    asked.unwrap_or(USUAL_WIDTH).clamp(NARROWEST, WIDEST)
}

/// Number of characters that are seen.
fn seen(text: &str) -> usize {
    text.chars().filter(|c| *c != STRONG.0 && *c != STRONG.1).count()
}

/// Wraps a text between words; the first line starts with `first`, the others with `rest`.
pub fn wrapped(text: &str, width: usize, first: &str, rest: &str) -> String {
    let mut out = String::from(first);
    let (mut at, mut empty) = (seen(first), true);
    for word in text.split_whitespace() {
        let long = seen(word);
        if !empty && at + 1 + long > width {
            let _ = write!(out, "\n{rest}");
            (at, empty) = (seen(rest), true);
        }
        if !empty {
            out.push(' ');
            at += 1;
        }
        out.push_str(word);
        at += long;
        empty = false;
    }
    out.push('\n');
    out
}

/// Marks as bold, the whole in the colour of its tone. The stream strips it all when it is no terminal.
pub fn painted(text: &str, tone: Tone) -> String {
    let ground = match tone {
        Tone::Plain | Tone::Item => Style::new(),
        Tone::Good => Style::new().fg_color(Some(AnsiColor::Green.into())),
        Tone::Bad => Style::new().fg_color(Some(AnsiColor::Red.into())),
    };
    let mut out = String::new();
    // Each line stands by itself, so that a pager may cut anywhere.
    let mut bold = false;
    for line in text.split_inclusive('\n') {
        let (line, end) = line.strip_suffix('\n').map_or((line, ""), |l| (l, "\n"));
        let indent = line.len() - line.trim_start_matches(' ').len();
        out.push_str(&line[..indent]);
        let style = |bold: bool| if bold { ground.bold() } else { ground };
        let _ = write!(out, "{}", style(bold).render());
        for c in line[indent..].chars() {
            if c == STRONG.0 || c == STRONG.1 {
                let _ = write!(out, "{}", style(bold).render_reset());
                bold = c == STRONG.0;
                let _ = write!(out, "{}", style(bold).render());
            } else {
                out.push(c);
            }
        }
        let _ = write!(out, "{}{end}", style(bold).render_reset());
    }
    out
}

/// Without marks.
pub fn bare(text: &str) -> String {
    text.replace([STRONG.0, STRONG.1], "")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::strong;

    #[test]
    fn property_no_line_is_wider_than_asked_and_no_word_is_lost() {
        let text = format!("It catches {} of the gold, in all but the worst hours of the year.", strong("86 %"));
        for width in [30, 60, 80, 120] {
            let lines = wrapped(&text, width, "  ", "    ");
            assert!(lines.lines().all(|l| seen(l) <= width), "{width}: {lines}");
            assert_eq!(lines.split_whitespace().collect::<Vec<_>>(), text.split_whitespace().collect::<Vec<_>>());
        }
    }

    #[test]
    fn identity_paint_is_closed_on_every_line_and_bare_text_is_plain() {
        let text = format!("a {}\nb\n", strong("x"));
        let paint = painted(&text, Tone::Bad);
        assert!(paint.contains("\u{1b}[1m") && paint.lines().all(|l| l.ends_with("\u{1b}[0m")), "{paint:?}");
        assert_eq!(bare(&text), "a x\nb\n");
    }
}
