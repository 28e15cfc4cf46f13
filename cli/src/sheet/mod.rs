//! The command `sheet`: the shop sheet of a plant, written into a folder.

mod command;

pub(crate) use command::{SheetArgs, sheet};

#[cfg(test)]
mod tests;
