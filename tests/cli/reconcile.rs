//! `reconcile`: what can be decided, what it changes, what is refused, and how it is taken back.

use baybook::cli::{self, Console, Failure, Prompts, Question, Status};
use insta::assert_snapshot;

use crate::cast::{TARN, TILLER};
use crate::harness::{Run, Shop};

fn shop() -> Shop {
    Shop::with(&[TARN, TILLER])
}

/// Decides as somebody, without being asked.
fn decide(shop: &Shop, line: &str) -> Run {
    shop.run(&format!("reconcile {line} --because 'looked again' --by 'R. Okafor' --yes"))
}

fn states(shop: &Shop) -> Vec<String> {
    let list = shop.run("conflicts --all --json").must_be(0).json();
    let told = |conflict: &serde_json::Value| {
        format!(
            "{} {}",
            conflict["id"].as_str().expect("an id"),
            conflict["state"].as_str().expect("a state")
        )
    };
    let mut states: Vec<String> = list.as_array().expect("a list").iter().map(told).collect();
    states.sort();
    states
}

/// What a lookup of the brake signal says: the grade, and the colours with what each depends on.
pub fn brake(shop: &Shop, words: &str) -> String {
    let found = shop.run(&format!("lookup {words} quillon tarn -p brake-signal --json")).json();
    let point = &found["points"][0];
    let answer = |answer: &serde_json::Value| {
        let colour = answer["values"]["colour"].as_str().unwrap_or("-").to_owned();
        let on: Vec<_> =
            answer["depends_on"].as_array().expect("a list").iter().map(ToString::to_string).collect();
        if on.is_empty() { colour } else { format!("{colour} by {}", on.join(" ")) }
    };
    let answers: Vec<_> = point["answers"].as_array().expect("answers").iter().map(answer).collect();
    format!("{}: {}", point["grade"].as_str().expect("a grade"), answers.join(", "))
}

fn load(shop: &Shop, row: &str) -> Run {
    shop.write("more.csv", format!("make,model,years,only,point,colour,basis,by,on,seen\n{row}\n"));
    shop.run("ingest more.csv").must_be(0)
}

#[test]
fn a_side_is_upheld_and_the_decision_is_taken_back() {
    let shop = shop();
    let before = shop.content();
    assert_eq!(brake(&shop, "2016 tow"), "disputed: VT/WH, GN");
    assert_snapshot!(decide(&shop, "c-eo6l3c uphold 1"), @r"
    $ baybook reconcile c-eo6l3c uphold 1 --because 'looked again' --by 'R. Okafor' --yes
    This decision: uphold, by R. Okafor: “looked again”
      n-jbnfdp n-mlsxel: upheld
      n-eo6l3c: retired

    Lookups that change:
      Brake signal of 2015, no tow package; 2018-2019, no tow package
        says now: thin: Green (GN), positive signal
        would say: blank
      Brake signal of 2015, tow package; 2017-2019, tow package
        says now: disputed: Green (GN), positive signal / Violet with white tracer
          (VT/WH), positive signal, cavity 2, connector C210
        would say: thin: Violet with white tracer (VT/WH), positive signal, cavity
          2, connector C210
      Brake signal of 2016, no tow package
        says now: disputed: Green (GN), positive signal / Violet with white tracer
          (VT/WH), cavity 2, connector C210
        would say: thin: Violet with white tracer (VT/WH), cavity 2, connector C210
      Brake signal of 2016, tow package
        says now: disputed: Green (GN), positive signal / Violet with white tracer
          (VT/WH), positive signal, cavity 2, connector C210
        would say: proven: Violet with white tracer (VT/WH), positive signal, cavity
          2, connector C210
      Brake signal of 2017, no tow package
        says now: backed: Green (GN), positive signal
        would say: blank
      Brake signal of 2015, factory tow package not told; 2017-2019, factory tow
        package not told
        says now: disputed: Green (GN), positive signal / Violet with white tracer
          (VT/WH), positive signal, cavity 2, connector C210 (depends on factory tow
          package)
        would say: thin: Violet with white tracer (VT/WH), positive signal, cavity
          2, connector C210 (depends on factory tow package)
      Brake signal of 2016, factory tow package not told
        says now: disputed: Green (GN), positive signal / Violet with white tracer
          (VT/WH), cavity 2, connector C210
        would say: backed: Violet with white tracer (VT/WH), cavity 2, connector
          C210
      Brake signal of year not told, factory tow package not told; year not told,
        tow package
        says now: disputed: Green (GN), positive signal (depends on model year) /
          Violet with white tracer (VT/WH), positive signal, cavity 2, connector
          C210 (depends on model year)
        would say: thin: Violet with white tracer (VT/WH), positive signal, cavity
          2, connector C210 (depends on model year)
      Brake signal of year not told, no tow package
        says now: disputed: Green (GN), positive signal (depends on model year) /
          Violet with white tracer (VT/WH), cavity 2, connector C210 (depends on
          model year)
        would say: thin: Violet with white tracer (VT/WH), cavity 2, connector C210
          (depends on model year)
    Decided: d-mzinmj. `baybook reconcile d-mzinmj reopen` takes it back.
    --- status 0
    ");
    assert_eq!(brake(&shop, "2016 tow"), "proven: VT/WH");
    assert_eq!(states(&shop), ["c-2wut7m-cavity open", "c-eo6l3c settled"]);
    shop.run("conflicts quillon tarn --check").must_be(0).must_tell("1 conflict settled; --all shows");
    shop.run("check").must_be(0);
    decide(&shop, "c-eo6l3c reopen").must_be(0);
    assert_eq!(brake(&shop, "2016 tow"), "disputed: VT/WH, GN");
    assert_eq!(states(&shop), ["c-2wut7m-cavity open", "c-eo6l3c open"]);
    shop.run("check").must_be(0);
    assert!(shop.content().starts_with(&before), "the notes stay as they were");
}

/// The same words on the same day once more are another decision, since one that took the first back lies between.
#[test]
fn what_was_taken_back_can_be_decided_again_on_the_same_day() {
    let shop = shop();
    for _ in 0..3 {
        decide(&shop, "c-eo6l3c uphold 1").must_be(0);
        assert_eq!(brake(&shop, "2016 tow"), "proven: VT/WH");
        decide(&shop, "c-eo6l3c reopen").must_be(0);
        assert_eq!(brake(&shop, "2016 tow"), "disputed: VT/WH, GN");
    }
    shop.run("check").must_be(0);
}

#[test]
fn a_split_gives_each_side_its_part() {
    let shop = shop();
    decide(&shop, "c-eo6l3c split --attribute tow --dry-run").must_be(2).must_tell("cannot be used with");
    let shown = shop.run("reconcile c-eo6l3c split --attribute tow --dry-run --because x --by x").must_be(0);
    assert!(shown.stdout().contains("would say: "), "{shown}");
    assert_eq!(brake(&shop, "2016 tow"), "disputed: VT/WH, GN", "a dry run writes nothing");
    decide(&shop, "c-eo6l3c split --attribute tow").must_be(0);
    assert_eq!(brake(&shop, "2016 tow"), "proven: VT/WH");
    assert_eq!(brake(&shop, "2017 tow=no"), "backed: GN");
    assert_eq!(brake(&shop, "2016"), "thin: VT/WH by \"tow\", GN by \"tow\"");
    assert_eq!(states(&shop), ["c-2wut7m-cavity open", "c-eo6l3c settled"]);
    shop.run("check").must_be(0);
}

#[test]
fn a_split_at_a_model_year_and_at_a_build_date() {
    // Violet was seen on 2016, green on 2017.
    let shop = shop();
    decide(&shop, "c-eo6l3c split --at-year 2017").must_be(0);
    assert_eq!(brake(&shop, "2015 tow"), "thin: VT/WH");
    assert_eq!(brake(&shop, "2018 tow"), "thin: GN");
    decide(&shop, "c-eo6l3c reopen").must_be(0);
    // Nobody looked at the build date: it has to be said which side is which.
    decide(&shop, "c-eo6l3c split --built 2017-03").must_be(2).must_tell("in which part side 1 holds");
    decide(&shop, "c-eo6l3c split --built 2017-03 1=before").must_be(0);
    assert_eq!(brake(&shop, "2016 tow built=2016-11"), "proven: VT/WH");
    assert_eq!(brake(&shop, "2018 tow built=2018-02"), "thin: GN");
    shop.run("check").must_be(0);
}

#[test]
fn one_note_is_narrowed_or_retired() {
    let shop = shop();
    decide(&shop, "n-eo6l3c narrow --only tow=no").must_be(0);
    assert_eq!(
        states(&shop),
        ["c-2wut7m-cavity open", "c-eo6l3c open"],
        "M. Haugli claims 2016 whatever the package"
    );
    assert_eq!(brake(&shop, "2018 tow"), "thin: VT/WH");
    assert_eq!(brake(&shop, "2016 tow=no"), "disputed: GN, VT/WH");
    decide(&shop, "n-mlsxel narrow --only tow=yes").must_be(0);
    assert_eq!(states(&shop), ["c-2wut7m-cavity open", "c-eo6l3c settled"]);
    decide(&shop, "n-eo6l3c retire").must_be(0);
    assert_eq!(brake(&shop, "2017 tow=no"), "blank: ");
    let told = shop.run("history n-eo6l3c --json").must_be(0).json();
    assert_eq!((&told["standing"], told["decisions"].as_array().map(Vec::len)), (&"retired".into(), Some(2)));
    shop.run("check").must_be(0);
}

#[test]
fn both_are_right_of_different_places() {
    let shop = shop();
    // Both were noted at the stop lamp switch.
    decide(&shop, "c-eo6l3c separate")
        .must_be(2)
        .must_tell("sides 1 and 2 are both noted at one place, stop lamp switch");
    assert_eq!(states(&shop), ["c-2wut7m-cavity open", "c-eo6l3c open"]);
    decide(&shop, "c-eo6l3c separate --even-so").must_be(0);
    assert_eq!(brake(&shop, "2016 tow"), "proven: VT/WH, GN");
    assert_eq!(states(&shop), ["c-2wut7m-cavity open", "c-eo6l3c settled"]);
    // Another who says one of the two opens nothing; a third colour does.
    load(&shop, "Quillon,Tarn,2015-2019,,brake-signal,green,metered,D. Pruett,2024-09-01,2018");
    assert_eq!(states(&shop), ["c-2wut7m-cavity open", "c-eo6l3c settled"]);
    let told =
        load(&shop, "Quillon,Tarn,2015-2019,,brake-signal,red,metered,D. Pruett,2024-09-02,2019").stdout();
    assert!(told.contains("c-eo6l3c  Quillon Tarn, brake signal, is open again"), "{told}");
    shop.run("check").must_be(0);
}

/// A wire that changes its colour on the way is told in two places, or it is not known to do so.
#[test]
fn sides_are_separate_where_their_notes_name_places_of_their_own() {
    let head = "make,model,years,point,colour,at,basis,by,on,seen\n";
    for (first, second, told) in [
        ("left kick panel", "stop lamp switch", None),
        ("", "stop lamp switch", Some("no note of side 2 says at which place it is so")),
        ("", "", Some("no note of side 1 says at which place it is so")),
        ("brake switch", "stop lamp switch", Some("sides 1 and 2 are both noted at one place")),
    ] {
        let row = |colour: &str, at: &str, by: &str| {
            format!("Quillon,Tarn,2016,brake-signal,{colour},{at},metered,{by},2024-03-11,2016\n")
        };
        let rows = [row("VT/WH", first, "R. Okafor"), row("GN", second, "M. Haugli")];
        let shop = Shop::with(&[&format!("{head}{}", rows.concat())]);
        let id = shop.run("conflicts --json").json()[0]["id"].as_str().expect("an id").to_owned();
        let run = decide(&shop, &format!("{id} separate"));
        match told {
            None => drop(run.must_be(0)),
            Some(told) => drop(run.must_be(2).must_tell(told)),
        }
        let left = shop.run("conflicts --json").json().as_array().map(Vec::len);
        assert_eq!(left, Some(usize::from(told.is_some())), "{first}, {second}");
    }
}

/// Two colours of one point in one cavity, and another point there: told to be separate as a cavity, the colours were let
/// through at one place, and nothing said that their own conflict was settled with it.
#[test]
fn a_cavity_at_one_place_is_not_two_and_what_is_settled_beside_it_is_named() {
    let shop = Shop::with(&[CAVITY]);
    let [value, cavity] =
        [0, 1].map(|at| shop.run("conflicts --json").json()[at]["id"].as_str().expect("an id").to_owned());
    assert!(cavity.ends_with("-cavity"), "{cavity}");
    decide(&shop, &format!("{cavity} separate"))
        .must_be(2)
        .must_tell("are both noted at one place, left kick panel");
    assert_eq!(states(&shop), [format!("{value} open"), format!("{cavity} open")]);
    let run = decide(&shop, &format!("{cavity} separate --even-so")).must_be(0);
    assert!(run.stdout().contains(&format!("  Also settles: {value}, left turn\n")), "{run}");
    assert_eq!(states(&shop), [format!("{value} settled"), format!("{cavity} settled")]);
    let line = format!("reconcile {cavity} reopen --because x --by x --yes --json");
    let json = shop.run(&line).must_be(0).json();
    let turn = |id: &str| serde_json::json!({ "id": id, "was": "settled", "becomes": "open" });
    assert_eq!(json["conflicts"], serde_json::json!([turn(&value), turn(&cavity)]));
    // The other way round, and where what is left contradicts nothing else.
    let run = decide(&shop, &format!("{value} uphold 1")).must_be(0);
    assert!(!run.stdout().contains("Also settles"), "{run}");
}

const CAVITY: &str = "make,model,years,point,colour,at,connector,cavity,basis,by,on,seen
Quillon,Tarn,2018,left-turn,GN/YE,left kick panel,C212,14,metered,R. Okafor,2024-01-01,2018
Quillon,Tarn,2018,left-turn,YE/BK,left kick panel,C212,14,metered,M. Haugli,2024-01-02,2018
Quillon,Tarn,2018,horn,BU,left kick panel,C212,14,metered,D. Pruett,2024-01-03,2018
";

/// Who only wants to see what it would change needs no reason; and what somebody is asked to look at is not asked twice.
#[test]
fn a_look_ahead_needs_no_reason_and_an_equal_recheck_is_stored_once() {
    let shop = shop();
    let before = shop.content();
    let run = shop.run("reconcile c-eo6l3c uphold 1 --dry-run --by 'R. Okafor'").must_be(0);
    run.must_tell("nothing was written");
    assert_eq!(shop.content(), before);
    shop.run("reconcile c-eo6l3c uphold 1 --yes --by 'R. Okafor'")
        .must_be(2)
        .must_tell("a decision needs its reason");
    for id in ["c-eo6l3c", "c-2wut7m-cavity", "n-zuu3mb"] {
        decide(&shop, &format!("{id} recheck")).must_be(0);
        let after = shop.content();
        decide(&shop, &format!("{id} recheck"))
            .must_be(0)
            .must_tell("that is so already: nothing was written");
        assert_eq!(shop.content(), after, "{id}");
    }
}

/// "Settled stays settled until a new note contradicts what was upheld; then it opens again and shows the old
/// decision."
#[test]
fn settled_stays_settled_until_a_note_contradicts_what_was_upheld() {
    let shop = shop();
    decide(&shop, "c-eo6l3c uphold 1").must_be(0);
    load(
        &shop,
        "Quillon,Tarn,2015-2019,tow=yes,brake-signal,violet/white,metered,D. Pruett,2024-09-01,2018; tow=yes",
    );
    assert_eq!(states(&shop), ["c-2wut7m-cavity open", "c-eo6l3c settled"]);
    let told =
        load(&shop, "Quillon,Tarn,2016,,brake-signal,green,inspected,D. Pruett,2024-09-02,2016").stdout();
    assert!(told.contains("c-eo6l3c  Quillon Tarn, brake signal, is open again"), "{told}");
    assert_eq!(states(&shop), ["c-2wut7m-cavity open", "c-eo6l3c open"]);
    let page = shop.run("conflicts c-eo6l3c").must_be(0).stdout();
    assert!(page.contains("Open again; upheld 2025-06-01 by R. Okafor: “looked again”"), "{page}");
    shop.run("conflicts tarn --check").must_be(1);
    shop.run("check").must_be(0);
}

#[test]
fn a_recheck_is_a_task_on_the_next_such_vehicle() {
    let shop = shop();
    decide(&shop, "c-eo6l3c recheck").must_be(0);
    assert_eq!(states(&shop), ["c-2wut7m-cavity open", "c-eo6l3c recheck"]);
    shop.run("conflicts tarn --check").must_be(0);
    let task = |words: &str| {
        let told = shop.run(&format!("lookup {words} quillon tarn -p brake-signal")).stdout();
        told.lines().find(|line| line.starts_with("While you are there")).map(str::to_owned)
    };
    let asks = "While you are there: meter the brake signal, two sides disagree, 3 notes (R.";
    assert_eq!(task("2018 tow").as_deref(), Some(asks));
    assert_eq!(task("2018 tow=no"), None, "not contested there");
    let json = shop.run("lookup 2018 tow quillon tarn --json").json();
    assert_eq!(json["tasks"][0]["task"], "meter the brake signal, two sides disagree, 3 notes");
    assert_eq!(json["tasks"][0]["point"], "brake-signal");
    // Hearsay is no look. A look is, and then it is to be decided.
    load(&shop, "Quillon,Tarn,2018,,brake-signal,green,told,D. Pruett,2025-06-01,");
    assert!(task("2018 tow").is_some());
    let told = load(
        &shop,
        "Quillon,Tarn,2018,tow=yes,brake-signal,violet/white,metered,D. Pruett,2025-06-01,2018; tow=yes",
    );
    assert!(told.stdout().contains("is open again"), "{told}");
    assert_eq!(task("2018 tow"), None);
    assert_eq!(states(&shop), ["c-2wut7m-cavity open", "c-eo6l3c open"]);
    shop.run("check").must_be(0);
}

#[test]
fn a_single_note_can_be_put_down_for_a_recheck() {
    let shop = shop();
    let ground = shop.run("lookup 2016 tarn -p ground --json").json();
    let note = ground["points"][0]["answers"][0]["notes"][0].as_str().expect("a note").to_owned();
    decide(&shop, &format!("{note} recheck")).must_be(0);
    let told = shop.run("lookup 2018 tarn --json").json();
    assert_eq!(told["tasks"][0]["task"], "meter the ground, one note is in doubt");
    decide(&shop, &format!("{note} reopen")).must_be(0);
    assert_eq!(shop.run("lookup 2018 tarn --json").json()["tasks"].as_array().map(Vec::len), Some(0));
}

#[test]
fn a_conflict_over_a_cavity_is_settled_as_well() {
    let shop = shop();
    assert_snapshot!(decide(&shop, "c-2wut7m-cavity recheck"), @r"
    $ baybook reconcile c-2wut7m-cavity recheck --because 'looked again' --by 'R. Okafor' --yes
    This decision: recheck, by R. Okafor: “looked again”
      n-2wut7m n-5gt5nq: to be rechecked

    No lookup says anything else.
      Still contradict each other: n-2wut7m against n-5gt5nq
    Decided: d-dayzay. `baybook reconcile d-dayzay reopen` takes it back.
    --- status 0
    ");
    let told = shop.run("lookup 2020 tiller --json").json();
    assert_eq!(told["tasks"][0]["task"], "look what is in cavity 7 of connector C112, two notes disagree");
    for (line, state) in [
        ("reopen", "open"),
        ("separate --even-so", "settled"),
        ("reopen", "open"),
        ("split --at-year 2020", "settled"),
        ("reopen", "open"),
        ("uphold 2", "settled"),
    ] {
        decide(&shop, &format!("c-2wut7m-cavity {line}")).must_be(0);
        assert_eq!(states(&shop)[0], format!("c-2wut7m-cavity {state}"), "{line}");
        let told = shop.run("lookup 2020 tiller --json").json();
        let shown = told["cavity_conflicts"].as_array().map_or(0, Vec::len);
        assert_eq!(shown, usize::from(state == "open"), "{line}");
        shop.run("check").must_be(0);
    }
    // Another note of the side that was given up opens it again.
    shop.write("more.csv", TILLER.replace("M. Haugli,2022-02-01", "D. Pruett,2024-02-01"));
    shop.run("ingest more.csv").must_be(0);
    assert_eq!(states(&shop)[0], "c-2wut7m-cavity open");
    shop.run("check").must_be(0);
}

#[test]
fn what_cannot_be_decided_changes_nothing() {
    let shop = shop();
    decide(&shop, "c-2wut7m-cavity uphold 1").must_be(0);
    let before = shop.content();
    let who = "--because x --by x --yes";
    for (line, told) in [
        ("c-eo6l3c uphold 1 --by x --yes", "a decision needs its reason"),
        ("c-eo6l3c uphold 1 --because ' ' --by x --yes", "a decision needs its reason"),
        ("c-eo6l3c uphold 1 --because x --yes", "a decision needs to say who made it"),
        ("c-eo6l3c uphold 1 --because x --by x", "there is no terminal to ask on"),
        ("c-eo6l3c --because x --by x", "say what to decide"),
        ("violet retire --because x --by x --yes", "'violet' is no id"),
    ] {
        shop.run(&format!("reconcile {line}")).must_be(2).must_tell(told);
    }
    shop.run(&format!("reconcile n-aaaaaa retire {who}"))
        .must_be(1)
        .must_tell("nothing with the id 'n-aaaaaa'");
    for (line, told) in [
        ("c-eo6l3c uphold 3", "there is no side 3; the sides are 1 to 2"),
        ("c-eo6l3c uphold 0", "there is no side 0"),
        ("c-eo6l3c uphold 1 2", "what is to be upheld contradicts itself, n-"),
        ("c-eo6l3c uphold", "say which: the number of a side, or ids of notes"),
        ("c-eo6l3c uphold green", "'green' is neither the number of a side nor the id of a note"),
        ("c-eo6l3c uphold n-2wut7m", "is not part of this conflict"),
        ("n-eo6l3c narrow --years 2014-2016", "a narrowing only takes away from that"),
        ("n-eo6l3c narrow --years 2015-2019", "that changes nothing"),
        ("n-eo6l3c narrow --years 2015-2016", "was seen on a 2017, no tow package, which would lie outside"),
        ("n-jbnfdp narrow --only tow=no", "nothing would be left of n-jbnfdpcardiag4hv"),
        ("n-eo6l3c narrow", "say to what it is narrowed"),
        ("n-eo6l3c narrow --only cab=crow", "nearest: crew"),
        ("c-eo6l3c split", "say where to split"),
        ("c-eo6l3c split --at-year 1066", "\"1066\""),
        ("c-eo6l3c split --built 2017", "a cut is one month"),
        ("c-eo6l3c split --attribute wheels", "no attribute"),
        ("c-eo6l3c split --at-year 2012", "sides 1 and 2 would lie in the same part"),
        ("c-eo6l3c split --attribute tow 1=maybe", "'maybe' is no part of this cut"),
        ("c-eo6l3c split --attribute tow 1=no 2=yes", "nothing would be left of n-jbnfdpcardiag4hv"),
        ("c-eo6l3c split --attribute tow 7=no", "there is no side 7"),
        ("c-eo6l3c split --attribute tow left", "'left' is no part of a side"),
        ("c-eo6l3c split --attribute tow --retire 2", "there have to be two sides"),
        ("c-eo6l3c separate 1", "there have to be two sides"),
        ("c-eo6l3c reopen", "nothing that was decided here stands"),
        ("c-eo6l3c recheck 1", "recheck has no use for WHICH"),
        ("c-eo6l3c uphold 1 --years 2016", "uphold has no use for --years and --only"),
        ("n-eo6l3c retire --at-year 2017", "retire has no use for --at-year"),
        ("c-eo6l3c uphold 1 --retire 2", "uphold has no use for --retire"),
        ("c-2wut7m-cavity uphold 2", "this conflict is settled already"),
        ("c-eo6l3c split --at-year 2017 --attribute tow", "cannot be used with"),
    ] {
        let run = shop.run(&format!("reconcile {line} {who}")).must_be(2).must_tell(told);
        assert!(!run.stdout().contains("Decided: "), "{run}");
    }
    assert_eq!(shop.content(), before);
    let settled = shop.run("conflicts --state settled --json").json();
    let decision = settled[0]["decisions"][0]["id"].as_str().expect("what was decided first");
    for action in ["retire 1", "uphold 1", "split 1", "recheck"] {
        shop.run(&format!("reconcile {decision} {action} {who}"))
            .must_be(2)
            .must_tell("is a decision, and a decision can only be reopened");
    }
    assert_eq!(shop.content(), before);
    shop.run("--book nowhere reconcile c-eo6l3c uphold 1 --because x --by x --yes").must_be(2);
    shop.run("check").must_be(0);
}

/// One vague stud fits two grounds, and may be either. When one of the two is retired it can only be the other, which
/// has another stud.
#[test]
fn a_decision_that_opens_a_new_conflict_is_refused_unless_it_is_wanted() {
    let rows = "Quillon,Tarn,2016,ground,left kick panel,M6,fitted,R. Okafor,2024-01-01,2016\n\
                Quillon,Tarn,2016,ground,right kick panel,M8,fitted,R. Okafor,2024-01-02,2016\n\
                Quillon,Tarn,2016,ground,kick panel,M8,fitted,M. Haugli,2024-01-03,2016\n";
    let shop = Shop::with(&[&format!("make,model,years,point,at,stud,basis,by,on,seen\n{rows}")]);
    let notes = shop.run("export --json").json();
    let right =
        notes.as_array().expect("notes").iter().find(|note| note["values"]["at"] == "right kick panel");
    let id = right.and_then(|note| note["id"].as_str()).expect("the ground on the right").to_owned();
    let before = shop.content();
    decide(&shop, &format!("{id} retire")).must_be(2).must_tell("it would open a new conflict");
    assert_eq!(shop.content(), before);
    decide(&shop, &format!("{id} retire --even-so")).must_be(0);
    assert_eq!(states(&shop).len(), 1);
    shop.run("check").must_be(0);
}

/// Where the driver sits on the right, scopes say so, and a cut or a narrowing that does not name a side leaves it.
#[test]
fn a_shop_whose_drivers_sit_on_the_right() {
    let shop = Shop::new();
    shop.write("book/shop.toml", "drive = \"rhd\"\n");
    shop.write("tarn.csv", TARN);
    shop.run("ingest tarn.csv").must_be(0);
    let id = states(&shop)[0].split(' ').next().expect("an id").to_owned();
    decide(&shop, &format!("{id} split --attribute tow")).must_be(0);
    assert_eq!(brake(&shop, "2016 tow"), "proven: VT/WH");
    assert_eq!(brake(&shop, "2017 tow=no"), "backed: GN");
    decide(&shop, &format!("{id} reopen")).must_be(0);
    decide(&shop, &format!("{id} split --at-year 2017")).must_be(0);
    assert_eq!(brake(&shop, "2018 tow"), "thin: GN");
    decide(&shop, &format!("{id} narrow 2 --years 2017")).must_be(2).must_tell("is settled already");
    // In a shop whose drivers sit on the left the same book says the same of the same vehicles.
    let other = Shop::new();
    other.write("all.csv", shop.content());
    other.run("ingest all.csv").must_be(0);
    assert_eq!(other.content(), shop.content());
    assert_eq!(brake(&other, "2018 tow drive=rhd"), "thin: GN");
    assert_eq!(brake(&other, "2018 tow"), "blank: ");
    other.run("check").must_be(0);
    shop.run("check").must_be(0);
}

#[test]
fn as_json() {
    let shop = shop();
    let json = decide(&shop, "c-eo6l3c uphold 1 --json").must_be(0).json();
    assert_eq!((&json["written"], &json["decision"]["kind"]), (&true.into(), &"uphold".into()));
    assert_eq!(json["decision"]["about"].as_array().map(Vec::len), Some(3));
    let changes = json["changes"].as_array().expect("changes");
    assert!(
        changes.iter().all(|change| change["point"] == "brake-signal" && change["before"] != change["after"])
    );
    assert!(changes.iter().any(|change| change["before"]["grade"] == "disputed"));
    assert!(changes.iter().all(|change| change["after"]["grade"] != "disputed"));
    assert_eq!(json["left_contradictions"].as_array().map(Vec::len), Some(0));
}

#[test]
fn history_reads_like_a_log_book() {
    let shop = shop();
    decide(&shop, "c-eo6l3c split --attribute tow").must_be(0);
    decide(&shop, "c-eo6l3c reopen").must_be(0);
    assert_snapshot!(shop.run("history c-eo6l3c"), @r"
    $ baybook history c-eo6l3c
    c-eo6l3c  Quillon Tarn, brake signal: colour; contested on 2015-2019, tow
      package; 2016
        violet with white tracer (VT/WH) [2 observations]  against  green (GN) [1
          observation]

    n-eo6l3c  2023-05-02, S. Lindqvist: brake signal, metered on 2017; tow=no. Green
      (GN), at: stop lamp switch, positive signal. Claimed for 2015-2019.
    n-jbnfdp  2024-03-11, R. Okafor: brake signal, metered on 2016; cab=crew;
      tow=yes. Violet with white tracer (VT/WH), at: stop lamp switch, connector
      C210, cavity 2, positive signal. Claimed for 2015-2019, tow package.
    n-mlsxel  2024-04-02, M. Haugli: brake signal, fitted on 2016; cab=crew;
      tow=yes. Violet with white tracer (VT/WH), at: stop lamp switch, connector
      C210, cavity 2. Claimed for 2016.
    d-ity7hj  2025-06-01, R. Okafor: split. “looked again” Taken back later.
        n-jbnfdp: stays
        n-eo6l3c: narrowed to 2015-2019, no tow package
        n-mlsxel: narrowed to 2016, tow package
    d-vpho4h  2025-06-01, R. Okafor: took back d-ity7hj. “looked again”
    --- status 0
    ");
    let id = |line: &str| {
        shop.run(line).must_be(0).json()["decisions"][0]["id"].as_str().expect("an id").to_owned()
    };
    let split = id("history n-eo6l3c --json");
    assert_snapshot!(shop.run(&format!("history {}", &split[..8])), @r"
    $ baybook history d-ity7hj
    d-ity7hj  2025-06-01, R. Okafor: split. “looked again” Taken back later.
        n-jbnfdp: stays
        n-eo6l3c: narrowed to 2015-2019, no tow package
        n-mlsxel: narrowed to 2016, tow package

    Quillon Tarn, the notes that it is about:
    n-eo6l3c  2023-05-02, S. Lindqvist: brake signal, metered on 2017; tow=no. Green
      (GN), at: stop lamp switch, positive signal. Claimed for 2015-2019.
    n-jbnfdp  2024-03-11, R. Okafor: brake signal, metered on 2016; cab=crew;
      tow=yes. Violet with white tracer (VT/WH), at: stop lamp switch, connector
      C210, cavity 2, positive signal. Claimed for 2015-2019, tow package.
    n-mlsxel  2024-04-02, M. Haugli: brake signal, fitted on 2016; cab=crew;
      tow=yes. Violet with white tracer (VT/WH), at: stop lamp switch, connector
      C210, cavity 2. Claimed for 2016.

    After it:
    d-vpho4h  2025-06-01, R. Okafor: took back d-ity7hj. “looked again”
    --- status 0
    ");
    assert_snapshot!(shop.run("history n-eo6l3c"), @r"
    $ baybook history n-eo6l3c
    n-eo6l3cq4knmoyjka, Quillon Tarn, brake signal
      Claimed for: 2015-2019
      Where: stop lamp switch
      Colour: GN
      Signal: positive
      Written: 2023-05-02, S. Lindqvist, metered, on 2017; tow=no
      Read from: sheet-1.csv, line 4
      Decided: 2025-06-01, R. Okafor, split, narrowed to 2015-2019, no tow package.
        “looked again” d-ity7hj Taken back later.
      Decided: 2025-06-01, R. Okafor, reopen. “looked again” d-vpho4h
    --- status 0
    ");
    let log = shop.run("history 2018 quillon tarn --json").must_be(0).json();
    let events: Vec<&str> =
        log["log"].as_array().expect("a log").iter().filter_map(|event| event["event"].as_str()).collect();
    assert_eq!(
        events.iter().filter(|event| **event == "note").count(),
        9,
        "all but the one that claims 2016 alone"
    );
    assert_eq!(events[events.len() - 2..], ["decision", "decision"]);
    let text = shop.run("history 2018 quillon tarn").must_be(0).stdout();
    assert!(text.contains("took back") && text.contains("labour, fitted"), "{text}");
    shop.run("history 1990 quillon tarn").must_be(1);
}

/// Answers what it was told to.
struct Scripted(Vec<&'static str>, Vec<String>);

impl Scripted {
    fn next(&mut self, question: &str) -> &'static str {
        self.1.push(question.to_owned());
        self.0.remove(0)
    }
}

impl Prompts for Scripted {
    fn choose(&mut self, question: &str, options: &[String]) -> Result<Option<usize>, Failure> {
        let wanted = self.next(question);
        Ok(options.iter().position(|option| option.starts_with(wanted)))
    }

    fn line(
        &mut self,
        question: &Question,
        check: &dyn Fn(&str) -> Result<(), String>,
    ) -> Result<String, Failure> {
        let told = self.next(&question.prompt);
        let answer = if told.is_empty() { question.default.as_str() } else { told };
        check(answer).map_err(Failure::misuse)?;
        Ok(answer.to_owned())
    }

    fn yes(&mut self, question: &str, _usual: bool) -> Result<bool, Failure> {
        Ok(self.next(question) == "yes")
    }
}

/// Runs the program as at a terminal.
pub fn at_a_terminal(shop: &Shop, line: &str, answers: &[&'static str]) -> (Status, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let mut prompts = Scripted(answers.to_vec(), Vec::new());
    let (mut input, today) = (std::io::empty(), jiff::civil::date(2025, 6, 1));
    let mut console = Console {
        terminal: true,
        hand: Some("M. Haugli".to_owned()),
        prompts: Some(&mut prompts),
        book_dir: Some(shop.path("book")),
        ..Console::plain(&mut out, &mut err, &mut input, today)
    };
    let words = std::iter::once("baybook").chain(line.split_whitespace());
    let status = cli::run(words.map(Into::into), &mut console);
    assert_eq!(prompts.0, [""; 0], "not all was asked: {:?}", prompts.1);
    (status, String::from_utf8([out, err].concat()).expect("UTF-8"))
}

#[test]
fn on_a_terminal_both_sides_are_shown_and_the_rest_is_asked() {
    let shop = shop();
    let (status, told) = at_a_terminal(&shop, "reconcile c-eo6l3c", &["Leave it"]);
    assert_eq!(status, Status::Done);
    assert!(told.contains("Side 1: Violet") && told.contains("Side 2: Green"), "{told}");
    // What cannot be is told, and asked again.
    let wrong = ["All are right, on different", "By a model year", "2012", "?", "", "Leave it"];
    let (status, told) = at_a_terminal(&shop, "reconcile c-eo6l3c", &wrong);
    assert!(status == Status::Done && told.contains("would lie in the same part"), "{told}");
    assert!(told.ends_with("nothing was written\n"), "{told}");
    // What cannot be read is refused where it is asked.
    for (by, answer, refused) in [
        ("By an attribute", "wheels", "is no attribute"),
        ("By a build date", "2017", "a cut is one month"),
        ("By a model year", "1066", "\"1066\""),
        ("By a model year", "", "say it in a few words"),
    ] {
        let asked = ["All are right, on different", by, answer];
        let (status, told) = at_a_terminal(&shop, "reconcile c-eo6l3c", &asked);
        assert!(status == Status::Misuse && told.contains(refused), "{answer}: {told}");
    }
    let split = ["All are right, on different", "By an attribute", "tow", "green has no package", "", "no"];
    at_a_terminal(&shop, "reconcile c-eo6l3c", &split);
    assert_eq!(states(&shop)[1], "c-eo6l3c open", "nobody said yes");
    let yes: Vec<&str> = split[..5].iter().copied().chain(["yes"]).collect();
    let (status, told) = at_a_terminal(&shop, "reconcile c-eo6l3c", &yes);
    assert!(status == Status::Done && told.contains("Decided: d-"), "{told}");
    assert_eq!(states(&shop)[1], "c-eo6l3c settled");
    let by = &shop.run("conflicts c-eo6l3c --json").json()[0]["decisions"][0]["by"];
    assert_eq!(by, "M. Haugli");
    let back = ["Take back", "was too quick", "", "yes"];
    assert_eq!(at_a_terminal(&shop, "reconcile c-eo6l3c", &back).0, Status::Done);
    let narrow = ["A note claims", "n-eo6l3cq4 of side 2", "", "tow=no", "seen without", "D. Pruett", "yes"];
    assert_eq!(at_a_terminal(&shop, "reconcile c-eo6l3c", &narrow).0, Status::Done);
    assert_eq!(brake(&shop, "2018 tow"), "thin: VT/WH");
    // A note that contradicts nothing can be decided about as well.
    let ground = shop.run("lookup 2016 tarn -p ground --json").json();
    let note = ground["points"][0]["answers"][0]["notes"][0].as_str().expect("a note").to_owned();
    let look = ["Look when", "rust", "D. Pruett", "yes"];
    assert_eq!(at_a_terminal(&shop, &format!("reconcile {note}"), &look).0, Status::Done);
    // Given on the command line, only the last question is left.
    assert_eq!(
        at_a_terminal(&shop, "reconcile n-eo6l3c retire --because wrong --by x", &["yes"]).0,
        Status::Done
    );
    shop.run("check").must_be(0);
}
