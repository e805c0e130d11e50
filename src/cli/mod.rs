//! The command line: one file per command, each with its arguments and one short function that fetches, asks
//! and shows. All of clap stands in this room.

mod add;
mod backup;
mod check;
mod circuit;
mod completions;
mod conflicts;
mod console;
mod demo;
mod export;
mod gaps;
mod history;
mod ingest;
mod jobcard;
mod jobs;
mod lookup;
mod meanwhile;
mod points;
mod prompt;
mod read;
mod reconcile;
mod reconcile_questions;
mod reconcile_words;
mod reindex;
mod search;
mod target;
mod vehicle;
mod vin;
mod whole_file;

use std::ffi::OsString;
use std::path::PathBuf;

use clap::{CommandFactory, Parser, Subcommand};

pub use console::{Console, Failure, Status};
pub use demo::CORPUS;
pub use prompt::{Prompts, Question, Terminal};

/// Knows how a shop's vehicles are wired, and how far that can be trusted.
///
/// Load the shop's notes with `ingest`, ask about a vehicle with `lookup`, see what contradicts with
/// `conflicts`. `baybook demo` shows it all on invented notes.
#[derive(Debug, Parser)]
#[command(name = "baybook", version, max_term_width = 80, disable_help_subcommand = true)]
pub struct Cli {
    /// The directory of the book; else BAYBOOK_DIR, else the user's data directory
    #[arg(long, global = true, value_name = "DIR", value_hint = clap::ValueHint::DirPath)]
    book: Option<PathBuf>,
    /// Print JSON instead of text
    #[arg(long, global = true)]
    json: bool,
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Ingest(ingest::Args),
    Lookup(lookup::Args),
    Search(search::Args),
    Add(Box<add::Args>),
    Conflicts(conflicts::Args),
    Gaps(gaps::Args),
    Reconcile(reconcile::Args),
    Points(points::Args),
    History(history::Args),
    Read(read::Args),
    Vin(vin::Args),
    Circuit(Box<circuit::Args>),
    Jobs(jobs::Args),
    Jobcard(jobcard::Args),
    Export(export::Args),
    Backup(backup::Args),
    Check(check::Args),
    Reindex(reindex::Args),
    Demo(demo::Args),
    Completions(completions::Args),
    Man(completions::ManArgs),
}

/// Parses the arguments, runs the command, tells what failed; gives the exit status.
pub fn run(arguments: impl IntoIterator<Item = OsString>, console: &mut Console<'_>) -> Status {
    let cli = match Cli::try_parse_from(arguments) {
        Ok(cli) => cli,
        Err(error) => return console.usage(&error),
    };
    console.json = cli.json;
    if let Some(dir) = cli.book {
        console.book_dir = Some(dir);
    }
    let done = dispatch(cli.command, console).and_then(|status| {
        // What could not be written is told here, not lost when the program ends.
        console.out.flush()?;
        Ok(status)
    });
    match done {
        Ok(status) => status,
        Err(failure) => console.failed(&failure),
    }
}

fn dispatch(command: Command, console: &mut Console<'_>) -> Result<Status, Failure> {
    match command {
        Command::Ingest(args) => ingest::run(&args, console),
        Command::Lookup(args) => lookup::run(&args, console),
        Command::Search(args) => search::run(&args, console),
        Command::Add(args) => add::run(&args, console),
        Command::Conflicts(args) => conflicts::run(&args, console),
        Command::Gaps(args) => gaps::run(&args, console),
        Command::Reconcile(args) => reconcile::run(&args, console),
        Command::Points(args) => points::run(&args, console),
        Command::History(args) => history::run(&args, console),
        Command::Read(args) => read::run(&args, console),
        Command::Vin(args) => vin::run(&args, console),
        Command::Circuit(args) => circuit::run(&args, console),
        Command::Jobs(args) => jobs::run(&args, console),
        Command::Jobcard(args) => jobcard::run(&args, console),
        Command::Export(args) => export::run(&args, console),
        Command::Backup(args) => backup::run(&args, console),
        Command::Check(args) => check::run(&args, console),
        Command::Reindex(args) => reindex::run(&args, console),
        Command::Demo(args) => demo::run(&args, console),
        Command::Completions(args) => completions::run(&args, console),
        Command::Man(args) => completions::man(&args, console),
    }
}

fn command() -> clap::Command {
    Cli::command()
}
