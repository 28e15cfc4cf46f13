//! What is wrong with a scenario: place, plain words, remedy. All problems of a file are collected and shown at once.

use std::ops::Range;

/// How bad a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing; nothing is wrong.
    Note,
    /// The run goes on, but the answer may not be what was meant.
    Warning,
    /// The scenario cannot be run.
    Error,
}

impl Severity {
    /// The word printed.
    pub const fn word(self) -> &'static str {
        match self {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Error => "error",
        }
    }
}

/// A row of a sheet that a problem is about, as it stands there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Quote {
    /// Name of the file.
    pub file: String,
    /// Number of the row, counted from 1.
    pub row: usize,
    /// Its cells, one after the other.
    pub text: String,
    /// The part of `text` that it is about; empty for the row as a whole.
    pub part: Range<usize>,
}

/// One problem, with its place in the scenario text.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// How bad it is.
    pub severity: Severity,
    /// Bytes of the scenario text that it is about; `None` when it is about the file as a whole.
    pub span: Option<Range<usize>>,
    /// What is wrong, as a lowercase fragment in plain words.
    pub message: String,
    /// What would be right; may be empty.
    pub help: String,
    /// The row that it is about, where that stands in a sheet and not in the scenario.
    pub quote: Option<Quote>,
    /// Places of further problems that are the same but for their place.
    pub again: Vec<Range<usize>>,
}

/// All problems found so far.
#[derive(Debug, Clone, Default)]
pub struct Problems {
    list: Vec<Problem>,
}

impl Problems {
    /// Records something that prevents the run.
    pub fn error(
        &mut self,
        span: impl Into<Option<Range<usize>>>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.push(Severity::Error, span.into(), message.into(), help.into(), None);
    }

    /// Records something in a sheet beside the scenario; `span` is where the scenario names the sheet.
    pub fn of_sheet(
        &mut self,
        severity: Severity,
        span: impl Into<Option<Range<usize>>>,
        message: impl Into<String>,
        help: impl Into<String>,
        quote: Option<Quote>,
    ) {
        self.push(severity, span.into(), message.into(), help.into(), quote);
    }

    /// Records something that the user should look at.
    pub fn warning(
        &mut self,
        span: impl Into<Option<Range<usize>>>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.push(Severity::Warning, span.into(), message.into(), help.into(), None);
    }

    /// Records how something was understood.
    pub fn note(&mut self, span: impl Into<Option<Range<usize>>>, message: impl Into<String>, help: impl Into<String>) {
        self.push(Severity::Note, span.into(), message.into(), help.into(), None);
    }

    fn push(
        &mut self,
        severity: Severity,
        span: Option<Range<usize>>,
        message: String,
        help: String,
        quote: Option<Quote>,
    ) {
        let problem = Problem { severity, span, message, help, quote, again: Vec::new() };
        if !self.list.contains(&problem) {
            self.list.push(problem);
        }
    }

    /// Whether anything found prevents the run.
    pub fn has_errors(&self) -> bool {
        self.list.iter().any(|p| p.severity == Severity::Error)
    }

    /// Number of errors so far.
    pub fn error_count(&self) -> usize {
        self.list.iter().filter(|p| p.severity == Severity::Error).count()
    }

    /// The problems in the order of their place in the text.
    pub fn in_order(&self) -> Vec<Problem> {
        let mut list = self.list.clone();
        list.sort_by_key(|p| p.span.as_ref().map_or(usize::MAX, |s| s.start));
        list
    }
}

/// Problems as they are read: what is the same but for its place stands once, at its first place, with the others in
/// [`Problem::again`]; what is worth knowing first, what prevents the run last, where the eye rests.
pub fn as_read(list: &[Problem]) -> Vec<Problem> {
    let mut read: Vec<Problem> = Vec::new();
    for problem in list {
        let same = |p: &&mut Problem| {
            p.severity == problem.severity
                && p.message == problem.message
                && p.help == problem.help
                && p.quote.is_none()
        };
        match (read.iter_mut().find(same), &problem.span) {
            (Some(known), Some(span)) if problem.quote.is_none() => known.again.push(span.clone()),
            _ => read.push(problem.clone()),
        }
    }
    read.sort_by_key(|p| p.severity);
    read
}

/// The known word closest to `typed`, when one is close enough to be meant.
pub fn did_you_mean<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let typed = typed.to_lowercase();
    known
        .into_iter()
        .map(|word| (strsim::jaro_winkler(&typed, &word.to_lowercase()), word))
        .filter(|(score, _)| *score > 0.8)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, word)| word)
}
