//! Figures within a text: quantities with their units, threads, and codes of cavities, slots and connectors.
//!
//! A bare number is none of them: it is a word, and may be the code or the year of a question.

use std::borrow::Cow;

use super::cut::written;
use super::meaning::Meaning;
use crate::language::Language;
use crate::schema::Text;
use crate::value::FieldKind;
use crate::value::code::{Code, Lead};
use crate::value::lexicon::{Gap, Word};
use crate::value::quantity::{Dimension, Quantity, Rule, Unit, unit_named};
use crate::value::thread::Thread;
use crate::vehicle::ModelYear;

/// The most words of one figure: `4 ft 6 in`, `9.5 N m`.
const LONGEST: usize = 4;

/// Finds the figures that begin at word `at`; tells of each how many words it takes and what it means.
pub(super) fn all(
    language: &Language,
    text: &str,
    words: &[Word<'_>],
    at: usize,
    tell: &mut dyn FnMut(usize, Vec<Meaning>),
) {
    let first = written(text, &words[at]);
    if let Some(lead) = Code::announced_by(first) {
        announced(language, text, words, at, lead, tell);
        return;
    }
    if is_figure(text, words, at) {
        measured(language, text, words, at, tell);
    }
    by_itself(text, words, at, tell);
}

/// A text in which decimal commas are points. Nothing else changes, nor does where anything stands.
pub(super) fn with_points(text: &str) -> Cow<'_, str> {
    if !text.as_bytes().windows(2).any(|pair| pair[0].is_ascii_digit() && pair[1] == b',') {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    let words: Vec<&str> = text.split_inclusive(char::is_whitespace).collect();
    for (at, word) in words.iter().enumerate() {
        let bare = word.trim_end();
        let next = words.get(at + 1).map(|next| next.trim_end());
        match pointed(bare, next) {
            Some(number) => out.extend([&number, &word[bare.len()..]]),
            None => out.push_str(word),
        }
    }
    Cow::Owned(out)
}

/// A number with a decimal comma as one with a point, where a unit follows: a comma parts words else, as in `pins 3,5`.
/// Three digits behind it may be thousands, but not of inches: `1,200 mm` and `1,375 inch`.
fn pointed(word: &str, next: Option<&str>) -> Option<String> {
    let (whole, rest) = word.split_once(',')?;
    let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
    let (part, tail) = rest.split_at(end);
    if whole.is_empty() || part.is_empty() || !whole.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let written = if tail.is_empty() { next? } else { tail };
    let unit = unit_named(written.trim_end_matches([',', ';', '.']))?;
    let inch = unit == Unit::Inch;
    // The word `in` is rather no inch behind a list of two pins.
    let list = inch && written == "in" && part.len() == 1;
    let thousands = !inch && part.len() == 3 && whole != "0";
    (!list && !thousands).then(|| format!("{whole}.{part}{tail}"))
}

/// Numbers that people write out where they count or measure something, sorted.
const WRITTEN_OUT: [(&str, &str); 24] = [
    ("eight", "8"),
    ("eighteen", "18"),
    ("eleven", "11"),
    ("fifteen", "15"),
    ("fifty", "50"),
    ("five", "5"),
    ("forty", "40"),
    ("four", "4"),
    ("fourteen", "14"),
    ("half", "1/2"),
    ("nine", "9"),
    ("one", "1"),
    ("quarter", "1/4"),
    ("seven", "7"),
    ("six", "6"),
    ("sixteen", "16"),
    ("sixty", "60"),
    ("ten", "10"),
    ("thirteen", "13"),
    ("thirty", "30"),
    ("three", "3"),
    ("twelve", "12"),
    ("twenty", "20"),
    ("two", "2"),
];

/// A text in which numbers that are written out are figures, where a unit follows or a word that announces a code stands
/// before: `ten gauge`, `pin five`.
pub(super) fn with_digits(text: &str) -> Cow<'_, str> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let digits = |at: usize| {
        let word = words[at].to_lowercase();
        let found = WRITTEN_OUT.binary_search_by(|(own, _)| (*own).cmp(word.as_str())).ok()?;
        let measured = words.get(at + 1).is_some_and(|next| is_unit_written(&next.to_lowercase()));
        let announced = at > 0 && matches!(Code::announced_by(words[at - 1]), Some(Some(_)));
        (measured || announced).then_some(WRITTEN_OUT[found].1)
    };
    let figures: Vec<Option<&str>> = (0..words.len()).map(digits).collect();
    if figures.iter().all(Option::is_none) {
        return Cow::Borrowed(text);
    }
    let said = words.iter().zip(figures).map(|(word, figure)| figure.unwrap_or(word));
    Cow::Owned(said.collect::<Vec<_>>().join(" "))
}

/// Whether a word is a unit wherever it stands: `in` and `a` are not.
fn is_unit_written(word: &str) -> bool {
    let word = word.trim_end_matches([',', ';', '.']);
    is_gauge(word) || (word.len() > 1 && word != "in" && unit_named(word).is_some())
}

/// Whether a figure may begin with a word, given as written and by its key.
pub(super) fn may_begin(written: &str, key: &str) -> bool {
    has_digit(written) || is_gauge(key) || Code::announced_by(written).is_some()
}

fn has_digit(word: &str) -> bool {
    word.bytes().any(|byte| byte.is_ascii_digit())
}

fn is_figure(text: &str, words: &[Word<'_>], at: usize) -> bool {
    let first = written(text, &words[at]);
    is_gauge(&words[at].key) || has_digit(first)
}

fn is_gauge(key: &str) -> bool {
    matches!(key, "awg" | "gauge" | "gage")
}

/// `pin 2`, `slot F12`, `connector C-212`.
fn announced(
    language: &Language,
    text: &str,
    words: &[Word<'_>],
    at: usize,
    lead: Option<Lead>,
    tell: &mut dyn FnMut(usize, Vec<Meaning>),
) {
    let field = lead.map(|lead| match lead {
        Lead::Cavity => "cavity".to_owned(),
        Lead::Slot => "slot".to_owned(),
        Lead::Connector => "connector".to_owned(),
    });
    for length in [3, 2] {
        let Some(run) = words.get(at..at + length) else { continue };
        let glued = run[2..].iter().all(|word| word.gap == Gap::Hyphen);
        let code = &text[run[1].span.start..run[length - 1].span.end];
        // A count is no code: `plug, 7-way`.
        let count = length == 3 && code.starts_with(|c: char| c.is_ascii_digit()) && run[2].key.len() > 1;
        // Nor is a measure: `hood pin, 16 ga`.
        let unit = words.get(at + 2).is_some_and(|next| is_unit_written(&written(text, next).to_lowercase()));
        if (glued && count && !has_digit(&run[2].key)) || (unit && length == 2) {
            return;
        }
        if glued && run[1].gap != Gap::Break && (has_digit(code) || code.chars().count() == 1) {
            // A `fuse 20 A` is known by what it carries, not by its slot.
            let rated = !quantities(language, code, Dimension::Current).is_empty();
            // Nor is a `hood pin 2013` known by a cavity: what can be a year is one.
            let year = ModelYear::parse(code, language.year()).is_ok();
            if let (Ok(code), false) = (Code::parse(code), rated || (year && code.len() == 4)) {
                tell(length, vec![Meaning::Code(field, code.to_string())]);
            }
            return;
        }
    }
}

/// Quantities of every field that measures so, and threads.
fn measured(
    language: &Language,
    text: &str,
    words: &[Word<'_>],
    at: usize,
    tell: &mut dyn FnMut(usize, Vec<Meaning>),
) {
    let start = words[at].span.start;
    let start = start - usize::from(text[..start].ends_with(['#', '.', '-']));
    for length in (1..=LONGEST.min(words.len() - at)).rev() {
        let run = &words[at..at + length];
        if run[1..].iter().any(|word| word.gap == Gap::Break) {
            continue;
        }
        let end = run[length - 1].span.end;
        // Behind what can be a year, `in` is no inch: `a 2019 in last week`.
        let year = length == 2 && run[1].key == "in" && run[0].key.len() == 4;
        if year && ModelYear::parse(&run[0].key, language.year()).is_ok() {
            continue;
        }
        let mut meanings = match unit(&text[run[0].span.start..end], run[length - 1].span.len()) {
            Some(unit) => quantities(language, &text[start..end], unit),
            // What is drilled or cut is often told in bare fractions of an inch.
            None if is_fraction(&text[start..end]) => {
                quantities(language, &format!("{} in", &text[start..end]), Dimension::Length)
            }
            None => Vec::new(),
        };
        if may_be_thread(&text[start..end])
            && let Ok(thread) = Thread::parse(&text[start..end])
        {
            meanings.push(Meaning::Thread(thread));
        }
        if !meanings.is_empty() {
            tell(length, meanings);
            return;
        }
    }
}

/// What the unit at the end of a figure measures, of which the last word has so many bytes; that of a wire gauge may
/// stand before, and that of hours between. Without a unit nothing is read, which spares most numbers the reading.
fn unit(text: &str, last: usize) -> Option<Dimension> {
    if text.ends_with(['"', '\u{2033}']) {
        return Some(Dimension::Length);
    }
    let word = &text[text.len() - last..];
    let tail = |text: &str| unit_named(text.trim_start_matches(|c: char| !c.is_alphabetic()));
    let named = tail(text).or_else(|| tail(word)).map(Unit::dimension);
    let lower = text.to_ascii_lowercase();
    named.or_else(|| match lower.chars().next() {
        _ if !has_digit(word) => None,
        Some('a' | 'g') => Some(Dimension::Area),
        _ => lower.contains('h').then_some(Dimension::Time),
    })
}

/// Whether a text can be that of a thread: reading all numbers as such would take long.
fn may_be_thread(text: &str) -> bool {
    let text = text.to_ascii_lowercase();
    let metric = text.strip_prefix('m').is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()));
    metric || text.contains(['/', '#']) || ["stud", "bolt", "thread"].iter().any(|word| text.contains(word))
}

/// Whether a text is a fraction without a unit: `7/8`, `1-3/8`.
fn is_fraction(text: &str) -> bool {
    let signs = |c: char| c.is_ascii_digit() || matches!(c, '/' | '-' | ' ');
    text.matches('/').count() == 1 && text.len() <= 8 && text.chars().all(signs)
}

/// Every quantity of a field of this dimension that `text` says with its unit.
fn quantities(language: &Language, text: &str, dimension: Dimension) -> Vec<Meaning> {
    // A bare number has no unit, and most codes are one.
    if text.bytes().all(|byte| byte.is_ascii_digit()) {
        return Vec::new();
    }
    let rules = language.catalogue.fields.iter().filter_map(|field| match &field.kind {
        FieldKind::Quantity(rule) if rule.dimension() == dimension => Some((&field.name, rule)),
        _ => None,
    });
    let read = |(name, rule): (&Text, &Rule)| {
        let read = Quantity::parse(text, &Rule { bare: false, ..*rule }).ok()?;
        Some(Meaning::Quantity(name.to_string(), read))
    };
    rules.filter_map(read).collect()
}

/// Whether a word is a number with a decimal point, which is a quantity and no code.
pub(super) fn is_decimal(word: &str) -> bool {
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    word.split_once('.').is_some_and(|(whole, part)| digits(whole) && digits(part))
}

/// The quantities that a number without a unit may be: those of fields that are told so.
pub(super) fn bare(language: &Language, number: &str) -> Vec<Meaning> {
    let fields = language.catalogue.fields.iter();
    let read = fields.filter_map(|field| match &field.kind {
        FieldKind::Quantity(rule) if rule.bare => {
            Some(Meaning::Quantity(field.name.to_string(), Quantity::parse(number, rule).ok()?))
        }
        _ => None,
    });
    read.collect()
}

/// The fields that are measured in a unit which is written out: `amps` is a word for all that has amperes.
pub(super) fn measured_in(language: &Language, word: &str) -> Vec<Meaning> {
    // Shorter ones are rather other words: `in`, `min`.
    const SHORTEST: usize = 4;
    let Some(unit) = unit_named(word).filter(|_| word.len() >= SHORTEST) else { return Vec::new() };
    let fields = language.catalogue.fields.iter().filter(|field| match &field.kind {
        FieldKind::Quantity(rule) => rule.dimension() == unit.dimension(),
        _ => false,
    });
    fields.map(|field| Meaning::Field(field.name.to_string())).collect()
}

/// A code that is recognised without a word before it, since it has both letters and digits: `C212`, `D-19`.
fn by_itself(text: &str, words: &[Word<'_>], at: usize, tell: &mut dyn FnMut(usize, Vec<Meaning>)) {
    let mixed = |code: &str| has_digit(code) && code.contains(|c: char| c.is_alphabetic());
    let first = written(text, &words[at]);
    let hyphened = words.get(at + 1).filter(|next| next.gap == Gap::Hyphen);
    let joined = hyphened.map(|next| &text[words[at].span.start..next.span.end]);
    // Letters before figures: what comes the other way round is a measure or a count.
    let begins = first.starts_with(|c: char| c.is_alphabetic()) && first.chars().count() <= 4;
    let whole = joined.filter(|code| begins && mixed(code) && code.chars().count() <= 7);
    let (code, length) = match whole {
        Some(code) => (code, 2),
        None if mixed(first) => (first, 1),
        None => return,
    };
    if let Ok(code) = Code::parse(code) {
        tell(length, vec![Meaning::Code(None, code.to_string())]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_decimal_comma_is_one_where_a_unit_follows() {
        for (word, next, expected) in [
            ("3,5", Some("cm"), Some("3.5")),
            ("12,4V", None, Some("12.4V")),
            ("1,375", Some("inch"), Some("1.375")),
            ("1,200", Some("mm"), None),
            ("3,5", Some("in"), None),
            ("3,5", Some("violet"), None),
            ("3,5", None, None),
            ("blue,5", Some("mm"), None),
        ] {
            assert_eq!(pointed(word, next).as_deref(), expected, "{word} {next:?}");
        }
    }

    #[test]
    fn numbers_written_out_are_figures_where_something_is_counted() {
        assert!(WRITTEN_OUT.is_sorted());
        for (text, expected) in [
            ("ten gauge wire", "10 gauge wire"),
            ("Twenty amp fuse", "20 amp fuse"),
            ("half inch hole", "1/2 inch hole"),
            ("pin five of C212", "pin 5 of C212"),
            ("two in the kick panel", "two in the kick panel"),
            ("one wire of three", "one wire of three"),
        ] {
            assert_eq!(with_digits(text), expected);
        }
    }

    #[test]
    fn points_for_commas_move_nothing() {
        for (text, expected) in [
            ("reads 12,4 V, then 0 V", "reads 12.4 V, then 0 V"),
            ("a hole of 3,5  cm\tat the 4,2V tap", "a hole of 3,5  cm\tat the 4.2V tap"),
            ("pins 3,5 in the plug", "pins 3,5 in the plug"),
            ("größe 1,5 mm", "größe 1.5 mm"),
        ] {
            assert_eq!(with_points(text), expected);
            assert_eq!(with_points(text).len(), text.len());
        }
    }
}
