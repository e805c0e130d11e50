//! The program as such: help, completions, the manual page, the demo, and readers that close.

use insta::assert_snapshot;

use crate::cast::TARN;
use crate::harness::{Run, Shop};

/// The commands, as the help lists them.
fn commands() -> Vec<String> {
    let help = Shop::new().run("--help").must_be(0).stdout();
    let list = help
        .split("Commands:\n")
        .nth(1)
        .and_then(|rest| rest.split("\n\n").next())
        .expect("a list of commands");
    let names = list.lines().filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    names.filter_map(|line| line.split_whitespace().next()).map(str::to_owned).collect()
}

#[test]
fn the_help_of_every_command() {
    let shop = Shop::new();
    let mut all = shop.run("--help").must_be(0).to_string();
    for command in commands() {
        all.push('\n');
        all.push_str(&shop.run(&format!("{command} --help")).must_be(0).to_string());
    }
    assert_snapshot!(all);
}

#[test]
fn wrong_use() {
    let shop = Shop::new();
    assert_snapshot!(shop.run(""), @r"
    $ baybook 
    --- standard error
    Knows how a shop's vehicles are wired, and how far that can be trusted

    Usage: baybook [OPTIONS] <COMMAND>

    Commands:
      ingest       Load note sheets (CSV) into the book
      lookup       What is known of one vehicle, point by point, each with its grade
      search       Find notes by any words: what was meant counts, not how it was
                   written
      add          Add one note: what a point is on a vehicle, and how you know it
      conflicts    What contradicts: the list, or one conflict side by side
      gaps         What the book lacks: points that are blank, thin, disputed or to
                   be rechecked, the most useful first
      reconcile    Settle a conflict, or take back what was decided
      points       The catalogue: the kinds of things worth knowing on a vehicle
      history      Who wrote and who decided what, when and why: of a note, a
                   conflict, a decision or a vehicle
      read         How a text is understood: a colour, a place, a thread, years, a
                   vehicle, a quantity by its unit
      vin          What a vehicle identification number says: check digit, model
                   year, manufacturer identifier
      circuit      Conductor, drop, protection, joints and hole for one circuit
      jobs         The jobs: what each needs to know, the circuits that it builds,
                   what is measured before and after
      jobcard      The job card of one vehicle: doubts, facts, circuits, cut list,
                   meter checks, sign-off
      export       All notes and decisions: a note sheet (CSV) that loads back to
                   the same book, or JSON with --json
      backup       A copy of the book in a new folder, with the shop's own files: a
                   book that every command takes with --book
      check        Whether the book is sound: the file, every id, and everything
                   derived recomputed and compared
      reindex      Throw away everything derived from the notes and make it anew;
                   the notes stay as they are
      demo         The whole story on invented notes, in a book that is thrown away
      completions  Print the completions for a shell
      man          Print the manual page (roff); `baybook man | man -l -` reads it

    Options:
          --book <DIR>  The directory of the book; else BAYBOOK_DIR, else the user's
                        data directory
          --json        Print JSON instead of text
      -h, --help        Print help (see more with '--help')
      -V, --version     Print version
    --- status 2
    ");
    assert_snapshot!(shop.run("lokup 2016"), @r"
    $ baybook lokup 2016
    --- standard error
    error: unrecognized subcommand 'lokup'

      tip: some similar subcommands exist: 'backup', 'lookup'

    Usage: baybook [OPTIONS] <COMMAND>

    For more information, try '--help'.
    --- status 2
    ");
    assert_snapshot!(shop.run("ingest"), @r"
    $ baybook ingest
    --- standard error
    error: the following required arguments were not provided:
      <PATH>...

    Usage: baybook ingest <PATH>...

    For more information, try '--help'.
    --- status 2
    ");
    assert_snapshot!(shop.run("ingest nothing.csv"), @r"
    $ baybook ingest nothing.csv
    --- standard error
    error: nothing.csv: there is no such file or folder
    --- status 2
    ");
    let version = shop.run("--version").must_be(0).stdout();
    assert_eq!(version, format!("baybook {}\n", env!("CARGO_PKG_VERSION")));
}

#[test]
fn completions_are_a_script_that_bash_takes() {
    let shop = Shop::new();
    let script = shop.run("completions bash").must_be(0).stdout();
    shop.write("completions.bash", &script);
    shop.shell("bash -n completions.bash && source completions.bash && complete -p baybook").must_be(0);
    for command in commands() {
        assert!(script.contains(&format!("baybook,{command})")), "no completion for {command}");
    }
    for other in ["zsh", "fish", "elvish", "powershell"] {
        assert!(shop.run(&format!("completions {other}")).must_be(0).stdout().contains("lookup"));
    }
}

#[test]
fn the_manual_page_has_every_command() {
    let page = Shop::new().run("man").must_be(0).stdout();
    assert!(page.contains(".TH baybook 1"), "{page}");
    for command in commands() {
        assert!(page.contains(&format!("\n.SH {}\n", command.to_uppercase())), "no section on {command}");
    }
}

#[test]
fn the_demo_tells_its_whole_story() {
    let run = Shop::new().run("demo").must_be(0);
    let told = run.stdout();
    for step in [
        "$ baybook ingest corpus",
        "$ baybook lookup 2016 quillon tarn crew",
        "$ baybook conflicts",
        "$ baybook read colour",
        "$ baybook check",
    ] {
        assert!(told.contains(step), "'{step}' is missing in\n{run}");
    }
    assert!(told.contains(" 0 refused,") && told.contains("\nSound: "), "{run}");
    assert!(
        told.contains("Brake signal: ") && told.contains("Conflict") | told.contains("conflict c-"),
        "{run}"
    );
}

/// The program carries the corpus in itself; a sheet that is added to the folder must be added there too.
#[test]
fn the_demo_has_the_sheets_of_the_corpus() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus");
    let mut sheets: Vec<(String, String)> = std::fs::read_dir(folder)
        .expect("the corpus")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "csv"))
        .map(|path| {
            (
                path.file_name().expect("a name").to_string_lossy().into_owned(),
                std::fs::read_to_string(&path).expect("a sheet"),
            )
        })
        .collect();
    sheets.sort();
    assert!(sheets.len() >= 10);
    let carried: Vec<(String, String)> =
        baybook::cli::CORPUS.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
    assert!(sheets == carried, "the sheets in corpus/ and those of the demo differ");
}

#[test]
fn a_reader_that_closes_ends_it_silently() {
    let shop = Shop::with(&[TARN]);
    for line in
        ["points --json", "lookup 2016 tarn", "export", "man", "completions bash", "read colour red --json"]
    {
        let mut child = shop.start(line);
        drop(child.stdout.take());
        let run = Run::ended(line, child);
        assert_eq!((run.stderr().as_str(), run.status()), ("", Some(0)), "{run}");
    }
}

/// `/dev/full` is a device that is always full (Linux, full(4)).
#[cfg(target_os = "linux")]
#[test]
fn a_result_that_cannot_be_written_is_an_error() {
    let shop = Shop::with(&[TARN]);
    for line in [
        "points",
        "lookup 2016 tarn --json",
        "export",
        "man",
        "completions bash",
        "read colour red --json",
        "check",
    ] {
        shop.shell(&format!("$BAYBOOK {line} > /dev/full"))
            .must_be(2)
            .must_tell("cannot write: No space left on device");
    }
    shop.shell("$BAYBOOK export --out /dev/full").must_be(2).must_tell("/dev/full: No space left on device");
}
