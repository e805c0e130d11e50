//! Conflicts settled, as tables: the notes of a case, what is asked for, what each note becomes.

use std::collections::{BTreeMap, BTreeSet};

use super::*;
use crate::vehicle::{ModelYear, YearMonth};

const TODAY: ModelYear = ModelYear::new(2026);

fn scope(years: &str, only: &str) -> Scope {
    Scope::parse(years, only, Vocabulary::builtin(), TODAY).expect("a readable scope")
}

/// A note: its scope, the vehicle that was seen, and the sides that it supports, from 1.
type Row = (&'static str, &'static str, &'static str, &'static [usize]);

fn case(rows: &[Row]) -> Case {
    let party = |(at, (years, only, seen, sides)): (usize, &Row)| Party {
        id: NoteId([at as u8 + 1; 10]),
        scope: scope(years, only),
        seen: (!seen.is_empty())
            .then(|| Vehicle::parse_seen(seen, Vocabulary::builtin(), TODAY).expect("a readable vehicle")),
        sides: sides.iter().map(|side| side - 1).collect(),
        at: None,
    };
    let parties: Vec<Party> = rows.iter().enumerate().map(party).collect();
    let apart = |a: usize, b: usize| {
        let own = |at: usize| parties[at].sides.iter().collect::<BTreeSet<_>>();
        own(a).is_disjoint(&own(b))
    };
    let pairs = (0..parties.len()).flat_map(|a| (a + 1..parties.len()).map(move |b| (a, b)));
    let against = pairs.filter(|(a, b)| apart(*a, *b)).collect();
    let sides = rows.iter().flat_map(|row| row.3).max().copied().unwrap_or_default();
    Case { against, sides, parties, is_cavity: false }
}

/// What each note becomes, in short.
fn told(outcome: &Outcome) -> String {
    let one = |(id, becomes): &(NoteId, Becomes)| {
        let (years, only) = becomes.scope_texts();
        format!(
            "{}:{}{}{}",
            id.0[0],
            becomes.word(),
            [" ", years].concat().trim_end(),
            [" ", only].concat().trim_end()
        )
    };
    let mut told: Vec<String> = outcome.iter().map(one).collect();
    told.sort();
    told.join(", ")
}

fn parts(told: &[(usize, &str)]) -> BTreeMap<usize, String> {
    told.iter().map(|(side, part)| (*side, (*part).to_owned())).collect()
}

#[test]
fn splits() {
    let check = |rows: &[Row], cut: &Cut, told_parts: &[(usize, &str)], expected: &str| {
        let found = case(rows).split(cut, &parts(told_parts), &BTreeSet::new());
        let found = found.map_or_else(|no| no.to_string(), |outcome| told(&outcome));
        assert!(found.starts_with(expected), "{cut:?}: {found}\nwanted {expected}");
    };
    let at = |year: u16| Cut::Year(ModelYear::new(year));
    let by = |name: &str| Cut::Attribute(name.to_owned());
    let two: &[Row] = &[("2015-2019", "", "2016; tow=yes", &[1]), ("2015-2019", "", "2017; tow=no", &[2])];
    check(two, &at(2017), &[], "1:narrowed 2015-2016, 2:narrowed 2017-2019");
    check(two, &by("tow"), &[], "1:narrowed 2015-2019 tow=yes, 2:narrowed 2015-2019 tow=no");
    check(two, &at(2016), &[], "sides 1 and 2 would lie in the same part");
    check(two, &at(2018), &[], "sides 1 and 2 would lie in the same part");
    // A cab that nobody told: nothing says which.
    check(two, &by("cab"), &[], "nothing that was seen tells in which part side 1 holds");
    check(
        two,
        &by("cab"),
        &[(1, "crew"), (2, "extended|regular")],
        "1:narrowed 2015-2019 cab=crew, 2:narrowed 2015-2019 cab=extended|regular",
    );
    // Told is stronger than seen, but no note is narrowed off the vehicle that it was seen on.
    check(
        two,
        &at(2017),
        &[(1, "from"), (2, "before")],
        "n-aeaqcaibaeaqcaib was seen on a 2016, tow package",
    );
    check(two, &at(2017), &[(3, "from")], "there is no side 3");
    check(two, &at(2017), &[(1, "after")], "'after' is no part of this cut; write before or from");
    // Of two sides, one seen: the other gets the rest. Notes that nobody saw go with their side.
    let hearsay: &[Row] = &[
        ("2015-2019", "", "2016; tow=yes", &[1]),
        ("2014-2018", "", "", &[1]),
        ("2015-2019", "cab=crew", "", &[2]),
    ];
    check(
        hearsay,
        &by("tow"),
        &[],
        "1:narrowed 2015-2019 tow=yes, 2:narrowed 2014-2018 tow=yes, 3:narrowed 2015-2019 cab=crew; tow=no",
    );
    // One side seen before and after.
    let broken: &[Row] =
        &[("2015-2019", "", "2016", &[1]), ("2015-2019", "", "2018", &[1]), ("2015-2019", "", "2018", &[2])];
    check(
        broken,
        &at(2017),
        &[],
        "side 1 was seen on both sides of this cut (up to 2016 and 2017 and later)",
    );
    // A coarse value that fits both stays as it is; one that fits one side goes with it.
    let coarse: &[Row] =
        &[("2015-2019", "", "2016", &[1]), ("2015-2019", "", "2018", &[2]), ("2015-2019", "", "", &[1, 2])];
    check(coarse, &at(2017), &[], "1:narrowed 2015-2016, 2:narrowed 2017-2019, 3:kept");
    // What a note already claims is its part, and the driver's side is left alone.
    let right: &[Row] =
        &[("2015-2019", "drive=rhd", "2016; drive=rhd", &[1]), ("2017-", "drive=rhd", "", &[2])];
    check(right, &at(2017), &[], "1:narrowed 2015-2016 drive=rhd, 2:kept");
    check(
        &[("2017", "", "2017; built=2017-03", &[1]), ("2017", "", "2017; built=2017-10", &[2])],
        &Cut::Built(YearMonth::new(2017, 9).expect("a month")),
        &[],
        "1:narrowed 2017 built=..2017-08, 2:narrowed 2017 built=2017-09..",
    );
    check(
        &[("2017-2018", "", "2017; built=2017-12", &[1]), ("2017-2018", "", "2018; built=2018-01", &[2])],
        &Cut::Built(YearMonth::new(2018, 1).expect("a month")),
        &[],
        "1:narrowed 2017-2018 built=..2017-12, 2:narrowed 2017-2018 built=2018-01..",
    );
}

#[test]
fn upholding_retires_what_contradicts() {
    let case = case(&[
        ("2016", "", "2016", &[1]),
        ("2016", "", "", &[2]),
        ("2016", "", "2016", &[1, 2]),
        ("2016", "", "2016", &[3]),
    ]);
    let uphold = |side: usize| case.uphold(&case.side(side).expect("a side")).map(|outcome| told(&outcome));
    assert_eq!(uphold(1).as_deref(), Ok("1:kept, 2:retired, 3:kept, 4:retired"));
    assert_eq!(uphold(3).as_deref(), Ok("1:retired, 2:retired, 3:retired, 4:kept"));
    assert_eq!(
        case.uphold(&(0..4).collect()),
        Err(Unsettled::AgainstItself(NoteId([1; 10]), NoteId([2; 10])))
    );
    assert_eq!(case.side(4), Err(Unsettled::NoSide(4, 3)));
    assert_eq!(
        case.separate(&BTreeSet::from([1, 2])).map(|outcome| told(&outcome)).as_deref(),
        Ok("1:separate 1, 2:separate 2, 3:kept")
    );
}

#[test]
fn a_narrowing_only_takes_away() {
    let one = case(&[("2015-2019", "tow=yes", "2016; tow=yes", &[1])]);
    let narrow = |years: &str, only: &str| {
        one.narrow(&BTreeSet::from([0]), &scope(years, only), false)
            .map_or_else(|no| no.to_string(), |outcome| told(&outcome))
    };
    assert_eq!(narrow("2015-2017", ""), "1:narrowed 2015-2017 tow=yes");
    assert_eq!(narrow("all years", "cab=crew"), "1:narrowed 2015-2019 cab=crew; tow=yes");
    assert!(narrow("2014-2016", "").contains("reaches further"));
    assert!(narrow("2017-2019", "").contains("would lie outside"));
    assert!(narrow("all years", "tow=no").contains("nothing would be left"));
    assert!(narrow("2015-2019", "").contains("changes nothing"));
    let right = case(&[("2015-2019", "drive=rhd", "", &[1])]);
    let of_right = right.narrow(&BTreeSet::from([0]), &scope("2016", ""), false);
    assert_eq!(of_right.map(|outcome| told(&outcome)).as_deref(), Ok("1:narrowed 2016 drive=rhd"));
}
