//! What was seen of one instance, folded for weighing: which values could be true, and for each seen vehicle which
//! of them its notes allow.
//!
//! One observation is one hand on one vehicle, whatever it wrote how often. A diagram is one observation of the
//! vehicle asked about, or of the one nearest to it that the diagram takes in. Word of mouth is none.

use std::collections::BTreeMap;

use super::doubt::Doubt;
use crate::judge::answer::{backs, colour_column, colour_relation, completes, plainer, same_instance};
use crate::judge::bucket::{Bucket, Claim, Entry};
use crate::note::Basis;
use crate::value::Relation;
use crate::value::colour::{self, Colour};
use crate::vehicle::{ModelYear, Vehicle};

/// The most values that are weighed by name; rarer ones are slips or something else.
pub const MOST: usize = 5;

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
    allows: u32,
    /// How many.
    pub count: u32,
    /// How likely one of them was written, for each value that may be true; 0 for what is not used.
    pub once: Each,
    /// The same where the model year may be off, and the vehicle be another.
    pub once_blurred: Each,
    /// How likely all of them were.
    pub likely: Each,
    /// The same where the model year may be off.
    pub blurred: Each,
}

/// Everything that was seen of one instance.
#[derive(Debug, Clone)]
pub struct Evidence {
    /// The values that may be true, as claims of the bucket: `MOST` at most.
    pub values: Vec<Claim>,
    /// Those among them whose colour is known to have no tracer, though some notes tell one.
    plain: Vec<Claim>,
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

impl Sight {
    /// One number to put what was seen in order, and what is alike together.
    fn place(&self) -> u128 {
        let at = match self.at {
            Where::Seen(seen) => u128::from(seen),
            Where::Scope(scope) => 1 << 32 | u128::from(scope),
        };
        let (basis, claim) = (self.basis as u128, u128::from(self.claim));
        at << 72 | u128::from(self.allows) << 40 | basis << 32 | claim
    }
}

impl Evidence {
    /// Gathers what was seen of the instance of which `candidates` are the possible values. `asked` is the vehicle
    /// in question.
    #[must_use]
    pub fn gather(bucket: &Bucket, candidates: &[Claim], asked: &Vehicle, doubt: &Doubt) -> Self {
        let speaks = |claim: &Claim| {
            (bucket.agreeing().any(|at| claim[at] != 0)
                || candidates.iter().any(|value| backs(bucket, claim, value)))
                && (!bucket.several || candidates.iter().any(|value| same_instance(bucket, claim, value)))
        };
        let speaking: Vec<bool> = bucket.claims.iter().map(speaks).collect();
        let entries: Vec<&Entry> = bucket.live().filter(|entry| speaking[entry.claim as usize]).collect();
        let plain = plainer(bucket, candidates, entries.iter().copied());
        let candidates: Vec<Claim> = candidates.iter().chain(&plain).cloned().collect();
        let values = most_seen(bucket, candidates, &entries, asked);
        let fits = Fits::new(bucket, &values, &plain);
        let sights = sights(&entries, &fits);
        let rows = rows(bucket, &fits, &sights, asked, doubt);
        Self { prior: prior(values.len(), doubt), rows, plain, values }
    }

    /// Whether one value could be true of everything that was seen.
    #[must_use]
    pub fn is_unanimous(&self) -> bool {
        (0..self.values.len()).any(|value| self.rows.iter().all(|row| row.allows >> value & 1 == 1))
    }

    /// Whether an answer is right where this value is what is true.
    #[must_use]
    pub fn is_right(&self, bucket: &Bucket, answer: &[u16], value: usize) -> bool {
        let value = &self.values[value];
        completes(bucket, value, answer)
            && !(self.plain.contains(value) && colour_relation(bucket, answer, value) == Relation::FirstFiner)
    }

    /// How many values are weighed, "none of these" among them.
    #[must_use]
    pub fn slots(&self) -> usize {
        self.values.len() + 1
    }
}

fn prior(values: usize, doubt: &Doubt) -> Each {
    let mut prior = [0.0; SLOTS];
    let each = 1.0 / doubt.changes.other_values.max(values as f64 + 1.0);
    prior[..values].fill(each);
    prior[values] = 1.0 - each * values as f64;
    prior
}

/// The candidates on which most was seen, most of it near the asked year.
fn most_seen(bucket: &Bucket, mut candidates: Vec<Claim>, entries: &[&Entry], asked: &Vehicle) -> Vec<Claim> {
    if candidates.len() <= MOST {
        return candidates;
    }
    let near = |entry: &Entry| {
        let year = bucket.seen(entry).and_then(Vehicle::year);
        let apart = year.zip(asked.year()).map_or(3, |(a, b)| a.get().abs_diff(b.get()));
        if entry.is_observation() { 24 / (1 + u32::from(apart)) + 4 } else { 1 }
    };
    let mut nearness = vec![0; bucket.claims.len()];
    entries.iter().for_each(|entry| nearness[entry.claim as usize] += near(entry));
    let weight = |value: &Claim| -> u32 {
        let fitting = bucket.claims.iter().zip(&nearness).filter(|(claim, _)| backs(bucket, claim, value));
        fitting.map(|(_, nearness)| nearness).sum()
    };
    candidates.sort_by_cached_key(|value| {
        let texts: Vec<(String, String)> =
            bucket.texts(value).map(|(a, b)| (a.to_owned(), b.to_owned())).collect();
        (std::cmp::Reverse(weight(value)), texts)
    });
    candidates.truncate(MOST);
    candidates
}

/// One for each hand and seen vehicle, and one for each diagram. What one hand wrote of one vehicle in two notes is
/// taken together, or as two where it cannot be.
fn sights(entries: &[&Entry], fits: &Fits) -> Vec<Sight> {
    let mut of_hands: Vec<(u64, &Entry)> = Vec::new();
    let mut sights = Vec::new();
    let sight = |at: Where, entry: &Entry| Sight {
        at,
        allows: fits.bits[entry.claim as usize],
        basis: entry.basis,
        claim: entry.claim,
    };
    for entry in entries {
        if entry.basis == Basis::Diagram {
            sights.push(sight(Where::Scope(entry.scope), entry));
        } else if entry.is_observation() {
            of_hands.push((entry.sighting(), entry));
        }
    }
    of_hands.sort_unstable_by_key(|(sighting, entry)| (*sighting, entry.number));
    for notes in of_hands.chunk_by(|a, b| a.0 == b.0) {
        let notes = || notes.iter().map(|(_, entry)| *entry);
        let bits = |entry: &Entry| fits.bits[entry.claim as usize];
        let together = notes().fold(u32::MAX, |all, entry| all & bits(entry));
        let finest = notes().min_by_key(|entry| (bits(entry).count_ones(), entry.claim));
        let at = |entry: &Entry| Where::Seen(entry.seen - 1);
        match finest {
            Some(entry) if together != 0 => {
                let basis = notes().map(|entry| entry.basis).min().unwrap_or(entry.basis);
                sights.push(Sight { allows: together, basis, ..sight(at(entry), entry) });
            }
            _ => sights.extend(notes().map(|entry| sight(at(entry), entry))),
        }
    }
    sights.sort_unstable_by_key(Sight::place);
    sights
}

fn rows(bucket: &Bucket, fits: &Fits, sights: &[Sight], asked: &Vehicle, doubt: &Doubt) -> Vec<Row> {
    let mut of_value = [0_u32; 1 << MOST];
    sights.iter().for_each(|sight| of_value[sight.allows as usize] += 1);
    let usual = usual_year(bucket, asked);
    let alike = sights.chunk_by(|a, b| a == b);
    let mut alike: Vec<(ModelYear, &[Sight])> =
        alike.map(|alike| (year_of(bucket, alike[0].at, usual), alike)).collect();
    alike.sort_by_key(|(year, _)| *year);
    alike
        .into_iter()
        .map(|(year, alike)| {
            let count = of_value[alike[0].allows as usize];
            let share = (f64::from(count - 1) + 1.0 / doubt.changes.other_values) / sights.len() as f64;
            row(&alike[0], alike.len(), year, likely(&alike[0], count, fits, doubt), share, doubt)
        })
        .collect()
}

/// `anywhere` is how likely what was written is of some other vehicle of the model.
fn row(sight: &Sight, count: usize, year: ModelYear, likely: Each, anywhere: f64, doubt: &Doubt) -> Row {
    let blur = |likely: Each, chance: f64| {
        likely.map(|own| if own > 0.0 { own * (1.0 - chance) + anywhere * chance } else { 0.0 })
    };
    let wide = if sight.basis == Basis::Diagram { doubt.slips.diagram_too_wide } else { 0.0 };
    let once = blur(likely, wide);
    let once_blurred = blur(once, doubt.slips.year_off);
    let power = |each: Each| match i32::try_from(count) {
        Ok(1) => each,
        Ok(count) => each.map(|chance| chance.powi(count)),
        Err(_) => each,
    };
    Row {
        at: sight.at,
        year,
        allows: sight.allows,
        count: u32::try_from(count).unwrap_or(u32::MAX),
        likely: power(once),
        blurred: power(once_blurred),
        once,
        once_blurred,
    }
}

/// The asked model year; where that is not known, the one in the middle of those seen.
fn usual_year(bucket: &Bucket, asked: &Vehicle) -> ModelYear {
    let middle = || {
        let mut seen: Vec<ModelYear> = bucket.seen.iter().filter_map(Vehicle::year).collect();
        seen.sort_unstable();
        seen.get(seen.len() / 2).copied()
    };
    asked.year().or_else(middle).unwrap_or(ModelYear::FIRST)
}

/// The model year of a vehicle. Where it is not known, the usual one; of a scope the year nearest to that.
fn year_of(bucket: &Bucket, at: Where, usual: ModelYear) -> ModelYear {
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
fn likely(sight: &Sight, count: u32, fits: &Fits, doubt: &Doubt) -> Each {
    let slip = doubt.slip(sight.basis);
    let once = 1.0 / doubt.changes.other_values;
    let share = if count <= 1 {
        once
    } else {
        let rest = f64::from(count - 1) / f64::from(count);
        once.powf(1.0 - rest) * doubt.slips.repeated.powf(rest)
    };
    let overlooked = doubt.slips.overlooked_tracer;
    let fits_of = &fits.of[sight.claim as usize];
    let mut likely = [0.0; SLOTS];
    for (chance, fit) in likely.iter_mut().zip(fits_of) {
        *chance = match fit {
            Fit::Right => 1.0 - slip,
            Fit::RightWithTracer => (1.0 - slip) * (1.0 - overlooked),
            Fit::TracerOverlooked => (1.0 - slip) * overlooked,
            Fit::Confused => slip * share.max(doubt.slips.confused),
            Fit::Slip => slip * share,
        };
    }
    let other = if sight.allows == 0 { (1.0 - slip) * once } else { 0.0 };
    likely[fits_of.len()] = other + slip * share;
    likely
}

/// How what was written stands to a value that may be true.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fit {
    Right,
    /// Right, where others left out the tracer.
    RightWithTracer,
    /// A plain colour, where the right one has a tracer that was overlooked.
    TracerOverlooked,
    /// A colour that is commonly confused with the right one, or a tracer seen where there is none.
    Confused,
    Slip,
}

/// How each claim of the bucket stands to each value.
struct Fits {
    of: Vec<Vec<Fit>>,
    /// The values that a claim allows.
    bits: Vec<u32>,
}

impl Fits {
    fn new(bucket: &Bucket, values: &[Claim], plain: &[Claim]) -> Self {
        let mut looks = Looks { bucket, column: colour_column(bucket), read: BTreeMap::new() };
        let of: Vec<Vec<Fit>> = bucket
            .claims
            .iter()
            .map(|claim| values.iter().map(|value| fit(claim, value, plain, &mut looks)).collect())
            .collect();
        let bits = |fits: &Vec<Fit>| {
            fits.iter().enumerate().filter(|(_, fit)| is_allowed(**fit)).map(|(bit, _)| 1 << bit).sum()
        };
        Self { bits: of.iter().map(bits).collect(), of }
    }
}

fn is_allowed(fit: Fit) -> bool {
    !matches!(fit, Fit::Slip | Fit::Confused)
}

fn fit(claim: &Claim, value: &Claim, plain: &[Claim], looks: &mut Looks<'_>) -> Fit {
    let bucket = looks.bucket;
    if !backs(bucket, claim, value) {
        return if looks.confused(claim, value) { Fit::Confused } else { Fit::Slip };
    }
    let told_plain = |cell: u16| looks.column.is_some_and(|at| plain.iter().any(|value| value[at] == cell));
    match (colour_relation(bucket, claim, value), looks.column) {
        (Relation::FirstFiner, _) if plain.contains(value) => Fit::Confused,
        (Relation::SecondFiner, Some(at)) if told_plain(claim[at]) => Fit::TracerOverlooked,
        (Relation::Same, _) if !plain.is_empty() && !plain.contains(value) => Fit::RightWithTracer,
        _ => Fit::Right,
    }
}

/// Which colours are commonly confused, each read when it is first needed.
struct Looks<'b> {
    bucket: &'b Bucket,
    column: Option<usize>,
    read: BTreeMap<u16, Option<Colour>>,
}

impl Looks<'_> {
    /// Whether a claim differs from a value in nothing but a colour that is taken for the other.
    fn confused(&mut self, claim: &[u16], value: &[u16]) -> bool {
        let Some(column) = self.column else { return false };
        let mut differing = self.bucket.differing(claim, value);
        if differing.next() != Some(column) || differing.next().is_some() {
            return false;
        }
        match (self.colour(column, claim[column]), self.colour(column, value[column])) {
            (Some(a), Some(b)) => colour::commonly_confused(&a, &b),
            _ => false,
        }
    }

    fn colour(&mut self, column: usize, cell: u16) -> Option<Colour> {
        let text = self.bucket.columns[column].text(cell)?;
        self.read.entry(cell).or_insert_with(|| Colour::parse(text).ok()).clone()
    }
}
