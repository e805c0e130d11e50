//! `demo`: the whole story on invented notes, in a book that is thrown away.

use std::ffi::OsString;
use std::fs;

use super::console::{Console, Failure, Status};
use crate::show::page::Label;

/// The whole story on invented notes, in a book that is thrown away
///
/// Loads the invented shop's note sheets into a temporary book, looks up a vehicle, shows what contradicts, and
/// checks the book. No vehicle, maker or person in it is real.
#[derive(Debug, clap::Args)]
pub struct Args {}

/// The sheets of the invented shop, part of the program so that the story needs nothing but it.
pub const CORPUS: [(&str, &str); 13] = [
    ("amadi-mobile.csv", include_str!("../../corpus/amadi-mobile.csv")),
    ("counter.csv", include_str!("../../corpus/counter.csv")),
    ("grounds-and-feeds-2020.csv", include_str!("../../corpus/grounds-and-feeds-2020.csv")),
    ("haugli.csv", include_str!("../../corpus/haugli.csv")),
    ("holes-and-routes.csv", include_str!("../../corpus/holes-and-routes.csv")),
    ("labour-since-2023.csv", include_str!("../../corpus/labour-since-2023.csv")),
    ("lindqvist-notebook.csv", include_str!("../../corpus/lindqvist-notebook.csv")),
    ("okafor-2019-2021.csv", include_str!("../../corpus/okafor-2019-2021.csv")),
    ("okafor-2022-2025.csv", include_str!("../../corpus/okafor-2022-2025.csv")),
    ("pruett-trucks.csv", include_str!("../../corpus/pruett-trucks.csv")),
    ("szalai.csv", include_str!("../../corpus/szalai.csv")),
    ("tow-season-2023.csv", include_str!("../../corpus/tow-season-2023.csv")),
    ("winter-2021-22.csv", include_str!("../../corpus/winter-2021-22.csv")),
];

/// The day on which the story is told: after the last note, and the same for everybody.
const DAY: jiff::civil::Date = jiff::civil::Date::constant(2025, 12, 1);

/// One step of the story: what is told of it, and the command.
const STORY: [(&str, &[&str]); 9] = [
    (
        "A shop's note sheets go into the book. Every row is read into typed values, and what contradicts is told at once.",
        &["ingest", "corpus"],
    ),
    (
        "A 2016 crew cab rolls in. What is the brake signal, and how far can that be trusted?",
        &["lookup", "2016", "quillon", "tarn", "crew", "--point", "brake-signal"],
    ),
    (
        "The same truck without the factory tow package: what is known of the vehicle decides.",
        &["lookup", "16", "tarn", "no", "tow", "package", "--point", "brake-signal", "--point", "ground"],
    ),
    (
        "Where does the cable pass the firewall? A hole told in inches and in millimetres is one hole.",
        &["lookup", "2016", "qillon", "tarn", "-p", "firewall-pass"],
    ),
    ("What else contradicts on this model?", &["conflicts", "quillon", "tarn", "2016"]),
    (
        "The shop settles the brake signal: the colour goes with the factory tow package. What each lookup says before and after is shown first.",
        &[
            "reconcile",
            "c-vo6ker",
            "split",
            "--attribute",
            "tow",
            "--retire",
            "3",
            "--because",
            "green was only seen without the package",
            "--by",
            "R. Okafor",
            "--yes",
        ],
    ),
    (
        "The crew cab with the package, again; and the decision can be taken back at any time.",
        &["lookup", "2016", "quillon", "tarn", "crew", "tow", "package", "--point", "brake-signal"],
    ),
    (
        "How does the book understand what people write?",
        &["read", "colour", "PPL/WHT", "violet w/ white tracer", "blk & wht", "red tag"],
    ),
    ("Is the book sound?", &["check"]),
];

pub(super) fn run(_: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let place = tempfile::tempdir()?;
    let corpus = place.path().join("corpus");
    fs::create_dir(&corpus)?;
    for (name, text) in CORPUS {
        fs::write(corpus.join(name), text)?;
    }
    console.book_dir = Some(place.path().join("book"));
    console.today = DAY;
    for (told, command) in STORY {
        let mut page = console.page();
        page.paragraph(0, &[(Label::Plain, "")]);
        page.block(0, &[(Label::Title, told)]);
        page.block(0, &[(Label::Aside, "$ baybook "), (Label::Value, &command.join(" "))]);
        console.print(page)?;
        let arguments = command.iter().map(|word| match *word {
            "corpus" => corpus.clone().into_os_string(),
            word => OsString::from(word),
        });
        let status = super::run(std::iter::once(OsString::from("baybook")).chain(arguments), console);
        if status == Status::Misuse {
            return Ok(status);
        }
    }
    Ok(Status::Done)
}
