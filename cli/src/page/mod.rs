//! The command `page`: the model on a local web page, with settings to move and figures that follow.
//!
//! A design is a scenario file and the settings changed in it, and stands whole in the address of the page: nothing is
//! kept on the server, the back button works, and without JavaScript each form asks for the next address.
//!
//! ```text
//! address -> Design -> text of the scenario with the changes -> Plant or problems beside their fields
//!                                                          -> trials -> RunResult -> answers and figures
//! ```
//!
//! | file | what it does |
//! |---|---|
//! | `command` | starts the server on loopback |
//! | `gate` | refuses foreign hosts and origins; headers of every answer |
//! | `socket` | connections: how many, and how long a silent one is kept |
//! | `routes` | what each address answers |
//! | `folder` | the scenarios of one folder, read and written without ever leaving it |
//! | `design` | a design and its address |
//! | `edit` | the text of a scenario with a design's changes |
//! | `sieve` | a pasted sieve sheet as the gradation of the scenario |
//! | `places` | where each setting stands in the text, to put problems beside their field |
//! | `field` | the fields of a form, from the settings that the kinds declare |
//! | `lever` | the few settings that matter, and the steps at which they move |
//! | `work` | runs of the model, stopped when nobody waits for them, the last few remembered |
//! | `pinned` | a pinned design against this one on the same ground |
//! | `clock` | where the time of an answer goes |
//! | `answers`, `forms`, `layout` | the page itself |
//!
//! The header `server-timing` of an answer says where its time went. What a moved setting costs the program and the browser is printed by
//! `WASHGRAPH=$PWD/target/release/washgraph cargo test --workspace --test page at_once -- --include-ignored --nocapture`.

mod answers;
mod clock;
mod command;
mod design;
mod edit;
mod field;
mod folder;
mod forms;
mod gate;
mod layout;
mod lever;
mod pinned;
mod places;
mod routes;
mod sieve;
mod socket;
mod work;

pub(crate) use command::{PageArgs, page};
