//! The vehicles of a model as a grid: every cell holds vehicles that all scopes at hand treat alike, with one vehicle
//! that stands for them.

use std::collections::BTreeSet;

use serde::Serialize;

use super::attribute::Vocabulary;
use super::built::{Built, YearMonth};
use super::matching::Match;
use super::partial::Vehicle;
use super::scope::{Only, Scope};
use super::span::{Span, Step};
use super::years::{ModelYear, Years};

/// A cell of the grid.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    /// The vehicles in it, a box.
    pub scope: Scope,
    /// One that stands for them.
    pub vehicle: Vehicle,
}

/// What may not be known of a vehicle: `year`, `built`, or attributes by name.
pub type Unknown = BTreeSet<String>;

/// Vehicles of a box, but for those with some values, of which something is not known.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Kind {
    /// What is not known of them.
    pub unknown: Unknown,
    /// The box.
    pub scope: Scope,
    /// The values of attributes that are not meant.
    pub not: Only,
}

impl Kind {
    /// Whether a vehicle is meant of which everything that matters is known, but for what is not known of these.
    #[must_use]
    pub fn takes_in(&self, vehicle: &Vehicle) -> bool {
        let left_out = |(name, values): (&String, &BTreeSet<String>)| {
            vehicle.attribute(name).is_some_and(|value| values.contains(value))
        };
        self.scope.matches(vehicle) == Match::Applies && !self.not.iter().any(left_out)
    }

    /// In plain words: `2015-2019, tow package, not trim level LX, cab not told`.
    #[must_use]
    pub fn describe(&self, vocabulary: &Vocabulary) -> String {
        let not = self.not.iter().map(|(name, values)| format!("not {}", vocabulary.plain_any(name, values)));
        let rest = self.unknown.iter().filter(|name| *name != YEAR);
        let rest = rest.map(|name| format!("{} not told", vocabulary.title(name)));
        // A box says nothing of years that it does not restrict but that they are all.
        let box_told = self.scope.describe(vocabulary);
        let first = match self.unknown.contains(YEAR) {
            true => box_told.replacen("all years", "year not told", 1),
            false => box_told,
        };
        std::iter::once(first).chain(not).chain(rest).collect::<Vec<_>>().join(", ")
    }

    /// As a scope, where values are left out with `"not": {"trim": ["LX"]}`, where something is not known with
    /// `"unknown": ["cab"]`.
    #[must_use]
    pub fn to_json(&self) -> impl Serialize + use<'_> {
        #[derive(Serialize)]
        struct Shape<'k, S: Serialize> {
            #[serde(flatten)]
            scope: S,
            #[serde(skip_serializing_if = "Only::is_empty")]
            not: &'k Only,
            #[serde(skip_serializing_if = "Unknown::is_empty")]
            unknown: &'k Unknown,
        }
        Shape { scope: self.scope.to_json(), not: &self.not, unknown: &self.unknown }
    }
}

/// The name of the model year where it may not be known.
pub const YEAR: &str = "year";
/// That of the build date.
const BUILT: &str = "built";

/// Values of one attribute that no scope tells apart, with the one that stands for them.
type Values = (BTreeSet<String>, String);

/// The pieces of each dimension.
#[derive(Debug)]
pub struct Grid {
    years: Vec<Years>,
    built: Vec<Built>,
    attributes: Vec<(String, Vec<Values>)>,
}

/// Stands for every value of an attribute that nobody named, where not all are listed. No canonical value is so
/// written: of an open attribute they are in capitals.
const ANY_OTHER: &str = "any other";

/// More values of an attribute than this, and it is shorter to say which are not meant.
const MOST_NAMED: usize = 3;

/// More cells than this and attributes are left out, the last first.
const MOST: usize = 4_000;

impl Grid {
    /// The grid in which each of these scopes is a union of cells, and the years of `seen` vehicles, and what is
    /// known of them in the attributes that scopes name, build dates among these, stand alone.
    #[must_use]
    pub fn of<'a>(
        scopes: impl IntoIterator<Item = &'a Scope>,
        seen: impl IntoIterator<Item = &'a Vehicle>,
    ) -> Self {
        let scopes: Vec<&Scope> = scopes.into_iter().collect();
        let seen: Vec<&Vehicle> = seen.into_iter().collect();
        let own_years = seen.iter().filter_map(|vehicle| vehicle.year()).map(Span::one);
        let years = pieces(scopes.iter().map(|scope| scope.years()).chain(own_years), earlier_year);
        let named = scopes.iter().any(|scope| !scope.built().is_all());
        let own_months = seen.iter().map(|vehicle| vehicle.built()).filter(|_| named);
        let built = pieces(scopes.iter().map(|scope| scope.built()).chain(own_months), earlier_month);
        let names: BTreeSet<&String> = scopes.iter().flat_map(|scope| scope.only().keys()).collect();
        let attributes: Vec<(String, Vec<Values>)> =
            names.into_iter().map(|name| (name.clone(), values(name, &scopes, &seen))).collect();
        let mut grid = Self { years, built, attributes };
        while grid.size() > MOST && grid.attributes.pop().is_some() {}
        grid
    }

    /// A box of cells, of which this is not known, as a person says it: nothing of an attribute of which it has every
    /// value, and what it leaves out of one of which it has the values that nobody named.
    #[must_use]
    pub fn kind(&self, scope: &Scope, unknown: &Unknown) -> Kind {
        let mut only = scope.only().clone();
        let mut not = Only::new();
        for (name, values) in self.attributes.iter().filter(|(name, _)| name != super::DRIVE) {
            let Some(own) = only.get(name) else { continue };
            let all = values.iter().flat_map(|(set, _)| set);
            let left_out: BTreeSet<String> = all.filter(|value| !own.contains(*value)).cloned().collect();
            if left_out.is_empty() {
                only.remove(name);
            } else if own.contains(ANY_OTHER) || own.len() > MOST_NAMED {
                only.remove(name);
                not.insert(name.clone(), left_out);
            }
        }
        Kind { unknown: unknown.clone(), scope: Scope::new(scope.years(), scope.built(), only), not }
    }

    /// What it tells vehicles apart by and may not be known of one. The side of the driver always is: a book has a usual
    /// one.
    #[must_use]
    pub fn dimensions(&self) -> Unknown {
        let own = [(YEAR, self.years.len()), (BUILT, self.built.len())];
        let own = own.into_iter().filter(|(_, pieces)| *pieces > 1).map(|(name, _)| name.to_owned());
        let names = self.attributes.iter().map(|(name, _)| name.clone());
        own.chain(names.filter(|name| name != super::DRIVE)).collect()
    }

    /// The grid of vehicles of which this is not known.
    #[must_use]
    pub fn without(&self, unknown: &Unknown) -> Self {
        let years = if unknown.contains(YEAR) { vec![Span::ALL] } else { self.years.clone() };
        let built = if unknown.contains(BUILT) { vec![Span::ALL] } else { self.built.clone() };
        let known = self.attributes.iter().filter(|(name, _)| !unknown.contains(name));
        Self { years, built, attributes: known.cloned().collect() }
    }

    /// How many cells it has.
    #[must_use]
    pub fn size(&self) -> usize {
        let values = self.attributes.iter().map(|(_, values)| values.len());
        self.years.len() * self.built.len() * values.product::<usize>()
    }

    /// All cells, in order.
    #[must_use]
    pub fn cells(&self) -> Vec<Cell> {
        let mut cells = Vec::new();
        for years in &self.years {
            for built in &self.built {
                let vehicle = Vehicle::new(years.from().or(years.to())).with_built(*built);
                self.fill(&mut cells, (*years, *built), Only::new(), vehicle, 0);
            }
        }
        cells
    }

    fn fill(
        &self,
        cells: &mut Vec<Cell>,
        (years, built): (Years, Built),
        only: Only,
        vehicle: Vehicle,
        at: usize,
    ) {
        let Some((name, values)) = self.attributes.get(at) else {
            cells.push(Cell { scope: Scope::new(years, built, only), vehicle });
            return;
        };
        for (set, one) in values {
            let mut only = only.clone();
            only.insert(name.clone(), set.clone());
            self.fill(cells, (years, built), only, vehicle.clone().with(name, one), at + 1);
        }
    }
}

fn earlier_year(year: ModelYear) -> ModelYear {
    ModelYear::new(year.get().saturating_sub(1))
}

fn earlier_month(month: YearMonth) -> YearMonth {
    let (year, number) = (month.year(), month.month());
    let before = if number == 1 { (year.saturating_sub(1), 12) } else { (year, number - 1) };
    YearMonth::new(before.0, before.1).unwrap_or(month)
}

/// Cuts a dimension wherever one of the spans begins, or has ended.
fn pieces<T: Step>(spans: impl Iterator<Item = Span<T>>, before: impl Fn(T) -> T) -> Vec<Span<T>> {
    let mut starts: BTreeSet<T> = BTreeSet::new();
    for span in spans {
        starts.extend(span.from());
        starts.extend(span.to().map(Step::following));
    }
    let starts: Vec<T> = starts.into_iter().collect();
    let (Some(first), Some(last)) = (starts.first(), starts.last()) else { return vec![Span::ALL] };
    let between = starts.windows(2).filter_map(|pair| Span::new(Some(pair[0]), Some(before(pair[1]))));
    std::iter::once(Span::ending(before(*first))).chain(between).chain([Span::starting(*last)]).collect()
}

/// The values of an attribute that something names, each alone, and the other ones that are listed, together.
fn values(name: &str, scopes: &[&Scope], seen: &[&Vehicle]) -> Vec<Values> {
    let named = scopes.iter().filter_map(|scope| scope.allowed(name)).flatten().map(String::as_str);
    let named: BTreeSet<&str> =
        named.chain(seen.iter().filter_map(|vehicle| vehicle.attribute(name))).collect();
    let known = Vocabulary::builtin().attribute(name);
    let listed = known.iter().flat_map(|known| known.values.iter().map(|value| value.name.to_string()));
    let unlisted = (!known.is_some_and(|known| known.complete)).then(|| ANY_OTHER.to_owned());
    let others: BTreeSet<String> =
        listed.chain(unlisted).filter(|value| !named.contains(value.as_str())).collect();
    let mut values: Vec<Values> =
        named.into_iter().map(|value| (BTreeSet::from([value.to_owned()]), value.to_owned())).collect();
    if let Some(one) = others.first().cloned() {
        values.push((others, one));
    }
    values
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const TODAY: ModelYear = ModelYear::new(2026);

    fn scope(years: &str, only: &str) -> Scope {
        Scope::parse(years, only, Vocabulary::builtin(), TODAY).expect("a readable scope")
    }

    #[test]
    fn every_dimension_is_cut_where_a_scope_begins_or_ends() {
        let scopes = [scope("2015-2017", "tow=yes"), scope("2017-", "built=2017-09..")];
        let grid = Grid::of(&scopes, []);
        let cells: Vec<String> = grid
            .cells()
            .iter()
            .map(|cell| format!("{} {}", cell.scope.years(), cell.scope.only_text()))
            .collect();
        assert_eq!(cells.len(), 4 * 2 * 2, "{cells:?}");
        assert!(cells.contains(&"2017 built=..2017-08; tow=no".to_owned()), "{cells:?}");
    }

    #[test]
    fn an_attribute_with_all_its_values_says_nothing() {
        let scopes = [scope("2016", "trim=LX"), scope("2016", "trim=EX")];
        let grid = Grid::of(&scopes, []);
        let all = crate::vehicle::fewest(grid.cells().into_iter().map(|cell| cell.scope).collect());
        let kinds = |boxes: &[Scope]| -> Vec<String> {
            let kind = |scope| grid.kind(scope, &Unknown::new()).describe(Vocabulary::builtin());
            boxes.iter().map(kind).collect()
        };
        assert_eq!(kinds(&all), ["all years"]);
        assert_eq!(kinds(&scopes), ["2016, trim level LX", "2016, trim level EX"]);
        let others = grid.cells().into_iter().map(|cell| cell.scope).filter(|cell| !scopes[0].overlaps(cell));
        let others: Vec<Scope> = others.filter(|cell| cell.years() == scopes[0].years()).collect();
        assert_eq!(kinds(&crate::vehicle::fewest(others)), ["2016, not trim level LX"]);
    }

    fn any_scope() -> impl Strategy<Value = Scope> {
        let years = proptest::sample::select(vec!["2015-2019", "2016", "2017-", "-2016", "all years"]);
        let only = proptest::sample::select(vec![
            "",
            "tow=yes",
            "tow=no; cab=crew",
            "trim=LX",
            "drive=rhd",
            "built=2016-05..2017-02",
        ]);
        (years, only).prop_map(|(years, only)| scope(years, only))
    }

    proptest! {
        /// The vehicle of a cell lies in a scope where the cell does, and nowhere else.
        #[test]
        fn a_scope_takes_a_cell_whole_or_not_at_all(scopes in prop::collection::vec(any_scope(), 1..5)) {
            for cell in Grid::of(&scopes, []).cells() {
                for scope in &scopes {
                    prop_assert_eq!(scope.contains(&cell.scope), scope.overlaps(&cell.scope));
                    prop_assert_eq!(scope.matches(&cell.vehicle) == Match::Applies, scope.contains(&cell.scope));
                }
            }
        }
    }
}
