//! The integrity of a book: the file itself, every id, and every derived row recomputed and compared.

use std::collections::BTreeSet;

use super::{Book, BookError, BucketKey, ModelId, decide, derive, learnt, waiting};
use crate::decision::DecisionId;
use crate::judge::bucket::Bucket;
use crate::judge::conflict;
use crate::judge::fold::Memo;
use crate::language::Language;
use crate::note::{Meaning, NoteId};
use crate::vehicle::names::fold;

/// Something that is not as it should be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// What, in one sentence.
    pub what: String,
    /// Whether rebuilding what is derived mends it.
    pub mends: bool,
}

impl Book {
    /// Looks at everything; an empty list is a sound book. `progress` is told how many notes were looked at.
    ///
    /// # Errors
    /// The book cannot be read at all.
    pub fn check(
        &self,
        language: &Language,
        progress: &mut dyn FnMut(u64),
    ) -> Result<Vec<Finding>, BookError> {
        let mut findings = self.check_file()?;
        if findings.is_empty() {
            findings.extend(self.check_texts().map_err(|error| self.sql(error))?);
            findings.extend(self.check_notes(language, progress)?);
            findings.extend(self.check_decisions()?);
            findings.extend(self.check_derived(language)?);
        }
        Ok(findings)
    }

    fn check_file(&self) -> Result<Vec<Finding>, BookError> {
        let read = || -> rusqlite::Result<Vec<Finding>> {
            let mut found = Vec::new();
            let mut query = self.db.prepare("PRAGMA integrity_check")?;
            let mut rows = query.query([])?;
            while let Some(row) = rows.next()? {
                let line: String = row.get(0)?;
                if line != "ok" {
                    found.push(Finding { what: format!("the file: {line}"), mends: false });
                }
            }
            let mut query = self.db.prepare("PRAGMA foreign_key_check")?;
            let mut rows = query.query([])?;
            while let Some(row) = rows.next()? {
                let (table, parent): (String, String) = (row.get(0)?, row.get(2)?);
                found.push(Finding {
                    what: format!("a row of '{table}' refers to a missing row of '{parent}'"),
                    mends: false,
                });
            }
            Ok(found)
        };
        read().map_err(|error| self.sql(error))
    }

    /// Every id is the hash of what its note means, and every value is still read as it is written.
    fn check_notes(
        &self,
        language: &Language,
        progress: &mut dyn FnMut(u64),
    ) -> Result<Vec<Finding>, BookError> {
        let points = self.point_names()?;
        let mut findings = Vec::new();
        let mut model: Option<(ModelId, String, String)> = None;
        let mut scratch = Vec::new();
        let mut failed = None;
        let mut looked_at = 0;
        self.each_note(|note| {
            let bucket = note.key.bucket();
            if model.as_ref().is_none_or(|(id, ..)| *id != bucket.model()) {
                match self.model(bucket.model()) {
                    Ok(Some(known)) => model = Some((known.id, fold(&known.make), fold(&known.model))),
                    Ok(None) => {}
                    Err(error) => {
                        failed = Some(error);
                        return false;
                    }
                }
            }
            let (Some((_, make, name)), Some(point)) = (&model, points.get(usize::from(bucket.point())))
            else {
                return true;
            };
            let on = crate::note::date_text(note.day);
            let meaning = Meaning {
                make,
                model: name,
                years: &note.years,
                only: &note.only,
                point,
                basis: note.basis,
                by: &fold(&note.by),
                on: &on,
                seen: &note.seen,
                remark: &note.remark,
            };
            let id =
                meaning.id(note.said.iter().map(|(name, text)| (name.as_str(), text.as_str())), &mut scratch);
            if id != note.id {
                findings.push(Finding {
                    what: format!("the note {} does not say what its id says", note.id),
                    mends: false,
                });
            }
            findings.extend(unread(language, note.id, &note.said));
            looked_at += 1;
            progress(looked_at);
            true
        })?;
        failed.map_or(Ok(findings), Err)
    }

    /// Every id is the hash of what its decision means, and both lists by which decisions are found are right.
    fn check_decisions(&self) -> Result<Vec<Finding>, BookError> {
        let mut findings: Vec<Finding> = self
            .decisions()?
            .iter()
            .filter(|(id, decision)| decision.id() != *id)
            .map(|(id, _)| format!("the decision {id} does not say what its id says"))
            .map(|what| Finding { what, mends: false })
            .collect();
        let lists = decide::lists(&self.db).map_err(|error| self.sql(error))?;
        let wrong: BTreeSet<DecisionId> = lists
            .iter()
            .flat_map(|(wanted, kept)| wanted.symmetric_difference(kept))
            .map(|(_, decision)| DecisionId(*decision))
            .collect();
        findings.extend(wrong.into_iter().map(|id| {
            let what = format!("what the decision {id} is about is listed wrongly");
            Finding { what, mends: true }
        }));
        Ok(findings)
    }

    fn check_derived(&self, language: &Language) -> Result<Vec<Finding>, BookError> {
        let read = || -> rusqlite::Result<Vec<Finding>> {
            let mut findings = Vec::new();
            let mut memo = Memo::new(language);
            let points = derive::point_numbers(&self.db, &language.catalogue)?;
            let keys: BTreeSet<BucketKey> = derive::keys_with_notes(&self.db)?.into_iter().collect();
            for key in keys.iter().copied() {
                match points.get(usize::from(key.point())).copied().flatten() {
                    Some(point) => self.check_bucket(&mut memo, key, point, &mut findings)?,
                    None => findings.push(Finding {
                        what: format!(
                            "the notes of bucket {} are about a point that the catalogue lacks",
                            key.0
                        ),
                        mends: false,
                    }),
                }
            }
            for model in keys.iter().map(|key| key.model()).collect::<BTreeSet<_>>() {
                self.check_cavities(&mut memo, model, &mut findings)?;
            }
            self.check_strays(&keys, &mut findings)?;
            self.check_taught(&mut memo, &mut findings)?;
            self.check_count(&mut findings)?;
            if learnt::kept(&self.db)? != learnt::counted(&self.db, language)? {
                let what = "what settled conflicts teach is counted wrongly".to_owned();
                findings.push(Finding { what, mends: true });
            }
            Ok(findings)
        };
        read().map_err(|error| self.sql(error))
    }

    fn check_bucket(
        &self,
        memo: &mut Memo<'_>,
        key: BucketKey,
        point: usize,
        findings: &mut Vec<Finding>,
    ) -> rusqlite::Result<()> {
        let anew = derive::fold_anew(&self.db, memo, key, point)?;
        let stored = derive::load(&self.db, key)?.and_then(|bytes| derive::decode(&bytes));
        if stored.map(by_key) != Some(by_key(anew.clone())) {
            findings.push(Finding {
                what: format!("the fold of bucket {} is not what its notes give", key.0),
                mends: true,
            });
        }
        let (first, last) = key.notes();
        if waiting::fallen_before(&self.db, first, last)? != waiting::fallen(&anew) {
            let what = format!("which notes of bucket {} stand is told wrongly", key.0);
            findings.push(Finding { what, mends: true });
        }
        self.compare_conflicts(key, &derive::rows(&conflict::all(&anew)), findings)
    }

    fn check_cavities(
        &self,
        memo: &mut Memo<'_>,
        model: ModelId,
        findings: &mut Vec<Finding>,
    ) -> rusqlite::Result<()> {
        let buckets = derive::of_model(&self.db, memo.language, model)?;
        let places: Vec<_> = buckets
            .iter()
            .map(|(_, point, bucket)| crate::judge::cavity::Place { point: *point, bucket })
            .collect();
        let found = derive::find_cavities(memo, &places).into_iter();
        let wanted = found.map(|found| (found.anchor, true, found.state)).collect();
        self.compare_conflicts(BucketKey::new(model, derive::ACROSS), &wanted, findings)
    }

    /// Derived rows of buckets without notes, and notes of models that have no name.
    fn check_strays(&self, keys: &BTreeSet<BucketKey>, findings: &mut Vec<Finding>) -> rusqlite::Result<()> {
        let models: BTreeSet<ModelId> = keys.iter().map(|key| key.model()).collect();
        for key in derive::keys_of(&self.db, "bucket", "key")?.iter().filter(|key| !keys.contains(key)) {
            findings
                .push(Finding { what: format!("the fold of bucket {} has no notes", key.0), mends: true });
        }
        for key in derive::keys_of(&self.db, "conflict", "bucket")? {
            let across = key.point() == derive::ACROSS && models.contains(&key.model());
            if !across && !keys.contains(&key) {
                findings.push(Finding {
                    what: format!("a conflict of bucket {} is listed, which has no notes", key.0),
                    mends: true,
                });
            }
        }
        let named: BTreeSet<ModelId> = derive::models_with_names(&self.db)?;
        for model in models.difference(&named) {
            findings.push(Finding {
                what: format!("there are notes of model {}, which has no name", model.0),
                mends: false,
            });
        }
        Ok(())
    }

    fn check_taught(&self, memo: &mut Memo<'_>, findings: &mut Vec<Finding>) -> rusqlite::Result<()> {
        let (stored, anew) = (derive::taught_before(&self.db)?, derive::taught(&self.db, memo)?);
        for (pattern, model) in stored.symmetric_difference(&anew) {
            let what = format!(
                "what vehicle identification numbers teach is wrong about {pattern} and model {}",
                model.0
            );
            findings.push(Finding { what, mends: true });
        }
        Ok(())
    }

    fn check_count(&self, findings: &mut Vec<Finding>) -> rusqlite::Result<()> {
        let (told, counted) = (derive::counted(&self.db)?, derive::count(&self.db)?);
        if told != counted {
            findings.push(Finding {
                what: format!("the book says that it holds {told} notes, and holds {counted}"),
                mends: true,
            });
        }
        Ok(())
    }

    fn compare_conflicts(
        &self,
        key: BucketKey,
        wanted: &derive::Listed,
        findings: &mut Vec<Finding>,
    ) -> rusqlite::Result<()> {
        let listed = derive::listed(&self.db, key)?;
        let wrong: BTreeSet<NoteId> =
            listed.symmetric_difference(wanted).map(|(anchor, ..)| *anchor).collect();
        for anchor in wrong {
            let what = format!("the list of conflicts is wrong about {anchor} in bucket {}", key.0);
            findings.push(Finding { what, mends: true });
        }
        Ok(())
    }
}

/// A bucket with people as they are told apart: two processes that write at once may each keep a spelling.
fn by_key(mut bucket: Bucket) -> Bucket {
    bucket.people.iter_mut().for_each(|name| *name = fold(name));
    bucket
}

/// The values of a note that this program reads differently from what is written, or not at all.
fn unread(language: &Language, id: NoteId, said: &[(String, String)]) -> Vec<Finding> {
    said.iter()
        .filter_map(|(name, text)| {
            let Some(field) = language.catalogue.field(name) else {
                return Some(format!("the note {id} has the field '{name}', which the catalogue lacks"));
            };
            match language.read(field, text) {
                Ok(value) if value.to_string() == *text => None,
                Ok(value) => {
                    Some(format!("the note {id} says '{text}' for {name}, which is now read as '{value}'"))
                }
                Err(misread) => Some(format!("the note {id} says '{text}' for {name}: {misread}")),
            }
        })
        .map(|what| Finding { what, mends: false })
        .collect()
}
