//! A whole text read as a quantity: what may stand before and after a value, ranges, and the
//! checks that a value has to pass. One number with its unit is `amount.rs`; the readings to
//! choose from where a text is refused are `offer.rs`.

use super::super::Misread;
use super::amount::{self, Amount, Form};
use super::cursor::Cursor;
use super::lex::{self, Token};
use super::number::{self, Decimal};
use super::refusal::{self, quoted};
use super::units::{Dimension, Measure, Unit};
use super::{Awg, Extent, Figure, Quantity, Rule};

/// Nobody writes a quantity longer than this; it keeps a stray gigabyte out of the reading below.
const LONGEST: usize = 120;

/// Reads `text` by `rule`, as [`Quantity::parse`] does, without offering readings of what is refused.
pub(super) fn read(text: &str, rule: &Rule) -> Result<Quantity, Misread> {
    if text.len() > LONGEST {
        return Err(refusal::unreadable(format!("{} is too long for a quantity", quoted(text))));
    }
    let cleaned = lex::clean(text);
    if cleaned.ends_with('?') {
        let advice = "write it without the question mark if it is sure";
        return Err(refusal::ambiguous(format!("{} is in doubt; {advice}", quoted(text))));
    }
    let tokens = lex::tokens(&cleaned);
    refuse_what_is_no_quantity(text, &tokens, rule)?;
    refuse_doubtful_comma(text, &tokens)?;
    Statement::read(&mut Cursor::new(&tokens), &cleaned, rule)?.quantity(text, rule)
}

fn refuse_what_is_no_quantity(text: &str, tokens: &[Token<'_>], rule: &Rule) -> Result<(), Misread> {
    let endless = |token: &Token<'_>| match token {
        Token::Word(word) => {
            ["inf", "infinite", "infinity", "nan"].contains(&word.to_ascii_lowercase().as_str())
        }
        token => *token == Token::Mark('∞'),
    };
    match tokens {
        [] => Err(refusal::no_number("", rule.dimension())),
        [Token::Word("M" | "m"), Token::Number(_), ..] => Err(refusal::thread(text, rule.dimension())),
        _ if tokens.iter().any(endless) => Err(refusal::out_of_range(format!(
            "{} is not a number that a meter or a rule shows",
            quoted(text)
        ))),
        _ => Ok(()),
    }
}

/// `1,200` is 1.2 or 1200: neither is taken.
fn refuse_doubtful_comma(text: &str, tokens: &[Token<'_>]) -> Result<(), Misread> {
    let doubtful = |token: &Token<'_>| matches!(token, Token::Number(written) if matches!(number::decimal(written), Decimal::Either(..)));
    if tokens.iter().any(doubtful) {
        let fault = "may be a decimal mark or part thousands";
        return Err(refusal::ambiguous(format!("the comma of {} {fault}", quoted(text))));
    }
    Ok(())
}

/// Which side of a value is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Bound {
    Exact,
    /// From nothing up to the value.
    AtMost,
    /// From the value up.
    AtLeast,
    /// As `AtLeast`, but said of a number (`>`), which for gauges runs the other way.
    Over,
}

/// What joins two values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Joint {
    Dash,
    To,
    PlusMinus,
}

enum Remark {
    About,
    Bound(Bound),
    /// A range must follow, its two values joined by this word.
    Range(&'static str),
}

const BEFORE: &[(&str, Remark)] = &[
    ("about", Remark::About),
    ("approx", Remark::About),
    ("approximately", Remark::About),
    ("around", Remark::About),
    ("roughly", Remark::About),
    ("ca", Remark::About),
    ("circa", Remark::About),
    ("less than", Remark::Bound(Bound::AtMost)),
    ("under", Remark::Bound(Bound::AtMost)),
    ("below", Remark::Bound(Bound::AtMost)),
    ("at most", Remark::Bound(Bound::AtMost)),
    ("no more than", Remark::Bound(Bound::AtMost)),
    ("not more than", Remark::Bound(Bound::AtMost)),
    ("up to", Remark::Bound(Bound::AtMost)),
    ("max", Remark::Bound(Bound::AtMost)),
    ("maximum", Remark::Bound(Bound::AtMost)),
    ("at least", Remark::Bound(Bound::AtLeast)),
    ("no less than", Remark::Bound(Bound::AtLeast)),
    ("not less than", Remark::Bound(Bound::AtLeast)),
    ("minimum", Remark::Bound(Bound::AtLeast)),
    ("more than", Remark::Bound(Bound::Over)),
    ("greater than", Remark::Bound(Bound::Over)),
    ("over", Remark::Bound(Bound::Over)),
    ("above", Remark::Bound(Bound::Over)),
    ("between", Remark::Range("and")),
    ("from", Remark::Range("to")),
];

const BEFORE_AS_MARK: &[(char, Remark)] = &[
    ('~', Remark::About),
    ('<', Remark::Bound(Bound::AtMost)),
    ('≤', Remark::Bound(Bound::AtMost)),
    ('>', Remark::Bound(Bound::Over)),
    ('≥', Remark::Bound(Bound::Over)),
];

const AFTER: &[(&str, Remark)] = &[
    ("or so", Remark::About),
    ("approx", Remark::About),
    ("approximately", Remark::About),
    ("roughly", Remark::About),
    ("or less", Remark::Bound(Bound::AtMost)),
    ("max", Remark::Bound(Bound::AtMost)),
    ("maximum", Remark::Bound(Bound::AtMost)),
    ("or more", Remark::Bound(Bound::AtLeast)),
    ("or larger", Remark::Bound(Bound::AtLeast)),
    ("or thicker", Remark::Bound(Bound::AtLeast)),
    ("or heavier", Remark::Bound(Bound::AtLeast)),
    ("minimum", Remark::Bound(Bound::AtLeast)),
    // Minutes have been read before this, so here it can only be the minimum.
    ("min", Remark::Bound(Bound::AtLeast)),
];

/// What a text says, before it is checked.
struct Statement {
    about: bool,
    bound: Bound,
    first: Amount,
    second: Option<(Joint, Amount)>,
}

impl Statement {
    fn read(cursor: &mut Cursor<'_>, cleaned: &str, rule: &Rule) -> Result<Self, Misread> {
        let mut remarks = Remarks::default();
        while remarks.take(cursor, BEFORE, BEFORE_AS_MARK)? {}
        let first = amount::amount(cursor, rule.dimension())?;
        refuse_choice(cursor, cleaned)?;
        let second = match joint(cursor, remarks.range_by) {
            Some(joint) => Some((joint, amount::amount(cursor, rule.dimension())?)),
            None => None,
        };
        while remarks.take(cursor, AFTER, &[])? {}
        refuse_rest(cursor, cleaned)?;
        let statement = Self { about: remarks.about, bound: remarks.bound, first, second };
        statement.agrees(remarks.range_by).then_some(statement).ok_or_else(|| {
            let advice = "a range is written 12-14, a limit “at least 12”";
            refusal::unreadable(format!("{} is not understood; {advice}", quoted(cleaned)))
        })
    }

    /// Whether what stands before and after fits one value, or two.
    fn agrees(&self, range_by: Option<&str>) -> bool {
        match self.second {
            Some(_) => self.bound == Bound::Exact,
            None => range_by.is_none(),
        }
    }
}

fn refuse_rest(cursor: &Cursor<'_>, cleaned: &str) -> Result<(), Misread> {
    let Some(rest) = cursor.peek(0) else { return Ok(()) };
    let fault = format!("{} was not expected in {}", quoted(&rest.text()), quoted(cleaned));
    Err(refusal::unreadable(format!("{fault}; write a value and its unit only")))
}

struct Remarks {
    about: bool,
    bound: Bound,
    range_by: Option<&'static str>,
}

impl Default for Remarks {
    fn default() -> Self {
        Self { about: false, bound: Bound::Exact, range_by: None }
    }
}

impl Remarks {
    /// Steps over one remark and keeps it; false where none comes next.
    fn take(
        &mut self,
        cursor: &mut Cursor<'_>,
        phrases: &[(&str, Remark)],
        marks: &[(char, Remark)],
    ) -> Result<bool, Misread> {
        let phrase = phrases.iter().find(|(phrase, _)| cursor.take_phrase(phrase)).map(|(_, remark)| remark);
        let found = phrase.or_else(|| marks.iter().find(|(mark, _)| cursor.take_mark(*mark)).map(|(_, r)| r));
        match found {
            None => return Ok(false),
            Some(Remark::About) => self.about = true,
            Some(Remark::Range(word)) => self.range_by = Some(word),
            Some(Remark::Bound(_)) if self.bound != Bound::Exact => {
                return Err(refusal::unreadable("two limits stand beside one value; write a range instead"));
            }
            Some(Remark::Bound(bound)) => self.bound = *bound,
        }
        Ok(true)
    }
}

fn joint(cursor: &mut Cursor<'_>, range_by: Option<&str>) -> Option<Joint> {
    if cursor.take_mark('-') {
        return Some(Joint::Dash);
    }
    if let Some(word) = range_by {
        return cursor.take_phrase(word).then_some(Joint::To);
    }
    if cursor.take_mark('±') {
        return Some(Joint::PlusMinus);
    }
    let to = cursor.take_mark('…') || ["to", "thru", "through"].iter().any(|word| cursor.take_phrase(word));
    to.then_some(Joint::To)
}

/// `12 or 14 V` is one of two, and it is not said which.
fn refuse_choice(cursor: &Cursor<'_>, cleaned: &str) -> Result<(), Misread> {
    let or = matches!(cursor.peek(0), Some(Token::Word(word)) if word.eq_ignore_ascii_case("or"));
    if or && cursor.number(1).is_some() {
        let fault = "is one of two values; write the one that is meant";
        return Err(refusal::ambiguous(format!("{} {fault}", quoted(cleaned))));
    }
    Ok(())
}

/// One end of a quantity: a gauge, or a number of the dimension's base unit.
#[derive(Clone, Copy)]
enum End {
    Gauge(Awg),
    Base(f64),
}

impl End {
    fn of(amount: &Amount, unit: Unit) -> Result<Self, Misread> {
        match (unit, amount.form) {
            (Unit::Awg, _) => amount::gauge(amount).map(Self::Gauge),
            (_, Form::Aught) => Err(refusal::unreadable(format!(
                "{} is a wire gauge, which {} does not fit",
                quoted(&amount.written),
                quoted(unit.symbol())
            ))),
            _ => Ok(Self::Base(unit.to_base(amount.value))),
        }
    }

    fn base(self) -> f64 {
        match self {
            Self::Gauge(gauge) => gauge.area().0,
            Self::Base(number) => number,
        }
    }
}

impl Statement {
    fn quantity(&self, text: &str, rule: &Rule) -> Result<Quantity, Misread> {
        self.refuse_thread(text, rule)?;
        let extent = self.extent(text, rule)?;
        Ok(Quantity { extent, about: self.about, tolerance: rule.tolerance })
    }

    /// `3/8-16` is a thread, whatever unit a hasty hand put behind it.
    fn refuse_thread(&self, text: &str, rule: &Rule) -> Result<(), Misread> {
        let Some((Joint::Dash, second)) = &self.second else { return Ok(()) };
        let fraction = self.first.form == Form::Fraction && self.first.unit.is_none();
        let pitch = second.form == Form::Whole && second.value >= 4.0;
        if fraction && pitch { Err(refusal::thread(text, rule.dimension())) } else { Ok(()) }
    }

    fn extent(&self, text: &str, rule: &Rule) -> Result<Extent, Misread> {
        let given = self.second.as_ref().and_then(|(_, amount)| amount.unit);
        let unit = self.first.unit.or(given).or(rule.bare.then_some(rule.unit));
        let Some(unit) = unit else { return Err(refusal::unit_missing(text, rule.dimension())) };
        let first = End::of(&self.first, unit)?;
        match &self.second {
            None => self.limited(first, text, rule),
            Some((joint, amount)) => {
                let second = End::of(amount, amount.unit.unwrap_or(unit))?;
                range(first, *joint, second, text, rule)
            }
        }
    }

    fn limited(&self, end: End, text: &str, rule: &Rule) -> Result<Extent, Misread> {
        match (end, self.bound) {
            (End::Gauge(gauge), Bound::Exact) => Ok(Extent::Gauged { low: gauge, high: Some(gauge) }),
            (End::Gauge(gauge), Bound::AtLeast) => Ok(Extent::Gauged { low: gauge, high: None }),
            (End::Gauge(_), _) => Err(refusal::ambiguous(format!(
                "{} may mean the number or the wire, and they run against each other; write “or thicker”, or mm²",
                quoted(text)
            ))),
            (End::Base(number), Bound::Exact) => measured(number, Some(number), text, rule),
            (End::Base(number), Bound::AtMost) => measured(0.0, Some(number), text, rule),
            (End::Base(number), Bound::AtLeast | Bound::Over) => measured(number, None, text, rule),
        }
    }
}

fn range(first: End, joint: Joint, second: End, text: &str, rule: &Rule) -> Result<Extent, Misread> {
    match (joint, first, second) {
        (Joint::PlusMinus, End::Base(middle), End::Base(spread)) => {
            measured(middle - spread, Some(middle + spread), text, rule)
        }
        (Joint::PlusMinus, ..) => {
            Err(refusal::unreadable(format!("{} gives a spread to a gauge; write both gauges", quoted(text))))
        }
        // Gauges are written in either order, 12-10 or 10-12: their numbers run against the area.
        (_, End::Gauge(a), End::Gauge(b)) => {
            let (low, high) = if a.number() >= b.number() { (a, b) } else { (b, a) };
            Ok(Extent::Gauged { low, high: Some(high) })
        }
        (_, low, high) => measured(low.base(), Some(high.base()), text, rule),
    }
}

/// The field's unit; what was given in mm² has no whole gauge and stays in mm².
fn kept_unit(rule: &Rule) -> Unit {
    if rule.unit == Unit::Awg { Unit::SquareMillimetre } else { rule.unit }
}

fn measured(low: f64, high: Option<f64>, text: &str, rule: &Rule) -> Result<Extent, Misread> {
    let unit = kept_unit(rule);
    let low = figure(low, unit, text)?;
    let high = high.map(|end| figure(end, unit, text)).transpose()?;
    if high.is_some_and(|high| high.0 < low.0) {
        let message = format!("{} runs backwards; write the smaller number first", quoted(text));
        return Err(refusal::out_of_range(message));
    }
    Ok(Extent::Measured { unit, low, high })
}

/// The number of base units as a figure of `unit`, if such a thing can be.
fn figure(base: f64, unit: Unit, text: &str) -> Result<Figure, Misread> {
    let limit = ceiling(unit);
    let number = unit.of_base(base);
    if !number.is_finite() {
        return Err(too_much(text, limit));
    }
    let figure = Figure::of(number);
    // The rounded figure is what is checked, so that its canonical text passes again.
    let size = unit.to_base(figure.0.abs());
    if size > limit.unit.to_base(limit.number) {
        return Err(too_much(text, limit));
    }
    if figure.0 < 0.0 && unit.dimension() != Dimension::Voltage {
        let noun = unit.dimension().noun();
        return Err(refusal::out_of_range(format!("{} is negative, which {noun} cannot be", quoted(text))));
    }
    if size != 0.0 && size < SMALLEST {
        return Err(refusal::out_of_range(format!("{} is too small to be measured", quoted(text))));
    }
    Ok(figure)
}

fn too_much(text: &str, limit: Measure) -> Misread {
    let most = format!("{} {}", limit.number, limit.unit.symbol());
    refusal::out_of_range(format!("{} is beyond {most}, the most that is believed here", quoted(text)))
}

/// In any base unit.
const SMALLEST: f64 = 1e-9;

/// The most that is believed of a field in this unit. Wide limits against slips of the pen, set for
/// work on road vehicles (common practice, no source): 1000 V, 2000 A, 100 Mohm (an insulation
/// test), 2 m for holes and diameters, 100 m for runs, 500 mm², 1000 N·m, a week.
fn ceiling(unit: Unit) -> Measure {
    match unit {
        Unit::Metre | Unit::Foot => Measure::new(100.0, Unit::Metre),
        _ => match unit.dimension() {
            Dimension::Voltage => Measure::new(1000.0, Unit::Volt),
            Dimension::Current => Measure::new(2000.0, Unit::Ampere),
            Dimension::Resistance => Measure::new(100.0, Unit::Megohm),
            Dimension::Length => Measure::new(2000.0, Unit::Millimetre),
            Dimension::Area => Measure::new(500.0, Unit::SquareMillimetre),
            Dimension::Torque => Measure::new(1000.0, Unit::NewtonMetre),
            Dimension::Time => Measure::new(168.0, Unit::Hour),
        },
    }
}
