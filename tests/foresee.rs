//! What is foretold of a note against what is there once it is stored: every thirteenth row of the corpus is held
//! back, foretold, stored and looked at, the contradictions by the judge's own list of pairs, the changes by lookups of
//! random vehicles before and after.

#[path = "judge/random.rs"]
mod random;

use std::collections::BTreeSet;
use std::path::Path;

use baybook::ask::{Detail, ask};
use baybook::book::{Book, Lasting, Outcome};
use baybook::foresee::{Foreseen, foresee};
use baybook::intake::{Desk, sheet};
use baybook::judge::bucket::{Bucket, Clash};
use baybook::judge::conflict::contradictions;
use baybook::judge::grade::Grade;
use baybook::language::Language;
use baybook::note::NoteId;
use baybook::preview::{Difference, View};
use baybook::value::place::DriveSide;
use baybook::vehicle::grid::Kind;
use baybook::vehicle::{Built, ModelYear, Vehicle, Vocabulary, YearMonth, matters};
use random::Random;

/// The header and the rows of a sheet, as texts that are sheets themselves.
fn rows(path: &Path) -> Vec<String> {
    let mut reader = csv::Reader::from_path(path).expect("a sheet of the corpus");
    let header = reader.headers().expect("a header").clone();
    let single = |row: csv::StringRecord| {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(&header).expect("written");
        writer.write_record(&row).expect("written");
        String::from_utf8(writer.into_inner().expect("written")).expect("UTF-8")
    };
    reader.records().map(|row| single(row.expect("a row"))).collect()
}

fn corpus() -> Vec<String> {
    let mut paths: Vec<_> = std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus"))
        .expect("the corpus")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|end| end == "csv"))
        .collect();
    paths.sort();
    paths.iter().flat_map(|path| rows(path)).collect()
}

/// A desk with these single rows on it.
fn desk<'l>(language: &'l Language, rows: &[&String]) -> Desk<'l> {
    let mut desk = Desk::new(language, None);
    desk.file("a test");
    for row in rows {
        let read = sheet::read(row.as_bytes(), "a test", &mut desk, false, &mut |_| {});
        assert_eq!(read.refusals, [], "{row}");
    }
    desk
}

fn bucket_of(book: &Book, language: &Language, seen: &Foreseen) -> Bucket {
    let key = seen.note.key.bucket();
    let buckets = book.buckets(language, key.model()).expect("readable");
    let found = buckets.into_iter().find(|(other, ..)| *other == key);
    found.map(|(_, _, bucket)| bucket).expect("the bucket of the note")
}

fn ids(bucket: &Bucket, entries: impl IntoIterator<Item = usize>) -> BTreeSet<NoteId> {
    entries.into_iter().map(|at| bucket.entries[at].id).collect()
}

/// What the judge says that the note contradicts: id and whether it is certain.
fn contradicted(bucket: &Bucket, entry: usize) -> BTreeSet<(NoteId, bool)> {
    let other = |(a, b, clash): (usize, usize, Clash)| {
        let other = if a == entry { b } else { a };
        ((a == entry || b == entry) && clash != Clash::None)
            .then(|| (bucket.entries[other].id, clash == Clash::Certain))
    };
    contradictions(bucket).into_iter().filter_map(other).collect()
}

/// Vehicles of which everything is known that scopes of the bucket tell apart: some of each year, the other facts drawn
/// from what the scopes name.
fn vehicles(bucket: &Bucket, random: &mut Random) -> Vec<Vehicle> {
    let scopes = || bucket.live().map(|entry| bucket.scope(entry));
    let names = matters(scopes());
    let one = |year: u16, random: &mut Random| {
        let mut vehicle = Vehicle::new(Some(ModelYear::new(year)));
        for name in &names {
            let listed = values(bucket, name);
            if name == "built" {
                let month = u8::try_from(1 + random.below(12)).expect("a month");
                let made = YearMonth::new(year - u16::from(month > 6), month).expect("a month");
                vehicle = vehicle.with_built(Built::one(made));
            } else if !listed.is_empty() {
                let listed: Vec<&str> = listed.iter().map(String::as_str).collect();
                vehicle = vehicle.with(name, random.one_of(&listed));
            }
        }
        vehicle
    };
    (2006..2026).map(|year| one(year, random)).collect()
}

/// The same vehicle with something of it not known: its build date, its year or an attribute that scopes name; and what
/// that is.
fn less_known(vehicle: &Vehicle, bucket: &Bucket, random: &mut Random) -> Option<(Vehicle, String)> {
    let names: Vec<String> = matters(bucket.live().map(|entry| bucket.scope(entry)))
        .into_iter()
        .filter(|name| name != "drive")
        .chain(["year".to_owned()])
        .collect();
    let name = random.one_of(&names.iter().map(String::as_str).collect::<Vec<_>>()).to_owned();
    let mut less = Vehicle::new(vehicle.year().filter(|_| name != "year"));
    if name != "built" {
        less = less.with_built(vehicle.built());
    }
    for (other, value) in vehicle.attributes().iter().filter(|(other, _)| **other != name) {
        less = less.with(other, value);
    }
    (less != *vehicle).then_some((less, name))
}

/// The difference that is told of a vehicle of which one thing is not known: its own, else that of all vehicles that it
/// may be.
fn told_of<'s>(seen: &'s Foreseen, less: &Vehicle, name: &str, may_be: &[Vehicle]) -> Option<&'s Difference> {
    let own = |one: &&Difference| {
        let own = |kind: &&Kind| kind.unknown.iter().eq([name]) && kind.takes_in(less);
        one.vehicles.iter().find(own).is_some()
    };
    let whole = |vehicle: &Vehicle| {
        let known = |kind: &Kind| kind.unknown.is_empty() && kind.takes_in(vehicle);
        seen.changes.iter().find(|one| one.vehicles.iter().any(known))
    };
    seen.changes.iter().find(own).or_else(|| {
        let first = whole(may_be.first()?)?;
        may_be.iter().all(|vehicle| whole(vehicle) == Some(first)).then_some(first)
    })
}

/// All vehicles that one may be of which this is not known.
fn may_be(less: &Vehicle, name: &str, bucket: &Bucket) -> Vec<Vehicle> {
    let months = |year: u16| {
        let all = [year - 1, year].into_iter().flat_map(|year| (1..=12).map(move |month| (year, month)));
        all.filter_map(|(year, month)| YearMonth::new(year, month)).collect::<Vec<_>>()
    };
    match name {
        "year" => {
            let made = less.built().from().map(|month| month.year());
            let near = |year: &u16| made.is_none_or(|made| *year == made || *year == made + 1);
            (1990..2040).filter(near).map(|year| less.clone().with_year(ModelYear::new(year))).collect()
        }
        "built" => {
            let year = less.year().map_or(2016, ModelYear::get);
            months(year).into_iter().map(|month| less.clone().with_built(Built::one(month))).collect()
        }
        _ => values(bucket, name).iter().map(|value| less.clone().with(name, value)).collect(),
    }
}

/// The values of an attribute that scopes name, the others that are listed, and one that is not.
fn values(bucket: &Bucket, name: &str) -> Vec<String> {
    let scopes = bucket.live().map(|entry| bucket.scope(entry));
    let own: BTreeSet<String> = scopes.filter_map(|scope| scope.allowed(name)).flatten().cloned().collect();
    let known = Vocabulary::builtin().attribute(name);
    let more = known.into_iter().flat_map(|known| known.values.iter().map(|value| value.name.to_string()));
    own.into_iter().chain(more).collect()
}

/// What a lookup says of the point, its answers in the order of their texts.
fn card(book: &Book, language: &Language, seen: &Foreseen, vehicle: &Vehicle) -> View {
    let Some(model) = book.model(seen.model.id).expect("readable") else { return nothing() };
    let found = ask(book, language, model, vehicle.clone(), Detail::Values, |point| point == seen.point)
        .expect("asked");
    let view = found.points.first().map(|point| View::of(&point.bucket, &point.judged.in_short(), vehicle));
    in_order(view.unwrap_or_else(nothing))
}

fn nothing() -> View {
    View { grade: Grade::Blank, answers: Vec::new(), recheck: false }
}

fn in_order(mut view: View) -> View {
    view.answers.sort();
    view
}

#[test]
fn what_is_foretold_comes_true() {
    let today = jiff::civil::date(2026, 1, 15);
    let language = Language::new(None, DriveSide::Lhd, today).expect("the built-in language");
    let dir = tempfile::tempdir().expect("a folder");
    let mut book = Book::open(dir.path(), &language).expect("an empty book");
    let all = corpus();
    let held_back = |at: usize| at % 13 == 5;
    let first: Vec<&String> =
        all.iter().enumerate().filter(|(at, _)| !held_back(*at)).map(|(_, row)| row).collect();
    let mut pile = desk(&language, &first);
    book.write(&pile.staged, &mut pile.memo, Lasting::Yes, &mut |_| {}).expect("written");
    let mut met = (0, 0, 0, 0);
    let (mut random, mut changed, mut same, mut partly) = (Random(7), 0, 0, 0);
    for row in all.iter().enumerate().filter(|(at, _)| held_back(*at)).map(|(_, row)| row) {
        let notes = book.notes().expect("readable");
        let mut desk = desk(&language, &[row]);
        let seen = foresee(&mut book, &desk.staged, &mut desk.memo, Lasting::DryRun)
            .expect("readable")
            .expect("one note");
        assert_eq!(book.notes().expect("readable"), notes, "foretelling stores nothing: {row}");
        let before = book.buckets(&language, seen.note.key.bucket().model()).expect("readable");
        let asked = vehicles(&seen.bucket, &mut random);
        let asked: Vec<Vehicle> = asked.into_iter().chain([seen.support.vehicle.clone()]).collect();
        // The last is only partly known itself.
        let less = asked[..asked.len() - 1]
            .iter()
            .filter_map(|vehicle| less_known(vehicle, &seen.bucket, &mut random));
        let less: Vec<(Vehicle, String)> = less.collect();
        let less_were: Vec<View> =
            less.iter().map(|(vehicle, _)| card(&book, &language, &seen, vehicle)).collect();
        let were: Vec<View> = asked.iter().map(|vehicle| card(&book, &language, &seen, vehicle)).collect();
        let written = book.write(&desk.staged, &mut desk.memo, Lasting::Yes, &mut |_| {}).expect("written");
        assert_eq!(written.outcomes, [Some(seen.outcome)], "{row}");
        assert_eq!(written.opened, seen.opened, "{row}");
        let bucket = bucket_of(&book, &language, &seen);
        assert_eq!(bucket, seen.bucket, "{row}");

        let foretold = seen.against.iter().flat_map(|against| {
            ids(&bucket, against.entries.clone()).into_iter().map(|id| (id, against.certain))
        });
        let contradicted = contradicted(&bucket, seen.entry);
        assert_eq!(foretold.collect::<BTreeSet<_>>(), contradicted, "{row}");

        let old = before.iter().find(|(key, ..)| *key == seen.note.key.bucket()).map(|(_, _, bucket)| bucket);
        let stood = |at: &usize| old.is_some_and(|old| old.entries.get(*at).is_some_and(|old| old.is_live()));
        let gone = (0..bucket.entries.len()).filter(stood).filter(|at| !bucket.entries[*at].is_live());
        let replaced: Vec<usize> = gone.collect();
        if seen.outcome == Outcome::New {
            assert_eq!(seen.replaces, replaced, "{row}");
        }
        let last = asked.len() - 1;
        for (at, (vehicle, was)) in asked.iter().zip(were).enumerate() {
            let is = card(&book, &language, &seen, vehicle);
            if at == last {
                assert_eq!((was.grade, is.grade), (seen.support.before, seen.support.after), "{row}");
                continue;
            }
            let known = |kind: &Kind| kind.unknown.is_empty() && kind.takes_in(vehicle);
            let told = seen.changes.iter().find(|one| one.vehicles.iter().any(known));
            match told.cloned() {
                Some(told) => {
                    assert_eq!((in_order(told.before), in_order(told.after)), (was, is), "{vehicle}: {row}");
                    changed += 1;
                }
                None => {
                    assert_eq!(is, was, "not told of {vehicle}: {row}");
                    same += 1;
                }
            }
        }
        for ((vehicle, name), was) in less.iter().zip(less_were) {
            let is = card(&book, &language, &seen, vehicle);
            match told_of(&seen, vehicle, name, &may_be(vehicle, name, &seen.bucket)).cloned() {
                Some(told) => {
                    let told = (in_order(told.before), in_order(told.after));
                    assert_eq!(told, (was, is), "{vehicle}, {name} not told: {row}");
                    partly += 1;
                }
                None => assert_eq!(is, was, "not told of {vehicle}, {name} not told: {row}"),
            }
        }
        met = (
            met.0 + 1,
            met.1 + usize::from(!contradicted.is_empty()),
            met.2 + replaced.len(),
            met.3 + usize::from(seen.support.before != seen.support.after),
        );
    }
    assert!(changed > 150 && same > 500, "lookups: {changed} changed, {same} did not");
    assert!(partly > 100, "lookups of vehicles that are partly known: {partly} changed");
    assert!(met.0 > 90 && met.1 > 10 && met.2 > 0 && met.3 > 40, "the corpus tries too little: {met:?}");
    assert_eq!(book.check(&language, &mut |_| {}).expect("readable"), []);
}
