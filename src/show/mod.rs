//! Everything that a person sees: cards, lists, reports, and the same as JSON.
//!
//! Shows plain values; it asks nothing of the book and prints nothing itself.

pub mod added;
pub mod answer_json;
pub mod answers;
pub mod circuit;
pub mod conflicts;
pub mod decisions;
pub mod drawing;
pub mod gaps;
pub mod history;
pub mod ids;
pub mod jobcard;
pub mod jobs;
pub mod note;
pub mod page;
pub mod paper;
pub mod points;
pub mod preview;
pub mod report;
pub mod search;
mod sentence;
pub mod splits;
pub mod wired;

pub use sentence::vehicle as vehicle_name;
