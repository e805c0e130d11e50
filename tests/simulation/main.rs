//! Judgement measured on simulated shops of which the truth is known.
//!
//! `world` draws what is true, `staff` and `writing` what people note of it, `shop` folds that as a book would,
//! `rivals` and `dawid_skene` choose answers in other ways, `measure` counts. The constants of the model were tuned on
//! seeds 1 and 2; the seeds here are others. `cargo run --example judge_shops` prints the whole table.

mod dawid_skene;
mod dice;
mod measure;
mod rivals;
mod shop;
mod staff;
mod table;
mod world;
mod writing;

use baybook::judge::grade::Grade;

use dawid_skene::{Vote, estimate};
use measure::Measured;
use shop::Shop;
use world::World;

fn measured(world: &World, seeds: impl Iterator<Item = u64>) -> Measured {
    let mut found = Measured::default();
    seeds.for_each(|seed| found.add(&Shop::new(world, seed)));
    found
}

/// What must hold in every world of full size, with a margin for chance below what was measured on more seeds.
struct Least {
    /// Of the gap between majority and any claim that is right.
    closed: f64,
    /// Share of the answers to which 0.9 or more is given.
    sure: f64,
    /// Share of the wrong answers that have less.
    caught: f64,
    /// Share of the right answers that have less, at most.
    flagged: f64,
}

fn check(world: &World, seeds: impl Iterator<Item = u64>, least: &Least) {
    let found = measured(world, seeds);
    let table = table::of(world.name, &found);
    assert!(found.closed(found.best_claim) >= least.closed, "{table}");
    assert!(found.closed(found.covering) >= 0.9, "{table}");
    assert!(found.first.share() > found.dawid_skene.share(), "{table}");
    assert!(found.first.share() > found.weighing.share(), "{table}");
    assert!(found.support.brier() <= 0.5 * found.majority_share.brier(), "{table}");
    assert!(found.support.expected_error() <= 0.02, "{table}");
    let sure = found.support.at_least(0.9);
    assert!(sure.share() >= 0.97, "{table}");
    assert!(sure.of as f64 >= least.sure * found.support.len() as f64, "{table}");
    let (wrong, right) = found.support.below(0.9);
    assert!(wrong.share() >= least.caught && right.share() <= least.flagged, "{table}");
    for (grade, share) in [(Grade::Proven, 0.98), (Grade::Between, 0.94), (Grade::Backed, 0.92)] {
        assert!(found.by_grade[&grade].of > 100 && found.by_grade[&grade].share() >= share, "{table}");
    }
    assert!(found.disputed.share() >= 0.95, "{table}");
    // With some eighty cuts in a third, chance alone makes nine in a hundred.
    for (stated, came_true) in found.splits.thirds() {
        assert!(came_true.of > 40 && (stated - came_true.share()).abs() <= 0.15, "{table}");
    }
}

#[test]
fn in_an_easy_world() {
    check(&World::easy(), 201..204, &Least { closed: 0.55, sure: 0.8, caught: 0.8, flagged: 0.15 });
}

#[test]
fn in_a_normal_world() {
    check(&World::normal(), 201..204, &Least { closed: 0.5, sure: 0.74, caught: 0.8, flagged: 0.2 });
}

#[test]
fn in_a_hard_world() {
    check(&World::hard(), 201..204, &Least { closed: 0.5, sure: 0.62, caught: 0.84, flagged: 0.3 });
}

#[test]
fn in_small_worlds_chances_are_calibrated_as_well() {
    let found = measured(&World::normal().small(), 201..211);
    let table = table::of("small", &found);
    assert!(found.support.expected_error() <= 0.03, "{table}");
    assert!(found.support.brier() <= 0.5 * found.majority_share.brier(), "{table}");
    assert!(found.first.share() > found.majority.share(), "{table}");
}

/// The reference method itself, against its published example: the shares of the four classes are 0.40, 0.42, 0.11
/// and 0.07 there (from memory, as the data).
#[test]
fn dawid_and_skene_find_the_shares_of_their_paper() {
    let data = include_str!("../reference/anaesthetist.csv");
    let mut votes = Vec::new();
    for (item, line) in data.lines().filter(|line| line.starts_with(|c: char| c.is_ascii_digit())).enumerate()
    {
        for (rater, told) in line.split(',').skip(1).enumerate() {
            let classes = told.chars().filter_map(|class| class.to_digit(10));
            votes.extend(classes.map(|class| Vote { item, rater, class: class as usize - 1 }));
        }
    }
    assert_eq!(votes.len(), 45 * 7);
    let found = estimate(&votes, 4, 0.0, 100);
    for (share, published) in found.shares.iter().zip([0.40, 0.42, 0.11, 0.07]) {
        assert!((share - published).abs() < 0.005, "{:?}", found.shares);
    }
    // Of the patients of class 1, the first anaesthetist puts 0.89 there and 0.11 into class 2.
    let first = &found.errors[0][0];
    assert!((first[0] - 0.89).abs() < 0.01 && (first[1] - 0.11).abs() < 0.01, "{first:?}");
}
