//! `search`: any words, the right note first.

use std::num::NonZeroUsize;

use super::console::{Console, Failure, Status};
use super::lookup::point;
use super::vehicle::{Meant, find};
use crate::ask::grade_of;
use crate::book::{Book, Standing};
use crate::language::Language;
use crate::note::{Basis, Person, day_of};
use crate::search::{self, Filter, Found, Page, Telling};
use crate::show::ids;
use crate::show::page::{Label, listed};
use crate::show::search as view;
use crate::vehicle::Vin;

/// Find notes by any words: what was meant counts, not how it was written
///
/// `baybook search 'the violet one above the hood release'`. Colours, places, codes, sizes and points are found however
/// they were written, words for a vehicle lift its notes, and typing errors are forgiven. A note that answers to more
/// of the question stands before one that answers to less.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// What is remembered of the note
    #[arg(value_name = "WORDS", required = true)]
    words: Vec<String>,
    /// Only notes on this vehicle: year, maker, model and what else is known of it
    #[arg(long, value_name = "VEHICLE")]
    vehicle: Option<String>,
    /// Only on this point; may be given several times
    #[arg(long, short, value_name = "POINT")]
    point: Vec<String>,
    /// Only on this basis: metered, fitted, inspected, diagram or told; may be given several times
    #[arg(long, value_name = "BASIS")]
    basis: Vec<String>,
    /// Only by this person; a part of the name will do
    #[arg(long, value_name = "NAME")]
    by: Option<String>,
    /// Only from this day on
    #[arg(long, value_name = "DATE")]
    since: Option<String>,
    /// Only notes that stand like this: live, narrowed, replaced or retired; may be given several times
    #[arg(long, value_name = "STATE")]
    state: Vec<String>,
    /// How many notes to a page
    #[arg(long, value_name = "COUNT", default_value = "10", value_parser = from_one)]
    limit: NonZeroUsize,
    /// Which page
    #[arg(long, value_name = "NUMBER", default_value = "1", value_parser = from_one)]
    page: NonZeroUsize,
    /// Say how the question was understood, and why each note stands where it does
    #[arg(long)]
    explain: bool,
}

fn from_one(text: &str) -> Result<NonZeroUsize, String> {
    text.trim().parse().map_err(|_| "a whole number from 1 on is expected".to_owned())
}

/// The most notes that are worth paging through.
const MOST: usize = 10_000;

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let text = args.words.join(" ");
    if !text.contains(|c: char| c.is_alphanumeric()) {
        return Err(Failure::hinted(
            "there is no word to search for",
            "write what you remember: `baybook search violet above the hood release`",
        ));
    }
    let language = console.language()?;
    let mut book = console.book(&language)?;
    let skip = (args.page.get() - 1).saturating_mul(args.limit.get());
    if skip.saturating_add(args.limit.get()) > MOST {
        return Err(Failure::misuse(format!("only the first {MOST} notes can be paged through")));
    }
    let Some(filter) = filter(args, console, &book, &language)? else { return Ok(Status::Nothing) };
    let (text, elsewhere) = sorted(&args.words, &book)?;
    for told in &elsewhere {
        console.notice(Label::Aside, "hint: ", told)?;
    }
    if text.is_empty() {
        if console.json {
            console.print_json(&serde_json::json!([]))?;
        }
        return Ok(Status::Nothing);
    }
    let telling = if console.json && !args.explain { Telling::Short } else { Telling::Full };
    let page = Page { skip, limit: args.limit.get(), telling };
    let found = search::search(&mut book, &language, &text, &filter, page)?;
    for notice in &found.notices {
        console.notice(Label::Aside, "note: ", notice)?;
    }
    for (written, taken) in &found.forgiven {
        console.notice(Label::Aside, "note: ", &format!("'{written}' was read as {taken}"))?;
    }
    if let Some(told) = view::words_without_notes(&found) {
        console.notice(Label::Aside, "note: ", &told)?;
    }
    if found.understood.is_empty() {
        return Err(Failure::hinted(
            "words like these say nothing by themselves",
            "add what the note is about: a colour, a place, a vehicle, a code",
        ));
    }
    let status = if found.hits.is_empty() { Status::Nothing } else { Status::Done };
    if console.json {
        console.print_json(&view::to_json(&language, &found, args.explain))?;
    } else if found.hits.is_empty() {
        nothing(console, &book, args, &found)?;
    } else {
        show(console, &book, &language, args, &found, skip)?;
    }
    search::keep_up(&mut book, &language);
    Ok(status)
}

/// The words to search for, and hints to the commands that know more of the others: ids, and numbers of vehicles, which
/// are not repeated. An id that this book does not have may be a word after all.
fn sorted(words: &[String], book: &Book) -> Result<(String, Vec<String>), Failure> {
    // Shorter ones are rather codes of connectors: `C-212`.
    const SHORTEST: usize = 6;
    let (mut left, mut hints) = (Vec::new(), Vec::new());
    for word in words.iter().flat_map(|words| words.split_whitespace()) {
        match ids::read(word).filter(|(_, code)| code.len() >= SHORTEST) {
            Some((kind, code)) if is_known(book, kind, &code)? => {
                hints.push(format!("an id is shown by `baybook history {}`", word.to_lowercase()));
            }
            _ if Vin::parse(word).is_ok() => {
                let told = "the number of a vehicle is read by `baybook lookup` and `baybook vin`";
                hints.push(told.to_owned());
            }
            _ => left.push(word),
        }
    }
    Ok((left.join(" "), hints))
}

fn is_known(book: &Book, kind: ids::Kind, code: &str) -> Result<bool, Failure> {
    Ok(match kind {
        ids::Kind::Decision => !book.decisions_by_id(code, 1)?.is_empty(),
        _ => !book.notes_by_id(code, 1)?.is_empty(),
    })
}

/// What the flags ask for; `None` where the vehicle is not clear, which was told.
fn filter(
    args: &Args,
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
) -> Result<Option<Filter>, Failure> {
    let mut filter = Filter::default();
    if let Some(words) = &args.vehicle {
        match find(console, book, language, std::slice::from_ref(words), None)? {
            Meant::One(asked) => {
                filter.models.push(asked.model.id);
                filter.vehicle = asked.vehicle;
            }
            Meant::No(_) => return Ok(None),
        }
    }
    for text in &args.point {
        let at = point(&language.catalogue, text)?;
        filter.points.push(language.catalogue.points[at].name.to_string());
    }
    filter.bases = args.basis.iter().map(|text| basis(text)).collect::<Result<_, _>>()?;
    filter.standings = args.state.iter().map(|text| standing(text)).collect::<Result<_, _>>()?;
    filter.since = args.since.as_deref().map(since).transpose()?;
    if let Some(name) = &args.by {
        filter.by = people(book, name)?;
    }
    Ok(Some(filter))
}

fn basis(text: &str) -> Result<Basis, Failure> {
    Basis::parse(text).ok_or_else(|| {
        let known: Vec<String> = Basis::ALL.iter().map(|basis| basis.word().to_owned()).collect();
        Failure::hinted(format!("'{text}' is no basis"), format!("known are {}", listed(&known, "and")))
    })
}

fn standing(text: &str) -> Result<Standing, Failure> {
    let wanted = text.trim().to_lowercase();
    Standing::ALL.into_iter().find(|standing| standing.word() == wanted).ok_or_else(|| {
        let known: Vec<String> = Standing::ALL.iter().map(|standing| standing.word().to_owned()).collect();
        Failure::hinted(
            format!("'{text}' is no state of a note"),
            format!("known are {}", listed(&known, "and")),
        )
    })
}

fn since(text: &str) -> Result<i32, Failure> {
    text.trim()
        .parse()
        .map(day_of)
        .map_err(|_| Failure::hinted(format!("'{text}' is no date"), "write it like 2024-03-11"))
}

/// The people of whose name this is a part, or the whole.
fn people(book: &Book, name: &str) -> Result<Vec<String>, Failure> {
    let key = Person::new(name).map(|person| person.key()).unwrap_or_default();
    let people = book.people_by_number()?;
    let exact: Vec<String> =
        people.values().filter(|(own, _)| *own == key).map(|(own, _)| own.clone()).collect();
    if !exact.is_empty() {
        return Ok(exact);
    }
    let part: Vec<String> = people
        .values()
        .filter(|(own, _)| !key.is_empty() && own.contains(&key))
        .map(|(own, _)| own.clone())
        .collect();
    if part.is_empty() {
        let known: Vec<String> = people.into_values().map(|(_, name)| name).take(12).collect();
        let hint = if known.is_empty() {
            "the book is empty".to_owned()
        } else {
            format!("among those who did are {}", listed(&known, "and"))
        };
        return Err(Failure::hinted(format!("nobody called '{name}' wrote a note"), hint));
    }
    Ok(part)
}

fn show(
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    args: &Args,
    found: &Found,
    skip: usize,
) -> Result<(), Failure> {
    let mut page = console.page();
    if args.explain {
        view::understood(&mut page, found);
    }
    let shown = book.shown_characters()?;
    for (at, hit) in found.hits.iter().enumerate() {
        page.gap();
        let beside = view::Beside { place: skip + at + 1, grade: grade_of(book, language, hit)?, shown };
        view::card(&mut page, language, hit, beside);
        if args.explain {
            view::why(&mut page, found, hit);
        } else {
            view::lacking(&mut page, found, hit);
        }
    }
    if found.more {
        page.gap();
        let next = format!("There are more: `--page {}`.", args.page.get() + 1);
        page.paragraph(0, &[(Label::Aside, &next)]);
    }
    console.print(page)
}

/// Says what was understood, and the nearest thing that would find something.
fn nothing(console: &mut Console<'_>, book: &Book, args: &Args, found: &Found) -> Result<(), Failure> {
    if book.notes()? == 0 {
        let place = console.dir()?.display().to_string();
        console.notice(Label::Alarm, "nothing found: ", &format!("the book in {place} is empty"))?;
        return console.notice(Label::Aside, "hint: ", "load the shop's notes with `baybook ingest PATH`");
    }
    let mut page = console.page();
    view::understood(&mut page, found);
    console.err.write_all(page.finish().as_bytes())?;
    let known = found.understood.iter().any(|phrase| phrase.notes > 0);
    let why = match (args.page.get(), flags(args).as_slice()) {
        (page @ 2.., _) => format!("there is no note on page {page}"),
        (1, named @ [_, ..]) if known => {
            format!("no note that answers to this is left by {}", listed(named, "and"))
        }
        _ => "no note answers to any of this".to_owned(),
    };
    console.notice(Label::Alarm, "nothing found: ", &why)?;
    console.notice(Label::Aside, "hint: ", &nearest(args, found))
}

/// The flags by which notes are left out.
fn flags(args: &Args) -> Vec<String> {
    let given = [
        ("--vehicle", args.vehicle.is_some()),
        ("--point", !args.point.is_empty()),
        ("--basis", !args.basis.is_empty()),
        ("--by", args.by.is_some()),
        ("--since", args.since.is_some()),
        ("--state", !args.state.is_empty()),
    ];
    given.into_iter().filter(|(_, given)| *given).map(|(flag, _)| flag.to_owned()).collect()
}

fn nearest(args: &Args, found: &Found) -> String {
    if args.page.get() > 1 {
        return "look at the first page, without --page".to_owned();
    }
    let flags = flags(args);
    let known: Vec<String> = found
        .understood
        .iter()
        .filter(|phrase| phrase.notes > 0)
        .map(|phrase| format!("“{}”", phrase.written))
        .collect();
    match (known.is_empty(), flags.is_empty()) {
        (false, false) => {
            format!("without {} there are notes on {}", listed(&flags, "and"), listed(&known, "and"))
        }
        _ if !found.near.is_empty() => {
            format!("the nearest that notes have: {}", listed(&found.near, "and"))
        }
        _ => "try a colour, a place, a point (`baybook points`) or a vehicle".to_owned(),
    }
}
