//! The local page: over plain HTTP always, and in a real browser where there is one.

mod browser;
mod chromium;
mod hostile;
mod http;
#[path = "../program/mod.rs"]
mod program;
mod server;
