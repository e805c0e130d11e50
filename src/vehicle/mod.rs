//! The vehicle: what is asked about, what was seen, what a note claims to cover.
