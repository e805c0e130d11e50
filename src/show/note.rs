//! A note with everything that it means, as JSON; its shape is written down in DEVELOPERS.md.

use serde_json::{Map, Value as Json, json};

use crate::book::StoredNote;
use crate::language::Language;
use crate::note::date_text;

/// The note as an object. Where it was read, and what replaced it, are the caller's to add.
#[must_use]
pub fn to_json(language: &Language, make: &str, model: &str, point: &str, note: &StoredNote) -> Json {
    let values: Map<String, Json> =
        note.said.iter().map(|(name, text)| (name.clone(), json!(text))).collect();
    json!({
        "id": note.id.to_string(),
        "make": make,
        "model": model,
        "scope": note.scope(language).to_json(),
        "point": point,
        "values": values,
        "basis": note.basis.word(),
        "by": note.by,
        "on": date_text(note.day),
        "seen": note.seen,
        "remark": note.remark,
    })
}
