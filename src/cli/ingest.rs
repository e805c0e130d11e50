//! `ingest`: load note sheets into the book.

use std::path::PathBuf;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::console::{Console, Failure, Status};
use crate::book::{Book, BookError, BucketKey, Lasting};
use crate::intake::{self, DateOrder, Progress, Report, Wishes};
use crate::language::Language;
use crate::note::NoteId;
use crate::opposition;
use crate::search;
use crate::show::decisions::opposition_json;
use crate::show::page::Page;
use crate::show::report::{self, Placed};

/// Load note sheets (CSV) into the book
///
/// Folders are walked in sorted order; `-` is standard input, and a pipe is read like it. A file goes in whole or not at all, and all its
/// errors are told; with --partial the good rows go in and the refused ones are written beside the file.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Note sheets, or folders with them
    #[arg(value_name = "PATH", required = true, value_hint = clap::ValueHint::AnyPath)]
    paths: Vec<PathBuf>,
    /// Do everything but write
    #[arg(long)]
    dry_run: bool,
    /// Let the good rows of a file in, and write the refused ones beside it with their reasons
    #[arg(long)]
    partial: bool,
    /// How dates in figures such as 12/1/23 are written
    #[arg(long, value_name = "ORDER")]
    date_order: Option<Order>,
}

/// How dates in figures are written.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
pub(super) enum Order {
    /// Day, month, year
    Dmy,
    /// Month, day, year
    Mdy,
}

impl From<Order> for DateOrder {
    fn from(order: Order) -> Self {
        match order {
            Order::Dmy => Self::Dmy,
            Order::Mdy => Self::Mdy,
        }
    }
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let mut book = console.book(&language)?;
    let wishes = Wishes {
        lasting: if args.dry_run { Lasting::DryRun } else { Lasting::Yes },
        partial: args.partial,
        order: args.date_order.map(Into::into),
    };
    let bar = bar(console.lively);
    let mut tell = |progress: Progress<'_>| advance(&bar, progress);
    // It holds what nobody else may touch meanwhile, and lets go of it before the index is kept up.
    let beside = search::Beside::new(&language);
    let report =
        intake::load_with(&beside, &mut book, &language, &args.paths, console.input, wishes, &mut tell);
    drop(beside);
    bar.finish_and_clear();
    let report = report?;
    show(console, &book, &language, &report, args.dry_run)?;
    if !args.dry_run {
        search::keep_up(&mut book, &language);
    }
    Ok(match (report.has_refusals(), report.files.is_empty()) {
        (true, _) => Status::Misuse,
        (false, true) => Status::Nothing,
        (false, false) => Status::Done,
    })
}

fn show(
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    report: &Report,
    dry_run: bool,
) -> Result<(), Failure> {
    let mut refusals = Page::new(console.width, console.lively);
    report::refusals(&mut refusals, report);
    console.err.write_all(refusals.finish().as_bytes())?;
    let placed =
        |list: &[(BucketKey, NoteId)]| if dry_run { Ok(Vec::new()) } else { placed(book, language, list) };
    let (opened, grown) = (placed(&report.opened)?, placed(&report.grown)?);
    let reopened = placed(&report.reopened)?;
    let changed = (opened.as_slice(), grown.as_slice(), reopened.as_slice());
    let shown = book.shown_characters()?;
    let opposed = opposition::among(book, &report.new_decisions())?;
    if console.json {
        let mut json = report::to_json(report, changed, shown, dry_run);
        json["opposed"] = opposed.iter().map(|one| opposition_json(one, shown)).collect();
        return console.print_json(&json);
    }
    let mut page = console.page();
    report::closing(&mut page, report, changed, shown, dry_run);
    report::opposed(&mut page, &opposed, shown);
    console.print(page)
}

/// Conflicts with the words for where they are.
fn placed(book: &Book, language: &Language, list: &[(BucketKey, NoteId)]) -> Result<Vec<Placed>, BookError> {
    let _still = book.snapshot()?;
    let names = book.point_names()?;
    list.iter()
        .map(|(bucket, anchor)| {
            let model = book
                .model(bucket.model())?
                .map(|known| format!("{} {}", known.make, known.model))
                .unwrap_or_default();
            let point =
                names.get(usize::from(bucket.point())).and_then(|name| language.catalogue.point(name));
            let what = point
                .map_or("a cavity given to two functions", |point| &*language.catalogue.points[point].title);
            Ok(Placed { bucket: *bucket, anchor: *anchor, place: format!("{model}, {what}") })
        })
        .collect()
}

fn bar(lively: bool) -> ProgressBar {
    let target = if lively { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
    let bar = ProgressBar::with_draw_target(None, target);
    if let Ok(style) = ProgressStyle::with_template("{spinner} {msg} {human_pos}") {
        bar.set_style(style);
    }
    if lively {
        bar.enable_steady_tick(Duration::from_millis(200));
    }
    bar
}

fn advance(bar: &ProgressBar, progress: Progress<'_>) {
    match progress {
        Progress::Reading(file, rows) => {
            if rows == 0 {
                bar.set_message(format!("reading {}, rows", crate::show::page::harmless(file)));
            }
            bar.set_position(rows as u64);
        }
        Progress::Writing(done, all) => {
            if bar.length().is_none() {
                bar.set_message("writing, notes");
                bar.set_length(all as u64);
            }
            bar.set_position(done as u64);
        }
    }
}
