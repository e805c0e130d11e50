//! What a person waits for: a lookup, a search, one note more, a loading. Sizes in notes; `BAYBOOK_BENCH_NOTES` adds
//! others to the two that are always measured. `benches/against_sqlite.sh` compares whole processes with the sqlite3
//! shell.

use std::io::empty;
use std::path::{Path, PathBuf};
use std::process::Command;

use baybook::ask::{Detail, ask};
use baybook::book::{Book, Lasting};
use baybook::intake::{self, Wishes};
use baybook::language::Language;
use baybook::search::{Filter, Page, Telling, search};
use baybook::show::answer_json;
use baybook::value::place::DriveSide;
use baybook::vehicle::{ModelYear, Vehicle};
use criterion::{BatchSize, BenchmarkId, Criterion, criterion_group, criterion_main};

const WISHES: Wishes = Wishes { lasting: Lasting::Yes, partial: false, order: None };

fn language() -> Language {
    Language::new(None, DriveSide::Lhd, jiff::civil::date(2025, 6, 1)).expect("the built-in catalogue")
}

fn sizes() -> Vec<usize> {
    let more = std::env::var("BAYBOOK_BENCH_NOTES").unwrap_or_default();
    [1_000, 10_000].into_iter().chain(more.split(',').filter_map(|text| text.trim().parse().ok())).collect()
}

/// A sheet of generated notes, made by the example beside this bench.
fn sheet(dir: &Path, notes: usize) -> PathBuf {
    let path = dir.join(format!("{notes}.csv"));
    let made = Command::new(env!("CARGO"))
        .args(["run", "--quiet", "--release", "--example", "make_notes", "--", &notes.to_string()])
        .output()
        .expect("cargo runs the generator");
    std::fs::write(&path, made.stdout).expect("room for the sheet");
    path
}

fn load(dir: &Path, sheet: &Path, language: &Language) -> Book {
    let mut book = Book::open(dir, language).expect("a place for a book");
    let paths = [sheet.to_owned()];
    intake::load(&mut book, language, &paths, &mut empty(), WISHES, &mut |_| {}).expect("a sound sheet");
    book
}

fn measure(criterion: &mut Criterion) {
    let (place, language) = (tempfile::tempdir().expect("a temporary folder"), language());
    for notes in sizes() {
        let sheet = sheet(place.path(), notes);
        let dir = place.path().join(format!("book-{notes}"));
        let mut book = load(&dir, &sheet, &language);
        lookups(criterion, &book, &language, notes);
        searches(criterion, &mut book, &language, notes);
        one_more(criterion, &dir, place.path(), &language, notes);
        loading(criterion, &sheet, &language, notes);
    }
}

fn lookups(criterion: &mut Criterion, book: &Book, language: &Language, notes: usize) {
    let mut group = criterion.benchmark_group("lookup");
    for (name, model, year) in [("most noted model", "model0", 2007), ("middling model", "model300", 2012)] {
        let known = book.models_called(model).expect("a book").pop().expect("a generated model");
        group.bench_function(BenchmarkId::new(name, notes), |bencher| {
            bencher.iter(|| {
                let vehicle = Vehicle::new(Some(ModelYear::new(year)));
                let found =
                    ask(book, language, known.clone(), vehicle, Detail::Values, |_| true).expect("an answer");
                serde_json::to_string(&answer_json::to_json(language, &found, &[]))
            });
        });
    }
    group.finish();
}

fn searches(criterion: &mut Criterion, book: &mut Book, language: &Language, notes: usize) {
    let mut group = criterion.benchmark_group("search");
    let page = Page { skip: 0, limit: 10, telling: Telling::Short };
    let asked = [
        ("one value", "pink"),
        ("value and place", "violet white tracer stop lamp switch"),
        ("the same with slips", "vilet whte trcer stp lamp swich"),
        ("vehicle and value", "maker 0 model 300 2013 green"),
        ("nothing", "tachometer"),
    ];
    for (name, words) in asked {
        group.bench_function(BenchmarkId::new(name, notes), |bencher| {
            bencher.iter(|| search(book, language, words, &Filter::default(), page).expect("a search"));
        });
    }
    group.finish();
}

fn one_more(criterion: &mut Criterion, dir: &Path, place: &Path, language: &Language, notes: usize) {
    let mut count = 0;
    let mut book = Book::open(dir, language).expect("the book");
    criterion.bench_function(&format!("one durable note more/{notes}"), |bencher| {
        bencher.iter_batched(
            || {
                count += 1;
                let path = place.join("one.csv");
                let text = format!(
                    "make,model,years,point,colour,basis,by,on,seen,remark\nMaker 0,Model 300,2010-2012,horn,green,metered,A. Bench,2024-01-01,2011,no {count}\n"
                );
                std::fs::write(&path, text).expect("room for a row");
                path
            },
            |path| intake::load(&mut book, language, &[path], &mut empty(), WISHES, &mut |_| {}).expect("a sound row"),
            BatchSize::PerIteration,
        );
    });
}

fn loading(criterion: &mut Criterion, sheet: &Path, language: &Language, notes: usize) {
    let mut group = criterion.benchmark_group("load into a new book");
    group.sample_size(10);
    group.bench_function(BenchmarkId::from_parameter(notes), |bencher| {
        bencher.iter_batched(
            || tempfile::tempdir().expect("a temporary folder"),
            |dir| load(dir.path(), sheet, language),
            BatchSize::PerIteration,
        );
    });
    group.finish();
}

criterion_group!(benches, measure);
criterion_main!(benches);
