//! `baybook`: what a shop knows about the wiring of vehicles, kept on disk, asked from the
//! command line, and honest about its doubts.
//!
//! The modules follow the words of the trade, floor by floor; every import points down.

pub mod ask;
pub mod book;
pub mod card;
pub mod catalogue;
pub mod circuit;
pub mod cli;
pub mod decision;
pub mod dispute;
pub mod foresee;
pub mod gaps;
pub mod history;
pub mod intake;
pub mod job;
pub mod judge;
pub mod language;
pub mod note;
pub mod opposition;
pub mod preview;
pub mod reading;
pub mod reconcile;
pub mod resolve;
mod schema;
pub mod search;
pub mod show;
pub mod spread;
pub mod value;
pub mod vehicle;
