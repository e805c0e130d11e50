//! Judgement checked from outside: what contradicts, what is contested, how far an answer can be trusted.
//!
//! `conflicts`, `grades` and `decisions` compare the library with `definition`, a slow second reading of the rules
//! written from their words, note by note, on thousands of small random buckets. `grade_table` and `cavities`
//! state the rules one by one on notes that a person can follow. `cast` draws the notes, `shop` keeps a book.

mod cast;
mod cavities;
mod conflicts;
mod cuts;
mod decisions;
mod definition;
mod grade_table;
mod grades;
mod random;
mod shop;
