//! From a thread taken to its parts to a size and pitch of the series, or to what it may mean.
//!
//! A size without its system, such as `10`, is never guessed: M10 and #10 are both studs. What the
//! standards have is the business of `series`.

use super::reading::{Head, Part, Unit, Written};
use super::refusal::{EXAMPLE, ambiguous, impossible, unreadable};
use super::series::{self, InchSize, Micrometres};
use super::{Form, Thread};
use crate::value::Misread;

/// The thread that was written, if the series has it and nothing else can be meant.
pub(super) fn thread(text: &str, written: Written) -> Result<Thread, Misread> {
    match written.head {
        Head::Metric(diameter) => metric(diameter, written),
        Head::Numbered(number) => numbered(number, written),
        Head::Fraction { whole, part, of } => fraction(text, whole, part, of, written),
        Head::Bare(number) => bare(text, number, written),
    }
}

fn metric(diameter: Micrometres, written: Written) -> Result<Thread, Misread> {
    if written.unit == Unit::Inch {
        return Err(unreadable(&format!("M{diameter} is a metric size and not in inches")));
    }
    let pitches = series::metric_pitches(diameter).ok_or_else(|| no_metric_size(diameter))?;
    let pitch = written.pitch.map(Micrometres);
    if let Some(wrong) = pitch.filter(|pitch| !pitches.contains(pitch)) {
        let why = format!(
            "{wrong} mm is no pitch of M{diameter} in ISO 261: it has {}; a length is not part of a thread",
            listed(&pitches)
        );
        return Err(impossible(why, pitches.iter().map(|&pitch| of_metric(diameter, Some(pitch))).collect()));
    }
    let Some(series) = written.series else { return Ok(of_metric(diameter, pitch)) };
    let named = series::metric_series(diameter, series);
    match (pitch, &named[..]) {
        (Some(pitch), named) if named.contains(&pitch) => Ok(of_metric(diameter, Some(pitch))),
        (None, [only]) => Ok(of_metric(diameter, Some(*only))),
        (None, [_, ..]) => {
            let readings = named.iter().map(|&pitch| of_metric(diameter, Some(pitch))).collect();
            Err(ambiguous(&format!("M{diameter} has more than one fine pitch"), readings))
        }
        _ => Err(impossible(
            format!("M{diameter} has no such pitch in the series named: it has {} mm", listed(&pitches)),
            Vec::new(),
        )),
    }
}

fn of_metric(diameter: Micrometres, pitch: Option<Micrometres>) -> Thread {
    Thread(Form::Metric { diameter, pitch })
}

fn no_metric_size(diameter: Micrometres) -> Misread {
    let near = match series::metric_neighbours(diameter) {
        (Some(below), Some(above)) => vec![of_metric(below, None), of_metric(above, None)],
        _ => {
            return impossible(
                format!("M{diameter} is no stud or bolt of a vehicle: ISO 261 is read here from M1 to M64"),
                Vec::new(),
            );
        }
    };
    impossible(format!("M{diameter} is not in ISO 261; the nearest are {} and {}", near[0], near[1]), near)
}

fn listed<T: ToString>(items: &[T]) -> String {
    items.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

fn numbered(number: u32, written: Written) -> Result<Thread, Misread> {
    if written.unit != Unit::None {
        return Err(unreadable("a numbered size has no unit"));
    }
    match number_size(number) {
        Some(size) => inch(size, written),
        None => Err(impossible(
            format!("#{} is not in ASME B1.1: the numbers are 0 to 6, 8, 10 and 12", Micrometres(number)),
            Vec::new(),
        )),
    }
}

/// The numbered size of the series, from a number in thousandths.
fn number_size(number: u32) -> Option<InchSize> {
    let size = InchSize::Number(whole(number)?);
    series::inch_counts(size).map(|_| size)
}

/// A whole number up to 255, from thousandths.
fn whole(number: u32) -> Option<u8> {
    (number.is_multiple_of(1000)).then(|| u8::try_from(number / 1000).ok()).flatten()
}

fn inch(size: InchSize, written: Written) -> Result<Thread, Misread> {
    let counts = series::inch_counts(size).unwrap_or_default();
    let named = written.series.map(|series| series::inch_series(size, series));
    let given = written.pitch.map(|pitch| whole(pitch).filter(|count| counts.contains(count)));
    match (given, named) {
        (None, None) => Ok(of_inch(size, None)),
        (Some(Some(count)), None) => Ok(of_inch(size, Some(count))),
        (None, Some(Some(count))) => Ok(of_inch(size, Some(count))),
        (Some(Some(given)), Some(Some(named))) if given == named => Ok(of_inch(size, Some(given))),
        _ => {
            let near: Vec<Thread> = counts.iter().map(|&count| of_inch(size, Some(count))).collect();
            let why = format!(
                "ASME B1.1 has {} as {}, coarse (UNC) before fine (UNF); a length is not part of a thread",
                of_inch(size, None),
                listed(&near)
            );
            Err(impossible(why, near))
        }
    }
}

fn of_inch(size: InchSize, per_inch: Option<u8>) -> Thread {
    Thread(Form::Inch { size, per_inch })
}

/// A fraction of an inch. `10/32` is also how some write 10-32, so it is not read as 5/16.
fn fraction(text: &str, whole: u32, part: u32, of: u32, written: Written) -> Result<Thread, Misread> {
    if written.unit == Unit::Millimetre {
        return Err(unreadable(&format!("{text:?} is a fraction; fractions are of an inch")));
    }
    let size = sixteenths(text, whole, part, of);
    let numbered =
        number_size(part).filter(|_| whole == 0 && written.unit == Unit::None && written.pitch.is_none());
    let swapped = numbered.and_then(|size| inch(size, Written { pitch: Some(of), ..written }).ok());
    match swapped {
        Some(thread) => {
            let readings = [Some(thread), size.ok().and_then(|size| inch(size, written).ok())];
            Err(ambiguous(
                &format!("{text:?} may be a numbered size or a fraction"),
                readings.into_iter().flatten().collect(),
            ))
        }
        None => inch(size?, written),
    }
}

/// The size of the series that a fraction is, all numbers in thousandths.
fn sixteenths(text: &str, whole: u32, part: u32, of: u32) -> Result<InchSize, Misread> {
    let absurd = || {
        impossible(
            format!("{text:?} is no stud or bolt of a vehicle: inch sizes are read here up to 1-1/2"),
            Vec::new(),
        )
    };
    if of == 0 || part == 0 || part % 1000 + of % 1000 + whole % 1000 > 0 {
        return Err(absurd());
    }
    let (whole, part, of) = (u64::from(whole / 1000), u64::from(part / 1000), u64::from(of / 1000));
    let ten_thousandths = u32::try_from((whole * of + part) * 10_000 / of).map_err(|_| absurd())?;
    let size = u8::try_from((whole * of + part) * 16 / of).ok().map(InchSize::Sixteenths);
    let is_exact = (whole * of + part) * 16 % of == 0;
    if let Some(size) = size.filter(|size| is_exact && series::inch_counts(*size).is_some()) {
        return Ok(size);
    }
    match series::inch_neighbours(ten_thousandths) {
        (Some(below), Some(above)) => {
            let near = vec![of_inch(below, None), of_inch(above, None)];
            Err(impossible(
                format!("{text:?} is not in ASME B1.1; the nearest are {} and {}", near[0], near[1]),
                near,
            ))
        }
        _ => Err(absurd()),
    }
}

/// A number without M or #: its unit, its pitch or the word "stud" may still tell what it is.
fn bare(text: &str, number: u32, written: Written) -> Result<Thread, Misread> {
    let millimetres = Micrometres(number);
    match written.unit {
        Unit::Millimetre if written.pitch.is_some() || written.part == Part::Stud => {
            metric(millimetres, written)
        }
        Unit::Millimetre => Err(perhaps_spanner(text, millimetres, written)),
        Unit::Inch if number == 1000 => inch(InchSize::ONE, written),
        Unit::Inch => Err(impossible(format!("{text:?} is not an inch thread; {EXAMPLE}"), Vec::new())),
        Unit::None => pitched(text, number, written),
    }
}

/// `8 mm` may be the thread, and of a bolt or nut also the spanner that fits it.
fn perhaps_spanner(text: &str, size: Micrometres, written: Written) -> Misread {
    // Widths across flats of ISO 4014 and ISO 4032 for M4 to M12, from memory.
    const SPANNERS: [(u32, u32); 6] =
        [(7000, 4000), (8000, 5000), (10000, 6000), (13000, 8000), (16000, 10000), (18000, 12000)];
    let thread = match metric(size, written) {
        Ok(thread) => Some(thread),
        Err(misread) if written.part == Part::None => return misread,
        Err(_) => None,
    };
    if written.part == Part::None {
        return ambiguous(
            &format!("{text:?} is a length and may be any size of the stud"),
            thread.into_iter().collect(),
        );
    }
    let spanner = SPANNERS.iter().find(|(width, _)| *width == size.0);
    let by_spanner = spanner.map(|&(_, diameter)| of_metric(Micrometres(diameter), None));
    ambiguous(
        &format!("{text:?} may be the size of the thread or of the spanner"),
        thread.into_iter().chain(by_spanner).collect(),
    )
}

/// `10-32` and `1-8` can be only one thread; `8-1.25` lacks its M, and `10` may be M10 or #10.
fn pitched(text: &str, number: u32, written: Written) -> Result<Thread, Misread> {
    let one = (number == 1000).then_some(InchSize::ONE);
    let in_inches = number_size(number).into_iter().chain(one).filter_map(|size| inch(size, written).ok());
    let in_inches: Vec<Thread> = in_inches.collect();
    match (&in_inches[..], written.pitch, written.joint) {
        ([only], Some(_), '-') => return Ok(*only),
        ([only], Some(_), _) => return Err(ambiguous(&format!("{text:?} lacks its hyphen"), vec![*only])),
        _ => {}
    }
    let in_metric = metric(Micrometres(number), written).ok();
    let readings: Vec<Thread> = in_metric.into_iter().chain(in_inches).collect();
    if readings.is_empty() {
        return Err(impossible(
            format!("{text:?} is neither a metric nor an inch thread; {EXAMPLE}"),
            Vec::new(),
        ));
    }
    Err(ambiguous(&format!("{text:?} does not say whether it is metric or inch"), readings))
}
