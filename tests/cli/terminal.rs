//! What a note must never do: steer a terminal, turn the order of what is read, or run in a spreadsheet. And it
//! comes through export and ingest unharmed all the same.

use baybook::cli::{self, CORPUS, Console, Status};
use baybook::show::page::is_harmful;

use crate::cast::{ROW, TARN, sheet};
use crate::harness::{Run, Shop};

/// An escape sequence that colours, one that sets the title of the window (C1), and bidirectional controls
/// (UAX #9) that show `gnp` where `png` is written.
const EVIL: &str = "\u{1b}[31mred\u{1b}[0m\u{9d}0;owned\u{9c}\u{202e}gnp\u{202c}\u{2066}";

/// A sheet whose every free word is evil; the cavity contradicts.
fn evil_sheet() -> String {
    let rows = ["violet", "green"].map(|colour| {
        format!("Quillon{EVIL},Tarn{EVIL},2016,brake-signal,{colour},stop lamp switch,{EVIL} probe,metered,R. Okafor {colour}{EVIL},2024-03-11,2016,{EVIL}\n")
    });
    format!("make,model,years,point,colour,at,how,basis,by,on,seen,remark\n{}", rows.concat())
}

#[track_caller]
fn must_be_harmless(run: &Run) {
    for text in [run.stdout(), run.stderr()] {
        assert!(!text.contains(|c| is_harmful(c) && c != '\n'), "{run:?}", run = run.to_string());
    }
}

#[test]
fn no_command_lets_an_escape_sequence_through() {
    let shop = Shop::new();
    let name = format!("evil{}.csv", EVIL.replace('/', ""));
    shop.write(&name, evil_sheet());
    shop.write(
        "bad.csv",
        evil_sheet()
            .replace("2016,brake", &format!("20{EVIL}16,bra{EVIL}ke"))
            .replace("metered", EVIL)
            .replace(",how,", &format!(",how{EVIL},")),
    );
    shop.write(
        "worse.csv",
        evil_sheet()
            .replace("2016,brake", &format!("20{EVIL}16,bra{EVIL}ke"))
            .replace("metered", EVIL)
            .replace("stop lamp", EVIL),
    );
    let told = shop.run(&format!("ingest '{name}'")).must_be(0);
    must_be_harmless(&told);
    let note = shop.run("export --json").json()[0]["id"].as_str().expect("a note").to_owned();
    let conflict = shop.run("conflicts --json").json()[0]["id"].as_str().expect("a conflict").to_owned();
    let model = shop.run("export --json").json()[0]["model"].as_str().expect("a model").to_owned();
    let decide =
        |rest: &str| format!("reconcile {conflict} {rest} --because 'why{EVIL}' --by 'kim{EVIL}' --yes");
    let lines = [
        decide("recheck"),
        format!("lookup 2016 '{model}'"),
        decide("uphold 1"),
        decide("uphold 1 --json"),
        decide(&format!("uphold '{EVIL}'")),
        decide(&format!("narrow --only '{EVIL}'")),
        decide(&format!("split --attribute '{EVIL}'")),
        "conflicts --all".to_owned(),
        format!("history {conflict}"),
        format!("history {conflict} --json"),
        format!("history 2016 '{model}'"),
        "conflicts --all --json".to_owned(),
        decide("reopen"),
        format!("lookup 2016 '{model}'"),
        format!("lookup 2016 '{model}' --json"),
        "lookup 2016 tarrn".to_owned(),
        "conflicts".to_owned(),
        "conflicts --json".to_owned(),
        format!("conflicts {conflict}"),
        format!("conflicts {conflict} --json"),
        format!("history {note}"),
        format!("history {note} --json"),
        "export --json".to_owned(),
        "check".to_owned(),
        "ingest bad.csv".to_owned(),
        "ingest bad.csv --json".to_owned(),
        "ingest worse.csv".to_owned(),
        "ingest worse.csv --json".to_owned(),
        format!("ingest 'no{EVIL}.csv'"),
        format!("read colour '{EVIL}' 'violet{EVIL}'"),
        format!("read colour '{EVIL}' --json"),
        format!("read place '{EVIL}' --against '{EVIL}'"),
        format!("read vehicle '2016 {EVIL}'"),
        format!("read '{EVIL}' red"),
        format!("points '{EVIL}'"),
        format!("vin '{EVIL}'"),
        format!("lookup '{EVIL}'"),
        format!("lookup 2016 tarn -p '{EVIL}'"),
        format!("'{EVIL}'"),
        format!("points --'{EVIL}'"),
        format!("add 2016 tarn '{EVIL}' -p horn colour=red --basis told --by x --yes"),
        format!("add 2016 tarn -p horn 'colour={EVIL}' --basis '{EVIL}' --by x --on '{EVIL}' --yes"),
        format!(
            "add --make '{EVIL}' --model '{EVIL}' -p ground 'at={EVIL}' --years 2016 --basis told --by '{EVIL}' --yes"
        ),
        format!(
            "add --make '{EVIL}' --model '{EVIL}' -p horn --years 2016 --basis told --by '{EVIL}' --remark '{EVIL}' --yes --json"
        ),
        format!("--book '{EVIL}' check"),
        format!("history 'n-{EVIL}'"),
    ];
    for line in lines {
        must_be_harmless(&shop.run(&line));
    }
}

/// In a file the words are data and stay as they were written; on a terminal they are shown harmless.
#[test]
fn an_export_is_raw_in_a_file_and_harmless_on_a_terminal() {
    let shop = Shop::new();
    shop.write("evil.csv", evil_sheet());
    shop.run("ingest evil.csv").must_be(0);
    assert!(shop.content().contains("\u{1b}[31m"));
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let (mut input, today) = (std::io::empty(), jiff::civil::date(2025, 6, 1));
    let mut console = Console {
        terminal: true,
        book_dir: Some(shop.path("book")),
        ..Console::plain(&mut out, &mut err, &mut input, today)
    };
    let status = cli::run(["baybook", "export"].map(Into::into), &mut console);
    let text = String::from_utf8(out).expect("UTF-8");
    assert_eq!((status, text.lines().count()), (Status::Done, 3));
    assert!(text.contains("\\u{1b}[31mred") && !text.contains(|c| is_harmful(c) && c != '\n'), "{text:?}");
}

/// The ids of all notes, in the order of the export.
fn ids(shop: &Shop) -> Vec<String> {
    let notes = shop.run("export --json").must_be(0).json();
    notes
        .as_array()
        .expect("notes")
        .iter()
        .map(|note| note["id"].as_str().expect("an id").to_owned())
        .collect()
}

/// Exports, loads the sheet into a fresh book, and exports again.
#[track_caller]
fn must_come_back(shop: &Shop) -> String {
    let text = shop.content();
    let other = Shop::new();
    other.write("export.csv", &text);
    other.run("ingest export.csv").must_be(0);
    assert!(other.content() == text, "the second export differs");
    assert_eq!(ids(&other), ids(shop));
    other.run("check").must_be(0);
    text
}

#[test]
fn what_a_spreadsheet_would_run_is_written_out_harmless_and_comes_back() {
    let shop = Shop::new();
    let mut rows: Vec<String> =
        ["=1+1", "+12 V", "-x", "@SUM(A1)", "=cmd|' /C calc'!A0", "'=1", "''-2", "' =3", "'", "＝1"]
            .iter()
            .map(|remark| ROW.replace(",2016,\n", &format!(",2016,{remark}")))
            .collect();
    rows.push(ROW.replace("R. Okafor", "=R. Okafor").replace("2016,g", "-2018,g").replace("Tarn", "@Tarn"));
    rows.push(ROW.replace(",2016,\n", ",2016,\"\t=1\""));
    shop.write("formulas.csv", sheet(&rows.iter().map(String::as_str).collect::<Vec<_>>()));
    shop.run("ingest formulas.csv").must_be(0);
    let text = must_come_back(&shop);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let mut armed = 0;
    for record in reader.records() {
        for cell in &record.expect("a row") {
            assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r', '＝']), "{cell:?} would run");
            armed += usize::from(cell.starts_with('\''));
        }
    }
    assert!(armed >= 12, "{text}");
}

#[test]
fn evil_notes_come_back() {
    let shop = Shop::new();
    shop.write("evil.csv", evil_sheet());
    shop.run("ingest evil.csv").must_be(0);
    must_come_back(&shop);
}

#[test]
fn the_cast_comes_back() {
    must_come_back(&Shop::with(&[TARN, crate::cast::TILLER]));
}

/// The invented shop's thousand notes, loaded in two orders, are one book; and it comes back from its export.
#[test]
fn the_corpus_comes_back_whatever_the_order() {
    let load = |sheets: &mut dyn Iterator<Item = &(&str, &str)>| {
        let shop = Shop::new();
        for (at, (name, text)) in sheets.enumerate() {
            shop.write(&format!("corpus/{at:02}-{name}"), text);
        }
        // What the day of these tests has not seen yet stays out.
        shop.run("ingest --partial corpus");
        shop.run("check").must_be(0);
        shop
    };
    let (forth, back) = (load(&mut CORPUS.iter()), load(&mut CORPUS.iter().rev()));
    assert!(ids(&forth).len() > 1000);
    assert_eq!(ids(&forth), ids(&back));
    assert_eq!(forth.run("conflicts").to_string(), back.run("conflicts").to_string());
    must_come_back(&forth);
}

/// Progress is drawn by a thread of its own. It once waited for ever for the standard error that the main thread had
/// locked: on a terminal, nothing could be loaded. `script` gives the program a terminal; where it is missing this is
/// left out, and told.
#[cfg(target_os = "linux")]
#[expect(clippy::print_stderr, reason = "whoever runs the tests should know what was left out")]
#[test]
fn loading_on_a_terminal_comes_to_an_end() {
    let shop = Shop::new();
    shop.write("many.csv", sheet(&[ROW]));
    let inner = shop.command("ingest many.csv");
    let line = format!("{} ingest many.csv", inner.get_program().display());
    let mut command = std::process::Command::new("timeout");
    command.args(["60", "script", "-qec", &line, "/dev/null"]).env_clear();
    command.envs(inner.get_envs().filter_map(|(name, value)| Some((name, value?))));
    command.env("PATH", "/usr/bin:/bin").env("TERM", "xterm").current_dir(shop.path("."));
    let Ok(output) = command.stdin(std::process::Stdio::null()).output() else {
        eprintln!("left out: there is no `timeout` here");
        return;
    };
    if output.status.code() == Some(127) {
        eprintln!("left out: there is no `script` here");
        return;
    }
    let told = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success() && told.contains("1 row, 1 new"), "{} {told}", output.status);
}
