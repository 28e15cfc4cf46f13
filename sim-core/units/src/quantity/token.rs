//! The text of a unit cut into words, powers, strokes and brackets. Unicode forms become ASCII here.

use std::ops::Range;

/// What a piece of unit text is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Kind {
    /// A word with its power, `yd3` being `yd` to the power 3.
    Word(String, i32),
    /// A number that is not a power.
    Number(String),
    /// `/`.
    Slash,
    /// `(`.
    Open,
    /// `)`.
    Close,
}

/// A piece of unit text and where it stands, in bytes of the text given.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Token {
    pub kind: Kind,
    pub span: Range<usize>,
}

/// A piece of text that cannot belong to a unit.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Trouble {
    pub span: Range<usize>,
    pub kind: TroubleKind,
}

/// Why a piece of text cannot belong to a unit.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum TroubleKind {
    /// No unit is spelled so.
    UnknownWord(String),
    /// A number where a unit is expected.
    StrayNumber,
    /// A character that belongs to no unit.
    StrayCharacter(char),
    /// A word such as `troy` or `short` that qualifies nothing in reach.
    NothingToQualify(String),
    /// Loose and bank at once.
    LooseAndBank,
}

fn superscript(c: char) -> Option<u32> {
    "⁰¹²³⁴⁵⁶⁷⁸⁹".chars().position(|s| s == c).map(|i| i as u32)
}

fn subscript(c: char) -> Option<u32> {
    "₀₁₂₃₄₅₆₇₈₉".chars().position(|s| s == c).map(|i| i as u32)
}

/// Digit in any of the three positions.
fn digit(c: char) -> Option<u32> {
    c.to_digit(10).or_else(|| superscript(c)).or_else(|| subscript(c))
}

fn is_minus(c: char) -> bool {
    matches!(c, '-' | '−' | '⁻' | '–' | '‐' | '‑')
}

fn is_apostrophe(c: char) -> bool {
    matches!(c, '\'' | '’' | '‘' | '′')
}

/// Characters that form a word of their own.
fn single(c: char) -> Option<&'static str> {
    Some(match c {
        '%' => "%",
        '‰' => "‰",
        '°' | 'º' => "°",
        '℃' => "℃",
        '℉' => "℉",
        '$' => "$",
        '€' => "€",
        '£' => "£",
        '"' | '“' | '”' | '″' => "\"",
        _ => return None,
    })
}

fn letter(c: char) -> Option<char> {
    match c {
        'µ' | 'μ' => Some('u'),
        'º' => None,
        c if c.is_alphabetic() => Some(c),
        _ => None,
    }
}

/// A cursor over the characters, with their byte places.
struct Cursor<'a> {
    chars: Vec<(usize, char)>,
    at: usize,
    text: &'a str,
}

impl Cursor<'_> {
    fn look(&self, ahead: usize) -> Option<char> {
        self.chars.get(self.at + ahead).map(|(_, c)| *c)
    }

    fn byte(&self) -> usize {
        self.chars.get(self.at).map_or(self.text.len(), |(b, _)| *b)
    }

    /// A word, with the apostrophe of "miner's" and the dots of "U.S." left out.
    fn word(&mut self) -> String {
        let mut word = String::new();
        while let Some(c) = self.look(0) {
            let next_is_letter = self.look(1).and_then(letter).is_some();
            if let Some(l) = letter(c) {
                word.push(l);
            } else if !(is_apostrophe(c) && next_is_letter
                || c == '.' && next_is_letter && word.eq_ignore_ascii_case("u"))
            {
                break;
            }
            self.at += 1;
        }
        word
    }

    /// A power directly behind a word: `3`, `^3`, `**3`, `-1`, `^-1`, superscripts. One where there is none.
    fn power(&mut self) -> i32 {
        let mut ahead = 0;
        if self.look(0) == Some('^') {
            ahead = 1;
        } else if self.look(0) == Some('*') && self.look(1) == Some('*') {
            ahead = 2;
        }
        let negative = self.look(ahead).is_some_and(is_minus);
        if negative {
            ahead += 1;
        }
        let Some(d) = self.look(ahead).and_then(digit) else {
            return 1;
        };
        self.at += ahead + 1;
        if negative { -(d as i32) } else { d as i32 }
    }

    fn number(&mut self) -> String {
        let mut number = String::new();
        while let Some(c) = self.look(0) {
            match digit(c) {
                Some(d) => number.push(char::from_digit(d, 10).unwrap_or('0')),
                None if c == '.' && self.look(1).and_then(digit).is_some() => number.push('.'),
                None => break,
            }
            self.at += 1;
        }
        number
    }
}

/// Cuts the text of a unit into pieces.
pub(super) fn tokens(text: &str) -> Result<Vec<Token>, Trouble> {
    let mut cursor = Cursor { chars: text.char_indices().collect(), at: 0, text };
    let mut out = Vec::new();
    while let Some(c) = cursor.look(0) {
        let start = cursor.byte();
        let kind = if letter(c).is_some() {
            let word = cursor.word();
            let power = cursor.power();
            Some(Kind::Word(word, power))
        } else if let Some(word) = single(c) {
            cursor.at += 1;
            Some(Kind::Word(word.to_owned(), 1))
        } else if is_apostrophe(c) {
            cursor.at += 1;
            let doubled = cursor.look(0).is_some_and(is_apostrophe);
            cursor.at += usize::from(doubled);
            Some(Kind::Word(if doubled { "\"" } else { "'" }.to_owned(), 1))
        } else if digit(c).is_some() {
            Some(Kind::Number(cursor.number()))
        } else {
            let kind = match c {
                '/' | '÷' | '∕' | '⁄' => Some(Kind::Slash),
                '(' | '[' => Some(Kind::Open),
                ')' | ']' => Some(Kind::Close),
                c if c.is_whitespace() || is_minus(c) => None,
                '·' | '⋅' | '∙' | '*' | '×' | '_' | '.' | ',' => None,
                c => {
                    return Err(Trouble { span: start..start + c.len_utf8(), kind: TroubleKind::StrayCharacter(c) });
                }
            };
            cursor.at += 1;
            kind
        };
        if let Some(kind) = kind {
            out.push(Token { kind, span: start..cursor.byte() });
        }
    }
    Ok(out)
}
