//! Water outlet: an open pipe with a set flow.
