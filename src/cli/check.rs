//! `check`: the integrity of the book.

use serde_json::json;

use super::console::{Console, Failure, Status};
use crate::book::Finding;
use crate::search;
use crate::show::page::{Label, counted};

/// Whether the book is sound: the file, every id, and everything derived recomputed and compared
#[derive(Debug, clap::Args)]
pub struct Args {}

pub(super) fn run(_: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let book = console.book_there_must_be(&language)?;
    let mut looked_at = 0;
    let mut findings = book.check(&language, &mut |notes| looked_at = notes)?;
    if let Some(why) = search::trouble(&book, &language)? {
        findings.push(Finding { what: format!("the index for search: {why}"), mends: true });
    }
    if console.json {
        let told: Vec<_> =
            findings.iter().map(|finding| json!({ "what": finding.what, "mends": finding.mends })).collect();
        console.print_json(&json!({ "book": book.path(), "notes": looked_at, "decisions": book.decision_count()?, "sound": findings.is_empty(), "findings": told }))?;
        return Ok(if findings.is_empty() { Status::Done } else { Status::Misuse });
    }
    let mut page = console.page();
    for finding in &findings {
        page.paragraph(0, &[(Label::Alarm, "wrong: "), (Label::Plain, &finding.what)]);
    }
    if findings.iter().any(|finding| finding.mends) {
        page.paragraph(0, &[(Label::Aside, "`baybook reindex` rebuilds what is derived.")]);
    }
    if findings.is_empty() {
        let notes = counted(usize::try_from(looked_at).unwrap_or(usize::MAX), "note");
        let path = book.path().display().to_string();
        let decisions = match book.decision_count()? {
            0 => String::new(),
            count => format!(" and {}", counted(count, "decision")),
        };
        page.paragraph(
            0,
            &[
                (Label::Sure, "Sound: "),
                (Label::Plain, &path),
                (Label::Plain, ", "),
                (Label::Plain, &notes),
                (Label::Plain, &decisions),
                (Label::Plain, "."),
            ],
        );
    }
    console.print(page)?;
    Ok(if findings.is_empty() { Status::Done } else { Status::Misuse })
}
