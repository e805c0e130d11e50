//! What went wrong once when something was settled: each test tells its story.

use crate::cast::{TARN, TILLER};
use crate::harness::Shop;

const HEAD: &str = "make,model,years,point,colour,at,stud,basis,by,on,seen\n";

fn first_conflict(shop: &Shop) -> serde_json::Value {
    shop.run("conflicts --json").json()[0].clone()
}

/// A recheck of one note once marked every conflict that the note came into later.
#[test]
fn a_recheck_of_one_note_is_none_of_a_conflict() {
    let row = |colour: &str, by: &str| {
        format!("{HEAD}Quillon,Tarn,2016,horn,{colour},,,metered,{by},2024-03-11,2016\n")
    };
    let shop = Shop::with(&[&row("BN", "R. Okafor")]);
    let note = shop.run("export --json").json()[0]["id"].as_str().expect("an id").to_owned();
    shop.run(&format!("reconcile {note} recheck --because 'faded' --by x --yes")).must_be(0);
    shop.write("more.csv", row("GN", "D. Pruett"));
    shop.run("ingest more.csv").must_be(0);
    assert_eq!(first_conflict(&shop)["state"], "open");
    let tasks = shop.run("lookup 2016 tarn --json").json()["tasks"].as_array().map(Vec::len);
    assert_eq!(tasks, Some(1), "the note is still to be looked at");
}

/// Notes that contradict each other only if they speak of the same one were not mentioned where they were looked up.
#[test]
fn a_possible_conflict_is_mentioned() {
    let row = |at: &str, stud: &str, by: &str| {
        format!("Quillon,Tarn,2015-2019,ground,,{at},{stud},fitted,{by},2024-03-11,2016\n")
    };
    let rows = [
        row("kick panel", "M6", "R. Okafor"),
        row("left kick panel", "M8", "D. Pruett"),
        row("right kick panel", "M8", "M. Haugli"),
    ];
    let shop = Shop::with(&[&format!("{HEAD}{}", rows.concat())]);
    let conflict = first_conflict(&shop);
    assert_eq!(conflict["certain"], false);
    let point = shop.run("lookup 2016 tarn --json").json()["points"][0].clone();
    assert_eq!((&point["possible"], &point["conflict"]), (&conflict["id"], &serde_json::Value::Null));
    let told = shop.run("lookup 2016 tarn").stdout();
    let joined = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(joined.contains("Notes contradict each other if they speak of the same one: c-"), "{told}");
    assert!(shop.run("lookup 2020 tarn --json").json()["points"][0].get("possible").is_none());
}

/// Two sides that contradict each other cannot both be right.
#[test]
fn upholding_both_sides_is_refused_unless_it_is_wanted() {
    let rows = ["VT", "GN", "BN"]
        .map(|colour| format!("Quillon,Tarn,2016,horn,{colour},,,metered,Hand {colour},2024-03-11,2016\n"));
    let shop = Shop::with(&[&format!("{HEAD}{}", rows.concat())]);
    let id = first_conflict(&shop)["id"].as_str().expect("an id").to_owned();
    let line = format!("reconcile {id} uphold 1 2 --because x --by y --yes");
    shop.run(&line).must_be(2).must_tell("what is to be upheld contradicts itself");
    assert_eq!(first_conflict(&shop)["decisions"], serde_json::json!([]));
    shop.run(&format!("{line} --even-so")).must_be(0);
    assert_eq!(first_conflict(&shop)["state"], "open");
}

#[test]
fn what_is_retired_is_not_retired_again() {
    let shop = Shop::with(&[TARN]);
    let line = "reconcile n-eo6l3c retire --because 'misread' --by 'M. Haugli' --yes";
    shop.run(line).must_be(0);
    shop.run(line).must_be(0).must_tell("that is so already: nothing was written");
    let json = shop.run(&format!("{line} --json")).must_be(0).json();
    assert_eq!((&json["decision"], &json["written"]), (&serde_json::Value::Null, &false.into()));
    let told = shop.run("check").must_be(0).stdout();
    assert!(told.ends_with("10 notes and 1 decision.\n"), "{told}");
}

#[test]
fn to_look_only_and_to_store_without_asking_cannot_both_be_meant() {
    let line = "add 2016 tarn -p horn colour=BN --basis told --by x --dry-run --yes";
    Shop::with(&[TARN]).run(line).must_be(2).must_tell("cannot be used with");
}

/// With --partial the rows of a refused decision stand beside the file, with the reason, and go in once mended.
#[test]
fn refused_decisions_are_written_back() {
    let shop = Shop::with(&[TARN, TILLER]);
    shop.run("reconcile c-eo6l3c uphold 1 --because 'looked again' --by 'R. Okafor' --yes").must_be(0);
    shop.run("reconcile c-2wut7m-cavity separate --even-so --because 'two plugs' --by 'R. Okafor' --yes")
        .must_be(0);
    let content = shop.content();
    let other = Shop::new();
    other.write("all.csv", content.replacen("looked again", "looked once", 1));
    let told = other.run("ingest --partial all.csv").must_be(2);
    let back = other.read("all.refused.csv");
    assert!(back.starts_with("decision,kind,by,on,because"), "{back}\n{told}");
    assert_eq!(back.lines().count(), 1 + 3, "all rows of the decision: {back}");
    assert!(back.contains("it is not what line") && back.contains("another row of the same"), "{back}");
    assert_ne!(other.content(), content);
    other.write("mended.csv", back.replace("looked once", "looked again"));
    other.run("ingest mended.csv").must_be(0);
    assert_eq!(other.content(), content);
}

/// What is known of other years informs the one of which nothing is claimed, and is marked so.
#[test]
fn what_holds_for_other_vehicles_says_how_likely_it_is_here() {
    let shop = Shop::with(&[TARN]);
    let point = shop.run("lookup 2020 tarn -p brake-signal --json").must_be(1).json()["points"][0].clone();
    assert_eq!(point["grade"], "blank");
    let support = |at: usize| point["elsewhere"][at]["support"].as_f64().expect("a chance");
    assert!(support(0) > 0.2 && support(0) + support(1) < 1.0, "{point:#}");
}

/// An answer once told the polarity that only a note of another cavity gives.
#[test]
fn an_answer_tells_nothing_of_another_cavity() {
    let head = "make,model,years,point,colour,signal,connector,cavity,basis,by,on,seen\n";
    let row = |signal: &str, cavity: usize, by: &str| {
        format!("Quillon,Tarn,2016,brake-signal,VT/WH,{signal},C210,{cavity},metered,{by},2024-03-11,2016\n")
    };
    let rows = [row("", 2, "R. Okafor"), row("positive", 3, "M. Haugli")];
    let shop = Shop::with(&[&format!("{head}{}", rows.concat())]);
    let point = shop.run("lookup 2016 tarn --json").json()["points"][0].clone();
    let said = |answer: &serde_json::Value| {
        (answer["values"]["cavity"].clone(), answer["values"].get("signal").is_some())
    };
    let mut answers: Vec<String> =
        point["answers"].as_array().expect("answers").iter().map(|one| format!("{:?}", said(one))).collect();
    answers.sort();
    assert_eq!(answers, [r#"(String("2"), false)"#, r#"(String("3"), true)"#], "{point:#}");
}
