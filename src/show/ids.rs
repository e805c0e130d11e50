//! How ids of notes, conflicts and decisions are written, and read again from what a person typed.

use crate::decision::DecisionId;
use crate::note::NoteId;

/// What an id that a person typed is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A note, `n-…`.
    Note,
    /// A conflict of one point, `c-…`.
    Conflict,
    /// A conflict over a cavity, `c-…-cavity`.
    Cavity,
    /// A decision, `d-…`.
    Decision,
}

const CAVITY: &str = "-cavity";

/// The id of a note, shortened.
#[must_use]
pub fn note_code(id: NoteId, shown: usize) -> String {
    format!("n-{}", &id.code()[..shown])
}

/// The id of a conflict: that of the note which names it.
#[must_use]
pub fn conflict_code(anchor: NoteId, shown: usize) -> String {
    format!("c-{}", &anchor.code()[..shown])
}

/// The id of a conflict over a cavity.
#[must_use]
pub fn cavity_code(anchor: NoteId, shown: usize) -> String {
    format!("c-{}{CAVITY}", &anchor.code()[..shown])
}

/// The id of a decision, shortened.
#[must_use]
pub fn decision_code(id: DecisionId, shown: usize) -> String {
    format!("d-{}", &id.code()[..shown])
}

/// Reads an id that a person typed: its kind and its characters. `None` where it cannot be one.
#[must_use]
pub fn read(text: &str) -> Option<(Kind, String)> {
    let text = text.trim().to_lowercase();
    let (first, code) = text.split_once('-')?;
    let (kind, code) = match first {
        "n" => (Kind::Note, code),
        "d" => (Kind::Decision, code),
        "c" => code.strip_suffix(CAVITY).map_or((Kind::Conflict, code), |code| (Kind::Cavity, code)),
        _ => return None,
    };
    NoteId::range(code).map(|_| (kind, code.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read_again() {
        let id = NoteId([1, 2, 3, 4, 5, 6, 7, 8, 9, 10]);
        for (text, kind) in [
            (note_code(id, 6), Kind::Note),
            (conflict_code(id, 8), Kind::Conflict),
            (cavity_code(id, 16), Kind::Cavity),
            (decision_code(DecisionId(id.0), 6), Kind::Decision),
        ] {
            let (found, code) = read(&text).expect("an id");
            assert_eq!(found, kind);
            assert!(id.code().starts_with(&code));
        }
        assert_eq!(read("violet"), None);
        assert_eq!(read("c-1"), None);
    }
}
