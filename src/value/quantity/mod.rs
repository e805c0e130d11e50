//! Dimension-checked numbers with units, as installers write them.
//!
//! This file owns the value: what a quantity is, how two compare, and the rule that a field
//! gives for reading one. Units are in `units.rs` and `gauge.rs`, reading in `grammar.rs` and
//! the files that it uses, the canonical and the spoken text in `show.rs`. Which field has
//! which rule is the catalogue's business.

mod amount;
mod cursor;
mod gauge;
mod grammar;
mod lex;
mod number;
mod offer;
mod refusal;
mod show;
mod units;
mod words;

#[cfg(test)]
mod tests;

use super::{Misread, Relation, Typed};
pub use gauge::Awg;
pub use show::{length_in_words, significant};
pub use units::{
    Amps, Dimension, Measure, Metres, Millimetres, Minutes, NewtonMetres, Ohms, SquareMm, Unit, Volts,
};

/// How far apart two values may be and still say the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tolerance {
    /// By at most this much, in a unit of the field's dimension that is a multiple of its base (not AWG).
    Absolute(Measure),
    /// By at most this share of the larger one: 0.05 is five per cent.
    Relative(f64),
}

/// How a field wants its quantity: given by the catalogue.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// The field's unit, in which the canonical text stands. It also gives the dimension.
    pub unit: Unit,
    /// Whether a bare number takes the field's unit, as the trade writes amperes, volts and minutes.
    pub bare: bool,
    /// What still counts as the same.
    pub tolerance: Tolerance,
}

impl Rule {
    /// The rule that fits a field in `unit` where the catalogue says nothing else. Bare numbers
    /// only for V, A, ohm and time. Tolerances (common practice, no source): half a millimetre for
    /// holes and diameters, half a volt, half a minute, 2 % of a current (7.5 A and 8 A are two fuses),
    /// 10 % of a resistance, 5 % of a run, a torque and a cross-section (neighbouring gauges are a fifth apart).
    #[must_use]
    pub const fn for_unit(unit: Unit) -> Self {
        let dimension = unit.dimension();
        let tolerance = match dimension {
            Dimension::Voltage => Tolerance::Absolute(Measure::new(0.5, Unit::Volt)),
            Dimension::Current => Tolerance::Relative(0.02),
            Dimension::Resistance => Tolerance::Relative(0.1),
            Dimension::Length if matches!(unit, Unit::Metre | Unit::Foot) => Tolerance::Relative(0.05),
            Dimension::Length => Tolerance::Absolute(Measure::new(0.5, Unit::Millimetre)),
            Dimension::Area | Dimension::Torque => Tolerance::Relative(0.05),
            Dimension::Time => Tolerance::Absolute(Measure::new(0.5, Unit::Minute)),
        };
        let bare = !matches!(dimension, Dimension::Length | Dimension::Area | Dimension::Torque);
        Self { unit, bare, tolerance }
    }

    /// What the field measures.
    #[must_use]
    pub fn dimension(&self) -> Dimension {
        self.unit.dimension()
    }
}

/// The unit that a word names, whatever it measures: `mm`, `in`, `mm2`, `AWG`, `Nm`, `lb-ft`.
#[must_use]
pub fn unit_named(text: &str) -> Option<Unit> {
    let cleaned = lex::clean(text);
    let spelled: Vec<String> = lex::tokens(&cleaned).into_iter().map(lex::Token::text).collect();
    words::unit(&spelled.join(" "), None)
}

/// One number without a unit, its decimal mark a point or a comma, as in `12.4` and `0,5`. `None` where it is none, or
/// could be two, as `1,200`.
#[must_use]
pub fn decimal_number(text: &str) -> Option<f64> {
    match number::decimal(text.trim()) {
        number::Decimal::One(number) if number.is_finite() => Some(number),
        _ => None,
    }
}

/// A length in inches as a rule or a drill is marked: `1-3/8`. `None` for whole millimetres and for what is no multiple
/// of 1/64 in.
#[must_use]
pub fn inch_fraction(length: Millimetres) -> Option<String> {
    show::inch_fraction(Figure::of(length.0))
}

/// The rule for a text of which only the unit is known: that of [`Rule::for_unit`].
#[must_use]
pub fn rule_for_unit(text: &str) -> Option<Rule> {
    unit_named(text).map(Rule::for_unit)
}

/// A measured or stated value: one number, a range, or all from some number up.
///
/// - `12-14 V` and `between 12 and 14 V` are ranges; `12 ± 0.5 V` is one as well.
/// - `< 0.2 V`, `less than`, `under`, `at most` are the range from nothing: `0-0.2 V`.
/// - `> 11 V`, `more than`, `at least` are open above: `at least 11 V`. Whether the limit
///   itself belongs to it is not kept; no meter could tell.
/// - `about` is kept, and widens a comparison to ten per cent.
/// - A wire gauge stays a gauge (`10 AWG`); every other value is kept in the field's unit.
///
/// Numbers are kept to six significant digits, so that equality, hash and canonical text agree.
/// Equality is that of the canonical text; [`Typed::relation`] compares by meaning.
#[derive(Debug, Clone)]
pub struct Quantity {
    extent: Extent,
    about: bool,
    tolerance: Tolerance,
}

/// From where to where; `high` is absent where it is open above.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum Extent {
    /// In a unit that is a multiple of the base.
    Measured { unit: Unit, low: Figure, high: Option<Figure> },
    /// By wire gauge: `low` is the thinner wire, and so has the larger number.
    Gauged { low: Awg, high: Option<Awg> },
}

/// A finite number of at most six significant digits, never minus zero.
#[derive(Debug, Clone, Copy)]
struct Figure(f64);

impl Figure {
    /// The nearest figure; the caller has seen to it that `number` is finite.
    fn of(number: f64) -> Self {
        let rounded = format!("{number:.5e}").parse().unwrap_or(number);
        Self(if rounded == 0.0 { 0.0 } else { rounded })
    }
}

impl PartialEq for Figure {
    fn eq(&self, other: &Self) -> bool {
        self.0.to_bits() == other.0.to_bits()
    }
}

impl Eq for Figure {}

impl std::hash::Hash for Figure {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        self.0.to_bits().hash(state);
    }
}

impl PartialEq for Quantity {
    fn eq(&self, other: &Self) -> bool {
        (self.extent, self.about) == (other.extent, other.about)
    }
}

impl Eq for Quantity {}

impl std::hash::Hash for Quantity {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        (self.extent, self.about).hash(state);
    }
}

/// Both ends of a quantity; for a single number they are equal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds<T> {
    /// The lower end.
    pub low: T,
    /// The upper end; absent where the quantity is open above.
    pub high: Option<T>,
}

/// How much of a value "about" leaves open: common practice, no source.
const ABOUT: f64 = 0.1;

impl Quantity {
    /// Reads `text` as a value of the field that `rule` describes.
    ///
    /// # Errors
    /// `UnitMissing` for a bare number where the rule allows none, `UnitWrong` for an unknown unit or one
    /// of another dimension, `Ambiguous` for `1,200 mm` and the like, `OutOfRange` for what cannot be
    /// (negative but for volts, infinite, absurd, a reversed range), `Unreadable` for anything else.
    pub fn parse(text: &str, rule: &Rule) -> Result<Self, Misread> {
        grammar::read(text, rule).map_err(|misread| offer::with_readings(misread, text, rule))
    }

    /// What it measures.
    #[must_use]
    pub fn dimension(&self) -> Dimension {
        self.unit().dimension()
    }

    /// The unit of its canonical text.
    #[must_use]
    pub fn unit(&self) -> Unit {
        match self.extent {
            Extent::Measured { unit, .. } => unit,
            Extent::Gauged { .. } => Unit::Awg,
        }
    }

    /// Whether it was said to be approximate.
    #[must_use]
    pub fn is_about(&self) -> bool {
        self.about
    }

    /// The gauge of a conductor that was written as one single gauge.
    #[must_use]
    pub fn awg(&self) -> Option<Awg> {
        match self.extent {
            Extent::Gauged { low, high: Some(high) } if low == high => Some(low),
            _ => None,
        }
    }

    /// In volts; `None` for another dimension.
    #[must_use]
    pub fn volts(&self) -> Option<Bounds<Volts>> {
        self.bounds(Unit::Volt, Volts)
    }

    /// In amperes; `None` for another dimension.
    #[must_use]
    pub fn amps(&self) -> Option<Bounds<Amps>> {
        self.bounds(Unit::Ampere, Amps)
    }

    /// In ohms; `None` for another dimension.
    #[must_use]
    pub fn ohms(&self) -> Option<Bounds<Ohms>> {
        self.bounds(Unit::Ohm, Ohms)
    }

    /// In millimetres; `None` for another dimension.
    #[must_use]
    pub fn millimetres(&self) -> Option<Bounds<Millimetres>> {
        self.bounds(Unit::Millimetre, Millimetres)
    }

    /// In metres; `None` for another dimension.
    #[must_use]
    pub fn metres(&self) -> Option<Bounds<Metres>> {
        self.bounds(Unit::Metre, Metres)
    }

    /// In square millimetres, a gauge by its area; `None` for another dimension.
    #[must_use]
    pub fn square_mm(&self) -> Option<Bounds<SquareMm>> {
        self.bounds(Unit::SquareMillimetre, SquareMm)
    }

    /// In newton metres; `None` for another dimension.
    #[must_use]
    pub fn newton_metres(&self) -> Option<Bounds<NewtonMetres>> {
        self.bounds(Unit::NewtonMetre, NewtonMetres)
    }

    /// In minutes; `None` for another dimension.
    #[must_use]
    pub fn minutes(&self) -> Option<Bounds<Minutes>> {
        self.bounds(Unit::Minute, Minutes)
    }

    /// The order by lower ends, then by upper ends; for quantities of one dimension.
    #[must_use]
    pub fn order(&self, other: &Self) -> std::cmp::Ordering {
        let ((a_low, a_high), (b_low, b_high)) = (self.ends(), other.ends());
        let high = |end: Option<f64>| end.unwrap_or(f64::INFINITY);
        a_low.total_cmp(&b_low).then_with(|| high(a_high).total_cmp(&high(b_high)))
    }

    /// What lies midway between this and another; `None` for gauges, and where units or open ends differ.
    #[must_use]
    pub fn midway(&self, other: &Self) -> Option<Self> {
        let middle = |a: Figure, b: Figure| Figure::of(f64::midpoint(a.0, b.0));
        let (Extent::Measured { unit, low, high }, Extent::Measured { unit: its, low: from, high: to }) =
            (self.extent, other.extent)
        else {
            return None;
        };
        let high = match (high, to) {
            (Some(high), Some(to)) => Some(middle(high, to)),
            (None, None) => None,
            _ => return None,
        };
        let extent = Extent::Measured { unit, low: middle(low, from), high };
        (unit == its).then_some(Self { extent, about: self.about || other.about, tolerance: self.tolerance })
    }

    fn bounds<T>(&self, unit: Unit, wrap: fn(f64) -> T) -> Option<Bounds<T>> {
        let (low, high) = self.ends();
        let in_unit = |end: f64| Measure::new(end, self.unit()).to(unit).map(|measure| wrap(measure.number));
        Some(Bounds { low: in_unit(low)?, high: high.and_then(in_unit) })
    }

    /// A number that puts quantities of one dimension in the order of their lower ends: that end in the base unit.
    pub(crate) fn rank(&self) -> f64 {
        self.base_ends().0
    }

    /// The least and the largest rank of what may say the same as this.
    pub(crate) fn ranks_alike(&self) -> (f64, f64) {
        let (low, high) = self.base_ends();
        let high = if high.is_finite() { high } else { f64::MAX / 4.0 };
        (low - 2.0 * self.allowance(low.abs().max(1.0)), high + 2.0 * self.allowance(high.abs()))
    }

    /// The ends as numbers of [`Quantity::unit`].
    fn ends(&self) -> (f64, Option<f64>) {
        match self.extent {
            Extent::Measured { low, high, .. } => (low.0, high.map(|end| end.0)),
            Extent::Gauged { low, high } => {
                (f64::from(low.number()), high.map(|end| f64::from(end.number())))
            }
        }
    }

    /// The ends in the base unit, an open one infinite.
    fn base_ends(&self) -> (f64, f64) {
        let (low, high) = self.ends();
        let base = |end| self.unit().to_base(end);
        (base(low), high.map_or(f64::INFINITY, base))
    }

    /// How far two ends of this size may be apart, in the base unit.
    fn allowance(&self, size: f64) -> f64 {
        let set = match self.tolerance {
            Tolerance::Absolute(measure) => measure.unit.to_base(measure.number),
            Tolerance::Relative(share) => share * size,
        };
        if self.about { set.max(ABOUT * size) } else { set }
    }
}

impl Typed for Quantity {
    /// Same where the ranges meet or come within the larger tolerance of the two, different where
    /// they do not, unknown across dimensions. A gauge counts by its area.
    fn relation(&self, other: &Self) -> Relation {
        if self.dimension() != other.dimension() {
            return Relation::Unknown;
        }
        let ((low_a, high_a), (low_b, high_b)) = (self.base_ends(), other.base_ends());
        let (upper, lower) = if low_a > high_b { (low_a, high_b) } else { (low_b, high_a) };
        let size = upper.abs().max(lower.abs());
        // A sliver more, because 35 and 34.5 must stay half apart in binary as well.
        let allowed = self.allowance(size).max(other.allowance(size)) + size * 1e-9;
        if upper <= lower || upper - lower <= allowed { Relation::Same } else { Relation::Different }
    }

    fn plain(&self) -> String {
        show::plain(self)
    }

    fn parts(&self) -> serde_json::Map<String, serde_json::Value> {
        show::parts(self)
    }
}

impl std::fmt::Display for Quantity {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&show::canonical(self))
    }
}
