//! A text cut into numbers, words and marks, after the many dashes, quotes and spaces of
//! keyboards and word processors have become one of each. What they mean is `grammar.rs`.

/// One piece of a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Token<'a> {
    /// Digits with points, commas and an exponent.
    Number(&'a str),
    /// Letters; `mm2` and `mm²` are one word.
    Word(&'a str),
    /// Any other character; `…` stands for two or more points, `≤` and `≥` for their pairs.
    Mark(char),
}

impl Token<'_> {
    /// What was written, for a message.
    pub(super) fn text(self) -> String {
        match self {
            Token::Number(text) | Token::Word(text) => text.to_owned(),
            Token::Mark(mark) => mark.to_string(),
        }
    }
}

/// One spelling of each dash, quote, space, fraction and sign.
pub(super) fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.trim().chars() {
        match c {
            c if c.is_whitespace() => out.push(' '),
            '‐' | '‑' | '‒' | '–' | '—' | '−' => out.push('-'),
            '‘' | '’' | '′' | '´' | '`' => out.push('\''),
            '“' | '”' | '″' | '„' => out.push('"'),
            '\u{2126}' | 'Ω' => out.push_str("ohm"),
            '·' | '⋅' | '∙' | '•' => out.push(' '),
            '⁄' | '∕' => out.push('/'),
            '…' => out.push_str(".."),
            '≤' => out.push_str("<="),
            '≥' => out.push_str(">="),
            '≈' | '∼' => out.push('~'),
            c => push_fraction_or(&mut out, c),
        }
    }
    out.replace("''", "\"").replace("+/-", "±")
}

fn push_fraction_or(out: &mut String, c: char) {
    let Some(fraction) = vulgar_fraction(c) else { return out.push(c) };
    if out.ends_with(|last: char| last.is_ascii_digit()) {
        out.push(' ');
    }
    out.push_str(fraction);
}

fn vulgar_fraction(c: char) -> Option<&'static str> {
    Some(match c {
        '¼' => "1/4",
        '½' => "1/2",
        '¾' => "3/4",
        '⅓' => "1/3",
        '⅔' => "2/3",
        '⅛' => "1/8",
        '⅜' => "3/8",
        '⅝' => "5/8",
        '⅞' => "7/8",
        _ => return None,
    })
}

/// Cuts a cleaned text.
pub(super) fn tokens(text: &str) -> Vec<Token<'_>> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(c) = text[at..].chars().next() {
        let rest = &text[at..];
        let length = match c {
            ' ' => 1,
            _ if starts_number(text, at) => push(&mut found, Token::Number, &rest[..number_length(rest)]),
            c if c.is_alphabetic() => push(&mut found, Token::Word, &rest[..word_length(rest)]),
            '.' => points(&mut found, rest),
            '-' if joins_words(text, at) => 1,
            _ => mark(&mut found, rest, c),
        };
        at += length;
    }
    found
}

fn push<'a>(found: &mut Vec<Token<'a>>, kind: fn(&'a str) -> Token<'a>, text: &'a str) -> usize {
    found.push(kind(text));
    text.len()
}

/// A digit, or a decimal mark before one (`.5`), but not the point of `approx.12`.
fn starts_number(text: &str, at: usize) -> bool {
    let bytes = text.as_bytes();
    match bytes[at] {
        b'0'..=b'9' => true,
        b'.' | b',' if bytes.get(at + 1).is_some_and(u8::is_ascii_digit) => {
            !text[..at].ends_with(|c: char| c.is_alphanumeric() || c == '.')
        }
        _ => false,
    }
}

fn number_length(rest: &str) -> usize {
    let bytes = rest.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let mut at = 0;
    while digit(at) || (matches!(bytes.get(at), Some(b'.' | b',')) && digit(at + 1)) {
        at += 1;
    }
    if !matches!(bytes.get(at), Some(b'e' | b'E')) {
        return at;
    }
    let sign = usize::from(matches!(bytes.get(at + 1), Some(b'+' | b'-')));
    let exponent = bytes[at + 1 + sign..].iter().take_while(|byte| byte.is_ascii_digit()).count();
    if exponent == 0 { at } else { at + 1 + sign + exponent }
}

/// Letters, and the `2` of `mm2`, `mm^2` and `mm²`.
fn word_length(rest: &str) -> usize {
    let letters = rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len());
    let (word, after) = rest.split_at(letters);
    if !word.to_ascii_lowercase().ends_with("mm") {
        return letters;
    }
    let square = ["²", "^2", "2"].into_iter().find(|square| after.starts_with(square));
    let length = square.map_or(0, str::len);
    let more_digits = after[length..].starts_with(|c: char| c.is_ascii_digit());
    if more_digits { letters } else { letters + length }
}

/// Two points or more part a range; a single one ends an abbreviation or a sentence.
fn points(found: &mut Vec<Token<'_>>, rest: &str) -> usize {
    let count = rest.bytes().take_while(|byte| *byte == b'.').count();
    if count > 1 {
        found.push(Token::Mark('…'));
    }
    count
}

/// The hyphen of `ft-lb`, `N-m` and `lb.-ft`.
fn joins_words(text: &str, at: usize) -> bool {
    let before = text[..at].ends_with(|c: char| c.is_alphabetic() || c == '.');
    before && text[at + 1..].starts_with(char::is_alphabetic)
}

fn mark(found: &mut Vec<Token<'_>>, rest: &str, c: char) -> usize {
    let (mark, length) = match &rest.as_bytes()[..rest.len().min(2)] {
        b"<=" => ('≤', 2),
        b">=" => ('≥', 2),
        _ => (c, c.len_utf8()),
    };
    found.push(Token::Mark(mark));
    length
}
