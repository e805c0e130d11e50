//! Divisions: ways in which the vehicles of a model can fall into two kinds beside their model year, by the values of
//! one attribute or by a month of manufacture.
//!
//! Which of the two kinds a vehicle is may not be known; then there is a chance of it.

use std::collections::{BTreeMap, BTreeSet};

use super::doubt::Doubt;
use super::evidence::{Evidence, Row, Where};
use crate::judge::bucket::Bucket;
use crate::note::Basis;
use crate::vehicle::{Built, Scope, Vehicle, YearMonth};

/// What divides.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum By {
    /// Vehicles with one of these values of an attribute, and the others.
    Attribute(String, BTreeSet<String>),
    /// Vehicles built before this month, and the others.
    Built(YearMonth),
}

/// One way to divide the vehicles in two.
#[derive(Debug, Clone)]
pub struct Division {
    /// What divides.
    pub by: By,
    /// Whether notes name it in their scopes.
    pub named: bool,
    /// Its share of the chance that something of its sort divides.
    pub share: f64,
    /// For each row of the evidence, the chance that its vehicle is of the first kind.
    pub rows: Vec<f64>,
    /// The chance that the asked vehicle is of the first kind.
    pub asked: f64,
}

/// The most values of one attribute, and the most months, that are tried.
const MOST_VALUES: usize = 6;
const MOST_MONTHS: usize = 8;

/// All divisions that something that was seen, claimed or asked gives reason for.
#[must_use]
pub fn all(bucket: &Bucket, evidence: &Evidence, asked: &Vehicle, doubt: &Doubt) -> Vec<Division> {
    let mut found = by_attributes(bucket, evidence, asked, doubt);
    found.extend(by_months(bucket, evidence, asked, doubt));
    found
}

/// The scopes of notes that are no word of mouth, each once: thousands of notes have some hundreds.
fn claimed(bucket: &Bucket) -> impl Iterator<Item = &Scope> {
    let mut is_claimed = vec![false; bucket.scopes.len()];
    for entry in bucket.live().filter(|entry| entry.basis != Basis::Told) {
        is_claimed[entry.scope as usize] = true;
    }
    bucket.scopes.iter().zip(is_claimed).filter(|(_, is_claimed)| *is_claimed).map(|(scope, _)| scope)
}

/// The seen vehicles of the evidence, each with how many observations were made on it.
fn seen<'b>(bucket: &'b Bucket, evidence: &Evidence) -> impl Iterator<Item = (&'b Vehicle, u32)> {
    let mut counts = vec![0; bucket.seen.len()];
    for row in &evidence.rows {
        if let Where::Seen(seen) = row.at {
            counts[seen as usize] += row.count;
        }
    }
    bucket.seen.iter().zip(counts).filter(|(_, count)| *count > 0)
}

/// For each row what `of` says of its vehicle, worked out once for each, or of its scope.
fn of_rows(
    bucket: &Bucket,
    evidence: &Evidence,
    of: impl Fn(&Vehicle) -> f64,
    of_scope: impl Fn(&Scope) -> f64,
) -> Vec<f64> {
    let mut known: Vec<Option<f64>> = vec![None; bucket.seen.len()];
    let row = |row: &Row| match row.at {
        Where::Seen(seen) => *known[seen as usize].get_or_insert_with(|| of(&bucket.seen[seen as usize])),
        Where::Scope(scope) => of_scope(&bucket.scopes[scope as usize]),
    };
    evidence.rows.iter().map(row).collect()
}

/// The values of one attribute among vehicles and scopes, and how often each was seen.
#[derive(Default)]
struct Known<'b> {
    seen: BTreeMap<&'b str, u32>,
    named: bool,
}

fn by_attributes(bucket: &Bucket, evidence: &Evidence, asked: &Vehicle, doubt: &Doubt) -> Vec<Division> {
    let mut known: BTreeMap<&str, Known<'_>> = BTreeMap::new();
    for (vehicle, count) in seen(bucket, evidence) {
        for (name, value) in vehicle.attributes() {
            *known.entry(name).or_default().seen.entry(value).or_default() += count;
        }
    }
    for (name, value) in asked.attributes() {
        known.entry(name).or_default().seen.entry(value).or_default();
    }
    for scope in claimed(bucket) {
        for (name, values) in scope.only() {
            let known = known.entry(name).or_default();
            known.named = true;
            values.iter().for_each(|value| {
                known.seen.entry(value).or_default();
            });
        }
    }
    known.retain(|_, known| known.seen.len() > 1);
    let weight = |known: &Known<'_>| if known.named { doubt.changes.scope_names_attribute } else { 1.0 };
    let whole = doubt.changes.unnamed_attributes + known.values().map(weight).sum::<f64>();
    known
        .iter()
        .flat_map(|(name, known)| groups(known).into_iter().map(move |group| (*name, known, group)))
        .map(|(name, known, (group, share))| {
            let share = share * weight(known) / whole;
            by_attribute(bucket, evidence, asked, name, known, group, share)
        })
        .collect()
}

/// The groups of values that are set against the rest, with their shares: each single value; of two, one says all.
fn groups<'b>(known: &Known<'b>) -> Vec<(BTreeSet<&'b str>, f64)> {
    let mut values: Vec<(&str, u32)> = known.seen.iter().map(|(value, count)| (*value, *count)).collect();
    values.sort_by_key(|(value, count)| (std::cmp::Reverse(*count), *value));
    values.truncate(MOST_VALUES);
    let tried = if values.len() == 2 { 1 } else { values.len() };
    values[..tried].iter().map(|(value, _)| (BTreeSet::from([*value]), 1.0 / tried as f64)).collect()
}

fn by_attribute(
    bucket: &Bucket,
    evidence: &Evidence,
    asked: &Vehicle,
    name: &str,
    known: &Known<'_>,
    group: BTreeSet<&str>,
    share: f64,
) -> Division {
    let of = |wanted: bool| -> u32 {
        known.seen.iter().filter(|(value, _)| group.contains(*value) == wanted).map(|(_, count)| count).sum()
    };
    let common = (f64::from(of(true)) + 1.0) / (f64::from(of(true) + of(false)) + 2.0);
    let kind = |vehicle: &Vehicle| {
        vehicle.attribute(name).map_or(common, |value| if group.contains(value) { 1.0 } else { 0.0 })
    };
    let asked = kind(asked);
    let of_scope = |scope: &Scope| match scope.allowed(name) {
        Some(allowed) if allowed.iter().all(|value| group.contains(value.as_str())) => 1.0,
        Some(allowed) if allowed.iter().all(|value| !group.contains(value.as_str())) => 0.0,
        _ => common,
    };
    let rows = of_rows(bucket, evidence, kind, of_scope);
    let group = group.into_iter().map(str::to_owned).collect();
    Division { by: By::Attribute(name.to_owned(), group), named: known.named, share, rows, asked }
}

fn by_months(bucket: &Bucket, evidence: &Evidence, asked: &Vehicle, doubt: &Doubt) -> Vec<Division> {
    let mut known: BTreeSet<YearMonth> = BTreeSet::new();
    let mut add = |built: Built| known.extend(built.from().into_iter().chain(built.to()));
    seen(bucket, evidence).for_each(|(vehicle, _)| add(vehicle.built()));
    if known.is_empty() && bucket.scopes.iter().all(|scope| scope.built().is_all()) {
        return Vec::new();
    }
    let mut add = |built: Built| known.extend(built.from().into_iter().chain(built.to()));
    claimed(bucket).for_each(|scope| add(scope.built()));
    add(asked.built());
    let months: Vec<YearMonth> = known.into_iter().collect();
    let whole = doubt.changes.life * 12.0;
    let mut found: Vec<Division> = months
        .windows(2)
        .map(|pair| {
            let apart = number(pair[1]) - number(pair[0]);
            by_month(bucket, evidence, asked, pair[1], (apart / whole).min(1.0))
        })
        .collect();
    found.sort_by(|a, b| b.share.total_cmp(&a.share));
    found.truncate(MOST_MONTHS);
    found
}

fn number(month: YearMonth) -> f64 {
    f64::from(month.year()) * 12.0 + f64::from(month.month()) - 1.0
}

fn by_month(bucket: &Bucket, evidence: &Evidence, asked: &Vehicle, from: YearMonth, share: f64) -> Division {
    let kind = |vehicle: &Vehicle| earlier(vehicle, from);
    let asked = kind(asked);
    let rows = of_rows(bucket, evidence, kind, |_| asked);
    Division { by: By::Built(from), named: false, share, rows, asked }
}

/// The chance that a vehicle was built before a month. Where no build date is known: a model year is built from July
/// of the year before to June; common practice, no source.
fn earlier(vehicle: &Vehicle, from: YearMonth) -> f64 {
    let built = vehicle.built();
    let (first, last) = match (built.from(), built.to(), vehicle.year()) {
        (Some(first), Some(last), _) => (number(first), number(last)),
        (_, _, Some(year)) => (f64::from(year.get()) * 12.0 - 6.0, f64::from(year.get()) * 12.0 + 5.0),
        _ => return 0.5,
    };
    ((number(from) - first) / (last - first + 1.0)).clamp(0.0, 1.0)
}
