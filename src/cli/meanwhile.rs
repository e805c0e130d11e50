//! What another process wrote about a model while somebody was deciding: which notes and decisions, in words. That
//! nothing is written then is `reconcile`'s business.

use super::console::Failure;
use super::target::Target;
use crate::book::{Book, BookError};
use crate::language::Language;
use crate::note::NoteId;
use crate::reconcile::meanwhile;
use crate::show::ids::{decision_code, note_code};
use crate::show::page::listed;

/// Notes and decisions that are named before the rest is only counted.
const LISTED: usize = 4;

/// The failure where the book was changed: with what came in, as far as it can be told.
pub(super) fn changed(book: &Book, language: &Language, target: &Target, error: BookError) -> Failure {
    match told(book, language, target) {
        Ok(told) if !told.is_empty() => Failure::hinted(
            format!(
                "another process wrote about this model meanwhile: {}; nothing was written",
                listed(&told, "and")
            ),
            "look at it, and decide again",
        ),
        _ => Failure::Book(error),
    }
}

fn told(book: &Book, language: &Language, target: &Target) -> Result<Vec<String>, BookError> {
    let now = book.buckets(language, target.model)?;
    let came = meanwhile(&target.buckets, &now);
    let shown = book.shown_characters()?;
    let mut told = Vec::new();
    for (point, id) in came.notes.iter().take(LISTED) {
        let title = &language.catalogue.points[*point].title;
        told.push(format!("{} of {} ({title})", note_code(*id, shown), writer(book, *id)?));
    }
    for ruling in book.rulings_called(&came.decisions)?.iter().take(LISTED) {
        let (code, decision) = (decision_code(ruling.id, shown), &ruling.decision);
        told.push(format!("{code} of {} ({})", decision.by, decision.kind.word()));
    }
    let more = (came.notes.len() + came.decisions.len()).saturating_sub(told.len());
    told.extend((more > 0).then(|| format!("{more} more")));
    Ok(told)
}

fn writer(book: &Book, id: NoteId) -> Result<String, BookError> {
    Ok(book.notes_by_id(&id.code(), 1)?.pop().map(|note| note.by).unwrap_or_default())
}
