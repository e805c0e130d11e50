//! From a written text to a colour, or to a misread that helps: the checks on the whole text, the
//! tidying of tokens that says nothing about doubt, and the sentences of the refusals.
//!
//! Nothing is guessed and nothing silently corrected: a misspelt word is only told what it may mean.

use super::Colour;
use super::doubt::{self, Failure};
use super::tint::{Shade, Tint};
use super::tokens::{self, Choice, Token, Unknown};
use super::words;
use crate::value::{Misread, Problem};

/// The longest text that is read, in bytes; far more than any colour of one wire takes.
const LONGEST: usize = 120;

/// How a good colour looks, for the refusals.
const EXAMPLE: &str = "write a colour such as VT/WH, light blue or violet with white tracer";

pub(super) fn parse(text: &str) -> Result<Colour, Misread> {
    let text = checked(text)?;
    read(text).map_err(|trouble| match trouble {
        Trouble::Unknown(unknown) => misspelt(text, unknown),
        Trouble::Failure(failure) => misread(text, failure),
    })
}

enum Trouble<'a> {
    Unknown(Unknown<'a>),
    Failure(Failure),
}

fn checked(text: &str) -> Result<&str, Misread> {
    let refused = |why: &str| Err(Misread::new(Problem::Unreadable, format!("{why}; {EXAMPLE}")));
    let text = text.trim();
    if text.is_empty() {
        return refused("there is no text to read as a wire colour");
    }
    if text.len() > LONGEST {
        return refused("the text is too long for a wire colour");
    }
    if text.chars().any(|c| c.is_control() && c != '\t') {
        return refused("a wire colour is one line without control characters");
    }
    Ok(text)
}

fn read(text: &str) -> Result<Colour, Trouble<'_>> {
    let tokens = tokens::tokens(text).map_err(Trouble::Unknown)?;
    doubt::read(&tidied(&tokens)).map_err(Trouble::Failure)
}

fn tidied(tokens: &[Token]) -> Vec<Token> {
    let mut tokens =
        without_nouns(&named_gloss(&shades_joined(&negations_joined(&hyphens_loosened(tokens)))));
    // A comma at the very end only closes a cell or a clause.
    tokens.pop_if(|last| *last == Token::Comma);
    tokens
}

/// A hyphen beside a word that is no colour only ties words: `green-and-yellow`, `white-stripe`.
fn hyphens_loosened(tokens: &[Token]) -> Vec<Token> {
    rewritten(tokens, |rest| match rest {
        [Token::Dash, word @ (Token::And | Token::With), Token::Dash, ..] => Some((word.clone(), 3)),
        [Token::Dash, word @ (Token::And | Token::With | Token::Mark | Token::Noun), ..] => {
            Some((word.clone(), 2))
        }
        [word @ (Token::And | Token::With | Token::No), Token::Dash, ..] => Some((word.clone(), 2)),
        _ => None,
    })
}

/// "no tracer" is one thing to say; a "no" before anything else stays and is refused.
fn negations_joined(tokens: &[Token]) -> Vec<Token> {
    rewritten(tokens, |rest| match rest {
        [Token::No, Token::Mark, ..] => Some((Token::Bare, 2)),
        _ => None,
    })
}

/// Shades tied to their colours: `light blue`, `lt-blu`, `blue (light)`, `blue, light`.
fn shades_joined(tokens: &[Token]) -> Vec<Token> {
    rewritten(tokens, |rest| match rest {
        [Token::Shade(shade), Token::Dash, colour, ..] => Some((shaded(colour, *shade)?, 3)),
        [Token::Shade(shade), colour, ..] => Some((shaded(colour, *shade)?, 2)),
        [colour, Token::Open, Token::Shade(shade), Token::Close, ..] => Some((shaded(colour, *shade)?, 4)),
        [colour, Token::Comma, Token::Shade(shade)] => Some((shaded(colour, *shade)?, 3)),
        _ => None,
    })
}

fn shaded(token: &Token, shade: Shade) -> Option<Token> {
    match token {
        Token::Tint(tint) => tint.shaded(shade).map(Token::Tint),
        Token::Choice(choice) => {
            let options: Option<Vec<Vec<Tint>>> =
                choice.options.iter().map(|option| first_shaded(option, shade)).collect();
            Some(Token::Choice(Choice { why: choice.why.clone(), options: options? }))
        }
        _ => None,
    }
}

fn first_shaded(option: &[Tint], shade: Shade) -> Option<Vec<Tint>> {
    let (first, rest) = option.split_first()?;
    Some([&[first.shaded(shade)?], rest].concat())
}

/// "navy blue", "lime green": the second word repeats the colour of the first.
fn named_gloss(tokens: &[Token]) -> Vec<Token> {
    rewritten(tokens, |rest| match rest {
        [first @ Token::Choice(choice), Token::Tint(tint), ..]
            if tint.shade.is_none()
                && choice.options.iter().all(|option| matches!(option[..], [one] if one.hue == tint.hue)) =>
        {
            Some((first.clone(), 2))
        }
        _ => None,
    })
}

/// Takes out "wire" and "cable". Where another colour follows one directly, or another "wire" comes
/// after another colour, there are two wires.
fn without_nouns(tokens: &[Token]) -> Vec<Token> {
    let mut kept: Vec<Token> = Vec::with_capacity(tokens.len());
    let mut rest = tokens;
    while let Some((token, tail)) = rest.split_first() {
        rest = tail;
        if *token != Token::Noun {
            kept.push(token.clone());
        } else if kept.iter().any(is_colour) {
            let next = tail.iter().position(|token| !is_joint(token)).unwrap_or(tail.len());
            if is_marked_colour(&tail[next..]) {
                kept.push(Token::Comma);
                rest = &tail[next..];
            } else if starts_wire(tail, next) {
                kept.push(Token::And);
                rest = &tail[next..];
            }
        }
    }
    kept
}

/// "violet wire white stripe" goes on with the same wire.
fn is_marked_colour(rest: &[Token]) -> bool {
    matches!(rest, [Token::Tint(_) | Token::Choice(_), Token::Mark])
}

fn starts_wire(tail: &[Token], next: usize) -> bool {
    let follows = tail.get(next).is_some_and(|token| is_colour(token) || matches!(token, Token::Shade(_)));
    let is_announced = tail[..next].iter().any(|token| matches!(token, Token::Comma | Token::With));
    follows && (!is_announced || tail[next..].contains(&Token::Noun))
}

fn is_colour(token: &Token) -> bool {
    matches!(token, Token::Tint(_) | Token::Choice(_))
}

fn is_joint(token: &Token) -> bool {
    matches!(token, Token::Slash | Token::Dash | Token::Comma | Token::With | Token::And | Token::Noun)
}

/// `tokens` with every place that `rule` knows replaced by one token; the rule looks at what is left
/// and says how many tokens it takes.
fn rewritten(tokens: &[Token], rule: impl Fn(&[Token]) -> Option<(Token, usize)>) -> Vec<Token> {
    let mut out = Vec::with_capacity(tokens.len());
    let mut rest = tokens;
    while let Some((first, tail)) = rest.split_first() {
        if let Some((token, taken)) = rule(rest) {
            out.push(token);
            rest = &rest[taken..];
        } else {
            out.push(first.clone());
            rest = tail;
        }
    }
    out
}

/// The refusal of a word that is not understood, with what it may have been meant for.
fn misspelt(text: &str, Unknown(word): Unknown<'_>) -> Misread {
    let refusal = format!("{word:?} is not part of a wire colour");
    let Some(meant) = words::nearest(&word.to_ascii_lowercase()) else {
        return Misread::new(Problem::Unreadable, format!("{refusal}; {EXAMPLE}"));
    };
    let corrected = text.replacen(word, meant, 1);
    let readings = match read(&corrected) {
        Ok(colour) => vec![colour.to_string()],
        Err(_) => Vec::new(),
    };
    Misread::new(Problem::Unreadable, format!("{refusal}; did you mean {meant}?")).offering(readings)
}

fn misread(text: &str, failure: Failure) -> Misread {
    match failure {
        Failure::Broken(why) => {
            Misread::new(Problem::Unreadable, format!("{text:?} is not read: {why}; {EXAMPLE}"))
        }
        Failure::Impossible(misread) => misread,
        Failure::Ambiguous { why, readings } => {
            let readings: Vec<String> = readings.iter().map(ToString::to_string).collect();
            let advice = match &readings[..] {
                [] => EXAMPLE.to_owned(),
                [one] => format!("write {one} only if that is certain"),
                several => format!("write the one that is meant: {}", several.join("; ")),
            };
            Misread::new(Problem::Ambiguous, format!("{text:?} {why}; {advice}")).offering(readings)
        }
    }
}
