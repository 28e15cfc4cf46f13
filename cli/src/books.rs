//! Books that do not close: a fault of a stage, told instead of an answer.

use sim_core::trial::BrokenBooks;

use crate::exit::Exit;

/// Says whose books do not close; `None` when all do.
pub(crate) fn refused<'a>(runs: impl IntoIterator<Item = &'a Option<BrokenBooks>>) -> Option<Exit> {
    let broken = runs.into_iter().flatten().next()?;
    anstream::eprintln!("error: {}; no answer can rest on that: this is a fault of that stage's model", broken.words());
    Some(Exit::Fault)
}
