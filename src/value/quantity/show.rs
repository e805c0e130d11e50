//! A quantity as text: the canonical one that reads back, the one that a person would say, and
//! the parts for JSON.

use serde_json::{Map, Value};

use super::units::Unit;
use super::{Awg, Extent, Figure, Quantity};

/// In the field's unit, up to six significant digits: `12-14 V`, `about 12.4 V`, `at least 11 V`.
pub(super) fn canonical(quantity: &Quantity) -> String {
    let (low, high) = match quantity.extent {
        Extent::Measured { low, high, .. } => (low.0.to_string(), high.map(|end| end.0.to_string())),
        Extent::Gauged { low, high } => (low.to_string(), high.map(|end| end.to_string())),
    };
    sentence(quantity, &low, high.as_deref())
}

fn sentence(quantity: &Quantity, low: &str, high: Option<&str>) -> String {
    let unit = quantity.unit().symbol();
    let about = if quantity.about { "about " } else { "" };
    match high {
        None => format!("at least {about}{low} {unit}"),
        Some(high) if high == low => format!("{about}{low} {unit}"),
        // A dash beside a minus sign or a slash would read as something else: `2-1/0` as a fraction.
        Some(high) if format!("{low}{high}").contains(['-', '/']) => {
            format!("{about}{low} to {high} {unit}")
        }
        Some(high) => format!("{about}{low}-{high} {unit}"),
    }
}

/// Four significant digits, and beside it what the trade would rather hear: the inch fraction of a
/// drill, the area of a gauge, the hours of a long time.
pub(super) fn plain(quantity: &Quantity) -> String {
    let Extent::Measured { unit, low, high } = quantity.extent else { return plain_gauge(quantity) };
    let single = high == Some(low);
    let fraction = if unit == Unit::Millimetre && single { inch_fraction(low) } else { None };
    if let Some(fraction) = fraction {
        return format!("{} ({fraction} in)", sentence_of(quantity, |end| format!("{end:.1}")));
    }
    let said = sentence_of(quantity, |end| significant(end, 4));
    match hours(unit, low) {
        Some(hours) if single => format!("{said} ({hours})"),
        _ => said,
    }
}

fn sentence_of(quantity: &Quantity, say: impl Fn(f64) -> String) -> String {
    let (low, high) = quantity.ends();
    sentence(quantity, &say(low), high.map(&say).as_deref())
}

fn plain_gauge(quantity: &Quantity) -> String {
    let area = |gauge: Awg| format!("{} mm²", significant(gauge.area().0, 3));
    match quantity.awg() {
        Some(gauge) => format!("{} ({})", canonical(quantity), area(gauge)),
        None => canonical(quantity),
    }
}

/// `1-3/8` for 34.925 mm; `None` for whole millimetres and for what is no multiple of 1/64 in.
pub(super) fn inch_fraction(length: Figure) -> Option<String> {
    let parts = (length.0 / 25.4 * 64.0).round();
    let exact = parts > 0.0 && Figure::of(parts / 64.0 * 25.4) == length;
    if !exact || length.0.fract() == 0.0 || parts > 1e6 {
        return None;
    }
    Some(mixed_number(parts as u32))
}

/// Sixty-fourths as a mixed number in lowest terms.
fn mixed_number(parts: u32) -> String {
    let (whole, rest) = (parts / 64, parts % 64);
    let shift = rest.trailing_zeros().min(6);
    match (whole, rest) {
        (_, 0) => whole.to_string(),
        (0, _) => format!("{}/{}", rest >> shift, 64 >> shift),
        _ => format!("{whole}-{}/{}", rest >> shift, 64 >> shift),
    }
}

/// `1 h 30 min` for 90 whole minutes; `None` below an hour and for another unit.
fn hours(unit: Unit, time: Figure) -> Option<String> {
    if unit != Unit::Minute || time.0 < 60.0 || time.0.fract() != 0.0 {
        return None;
    }
    let (hours, minutes) = (time.0 as u32 / 60, time.0 as u32 % 60);
    Some(if minutes == 0 { format!("{hours} h") } else { format!("{hours} h {minutes} min") })
}

/// The shortest decimal that agrees in so many significant digits, whole digits all kept.
#[must_use]
pub fn significant(number: f64, digits: usize) -> String {
    if number.abs() >= 1000.0 {
        return number.round().to_string();
    }
    let rounded: f64 = format!("{number:.*e}", digits - 1).parse().unwrap_or(number);
    rounded.to_string()
}

/// `{"low": 34.925, "high": 34.925, "unit": "mm", "about": false}`; `high` is null where it is open
/// above. A gauge stands as text (`"1/0"`), with its area beside it.
pub(super) fn parts(quantity: &Quantity) -> Map<String, Value> {
    let mut parts = Map::new();
    let (low, high) = match quantity.extent {
        Extent::Measured { low, high, .. } => (Value::from(low.0), high.map(|end| Value::from(end.0))),
        Extent::Gauged { low, high } => {
            (Value::from(low.to_string()), high.map(|end| Value::from(end.to_string())))
        }
    };
    parts.insert("low".into(), low);
    parts.insert("high".into(), high.unwrap_or(Value::Null));
    parts.insert("unit".into(), quantity.unit().symbol().into());
    parts.insert("about".into(), quantity.about.into());
    if let (Unit::Awg, Some(area)) = (quantity.unit(), quantity.square_mm()) {
        parts.insert("low_mm2".into(), Figure::of(area.low.0).0.into());
        parts.insert("high_mm2".into(), area.high.map_or(Value::Null, |end| Figure::of(end.0).0.into()));
    }
    parts
}
