//! A line of an answer: words with marks that each frontend shows in its own way.

/// Marks around a number that the eye should find; each frontend shows them in its own way. Private characters of Unicode.
pub const STRONG: (char, char) = ('\u{E000}', '\u{E001}');

/// How a line is to be taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// A plain sentence.
    Plain,
    /// One of a list.
    Item,
    /// Good news.
    Good,
    /// Bad news.
    Bad,
}

/// A line of an answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// The words, with the marks of [`STRONG`].
    pub text: String,
    /// How it is to be taken.
    pub tone: Tone,
}

/// Marks a piece of a sentence.
pub fn strong(text: impl std::fmt::Display) -> String {
    format!("{}{text}{}", STRONG.0, STRONG.1)
}
