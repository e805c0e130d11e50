//! A page for a person: paragraphs of labelled pieces, wrapped to the width of the terminal, coloured where that
//! is wanted. Everything that came from a file passes through here and leaves harmless.

use std::fmt::Write as _;

use anstyle::{AnsiColor, Effects, Style};

/// What a piece of text is. The one table of styles is in `style`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Label {
    /// Running text.
    Plain,
    /// The name of what the paragraph is about.
    Title,
    /// A value that was looked for.
    Value,
    /// The id of a note or a conflict.
    Id,
    /// A good grade.
    Sure,
    /// A weak grade.
    Weak,
    /// A disputed grade, a conflict, an error.
    Alarm,
    /// What matters less.
    Aside,
    /// Why something is believed, and who said so.
    Evidence,
}

fn style(label: Label) -> Style {
    match label {
        Label::Plain => Style::new(),
        Label::Title => Style::new().effects(Effects::BOLD),
        Label::Value => Style::new().effects(Effects::BOLD),
        Label::Id => AnsiColor::Cyan.on_default(),
        Label::Sure => AnsiColor::Green.on_default(),
        Label::Weak => AnsiColor::Yellow.on_default(),
        Label::Alarm => AnsiColor::Red.on_default().effects(Effects::BOLD),
        Label::Aside | Label::Evidence => Style::new().effects(Effects::DIMMED),
    }
}

/// A text being written.
#[derive(Debug)]
pub struct Page {
    width: usize,
    colour: bool,
    text: String,
}

/// The widest line that is still read with ease; a wider terminal is not filled.
const WIDEST: usize = 100;
/// The narrowest that is worth wrapping for.
const NARROWEST: usize = 30;

impl Page {
    /// An empty page of this many columns.
    #[must_use]
    pub fn new(width: usize, colour: bool) -> Self {
        Self { width: width.clamp(NARROWEST, WIDEST), colour, text: String::new() }
    }

    /// The columns of a line.
    #[must_use]
    pub fn width(&self) -> usize {
        self.width
    }

    /// An empty line, unless the page is empty or one stands there already.
    pub fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// A paragraph that begins at column `indent`; the lines that follow hang two columns deeper.
    pub fn paragraph(&mut self, indent: usize, pieces: &[(Label, &str)]) {
        self.hanging(indent, indent + 2, pieces);
    }

    /// A paragraph whose lines all begin at column `indent`.
    pub fn block(&mut self, indent: usize, pieces: &[(Label, &str)]) {
        self.hanging(indent, indent, pieces);
    }

    /// A line that is neither wrapped nor coloured, made harmless.
    pub fn verbatim(&mut self, line: &str) {
        self.text.push_str(&harmless(line));
        self.text.push('\n');
    }

    fn hanging(&mut self, first: usize, rest: usize, pieces: &[(Label, &str)]) {
        let mut line = String::new();
        for (label, text) in pieces {
            let text = harmless(text);
            let style = style(*label);
            if self.colour && style != Style::new() {
                // Each word carries its own style, so that a line end inside a piece styles no margin.
                let styled: Vec<String> = text
                    .split(' ')
                    .map(
                        |word| {
                            if word.is_empty() { String::new() } else { format!("{style}{word}{style:#}") }
                        },
                    )
                    .collect();
                line.push_str(&styled.join(" "));
            } else {
                line.push_str(&text);
            }
        }
        let (first, rest) = (" ".repeat(first), " ".repeat(rest));
        // Never broken at a hyphen: an id is to be copied whole.
        let options = textwrap::Options::new(self.width)
            .initial_indent(&first)
            .subsequent_indent(&rest)
            .word_splitter(textwrap::WordSplitter::NoHyphenation)
            .break_words(false);
        for wrapped in textwrap::wrap(&line, options) {
            let _ = writeln!(self.text, "{}", wrapped.trim_end());
        }
    }

    /// The finished text.
    #[must_use]
    pub fn finish(self) -> String {
        self.text
    }
}

/// Whether a character could steer a terminal or turn the order of what is read: controls (C0, C1, delete), and the
/// bidirectional formatting characters of the Unicode Bidirectional Algorithm (UAX #9, section 2), line and
/// paragraph separators, and marks that take no room.
#[must_use]
pub fn is_harmful(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{061C}' | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{2069}' | '\u{FEFF}' | '\u{FFF9}'..='\u{FFFB}')
}

/// The text with every harmful character written out as `\u{…}`.
#[must_use]
pub fn harmless(text: &str) -> std::borrow::Cow<'_, str> {
    if !text.contains(is_harmful) {
        return text.into();
    }
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        if is_harmful(c) {
            let _ = write!(out, "\\u{{{:x}}}", u32::from(c));
        } else {
            out.push(c);
        }
    }
    out.into()
}

/// A JSON value as indented text with every harmful character escaped.
#[must_use]
pub fn harmless_json(value: &impl serde::Serialize) -> String {
    escaped_json(&serde_json::to_string_pretty(value).unwrap_or_default()).into_owned()
}

/// A JSON text with every harmful character but line ends escaped, which JSON allows within its strings.
#[must_use]
pub fn escaped_json(text: &str) -> std::borrow::Cow<'_, str> {
    let harmful = |c: char| is_harmful(c) && c != '\n';
    let plain = |byte: u8| matches!(byte, b' '..=b'~' | b'\n');
    if text.bytes().all(plain) || !text.contains(harmful) {
        return text.into();
    }
    let mut out = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        if harmful(c) {
            let mut units = [0; 2];
            for unit in c.encode_utf16(&mut units) {
                let _ = write!(out, "\\u{unit:04x}");
            }
        } else {
            out.push(c);
        }
    }
    out.into()
}

/// A number with the word for what is counted: `1 note`, `2 notes`.
#[must_use]
pub fn counted(count: usize, one: &str) -> String {
    match (count, one.strip_suffix('y')) {
        (1, _) => format!("1 {one}"),
        (_, Some(stem)) if !one.ends_with("ey") && !one.ends_with("ay") => format!("{count} {stem}ies"),
        _ => format!("{count} {one}s"),
    }
}

/// The first letter made a capital.
#[must_use]
pub fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// Words joined as a person would: `a, b and c`.
#[must_use]
pub fn listed(words: &[String], joint: &str) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} {joint} {last}", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn escape_sequences_and_bidirectional_controls_are_written_out() {
        let mut page = Page::new(80, true);
        page.paragraph(0, &[(Label::Plain, "red\u{1b}[31m wire\u{202e}!")]);
        assert_eq!(page.finish(), "red\\u{1b}[31m wire\\u{202e}!\n");
        let json = harmless_json(&serde_json::json!({ "a": "x\u{9b}\u{202e}\n" }));
        assert_eq!(json, "{\n  \"a\": \"x\\u009b\\u202e\\n\"\n}");
    }

    #[test]
    fn lines_stay_within_the_width_and_hang() {
        let mut page = Page::new(40, false);
        page.paragraph(
            2,
            &[
                (Label::Title, "Ground: "),
                (Label::Plain, "left inner fender, above the washer bottle, stud M8"),
            ],
        );
        let text = page.finish();
        assert!(text.lines().all(|line| line.len() <= 40), "{text}");
        assert!(
            text.starts_with("  Ground") && text.lines().nth(1).is_some_and(|line| line.starts_with("    "))
        );
    }

    #[test]
    fn an_id_is_never_broken() {
        let mut page = Page::new(30, false);
        page.paragraph(0, &[(Label::Plain, "see the note of the shop, n-mlsxel")]);
        assert_eq!(page.finish(), "see the note of the shop,\n  n-mlsxel\n");
    }

    #[test]
    fn counting() {
        assert_eq!(counted(1, "note"), "1 note");
        assert_eq!(counted(3, "cavity"), "3 cavities");
        assert_eq!(listed(&["a".into(), "b".into(), "c".into()], "and"), "a, b and c");
    }
}
