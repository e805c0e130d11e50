//! Makers, models and people that look like another spelling of a known one. Nothing is corrected: it is told.

use std::collections::{BTreeMap, BTreeSet};

use crate::vehicle::names::{fold, nearest};

/// A name that came in and looks like another.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
pub struct Lookalike {
    /// The name as it came in.
    pub written: String,
    /// The known name that it resembles.
    pub known: String,
}

/// The names among `read` that were not known before and resemble a name that was, or that was read more often.
/// Both lists are pairs of maker and model as written, with the number of notes.
#[must_use]
pub fn lookalikes(read: &BTreeMap<(String, String), usize>, known: &[(String, String)]) -> Vec<Lookalike> {
    let mut found = BTreeSet::new();
    let known_makes: BTreeMap<String, &str> =
        known.iter().map(|(make, _)| (fold(make), make.as_str())).collect();
    let mut makes: BTreeMap<String, (&str, usize)> = BTreeMap::new();
    for ((make, _), count) in read {
        makes.entry(fold(make)).or_insert((make, 0)).1 += count;
    }
    for (key, (make, count)) in &makes {
        if known_makes.contains_key(key) {
            continue;
        }
        let more_read = makes.iter().filter(|(_, (_, other))| other > count);
        let more_read = more_read.map(|(key, (name, _))| (key.as_str(), *name));
        let candidates: BTreeMap<&str, &str> =
            known_makes.iter().map(|(key, name)| (key.as_str(), *name)).chain(more_read).collect();
        found.extend(resembling(key, make, candidates.into_iter(), "", ""));
    }
    found.extend(models(read, known));
    found.into_iter().collect()
}

/// The same for models, each within its maker.
fn models(read: &BTreeMap<(String, String), usize>, known: &[(String, String)]) -> BTreeSet<Lookalike> {
    let keyed = |make: &str, model: &str| (fold(make), fold(model));
    let known_keys: BTreeSet<(String, String)> =
        known.iter().map(|(make, model)| keyed(make, model)).collect();
    let mut by_make: BTreeMap<String, BTreeMap<String, (&str, usize)>> = BTreeMap::new();
    for (make, model) in known {
        by_make.entry(fold(make)).or_default().insert(fold(model), (model, usize::MAX));
    }
    for ((make, model), count) in read {
        by_make.entry(fold(make)).or_default().entry(fold(model)).or_insert((model, *count));
    }
    let mut found = BTreeSet::new();
    for ((make, model), count) in read {
        let (make_key, model_key) = keyed(make, model);
        if known_keys.contains(&(make_key.clone(), model_key.clone())) {
            continue;
        }
        let candidates = by_make.get(&make_key).into_iter().flatten();
        let candidates = candidates.filter(|(_, (_, other))| other > count);
        let candidates = candidates.map(|(key, (name, _))| (key.as_str(), *name));
        found.extend(resembling(&model_key, model, candidates, make, " "));
    }
    found
}

/// `candidates` are keys with names, sorted.
fn resembling<'k>(
    key: &str,
    written: &str,
    candidates: impl Iterator<Item = (&'k str, &'k str)>,
    make: &str,
    gap: &str,
) -> Option<Lookalike> {
    // Names that differ in their figures are different models, not slips: T100 and T200.
    let alike: Vec<(&str, &str)> =
        candidates.filter(|(other, _)| *other != key && figures(other).eq(figures(key))).collect();
    let near = nearest(key, alike.iter().map(|(other, _)| *other)).first().copied()?;
    let (_, known) = alike.iter().find(|(other, _)| *other == near)?;
    Some(Lookalike { written: format!("{make}{gap}{written}"), known: format!("{make}{gap}{known}") })
}

fn figures(text: &str) -> impl Iterator<Item = u8> {
    text.bytes().filter(u8::is_ascii_digit)
}

/// The one of the known people whom a name may mean that is none of theirs: the same family name where first names
/// agree as far as both are written (`Okafor`, `Rosa Okafor` and `R. Okafor`), or a slip of the pen.
#[must_use]
pub fn like_person<'k>(written: &str, known: &'k [String]) -> Option<&'k str> {
    let key = fold(written);
    if known.iter().any(|name| fold(name) == key) {
        return None;
    }
    let own = words(written);
    known.iter().find(|name| may_be_one(&own, &words(name))).map(String::as_str)
}

fn words(name: &str) -> Vec<String> {
    name.split(|c: char| !c.is_alphanumeric()).map(fold).filter(|word| !word.is_empty()).collect()
}

fn may_be_one(a: &[String], b: &[String]) -> bool {
    let (Some((last_a, first_a)), Some((last_b, first_b))) = (a.split_last(), b.split_last()) else {
        return false;
    };
    let agree = |(a, b): (&String, &String)| a.starts_with(b.as_str()) || b.starts_with(a.as_str());
    let same = last_a == last_b || !nearest(last_a, [last_b.as_str()]).is_empty();
    same && first_a.iter().zip(first_b).all(agree)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(read: &[(&str, &str, usize)], known: &[(&str, &str)], expected: &[&str]) {
        let read = read
            .iter()
            .map(|(make, model, count)| (((*make).to_owned(), (*model).to_owned()), *count))
            .collect();
        let known: Vec<_> =
            known.iter().map(|(make, model)| ((*make).to_owned(), (*model).to_owned())).collect();
        let got: Vec<String> = lookalikes(&read, &known)
            .into_iter()
            .map(|found| format!("{} ~ {}", found.written, found.known))
            .collect();
        assert_eq!(got, expected);
    }

    #[test]
    fn slips_are_told_and_differences_are_not() {
        check(&[("Quilon", "Tarn", 1)], &[("Quillon", "Tarn")], &["Quilon ~ Quillon"]);
        check(&[("Quillon", "Tarm", 1), ("Quillon", "Tarn", 9)], &[], &["Quillon Tarm ~ Quillon Tarn"]);
        check(&[("Quillon", "T200", 1), ("Quillon", "T100", 9)], &[], &[]);
        check(&[("QUILLON", "tarn", 1)], &[("Quillon", "Tarn")], &[]);
        check(&[("Ostrava", "Mire", 1)], &[("Quillon", "Tarn")], &[]);
    }

    #[test]
    fn a_person_in_another_spelling() {
        let known = ["R. Okafor", "M. Haugli", "J. Amadi"].map(str::to_owned);
        for (written, expected) in [
            ("Okafor", Some("R. Okafor")),
            ("Rosa Okafor", Some("R. Okafor")),
            ("T. Okafor", None),
            ("r okafor", None),
            ("M. Haugly", Some("M. Haugli")),
            ("J. Amadi", None),
            ("K. Oyelaran", None),
            ("", None),
        ] {
            assert_eq!(like_person(written, &known), expected, "{written}");
        }
    }
}
