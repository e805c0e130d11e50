//! What a card must say of its own evidence, and what it must not make of a mere remark; what is asked to be looked at
//! shows where it was asked, and nowhere else.

use serde_json::{Value as Json, json};

use crate::harness::Shop;

fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A note that tells the polarity alone backs every colour, and the card said "metered twice" as if both had seen the
/// colour.
#[test]
fn an_observation_that_says_nothing_of_the_colour_is_told() {
    let head = "make,model,years,point,colour,signal,basis,by,on,seen\n";
    let row = |said: &str, by: &str| {
        format!("Quillon,Tarn,2016,brake-signal,{said},metered,{by},2024-03-11,2016; cab=crew\n")
    };
    let rows = [row("VT/WH,positive", "R. Okafor"), row(",positive", "M. Haugli")];
    let shop = Shop::with(&[&format!("{head}{}", rows.concat())]);
    let answer =
        |shop: &Shop| shop.run("lookup 2016 tarn crew --json").json()["points"][0]["answers"][0].clone();
    assert_eq!(
        (&answer(&shop)["grade"], &answer(&shop)["silent"]),
        (&json!("proven"), &json!({ "colour": 1 }))
    );
    let told = shop.run("lookup 2016 tarn crew").stdout();
    assert!(words(&told).contains("last 2024-03, 1 of them says nothing of the colour"), "{told}");
    // The polarity is told by both; where answers differ in it, one that is silent on it is told, too.
    shop.write(
        "more.csv",
        format!("{head}{}", row("VT/WH,", "D. Pruett") + &row("GN,negative", "S. Lindqvist")),
    );
    shop.run("ingest more.csv").must_be(0);
    let violet = answer(&shop);
    assert_eq!(violet["values"]["colour"], "VT/WH", "{violet:#}");
    assert_eq!(violet["silent"], json!({ "colour": 1, "signal": 1 }), "{violet:#}");
    let green = shop.run("lookup 2016 tarn crew --json").json()["points"][0]["answers"][1].clone();
    assert_eq!((&green["values"]["colour"], green.get("silent")), (&json!("GN"), None), "{green:#}");
}

/// A note with a remark and nothing else made of a blank point one that was "thin", with "95 in 100 to be right".
#[test]
fn a_remark_alone_claims_nothing() {
    let head = "make,model,years,point,colour,how,basis,by,on,seen,remark\n";
    let rows = "Quillon,Tarn,2015-2019,horn,,,inspected,R. Okafor,2024-03-11,2016,two wires run along the column\n\
                Quillon,Tarn,2016,brake-signal,GN,,metered,M. Haugli,2024-03-11,2016,\n\
                Quillon,Tarn,2015-2019,panel-removal,,pull it straight back,inspected,R. Okafor,2024-03-11,2016,clips break\n";
    let shop = Shop::with(&[&format!("{head}{rows}")]);
    let found = shop.run("lookup 2016 tarn --json").json();
    let horn = found["points"].as_array().expect("points").iter().find(|point| point["point"] == "horn");
    let horn = horn.expect("the horn");
    assert_eq!((&horn["grade"], &horn["answers"]), (&json!("blank"), &json!([])));
    let noted = &horn["noted"][0];
    assert_eq!(
        (&noted["remark"], &noted["by"], &noted["on"]),
        (&json!("two wires run along the column"), &json!("R. Okafor"), &json!("2024-03-11"))
    );
    let blank: Vec<&Json> = found["blank"].as_array().expect("a list").iter().collect();
    assert!(blank.contains(&&json!("horn")), "{blank:?}");
    assert!(!blank.contains(&&json!("panel-removal")), "of what is told in prose nothing changes");
    let told = shop.run("lookup 2016 tarn").stdout();
    let id = noted["note"].as_str().expect("an id");
    let line = format!(
        "Horn: blank, nothing is claimed for this vehicle Noted: “two wires run along the column” (R. Okafor, 2024-03-11) {id}"
    );
    assert!(words(&told).contains(&line), "{told}");
    shop.run("lookup 2016 tarn -p horn").must_be(1);
    let gaps = shop.run("gaps tarn -p horn --json").json();
    assert_eq!((&gaps[0]["grade"], &gaps[0]["years"]), (&json!("blank"), &json!([[2015, 2019]])), "{gaps:#}");
}

/// On the card a point of which there is a remark alone is blank, and the remark stands with it.
#[test]
fn a_remark_alone_stands_on_the_card_with_what_is_blank() {
    let head = "make,model,years,point,basis,by,on,seen,remark\n";
    let row = "Quillon,Tarn,2016,brake-signal,inspected,R. Okafor,2024-03-11,2016,taped over\n";
    let shop = Shop::with(&[&format!("{head}{row}")]);
    let told = words(&shop.run("jobcard 2016 tarn --job brake-control").stdout());
    let at = |part: &str| told.find(part).unwrap_or_else(|| panic!("{part}: {told}"));
    assert!(at("Brake signal: blank") < at("Noted: “taped over” (R. Okafor, 2024-03-11)"), "{told}");
}

/// Whoever asked to look at a cavity was told to have asked about every conflict of its notes, and the other way round.
#[test]
fn a_recheck_shows_at_the_conflict_that_it_was_made_for() {
    let head = "make,model,years,point,colour,connector,cavity,basis,by,on,seen\n";
    let row = |point: &str, colour: &str, by: &str| {
        format!("Quillon,Tarn,2016,{point},{colour},C1,2,metered,{by},2024-03-11,2016\n")
    };
    let rows = [
        row("brake-signal", "VT", "R. Okafor"),
        row("brake-signal", "GN", "M. Haugli"),
        row("horn", "BN", "D. Pruett"),
    ];
    let shop = Shop::with(&[&format!("{head}{}", rows.concat())]);
    let states = || {
        let list = shop.run("conflicts --json").json();
        let told = |kind: &str| {
            let found = list.as_array().expect("a list").iter().find(|one| one["kind"] == kind).expect("one");
            let decisions = found["decisions"].as_array().map_or(0, Vec::len);
            (
                found["id"].as_str().expect("an id").to_owned(),
                format!("{} {decisions}", found["state"].as_str().expect("a state")),
            )
        };
        (told("value"), told("cavity"))
    };
    let ((value, _), (cavity, _)) = states();
    let decide = |line: String| shop.run(&format!("{line} --because 'not sure' --by x --yes")).must_be(0);
    let told = |states: ((String, String), (String, String))| (states.0.1, states.1.1);
    let log = |id: &str| shop.run(&format!("history {id}")).stdout().contains("put down for a recheck");
    decide(format!("reconcile {cavity} recheck"));
    assert_eq!(told(states()), ("open 0".to_owned(), "recheck 1".to_owned()));
    assert_eq!((log(&value), log(&cavity)), (false, true));
    let tasks = shop.run("lookup 2016 tarn --json").json()["tasks"].clone();
    assert_eq!(tasks.as_array().map(Vec::len), Some(1), "{tasks:#}");
    decide(format!("reconcile {cavity} reopen"));
    decide(format!("reconcile {value} recheck"));
    let (value_state, cavity_state) = told(states());
    assert!(
        value_state.starts_with("recheck") && cavity_state.starts_with("open"),
        "{value_state}, {cavity_state}"
    );
    let tasks = shop.run("lookup 2016 tarn --json").json()["tasks"].clone();
    assert_eq!(
        (tasks.as_array().map(Vec::len), &tasks[0]["task"]),
        (Some(1), &json!("meter the brake signal, two notes disagree"))
    );
    shop.run("check").must_be(0);
}
