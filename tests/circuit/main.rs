//! The calculation of circuits against published figures and against laws that must hold for every circuit. Each file
//! is about one part; `reference` reads the published tables, and every tolerance has its reason beside it.

mod ampacity;
mod conductor;
mod drop;
mod heat;
mod joints;
mod laws;
mod packing;
mod practice;
mod protection;
mod reference;
mod shop;
