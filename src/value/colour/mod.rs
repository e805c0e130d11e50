//! Wire colours: a base colour and its tracers, in the order they were written.
//!
//! This file owns the value itself: its canonical text, its words, how two colours relate and which
//! ones are mistaken for each other. `tint` holds the single colours and their codes, `words` the
//! vocabulary of installers, `tokens` and `reading` the way from a written text to a value.

mod doubt;
mod phrase;
mod reading;
mod tint;
mod tokens;
mod words;

#[cfg(test)]
mod tests;

use serde_json::{Map, Value, json};

use super::{Misread, Problem, Relation, Typed};
pub use tint::{Hue, Shade, Tint};

/// The most tracers that one wire is read with. Two already are rare; a longer list is rather a
/// list of wires (common practice, no source).
pub const MOST_TRACERS: usize = 3;

/// What is known of the stripes along a wire.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Tracers {
    /// Nothing was written: there may be one.
    NotSaid,
    /// It was written that there is none.
    None,
    /// These, in the order written; never empty in a `Colour`.
    Listed(Vec<Tint>),
}

/// The colour of one wire.
///
/// The order of base and tracers is that of the writer and never changed. IEC 60757 joins the codes
/// of one item in the order of its table and so cannot tell base from tracer; the canonical text
/// here uses its codes, joined by a slash with the base first, as vehicle wiring is written
/// (common practice, no source).
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Colour {
    base: Tint,
    tracers: Tracers,
}

impl Colour {
    /// A wire of `base` with `tracers`; an empty list means that there is none.
    ///
    /// # Errors
    /// `OutOfRange` where a tracer is the very colour of the base, or where there are more than
    /// [`MOST_TRACERS`].
    pub fn new(base: Tint, tracers: Tracers) -> Result<Self, Misread> {
        let tracers = match tracers {
            Tracers::Listed(list) if list.is_empty() => Tracers::None,
            Tracers::Listed(list) => Tracers::Listed(checked(base, list)?),
            other => other,
        };
        Ok(Self { base, tracers })
    }

    /// Reads what an installer wrote: codes of IEC 60757, plain words, the shorthand of the trade.
    ///
    /// # Errors
    /// `Ambiguous` with the readings offered where the text can mean more than one colour, is in
    /// doubt, or may name two wires; `Unreadable` where a word is not understood or a part is
    /// missing; `OutOfRange` as in [`Colour::new`].
    pub fn parse(text: &str) -> Result<Self, Misread> {
        reading::parse(text)
    }

    /// Whether a word, in lower case, says a colour or how light one is: a phrase of colour may begin with it.
    #[must_use]
    pub fn begins_with(word: &str) -> bool {
        words::begins_colour(word)
    }

    /// Whether a word, in lower case, can be any part of what is said of a colour.
    #[must_use]
    pub fn has_word(word: &str) -> bool {
        words::look_up(word).is_some() || words::begins_colour(word)
    }

    /// The words of colour that are long enough to be recognised when they are misspelt.
    pub fn spoken_words() -> impl Iterator<Item = &'static str> {
        words::spoken()
    }

    /// The colour of the insulation itself.
    #[must_use]
    pub fn base(&self) -> Tint {
        self.base
    }

    /// What is known of its tracers.
    #[must_use]
    pub fn tracers(&self) -> &Tracers {
        &self.tracers
    }
}

fn checked(base: Tint, list: Vec<Tint>) -> Result<Vec<Tint>, Misread> {
    if list.contains(&base) {
        let message =
            format!("a {0} wire cannot have a {0} tracer; write the colour of the tracer", base.plain());
        return Err(Misread::new(Problem::OutOfRange, message));
    }
    if list.len() > MOST_TRACERS {
        let message = format!("a wire has at most {MOST_TRACERS} tracers; write one wire at a time");
        return Err(Misread::new(Problem::OutOfRange, message));
    }
    Ok(list)
}

impl std::fmt::Display for Colour {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.base)?;
        match &self.tracers {
            Tracers::NotSaid => Ok(()),
            Tracers::None => f.write_str(", no tracer"),
            Tracers::Listed(list) => list.iter().try_for_each(|tracer| write!(f, "/{tracer}")),
        }
    }
}

impl Typed for Colour {
    /// A list of tracers counts as complete: who writes tracers writes them all. So violet/white
    /// and violet/white/red are different, which shows the doubt instead of hiding it; only where
    /// nothing was written about tracers can another text be finer.
    fn relation(&self, other: &Self) -> Relation {
        self.base.relation(other.base).and(tracers_relation(&self.tracers, &other.tracers))
    }

    fn plain(&self) -> String {
        let base = self.base.plain();
        match &self.tracers {
            Tracers::NotSaid => base,
            Tracers::None => format!("{base}, no tracer"),
            Tracers::Listed(list) if list.len() == 1 => format!("{base} with {} tracer", spoken(list)),
            Tracers::Listed(list) => format!("{base} with {} tracers", spoken(list)),
        }
    }

    /// `tracers` is null where nothing was said of them and an empty list where there is none.
    fn parts(&self) -> Map<String, Value> {
        let tracers = match &self.tracers {
            Tracers::NotSaid => Value::Null,
            Tracers::None => json!([]),
            Tracers::Listed(list) => list.iter().map(|tracer| json!(tracer.to_string())).collect(),
        };
        Map::from_iter([
            ("base".to_owned(), json!(self.base.hue.code())),
            ("base_plain".to_owned(), json!(self.base.hue.plain())),
            ("shade".to_owned(), json!(self.base.shade.map(Shade::word))),
            ("tracers".to_owned(), tracers),
        ])
    }
}

/// `white`, `white and red`, `white, red and green`.
fn spoken(list: &[Tint]) -> String {
    let mut words: Vec<String> = list.iter().map(|tint| tint.plain()).collect();
    let last = words.pop().unwrap_or_default();
    if words.is_empty() { last } else { format!("{} and {last}", words.join(", ")) }
}

fn tracers_relation(first: &Tracers, second: &Tracers) -> Relation {
    match (first, second) {
        (Tracers::NotSaid, Tracers::NotSaid) | (Tracers::None, Tracers::None) => Relation::Same,
        (Tracers::NotSaid, _) => Relation::SecondFiner,
        (_, Tracers::NotSaid) => Relation::FirstFiner,
        (Tracers::Listed(a), Tracers::Listed(b)) if a.len() == b.len() => {
            a.iter().zip(b).fold(Relation::Same, |whole, (a, b)| whole.and(a.relation(*b)))
        }
        _ => Relation::Different,
    }
}

/// Whether two different colours are readily taken for each other on a faded, dirty or badly lit
/// wire, or by reading base and tracer the wrong way round. Common practice, no source.
#[must_use]
pub fn commonly_confused(a: &Colour, b: &Colour) -> bool {
    a.relation(b) == Relation::Different && (swapped(a, b) || looks_like(a, b))
}

fn swapped(a: &Colour, b: &Colour) -> bool {
    match (&a.tracers, &b.tracers) {
        (Tracers::Listed(of_a), Tracers::Listed(of_b)) => of_a[..] == [b.base] && of_b[..] == [a.base],
        _ => false,
    }
}

fn looks_like(a: &Colour, b: &Colour) -> bool {
    let tracers = match (&a.tracers, &b.tracers) {
        (Tracers::Listed(a), Tracers::Listed(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.looks_like(*b))
        }
        (a, b) => tracers_relation(a, b) != Relation::Different,
    };
    tracers && a.base.looks_like(b.base)
}
