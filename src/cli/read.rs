//! `read`: how a text is understood, and how two texts relate.

use std::io::Read;

use serde_json::{Value as Json, json};

use super::console::{Console, Failure, Status};
use crate::book::Book;
use crate::language::Language;
use crate::reading::{Type, Understood};
use crate::show::page::{Label, Page, escaped_json};
use crate::value::place::DriveSide;
use crate::value::{Misread, Relation};
use crate::vehicle::names;

/// How a text is understood: a colour, a place, a thread, years, a vehicle, a quantity by its unit
///
/// `baybook read colour 'PPL/WHT'`, `baybook read mm '1-3/8"'`, `baybook read colour violet --against VT/WH`.
/// With `-` the texts come from standard input, one a line.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// colour, place, code, thread, years, vehicle, prose; a unit such as mm, A, V, min; or a field
    #[arg(value_name = "TYPE")]
    kind: String,
    /// The texts, or - for standard input
    #[arg(value_name = "TEXT", required = true, allow_negative_numbers = true)]
    texts: Vec<String>,
    /// Compare each text with this one
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    against: Option<String>,
    /// The side on which the driver sits, for places
    #[arg(long, value_name = "SIDE", default_value = "lhd")]
    drive: Side,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum Side {
    /// Left-hand drive
    Lhd,
    /// Right-hand drive
    Rhd,
    /// Not known
    Either,
}

struct Reader {
    kind: Type,
    word: String,
    language: Language,
    book: Book,
    drive: DriveSide,
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let Some(kind) = Type::parse(&args.kind, &language) else {
        let known = Type::known(&language);
        let near = names::nearest(&args.kind, known.iter().copied());
        let hint = near.first().map_or_else(
            || format!("a unit, or one of {}", known.join(", ")),
            |near| format!("the nearest is '{near}'"),
        );
        return Err(Failure::hinted(format!("'{}' is no type", args.kind), hint));
    };
    let drive = match args.drive {
        Side::Lhd => DriveSide::Lhd,
        Side::Rhd => DriveSide::Rhd,
        Side::Either => DriveSide::Either,
    };
    let book = console.book(&language)?;
    let reader = Reader { kind, word: args.kind.clone(), language, book, drive };
    let against = args.against.as_deref().map(|text| reader.read(text)).transpose()?;
    for text in texts(args, console)? {
        let understood = reader.read(&text)?;
        match (&against, &args.against) {
            (Some(other), Some(other_text)) => {
                compare(console, &reader, (&text, &understood), (other_text, other))?
            }
            _ => show(console, &reader, &text, &understood)?,
        }
    }
    Ok(Status::Done)
}

impl Reader {
    fn read(&self, text: &str) -> Result<Result<Understood, Misread>, Failure> {
        Ok(self.kind.read(text, &self.language, self.drive, &self.book)?)
    }
}

fn texts(args: &Args, console: &mut Console<'_>) -> Result<Vec<String>, Failure> {
    if args.texts != ["-"] {
        return Ok(args.texts.clone());
    }
    lines(console.input, LONGEST_INPUT)
}

/// The most that is read from standard input, in bytes: 256 MiB.
const LONGEST_INPUT: u64 = 1 << 28;

/// The lines of a text that is at most `longest` bytes long.
///
/// # Errors
/// Longer, or not UTF-8: nothing of it is read then.
fn lines(input: &mut dyn Read, longest: u64) -> Result<Vec<String>, Failure> {
    let mut bytes = Vec::new();
    input.take(longest + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > longest {
        let message = format!("standard input: more than {} MiB at once", longest >> 20);
        return Err(Failure::hinted(message, "give the lines in several parts, as `split -l` makes them"));
    }
    let all = String::from_utf8(bytes).map_err(|error| {
        let line = 1 + error.as_bytes()[..error.utf8_error().valid_up_to()]
            .iter()
            .filter(|byte| **byte == b'\n')
            .count();
        Failure::misuse(format!("standard input, line {line}: not UTF-8"))
    })?;
    Ok(all.lines().map(str::to_owned).collect())
}

fn problem(misread: &Misread) -> Json {
    json!(misread.problem)
}

/// One object a line, so that many texts can be read one by one.
fn print_line(console: &mut Console<'_>, json: &Json) -> Result<(), Failure> {
    writeln!(console.out, "{}", escaped_json(&json.to_string()))?;
    Ok(())
}

fn show(
    console: &mut Console<'_>,
    reader: &Reader,
    text: &str,
    understood: &Result<Understood, Misread>,
) -> Result<(), Failure> {
    if console.json {
        let json = match understood {
            Ok(read) => {
                json!({ "text": text, "type": reader.word, "value": read.value, "parts": read.parts, "plain": read.plain, "problem": null, "readings": [] })
            }
            Err(misread) => {
                json!({ "text": text, "type": reader.word, "value": null, "parts": {}, "problem": problem(misread), "message": misread.message, "readings": misread.readings })
            }
        };
        return print_line(console, &json);
    }
    let mut page = console.page();
    match understood {
        Ok(read) => {
            let plain = if read.plain == read.value { String::new() } else { format!(": {}", read.plain) };
            page.paragraph(
                0,
                &[
                    (Label::Plain, text),
                    (Label::Aside, " is read as "),
                    (Label::Value, &read.value),
                    (Label::Plain, &plain),
                ],
            );
        }
        Err(misread) => not_read(&mut page, text, misread),
    }
    console.print(page)
}

fn not_read(page: &mut Page, text: &str, misread: &Misread) {
    page.paragraph(
        0,
        &[(Label::Plain, text), (Label::Alarm, " is not read: "), (Label::Plain, &misread.message)],
    );
    for reading in &misread.readings {
        page.paragraph(2, &[(Label::Aside, "perhaps "), (Label::Value, reading)]);
    }
}

type Told<'a> = (&'a str, &'a Result<Understood, Misread>);

fn compare(console: &mut Console<'_>, reader: &Reader, a: Told<'_>, b: Told<'_>) -> Result<(), Failure> {
    let relation = match (a.1, b.1) {
        (Ok(x), Ok(y)) => reader.kind.relation(x, y),
        _ => Relation::Unknown,
    };
    let finer = match relation {
        Relation::FirstFiner => Some("a"),
        Relation::SecondFiner => Some("b"),
        _ => None,
    };
    if console.json {
        return print_line(
            console,
            &json!({ "a": a.0, "b": b.0, "relation": relation.word(), "finer": finer }),
        );
    }
    let said = match relation {
        Relation::Same => "say the same",
        Relation::FirstFiner => "agree, and the first says more",
        Relation::SecondFiner => "agree, and the second says more",
        Relation::Different => "cannot both be true",
        Relation::Unknown => "cannot be told apart",
    };
    let mut page = console.page();
    page.paragraph(
        0,
        &[
            (Label::Value, a.0),
            (Label::Plain, " and "),
            (Label::Value, b.0),
            (Label::Plain, " "),
            (Label::Plain, said),
        ],
    );
    for (text, read) in [a, b] {
        if let Err(misread) = read {
            not_read(&mut page, text, misread);
        }
    }
    console.print(page)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A text that was too long was once cut without a word, and its last line with it.
    #[test]
    fn a_text_that_is_too_long_is_refused() {
        let text = "violet\n".repeat(300_000);
        assert_eq!(lines(&mut text.as_bytes(), 3 << 20).map(|lines| lines.len()).ok(), Some(300_000));
        let told = lines(&mut text.as_bytes(), 2 << 20).expect_err("too long").to_string();
        assert_eq!(told, "standard input: more than 2 MiB at once");
    }
}
