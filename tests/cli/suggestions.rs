//! `reconcile ID split N`: what is suggested is accepted by its number, whatever it cuts by.

use baybook::cli::Status;

use crate::harness::Shop;
use crate::reconcile::{at_a_terminal, brake};

/// A shop with notes on one wire, one a line: colour, seen vehicle; all claimed for 2014-2020. The last is hearsay.
fn shop_of_one_wire(lines: &[(&str, &str)]) -> Shop {
    let mut sheet = "make,model,years,point,colour,basis,by,on,seen\n".to_owned();
    for (number, (colour, seen)) in lines.iter().enumerate() {
        let day = number + 1;
        sheet += &format!(
            "Quillon,Tarn,2014-2020,brake-signal,{colour},metered,Hand {day},2024-03-{day:02},{seen}\n"
        );
    }
    sheet += "Quillon,Tarn,2014-2020,brake-signal,OG/BK,told,M. Haugli,2023-01-01,\n";
    Shop::with(&[&sheet])
}

/// Accepts the suggestion by this attribute and gives what lookups say then.
#[track_caller]
fn accepted(lines: &[(&str, &str)], attribute: &str, asked: &[&str]) -> Vec<String> {
    let shop = shop_of_one_wire(lines);
    let conflict = shop.run("conflicts --json").json()[0].clone();
    let id = conflict["id"].as_str().expect("an id");
    let splits = conflict["splits"].as_array().expect("splits");
    let number = splits.iter().position(|split| split["attribute"] == attribute);
    let number = 1 + number.unwrap_or_else(|| panic!("no cut by {attribute}: {conflict:#}"));
    let listed = shop.run(&format!("conflicts {id}")).stdout();
    assert!(listed.contains(&format!("\n  {number}. By ")), "{listed}");
    let line = format!("reconcile {id} split {number} --because 'looked again' --by 'M. Haugli' --yes");
    let told = shop.run(&line).must_be(0).stdout();
    assert!(!told.contains("Still contradict"), "{told}");
    assert_eq!(shop.run("conflicts --all --json").json()[0]["state"], "settled", "{told}");
    shop.run("check").must_be(0);
    asked.iter().map(|words| brake(&shop, words)).collect()
}

#[test]
fn a_suggested_split_is_accepted_by_its_number_whatever_it_cuts_by() {
    let by_year = [("VT/WH", "2015"), ("VT/WH", "2016"), ("GN", "2018"), ("GN", "2019")];
    assert_eq!(accepted(&by_year, "year", &["2016", "2019"]), ["backed: VT/WH", "backed: GN"]);
    let two_years =
        [("VT/WH", "2014"), ("VT/WH", "2015"), ("GN", "2017"), ("VT/WH", "2019"), ("VT/WH", "2020")];
    assert_eq!(
        accepted(&two_years, "year", &["2015", "2017", "2019"]),
        ["backed: VT/WH", "backed: GN", "backed: VT/WH"]
    );
    let by_month = [
        ("VT/WH", "2017; built=2016-09"),
        ("VT/WH", "2017; built=2016-11"),
        ("GN", "2017; built=2017-02"),
        ("GN", "2017; built=2017-04"),
    ];
    assert_eq!(
        accepted(&by_month, "built", &["2017 built=2016-09", "2017 built=2017-04", "2017"]),
        ["backed: VT/WH", "backed: GN", "proven: VT/WH by \"built\", GN by \"built\""]
    );
    let by_cab = [
        ("VT/WH", "2016; cab=crew"),
        ("VT/WH", "2018; cab=crew"),
        ("GN", "2016; cab=regular"),
        ("GN", "2018; cab=regular"),
        ("BN/RD", "2016; cab=extended"),
        ("BN/RD", "2018; cab=extended"),
    ];
    assert_eq!(
        accepted(&by_cab, "cab", &["2016 cab=crew", "2018 cab=regular", "2018 cab=extended"]),
        ["backed: VT/WH", "backed: GN", "backed: BN/RD"]
    );
}

#[test]
fn a_suggestion_that_is_not_there_is_refused() {
    let shop = shop_of_one_wire(&[("VT/WH", "2016"), ("GN", "2018")]);
    let id = shop.run("conflicts --json").json()[0]["id"].as_str().expect("an id").to_owned();
    let tell = |words: &str, told: &str| {
        let line = format!("reconcile {id} split {words} --because x --by y --yes");
        shop.run(&line).must_be(2).must_tell(told);
    };
    tell("9", "there is no suggestion 9; they are 1 to 2");
    tell("0", "there is no suggestion 0");
    tell("1 2", "say where to split");
    tell("1 --at-year 2017", "a number alone accepts a suggestion, without another cut");
    tell("", "say where to split");
    let none = shop_of_one_wire(&[("VT/WH", "2016"), ("GN", "2016")]);
    let id = none.run("conflicts --json").json()[0]["id"].as_str().expect("an id").to_owned();
    let line = format!("reconcile {id} split 1 --because x --by y --yes");
    none.run(&line).must_be(2).must_tell("nothing that was seen suggests a split here");
}

/// A guess is offered behind the cuts that have to be told, so that nobody takes it by pressing a key too often.
#[test]
fn at_a_terminal_the_suggestions_are_offered_and_a_guess_is_not_the_first() {
    let lines = [
        ("VT/WH", "2016; tow=yes"),
        ("VT/WH", "2017; tow=yes"),
        ("GN", "2018; tow=no"),
        ("GN", "2019; tow=no"),
    ];
    let shop = shop_of_one_wire(&lines);
    let id = shop.run("conflicts --json").json()[0]["id"].as_str().expect("an id").to_owned();
    let answers = ["All are right, on different", "By factory tow", "option list", "", "yes"];
    let (status, told) = at_a_terminal(&shop, &format!("reconcile {id}"), &answers);
    assert!(status == Status::Done && told.contains("Decided: d-"), "{told}");
    assert_eq!(brake(&shop, "2018 no tow"), "backed: GN");
    let shop = shop_of_one_wire(&lines[1..3]);
    let id = shop.run("conflicts --json").json()[0]["id"].as_str().expect("an id").to_owned();
    // No words choose what stands first.
    let answers = ["All are right, on different", "", "2018", "seen so", "", "Leave it"];
    let (status, told) = at_a_terminal(&shop, &format!("reconcile {id}"), &answers);
    assert_eq!(status, Status::Done, "{told}");
    let joined = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(joined.contains("a guess, fewer than two seen on a side"), "{told}");
}

/// A cavity that another point claims too is a conflict of its own, and stands in no split's way.
#[test]
fn a_split_leaves_other_conflicts_alone() {
    let mut sheet = "make,model,years,point,colour,connector,cavity,basis,by,on,seen\n".to_owned();
    for (day, (point, colour, seen)) in [
        ("brake-signal", "VT/WH", "2015"),
        ("brake-signal", "VT/WH", "2016"),
        ("brake-signal", "GN", "2018"),
        ("brake-signal", "GN", "2019"),
        ("horn", "VT/WH", "2015"),
    ]
    .into_iter()
    .enumerate()
    {
        let day = day + 1;
        sheet += &format!(
            "Quillon,Tarn,2014-2020,{point},{colour},C201,2,metered,Hand {day},2024-03-{day:02},{seen}\n"
        );
    }
    let shop = Shop::with(&[&sheet]);
    let conflicts = shop.run("conflicts --json").json();
    let of_value = |conflict: &&serde_json::Value| conflict["kind"] == "value";
    let own = conflicts.as_array().expect("a list").iter().find(of_value).expect("one of values");
    let line = format!("reconcile {} split 1 --because 'looked again' --by 'M. Haugli' --yes", own["id"]);
    let told = shop.run(&line.replace('"', "")).must_be(0).stdout();
    assert!(told.contains("Still contradict each other"), "{told}");
    let left = shop.run("conflicts --json").json();
    assert!(left.as_array().expect("a list").iter().all(|conflict| conflict["kind"] == "cavity"), "{left:#}");
}
