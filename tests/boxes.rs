//! The fewest boxes against an exhaustive search: on a small grid of years and two attributes every box there is can
//! be tried, and no fewer of them hold the same vehicles.

#[path = "judge/random.rs"]
mod random;

use std::collections::BTreeSet;

use baybook::vehicle::{Built, Match, ModelYear, Only, Scope, Span, Vehicle, fewest, simplify};
use random::Random;

const YEARS: [u16; 4] = [2015, 2016, 2017, 2018];
/// Two attributes of which every vehicle has one of two values.
const ATTRIBUTES: [(&str, [&str; 2]); 2] = [("tow", ["yes", "no"]), ("sunroof", ["yes", "no"])];

/// Every box of the grid: an interval of years, and of each attribute one value or both.
fn every_box() -> Vec<Scope> {
    let mut boxes = Vec::new();
    for (at, from) in YEARS.iter().enumerate() {
        for to in &YEARS[at..] {
            for chosen in 0..9 {
                let mut only = Only::new();
                for ((name, values), choice) in ATTRIBUTES.iter().zip([chosen % 3, chosen / 3]) {
                    if choice < 2 {
                        only.insert((*name).to_owned(), BTreeSet::from([values[choice].to_owned()]));
                    }
                }
                let end = |year: &u16| Some(ModelYear::new(*year));
                let years = Span::new(end(from), end(to)).expect("in order");
                boxes.push(Scope::new(years, Built::ALL, only));
            }
        }
    }
    boxes
}

fn cells() -> Vec<Vehicle> {
    let mut cells = Vec::new();
    for year in YEARS {
        for tow in ["yes", "no"] {
            for sunroof in ["yes", "no"] {
                cells
                    .push(Vehicle::new(Some(ModelYear::new(year))).with("tow", tow).with("sunroof", sunroof));
            }
        }
    }
    cells
}

/// The cells that a scope holds, as bits.
fn held(scope: &Scope, cells: &[Vehicle]) -> u32 {
    let bits = cells.iter().enumerate().filter(|(_, cell)| scope.matches(cell) == Match::Applies);
    bits.map(|(at, _)| 1 << at).sum()
}

/// Whether `most` of these sets of cells make up `wanted`.
fn can_be_held(sets: &[u32], wanted: u32, most: usize) -> bool {
    if wanted == 0 {
        return true;
    }
    if most == 0 {
        return false;
    }
    let first = wanted & wanted.wrapping_neg();
    sets.iter().filter(|set| *set & first != 0).any(|set| can_be_held(sets, wanted & !set, most - 1))
}

#[test]
fn no_fewer_boxes_hold_the_same_vehicles() {
    let (boxes, cells) = (every_box(), cells());
    let numbers: Vec<usize> = (0..boxes.len()).collect();
    let mut random = Random(51);
    let (mut better, mut several) = (0, 0);
    for _ in 0..1_500 {
        let drawn: Vec<Scope> =
            (0..2 + random.below(5)).map(|_| boxes[random.one_of(&numbers)].clone()).collect();
        let wanted = drawn.iter().fold(0, |bits, scope| bits | held(scope, &cells));
        let found = fewest(drawn.clone());
        let bits: Vec<u32> = found.iter().map(|scope| held(scope, &cells)).collect();
        assert_eq!(
            bits.iter().fold(0, |all, one| all | one),
            wanted,
            "other vehicles: {drawn:?} became {found:?}"
        );
        let within: Vec<u32> =
            boxes.iter().map(|scope| held(scope, &cells)).filter(|bits| bits & !wanted == 0).collect();
        assert!(
            !can_be_held(&within, wanted, found.len() - 1),
            "{} boxes are too many: {found:?}",
            found.len()
        );
        // Each is as large as it can be, so that a reader is not told a limit that is none.
        for one in &bits {
            assert!(!within.iter().any(|other| other != one && other & one == *one), "{found:?}");
        }
        let mut again = drawn.clone();
        again.rotate_left(1);
        assert_eq!(fewest(again), found, "the order matters");
        better += usize::from(simplify(drawn).len() > found.len());
        several += usize::from(found.len() > 2);
    }
    assert!(
        better > 20 && several > 200,
        "{better} times fewer than joining gives, {several} of more than two"
    );
}
