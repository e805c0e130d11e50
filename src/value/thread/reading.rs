//! From a written text to the parts of a thread: doubt and alternatives, size, unit, pitch, and the
//! words around them.
//!
//! Whether there is such a thread is the business of `sizes`.

use super::Thread;
use super::refusal::{ambiguous, unreadable};
use super::series::{Micrometres, Series};
use super::sizes;
use super::tokens::{self, Token};
use crate::value::Misread;

/// The longest text that is read, in bytes.
const LONGEST: usize = 60;

/// The size as written, before it is looked up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Head {
    Metric(Micrometres),
    Numbered(u32),
    Fraction { whole: u32, part: u32, of: u32 },
    Bare(u32),
}

/// The unit written behind the size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    None,
    Inch,
    Millimetre,
}

/// What the thread is on, where a word says so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    None,
    Stud,
    /// A bolt or nut, which is also called by the spanner that fits its head.
    Headed,
}

/// A written thread taken to its parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Written {
    pub(super) head: Head,
    pub(super) unit: Unit,
    /// Between size and pitch: `-`, `x`, or a space for none.
    pub(super) joint: char,
    /// In thousandths of whatever unit it is in.
    pub(super) pitch: Option<u32>,
    pub(super) series: Option<Series>,
    pub(super) part: Part,
}

pub(super) fn parse(text: &str) -> Result<Thread, Misread> {
    let text = text.trim();
    if text.is_empty() {
        return Err(unreadable("there is no text to read as a thread"));
    }
    if text.len() > LONGEST {
        return Err(unreadable("the text is too long for a thread"));
    }
    if text.chars().any(|c| c.is_control() && c != '\t') {
        return Err(unreadable("a thread is one line without control characters"));
    }
    let plain = tokens::spelled_out(text);
    let tokens = tokens::tokens(&plain)?;
    read_doubtful(text, &tokens)
}

/// Words of doubt and alternatives first, then the one thread that is left.
fn read_doubtful(text: &str, tokens: &[Token<'_>]) -> Result<Thread, Misread> {
    let is_doubt = |token: &Token<'_>| {
        matches!(token, Token::Sign('?') | Token::Word("maybe" | "perhaps" | "probably" | "possibly"))
    };
    if tokens.iter().any(is_doubt) {
        let certain: Vec<Token<'_>> = tokens.iter().filter(|token| !is_doubt(token)).copied().collect();
        let thread = read_doubtful(text, &certain)?;
        return Err(ambiguous(&format!("{text:?} is marked as doubtful"), vec![thread]));
    }
    let parts = alternatives(tokens);
    if parts.len() > 1 {
        let readings: Result<Vec<Thread>, Misread> = parts.iter().map(|part| read(text, part)).collect();
        return Err(ambiguous(&format!("{text:?} names more than one thread"), readings?));
    }
    read(text, tokens)
}

/// The parts between "or", "and", or a stroke before the next metric size: `M8/M6`.
fn alternatives<'t, 'a>(tokens: &'t [Token<'a>]) -> Vec<&'t [Token<'a>]> {
    let mut parts = Vec::new();
    let mut start = 0;
    for (at, token) in tokens.iter().enumerate() {
        let before_metric = matches!(tokens.get(at + 1), Some(Token::Word("m")));
        let splits = matches!(token, Token::Word("or" | "and") | Token::Sign('&' | '+'))
            || (before_metric && matches!(token, Token::Sign('/' | ',')));
        if splits {
            parts.push(&tokens[start..at]);
            start = at + 1;
        }
    }
    parts.push(&tokens[start..]);
    parts
}

fn read(text: &str, tokens: &[Token<'_>]) -> Result<Thread, Misread> {
    sizes::thread(text, written(text, tokens)?)
}

/// Takes the tokens apart. Words that say what the thread is on or which series it is of may stand
/// anywhere.
fn written(text: &str, tokens: &[Token<'_>]) -> Result<Written, Misread> {
    let (mut part, mut series) = (Part::None, None);
    let mut rest = Vec::with_capacity(tokens.len());
    for &token in tokens {
        match token {
            Token::Word("stud" | "studs" | "thread" | "threads" | "threaded") => {
                part = part.max_of(Part::Stud)
            }
            Token::Word("bolt" | "bolts" | "nut" | "nuts" | "screw" | "screws") => part = Part::Headed,
            Token::Word("unc" | "coarse") => series = Some(Series::Coarse),
            Token::Word("unf" | "fine") => series = Some(Series::Fine),
            Token::Word("unef") => series = Some(Series::ExtraFine),
            Token::Word("tpi" | "pitch") | Token::Sign('(' | ')') => {}
            other => rest.push(other),
        }
    }
    let mut cursor = Cursor { text, rest: &rest };
    let head = cursor.head()?;
    let unit = cursor.unit();
    let (joint, pitch) = cursor.pitch()?;
    cursor.end()?;
    Ok(Written { head, unit, joint, pitch, series, part })
}

impl Part {
    fn max_of(self, other: Self) -> Self {
        if self == Self::Headed { self } else { other }
    }
}

/// What is left of the tokens of one thread.
struct Cursor<'t, 'a> {
    text: &'t str,
    rest: &'t [Token<'a>],
}

impl Cursor<'_, '_> {
    fn take(&mut self, count: usize) {
        self.rest = &self.rest[count..];
    }

    fn head(&mut self) -> Result<Head, Misread> {
        use Token::{Number, Sign, Word};
        let (head, count) = match *self.rest {
            [Word("m"), Number(size), ..] => (Head::Metric(Micrometres(size)), 2),
            [Sign('#') | Word("no" | "number"), Number(number), ..] => (Head::Numbered(number), 2),
            [Number(part), Sign('/'), Number(of), ..] => (Head::Fraction { whole: 0, part, of }, 3),
            [Number(whole), Number(part), Sign('/'), Number(of), ..] => {
                (Head::Fraction { whole, part, of }, 4)
            }
            [Number(whole), Sign('-'), Number(part), Sign('/'), Number(of), ..] => {
                (Head::Fraction { whole, part, of }, 5)
            }
            [Number(number), ..] => (Head::Bare(number), 1),
            _ => return Err(self.stray()),
        };
        self.take(count);
        Ok(head)
    }

    fn unit(&mut self) -> Unit {
        let unit = match self.rest.first() {
            Some(Token::Sign('"') | Token::Word("in" | "inch" | "inches")) => Unit::Inch,
            Some(Token::Word("mm")) => Unit::Millimetre,
            _ => return Unit::None,
        };
        self.take(1);
        unit
    }

    fn pitch(&mut self) -> Result<(char, Option<u32>), Misread> {
        let joint = match self.rest.first() {
            Some(Token::Sign('-')) => '-',
            Some(Token::Word("x")) => 'x',
            _ => ' ',
        };
        self.take(usize::from(joint != ' '));
        let pitch = match self.rest.first() {
            Some(Token::Number(pitch)) => Some(*pitch),
            _ if joint == ' ' => None,
            _ => return Err(unreadable(&format!("{:?} announces a pitch and does not say it", self.text))),
        };
        self.take(usize::from(pitch.is_some()));
        if pitch.is_some() && self.rest.first() == Some(&Token::Word("mm")) {
            self.take(1);
        }
        Ok((joint, pitch))
    }

    fn end(&self) -> Result<(), Misread> {
        if self.rest.is_empty() { Ok(()) } else { Err(self.stray()) }
    }

    /// The refusal of a token that has no place here.
    fn stray(&self) -> Misread {
        match self.rest.first() {
            Some(Token::Word(word)) => unreadable(&format!("{word:?} is not part of a thread")),
            Some(Token::Sign(sign)) => unreadable(&format!("{:?} is not part of a thread", sign.to_string())),
            Some(Token::Number(_)) => unreadable(&format!(
                "{:?} has more numbers than a thread; a length is not part of it",
                self.text
            )),
            None => unreadable(&format!("{:?} names no size", self.text)),
        }
    }
}
