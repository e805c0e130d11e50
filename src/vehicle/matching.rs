//! How one vehicle, of which only part may be known, stands to a scope and to another vehicle.
//!
//! It owns the three answers of a match, what a match depends on, and when a seen vehicle covers the
//! asked one. Which notes are compared and what grade follows is judged elsewhere.

use std::collections::BTreeSet;

use super::attribute::Vocabulary;
use super::partial::Vehicle;
use super::scope::Scope;
use super::span::{Span, Step};
use super::{BUILT, DRIVE, YEAR};
use crate::value::{Misread, Problem};

/// Whether a scope takes a vehicle in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Match {
    /// Whatever is not known of the vehicle, it lies in the scope.
    Applies,
    /// It may or may not. These dimensions decide, each of them a fact that is not known: `year`,
    /// `built`, then attributes in order.
    DependsOn(Vec<String>),
    /// Whatever is not known of the vehicle, it lies outside.
    Excluded,
}

/// How one dimension of a vehicle stands to the same dimension of a scope.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Inside,
    Open,
    Outside,
}

impl Scope {
    /// Whether this scope takes `vehicle` in.
    #[must_use]
    pub fn matches(&self, vehicle: &Vehicle) -> Match {
        let mut open = Vec::new();
        for (dimension, side) in self.sides(vehicle) {
            match side {
                Side::Inside => {}
                Side::Open => open.push(dimension.to_owned()),
                Side::Outside => return Match::Excluded,
            }
        }
        if open.is_empty() { Match::Applies } else { Match::DependsOn(open) }
    }

    /// Checks that the vehicle on which a writer looked lies in the scope that the note claims, as far
    /// as is known.
    ///
    /// # Errors
    /// It lies outside: the message names every dimension that is off.
    pub fn admits_seen(&self, seen: &Vehicle) -> Result<(), Misread> {
        let outside = self.sides(seen).filter(|&(_, side)| side == Side::Outside);
        let mut off: Vec<String> = outside.map(|(dimension, _)| self.complaint(dimension, seen)).collect();
        off.extend(self.vin_complaint(seen));
        if off.is_empty() {
            return Ok(());
        }
        let message = format!(
            "the seen vehicle lies outside the note's own scope: {}; one of the two is wrong",
            off.join(", and ")
        );
        Err(Misread::new(Problem::OutOfRange, message))
    }

    /// Every dimension that this scope may decide, and where the vehicle lies in it.
    fn sides<'a>(&'a self, vehicle: &'a Vehicle) -> impl Iterator<Item = (&'a str, Side)> {
        let known_year = vehicle.year().map_or(Span::ALL, Span::one);
        let spans =
            [(YEAR, side(&self.years(), &known_year)), (BUILT, side(&self.built(), &vehicle.built()))];
        let drive = (!self.only().contains_key(DRIVE)).then_some(DRIVE);
        let named = drive.into_iter().chain(self.only().keys().map(String::as_str));
        spans.into_iter().chain(named.map(move |name| (name, self.attribute_side(name, vehicle))))
    }

    fn attribute_side(&self, name: &str, vehicle: &Vehicle) -> Side {
        match (self.allowed(name), vehicle.attribute(name)) {
            (None, _) => Side::Inside,
            (Some(_), None) => Side::Open,
            (Some(values), Some(value)) if values.contains(value) => Side::Inside,
            (Some(_), Some(_)) => Side::Outside,
        }
    }

    /// What is off in one dimension: `tow=no where the note says tow=yes`.
    fn complaint(&self, dimension: &str, seen: &Vehicle) -> String {
        match (dimension, seen.year()) {
            (YEAR, Some(year)) => format!("{year} is not among {}", self.years()),
            (BUILT, _) => format!("built={} does not meet built={}", seen.built(), self.built()),
            _ => {
                let value = seen.attribute(dimension).unwrap_or_default();
                let allowed: Vec<&str> =
                    self.allowed(dimension).into_iter().flatten().map(String::as_str).collect();
                format!("{dimension}={value} where the note covers {dimension}={}", allowed.join("|"))
            }
        }
    }

    /// A year that is told by the VIN alone may be one of two: it is off where both are.
    fn vin_complaint(&self, seen: &Vehicle) -> Option<String> {
        let vin = seen.vin().filter(|vin| seen.year().is_none() && vin.north_american())?;
        let candidates = vin.model_year_candidates();
        if candidates.is_empty() || candidates.iter().any(|&year| self.years().holds(year)) {
            return None;
        }
        let possible: Vec<String> = candidates.iter().map(ToString::to_string).collect();
        Some(format!("the VIN says {}, not among {}", possible.join(" or "), self.years()))
    }
}

/// Where a span of which one step is true lies to the span that is asked for.
fn side<T: Step>(allowed: &Span<T>, known: &Span<T>) -> Side {
    if allowed.contains(known) {
        Side::Inside
    } else if allowed.overlaps(known) {
        Side::Open
    } else {
        Side::Outside
    }
}

/// The attributes, and `built`, that any of these scopes names: what matters on a point, when they
/// are the scopes of its live notes.
#[must_use]
pub fn matters<'a>(scopes: impl IntoIterator<Item = &'a Scope>) -> BTreeSet<String> {
    let mut named = BTreeSet::new();
    for scope in scopes {
        named.extend(scope.only().keys().cloned());
        if !scope.built().is_all() {
            named.insert(BUILT.to_owned());
        }
    }
    named
}

/// Whether what was seen on one vehicle speaks for the asked one: the year is equal and known, and
/// nothing that matters differs. What is known of one of the two only does not differ.
#[must_use]
pub fn covers(seen: &Vehicle, asked: &Vehicle, matters: &BTreeSet<String>) -> bool {
    asked.year().is_some() && seen.year() == asked.year() && !differs(seen, asked, matters)
}

/// Whether something that matters, the year left aside, differs between a seen vehicle and the asked one.
#[must_use]
pub fn differs(seen: &Vehicle, asked: &Vehicle, matters: &BTreeSet<String>) -> bool {
    matters.iter().any(|name| match name.as_str() {
        BUILT => !seen.built().overlaps(&asked.built()),
        name => seen.attribute(name).zip(asked.attribute(name)).is_some_and(|(a, b)| a != b),
    })
}

impl Match {
    /// What to look at on the vehicle to decide, in plain words; nothing where nothing is open.
    #[must_use]
    pub fn look<'a>(&self, vocabulary: &'a Vocabulary) -> Vec<&'a str> {
        match self {
            Self::DependsOn(dimensions) => {
                dimensions.iter().filter_map(|name| vocabulary.look(name)).collect()
            }
            Self::Applies | Self::Excluded => Vec::new(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Match, Scope, Vehicle, Vocabulary, covers, matters};
    use crate::vehicle::ModelYear;

    const TODAY: ModelYear = ModelYear::new(2026);

    fn scope(years: &str, only: &str) -> Scope {
        Scope::parse(years, only, Vocabulary::builtin(), TODAY).expect("a test scope is readable")
    }

    fn vehicle(text: &str) -> Vehicle {
        Vehicle::parse_seen(text, Vocabulary::builtin(), TODAY).expect("a test vehicle is readable")
    }

    #[test]
    fn three_answers() {
        let note = scope("2015-2019", "tow=yes; built=2017-09..");
        let check = |asked: &str, expected: &str| {
            let answer = match note.matches(&vehicle(asked)) {
                Match::Applies => "applies".to_owned(),
                Match::Excluded => "excluded".to_owned(),
                Match::DependsOn(on) => on.join(" "),
            };
            assert_eq!(answer, expected, "{asked}");
        };
        check("2018; tow=yes; built=2018-01", "applies");
        check("2018; tow=yes; built=2017-09..2018-03", "applies");
        check("2018; tow=yes; built=2017-08..", "built");
        check("2018; tow=yes", "built");
        check("2018", "built tow");
        check("", "year built tow");
        check("2018; built=2017-08; tow=yes", "excluded");
        check("tow=no", "excluded");
        check("2014", "excluded");
        check("2018; drive=rhd", "excluded");
    }

    #[test]
    fn a_seen_vehicle_outside_the_scope_is_told_where() {
        let check = |years: &str, only: &str, seen: &str, says: &[&str]| match scope(years, only)
            .admits_seen(&vehicle(seen))
        {
            Ok(()) => assert_eq!(says, [""; 0], "{seen}"),
            Err(misread) => {
                assert!(!says.is_empty(), "{misread}");
                assert!(says.iter().all(|part| misread.message.contains(part)), "{misread}");
            }
        };
        check("2015-2019", "tow=yes", "2016; cab=crew; tow=yes", &[]);
        check("2015-2019", "tow=yes", "2016", &[]);
        check("2015-2019", "tow=yes", "", &[]);
        check("2015-2019", "", "2014", &["2014 is not among 2015-2019"]);
        check(
            "2015-2019",
            "tow=yes",
            "2014; tow=no",
            &["2014 is not", "tow=no where the note covers tow=yes"],
        );
        check("2015-2019", "cab=crew|ext", "2016; cab=regular", &["cab=regular where", "cab=crew|extended"]);
        check(
            "2017",
            "built=2017-09..",
            "2017; built=2017-05",
            &["built=2017-05 does not meet built=2017-09.."],
        );
        check("2015-2019", "", "2016; drive=rhd", &["drive=rhd where the note covers drive=lhd"]);
        // K is 1989 or 2019.
        check("2015-2019", "", "1M8GDM9A_KP______", &[]);
        check("2015-2017", "", "1M8GDM9A_KP______", &["the VIN says 1989 or 2019, not among 2015-2017"]);
    }

    #[test]
    fn what_is_seen_covers_what_is_alike_in_all_that_matters() {
        let notes = [scope("2015-", "tow=yes"), scope("2015-", "built=2017-09..; trim=LX")];
        let matter = matters(&notes);
        assert_eq!(matter.iter().map(String::as_str).collect::<Vec<_>>(), ["built", "tow", "trim"]);
        let check = |seen: &str, asked: &str, expected: bool| {
            assert_eq!(covers(&vehicle(seen), &vehicle(asked), &matter), expected, "{seen} for {asked}");
        };
        check("2016; cab=crew; tow=yes", "2016; cab=ext; tow=yes", true);
        check("2016; tow=yes", "2016; tow=no", false);
        check("2016; tow=yes", "2016", true);
        check("2016", "2016; tow=no", true);
        check("2016; tow=yes", "2017; tow=yes", false);
        check("tow=yes", "2016; tow=yes", false);
        check("2016; tow=yes", "tow=yes", false);
        check("", "", false);
        check("2017; built=2017-10", "2017; built=2017-05", false);
        check("2017; built=2017-10", "2017; built=2017-09..", true);
    }

    #[test]
    fn what_to_look_at() {
        let look = scope("2016", "tow=yes").matches(&vehicle("2016")).look(Vocabulary::builtin()).join(" / ");
        assert!(look.contains("the option list"), "{look}");
    }
}
