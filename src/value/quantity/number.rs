//! Numbers as people write them: decimal point or comma, thousands marks, fractions.
//!
//! Only what a number means; which number of a text is which stands in `grammar.rs`.

use super::units::Dimension;

/// What the text of one decimal number can mean.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Decimal {
    /// One meaning.
    One(f64),
    /// A comma before three digits, as in `1,200`: the text with the comma as decimal mark, and
    /// with it as thousands mark.
    Either(String, String),
    /// None: `1.2.3`.
    No,
}

/// Reads digits with points, commas and an exponent. A single comma is a decimal mark unless it
/// could as well part thousands; a single point always is one.
pub(super) fn decimal(text: &str) -> Decimal {
    let (commas, points) = (text.matches(',').count(), text.matches('.').count());
    let last_comma = text.rfind(',');
    let last_point = text.rfind('.');
    let plain = match (commas, points) {
        (0, 0 | 1) => Some(text.to_owned()),
        (1, 0) if parts_thousands(text, ',') => {
            return Decimal::Either(text.replace(',', "."), text.replace(',', ""));
        }
        (1, 0) => Some(text.replace(',', ".")),
        (_, 0) => without_thousands(text, ','),
        (0, _) => without_thousands(text, '.'),
        (_, 1) if last_comma < last_point => without_thousands(text, ','),
        (1, _) if last_point < last_comma => without_thousands(text, '.').map(|t| t.replace(',', ".")),
        _ => None,
    };
    plain.and_then(|plain| plain.parse().ok()).map_or(Decimal::No, Decimal::One)
}

/// The text without its thousands marks; `None` where they do not part groups of three.
fn without_thousands(text: &str, mark: char) -> Option<String> {
    let other = if mark == ',' { '.' } else { ',' };
    let whole = text.split(other).next().unwrap_or(text);
    parts_thousands(whole, mark).then(|| text.replace(mark, ""))
}

fn parts_thousands(whole: &str, mark: char) -> bool {
    let mut groups = whole.split(mark);
    let first = groups.next().unwrap_or_default();
    let leads = (1..=3).contains(&first.len()) && !first.starts_with('0');
    leads && all_digits(first) && groups.all(|group| group.len() == 3 && all_digits(group))
}

pub(super) fn all_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// What a fraction can mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Fraction {
    /// A number.
    Value(f64),
    /// `1/0` to `4/0`, the large wire gauges: the number before the slash.
    Aught(u32),
    /// Divided by zero.
    ByZero,
    /// Perhaps two values, as in `12/24 V`.
    TwoValues,
    /// Not a fraction that a rule or a drill is marked with.
    No,
}

/// Reads `whole num/den` where a value of `dimension` is expected.
pub(super) fn fraction(whole: u32, num: u32, den: u32, dimension: Dimension) -> Fraction {
    let value = Fraction::Value(f64::from(whole) + f64::from(num) / f64::from(den));
    let proper = num < den;
    match dimension {
        Dimension::Area if den == 0 && whole == 0 => Fraction::Aught(num),
        _ if den == 0 => Fraction::ByZero,
        _ if whole > 0 && !proper => Fraction::No,
        Dimension::Length if den.is_power_of_two() && den <= 64 => value,
        Dimension::Length => Fraction::No,
        // In lowest terms and of a size that people say; `12/24` and `10/15` are pairs.
        _ if proper && matches!(den, 2 | 3 | 4 | 8 | 16) && lowest_terms(num, den) => value,
        _ if whole == 0 => Fraction::TwoValues,
        _ => Fraction::No,
    }
}

fn lowest_terms(num: u32, den: u32) -> bool {
    let (mut a, mut b) = (num, den);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a == 1
}
