//! Judgement measured on simulated shops of which the truth is known.
//!
//! `world` draws what is true, `staff` and `writing` what people note of it, `shop` folds that as a book would,
//! `rivals` and `dawid_skene` choose answers in other ways, `measure` counts.

mod dawid_skene;
mod dice;
mod measure;
mod rivals;
mod shop;
mod staff;
mod table;
mod world;
mod writing;

use measure::Measured;
use shop::Shop;
use world::World;

#[test]
fn the_first_answer_is_right_more_often_than_what_most_saw() {
    let mut found = Measured::default();
    found.add(&Shop::new(&World::normal().small(), 1));
    assert!(found.first.share() > found.majority.share(), "{}", table::of("small", &found));
}
