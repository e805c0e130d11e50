//! From a written text to tokens: words looked up, signs sorted, and the few words whose meaning
//! hangs on their neighbours (`w`, `or`, `no`, a lone letter) settled.
//!
//! Every word has to be understood: one that is not ends the reading and is named. What the tokens
//! say together is the business of `phrase`.

use super::tint::{Hue, Shade, Tint};
use super::words::{self, Word};

/// One meaningful piece of a written colour.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Token {
    Tint(Tint),
    Choice(Choice),
    Shade(Shade),
    /// A stroke between two colours.
    Slash,
    /// A hyphen: a stroke too, but it may also tie words together.
    Dash,
    Comma,
    With,
    And,
    Or,
    No,
    Not,
    Doubt,
    Mark,
    Striped,
    Bare,
    On,
    Width,
    Noun,
    Open,
    Close,
}

/// A piece that can be read in several ways, each a list of colours side by side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Choice {
    /// What is unclear, as a clause that goes on from the text: `: "bl" can mean more than …`.
    pub(super) why: String,
    pub(super) options: Vec<Vec<Tint>>,
}

/// A word or sign that is not part of any wire colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Unknown<'a>(pub(super) &'a str);

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Piece<'a> {
    Word(&'a str),
    Sign(Sign),
    Gap,
    Strange(&'a str),
}

/// The signs, before their neighbours are looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sign {
    Slash,
    Dash,
    Comma,
    And,
    Doubt,
    Open,
    Close,
}

/// All tokens of `text`, or the first word or sign that is not understood.
pub(super) fn tokens(text: &str) -> Result<Vec<Token>, Unknown<'_>> {
    let pieces = pieces(text);
    let compact = is_compact(&pieces);
    let mut tokens = Vec::with_capacity(pieces.len());
    let mut at = 0;
    while let Some(&piece) = pieces.get(at) {
        at += 1;
        match piece {
            Piece::Gap => {}
            Piece::Sign(sign) => tokens.push(sign.token()),
            Piece::Strange(strange) => return Err(Unknown(strange)),
            Piece::Word(word) => {
                if let Some((token, used)) = beside(&pieces, at - 1) {
                    tokens.push(token);
                    at += used;
                } else {
                    tokens.extend(alone(word, compact)?);
                }
            }
        }
    }
    Ok(tokens)
}

impl Sign {
    fn of(sign: char) -> Option<Self> {
        Some(match sign {
            '/' | '\\' | '|' | '_' | '\u{2044}' | '\u{2215}' => Self::Slash,
            '-' | '\u{2010}'..='\u{2014}' | '\u{2212}' => Self::Dash,
            ',' | ';' => Self::Comma,
            '&' | '+' => Self::And,
            '?' => Self::Doubt,
            '(' | '[' => Self::Open,
            ')' | ']' => Self::Close,
            _ => return None,
        })
    }

    fn token(self) -> Token {
        match self {
            Self::Slash => Token::Slash,
            Self::Dash => Token::Dash,
            Self::Comma => Token::Comma,
            Self::And => Token::And,
            Self::Doubt => Token::Doubt,
            Self::Open => Token::Open,
            Self::Close => Token::Close,
        }
    }
}

/// A dot or colon only ends an abbreviation or stands for a space: `lt. blu`, `VT.WH`.
fn is_gap(c: char) -> bool {
    c.is_whitespace() || matches!(c, '.' | ':')
}

fn is_of_word(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, '\'' | '\u{2019}')
}

fn pieces(text: &str) -> Vec<Piece<'_>> {
    let mut pieces = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let length = match first {
            _ if is_gap(first) => rest.find(|c| !is_gap(c)),
            _ if is_of_word(first) => rest.find(|c| !is_of_word(c)),
            _ => Some(first.len_utf8()),
        };
        let (head, tail) = rest.split_at(length.unwrap_or(rest.len()));
        pieces.push(match Sign::of(first) {
            Some(sign) => Piece::Sign(sign),
            None if is_gap(first) => Piece::Gap,
            None if is_of_word(first) => Piece::Word(head),
            None => Piece::Strange(head),
        });
        rest = tail;
    }
    pieces
}

/// Whether the text is nothing but words of one or two letters with a stroke between each two, as
/// in `R/W` or `BR-Y`. Only in such company is a single letter a colour.
fn is_compact(pieces: &[Piece<'_>]) -> bool {
    let is_short = |piece: &Piece<'_>| matches!(piece, Piece::Word(word) if word.len() <= 2);
    pieces.len() >= 3
        && pieces.len() % 2 == 1
        && pieces.iter().step_by(2).all(is_short)
        && pieces.iter().skip(1).step_by(2).all(Piece::is_stroke)
}

/// The words that only their neighbours explain: the token, and how many pieces after the word it
/// takes in.
fn beside(pieces: &[Piece<'_>], at: usize) -> Option<(Token, usize)> {
    let (before, after) = (&pieces[..at], &pieces[at + 1..]);
    match pieces[at] {
        Piece::Word("w" | "W") => with_letter(before, after),
        Piece::Word(word) if word.eq_ignore_ascii_case("or") => Some((or_word(before, after), 0)),
        // "and/or" is one word.
        Piece::Word(word) if word.eq_ignore_ascii_case("and") => match after {
            [SLASH, Piece::Word(next), ..] if next.eq_ignore_ascii_case("or") => Some((Token::Or, 2)),
            _ => None,
        },
        _ => None,
    }
}

const SLASH: Piece<'static> = Piece::Sign(Sign::Slash);

/// `w/o` before the word tracer is "without"; `w/` and ` w ` after a colour are "with". Elsewhere,
/// as in `W/R` or `VT/W`, the letter is white.
fn with_letter(before: &[Piece<'_>], after: &[Piece<'_>]) -> Option<(Token, usize)> {
    if before.last().is_some_and(|piece| piece.is_stroke()) {
        return None;
    }
    match after {
        [SLASH, Piece::Word("o" | "O" | "out" | "OUT"), rest @ ..] if rest.iter().any(Piece::is_mark) => {
            Some((Token::No, 2))
        }
        [SLASH, Piece::Gap, ..] => Some((Token::With, 1)),
        [SLASH, ..] if !before.is_empty() => Some((Token::With, 1)),
        [Piece::Gap, _, ..] if before.len() > 1 => Some((Token::With, 0)),
        _ => None,
    }
}

/// All by itself, or in a list of strokes, `OR` is orange; between words it is the word. Between two
/// hyphens, as in `grn-or-blu`, it may be either.
fn or_word(before: &[Piece<'_>], after: &[Piece<'_>]) -> Token {
    const DASH: Option<&Piece<'_>> = Some(&Piece::Sign(Sign::Dash));
    let is_tied = |piece: Option<&Piece<'_>>| piece.is_some_and(Piece::is_stroke);
    let not_gap = |piece: &&Piece<'_>| **piece != Piece::Gap;
    let (left, right) = (before.iter().rfind(not_gap), after.iter().find(not_gap));
    let is_listed = [left, right].into_iter().all(|side| side.is_none_or(Piece::is_stroke));
    if before.last() == DASH && after.first() == DASH {
        Token::Or
    } else if is_listed || is_tied(before.last()) || is_tied(after.first()) {
        Token::Tint(Tint::of(Hue::Orange))
    } else {
        Token::Or
    }
}

impl Piece<'_> {
    fn is_stroke(&self) -> bool {
        matches!(self, Self::Sign(Sign::Slash | Sign::Dash))
    }

    fn is_mark(&self) -> bool {
        matches!(self, Self::Word(word) if words::look_up(&word.to_ascii_lowercase()) == Some(Word::Mark))
    }
}

/// What a word says by itself; nothing for a word without weight.
fn alone(word: &str, compact: bool) -> Result<Option<Token>, Unknown<'_>> {
    let lower = word.to_ascii_lowercase();
    if let Some(known) = words::look_up(&lower) {
        return Ok(token_of(known, word, compact));
    }
    if let Some(tints) = words::with_glued_shade(&lower) {
        return Ok(Some(match tints[..] {
            [tint] => Token::Tint(tint),
            _ => several(word, &tints),
        }));
    }
    let joined = words::joined(&lower).ok_or(Unknown(word))?;
    let why = format!("{word:?} joins colours without telling which is the base");
    Ok(Some(Token::Choice(Choice { why, options: orders(&joined) })))
}

fn token_of(known: Word, word: &str, compact: bool) -> Option<Token> {
    Some(match known {
        Word::Tint(tint) => Token::Tint(tint),
        Word::Letter([tint]) if compact => Token::Tint(*tint),
        Word::OneOf(tints) | Word::Letter(tints) => several(word, tints),
        Word::Shade(shade) => Token::Shade(shade),
        Word::With => Token::With,
        Word::And => Token::And,
        Word::Or => Token::Or,
        Word::No => Token::No,
        Word::Not => Token::Not,
        Word::Doubt => Token::Doubt,
        Word::Mark => Token::Mark,
        Word::Striped => Token::Striped,
        Word::Bare => Token::Bare,
        Word::On => Token::On,
        Word::Width => Token::Width,
        Word::Noun => Token::Noun,
        Word::Filler => return None,
    })
}

fn several(word: &str, tints: &[Tint]) -> Token {
    let why = match tints {
        [_] if word.len() == 1 => format!("the single letter {word:?} is too little to be sure of"),
        [_] => format!("{word:?} is no colour name of the standard"),
        _ => format!("{word:?} is used for more than one colour"),
    };
    Token::Choice(Choice { why, options: tints.iter().map(|&tint| vec![tint]).collect() })
}

/// Every order of two or three colours, the written one first.
fn orders(tints: &[Tint]) -> Vec<Vec<Tint>> {
    if tints.len() < 2 {
        return vec![tints.to_vec()];
    }
    let start_with = |first: usize| {
        let mut rest = tints.to_vec();
        let tint = rest.remove(first);
        orders(&rest).into_iter().map(move |order| [vec![tint], order].concat())
    };
    (0..tints.len()).flat_map(start_with).collect()
}
