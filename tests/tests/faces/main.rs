//! The frontends of one result (terminal, report, page, workbook, CSV, result.json) say the same numbers, to the printed digit.

mod culprits;
mod numbers;
mod reader;
mod screen;
mod warnings;
