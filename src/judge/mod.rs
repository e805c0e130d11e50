//! Judgement: folding notes, finding what contradicts, answering for one vehicle, grading the answers.
//!
//! Pure, like calculation: it knows nothing of storage and nothing of the terminal.

pub mod answer;
pub mod bucket;
pub mod cavity;
pub mod conflict;
pub mod fold;
pub mod grade;
pub mod pattern;
mod sides;
mod touch;
