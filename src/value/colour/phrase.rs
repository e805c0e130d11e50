//! The grammar of one wire colour whose words are all certain: base, tracers, "no tracer".
//!
//! It works on tokens without choices, doubts or alternatives; those are taken apart by `doubt`
//! first. Where a phrase does not tell one wire from two, or base from tracer, it says so.

use super::tint::Tint;
use super::tokens::Token;
use super::{Colour, Tracers};
use crate::value::Misread;

/// Why a phrase is no colour of one wire.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Snag {
    /// A part is missing or out of place; the sentence says which.
    Broken(&'static str),
    /// The colours are clear, but may be those of several wires.
    OneOrTwo,
    /// The colours are clear, but not which of them is the base.
    Order,
    /// "plain" or "no tracer" beside a tracer.
    Contradiction(Box<[Colour; 2]>),
    /// The colours are clear and cannot be those of one wire.
    Impossible(Misread),
}

/// The one colour that `tokens` say.
pub(super) fn colour(tokens: &[Token]) -> Result<Colour, Snag> {
    if let Some(at) = tokens.iter().position(|token| *token == Token::On) {
        return tracer_on_base(&tokens[..at], &tokens[at + 1..]);
    }
    let (is_bare, rest) = without_bare(tokens);
    let (base, tail) = match rest.split_first() {
        Some((Token::Tint(base), tail)) => (*base, tail),
        Some((Token::Shade(_), _)) => return Err(Snag::Broken(LOOSE_SHADE)),
        Some(_) => return Err(Snag::Broken("the colour of the wire itself has to stand first")),
        None => return Err(Snag::Broken("no colour is named")),
    };
    let listed = tracers_after(tail)?;
    match (is_bare, listed.is_empty()) {
        (false, true) => made(base, Tracers::NotSaid),
        (true, true) => made(base, Tracers::None),
        (false, false) => made(base, Tracers::Listed(listed)),
        (true, false) => {
            let readings = [made(base, Tracers::None)?, made(base, Tracers::Listed(listed))?];
            Err(Snag::Contradiction(Box::new(readings)))
        }
    }
}

fn made(base: Tint, tracers: Tracers) -> Result<Colour, Snag> {
    Colour::new(base, tracers).map_err(Snag::Impossible)
}

/// "white stripe on violet"; "white on violet" does not say which is which.
fn tracer_on_base(before: &[Token], after: &[Token]) -> Result<Colour, Snag> {
    match (before, after) {
        ([Token::Width, before @ ..], _) => tracer_on_base(before, after),
        ([Token::Tint(tracer), Token::Mark], [Token::Tint(base)]) => {
            made(*base, Tracers::Listed(vec![*tracer]))
        }
        ([Token::Tint(_)], [Token::Tint(_)]) => Err(Snag::Order),
        _ => Err(Snag::Broken("\"on\" is read only in phrases like \"white stripe on violet\"")),
    }
}

/// Whether the tokens say that there is no tracer, and the rest of them without the sign that
/// joined those words: `VT, no tracer`, `plain-violet`, `violet/no stripe`.
fn without_bare(tokens: &[Token]) -> (bool, Vec<Token>) {
    let mut rest: Vec<Token> = Vec::with_capacity(tokens.len());
    let mut tokens = tokens.iter().peekable();
    let mut is_bare = false;
    while let Some(token) = tokens.next() {
        if *token != Token::Bare {
            rest.push(token.clone());
            continue;
        }
        is_bare = true;
        if rest.is_empty() {
            tokens.next_if(|next| matches!(next, Token::Comma | Token::Dash));
        } else {
            rest.pop_if(|last| matches!(last, Token::Comma | Token::Slash | Token::Dash | Token::With));
        }
    }
    (is_bare, rest)
}

fn tracers_after(tail: &[Token]) -> Result<Vec<Tint>, Snag> {
    let mut list = List { tracers: Vec::new(), after_with: false, loose: false, marked: false };
    let mut rest = tail;
    while !rest.is_empty() {
        rest = list.take(rest)?;
    }
    list.finish()
}

/// How a tracer is tied to what stands before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Joint {
    Space,
    Stroke,
    Comma,
    And,
    With,
    Striped,
}

/// The tracers read so far.
struct List {
    tracers: Vec<Tint>,
    /// A "with" has been read: what follows belongs to one wire, even when joined by "and".
    after_with: bool,
    /// The last tracer may as well be another wire, unless the word tracer follows it.
    loose: bool,
    /// The word tracer stands beside the last one.
    marked: bool,
}

impl List {
    /// Takes the next tracer, or a mark on the last one; gives back what is left.
    fn take<'t>(&mut self, tokens: &'t [Token]) -> Result<&'t [Token], Snag> {
        let Some((joint, rest)) = joint(tokens)? else {
            self.mark(&tokens[1..])?;
            return Ok(&tokens[1..]);
        };
        let rest = skip(rest, |token| *token == Token::Width);
        let unmarked = skip(rest, |token| matches!(token, Token::Mark | Token::Striped));
        let is_marked = unmarked.len() < rest.len() || joint == Joint::Striped;
        match unmarked {
            [Token::Tint(tint), rest @ ..] => {
                self.admit(joint, is_marked)?;
                self.tracers.push(*tint);
                Ok(rest)
            }
            _ if joint == Joint::Space => Err(Snag::Broken(NO_FIT)),
            _ if is_marked => Err(Snag::Broken(NO_TRACER_COLOUR)),
            _ => Err(Snag::Broken("a second colour is announced, but not named")),
        }
    }

    /// Whether a tracer may follow by this joint, or is rather another wire.
    fn admit(&mut self, joint: Joint, is_marked: bool) -> Result<(), Snag> {
        let follows_mark = self.marked;
        let is_first = self.tracers.is_empty();
        let belongs = match joint {
            Joint::Space | Joint::Striped => !follows_mark,
            Joint::Stroke => true,
            Joint::With => !self.after_with,
            Joint::Comma => self.after_with || is_first,
            Joint::And => self.after_with,
        };
        if !belongs {
            return Err(Snag::OneOrTwo);
        }
        self.after_with |= joint == Joint::With;
        self.loose |= follows_mark || matches!(joint, Joint::Comma | Joint::And);
        self.marked = is_marked;
        Ok(())
    }

    /// The word tracer after a colour; `rest` is what follows it.
    fn mark(&mut self, rest: &[Token]) -> Result<(), Snag> {
        match (self.tracers.is_empty(), rest.iter().any(|token| matches!(token, Token::Tint(_)))) {
            (true, true) => Err(Snag::Order),
            (true, false) => Err(Snag::Broken(NO_TRACER_COLOUR)),
            (false, _) => {
                self.marked = true;
                Ok(())
            }
        }
    }

    fn finish(self) -> Result<Vec<Tint>, Snag> {
        if self.loose && !self.marked {
            return Err(Snag::OneOrTwo);
        }
        Ok(self.tracers)
    }
}

const NO_TRACER_COLOUR: &str = "a tracer is named without both its own colour and that of the wire";
const NO_FIT: &str = "the words do not fit together as one wire colour";

const LOOSE_SHADE: &str = "light or dark has to stand directly before its colour";

/// The joint at the start of `tokens` and what follows it; `None` where a mark stands there instead.
fn joint(tokens: &[Token]) -> Result<Option<(Joint, &[Token])>, Snag> {
    Ok(Some(match tokens {
        [Token::Striped, Token::With, rest @ ..] | [Token::Comma, Token::With, rest @ ..] => {
            (Joint::With, rest)
        }
        [Token::Dash, Token::Striped, Token::Tint(_), ..] => return Err(Snag::Order),
        [Token::Striped, Token::Tint(_), ..] => (Joint::Striped, &tokens[1..]),
        [Token::Mark | Token::Striped, ..] => return Ok(None),
        [Token::Slash | Token::Dash, rest @ ..] => (Joint::Stroke, rest),
        [Token::Comma, Token::And, rest @ ..] | [Token::And, rest @ ..] => (Joint::And, rest),
        [Token::Comma, rest @ ..] => (Joint::Comma, rest),
        [Token::With, rest @ ..] => (Joint::With, rest),
        [Token::Tint(_), ..] => (Joint::Space, tokens),
        [Token::Shade(_), ..] => return Err(Snag::Broken(LOOSE_SHADE)),
        [Token::Open | Token::Close, ..] => return Err(Snag::Broken("the brackets cannot be made out")),
        [Token::Width, rest @ ..] => (Joint::Space, rest),
        _ => return Err(Snag::Broken(NO_FIT)),
    }))
}

fn skip(tokens: &[Token], unwanted: impl Fn(&Token) -> bool) -> &[Token] {
    let kept = tokens.iter().position(|token| !unwanted(token)).unwrap_or(tokens.len());
    &tokens[kept..]
}
