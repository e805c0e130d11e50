//! `add`: one note by flags; what it is understood as and what follows is told before it is stored.

use insta::assert_snapshot;

use crate::cast::{HEAD, TARN, TILLER};
use crate::harness::Shop;

/// A shop with the cast, and a note on its truck without the part that differs.
const NOTE: &str = "add 2016 quillon tarn crew tow=yes -p brake-signal 'at=stop lamp switch' --basis metered";

fn check(line: &str, status: i32) -> String {
    let shop = Shop::with(&[TARN, TILLER]);
    let text = shop.run(line).must_be(status).to_string();
    shop.run("check").must_be(0);
    text
}

#[test]
fn a_note_that_supports_and_contradicts() {
    assert_snapshot!(check(&format!("{NOTE} colour=PPL/WHT --by 'D. Pruett' --years 2015-2019 --only tow=yes --yes"), 0), @r"
    $ baybook add 2016 quillon tarn crew tow=yes -p brake-signal 'at=stop lamp switch' --basis metered colour=PPL/WHT --by 'D. Pruett' --years 2015-2019 --only tow=yes --yes
    Quillon Tarn, brake signal
      Violet with white tracer (VT/WH), at: stop lamp switch.
      Claimed for 2015-2019, tow package.
      Metered on a 2016, crew cab, tow package, D. Pruett, 2025-06-01.

    Supports n-jbnfdp n-mlsxel. On a 2016, crew cab, tow package the grade stays
      disputed.
    Contradicts: Green (GN), on 2015-2019, tow package
      n-eo6l3c  S. Lindqvist, 2023-05-02 metered on a 2017, no tow package. Green
        (GN), positive signal, at: stop lamp switch. Claimed for 2015-2019.
    Joins conflict c-eo6l3c

    Stored as n-c6kcwx.
    --- status 0
    ");
}

#[test]
fn a_note_without_another_is_told_so() {
    assert_snapshot!(check("add 2016 tarn crew -p horn colour=brown signal=negative --basis fitted --by 'R. Okafor' --remark 'Taps at the relay' --yes", 0), @r"
    $ baybook add 2016 tarn crew -p horn colour=brown signal=negative --basis fitted --by 'R. Okafor' --remark 'Taps at the relay' --yes
    Quillon Tarn, horn
      Brown (BN), negative signal.
      Claimed for 2016.
      Fitted on a 2016, crew cab, R. Okafor, 2025-06-01.
      “Taps at the relay”

    No other note says the same. On a 2016, crew cab the grade goes from blank to
      backed.

    Stored as n-wziydq.
    --- status 0
    ");
}

/// A correction is a new note: the old one stays in the history.
#[test]
fn a_later_note_of_the_same_hand_on_the_same_vehicle_replaces_the_earlier() {
    let shop = Shop::with(&[TARN]);
    let line = format!("{NOTE} colour=brown --by 'r okafor' --only tow=yes --yes");
    let run = shop.run(&line).must_be(0);
    assert_snapshot!(run, @r"
    $ baybook add 2016 quillon tarn crew tow=yes -p brake-signal 'at=stop lamp switch' --basis metered colour=brown --by 'r okafor' --only tow=yes --yes
    Quillon Tarn, brake signal
      Brown (BN), at: stop lamp switch.
      Claimed for 2016, tow package.
      Metered on a 2016, crew cab, tow package, R. Okafor, 2025-06-01.

    Replaces, of the same hand on the same vehicle; the old stays in the history:
      n-jbnfdp  R. Okafor, 2024-03-11 metered on a 2016, crew cab, tow package.
        Violet with white tracer (VT/WH), positive signal, cavity 2, connector C210,
        at: stop lamp switch. Claimed for 2015-2019, tow package.
    No other note says the same. On a 2016, crew cab, tow package the grade stays
      disputed.
    Contradicts: Violet with white tracer (VT/WH), on 2016, tow package
      n-mlsxel  M. Haugli, 2024-04-02 fitted on a 2016, crew cab, tow package.
        Violet with white tracer (VT/WH), cavity 2, connector C210, at: stop lamp
        switch. Claimed for 2016.
    Contradicts: Green (GN), on 2016, tow package
      n-eo6l3c  S. Lindqvist, 2023-05-02 metered on a 2017, no tow package. Green
        (GN), positive signal, at: stop lamp switch. Claimed for 2015-2019.
    Joins conflict c-eo6l3c

    Lookups that change:
      Brake signal of 2015, tow package; 2017-2019, tow package
        says now: disputed: Green (GN), positive signal / Violet with white tracer
          (VT/WH), positive signal, cavity 2, connector C210
        would say: thin: Green (GN), positive signal
      Brake signal of 2016, tow package
        says now: disputed: Green (GN), positive signal / Violet with white tracer
          (VT/WH), positive signal, cavity 2, connector C210
        would say: disputed: Brown (BN) / Green (GN), positive signal / Violet with
          white tracer (VT/WH), cavity 2, connector C210
      Brake signal of 2015, factory tow package not told; 2018-2019, factory tow
        package not told
        says now: disputed: Green (GN), positive signal / Violet with white tracer
          (VT/WH), positive signal, cavity 2, connector C210 (depends on factory tow
          package)
        would say: thin: Green (GN), positive signal
      Brake signal of 2016, factory tow package not told
        says now: disputed: Green (GN), positive signal / Violet with white tracer
          (VT/WH), cavity 2, connector C210
        would say: disputed: Brown (BN) (depends on factory tow package) / Green
          (GN), positive signal / Violet with white tracer (VT/WH), cavity 2,
          connector C210
      and of 3 more kinds of vehicles; --json tells of all

    Stored as n-ubw5zd.
    --- status 0
    ");
    let told = run.stdout();
    let stored = told.split("Stored as ").nth(1).expect("an id").trim().trim_end_matches('.').to_owned();
    let old = shop.run("export --json").json();
    let old = old.as_array().expect("notes").iter().find(|note| {
        note["by"] == "R. Okafor" && note["point"] == "brake-signal" && note["on"] == "2024-03-11"
    });
    let old = old.expect("the old note")["id"].as_str().expect("an id").to_owned();
    let history = shop.run(&format!("history {old}")).must_be(0).stdout();
    assert!(history.contains(&stored), "{history}");
    shop.run("check").must_be(0);
    let again = shop.run(&line).must_be(0).stdout();
    assert!(
        again.contains(&format!("Repeats {stored}: the book has it."))
            && again.contains("Nothing was stored")
    );
}

/// The state of the conflict over the brake signal of the truck, as the book has it.
fn state(shop: &Shop) -> String {
    let all = shop.run("conflicts --all --json").json();
    let found = all.as_array().expect("a list").iter().find(|one| one["id"] == "c-eo6l3c");
    found.map_or_else(|| "none".to_owned(), |one| one["state"].as_str().expect("a state").to_owned())
}

#[test]
fn what_was_settled_and_opens_again_is_told_with_its_decision() {
    let shop = Shop::with(&[TARN]);
    shop.run("reconcile c-eo6l3c uphold 1 --because 'metered twice' --by 'M. Haugli' --yes").must_be(0);
    assert_eq!(state(&shop), "settled");
    let line = format!("{NOTE} colour=green --by 'D. Pruett'");
    let told = shop.run(&format!("{line} --dry-run")).must_be(0).stdout();
    let decided = &shop.run("conflicts c-eo6l3c --json").json()[0]["decisions"][0]["id"];
    let short = decided.as_str().expect("an id")[..8].to_owned();
    let joined = told.split_whitespace().collect::<Vec<_>>().join(" ");
    let wanted = format!(
        "Opens again conflict c-eo6l3c, which was settled by {short}, 2025-06-01, M. Haugli: “metered twice”"
    );
    assert!(joined.contains(&wanted), "{wanted}\n{told}");
    let json = shop.run(&format!("{line} --yes --json")).must_be(0).json();
    assert_eq!(json["reopened"][0]["id"], "c-eo6l3c", "{json:#}");
    assert_eq!((&json["reopened"][0]["was"], &json["reopened"][0]["by"]["id"]), (&"settled".into(), decided));
    assert!(json["opened"] == serde_json::json!([]) && json["joined"] == serde_json::json!([]), "{json:#}");
    assert_eq!(state(&shop), "open");
}

#[test]
fn a_note_that_answers_a_recheck_says_so() {
    let shop = Shop::with(&[TARN]);
    shop.run("reconcile c-eo6l3c recheck --because 'nobody knows' --by 'M. Haugli' --yes").must_be(0);
    let line = format!("{NOTE} colour=violet/white --by 'D. Pruett' --yes");
    let told = shop.run(&line).must_be(0).stdout();
    let joined = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(joined.contains("Opens again conflict c-eo6l3c, which waited for a recheck by d-"), "{told}");
    assert!(joined.contains("Answers the recheck d-"), "{told}");
    assert_eq!(state(&shop), "open");
    let tasks = &shop.run("lookup 2016 tarn tow --json").json()["tasks"];
    assert_eq!(*tasks, serde_json::json!([]));
}

/// Who wrote the one note of a side corrects it.
#[test]
fn a_correction_that_ends_a_conflict_says_so() {
    let shop = Shop::with(&[TARN]);
    let line = "add 2017 tarn tow=no -p brake-signal colour=violet/white signal=positive 'at=stop lamp switch' \
                --years 2015-2019 --basis metered --by 'S. Lindqvist' --yes";
    let told = shop.run(line).must_be(0).stdout();
    assert!(told.contains("Ends conflict c-eo6l3c"), "{told}");
    assert_eq!(state(&shop), "none");
}

/// A note on 2016 tells of 2017 as well, where the same was seen on 2018: the preview looks beyond what is claimed.
#[test]
fn lookups_of_other_years_that_change_are_told() {
    let sheet = "make,model,years,point,colour,basis,by,on,seen\n\
                 Quillon,Tarn,2015-2019,horn,BN,metered,R. Okafor,2024-03-11,2018\n";
    let shop = Shop::with(&[sheet]);
    let before = shop.run("lookup 2017 tarn -p horn --json").json();
    assert_eq!(before["points"][0]["grade"], "thin");
    let line = "add 2016 tarn -p horn colour=BN --basis metered --by 'D. Pruett' --yes --json";
    let json = shop.run(line).must_be(0).json();
    let of = |grade: &str| -> Vec<String> {
        let changes = json["changes"].as_array().expect("changes").iter();
        let own = changes.filter(|change| change["after"]["grade"] == grade);
        own.map(|change| change["vehicles"].to_string()).collect()
    };
    assert_eq!(of("between"), [r#"[{"only":{},"years":[2017,2017]}]"#], "{json:#}");
    assert_eq!(of("backed").len(), 1, "{json:#}");
    assert_eq!(shop.run("lookup 2017 tarn -p horn --json").json()["points"][0]["grade"], "between");
}

#[test]
fn as_json() {
    assert_snapshot!(check("add 2018 tiller -p reverse-lamp colour=green connector=C112 cavity=7 --basis diagram --by 'K. Nilsen' --on 2025-05-30 --yes --json", 0), @r#"
    $ baybook add 2018 tiller -p reverse-lamp colour=green connector=C112 cavity=7 --basis diagram --by 'K. Nilsen' --on 2025-05-30 --yes --json
    {
      "answered": [],
      "cavity_conflicts": [
        {
          "cavity": "7",
          "connector": "C112",
          "id": "c-2wut7m-cavity"
        }
      ],
      "changes": [
        {
          "after": {
            "answers": [
              {
                "depends_on": [],
                "grade": "disputed",
                "values": {
                  "cavity": "7",
                  "colour": "GN",
                  "connector": "C112"
                }
              },
              {
                "depends_on": [],
                "grade": "disputed",
                "values": {
                  "cavity": "7",
                  "colour": "PK/BK",
                  "connector": "C112"
                }
              }
            ],
            "grade": "disputed",
            "recheck": false
          },
          "before": {
            "answers": [
              {
                "depends_on": [],
                "grade": "thin",
                "values": {
                  "cavity": "7",
                  "colour": "PK/BK",
                  "connector": "C112"
                }
              }
            ],
            "grade": "thin",
            "recheck": false
          },
          "point": "reverse-lamp",
          "vehicles": [
            {
              "only": {},
              "years": [
                2018,
                2018
              ]
            }
          ]
        },
        {
          "after": {
            "answers": [
              {
                "depends_on": [
                  "year"
                ],
                "grade": "disputed",
                "values": {
                  "cavity": "7",
                  "colour": "GN",
                  "connector": "C112"
                }
              },
              {
                "depends_on": [
                  "year"
                ],
                "grade": "disputed",
                "values": {
                  "cavity": "7",
                  "colour": "PK/BK",
                  "connector": "C112"
                }
              }
            ],
            "grade": "disputed",
            "recheck": false
          },
          "before": {
            "answers": [
              {
                "depends_on": [
                  "year"
                ],
                "grade": "thin",
                "values": {
                  "cavity": "7",
                  "colour": "PK/BK",
                  "connector": "C112"
                }
              }
            ],
            "grade": "thin",
            "recheck": false
          },
          "point": "reverse-lamp",
          "vehicles": [
            {
              "only": {},
              "unknown": [
                "year"
              ],
              "years": [
                null,
                null
              ]
            }
          ]
        }
      ],
      "contradicts": [
        {
          "certain": true,
          "contested": [
            {
              "only": {},
              "years": [
                2018,
                2018
              ]
            }
          ],
          "notes": [
            "n-5gt5nq"
          ],
          "values": {
            "colour": "PK/BK"
          }
        }
      ],
      "ended": [],
      "grade": {
        "after": "disputed",
        "before": "thin"
      },
      "joined": [],
      "new_model": false,
      "note": {
        "basis": "diagram",
        "by": "K. Nilsen",
        "id": "n-hpxjygq4g4uwukih",
        "make": "Ironquay",
        "model": "Tiller",
        "on": "2025-05-30",
        "point": "reverse-lamp",
        "remark": "",
        "scope": {
          "only": {},
          "years": [
            2018,
            2018
          ]
        },
        "seen": "",
        "values": {
          "cavity": "7",
          "colour": "GN",
          "connector": "C112"
        }
      },
      "on": {
        "attributes": {},
        "year": 2018
      },
      "opened": [
        "c-5gt5nq"
      ],
      "reach": [],
      "reopened": [],
      "repeats": null,
      "replaced_by": null,
      "replaces": [],
      "stored": true,
      "supports": []
    }
    --- status 0
    "#);
}

/// The words are the vehicle that was looked at; for word of mouth they are what is claimed.
#[test]
fn what_the_words_of_a_vehicle_are() {
    let shop = Shop::with(&[TARN]);
    let note = |line: &str| {
        let json = shop
            .run(&format!("add {line} -p horn colour=BN --by 'K. Nilsen' --dry-run --json"))
            .must_be(0)
            .json();
        assert_eq!(json["stored"], false);
        let note = &json["note"];
        format!("{} {} seen {}", note["scope"]["years"], note["scope"]["only"], note["seen"])
    };
    for (line, expected) in [
        ("2016 tarn crew --basis metered", r#"[2016,2016] {} seen "2016; cab=crew""#),
        ("2016 tarn crew --basis told", r#"[2016,2016] {"cab":["crew"]} seen """#),
        ("2015-2019 tarn crew --basis diagram", r#"[2015,2019] {"cab":["crew"]} seen """#),
        ("2015+ tarn --basis told", r#"[2015,null] {} seen """#),
        (
            "tarn crew --years 15-19 --seen '2017; tow=yes' --basis fitted",
            r#"[2015,2019] {"cab":["crew"]} seen "2017; tow=yes""#,
        ),
        (
            "2017 tarn --years 2015-2019 --only tow=yes --basis inspected",
            r#"[2015,2019] {"tow":["yes"]} seen "2017""#,
        ),
        ("2016 tarn crew --seen none --basis fitted", r#"[2016,2016] {"cab":["crew"]} seen """#),
        ("--make Quillon --model Tarn 2016 crew --basis metered", r#"[2016,2016] {} seen "2016; cab=crew""#),
    ] {
        assert_eq!(note(line), expected, "{line}");
    }
    assert!(shop.content().lines().count() == TARN.lines().count(), "a dry run stores nothing");
}

#[test]
fn a_claim_that_goes_far_beyond_what_was_seen_is_told() {
    let shop = Shop::with(&[TARN]);
    let run =
        |more: &str| shop.run(&format!("{NOTE} colour=VT/WH --by 'K. Nilsen' --dry-run {more}")).must_be(0);
    run("--years 2012-").must_tell("careful: claimed for 2012 and later, but seen on a 2016 only");
    run("").must_tell("careful: other notes here make a difference by factory tow package");
    assert_eq!(run("--years 2014-2019 --only tow=yes").stderr(), "");
    run("--seen none --years 2016").must_tell("careful: no vehicle is named, so the note is no observation");
    let nobody = "add tarn -p horn colour=BN --years 2016 --basis metered --by 'K. Nilsen' --dry-run";
    shop.run(nobody).must_be(0).must_tell("careful: no vehicle is named, so the note is no observation");
}

/// The errors of a sheet, by flag instead of column, all at once.
#[test]
fn what_is_wrong_is_told_by_flag() {
    assert_snapshot!(check("add 2016 tarn -p ground 'at=left or right' stud=big colour=red --basis tld --on 2031-01-01 --seen 2019 --yes", 2), @r#"
    $ baybook add 2016 tarn -p ground 'at=left or right' stud=big colour=red --basis tld --on 2031-01-01 --seen 2019 --yes
    --- standard error
    refused: --basis: 'tld' is no basis; write one of metered, fitted, inspected,
      diagram, told
    refused: --by: who wrote it is missing; write it like 'R. Okafor'
    refused: --on: '2031-01-01' is still to come; today is 2025-06-01
    refused: --seen: the seen vehicle lies outside the note's own scope: 2019 is not
      among 2016; one of the two is wrong
    refused: at: “left or right” says “or”: which place is it? Write one
    refused: stud: "big" is not part of a thread; write a thread such as M8,
      M8x1.25, 5/16, 3/8-16 or #10-24
    refused: colour: ground has no field 'colour'; it has at, stud, resistance,
      torque, how, avoid, tool
    nothing was stored
    --- status 2
    "#);
}

#[test]
fn words_that_cannot_be_taken() {
    let shop = Shop::with(&[TARN, TILLER]);
    let rest = "-p horn colour=BN --basis metered --by 'K. Nilsen' --yes";
    for (words, told) in [
        ("2016 qillon tarn", "no maker or model of the book is called 'qillon'"),
        ("2016 quillon tarn sparkly", "not understood: 'sparkly'"),
        ("2016 zephane calima", "a model that is new to the book is named with --make and --model"),
        ("2016 2018 tarn", "two model years are given, 2016 and 2018"),
        ("2016 tarn cab=crow", "nearest: crew"),
        ("2016 tarn colr=red", "'colr' is neither a field of a point nor an attribute of a vehicle"),
        ("2016 tarn colour=red", "colour is given twice"),
        ("2016 tarn at=", "nothing stands after 'at='"),
        ("2016 tarn", "--yes to store it"),
    ] {
        let rest = if words == "2016 tarn" { rest.replace(" --yes", "") } else { rest.to_owned() };
        shop.run(&format!("add {words} {rest}")).must_be(2).must_tell(told);
    }
    shop.run(&format!("add 2016 tarn {}", rest.replace("horn", "stop")))
        .must_be(2)
        .must_tell("brake-signal, high-stop");
    assert_eq!(shop.content().lines().count(), TARN.lines().count() + TILLER.lines().count() - 1);
}

/// The first note of a shop makes its book.
#[test]
fn the_first_note_makes_the_book() {
    let shop = Shop::new();
    let line = "add --make Quillon --model Tarn 2016 -p ground 'at=left inner fender' stud=M8 --basis fitted --by 'R. Okafor' --on 2024-03-11 --yes";
    shop.run(line).must_be(0);
    let other = Shop::with(&[&format!(
        "{HEAD}Quillon,Tarn,2016,ground,left inner fender,M8,fitted,R. Okafor,2024-03-11,2016,\n"
    )]);
    assert_eq!(shop.content(), other.content(), "a note by hand is the note of a sheet");
    shop.run("check").must_be(0);
}

/// Whoever works here says so, where `--by` does not.
#[test]
fn the_hand_is_taken_from_the_environment() {
    let shop = Shop::with(&[TARN]);
    let line = "BAYBOOK_BY='K. Nilsen' $BAYBOOK add 2016 tarn -p horn colour=BN --basis metered --yes";
    let run = shop.shell(line).must_be(0);
    assert!(run.stdout().contains("Metered on a 2016, K. Nilsen, 2025-06-01."), "{run}");
}

/// Who spells a name otherwise would count twice; and one's own earlier note on what may be the same vehicle is a
/// contradiction only because the vehicle was described in other words.
#[test]
fn a_hand_like_a_known_one_and_its_own_note_on_perhaps_the_same_vehicle_are_told() {
    let shop = Shop::with(&[TARN]);
    let line = |by: &str, seen: &str| {
        format!(
            "add 2016 tarn crew {seen} -p brake-signal colour=brown --basis metered --by '{by}' --dry-run"
        )
    };
    let told = shop.run(&line("Okafor", "tow=yes")).must_be(0);
    told.must_tell("Okafor is new to the book, which knows R. Okafor: two names count as two people");
    let told = shop.run(&line("R. Okafor", "")).must_be(0);
    let told = told.must_tell(
        "n-jbnfdp is yours, too, says something else and was seen on a 2016, crew cab, tow package",
    );
    told.must_tell("name it in the same words, '2016 cab=crew tow=yes'");
    let same_day = shop.run(&format!("{} --on 2024-03-11", line("R. Okafor", "tow=yes"))).must_be(0);
    same_day
        .must_tell("Both are of one day, so neither replaces the other: `baybook reconcile n-jbnfdp retire`");
    for (by, seen) in [("R. Okafor", "tow=no"), ("R. Okafor", "tow=yes"), ("D. Pruett", "")] {
        let text = shop.run(&line(by, seen)).must_be(0).to_string();
        assert!(!text.contains("two people") && !text.contains("yours, too"), "{text}");
    }
}
