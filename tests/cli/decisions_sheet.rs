//! Decisions that travel: out with the notes, in by `ingest`, checked by their ids. That shops which exchange end up
//! with one book is tried at random in `tests/exchange.rs`.

use crate::cast::{TARN, TILLER};
use crate::harness::{Run, Shop};

fn decide(shop: &Shop, line: &str) -> Run {
    shop.run(&format!("reconcile {line} --because 'looked again' --by 'R. Okafor' --yes")).must_be(0)
}

/// A shop that decided this and that, and took some of it back.
fn decided() -> Shop {
    let shop = Shop::with(&[TARN, TILLER]);
    decide(&shop, "c-eo6l3c uphold 1");
    decide(&shop, "c-eo6l3c reopen");
    decide(&shop, "c-eo6l3c split --attribute tow");
    decide(&shop, "c-2wut7m-cavity separate --even-so");
    shop
}

/// Standard output, however it is broken into lines.
fn joined(run: &Run) -> String {
    run.stdout().split_whitespace().collect::<Vec<_>>().join(" ")
}

fn everything(shop: &Shop) -> [String; 4] {
    let asked = ["export", "export --json", "conflicts --all --json", "lookup 2016 quillon tarn --json"];
    asked.map(|line| shop.run(line).must_be(0).stdout())
}

/// Where a note was read differs from book to book.
fn without_origins(text: &str) -> String {
    let pieces = text.split(',').filter(|piece| !piece.contains("\"file\"") && !piece.contains("\"line\""));
    pieces.collect::<Vec<_>>().join(",")
}

#[test]
fn an_export_makes_the_same_book() {
    let shop = decided();
    let other = Shop::new();
    other.write("all.csv", shop.content());
    let told = joined(&other.run("ingest all.csv").must_be(0));
    assert!(told.contains("12 new") && told.contains("4 decisions, 4 of them new"), "{told}");
    assert!(!told.contains("c-eo6l3c"), "what is settled is not told as opened: {told}");
    for (own, others) in everything(&shop).iter().zip(everything(&other)) {
        assert_eq!(without_origins(own), without_origins(&others));
    }
    other.run("check").must_be(0);
    let again = joined(&other.run("ingest all.csv").must_be(0));
    assert!(again.contains("0 new") && again.contains("4 decisions, 0 of them new"), "{again}");
    let json = other.run("ingest all.csv --json").must_be(0).json();
    assert_eq!(json["totals"]["decisions"], 0);
    assert_eq!(json["files"][0]["decisions"].as_array().map(Vec::len), Some(4));
}

/// What a spreadsheet would run goes out harmless, and comes back as it was.
#[test]
fn a_reason_that_a_spreadsheet_would_run() {
    let shop = Shop::with(&[TARN]);
    shop.run("reconcile c-eo6l3c uphold 1 --because '=1+1, \"so\"' --by '@kim' --yes").must_be(0);
    let content = shop.content();
    assert!(content.contains("'=1+1") && content.contains("'@kim"), "{content}");
    let other = Shop::new();
    other.write("all.csv", &content);
    other.run("ingest all.csv").must_be(0);
    assert_eq!(other.content(), content);
    let json = other.run("conflicts c-eo6l3c --json").json();
    assert_eq!(json[0]["decisions"][0]["because"], "=1+1, \"so\"");
    let told = other.run("check").must_be(0).stdout();
    assert!(told.ends_with("10 notes and 1 decision.\n"), "{told}");
}

/// The table of decisions alone, before there is any note, and the notes alone.
#[test]
fn decisions_may_come_before_their_notes() {
    let shop = decided();
    let content = shop.content();
    let (notes, decisions) = content.split_once("\n\n").expect("two tables");
    for order in [["notes.csv", "decisions.csv"], ["decisions.csv", "notes.csv"]] {
        let other = Shop::new();
        other.write("notes.csv", format!("{notes}\n"));
        other.write("decisions.csv", decisions);
        for file in order {
            other.run(&format!("ingest {file}")).must_be(0);
            other.run("check").must_be(0);
        }
        assert_eq!(other.content(), content, "{order:?}");
        assert_eq!(
            other.run("conflicts --all --json").stdout(),
            shop.run("conflicts --all --json").stdout(),
            "{order:?}"
        );
    }
}

#[test]
fn a_decision_that_was_changed_by_hand_is_refused() {
    let shop = decided();
    let content = shop.content();
    let table = content.split_once("\n\n").expect("two tables").1.to_owned();
    let lines: Vec<&str> = table.lines().collect();
    let without = |at: usize| {
        lines
            .iter()
            .enumerate()
            .filter(|(line, _)| *line != at)
            .map(|(_, line)| *line)
            .collect::<Vec<_>>()
            .join("\n")
    };
    let twice = format!("{table}{}\n", lines[1]);
    for (text, told) in [
        (table.replace("looked again", "guessed"), "do not say what this decision said"),
        (table.replacen("looked again", "guessed", 1), "it is not what line 2 says of the same decision"),
        (without(1), "do not say what this decision said"),
        (twice, "do not say what this decision said"),
        (table.replace(",retired,", ",kept,"), "do not say what this decision said"),
        (table.replace(",retired,", ",gone,"), "write kept, retired, narrowed or separate 1"),
        (table.replace(",uphold,", ",uphald,"), "the nearest is 'uphold'"),
        (table.replace("tow=no; drive=lhd", "tow=maybe"), "only"),
        (table.replacen("d-", "d-x", 1), "no whole id of a decision"),
        (table.replacen(",n-", ",m-", 1), "no whole id of a note"),
        (table.replace("2025-06-01", "2035-06-01"), "on"),
        (table.replacen("R. Okafor", "", 1), "who decided is missing"),
        (table.replacen("looked again", "", 1), "why it was decided is missing"),
        (table.replacen("because", "reason", 1), "the sheet lacks the column because"),
        (table.replacen(",note,", ",note,note,", 1), "the column 'note' stands twice"),
        (table.replacen("uphold,", "uphold,,", 1), "cells and the header 13"),
    ] {
        let other = Shop::with(&[TARN, TILLER]);
        let before = other.content();
        other.write("decisions.csv", &text);
        other.run("ingest decisions.csv").must_be(2).must_tell(told).must_tell("refused: decisions.csv");
        assert_eq!(other.content(), before, "{told}");
        other.run("check").must_be(0);
    }
    // With --partial those go in that are as they were.
    let other = Shop::with(&[TARN, TILLER]);
    other.write("decisions.csv", without(1));
    let run = other.run("ingest decisions.csv --partial").must_be(2);
    assert!(joined(&run).contains("3 decisions, 3 of them new"), "{run}");
    other.run("check").must_be(0);
}

#[test]
fn check_finds_a_decision_that_was_tampered_with() {
    for (damage, told, mends) in [
        (
            "DROP TRIGGER decision_stays; UPDATE decision SET because = 'x'",
            "does not say what its id says",
            false,
        ),
        (
            "DROP TRIGGER decision_stays; UPDATE decision SET about = '[]'",
            "does not say what its id says",
            false,
        ),
        ("DELETE FROM decided", "is listed wrongly", true),
        ("DELETE FROM follows", "is listed wrongly", true),
        ("UPDATE conflict SET state = 0", "the list of conflicts is wrong about", true),
    ] {
        let shop = decided();
        shop.sqlite().execute_batch(damage).expect("the damage is done");
        let run = shop.run("check").must_be(2);
        assert!(
            run.stdout().split_whitespace().collect::<Vec<_>>().join(" ").contains(told),
            "{damage}\n{run}"
        );
        if mends {
            shop.run("reindex").must_be(0);
            shop.run("check").must_be(0);
        }
    }
}
