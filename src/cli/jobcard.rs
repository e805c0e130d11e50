//! `jobcard`: the paper that goes with one vehicle for one job, and the sheet for what is found on it.

use std::path::{Path, PathBuf};

use super::console::{Console, Failure, Status};
use super::jobs::{cannot_be, named, of_built, settings};
use super::vehicle::{Meant, Named, find_or_name};
use super::whole_file::{self, Existing};
use crate::ask::{Detail, Found, ask, unheard_of};
use crate::book::Book;
use crate::card::{Card, draw_up};
use crate::intake::blank::{self, Wanted};
use crate::job::Job;
use crate::language::Language;
use crate::show::jobcard as view;
use crate::show::page::{Label, counted};
use crate::show::paper;

/// The job card of one vehicle: doubts, facts, circuits, cut list, meter checks, sign-off
///
/// `baybook jobcard 2016 quillon tarn crew --job brake-control`. A vehicle that the book has never heard of gets a card
/// too: name maker and model. Recorded lengths and ratings take the place of the job's estimates, and --set overrules
/// both.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Year, maker, model and what else is known of the vehicle
    #[arg(value_name = "VEHICLE", required_unless_present = "vin")]
    words: Vec<String>,
    /// The vehicle identification number: gives the year, and the model where earlier notes taught it
    #[arg(long, value_name = "VIN")]
    vin: Option<String>,
    /// What is fitted: a job of `baybook jobs`
    #[arg(long, short, value_name = "JOB")]
    job: String,
    /// A parameter of the job: `brakes=6`, `feed-run=3.5m`; can be repeated
    #[arg(long, value_name = "NAME=VALUE")]
    set: Vec<String>,
    /// Write the card as a page that prints on two sheets and is read on a telephone, with a drawing of the circuits,
    /// and show nothing here
    #[arg(long, value_name = "FILE.html", value_hint = clap::ValueHint::FilePath)]
    out: Option<PathBuf>,
    /// Write a note sheet for this vehicle, a row for each point that is blank, thin or disputed, to be filled in and
    /// loaded
    #[arg(long, value_name = "FILE", value_hint = clap::ValueHint::FilePath)]
    note_sheet: Option<PathBuf>,
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let jobs = console.jobs(&language)?;
    let job = named(&jobs, &args.job)?;
    let settings = settings(job, &args.set)?;
    let book = console.book(&language)?;
    let _still = book.snapshot()?;
    let (found, not_understood) = match look_up(args, console, &book, &language, job)? {
        Ok(found) => found,
        Err(status) => return Ok(status),
    };
    let card = draw_up(&language, &found, job, settings)
        .map_err(|(circuit, unfit)| cannot_be(job, circuit, &unfit))?;
    // Before anything is printed: what cannot be written is told alone.
    let rows = args.note_sheet.as_deref().map(|path| note_sheet(&card, path)).transpose()?;
    if let Some(path) = &args.out {
        whole_file::write(path, paper::page(&card).as_bytes(), Existing::PageIsReplaced)?;
    }
    if console.json {
        console.print_json(&view::to_json(&card, &not_understood))?;
    } else if args.out.is_none() {
        let mut page = console.page();
        view::print(&mut page, &card);
        console.print(page)?;
    }
    if let Some(path) = &args.out {
        console.notice(Label::Aside, "Job card: ", &path.display().to_string())?;
    }
    if let (Some(path), Some(rows)) = (&args.note_sheet, rows) {
        let text = format!("{}, {} to fill in", path.display(), counted(rows, "row"));
        console.notice(Label::Aside, "Note sheet: ", &text)?;
    }
    Ok(of_built(card.circuits.iter().all(|circuit| circuit.worked.built().is_some())))
}

type LookedUp = Result<(Found, Vec<String>), Status>;

/// What the book says of the vehicle on the points of the job, and the words that were not understood.
fn look_up(
    args: &Args,
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    job: &Job,
) -> Result<LookedUp, Failure> {
    let wanted = |point: usize| job.must.contains(&point) || job.may.contains(&point);
    Ok(match find_or_name(console, book, language, &args.words, args.vin.as_deref())? {
        Named::Known(Meant::No(status)) => Err(status),
        Named::Known(Meant::One(asked)) => {
            let found = ask(book, language, asked.model, asked.vehicle, Detail::Remarks, wanted)?;
            Ok((found, asked.not_understood))
        }
        Named::New { make, model, vehicle } => {
            if book.notes()? == 0 {
                let told = format!(
                    "the book in {} is empty; `baybook ingest PATH` loads the shop's notes",
                    console.dir()?.display()
                );
                console.notice(Label::Weak, "nothing is known: ", &told)?;
            }
            Ok((unheard_of(language, make, model, vehicle, wanted), Vec::new()))
        }
    })
}

/// Writes the note sheet; gives the number of its rows.
fn note_sheet(card: &Card<'_>, path: &Path) -> Result<usize, Failure> {
    let found = card.found;
    if found.vehicle.year().is_none() {
        let hint = "say the model year of the vehicle as well, such as 2016";
        return Err(Failure::hinted("a note sheet is of one model year, and none is given", hint));
    }
    let rows: Vec<Wanted> = view::wanted(card);
    let text = blank::sheet(card.language, (&found.model.make, &found.model.model), &found.vehicle, &rows);
    whole_file::write(path, &text, Existing::Stays)?;
    Ok(rows.len())
}
