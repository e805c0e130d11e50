//! Parses, runs, reports, exits.

fn main() {}
