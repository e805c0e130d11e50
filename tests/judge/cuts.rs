//! The cuts that are suggested for a conflict, against an enumeration of all cuts on random notes: those that leave no
//! two contradicting observations on one side, as far as it is known where they stand, and set some apart.

use std::collections::BTreeSet;

use baybook::judge::bucket::Bucket;
use baybook::judge::conflict::{Conflict, describe, find};
use baybook::judge::pattern::Outlook;
use baybook::judge::pattern::split::{Cut, Split, reckon};

use crate::cast::{Cast, Note, Said, Subject, for_random_buckets};
use crate::definition::{Verdict, is_observation, one_observation};

const CASES: usize = 1_200;

/// What was seen of one conflict, and which of it contradicts.
struct Ground<'a> {
    seen: Vec<&'a Note>,
    pairs: Vec<(&'a Note, &'a Note)>,
}

impl<'a> Ground<'a> {
    fn new(subject: &Subject, notes: &'a [Note], conflict: &Conflict) -> Self {
        let known: Vec<&Said> = subject.live(notes).into_iter().map(|at| &notes[at].said).collect();
        let seen: Vec<&Note> =
            conflict.entries.iter().map(|at| &notes[*at]).filter(|note| is_observation(note)).collect();
        let mut pairs = Vec::new();
        for (at, a) in seen.iter().enumerate() {
            let against =
                seen[at + 1..].iter().filter(|b| subject.clash(&a.said, &b.said, &known) == Verdict::Certain);
            pairs.extend(against.map(|b| (*a, *b)));
        }
        Self { seen, pairs }
    }

    /// Whether a cut sets contradicting observations apart and leaves none together.
    fn keeps_apart<T: PartialEq>(&self, side: impl Fn(&Note) -> Option<T>) -> bool {
        let known = || self.pairs.iter().filter_map(|(a, b)| Some((side(a)?, side(b)?)));
        known().next().is_some() && known().all(|(a, b)| a != b)
    }

    /// Observations on each side: what one hand wrote of one vehicle is one.
    fn counts<T: Ord>(&self, side: impl Fn(&Note) -> Option<T>) -> Vec<usize> {
        let sides: BTreeSet<T> = self.seen.iter().filter_map(|note| side(note)).collect();
        let on = |wanted: &T| {
            let mut distinct: Vec<&Note> = Vec::new();
            for note in self.seen.iter().filter(|note| side(note).as_ref() == Some(wanted)) {
                if !distinct.iter().any(|other| one_observation(other, note)) {
                    distinct.push(note);
                }
            }
            distinct.len()
        };
        sides.iter().map(on).collect()
    }

    /// All cuts at one model year, or, where there are none, at two with something seen between.
    fn year_cuts(&self) -> BTreeSet<Vec<u16>> {
        let one: BTreeSet<Vec<u16>> = (2010..2025).map(|start| vec![start]).collect();
        let two = (2010..2025).flat_map(|a| (a + 1..2025).map(move |b| vec![a, b]));
        let good = |starts: &Vec<u16>| {
            let side = |note: &Note| side_of_year(note, starts);
            self.keeps_apart(side) && self.counts(side).len() == starts.len() + 1
        };
        let found: BTreeSet<Vec<u16>> = one.into_iter().filter(|starts| good(starts)).collect();
        if found.is_empty() { two.filter(good).collect() } else { found }
    }
}

fn side_of_year(note: &Note, starts: &[u16]) -> Option<usize> {
    let year = note.seen.year()?.get();
    Some(starts.iter().filter(|start| **start <= year).count())
}

fn for_conflicts(seed: u64, mut check: impl FnMut(&Ground<'_>, &[Split])) {
    for_random_buckets(seed, CASES, |subject: &Subject, _: &Cast, notes: &[Note], bucket: &Bucket| {
        for conflict in find(bucket).iter().filter(|conflict| conflict.certain) {
            let layout = describe(bucket, conflict);
            let splits = reckon(bucket, conflict, &layout, &Outlook::default()).splits;
            check(&Ground::new(subject, notes, conflict), &splits);
        }
    });
}

#[test]
fn cuts_by_model_year_are_all_that_keep_apart() {
    let (mut one, mut two) = (0, 0);
    for_conflicts(41, |ground, splits| {
        let found: BTreeSet<Vec<u16>> = splits
            .iter()
            .filter_map(|split| match &split.cut {
                Cut::Years(starts) => Some(starts.iter().map(|start| start.get()).collect()),
                Cut::Built(_) | Cut::Attribute(..) => None,
            })
            .collect();
        let wanted = ground.year_cuts();
        assert_eq!(found, wanted, "{:#?}", ground.seen);
        one += wanted.iter().filter(|starts| starts.len() == 1).count();
        two += wanted.iter().filter(|starts| starts.len() == 2).count();
    });
    assert!(one > 200 && two > 20, "only {one} cuts at one year and {two} at two");
}

#[test]
fn an_attribute_is_offered_where_no_value_of_it_was_seen_with_two_answers() {
    let mut offered = 0;
    for_conflicts(42, |ground, splits| {
        for name in ["tow", "cab"] {
            let value = |note: &Note| note.seen.attribute(name).map(str::to_owned);
            let found = splits.iter().find_map(|split| match &split.cut {
                Cut::Attribute(own, groups) if own == name => Some(groups),
                _ => None,
            });
            assert_eq!(found.is_some(), ground.keeps_apart(value), "{name} {:#?}", ground.seen);
            let Some(groups) = found else { continue };
            let side = |note: &Note| {
                let value = value(note)?;
                groups.iter().position(|group| group.contains(&value))
            };
            assert!(ground.keeps_apart(side), "{groups:?} {:#?}", ground.seen);
            offered += 1;
        }
    });
    assert!(offered > 100, "only {offered} cuts by an attribute");
}

#[test]
fn a_cut_counts_what_was_seen_on_each_side_and_is_a_guess_below_two() {
    let (mut guesses, mut founded) = (0, 0);
    for_conflicts(43, |ground, splits| {
        for split in splits {
            let counts = match &split.cut {
                Cut::Years(starts) => {
                    let starts: Vec<u16> = starts.iter().map(|start| start.get()).collect();
                    ground.counts(|note| side_of_year(note, &starts))
                }
                Cut::Attribute(name, groups) => ground.counts(|note| {
                    let value = note.seen.attribute(name)?.to_owned();
                    groups.iter().position(|group| group.contains(&value))
                }),
                Cut::Built(_) => panic!("the cast names no build dates"),
            };
            let found: Vec<usize> = split.cells.iter().map(|cell| cell.seen).collect();
            assert_eq!(found, counts, "{:?} {:#?}", split.cut, ground.seen);
            assert_eq!(split.guess, counts.iter().any(|count| *count < 2), "{split:?}");
            if split.guess { guesses += 1 } else { founded += 1 }
        }
    });
    assert!(guesses > 100 && founded > 20, "{guesses} guesses, {founded} others");
}
