//! What a shop settles teaches the model for doubt: counted, kept, and the same whatever the order.

use crate::harness::Shop;

const HEAD: &str = "make,model,years,point,colour,basis,by,on,seen\n";

/// One wire of a model that was seen in two colours: with the tow package up to 2016 and without from 2018 on.
fn wire(model: usize) -> String {
    let row = |colour: &str, by: &str, seen: &str| {
        format!("Quillon,Tarn {model},2014-2020,brake-signal,{colour},metered,{by},2024-03-11,{seen}\n")
    };
    [
        row("VT/WH", "R. Okafor", "2015; tow=yes"),
        row("VT/WH", "M. Haugli", "2016; tow=yes"),
        row("GN", "D. Pruett", "2018; tow=no"),
        row("GN", "J. Amadi", "2019; tow=no"),
    ]
    .concat()
}

const MODELS: usize = 41;

fn shop() -> Shop {
    Shop::with(&[&format!("{HEAD}{}", (0..MODELS).map(wire).collect::<String>())])
}

/// The ids of the conflicts, that of the last model apart.
fn conflicts(shop: &Shop) -> (Vec<String>, String) {
    let all = shop.run("conflicts --all --json").json();
    let id = |one: &serde_json::Value| one["id"].as_str().expect("an id").to_owned();
    let last = format!("Tarn {}", MODELS - 1);
    let (rest, own): (Vec<_>, Vec<_>) =
        all.as_array().expect("a list").iter().partition(|one| one["model"].as_str() != Some(&last));
    (rest.into_iter().map(id).collect(), id(own[0]))
}

/// The chances of the cuts that are suggested, by what they cut by.
fn chances(shop: &Shop, id: &str) -> (f64, f64) {
    let json = shop.run(&format!("conflicts {id} --json")).json();
    let of = |wanted: &str| {
        let splits = json[0]["splits"].as_array().expect("splits").iter();
        let own = splits.filter(|split| split["attribute"] == wanted);
        own.map(|split| split["probability"].as_f64().expect("a chance")).sum()
    };
    (of("tow"), of("year"))
}

fn settle(shop: &Shop, id: &str, cut: &str) -> String {
    let line = format!("reconcile {id} split {cut} --because 'seen so' --by 'M. Haugli' --yes --json");
    shop.run(&line).must_be(0).json()["decision"]["id"].as_str().expect("an id").to_owned()
}

/// Forty conflicts that were settled by the tow package make it likelier to be the reason of the next; by the model
/// year, that. What is taken back does not count.
#[test]
fn what_was_settled_makes_the_next_suggestion_likelier() {
    let (shop, other) = (shop(), shop());
    let (rest, last) = conflicts(&shop);
    let (tow, year) = chances(&shop, &last);
    assert!(tow > 0.1 && year > 0.1, "{tow} {year}");
    let decided: Vec<String> = rest.iter().map(|id| settle(&shop, id, "--attribute tow")).collect();
    rest.iter().for_each(|id| drop(settle(&other, id, "--at-year 2017")));
    let learnt = chances(&shop, &last);
    assert!(learnt.0 > tow + 0.1 && learnt.1 < year - 0.1, "{learnt:?} was {tow} {year}");
    let others = chances(&other, &last);
    assert!(others.0 < tow && others.1 > year, "{others:?} was {tow} {year}");
    // The same from the beginning, in a book made of the export, and in one that gets decisions before notes.
    shop.run("check").must_be(0);
    shop.run("reindex").must_be(0);
    assert_eq!(chances(&shop, &last), learnt);
    let export = shop.content();
    let (notes, decisions) = export.split_once("\n\n").expect("a table of decisions");
    for order in [[notes, decisions], [decisions, notes]] {
        let copy = Shop::new();
        for (at, table) in order.into_iter().enumerate() {
            copy.write(&format!("{at}.csv"), table);
            copy.run(&format!("ingest {at}.csv")).must_be(0);
        }
        copy.run("check").must_be(0);
        assert_eq!(chances(&copy, &last), learnt);
    }
    for id in &decided {
        shop.run(&format!("reconcile {id} reopen --because 'too quick' --by 'M. Haugli' --yes")).must_be(0);
    }
    assert_eq!(chances(&shop, &last), (tow, year));
    shop.run("check").must_be(0);
}

/// What is counted wrongly is found, and made anew.
#[test]
fn a_wrong_count_is_found() {
    let shop = shop();
    settle(&shop, &conflicts(&shop).0[0], "--attribute tow");
    shop.sqlite().execute("UPDATE setting SET value = '{}' WHERE name = 'settled'", []).expect("written");
    let told = "what settled conflicts teach is counted wrongly";
    let found = shop.run("check").must_be(2).stdout();
    assert!(found.contains(told), "{found}");
    shop.run("reindex").must_be(0);
    shop.run("check").must_be(0);
}
