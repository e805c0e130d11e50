//! What was seen of one instance, folded for weighing: which values could be true, and for each seen vehicle which
//! of them its notes allow.
//!
//! One observation is one hand on one vehicle, whatever it wrote how often. A diagram is one observation of the
//! vehicle asked about, or of the one nearest to it that the diagram takes in. Word of mouth is none.

use std::collections::BTreeMap;

use super::doubt::Doubt;
use crate::judge::answer::{backs, completes};
use crate::judge::bucket::{Bucket, Claim, Entry};
use crate::note::Basis;
use crate::value::colour::{self, Colour};
use crate::vehicle::{ModelYear, Vehicle};

/// The most values that are weighed by name; rarer ones are slips or something else.
pub const MOST: usize = 7;

/// The most values, what none of the notes says among them.
pub const SLOTS: usize = MOST + 1;

/// Something for each value; the last one that is used stands for "none of these".
pub type Each = [f64; SLOTS];

/// On which vehicle something was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Where {
    /// A number into `Bucket::seen`.
    Seen(u32),
    /// Some vehicle of a scope: a number into `Bucket::scopes`.
    Scope(u32),
}

/// Observations that are alike.
#[derive(Debug, Clone)]
pub struct Row {
    /// The vehicle.
    pub at: Where,
    /// Its model year.
    pub year: ModelYear,
    /// The values that what was written allows, as bits.
    pub allows: u32,
    /// How many.
    pub count: u32,
    /// How likely it was written, for each value that may be true.
    pub likely: Each,
    /// How likely it was written of some other vehicle of the model.
    pub anywhere: f64,
}

/// Everything that was seen of one instance.
#[derive(Debug, Clone)]
pub struct Evidence {
    /// The values that may be true, as claims of the bucket: `MOST` at most.
    pub values: Vec<Claim>,
    /// What was seen, by year.
    pub rows: Vec<Row>,
    /// How likely each value is before anything was seen.
    pub prior: Each,
}

/// An observation before it is weighed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Sight {
    at: Where,
    allows: u32,
    basis: Basis,
    claim: u32,
}

impl Evidence {
    /// Gathers what was seen of the instance of which `candidates` are the possible values. `asked` is the vehicle
    /// in question.
    #[must_use]
    pub fn gather(bucket: &Bucket, candidates: &[Claim], asked: &Vehicle, doubt: &Doubt) -> Self {
        let allows: Vec<Vec<bool>> = bucket
            .claims
            .iter()
            .map(|claim| candidates.iter().map(|value| backs(bucket, claim, value)).collect())
            .collect();
        let speaks = |claim: u32| {
            let claim = &bucket.claims[claim as usize];
            bucket.agreeing().any(|at| claim[at] != 0)
                && (!bucket.several || candidates.iter().any(|value| one_instance(bucket, claim, value)))
        };
        let entries: Vec<&Entry> = bucket.live().filter(|entry| speaks(entry.claim)).collect();
        let kept = most_seen(bucket, candidates, &entries, &allows, asked);
        let bits: Vec<u32> = allows
            .iter()
            .map(|allowed| kept.iter().enumerate().map(|(bit, at)| u32::from(allowed[*at]) << bit).sum())
            .collect();
        let values: Vec<Claim> = kept.iter().map(|at| candidates[*at].clone()).collect();
        let sights = sights(bucket, &entries, &bits);
        let prior = prior(values.len(), doubt);
        let rows = rows(bucket, &values, sights, asked, doubt);
        Self { values, rows, prior }
    }

    /// How many values are weighed, "none of these" among them.
    #[must_use]
    pub fn slots(&self) -> usize {
        self.values.len() + 1
    }
}

fn one_instance(bucket: &Bucket, a: &[u16], b: &[u16]) -> bool {
    !bucket.apart(a, b) && (completes(bucket, a, b) || crate::judge::answer::same_instance(bucket, a, b))
}

fn prior(values: usize, doubt: &Doubt) -> Each {
    let mut prior = [0.0; SLOTS];
    let each = 1.0 / doubt.changes.other_values.max(values as f64 + 1.0);
    prior[..values].fill(each);
    prior[values] = 1.0 - each * values as f64;
    prior
}

/// The candidates on which most was seen, most of it near the asked year: numbers into `candidates`.
fn most_seen(
    bucket: &Bucket,
    candidates: &[Claim],
    entries: &[&Entry],
    allows: &[Vec<bool>],
    asked: &Vehicle,
) -> Vec<usize> {
    let mut kept: Vec<usize> = (0..candidates.len()).collect();
    if candidates.len() <= MOST {
        return kept;
    }
    let near = |entry: &Entry| {
        let year = bucket.seen(entry).and_then(Vehicle::year);
        let apart = year.zip(asked.year()).map_or(3, |(a, b)| a.get().abs_diff(b.get()));
        if entry.basis.is_observation() && entry.seen != 0 { 24 / (1 + u32::from(apart)) + 4 } else { 1 }
    };
    let weight = |at: usize| -> u32 {
        entries.iter().filter(|entry| allows[entry.claim as usize][at]).map(|entry| near(entry)).sum()
    };
    kept.sort_by_cached_key(|at| {
        let texts: Vec<(String, String)> =
            bucket.texts(&candidates[*at]).map(|(a, b)| (a.to_owned(), b.to_owned())).collect();
        (std::cmp::Reverse(weight(*at)), texts)
    });
    kept.truncate(MOST);
    kept
}

/// One for each hand and seen vehicle, and one for each diagram. What one hand wrote of one vehicle in two notes is
/// taken together, or as two where it cannot be.
fn sights(bucket: &Bucket, entries: &[&Entry], bits: &[u32]) -> Vec<Sight> {
    let mut of_hands: BTreeMap<(u32, u32), Vec<&Entry>> = BTreeMap::new();
    let mut sights = Vec::new();
    let sight = |at: Where, entry: &Entry| Sight {
        at,
        allows: bits[entry.claim as usize],
        basis: entry.basis,
        claim: entry.claim,
    };
    for entry in entries {
        if entry.basis == Basis::Diagram {
            sights.push(sight(Where::Scope(entry.scope), entry));
        } else if entry.basis.is_observation() && entry.seen != 0 {
            of_hands.entry((entry.person, entry.seen)).or_default().push(entry);
        }
    }
    for ((_, seen), notes) in of_hands {
        let at = Where::Seen(seen - 1);
        let together = notes.iter().fold(u32::MAX, |all, entry| all & bits[entry.claim as usize]);
        let strongest = notes.iter().min_by_key(|entry| entry.basis);
        match strongest {
            Some(entry) if together != 0 => sights.push(Sight { allows: together, ..sight(at, entry) }),
            _ => sights.extend(notes.iter().map(|entry| sight(at, entry))),
        }
    }
    let _ = bucket;
    sights.sort_unstable();
    sights
}

fn rows(bucket: &Bucket, values: &[Claim], sights: Vec<Sight>, asked: &Vehicle, doubt: &Doubt) -> Vec<Row> {
    let mut of_value: BTreeMap<u32, u32> = BTreeMap::new();
    for sight in &sights {
        *of_value.entry(sight.allows).or_default() += 1;
    }
    let all = sights.len() as f64;
    let mut looks = Looks::new(bucket, values);
    let mut rows: Vec<Row> = Vec::new();
    let mut last: Option<Sight> = None;
    for sight in sights {
        if let (Some(row), Some(known)) = (rows.last_mut(), last)
            && known == sight
        {
            row.count += 1;
            continue;
        }
        last = Some(sight);
        let count = of_value[&sight.allows];
        rows.push(Row {
            at: sight.at,
            year: year_of(bucket, sight.at, asked),
            allows: sight.allows,
            count: 1,
            likely: likely(&sight, count, &mut looks, doubt),
            anywhere: f64::from(count) / all,
        });
    }
    rows.sort_by_key(|row| row.year);
    rows
}

/// The model year of a vehicle; where it is not known, the year nearest to the asked one that is possible.
fn year_of(bucket: &Bucket, at: Where, asked: &Vehicle) -> ModelYear {
    let usual = asked.year().unwrap_or(ModelYear::new(2015));
    match at {
        Where::Seen(seen) => bucket.seen[seen as usize].year().unwrap_or(usual),
        Where::Scope(scope) => {
            let years = bucket.scopes[scope as usize].years();
            let year = years.from().map_or(usual, |from| usual.max(from));
            years.to().map_or(year, |to| year.min(to))
        }
    }
}

/// How likely it is that this was written, for each value that may be true. A slip falls on one of many values, on
/// one that is commonly confused rather, and on one on which others slipped rather.
fn likely(sight: &Sight, count: u32, looks: &mut Looks<'_>, doubt: &Doubt) -> Each {
    let slip = doubt.slip(sight.basis);
    let once = 1.0 / doubt.changes.other_values;
    let share = if count <= 1 {
        once
    } else {
        let rest = f64::from(count - 1) / f64::from(count);
        once.powf(1.0 - rest) * doubt.slips.repeated.powf(rest)
    };
    let mut likely = [0.0; SLOTS];
    for (value, chance) in likely.iter_mut().enumerate().take(looks.values.len()) {
        *chance = if sight.allows >> value & 1 == 1 {
            1.0 - slip
        } else if looks.confused(sight.claim, value) {
            slip * share.max(doubt.slips.confused)
        } else {
            slip * share
        };
    }
    likely[looks.values.len()] =
        if sight.allows == 0 { (1.0 - slip) * once + slip * share } else { slip * share };
    likely
}

/// Which values are commonly confused with which, each colour read when it is first needed.
struct Looks<'b> {
    bucket: &'b Bucket,
    column: Option<usize>,
    values: &'b [Claim],
    read: BTreeMap<u16, Option<Colour>>,
}

impl<'b> Looks<'b> {
    fn new(bucket: &'b Bucket, values: &'b [Claim]) -> Self {
        let column = bucket.columns.iter().position(|column| column.field == "colour");
        Self { bucket, column, values, read: BTreeMap::new() }
    }

    /// Whether a claim differs from a value in nothing but a colour that is taken for the other.
    fn confused(&mut self, claim: u32, value: usize) -> bool {
        let Some(column) = self.column else { return false };
        let (claim, value) = (&self.bucket.claims[claim as usize], &self.values[value]);
        let mut differing = self.bucket.differing(claim, value);
        if differing.next() != Some(column) || differing.next().is_some() {
            return false;
        }
        let (a, b) = (claim[column], value[column]);
        match (self.colour(column, a), self.colour(column, b)) {
            (Some(a), Some(b)) => colour::commonly_confused(&a, &b),
            _ => false,
        }
    }

    fn colour(&mut self, column: usize, cell: u16) -> Option<Colour> {
        let text = self.bucket.columns[column].text(cell)?;
        self.read.entry(cell).or_insert_with(|| Colour::parse(text).ok()).clone()
    }
}
