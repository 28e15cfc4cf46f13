//! Answers in words, figures and pages. It reads results, ground and advice and gives text, SVG, PNG and HTML; it touches no file
//! and no clock, so that the same code serves the terminal, the output folder and the page.
//!
//! A figure is a file in [`figures`] with title, alt text, table and drawing. A table of the report is a grid whose numbers carry value,
//! unit and printed text, so that HTML, CSV and workbook say the same. A sentence that more than one frontend says stands in [`answers`],
//! [`money_words`] or [`water_words`]; numbers become words in [`numbers`] and `quantity::show` alone.

pub mod answers;
pub mod contest;
pub mod diagnose;
pub mod field_sheet;
pub mod figures;
pub mod hole_rule;
pub mod holes;
pub mod line;
pub mod line_words;
pub mod losses;
pub mod money_words;
pub mod next;
pub mod numbers;
pub mod once;
pub mod report;
pub mod sample_money;
pub mod samples;
pub mod sheet;
pub mod tables;
pub mod terminal;
pub mod tune;
pub mod verdict;
pub mod water_readings;
pub mod water_words;
pub mod words;
