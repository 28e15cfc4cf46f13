//! The local page: over plain HTTP, and in a real browser where `.ci/run` finds one.

mod barriers;
mod browser;
mod chromium;
mod hostile;
mod http;
mod server;
