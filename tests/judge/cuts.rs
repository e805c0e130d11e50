//! The cuts that are suggested for a conflict, against an enumeration of all cuts on random notes: those that leave no
//! two contradicting observations on one side, as far as it is known where they stand, and set some apart.

use std::collections::BTreeSet;

use baybook::judge::bucket::Bucket;
use baybook::judge::conflict::{Conflict, describe, find};
use baybook::judge::pattern::Outlook;
use baybook::judge::pattern::split::{Cut, Split, reckon};

use serde_json::{Value as Json, json};

use crate::cast::{Cast, Note, Said, Subject, for_random_buckets};
use crate::definition::{Verdict, independent, is_observation};
use crate::shop::Shop;

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
            let own = self.seen.iter().copied().filter(|note| side(note).as_ref() == Some(wanted));
            independent(&own.collect::<Vec<_>>())
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
    let mut guesses = 0;
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
            guesses += usize::from(split.guess);
        }
    });
    assert!(guesses > 100, "only {guesses} guesses");
}

/// Notes on the brake signal of one model, one a line: years, colour, basis, by, seen.
fn conflict(notes: &str) -> Json {
    let mut sheet = "make,model,years,point,colour,basis,by,on,seen\n".to_owned();
    for (number, line) in notes.lines().map(str::trim).filter(|line| !line.is_empty()).enumerate() {
        let [years, colour, basis, by, seen] =
            line.split(',').map(str::trim).collect::<Vec<_>>().try_into().expect("five cells");
        sheet += &format!(
            "Quillon,Tarn,{years},brake-signal,{colour},{basis},{by},2024-03-{:02},{seen}\n",
            number + 1
        );
    }
    let shop = Shop::new();
    shop.load(&[sheet]);
    shop.conflicts()[0].clone()
}

#[test]
fn an_option_that_explains_all_that_was_seen_is_offered_first() {
    let conflict = conflict(
        "2015-2019, VT/WH, metered, R. Okafor, 2016; cab=crew; tow=yes
         2015-2019, VT/WH, fitted, D. Pruett, 2018; cab=regular; tow=yes
         2015-2019, VT/WH, metered, M. Haugli, 2017; tow=yes
         2015-2019, GN, metered, J. Amadi, 2017; cab=crew; tow=no
         2016-2018, GN, inspected, T. Szalai, 2018; cab=regular; tow=no",
    );
    let first = &conflict["splits"][0];
    assert_eq!((&first["attribute"], &first["guess"]), (&json!("tow"), &json!(false)), "{conflict:#}");
    assert_eq!(first["cut"], json!([["yes"], ["no"]]));
    let seen: Vec<_> = first["counts"].as_array().expect("counts").iter().map(|side| &side["seen"]).collect();
    assert_eq!(seen, [&json!(3), &json!(2)]);
    assert!(first["probability"].as_f64().expect("a chance") > 0.8, "{first:#}");
    assert_eq!(
        conflict["splits"].as_array().expect("splits").len(),
        1,
        "cab and years are broken: {conflict:#}"
    );
    assert_eq!(conflict["explanations"][0]["kind"], "difference");
    assert_eq!(conflict["misread"], false);
}

#[test]
fn colours_that_are_taken_for_each_other_are_asked_about_first() {
    let conflict = conflict(
        "2015-2019, VT/WH, metered, R. Okafor, 2016; tow=yes
         2015-2019, VT/WH, metered, M. Haugli, 2017; tow=yes
         2015-2019, BU/WH, inspected, D. Pruett, 2016; tow=yes",
    );
    assert_eq!(conflict["misread"], true);
    assert_eq!(conflict["explanations"][0]["kind"], "misread", "{conflict:#}");
    assert_eq!(conflict["splits"], json!([]), "nothing that was seen keeps them apart");
}
