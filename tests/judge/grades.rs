//! Grades against the definition, on random notes and vehicles of which everything that matters is known.
//!
//! Places are left out where they decide what is one instance and cannot be told apart: what backs an answer
//! would then be a matter of taste.

use std::collections::{BTreeMap, BTreeSet};

use baybook::judge::answer::{Answer, gist, judge};
use baybook::judge::bucket::Bucket;
use baybook::judge::grade::Grade;
use baybook::judge::pattern::Outlook;
use baybook::note::Basis;
use baybook::value::Relation;
use baybook::vehicle::{ModelYear, Vehicle};

use crate::cast::{Cast, Note, Said, Subject, for_chosen_buckets, for_random_buckets};
use crate::definition::{Verdict, independent, is_observation, takes_in};

const CASES: usize = 800;

/// The attributes that the notes of the cast may name.
const ATTRIBUTES: [&str; 2] = ["cab", "tow"];

/// One vehicle and the live notes, as far as the words of the grades need them.
struct Ground<'a> {
    subject: &'a Subject,
    vehicle: &'a Vehicle,
    live: Vec<&'a Note>,
}

impl<'a> Ground<'a> {
    fn new(subject: &'a Subject, live: &[&'a Note], vehicle: &'a Vehicle) -> Self {
        Self { subject, vehicle, live: live.to_vec() }
    }

    fn claiming(&self) -> Vec<&'a Note> {
        self.live.iter().copied().filter(|note| takes_in(&note.scope, self.vehicle)).collect()
    }

    /// "No attribute that matters differs (an attribute matters when a live note on this point names it)."
    fn alike(&self, note: &Note) -> bool {
        ATTRIBUTES.iter().all(|name| {
            let matters = self.live.iter().any(|live| live.scope.only().contains_key(*name));
            let (seen, asked) = (note.seen.attribute(name), self.vehicle.attribute(name));
            !matters || seen.is_none() || seen == asked
        })
    }

    /// "A seen vehicle covers the asked one when the year is equal and no attribute that matters differs."
    fn covers(&self, note: &Note) -> bool {
        is_observation(note) && note.seen.year() == self.vehicle.year() && self.alike(note)
    }

    /// "A note backs an answer when it gives at least one must_agree field and differs in none."
    fn backs(&self, note: &Note, answer: &Said) -> bool {
        let gives = self.subject.must_agree.iter().any(|field| note.said.contains_key(field));
        gives && self.subject.one_instance(&note.said, answer) && !self.subject.differs(&note.said, answer)
    }

    fn clash(&self, a: &Said, b: &Said) -> Verdict {
        let known: Vec<&Said> = self.live.iter().map(|note| &note.said).collect();
        self.subject.clash(a, b, &known)
    }

    /// The pairs of notes that dispute: "with an observation or a diagram on two sides".
    fn disputing(&self) -> Vec<(&'a Note, &'a Note)> {
        let weighty: Vec<&Note> = self.claiming().into_iter().filter(|note| has_weight(note)).collect();
        let mut pairs = Vec::new();
        for (at, a) in weighty.iter().enumerate() {
            let against =
                weighty[at + 1..].iter().filter(|b| self.clash(&a.said, &b.said) == Verdict::Certain);
            pairs.extend(against.map(|b| (*a, *b)));
        }
        pairs
    }

    /// The grade of an answer that nothing disputes.
    fn undisputed(&self, answer: &Said) -> Grade {
        let backing: Vec<&Note> =
            self.claiming().into_iter().filter(|note| self.backs(note, answer)).collect();
        let against = self
            .claiming()
            .iter()
            .any(|note| has_weight(note) && self.clash(&note.said, answer) == Verdict::Certain);
        let covering: Vec<&Note> = backing.iter().copied().filter(|note| self.covers(note)).collect();
        let proof = covering.iter().any(|note| matches!(note.basis, Basis::Metered | Basis::Fitted));
        let diagram = backing.iter().any(|note| note.basis == Basis::Diagram);
        match (against, independent(&covering)) {
            (true, _) => Grade::Thin,
            (false, 2..) if proof => Grade::Proven,
            (false, 1..) => Grade::Backed,
            (false, _) if diagram => Grade::Backed,
            (false, _) if self.between(answer) => Grade::Between,
            (false, _) => Grade::Thin,
        }
    }

    /// "The same on an earlier and a later one at most three years apart."
    fn between(&self, answer: &Said) -> bool {
        let seen = self
            .live
            .iter()
            .filter(|note| is_observation(note) && self.alike(note) && self.backs(note, answer));
        let years: Vec<u16> = seen.filter_map(|note| note.seen.year()).map(ModelYear::get).collect();
        let asked = self.vehicle.year().expect("an asked year").get();
        let apart = |a: &u16| years.iter().any(|b| *a < asked && asked < *b && b - a <= 3);
        years.iter().any(apart)
    }
}

/// Hearsay alone disputes nothing.
fn has_weight(note: &Note) -> bool {
    is_observation(note) || note.basis == Basis::Diagram
}

/// Vehicles that some notes of the cast claim and others do not.
fn vehicles() -> Vec<Vehicle> {
    let known = |(year, tow, cab)| Vehicle::new(Some(ModelYear::new(year))).with("tow", tow).with("cab", cab);
    let asked = [
        (2016, "yes", "crew"),
        (2016, "no", "crew"),
        (2015, "no", "crew"),
        (2017, "yes", "crew"),
        (2018, "no", "regular"),
    ];
    asked.map(known).to_vec()
}

/// Calls `check` with random notes whose instances can be told apart, those of them that live, and every asked
/// vehicle.
fn for_random_questions(seed: u64, mut check: impl FnMut(&Subject, &Cast, &[Note], &Bucket, &Ground)) {
    let vehicles = vehicles();
    for_chosen_buckets(seed, CASES, told_apart, |subject, cast, notes, bucket| {
        let live = live(subject, notes);
        for vehicle in &vehicles {
            check(subject, cast, notes, bucket, &Ground::new(subject, &live, vehicle));
        }
    });
}

/// The notes of which it is known whether they speak of one instance.
fn told_apart(subject: &Subject, notes: Vec<Note>) -> Vec<Note> {
    let known = |a: &Note, b: &Note| {
        let relation = |field: &&str| subject.relation(field, &a.said, &b.said);
        subject.identified_by.iter().all(|field| relation(field) != Relation::Unknown)
    };
    let mut kept: Vec<Note> = Vec::new();
    for note in notes {
        if known(&note, &note) && kept.iter().all(|other| known(other, &note)) {
            kept.push(note);
        }
    }
    kept
}

fn live<'a>(subject: &Subject, notes: &'a [Note]) -> Vec<&'a Note> {
    subject.live(notes).into_iter().map(|at| &notes[at]).collect()
}

fn said(subject: &Subject, cast: &Cast, bucket: &Bucket, answer: &Answer) -> Said {
    cast.said(subject, bucket.texts(&answer.claim))
}

#[test]
fn undisputed_answers_are_graded_as_the_definition_says() {
    let mut counts: BTreeMap<Grade, usize> = BTreeMap::new();
    for_random_questions(10, |subject, cast, notes, bucket, ground| {
        let vehicle = ground.vehicle;
        for answer in judge(bucket, vehicle).answers.iter().filter(|answer| answer.grade != Grade::Disputed) {
            let said = said(subject, cast, bucket, answer);
            if subject.must_agree.iter().all(|field| !said.contains_key(field)) {
                continue; // Nothing that has to agree: what backs it is not defined.
            }
            let shown: Vec<String> = said.iter().map(|(field, value)| format!("{field}={value}")).collect();
            assert_eq!(answer.grade, ground.undisputed(&said), "{shown:?} on {vehicle} by {notes:#?}");
            *counts.entry(answer.grade).or_default() += 1;
        }
    });
    for grade in [Grade::Proven, Grade::Backed, Grade::Between, Grade::Thin] {
        let count = counts.get(&grade).copied().unwrap_or_default();
        assert!(count > 10, "only {count} answers were {}", grade.word());
    }
}

#[test]
fn a_point_is_disputed_where_notes_of_weight_contradict_on_the_vehicle() {
    let (mut disputed, mut quiet) = (0, 0);
    for_random_questions(11, |subject, cast, notes, bucket, ground| {
        let vehicle = ground.vehicle;
        let judged = judge(bucket, vehicle);
        let disputing = ground.disputing();
        assert_eq!(
            judged.grade == Grade::Disputed,
            !disputing.is_empty(),
            "{vehicle} {disputing:#?} of {notes:#?}"
        );
        assert_eq!(judged.conflict.is_some(), !disputing.is_empty(), "{vehicle} {notes:#?}");
        let backs = |note: &Note, answer: &Answer| ground.backs(note, &said(subject, cast, bucket, answer));
        let mut touched = vec![false; judged.answers.len()];
        for (a, b) in &disputing {
            for (own, other) in [(a, b), (b, a)] {
                let of_own = judged.answers.iter().map(|answer| backs(own, answer) && !backs(other, answer));
                let of_own: Vec<bool> = of_own.collect();
                assert!(
                    of_own.contains(&true),
                    "no answer for {own:?} against {other:?} on {vehicle} of {notes:#?}"
                );
                touched.iter_mut().zip(of_own).for_each(|(touched, own)| *touched |= own);
            }
        }
        let found: Vec<bool> = judged.answers.iter().map(|answer| answer.grade == Grade::Disputed).collect();
        assert_eq!(found, touched, "answers that are disputed on {vehicle} of {notes:#?}");
        (disputed, quiet) =
            (disputed + usize::from(!disputing.is_empty()), quiet + usize::from(disputing.is_empty()));
    });
    assert!(disputed > 300 && quiet > 300, "{disputed} disputed, {quiet} not");
}

#[test]
fn a_point_is_blank_where_no_live_note_claims_the_vehicle() {
    let mut blank = 0;
    for_random_questions(12, |_, _, notes, bucket, ground| {
        let vehicle = ground.vehicle;
        let judged = judge(bucket, vehicle);
        let claimed = !ground.claiming().is_empty();
        assert_eq!(judged.grade == Grade::Blank, !claimed, "{vehicle} {notes:#?}");
        assert_eq!(judged.answers.is_empty(), !claimed, "{vehicle} {notes:#?}");
        let likely = judged.answers.iter().any(|answer| answer.support.share() >= 0.5);
        if likely || notes.is_empty() {
            assert!(judged.elsewhere.is_empty(), "{vehicle} {notes:#?}");
        } else if !claimed {
            assert!(!judged.elsewhere.is_empty(), "what is known nearby of {vehicle} in {notes:#?}");
        }
        blank += usize::from(!claimed);
    });
    assert!(blank > 50, "only {blank} were blank");
}

/// What a vehicle of which only part is known may be.
fn completions(year: Option<u16>, tow: Option<&str>, cab: Option<&str>) -> Vec<Vehicle> {
    let mut found = Vec::new();
    for year in year.map_or(2012..=2022, |year| year..=year) {
        for tow in tow.map_or(vec!["yes", "no"], |tow| vec![tow]) {
            for cab in cab.map_or(vec!["crew", "extended", "regular"], |cab| vec![cab]) {
                found.push(Vehicle::new(Some(ModelYear::new(year))).with("tow", tow).with("cab", cab));
            }
        }
    }
    found
}

fn partly_known(year: Option<u16>, tow: Option<&str>, cab: Option<&str>) -> Vehicle {
    let known = [("tow", tow), ("cab", cab)].into_iter().filter_map(|(name, value)| Some((name, value?)));
    known.fold(Vehicle::new(year.map(ModelYear::new)), |vehicle, (name, value)| vehicle.with(name, value))
}

/// "A vehicle of which only part is known, and which may lie in a contested scope, is disputed and says on what
/// it depends."
#[test]
fn a_vehicle_of_which_part_is_known_is_disputed_where_it_may_be() {
    let asked = [
        (Some(2016), None, Some("crew")),
        (Some(2018), Some("yes"), None),
        (Some(2017), None, None),
        (None, Some("no"), None),
    ];
    let (mut surely, mut perhaps) = (0, 0);
    for_random_buckets(14, CASES, |subject, _, notes, bucket| {
        let live = live(subject, notes);
        for (year, tow, cab) in asked {
            let pairs = |vehicle: &Vehicle| -> BTreeSet<[[u8; 10]; 2]> {
                Ground::new(subject, &live, vehicle)
                    .disputing()
                    .into_iter()
                    .map(|(a, b)| [a.id.0, b.id.0])
                    .collect()
            };
            let met: Vec<_> = completions(year, tow, cab).iter().map(pairs).collect();
            let sure = met.iter().skip(1).fold(met[0].clone(), |all, one| &all & one);
            let judged = judge(bucket, &partly_known(year, tow, cab));
            assert_eq!(
                judged.grade == Grade::Disputed,
                met.iter().any(|pairs| !pairs.is_empty()),
                "{notes:#?}"
            );
            let disputed = judged.answers.iter().filter(|answer| answer.grade == Grade::Disputed);
            let depends: Vec<&BTreeSet<String>> =
                disputed.map(|answer| &answer.evidence.dispute_depends_on).collect();
            assert_eq!(depends.iter().any(|on| on.is_empty()), !sure.is_empty(), "{depends:?} {notes:#?}");
            let open = |name: &String| {
                [("year", year.is_none()), ("tow", tow.is_none()), ("cab", cab.is_none())]
                    .contains(&(name.as_str(), true))
            };
            assert!(depends.iter().copied().flatten().all(open), "{depends:?} {notes:#?}");
            (surely, perhaps) =
                (surely + usize::from(!sure.is_empty()), perhaps + usize::from(!depends.is_empty()));
        }
    });
    assert!(surely > 100 && perhaps > surely + 100, "{surely} surely disputed, of {perhaps}");
}

/// No note that claims the vehicle and says something that has to agree is left without an answer.
#[test]
fn every_claiming_note_backs_an_answer() {
    for_random_questions(13, |subject, cast, notes, bucket, ground| {
        let vehicle = ground.vehicle;
        let judged = judge(bucket, vehicle);
        let answers: Vec<Said> =
            judged.answers.iter().map(|answer| said(subject, cast, bucket, answer)).collect();
        let backed: BTreeSet<usize> =
            judged.answers.iter().flat_map(|answer| answer.entries.iter().copied()).collect();
        let number =
            |note: &Note| notes.iter().position(|other| other.id == note.id).expect("a note of the bucket");
        for note in ground.claiming() {
            if subject.must_agree.iter().any(|field| *field != "cavity" && note.said.contains_key(field)) {
                assert!(backed.contains(&number(note)), "{note:?} backs none of {answers:?} on {vehicle}");
            }
        }
    });
}

/// What is worked out in short is what a whole judgement says in short; the answers of a dispute are in no order there.
#[test]
fn in_short_the_same_is_said_as_in_full() {
    let asked = [
        (Some(2016), None, Some("crew")),
        (Some(2018), Some("yes"), Some("regular")),
        (Some(2014), None, None),
        (None, Some("no"), None),
    ];
    let (mut disputed, mut ordered) = (0, 0);
    for_random_buckets(15, CASES, |_, _, notes, bucket| {
        for (year, tow, cab) in asked {
            let vehicle = partly_known(year, tow, cab);
            let mut full = judge(bucket, &vehicle).in_short();
            let mut short = gist(bucket, &vehicle, &Outlook::default());
            if full.grade == Grade::Disputed {
                disputed += 1;
                full.answers.sort_by(|a, b| a.claim.cmp(&b.claim));
                short.answers.sort_by(|a, b| a.claim.cmp(&b.claim));
            } else if full.answers.len() > 1 {
                ordered += 1;
            }
            assert_eq!(short, full, "{vehicle} {notes:#?}");
        }
    });
    assert!(disputed > 300 && ordered > 300, "{disputed} disputed, {ordered} in order");
}
