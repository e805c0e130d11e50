//! `baybook`: what a shop knows about the wiring of vehicles, kept on disk, asked from the
//! command line, and honest about its doubts.
//!
//! The modules follow the words of the trade, floor by floor; every import points down.

pub mod value;
pub mod vehicle;
