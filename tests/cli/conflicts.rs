//! `conflicts`: the list, one side by side, and the status for scripts.

use insta::assert_snapshot;

use crate::cast::{ROW, TARN, TILLER, sheet};
use crate::harness::Shop;

fn shop() -> Shop {
    Shop::with(&[TARN, TILLER])
}

/// The id of the conflict of this kind.
fn id(shop: &Shop, kind: &str) -> String {
    let list = shop.run("conflicts --json").json();
    let found = list.as_array().expect("a list").iter().find(|conflict| conflict["kind"] == kind);
    found.and_then(|conflict| conflict["id"].as_str()).expect("such a conflict").to_owned()
}

#[test]
fn the_list() {
    assert_snapshot!(shop().run("conflicts"), @r"
    $ baybook conflicts
    c-2wut7m-cavity  Ironquay Tiller, cavity 7 of connector C112; contested on
      2018-2021
        left turn (YE)  against  reverse lamps (PK/BK)
    c-eo6l3c  Quillon Tarn, brake signal: colour; contested on 2015-2019, tow
      package; 2016
        violet with white tracer (VT/WH) [2 observations]  against  green (GN) [1
          observation]
    --- status 0
    ");
}

#[test]
fn as_json() {
    assert_snapshot!(shop().run("conflicts --json"));
}

#[test]
fn those_of_one_vehicle() {
    let shop = shop();
    assert_snapshot!(shop.run("conflicts ironquay tiller"), @r"
    $ baybook conflicts ironquay tiller
    c-2wut7m-cavity  Ironquay Tiller, cavity 7 of connector C112; contested on
      2018-2021
        left turn (YE)  against  reverse lamps (PK/BK)
    --- status 0
    ");
    // The brake signal is contested on vehicles with the tow package, and without it on 2016 alone.
    assert_snapshot!(shop.run("conflicts 2018 tarn no tow package"), @r"
    $ baybook conflicts 2018 tarn no tow package
    --- standard error
    no conflicts
    --- status 0
    ");
    assert_snapshot!(shop.run("conflicts zephane mistra").must_be(1), @r"
    $ baybook conflicts zephane mistra
    --- standard error
    nothing found: no model of the book is called 'zephane mistra'
    hint: the makers of this book: Ironquay, Quillon
    --- status 1
    ");
}

#[test]
fn one_side_by_side() {
    let shop = shop();
    assert_snapshot!(shop.run(&format!("conflicts {}", id(&shop, "value"))), @r"
    $ baybook conflicts c-eo6l3c
    Conflict c-eo6l3c, Quillon Tarn, brake signal: colour; contested on 2015-2019,
      tow package; 2016

    Side 1: Violet with white tracer (VT/WH) [2 observations]
      n-jbnfdp  R. Okafor, 2024-03-11 metered on a 2016, crew cab, tow package.
        Violet with white tracer (VT/WH), positive signal, cavity 2, connector C210,
        at: stop lamp switch. Claimed for 2015-2019, tow package.
      n-mlsxel  M. Haugli, 2024-04-02 fitted on a 2016, crew cab, tow package.
        Violet with white tracer (VT/WH), cavity 2, connector C210, at: stop lamp
        switch. Claimed for 2016.

    Side 2: Green (GN) [1 observation]
      n-eo6l3c  S. Lindqvist, 2023-05-02 metered on a 2017, no tow package. Green
        (GN), positive signal, at: stop lamp switch. Claimed for 2015-2019.

    What explains it best: vehicles that the notes do not tell apart differ (about
      58 in 100).
    Where it may split, the likeliest first:
      1. By factory tow package (about 58 in 100): Violet with white tracer (VT/WH):
        2 seen, all tow package; Green (GN): 1 seen, no tow package; a guess, fewer
        than two seen on a side
      2. By model year, from 2017 on (about 32 in 100): Violet with white tracer
        (VT/WH): 2 seen, all up to 2016; Green (GN): 1 seen, 2017 and later; a
        guess, fewer than two seen on a side
      `baybook reconcile c-eo6l3c split NUMBER` accepts one.

    To settle it on the vehicle: Meter to battery negative, ignition off and again
      on: 0 V with the pedal up, battery voltage with the pedal down. With the
      hazard lamps flashing and the pedal up it must stay at 0 V, else it is the
      combined stop and turn wire of one side.
    --- status 0
    ");
    assert_snapshot!(shop.run(&format!("conflicts {}", id(&shop, "cavity"))), @r"
    $ baybook conflicts c-2wut7m-cavity
    Conflict c-2wut7m-cavity, Ironquay Tiller, cavity 7 of connector C112; contested
      on 2018-2021

    Side 1: Left turn (YE)
      n-2wut7m  M. Haugli, 2022-02-01 metered on a 2020. Yellow (YE), cavity 7,
        connector C112, at: left kick panel. Claimed for 2018-2021.

    Side 2: Reverse lamps (PK/BK)
      n-5gt5nq  R. Okafor, 2022-06-20 inspected on a 2019. Pink with black tracer
        (PK/BK), cavity 7, connector C112, at: left kick panel. Claimed for
        2018-2021.
    --- status 0
    ");
}

#[test]
fn the_id_of_any_note_in_it_finds_it() {
    let shop = shop();
    let list = shop.run("conflicts quillon tarn --json").json();
    for side in list[0]["sides"].as_array().expect("sides") {
        for note in side["notes"].as_array().expect("notes") {
            let found =
                shop.run(&format!("conflicts {} --json", note.as_str().expect("an id"))).must_be(0).json();
            assert_eq!(found[0]["id"], list[0]["id"]);
        }
    }
}

#[test]
fn ids_that_find_nothing() {
    let shop = shop();
    assert_snapshot!(shop.run("conflicts c-aaaaaa"), @r"
    $ baybook conflicts c-aaaaaa
    --- standard error
    nothing found: there is nothing with the id 'c-aaaaaa' in this book
    hint: `baybook conflicts` lists the conflicts, `baybook lookup` shows the ids of
      notes
    --- status 1
    ");
    let ground = shop.run("lookup 2016 tarn -p ground --json").json();
    let note = ground["points"][0]["answers"][0]["notes"][0].as_str().expect("a note").to_owned();
    assert_snapshot!(shop.run(&format!("conflicts {note}")), @r"
    $ baybook conflicts n-ci34gj
    --- standard error
    nothing found: n-ci34gj is in no conflict
    --- status 1
    ");
}

#[test]
fn a_short_id_that_could_be_several_is_told() {
    // An id is written with 32 characters: of more notes than that, two begin alike.
    let rows: Vec<String> =
        (0..33).map(|at| ROW.replace(",2016,\n", &format!(",2016,remark {at}"))).collect();
    let shop = Shop::with(&[&sheet(&rows.iter().map(String::as_str).collect::<Vec<_>>())]);
    let ids: Vec<String> = shop
        .run("export --json")
        .json()
        .as_array()
        .expect("notes")
        .iter()
        .map(|note| note["id"].as_str().expect("an id").to_owned())
        .collect();
    let twice = |first: char| ids.iter().filter(|id| id[2..].starts_with(first)).count() > 1;
    let first = ids
        .iter()
        .filter_map(|id| id[2..].chars().next())
        .find(|first| twice(*first))
        .expect("two ids that begin alike");
    shop.run(&format!("conflicts n-{first}")).must_be(2).must_tell("is the beginning of several ids");
}

#[test]
fn check_is_for_scripts() {
    let shop = shop();
    shop.run("conflicts --check").must_be(1);
    shop.run("conflicts --check quillon tarn").must_be(1);
    shop.run("conflicts --check 2012 quillon tarn").must_be(0);
    shop.run("conflicts").must_be(0);
    let none = shop.run("conflicts --check --state settled").must_be(1);
    none.must_tell("none in this state; 2 conflicts in another");
    // A mistyped --book is no book without conflicts.
    shop.run("--book typo conflicts --check").must_be(2).must_tell("there is no book in");
    assert_snapshot!(Shop::with(&[&sheet(&[ROW])]).run("conflicts --check"), @r"
    $ baybook conflicts --check
    --- standard error
    no conflicts
    --- status 0
    ");
}

/// A later note leaves the id of a conflict as it is; an earlier one that comes in late gives it another name, and
/// the one that was shown finds it still.
#[test]
fn an_id_that_was_shown_finds_the_conflict_for_good() {
    let shop = shop();
    let before = id(&shop, "value");
    for (on, sides) in [("2025-01-08", 3), ("2020-01-08", 3)] {
        let row = format!("Quillon,Tarn,2015-2019,brake-signal,red,metered,D. Pruett,{on},2018");
        shop.write("more.csv", format!("make,model,years,point,colour,basis,by,on,seen\n{row}\n"));
        shop.run("ingest more.csv").must_be(0);
        let found = shop.run(&format!("conflicts {before} --json")).must_be(0).json();
        assert_eq!(found[0]["sides"].as_array().map(Vec::len), Some(sides), "{found}");
        if on > "2024" {
            assert_eq!(id(&shop, "value"), before);
        }
    }
}

/// What explains a conflict of these brake signals best, of which notes claim years beyond the change, and what is said
/// of colours that look alike.
fn explained(rows: &[&str]) -> (String, String) {
    let rows: Vec<String> = rows.iter().map(|row| format!("Quillon,Tarn,brake-signal,{row}\n")).collect();
    let shop = Shop::with(&[&format!("make,model,point,years,colour,basis,by,on,seen\n{}", rows.concat())]);
    let json = shop.run("conflicts --json").json();
    let id = json[0]["id"].as_str().expect("a conflict");
    let told = shop.run(&format!("conflicts {id}")).must_be(0).stdout();
    let kinds: Vec<&str> = json[0]["explanations"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|one| one["kind"].as_str())
        .collect();
    (kinds.join(" "), told.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// Both notes claimed one year only, and were told to claim years beyond the change.
#[test]
fn nobody_is_told_to_have_claimed_too_much_who_claimed_one_year() {
    let (kinds, told) = explained(&[
        "2016,green,metered,R. Okafor,2024-01-01,2016",
        "2016,violet/white,diagram,M. Haugli,2024-01-02,",
        "2018,violet/white,metered,D. Pruett,2024-01-03,2018",
    ]);
    assert!(kinds.contains("change") && !kinds.contains("over-claim"), "{kinds}");
    assert!(!told.contains("claim years beyond"), "{told}");
    let (kinds, told) = explained(&[
        "2015-2019,green,metered,R. Okafor,2024-01-01,2015",
        "2015-2019,green,metered,D. Pruett,2024-01-02,2016",
        "2015-2016,green,metered,B. Ode,2024-01-03,2016",
        "2017-2019,violet/white,metered,M. Haugli,2024-01-04,2017",
        "2017-2019,violet/white,metered,C. Yorke,2024-01-05,2018",
        "2017-2019,violet/white,metered,B. Ode,2024-01-06,2019",
    ]);
    assert!(kinds.contains("over-claim") && !kinds.contains("change"), "{kinds}");
    assert!(told.contains("it changes at a model year, and notes claim years beyond it"), "{told}");
}

/// Of three colours, two of which look alike, one misreading was told to be the reason.
#[test]
fn one_misreading_does_not_make_three_colours() {
    let rows = [
        "2016,brown,metered,R. Okafor,2024-01-01,2016",
        "2016,violet,metered,M. Haugli,2024-01-02,2016",
        "2016,green,metered,D. Pruett,2024-01-03,2016",
    ];
    let (kinds, told) = explained(&rows);
    assert!(kinds.starts_with("mistake") && !kinds.contains("misread"), "{kinds}");
    assert!(told.contains("some notes are wrong, and all vehicles are the same"), "{told}");
    assert!(
        told.contains("Misread? Brown (BN) and violet (VT) are readily taken for each other: look again"),
        "{told}"
    );
    let (kinds, told) = explained(&rows[..2]);
    assert!(kinds.starts_with("misread"), "{kinds}");
    assert!(told.contains("one colour was misread") && told.contains("Misread (about "), "{told}");
}
