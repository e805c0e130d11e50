//! The scope of a note within one make and model: model years, build dates and qualifiers, a box in
//! as many dimensions.
//!
//! It owns the box, its texts, and the arithmetic of two boxes. How one vehicle matches stands in
//! `matching`, and sets of boxes are made few in `boxes`. Make and model are the caller's.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use super::attribute::Vocabulary;
use super::built::Built;
use super::years::{ModelYear, Years};
use super::{DEFAULT_DRIVE, DRIVE};
use crate::value::Misread;

/// The values that a scope allows, by attribute; an attribute that is absent allows every value.
pub type Only = BTreeMap<String, BTreeSet<String>>;

/// The vehicles that a note claims to cover, within one make and model.
///
/// One meaning has one form: a qualifier that allows every value is absent, and so is `drive=lhd`,
/// which is what an absent `drive` means.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Scope {
    years: Years,
    built: Built,
    only: Only,
}

/// The set that an absent `drive` stands for.
static ASSUMED_DRIVE: LazyLock<BTreeSet<String>> =
    LazyLock::new(|| BTreeSet::from([DEFAULT_DRIVE.to_owned()]));

impl Scope {
    /// A scope of these years, build dates and qualifiers. An empty set of values restricts nothing.
    #[must_use]
    pub fn new(years: Years, built: Built, only: Only) -> Self {
        let only = only.into_iter().filter(|(attribute, values)| says_something(attribute, values)).collect();
        Self { years, built, only }
    }

    /// All vehicles of these years.
    #[must_use]
    pub fn of_years(years: Years) -> Self {
        Self::new(years, Built::ALL, Only::new())
    }

    /// All vehicles of all years that have one of these values: the cell of a cut.
    #[must_use]
    pub fn of_values<'a>(attribute: &str, values: impl IntoIterator<Item = &'a str>) -> Self {
        let values = values.into_iter().map(str::to_owned).collect();
        Self::new(Years::ALL, Built::ALL, Only::from([(attribute.to_owned(), values)]))
    }

    /// All vehicles built in these months.
    #[must_use]
    pub fn of_built(built: Built) -> Self {
        Self::new(Years::ALL, built, Only::new())
    }

    /// Reads the texts of the columns `years` and `only`.
    ///
    /// # Errors
    /// As [`Years::parse`] and [`Vocabulary::parse_only`].
    pub fn parse(
        years: &str,
        only: &str,
        vocabulary: &Vocabulary,
        today: ModelYear,
    ) -> Result<Self, Misread> {
        let years = Years::parse(years, today)?;
        let qualifiers = vocabulary.parse_only(only, today)?;
        Ok(Self::new(years, qualifiers.built, qualifiers.only))
    }

    /// The model years.
    #[must_use]
    pub fn years(&self) -> Years {
        self.years
    }

    /// The build dates; all where none are named.
    #[must_use]
    pub fn built(&self) -> Built {
        self.built
    }

    /// The qualifiers, without those that restrict nothing.
    #[must_use]
    pub fn only(&self) -> &Only {
        &self.only
    }

    /// The values allowed of an attribute; `None` where every one is. An absent `drive` allows `lhd`.
    #[must_use]
    pub fn allowed(&self, attribute: &str) -> Option<&BTreeSet<String>> {
        self.only.get(attribute).or_else(|| (attribute == DRIVE).then(|| &*ASSUMED_DRIVE))
    }

    /// The attributes that this scope or another names, each once.
    pub(super) fn named_by_either<'a>(&'a self, other: &'a Self) -> impl Iterator<Item = &'a str> {
        let others = other.only.keys().filter(|attribute| !self.only.contains_key(*attribute));
        self.only.keys().chain(others).map(String::as_str)
    }

    /// Whether some vehicle lies in both: every dimension meets.
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        let meet = |attribute: &str| match (self.allowed(attribute), other.allowed(attribute)) {
            (Some(a), Some(b)) => !a.is_disjoint(b),
            _ => true,
        };
        self.years.overlaps(&other.years)
            && self.built.overlaps(&other.built)
            && self.named_by_either(other).all(meet)
    }

    /// The vehicles that lie in both; `None` where there are none.
    #[must_use]
    pub fn intersection(&self, other: &Self) -> Option<Self> {
        let years = self.years.intersection(&other.years)?;
        let built = self.built.intersection(&other.built)?;
        let mut only = Only::new();
        for attribute in self.named_by_either(other) {
            let values: BTreeSet<String> = match (self.allowed(attribute), other.allowed(attribute)) {
                (Some(a), Some(b)) => a.intersection(b).cloned().collect(),
                (Some(one), None) | (None, Some(one)) => one.clone(),
                (None, None) => continue,
            };
            if values.is_empty() {
                return None;
            }
            // A part of what restricts something restricts it too: only the assumed drive may have to go.
            if attribute != DRIVE || values != *ASSUMED_DRIVE {
                only.insert(attribute.to_owned(), values);
            }
        }
        Some(Self { years, built, only })
    }

    /// Whether every vehicle of `other` lies in this scope.
    #[must_use]
    pub fn contains(&self, other: &Self) -> bool {
        let holds = |attribute: &str| match (self.allowed(attribute), other.allowed(attribute)) {
            (None, _) => true,
            (Some(_), None) => false,
            (Some(a), Some(b)) => b.is_subset(a),
        };
        self.years.contains(&other.years)
            && self.built.contains(&other.built)
            && self.named_by_either(other).all(holds)
    }

    /// The vehicles that lie in either, where they are one box: one scope holds the other, or they
    /// differ in one dimension only and join there.
    #[must_use]
    pub fn union_if_box(&self, other: &Self) -> Option<Self> {
        if self.contains(other) {
            return Some(self.clone());
        }
        if other.contains(self) {
            return Some(other.clone());
        }
        match self.differing_dimensions(other).as_slice() {
            [one] => self.joined_along(one, other),
            _ => None,
        }
    }

    fn differing_dimensions<'a>(&'a self, other: &'a Self) -> Vec<&'a str> {
        let mut differing = Vec::new();
        if self.years != other.years {
            differing.push(super::YEAR);
        }
        if self.built != other.built {
            differing.push(super::BUILT);
        }
        let unequal = |attribute: &&str| self.allowed(attribute) != other.allowed(attribute);
        differing.extend(self.named_by_either(other).filter(unequal));
        differing
    }

    /// The union of two scopes that are equal but for one dimension.
    fn joined_along(&self, dimension: &str, other: &Self) -> Option<Self> {
        let (mut years, mut built, mut only) = (self.years, self.built, self.only.clone());
        match dimension {
            super::YEAR => years = years.joined(&other.years)?,
            super::BUILT => built = built.joined(&other.built)?,
            attribute => {
                // Neither holds the other, so neither allows every value.
                let both = self.allowed(attribute)?.union(other.allowed(attribute)?).cloned().collect();
                only.insert(attribute.to_owned(), both);
            }
        }
        Some(Self::new(years, built, only))
    }

    /// The canonical text of the `only` column: `built=2017-09..; cab=crew; trim=EX|LX`.
    #[must_use]
    pub fn only_text(&self) -> String {
        let built = (!self.built.is_all()).then(|| format!("built={}", self.built));
        let join =
            |values: &BTreeSet<String>| values.iter().map(String::as_str).collect::<Vec<_>>().join("|");
        let only = self.only.iter().map(|(attribute, values)| format!("{attribute}={}", join(values)));
        built.into_iter().chain(only).collect::<Vec<_>>().join("; ")
    }

    /// The scope in plain words: `2015-2019, crew cab or extended cab, tow package`.
    #[must_use]
    pub fn describe(&self, vocabulary: &Vocabulary) -> String {
        let mut said = vec![self.years.plain()];
        if !self.built.is_all() {
            said.push(self.built.plain());
        }
        said.extend(self.only.iter().map(|(attribute, values)| vocabulary.plain_any(attribute, values)));
        said.join(", ")
    }

    /// `{"years": [2015, 2019], "built": ["2017-09", null], "only": {"tow": ["yes"]}}`: an open end
    /// is `null`, and `built` stands only where build dates are named.
    #[must_use]
    pub fn to_json(&self) -> impl Serialize + use<'_> {
        #[derive(Serialize)]
        struct Shape<'s> {
            years: [Option<ModelYear>; 2],
            #[serde(skip_serializing_if = "Option::is_none")]
            built: Option<[Option<String>; 2]>,
            only: &'s Only,
        }
        Shape { years: self.years.ends(), built: self.built.ends_named(), only: &self.only }
    }
}

/// Whether a qualifier restricts a scope, compared with its absence.
fn says_something(attribute: &str, values: &BTreeSet<String>) -> bool {
    if attribute == DRIVE {
        return !values.is_empty() && *values != *ASSUMED_DRIVE;
    }
    let all = Vocabulary::builtin().attribute(attribute).is_some_and(|known| known.are_all(values));
    !values.is_empty() && !all
}

#[cfg(test)]
mod tests {
    use super::{ModelYear, Scope, Vocabulary};

    fn scope(years: &str, only: &str) -> Scope {
        Scope::parse(years, only, Vocabulary::builtin(), ModelYear::new(2026))
            .expect("a test scope is readable")
    }

    #[test]
    fn json_and_plain_words() {
        let check = |years: &str, only: &str, json: &str, plain: &str| {
            let scope = scope(years, only);
            assert_eq!(serde_json::to_string(&scope.to_json()).expect("a scope"), json);
            assert_eq!(scope.describe(Vocabulary::builtin()), plain);
        };
        check(
            "2015-2019",
            "tow=yes",
            r#"{"years":[2015,2019],"only":{"tow":["yes"]}}"#,
            "2015-2019, tow package",
        );
        check("2016", "", r#"{"years":[2016,2016],"only":{}}"#, "2016");
        check(
            "2015-",
            "cab=crew|ext; trim=lx|ex",
            r#"{"years":[2015,null],"only":{"cab":["crew","extended"],"trim":["EX","LX"]}}"#,
            "2015 and later, crew cab or extended cab, trim level EX or LX",
        );
        check(
            "2017",
            "built=2017-09..",
            r#"{"years":[2017,2017],"built":["2017-09",null],"only":{}}"#,
            "2017, built from 2017-09",
        );
    }

    #[test]
    fn boxes_meet_and_join() {
        let check = |a: (&str, &str),
                     b: (&str, &str),
                     meet: Option<(&str, &str)>,
                     union: Option<(&str, &str)>| {
            let (a, b) = (scope(a.0, a.1), scope(b.0, b.1));
            assert_eq!(a.intersection(&b), meet.map(|(years, only)| scope(years, only)), "{a:?} and {b:?}");
            assert_eq!(a.union_if_box(&b), union.map(|(years, only)| scope(years, only)), "{a:?} with {b:?}");
        };
        check(("2015-2017", ""), ("2017-2019", ""), Some(("2017", "")), Some(("2015-2019", "")));
        check(("2015-2017", "tow=yes"), ("2017-2019", ""), Some(("2017", "tow=yes")), None);
        check(("2015-2017", "tow=yes"), ("2015-2017", "tow=no"), None, Some(("2015-2017", "")));
        check(("2015", "cab=crew"), ("2015", "cab=ext"), None, Some(("2015", "cab=crew|extended")));
        check(("2015", "drive=rhd"), ("2015", ""), None, Some(("2015", "drive=lhd|rhd")));
        check(("2017", "built=..2017-08"), ("2017", "built=2017-09.."), None, Some(("2017", "")));
        check(("2017", "built=..2017-08"), ("2017", "built=2017-10.."), None, None);
        check(("2015", ""), ("2017", ""), None, None);
    }
}
