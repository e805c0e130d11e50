//! What an id on the command line is about: a conflict, a note or a decision, with everything known of its model.
//! What is decided about it is `reconcile`'s business.

use std::collections::BTreeSet;

use super::conflicts::{note as find_note, several_ids};
use super::console::Failure;
use crate::book::{Book, BucketKey, Look, ModelId, StoredNote};
use crate::decision::{Decision, DecisionId, Kind};
use crate::dispute::{self, Dispute};
use crate::judge::bucket::Bucket;
use crate::judge::settle::Case;
use crate::language::Language;
use crate::note::NoteId;
use crate::show::ids::{self, Kind as Of};

/// What is to be decided about.
#[derive(Debug)]
pub struct Target {
    /// The model.
    pub model: ModelId,
    /// What the model looked like before anything else was read.
    pub look: Look,
    /// What is known of it.
    pub buckets: Vec<(BucketKey, usize, Bucket)>,
    /// The conflict that is meant, or that the note is in.
    pub dispute: Option<Dispute>,
    /// The notes as far as settling goes.
    pub case: Case,
    /// The note itself, where one is meant.
    pub note: Option<NoteId>,
    /// Whether a note was meant, and not its conflict.
    pub is_note: bool,
    /// The one decision that is meant.
    decision: Option<(DecisionId, Decision)>,
}

/// Finds what an id is about.
///
/// # Errors
/// No id, or that of nothing in this book.
pub fn target(book: &Book, language: &Language, written: &str) -> Result<Target, Failure> {
    // All of one moment: else what came in between two of its questions would be in some of them only.
    let _still = book.snapshot()?;
    let Some((kind, code)) = ids::read(written) else {
        return Err(Failure::hinted(
            format!("'{written}' is no id"),
            "ids begin with c- (conflicts), n- (notes) or d- (decisions); `baybook conflicts` lists the conflicts",
        ));
    };
    if kind == Of::Decision {
        return of_decision(book, language, written, &code);
    }
    let note = find_note(book, written, &code)?;
    let model = note.key.bucket().model();
    // Whatever another process writes from here on is noticed when the decision is written.
    let look = book.look(model)?;
    let dispute = match kind {
        Of::Cavity => dispute::of_note(book, language, &note, true)?,
        Of::Conflict => dispute::of_note(book, language, &note, false)?,
        _ => in_any(book, language, &note)?,
    };
    let is_note = kind == Of::Note;
    if dispute.is_none() && !is_note {
        return Err(Failure::hinted(
            format!("'{written}' is in no conflict"),
            "`baybook conflicts` lists the conflicts",
        ));
    }
    let buckets = book.buckets(language, model)?;
    let case = match &dispute {
        Some(dispute) => dispute.case(),
        None => alone(&buckets, &note),
    };
    let note = is_note.then_some(note.id);
    Ok(Target { model, look, buckets, dispute, case, note, is_note, decision: None })
}

fn in_any(book: &Book, language: &Language, note: &StoredNote) -> Result<Option<Dispute>, Failure> {
    let value = dispute::of_note(book, language, note, false)?;
    let cavity = dispute::of_note(book, language, note, true)?;
    Ok(value.into_iter().chain(cavity).min_by_key(Dispute::state))
}

fn alone(buckets: &[(BucketKey, usize, Bucket)], note: &StoredNote) -> Case {
    let bucket = buckets.iter().find(|(key, ..)| *key == note.key.bucket()).map(|(_, _, bucket)| bucket);
    let found = bucket.and_then(|bucket| {
        let entry = bucket.entries.iter().position(|entry| entry.id == note.id)?;
        Some(Case::of_note(bucket, entry))
    });
    found.unwrap_or_default()
}

fn of_decision(book: &Book, language: &Language, written: &str, code: &str) -> Result<Target, Failure> {
    let (id, decision) = find_decision(book, written, code)?;
    let notes = decision.about.iter().map(|(note, _)| *note);
    let mut found = Vec::new();
    for note in notes {
        found.extend(book.notes_by_id(&note.code(), 1)?);
    }
    let Some(note) = found.first() else {
        return Err(Failure::misuse(format!("none of the notes that {id} is about is in this book yet")));
    };
    let model = note.key.bucket().model();
    let look = book.look(model)?;
    let buckets = book.buckets(language, model)?;
    let case = Case::default();
    Ok(Target {
        model,
        look,
        buckets,
        dispute: None,
        case,
        note: None,
        is_note: false,
        decision: Some((id, decision)),
    })
}

/// The one decision whose id begins with these characters.
///
/// # Errors
/// None, or several.
pub fn find_decision(book: &Book, written: &str, code: &str) -> Result<(DecisionId, Decision), Failure> {
    const LISTED: usize = 8;
    let mut found = book.decisions_by_id(code, LISTED)?;
    if found.len() > 1 {
        return Err(several_ids(written, found.iter().map(|(id, _)| id.to_string())));
    }
    found.pop().ok_or_else(|| Failure::Missing {
        message: format!("there is no decision with the id '{written}' in this book"),
        hint: "`baybook conflicts --all` lists the settled conflicts with their decisions".to_owned(),
    })
}

impl Target {
    /// Whether a decision was meant.
    #[must_use]
    pub fn is_decision(&self) -> bool {
        self.decision.is_some()
    }

    /// The notes that words choose: by number of a side, by id. Without words the note that is meant.
    ///
    /// # Errors
    /// A word that is neither, a side or a note that is not part of it, or none chosen.
    pub fn chosen(&self, book: &Book, words: &[String]) -> Result<BTreeSet<usize>, Failure> {
        let mut chosen = BTreeSet::new();
        for word in words {
            if let Ok(number) = word.parse() {
                chosen.extend(self.case.side(number).map_err(|no| self.no_such(&no.to_string()))?);
                continue;
            }
            let Some((Of::Note, code)) = ids::read(word) else {
                return Err(
                    self.no_such(&format!("'{word}' is neither the number of a side nor the id of a note"))
                );
            };
            let note = find_note(book, word, &code)?;
            chosen.insert(self.case.party(note.id).map_err(|no| self.no_such(&no.to_string()))?);
        }
        if let (Some(note), true) = (self.note, words.is_empty()) {
            chosen.insert(self.case.party(note).map_err(|no| Failure::misuse(no.to_string()))?);
        }
        if chosen.is_empty() {
            return Err(self.no_such("say which: the number of a side, or ids of notes"));
        }
        Ok(chosen)
    }

    fn no_such(&self, told: &str) -> Failure {
        Failure::hinted(told, "`baybook conflicts ID` shows the sides and their notes")
    }

    /// The decisions that a `reopen` takes back.
    ///
    /// # Errors
    /// There are none, or the one that is meant is taken back already, or is a `reopen` itself.
    pub fn standing(&self, book: &Book) -> Result<Vec<(DecisionId, Decision)>, Failure> {
        let notes = match (&self.decision, &self.dispute, self.note) {
            (Some((_, decision)), ..) => decision.about.iter().map(|(note, _)| *note).collect(),
            (None, _, Some(note)) => vec![note],
            (None, Some(dispute), None) => dispute.notes(),
            (None, None, None) => Vec::new(),
        };
        let mut standing = std::collections::BTreeMap::new();
        for note in notes {
            let rulings = book.rulings_about(note)?.into_iter();
            let counts =
                rulings.filter(|ruling| !ruling.force.taken_back && ruling.decision.kind != Kind::Reopen);
            standing.extend(counts.map(|ruling| (ruling.id, ruling.decision)));
        }
        if let Some((id, _)) = &self.decision {
            standing.retain(|found, _| found == id);
        }
        if standing.is_empty() {
            let what = if self.decision.is_some() {
                "this decision does not stand any more"
            } else {
                "nothing that was decided here stands"
            };
            return Err(Failure::hinted(what, "`baybook history ID` tells what was decided and taken back"));
        }
        Ok(standing.into_iter().collect())
    }
}
