//! Where the time of an answer goes, for the developer tools of a browser and for tests.

use std::fmt::Write as _;
use std::time::Instant;

use axum::http::HeaderName;

/// Parts of a piece of work with the milliseconds that each took.
#[derive(Debug, Clone)]
pub(super) struct Clock {
    begun: Instant,
    last: Instant,
    parts: Vec<(&'static str, f64)>,
}

impl Clock {
    /// Starts now.
    pub fn new() -> Self {
        let now = Instant::now();
        Clock { begun: now, last: now, parts: Vec::new() }
    }

    /// What was done since the last lap has this name.
    pub fn lap(&mut self, name: &'static str) {
        let now = Instant::now();
        self.parts.push((name, now.duration_since(self.last).as_secs_f64() * 1e3));
        self.last = now;
    }

    /// The same, when other clocks went over a part of that time: their parts are listed before what is left of it.
    pub fn lap_with(&mut self, name: &'static str, within: &[&Clock]) {
        let inner: Vec<_> = within.iter().flat_map(|c| c.parts.iter().copied()).collect();
        let within: f64 = inner.iter().map(|(_, ms)| ms).sum();
        self.parts.extend(inner);
        let now = Instant::now();
        self.parts.push((name, (now.duration_since(self.last).as_secs_f64() * 1e3 - within).max(0.0)));
        self.last = now;
    }

    /// As a header: the whole first, then its parts.
    pub fn header(&self) -> (HeaderName, String) {
        let mut text = format!("work;dur={:.1}", self.begun.elapsed().as_secs_f64() * 1e3);
        for (name, ms) in &self.parts {
            let _ = write!(text, ", {name};dur={ms:.1}");
        }
        (HeaderName::from_static("server-timing"), text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_parts_add_up_to_the_whole() {
        let mut inner = Clock::new();
        std::thread::sleep(std::time::Duration::from_millis(2));
        inner.lap("trials");
        let mut clock = Clock::new();
        clock.begun = inner.begun;
        clock.last = inner.begun;
        std::thread::sleep(std::time::Duration::from_millis(2));
        clock.lap_with("rest", &[&inner]);
        let sum: f64 = clock.parts.iter().map(|(_, ms)| ms).sum();
        let whole = clock.begun.elapsed().as_secs_f64() * 1e3;
        assert!(clock.parts.len() == 2 && sum > 3.9 && sum <= whole, "{sum} of {whole}");
        assert!(clock.header().1.starts_with("work;dur=") && clock.header().1.contains(", rest;dur="));
    }
}
