//! The local page: over plain HTTP, and in a real browser where there is one.

mod browser;
mod chromium;
mod hostile;
mod http;
mod server;
