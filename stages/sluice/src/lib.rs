//! Riffled sluice: what it catches, what it loses and why.
