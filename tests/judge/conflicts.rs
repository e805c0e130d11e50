//! Contradicting pairs, the conflicts that they join, their sides and the contested vehicles, against the
//! definition on random notes.

use std::collections::{BTreeMap, BTreeSet};

use baybook::judge::bucket::{Bucket, Clash};
use baybook::judge::conflict::{Conflict, Side, contradictions, describe, find};
use baybook::value::Relation;
use baybook::vehicle::{ModelYear, Vehicle};

use crate::cast::{Note, Said, for_random_buckets};
use crate::definition::{Verdict, takes_in};

const CASES: usize = 1_500;

fn verdict(clash: Clash) -> Verdict {
    match clash {
        Clash::None => Verdict::Fine,
        Clash::Possible => Verdict::Possible,
        Clash::Certain => Verdict::Certain,
    }
}

#[test]
fn notes_are_replaced_as_the_definition_says() {
    let mut replaced = 0;
    for_random_buckets(1, CASES, |subject, _, notes, bucket| {
        let live: Vec<usize> = (0..notes.len()).filter(|at| bucket.entries[*at].is_live()).collect();
        assert_eq!(live, subject.live(notes), "{} {notes:#?}", subject.name);
        replaced += notes.len() - live.len();
    });
    assert!(replaced > CASES / 10, "only {replaced} notes were replaced");
}

#[test]
fn pairs_contradict_as_the_definition_says() {
    let mut counts: BTreeMap<(&str, bool), usize> = BTreeMap::new();
    for_random_buckets(2, CASES, |subject, _, notes, bucket| {
        let found: Vec<_> =
            contradictions(bucket).into_iter().map(|(a, b, clash)| (a, b, verdict(clash))).collect();
        assert_eq!(found, subject.contradictions(notes), "{} {notes:#?}", subject.name);
        for (.., verdict) in found {
            *counts.entry((subject.name, verdict == Verdict::Certain)).or_default() += 1;
        }
    });
    for name in ["brake-signal", "ground", "fused-feed", "firewall-pass"] {
        for certain in [true, false] {
            let count = counts.get(&(name, certain)).copied().unwrap_or_default();
            // On a point with one answer every contradiction is certain.
            let wanted = if name == "brake-signal" && !certain { 0..=0 } else { 50..=usize::MAX };
            assert!(wanted.contains(&count), "{count} pairs of {name}, certain {certain}");
        }
    }
}

/// The notes that certain contradictions join to `start`, itself among them.
fn joined(pairs: &[(usize, usize, Verdict)], start: usize) -> BTreeSet<usize> {
    let mut group = BTreeSet::from([start]);
    loop {
        let before = group.len();
        for (a, b, _) in pairs.iter().filter(|pair| pair.2 == Verdict::Certain) {
            if group.contains(a) || group.contains(b) {
                group.extend([*a, *b]);
            }
        }
        if group.len() == before {
            return group;
        }
    }
}

/// Each certain conflict with the notes that hang on it.
fn certain_conflicts(pairs: &[(usize, usize, Verdict)]) -> BTreeMap<BTreeSet<usize>, BTreeSet<usize>> {
    let certain = pairs.iter().filter(|pair| pair.2 == Verdict::Certain);
    let groups: BTreeSet<BTreeSet<usize>> = certain.map(|pair| joined(pairs, pair.0)).collect();
    let hanging = |group: &BTreeSet<usize>| {
        let possible = pairs.iter().filter(|pair| pair.2 == Verdict::Possible);
        let touching = possible.filter(|(a, b, _)| group.contains(a) || group.contains(b));
        touching.flat_map(|(a, b, _)| [*a, *b]).filter(|at| !group.contains(at)).collect()
    };
    groups.into_iter().map(|group| (group.clone(), hanging(&group))).collect()
}

#[test]
fn certain_contradictions_join_and_possible_ones_hang_on() {
    let mut hung = 0;
    for_random_buckets(3, CASES, |subject, _, notes, bucket| {
        let pairs = subject.contradictions(notes);
        let wanted = certain_conflicts(&pairs);
        let conflicts = find(bucket);
        let found: BTreeMap<BTreeSet<usize>, BTreeSet<usize>> = conflicts
            .iter()
            .filter(|conflict| conflict.certain)
            .map(|conflict| {
                (conflict.entries.iter().copied().collect(), conflict.hanging.iter().copied().collect())
            })
            .collect();
        assert_eq!(found, wanted, "{} {notes:#?}", subject.name);
        hung += wanted.values().filter(|hanging| !hanging.is_empty()).count();
        for conflict in &conflicts {
            check_anchor(conflict, notes);
        }
        check_possible(&conflicts, &pairs, &wanted);
    });
    assert!(hung > 20, "only {hung} conflicts had notes hanging on them");
}

/// The earliest note names a conflict, so that its id stays while later ones join.
fn check_anchor(conflict: &Conflict, notes: &[Note]) {
    let earliest = conflict.entries.iter().map(|at| (notes[*at].on, notes[*at].id)).min();
    assert_eq!(earliest.map(|(_, id)| id), Some(conflict.anchor), "{notes:#?}");
}

/// What only may contradict is listed, too, once, and never beside what surely does.
fn check_possible(
    conflicts: &[Conflict],
    pairs: &[(usize, usize, Verdict)],
    certain: &BTreeMap<BTreeSet<usize>, BTreeSet<usize>>,
) {
    let in_certain = |at: &usize| certain.keys().any(|group| group.contains(at));
    let mut loose = BTreeSet::new();
    for (a, b, _) in pairs.iter().filter(|pair| pair.2 == Verdict::Possible) {
        if !in_certain(a) && !in_certain(b) {
            loose.extend([*a, *b]);
        }
    }
    let listed: Vec<usize> =
        conflicts.iter().filter(|c| !c.certain).flat_map(|c| c.entries.clone()).collect();
    assert_eq!(listed.len(), loose.len());
    assert_eq!(listed.into_iter().collect::<BTreeSet<_>>(), loose);
}

/// Every vehicle of the years, tow packages and cabs that the cast names, and some beyond.
fn cells() -> Vec<Vehicle> {
    let mut cells = Vec::new();
    for year in 2012..=2022 {
        for tow in ["yes", "no"] {
            for cab in ["crew", "extended", "regular"] {
                cells.push(Vehicle::new(Some(ModelYear::new(year))).with("tow", tow).with("cab", cab));
            }
        }
    }
    cells
}

#[test]
fn contested_is_where_the_scopes_of_some_pair_meet() {
    let cells = cells();
    let (mut inside, mut outside) = (0, 0);
    for_random_buckets(4, CASES / 2, |subject, _, notes, bucket| {
        let pairs = subject.contradictions(notes);
        for conflict in find(bucket) {
            let wanted = if conflict.certain { Verdict::Certain } else { Verdict::Possible };
            let own: Vec<_> = pairs
                .iter()
                .filter(|(a, b, verdict)| {
                    *verdict == wanted && [a, b].iter().all(|at| conflict.entries.contains(at))
                })
                .collect();
            let contested = describe(bucket, &conflict).contested;
            for cell in &cells {
                let met = own
                    .iter()
                    .any(|(a, b, _)| takes_in(&notes[*a].scope, cell) && takes_in(&notes[*b].scope, cell));
                let found = contested.iter().any(|scope| takes_in(scope, cell));
                assert_eq!(found, met, "{} {cell} {contested:?} {notes:#?}", subject.name);
                (inside, outside) = (inside + usize::from(met), outside + usize::from(!met));
            }
        }
    });
    assert!(inside > 1_000 && outside > 1_000, "{inside} cells inside, {outside} outside");
}

/// "A coarser value supports every side that refines it and is no side."
#[test]
fn sides_are_the_finest_values_and_coarser_ones_support_them() {
    let mut shared = 0;
    for_random_buckets(5, CASES / 2, |subject, cast, notes, bucket| {
        for conflict in find(bucket) {
            let layout = describe(bucket, &conflict);
            let said =
                |side: &Side| cast.said(subject, side.values.iter().map(|(field, text)| (&**field, &**text)));
            let sides: Vec<Said> = layout.sides.iter().map(said).collect();
            let over =
                || subject.identified_by.iter().copied().chain(layout.fields.iter().map(String::as_str));
            // Whether `fine` says at least as exactly all that `coarse` says.
            let refines = |fine: &Said, coarse: &Said| {
                over().all(|field| match (fine.get(field), coarse.get(field)) {
                    (_, None) => true,
                    (None, Some(_)) => false,
                    (Some(fine), Some(coarse)) => {
                        matches!(fine.relation(coarse), Relation::Same | Relation::FirstFiner)
                    }
                })
            };
            for (at, side) in layout.sides.iter().enumerate() {
                let supporters: BTreeSet<usize> = conflict
                    .entries
                    .iter()
                    .copied()
                    .filter(|note| refines(&sides[at], &notes[*note].said))
                    .collect();
                assert_eq!(
                    BTreeSet::from_iter(side.entries.clone()),
                    supporters,
                    "side {:?} of {notes:#?}",
                    side.values
                );
                assert!(
                    sides.iter().enumerate().all(|(other, said)| other == at || !refines(said, &sides[at])),
                    "{sides:?} {notes:#?}"
                );
            }
            for note in &conflict.entries {
                let count = layout.sides.iter().filter(|side| side.entries.contains(note)).count();
                assert!(count >= 1, "{:?} is on no side of {:?}", notes[*note], layout.sides);
                shared += usize::from(count > 1);
            }
            check_backing(bucket, &layout.sides, notes, layout.hearsay);
        }
    });
    assert!(shared > 20, "only {shared} notes supported several sides");
}

/// Observations are distinct pairs of hand and seen vehicle; hearsay is a side that is only told.
fn check_backing(bucket: &Bucket, sides: &[Side], notes: &[Note], hearsay: bool) {
    let mut only_told = false;
    for side in sides {
        let own: Vec<&Note> = side.entries.iter().map(|at| &notes[*at]).collect();
        let seen: Vec<&Note> =
            own.iter().copied().filter(|note| crate::definition::is_observation(note)).collect();
        let observations = crate::definition::independent(&seen);
        assert_eq!(side.observations, observations, "{notes:#?} {}", bucket.entries.len());
        only_told |= own.iter().all(|note| note.basis == baybook::note::Basis::Told);
    }
    assert_eq!(hearsay, only_told, "{notes:#?}");
}
