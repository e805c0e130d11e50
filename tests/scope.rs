//! Scopes against a SAT solver (varisat) and against the plain counting of cells.
//!
//! Each dimension is given a small finite domain with a variable for each of its values, exactly one
//! of which is true. What a scope or a vehicle says is written as clauses straight from the words of
//! the definition, without any of the arithmetic under test. The random cases have a fixed seed.

#[path = "judge/random.rs"]
mod random;

use std::collections::{BTreeMap, BTreeSet};

use baybook::vehicle::{
    Built, DEFAULT_DRIVE, DRIVE, Match, ModelYear, Only, Scope, Span, Vehicle, Vocabulary, YearMonth, Years,
    simplify,
};
use random::Random;
use varisat::{CnfFormula, ExtendFormula, Lit, Solver, Var};

/// The years of the domain; scopes end within 2014-2018, so that open ends have something beyond.
const ALL_YEARS: std::ops::RangeInclusive<u16> = 2013..=2019;
const SCOPE_YEARS: [u16; 5] = [2014, 2015, 2016, 2017, 2018];
/// The months of the domain, around the turn of a year; scopes end within all but the first and last.
const ALL_MONTHS: [(u16, u8); 7] =
    [(2016, 10), (2016, 11), (2016, 12), (2017, 1), (2017, 2), (2017, 3), (2017, 4)];
/// Attributes with every value that a vehicle of the domain may have. `tow` and `drive` are complete;
/// of the others the last value is one that no scope names.
const ATTRIBUTES: [(&str, &[&str]); 5] = [
    ("cab", &["crew", "extended", "regular"]),
    ("trim", &["EX", "LX", "SPORT", "Z9"]),
    ("tow", &["no", "yes"]),
    ("drive", &["lhd", "rhd"]),
    ("lamps", &["halogen", "led", "xenon"]),
];

impl Random {
    fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }

    fn span<T: baybook::vehicle::span::Step>(&mut self, steps: &[T]) -> Span<T> {
        let (a, b) = (self.one_of(steps), self.one_of(steps));
        let (from, to) = (a.min(b), a.max(b));
        let end = |open: bool, step: T| (!open).then_some(step);
        Span::new(end(self.one_in(4), from), end(self.one_in(4), to)).expect("in order")
    }

    fn scope(&mut self) -> Scope {
        let years: Vec<ModelYear> = SCOPE_YEARS.map(ModelYear::new).to_vec();
        let months = months();
        let built = if self.one_in(3) { self.span(&months[1..months.len() - 1]) } else { Built::ALL };
        let mut only = Only::new();
        for (name, values) in ATTRIBUTES {
            if self.one_in(2) {
                let complete = matches!(name, "tow" | "drive");
                let named = if complete { values } else { &values[..values.len() - 1] };
                let some = named.iter().filter(|_| self.one_in(2)).map(|&value| value.to_owned()).collect();
                only.insert(name.to_owned(), some);
            }
        }
        Scope::new(self.span(&years), built, only)
    }

    fn vehicle(&mut self) -> Vehicle {
        let years: Vec<u16> = ALL_YEARS.collect();
        let year = (!self.one_in(3)).then(|| ModelYear::new(years[self.below(years.len())]));
        let mut vehicle = Vehicle::new(year);
        if self.one_in(2) {
            vehicle = vehicle.with_built(self.span(&months()));
        }
        for (name, values) in ATTRIBUTES {
            if self.one_in(2) {
                vehicle = vehicle.with(name, values[self.below(values.len())]);
            }
        }
        vehicle
    }
}

fn months() -> Vec<YearMonth> {
    ALL_MONTHS.map(|(year, month)| YearMonth::new(year, month).expect("a month")).to_vec()
}

/// The domain as text: dimension to values. The order of months and years is the order of their texts.
fn domain() -> BTreeMap<&'static str, Vec<String>> {
    let mut domain: BTreeMap<&str, Vec<String>> = ATTRIBUTES
        .iter()
        .map(|&(name, values)| (name, values.iter().map(|&v| v.to_owned()).collect()))
        .collect();
    domain.insert("year", ALL_YEARS.map(|year| year.to_string()).collect());
    domain.insert("built", months().iter().map(ToString::to_string).collect());
    domain
}

/// Whether a value lies between two ends as text, read from the definition: inclusive, absent is open.
fn between(value: &str, from: Option<String>, to: Option<String>) -> bool {
    from.is_none_or(|from| from.as_str() <= value) && to.is_none_or(|to| value <= to.as_str())
}

/// Whether a scope allows a value of a dimension.
fn allows(scope: &Scope, dimension: &str, value: &str) -> bool {
    let text = |month: YearMonth| month.to_string();
    match dimension {
        "year" => {
            let (from, to) = (scope.years().from(), scope.years().to());
            between(value, from.map(|y| y.to_string()), to.map(|y| y.to_string()))
        }
        "built" => between(value, scope.built().from().map(text), scope.built().to().map(text)),
        _ => match scope.only().get(dimension) {
            Some(values) => values.contains(value),
            None => dimension != DRIVE || value == DEFAULT_DRIVE,
        },
    }
}

/// Whether what is known of a vehicle leaves a value of a dimension possible.
fn possible(vehicle: &Vehicle, dimension: &str, value: &str) -> bool {
    let text = |month: YearMonth| month.to_string();
    match dimension {
        "year" => vehicle.year().is_none_or(|year| year.to_string() == value),
        "built" => between(value, vehicle.built().from().map(text), vehicle.built().to().map(text)),
        _ => match vehicle.attributes().get(dimension) {
            Some(known) => known == value,
            None => dimension != DRIVE || value == DEFAULT_DRIVE,
        },
    }
}

/// A formula over one vehicle whose every dimension has exactly one value.
struct Formula {
    cnf: CnfFormula,
    values: BTreeMap<&'static str, Vec<(String, Lit)>>,
    used: usize,
}

impl Formula {
    fn new() -> Self {
        let mut formula = Self { cnf: CnfFormula::new(), values: BTreeMap::new(), used: 0 };
        for (dimension, values) in domain() {
            let literals = formula.exactly_one(values);
            formula.values.insert(dimension, literals);
        }
        formula
    }

    fn fresh(&mut self) -> Lit {
        self.used += 1;
        Lit::from_var(Var::from_index(self.used - 1), true)
    }

    fn exactly_one(&mut self, values: Vec<String>) -> Vec<(String, Lit)> {
        let literals: Vec<(String, Lit)> = values.into_iter().map(|value| (value, self.fresh())).collect();
        let all: Vec<Lit> = literals.iter().map(|&(_, literal)| literal).collect();
        self.cnf.add_clause(&all);
        for (i, &a) in all.iter().enumerate() {
            for &b in &all[i + 1..] {
                self.cnf.add_clause(&[!a, !b]);
            }
        }
        literals
    }

    /// Demands that every dimension has one of the values for which `fits` holds.
    fn demand(&mut self, fits: impl Fn(&str, &str) -> bool) {
        for (dimension, values) in &self.values {
            let fitting: Vec<Lit> =
                values.iter().filter(|(value, _)| fits(dimension, value)).map(|&(_, l)| l).collect();
            self.cnf.add_clause(&fitting);
        }
    }

    /// A literal that is true exactly where the vehicle lies in the scope.
    fn lies_in(&mut self, scope: &Scope) -> Lit {
        let mut whole = vec![];
        for (dimension, values) in self.values.clone() {
            let inside = self.fresh();
            let mut clause = vec![!inside];
            for (value, literal) in values {
                if allows(scope, dimension, &value) {
                    clause.push(literal);
                    self.cnf.add_clause(&[inside, !literal]);
                }
            }
            self.cnf.add_clause(&clause);
            whole.push(inside);
        }
        let all = self.fresh();
        for &inside in &whole {
            self.cnf.add_clause(&[!all, inside]);
        }
        let mut clause: Vec<Lit> = whole.iter().map(|&inside| !inside).collect();
        clause.push(all);
        self.cnf.add_clause(&clause);
        all
    }

    fn satisfiable(&self, demands: &[Lit]) -> bool {
        let mut solver = Solver::new();
        solver.add_formula(&self.cnf);
        solver.assume(demands);
        solver.solve().expect("the solver answers")
    }
}

/// Whether two completions of the vehicle that differ in one dimension only lie on two sides of the scope.
fn decides(scope: &Scope, vehicle: &Vehicle, dimension: &'static str) -> bool {
    let mut formula = Formula::new();
    formula.demand(|name, value| possible(vehicle, name, value));
    let inside = formula.lies_in(scope);
    let others: Vec<String> = domain().remove(dimension).expect("a dimension");
    let second = formula.exactly_one(others);
    let known: Vec<Lit> =
        second.iter().filter(|(value, _)| possible(vehicle, dimension, value)).map(|&(_, l)| l).collect();
    formula.cnf.add_clause(&known);
    formula.values.insert(dimension, second);
    let changed = formula.lies_in(scope);
    formula.satisfiable(&[inside, !changed])
}

#[test]
fn three_valued_matching_agrees_with_a_sat_solver() {
    let mut random = Random(1);
    let mut counts = BTreeMap::new();
    for _ in 0..3000 {
        let (scope, vehicle) = (random.scope(), random.vehicle());
        let mut formula = Formula::new();
        formula.demand(|name, value| possible(&vehicle, name, value));
        let inside = formula.lies_in(&scope);
        let (can_lie_in, can_lie_out) = (formula.satisfiable(&[inside]), formula.satisfiable(&[!inside]));
        let answer = scope.matches(&vehicle);
        let (word, agrees) = match &answer {
            Match::Applies => ("applies", can_lie_in && !can_lie_out),
            Match::Excluded => ("excluded", !can_lie_in),
            Match::DependsOn(_) => ("depends", can_lie_in && can_lie_out),
        };
        assert!(agrees, "{scope:?} on {vehicle}: {answer:?}, in: {can_lie_in}, out: {can_lie_out}");
        *counts.entry(word).or_insert(0) += 1;
        if let Match::DependsOn(named) = answer {
            let deciding: BTreeSet<&str> =
                domain().into_keys().filter(|d| decides(&scope, &vehicle, d)).collect();
            assert_eq!(
                named.iter().map(String::as_str).collect::<BTreeSet<_>>(),
                deciding,
                "{scope:?} on {vehicle}"
            );
        }
    }
    assert!(counts.len() == 3 && counts.values().all(|&n| n > 100), "a lopsided sample: {counts:?}");
}

#[test]
fn the_arithmetic_of_two_boxes_agrees_with_a_sat_solver() {
    let mut random = Random(2);
    let mut counts = BTreeMap::new();
    for _ in 0..3000 {
        let a = random.scope();
        // Every other time a neighbour, which differs in a single dimension.
        let b = if random.one_in(2) { random.scope() } else { neighbour(&a, &mut random) };
        let mut formula = Formula::new();
        let (in_a, in_b) = (formula.lies_in(&a), formula.lies_in(&b));
        assert_eq!(a.overlaps(&b), formula.satisfiable(&[in_a, in_b]), "{a:?} and {b:?} overlap");
        assert_eq!(a.contains(&b), !formula.satisfiable(&[!in_a, in_b]), "{a:?} holds {b:?}");
        check_intersection(&a, &b, &mut formula, (in_a, in_b));
        let word = check_union(&a, &b, &mut formula, (in_a, in_b));
        *counts.entry((a.overlaps(&b), word)).or_insert(0) += 1;
    }
    assert!(counts.len() == 4 && counts.values().all(|&n| n > 50), "a lopsided sample: {counts:?}");
}

fn neighbour(scope: &Scope, random: &mut Random) -> Scope {
    let other = random.scope();
    match random.below(3) {
        0 => Scope::new(other.years(), scope.built(), scope.only().clone()),
        1 => Scope::new(scope.years(), other.built(), scope.only().clone()),
        _ => {
            let mut only = scope.only().clone();
            let name = ATTRIBUTES[random.below(ATTRIBUTES.len())].0;
            only.remove(name);
            only.extend(other.only().get_key_value(name).map(|(k, v)| (k.clone(), v.clone())));
            Scope::new(scope.years(), scope.built(), only)
        }
    }
}

fn check_intersection(a: &Scope, b: &Scope, formula: &mut Formula, (in_a, in_b): (Lit, Lit)) {
    let meet = a.intersection(b);
    assert_eq!(meet, b.intersection(a));
    assert_eq!(meet.is_some(), a.overlaps(b), "{a:?} and {b:?}");
    let Some(meet) = meet else { return };
    let in_meet = formula.lies_in(&meet);
    assert!(!formula.satisfiable(&[in_meet, !in_a]), "{meet:?} lies in {a:?}");
    assert!(!formula.satisfiable(&[in_meet, !in_b]), "{meet:?} lies in {b:?}");
    assert!(
        !formula.satisfiable(&[in_a, in_b, !in_meet]),
        "nothing of {a:?} and {b:?} is left out of {meet:?}"
    );
}

/// A union that is offered is exact; where none is offered, even the smallest box around both holds
/// a vehicle that lies in neither.
fn check_union(a: &Scope, b: &Scope, formula: &mut Formula, (in_a, in_b): (Lit, Lit)) -> &'static str {
    let union = a.union_if_box(b);
    assert_eq!(union, b.union_if_box(a));
    match union {
        Some(union) => {
            let in_union = formula.lies_in(&union);
            assert!(
                !formula.satisfiable(&[in_union, !in_a, !in_b]),
                "{union:?} is more than {a:?} and {b:?}"
            );
            assert!(!formula.satisfiable(&[!in_union, in_a]) && !formula.satisfiable(&[!in_union, in_b]));
            "one box"
        }
        None => {
            formula.demand(|dimension, value| within_hull(a, b, dimension, value));
            assert!(formula.satisfiable(&[!in_a, !in_b]), "{a:?} and {b:?} make one box");
            "two boxes"
        }
    }
}

/// Whether a value lies in the smallest box around two scopes.
fn within_hull(a: &Scope, b: &Scope, dimension: &str, value: &str) -> bool {
    let either = |value: &String| allows(a, dimension, value) || allows(b, dimension, value);
    let values = domain().remove(dimension).expect("a dimension");
    if !matches!(dimension, "year" | "built") {
        return either(&value.to_owned());
    }
    let allowed: Vec<&String> = values.iter().filter(|value| either(value)).collect();
    allowed.first().is_some_and(|first| first.as_str() <= value)
        && allowed.last().is_some_and(|last| value <= last.as_str())
}

/// Every vehicle of the domain, all of whose dimensions are known.
fn cells() -> Vec<BTreeMap<&'static str, String>> {
    domain().into_iter().fold(vec![BTreeMap::new()], |cells, (dimension, values)| {
        let with = |cell: &BTreeMap<&'static str, String>, value: &String| {
            let mut cell = cell.clone();
            cell.insert(dimension, value.clone());
            cell
        };
        cells.iter().flat_map(|cell| values.iter().map(move |value| with(cell, value))).collect()
    })
}

fn covered(scopes: &[Scope], cells: &[BTreeMap<&'static str, String>]) -> Vec<bool> {
    let lies_in = |scope: &Scope, cell: &BTreeMap<&'static str, String>| {
        cell.iter().all(|(dimension, value)| allows(scope, dimension, value))
    };
    cells.iter().map(|cell| scopes.iter().any(|scope| lies_in(scope, cell))).collect()
}

#[test]
fn simplified_scopes_hold_the_same_cells() {
    let cells = cells();
    let mut random = Random(3);
    let mut joined = 0;
    for _ in 0..150 {
        let mut scopes: Vec<Scope> = vec![random.scope()];
        for _ in 0..random.below(8) {
            let near = neighbour(&scopes[random.below(scopes.len())], &mut random);
            scopes.push(near);
        }
        let few = simplify(scopes.clone());
        assert!(covered(&scopes, &cells) == covered(&few, &cells), "{scopes:?} became {few:?}");
        for (i, a) in few.iter().enumerate() {
            assert!(few[i + 1..].iter().all(|b| a.union_if_box(b).is_none()), "{few:?} can be fewer");
        }
        joined += scopes.len() - few.len();
        for i in (1..scopes.len()).rev() {
            scopes.swap(i, random.below(i + 1));
        }
        assert_eq!(simplify(scopes), few, "the order must not matter");
    }
    assert!(joined > 150, "only {joined} scopes were joined");
}

#[test]
fn texts_and_stored_forms_of_random_scopes_read_back() {
    let today = ModelYear::new(2026);
    let mut random = Random(4);
    for _ in 0..2000 {
        let scope = random.scope();
        let years = scope.years().to_string();
        let read = Scope::parse(&years, &scope.only_text(), Vocabulary::builtin(), today);
        assert_eq!(read.as_ref(), Ok(&scope), "{years}; {}", scope.only_text());
        let stored = postcard::to_allocvec(&scope).expect("stores");
        assert_eq!(postcard::from_bytes(&stored), Ok(scope));
        let vehicle = random.vehicle();
        let read = Vehicle::parse_seen(&vehicle.to_string(), Vocabulary::builtin(), today);
        assert_eq!(read.as_ref(), Ok(&vehicle));
        let stored = postcard::to_allocvec(&vehicle).expect("stores");
        assert_eq!(postcard::from_bytes(&stored), Ok(vehicle));
    }
}

#[test]
fn an_unknown_drive_side_is_the_usual_one() {
    let years = Years::one(ModelYear::new(2016));
    let (usual, right) = (Scope::of_years(years), Scope::of_values(DRIVE, ["rhd"]));
    let both = Scope::of_values(DRIVE, ["lhd", "rhd"]);
    let asked = Vehicle::new(Some(ModelYear::new(2016)));
    let asked_right = asked.clone().with(DRIVE, "rhd");
    assert_eq!(
        [&usual, &right, &both].map(|s| s.matches(&asked)),
        [Match::Applies, Match::Excluded, Match::Applies]
    );
    let answers = [&usual, &right, &both].map(|s| s.matches(&asked_right));
    assert_eq!(answers, [Match::Excluded, Match::Applies, Match::Applies]);
}
