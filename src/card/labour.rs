//! What the job took before: on such vehicles, else on other ones of the model, which is told as what it is.

use super::Desk;
use crate::ask::PointFound;
use crate::judge::answer::Tally;
use crate::judge::bucket::{Bucket, Entry};
use crate::note::NoteId;
use crate::spread::{self, Spread};
use crate::vehicle::Scope;

/// The point whose times are told of a job.
pub const LABOUR: &str = "labour";
/// Its field that says of which job.
const JOB: &str = "job";
/// And the one that says how long it took.
const MINUTES: &str = "minutes";

/// What the job took.
#[derive(Debug)]
pub struct Labour<'c> {
    /// The notes, the strongest first.
    pub notes: Vec<NoteId>,
    /// The times.
    pub spread: Spread,
    /// Whether it is claimed for the vehicle of the card.
    pub for_this: bool,
    /// The vehicles for which it is claimed, each scope once.
    pub scopes: Vec<&'c Scope>,
}

impl<'c> Desk<'c> {
    /// The times that are claimed for the vehicle; where there are none, those of the other vehicles of the model.
    pub(super) fn labour(&self) -> Option<Labour<'c>> {
        let point = self.language.catalogue.point(LABOUR)?;
        self.labour_here(point).or_else(|| self.labour_elsewhere(self.point(point)?))
    }

    fn labour_here(&self, point: usize) -> Option<Labour<'c>> {
        let of_job = |used: &&super::Used<'c>| used.text(self.language, JOB).as_ref() == Some(&self.job.name);
        let used = self.usable(point).iter().find(of_job)?;
        let spread = self.spread(used.answer.tallies.iter().find(|tally| tally.field == MINUTES)?)?;
        let scopes = vec![&used.answer.scope];
        Some(Labour { notes: used.notes().collect(), spread, for_this: true, scopes })
    }

    fn labour_elsewhere(&self, found: &'c PointFound) -> Option<Labour<'c>> {
        let bucket = &found.bucket;
        let of_job = |entry: &&Entry| {
            bucket.texts(bucket.claim(entry)).any(|told| told == (JOB, self.job.name.as_str()))
        };
        let told = |entry: &'c Entry| Some((entry, minutes(bucket, entry)?));
        let told: Vec<(&Entry, &str)> = bucket.live().filter(of_job).filter_map(told).collect();
        let texts = told.iter().map(|(_, minutes)| ((*minutes).to_owned(), 1)).collect();
        let spread = self.spread(&Tally { field: MINUTES.to_owned(), texts })?;
        let mut scopes: Vec<&Scope> = told.iter().map(|(entry, _)| bucket.scope(entry)).collect();
        scopes.sort();
        scopes.dedup();
        Some(Labour {
            notes: told.iter().map(|(entry, _)| entry.id).collect(),
            spread,
            for_this: false,
            scopes,
        })
    }

    fn spread(&self, tally: &Tally) -> Option<Spread> {
        spread::of(self.language, self.language.catalogue.field(MINUTES)?, tally)
    }
}

/// What a note says of the time.
fn minutes<'b>(bucket: &'b Bucket, entry: &Entry) -> Option<&'b str> {
    let field = bucket.extra_fields.iter().position(|field| field == MINUTES)?;
    let told = bucket.extras.get(entry.extra as usize)?.iter();
    told.clone().find(|(at, _)| usize::from(*at) == field).map(|(_, text)| text.as_str())
}
