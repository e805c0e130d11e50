//! `reindex`: rebuild what is derived from the notes.

use super::console::{Console, Failure, Status};
use crate::search;
use crate::show::page::{Label, counted};

/// Throw away everything derived from the notes and make it anew; the notes stay as they are
#[derive(Debug, clap::Args)]
pub struct Args {}

pub(super) fn run(_: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let mut book = console.book_there_must_be(&language)?;
    let buckets = book.rebuild(&language)?;
    search::make_index(&mut book, &language)?;
    if console.json {
        console.print_json(&serde_json::json!({ "buckets": buckets }))?;
        return Ok(Status::Done);
    }
    let mut page = console.page();
    page.paragraph(
        0,
        &[
            (Label::Plain, "Rebuilt "),
            (Label::Plain, &counted(buckets, "bucket")),
            (Label::Plain, " and the index for search."),
        ],
    );
    console.print(page)?;
    Ok(Status::Done)
}
