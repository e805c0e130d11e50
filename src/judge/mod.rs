//! Judgement: folding notes, finding what contradicts, what decisions do to notes, answering for one vehicle, grading the answers.
//!
//! Pure, like calculation: it knows nothing of storage and nothing of the terminal.

pub mod answer;
pub mod bucket;
pub mod cavity;
pub mod conflict;
pub mod decided;
pub mod fold;
pub mod grade;
pub mod pattern;
pub mod settle;
mod sides;
mod touch;
