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
        self.push(Severity::Error, span.into(), message.into(), help.into());
    }

    /// Records something that the user should look at.
    pub fn warning(
        &mut self,
        span: impl Into<Option<Range<usize>>>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.push(Severity::Warning, span.into(), message.into(), help.into());
    }

    /// Records how something was understood.
    pub fn note(&mut self, span: impl Into<Option<Range<usize>>>, message: impl Into<String>, help: impl Into<String>) {
        self.push(Severity::Note, span.into(), message.into(), help.into());
    }

    fn push(&mut self, severity: Severity, span: Option<Range<usize>>, message: String, help: String) {
        let problem = Problem { severity, span, message, help };
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
