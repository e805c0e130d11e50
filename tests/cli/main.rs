//! The program from outside: what a person types, and everything that they then see. Each file is about one
//! command or one kind of trouble; the harness and the cast of vehicles are shared.

mod add;
mod amends;
mod bad_book;
mod bad_sheet;
mod cast;
mod circuit;
mod conflicts;
mod decisions_sheet;
mod gaps;
mod harness;
mod honest;
mod ingest;
mod jobcard;
mod jobcard_choices;
mod jobcard_page;
mod jobs;
mod keeping;
mod learning;
mod lookup;
mod meanwhile;
mod program;
mod reconcile;
mod search;
mod search_meant;
mod suggestions;
mod terminal;
mod words;
