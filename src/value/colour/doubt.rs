//! Takes doubt apart: "or", "and", a question mark, shorthand with several meanings, brackets.
//!
//! Each kind of doubt is resolved into the readings that it leaves open, and none of them is
//! picked. The grammar of one certain colour is the business of `phrase`.

use super::Colour;
use super::phrase::{self, Snag};
use super::tint::{Hue, Shade, Tint};
use super::tokens::{Choice, Token};
use crate::value::Misread;

/// Why tokens give no value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Failure {
    /// Several readings are open, or one that is not certain. `why` goes on from "the text ".
    Ambiguous { why: String, readings: Vec<Colour> },
    /// There is nothing to offer; the sentence says what is wrong.
    Broken(&'static str),
    /// Understood, but it cannot be.
    Impossible(Misread),
}

type Read = Result<Colour, Failure>;

/// More doubts than this are not spelled out: each multiplies the readings.
const MOST_DOUBTS: usize = 4;

/// Reads tokens, resolving the doubts in them from the outermost inwards. Every step reads fewer
/// tokens or fewer doubts, so it comes to an end.
pub(super) fn read(tokens: &[Token]) -> Read {
    let is_open = |token: &&Token| matches!(token, Token::Or | Token::Choice(_) | Token::Shade(_));
    if tokens.iter().filter(is_open).count() > MOST_DOUBTS {
        return Err(Failure::Broken("there is more in it than one wire colour"));
    }
    if tokens.contains(&Token::Not) || tokens.contains(&Token::No) {
        return Err(Failure::Broken("it says what the wire is not; write what it is"));
    }
    if tokens.contains(&Token::Doubt) {
        return doubtful(tokens);
    }
    if tokens.contains(&Token::Open) {
        return bracketed(tokens);
    }
    if tokens.contains(&Token::Or) {
        return alternatives(tokens);
    }
    let choice = |token: &Token| if let Token::Choice(choice) = token { Some(choice.clone()) } else { None };
    if let Some((at, choice)) = tokens.iter().enumerate().find_map(|(at, token)| Some((at, choice(token)?))) {
        return chosen(tokens, at, &choice);
    }
    phrase::colour(tokens).or_else(|snag| snagged(tokens, snag))
}

fn snagged(tokens: &[Token], snag: Snag) -> Read {
    match snag {
        Snag::Broken(why) => moved_shade(tokens).map_or(Err(Failure::Broken(why)), Err),
        Snag::OneOrTwo => Err(one_or_two(tokens)),
        Snag::Order => Err(either_order(tokens)),
        Snag::Contradiction(readings) => {
            Err(ambiguous("names a tracer and says that there is none", readings.to_vec()))
        }
        Snag::Impossible(misread) => Err(Failure::Impossible(misread)),
    }
}

fn ambiguous(why: impl Into<String>, readings: Vec<Colour>) -> Failure {
    let mut distinct: Vec<Colour> = Vec::with_capacity(readings.len());
    for reading in readings {
        if !distinct.contains(&reading) {
            distinct.push(reading);
        }
    }
    Failure::Ambiguous { why: why.into(), readings: distinct }
}

/// What a reading leaves open: one colour, several, or none.
fn open(read: Read) -> Vec<Colour> {
    match read {
        Ok(colour) => vec![colour],
        Err(Failure::Ambiguous { readings, .. }) => readings,
        Err(_) => Vec::new(),
    }
}

fn doubtful(tokens: &[Token]) -> Read {
    let mut certain: Vec<Token> = tokens.iter().filter(|token| **token != Token::Doubt).cloned().collect();
    if let Some(at) = certain.windows(2).position(|pair| pair == [Token::Open, Token::Close]) {
        certain.drain(at..at + 2);
    }
    match read(&certain) {
        Ok(colour) => Err(ambiguous("is marked as doubtful", vec![colour])),
        failure => failure,
    }
}

/// A bracket at the end repeats the colour in other words (`VT (violet)`) or goes on with it
/// (`violet (white stripe)`); around everything it says nothing.
fn bracketed(tokens: &[Token]) -> Read {
    let broken = Err(Failure::Broken("the brackets cannot be made out"));
    let Some(at) = tokens.iter().position(|token| *token == Token::Open) else { return broken };
    let Some((Token::Close, inner)) = tokens[at + 1..].split_last() else { return broken };
    if inner.contains(&Token::Open) || inner.contains(&Token::Close) {
        return broken;
    }
    let outer = &tokens[..at];
    if outer.is_empty() {
        return read(inner);
    }
    match (read(outer), read(inner)) {
        (Ok(a), Ok(b)) if a == b => Ok(a),
        // `BL (blue)`, `green/yellow (GNYE)`: the certain one settles the shorthand.
        (Ok(certain), loose) | (loose, Ok(certain)) if is_settled(tokens, &loose, &certain) => Ok(certain),
        (Ok(a), Ok(b)) => {
            let joined = read(&[outer, &[Token::Slash], inner].concat());
            Err(ambiguous("gives two colours, one in brackets", [open(joined), vec![a, b]].concat()))
        }
        _ => read(&[outer, &[Token::Comma], inner].concat()),
    }
}

/// Whether a loose reading is loose by its shorthand alone, and one meaning of it is the certain one.
fn is_settled(tokens: &[Token], loose: &Read, certain: &Colour) -> bool {
    let is_shorthand =
        |token: &Token| matches!(token, Token::Tint(_) | Token::Choice(_) | Token::Open | Token::Close);
    tokens.iter().all(|token| is_shorthand(token) || is_stroke(token))
        && open(loose.clone()).contains(certain)
}

fn alternatives(tokens: &[Token]) -> Read {
    let parts = tokens.split(|token| *token == Token::Or).map(|part| open(read(trimmed(part))));
    let whole: Vec<Vec<Colour>> = parts.collect();
    let is_hyphened = tokens.windows(2).any(|pair| pair == [Token::Dash, Token::Or]);
    let mut readings = Vec::new();
    if whole.iter().all(|readings| !readings.is_empty()) {
        readings = whole.concat();
    }
    if let Some(at) =
        tokens.iter().position(|token| *token == Token::Or).filter(|_| readings.is_empty() || is_hyphened)
    {
        readings.extend(part_or_part(tokens, at));
    }
    Err(ambiguous("names alternatives", readings))
}

/// A part of `grn-or-blu` without the hyphens that tied it to the "or".
fn trimmed(part: &[Token]) -> &[Token] {
    let part = part.strip_prefix(&[Token::Dash]).unwrap_or(part);
    part.strip_suffix(&[Token::Dash]).unwrap_or(part)
}

/// An "or" inside a phrase: between two shades, between two colours of which one belongs to the
/// rest, or short for orange.
fn part_or_part(tokens: &[Token], at: usize) -> Vec<Colour> {
    let (before, after) = (&tokens[..at], &tokens[at + 1..]);
    let with =
        |middle: &[Token], before: &[Token], after: &[Token]| open(read(&[before, middle, after].concat()));
    match (before, after) {
        ([head @ .., Token::Shade(shade)], [Token::Tint(tint), tail @ ..]) if tint.shade.is_some() => {
            let other = Tint { shade: Some(*shade), hue: tint.hue };
            [other, *tint].iter().flat_map(|tint| with(&[Token::Tint(*tint)], head, tail)).collect()
        }
        ([head @ .., left @ Token::Tint(_)], [right @ Token::Tint(_), tail @ ..]) => {
            [left, right].iter().flat_map(|tint| with(&[(*tint).clone()], head, tail)).collect()
        }
        ([head @ .., Token::Shade(shade)], _) => {
            with(&[Token::Tint(Tint { shade: Some(*shade), ..ORANGE })], head, after)
        }
        _ => with(&[Token::Tint(ORANGE)], before, after),
    }
}

const ORANGE: Tint = Tint::of(Hue::Orange);

/// Reads the tokens once for each option of the choice at `at`.
fn chosen(tokens: &[Token], at: usize, Choice { why, options }: &Choice) -> Read {
    let reads =
        options.iter().map(|option| read(&[&tokens[..at], &strokes(option), &tokens[at + 1..]].concat()));
    let reads: Vec<Read> = reads.collect();
    let failed = reads.iter().find(|read| read.is_err()).cloned();
    let readings: Vec<Colour> = reads.into_iter().flat_map(open).collect();
    match failed {
        Some(failure) if readings.is_empty() => failure,
        _ => Err(ambiguous(format!("cannot be told: {why}"), readings)),
    }
}

/// Colours side by side, as tokens.
fn strokes(tints: &[Tint]) -> Vec<Token> {
    let mut tokens: Vec<Token> = tints.iter().flat_map(|&tint| [Token::Slash, Token::Tint(tint)]).collect();
    tokens.drain(..1.min(tokens.len()));
    tokens
}

fn tints_of(tokens: &[Token]) -> Vec<Tint> {
    let tint = |token: &Token| if let Token::Tint(tint) = token { Some(*tint) } else { None };
    tokens.iter().filter_map(tint).collect()
}

/// All colours as one wire, and each part between "and" or commas as a wire of its own. A colour
/// that comes twice is that of two wires.
fn one_or_two(tokens: &[Token]) -> Failure {
    let tints = tints_of(tokens);
    let has_twin = tints.iter().enumerate().any(|(at, tint)| tints[..at].contains(tint));
    let one = if has_twin { Vec::new() } else { open(read(&strokes(&tints))) };
    let several = wires(tokens).into_iter().flat_map(|part| open(read(part)));
    ambiguous(
        "may be one wire with a tracer, or more than one wire",
        one.into_iter().chain(several).collect(),
    )
}

/// The parts that may be wires of their own: between "and" and commas, or else up to the first
/// stripe and behind it. Each is shorter than the whole.
fn wires(tokens: &[Token]) -> Vec<&[Token]> {
    let parts: Vec<&[Token]> = tokens.split(|token| matches!(token, Token::And | Token::Comma)).collect();
    if parts.len() > 1 {
        return parts;
    }
    let stripe = tokens.iter().position(|token| *token == Token::Mark);
    match stripe.map(|at| tokens.split_at(at + 1)) {
        Some((first, second)) if !second.is_empty() => vec![first, second],
        _ => Vec::new(),
    }
}

fn either_order(tokens: &[Token]) -> Failure {
    let tints = tints_of(tokens);
    let reversed: Vec<Tint> = tints.iter().rev().copied().collect();
    let readings = [tints, reversed].iter().flat_map(|order| open(read(&strokes(order)))).collect();
    ambiguous("does not tell base from tracer", readings)
}

/// A shade apart from its colour, as in `blue light` or `BLU LT/WHT`: what it means if it belongs
/// to the colour before it, or to the one after it.
fn moved_shade(tokens: &[Token]) -> Option<Failure> {
    let at = tokens.iter().position(|token| matches!(token, Token::Shade(_)))?;
    let Token::Shade(shade) = tokens[at] else { return None };
    let without: Vec<Token> = [&tokens[..at], &tokens[at + 1..]].concat();
    let after_stroke = without.get(at).is_some_and(is_stroke);
    let before_stroke = at > 0 && is_stroke(&without[at - 1]);
    let places = [at.checked_sub(1 + usize::from(before_stroke)), Some(at + usize::from(after_stroke))];
    let moved = places.into_iter().flatten().filter_map(|place| shaded_at(&without, place, shade));
    let readings: Vec<Colour> = moved.flat_map(|moved| open(read(within_strokes(&moved)))).collect();
    (!readings.is_empty()).then(|| ambiguous("does not tell to which colour the shade belongs", readings))
}

fn is_stroke(token: &Token) -> bool {
    matches!(token, Token::Slash | Token::Dash)
}

/// `tokens` without the strokes at either end that a moved shade leaves behind.
fn within_strokes(tokens: &[Token]) -> &[Token] {
    let start = tokens.iter().position(|token| !is_stroke(token)).unwrap_or(tokens.len());
    let end = tokens.iter().rposition(|token| !is_stroke(token)).map_or(start, |last| last + 1);
    &tokens[start..end]
}

/// `tokens` with a shade given to the colour at `place`; `None` where no colour without a shade is.
fn shaded_at(tokens: &[Token], place: usize, shade: Shade) -> Option<Vec<Token>> {
    let Some(Token::Tint(tint)) = tokens.get(place) else { return None };
    let mut tokens = tokens.to_vec();
    tokens[place] = Token::Tint(tint.shaded(shade)?);
    Some(tokens)
}
