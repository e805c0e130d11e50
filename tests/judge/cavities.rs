//! One cavity of one connector: given to two functions, told in two colours, or shared as it may be.
//!
//! What may share a wire (brake and turn lamp, park lamp and illumination) is the catalogue's; the cases name
//! pairs of it and pairs that are not in it.

use baybook::judge::cavity::{Place, find, names_cavities};
use baybook::judge::fold::Memo;
use baybook::value::Relation;
use serde_json::Value as Json;

use crate::cast::{Cast, bucket_of_texts};
use crate::shop::Shop;

const HEADER: &str = "make,model,basis,by,on,seen,years,only,point,connector,cavity,colour";

/// The conflicts of a new book with these rows about one model.
fn conflicts(rows: &[impl std::fmt::Display]) -> Json {
    let rows: Vec<String> = rows.iter().map(|row| format!("Quillon,Tarn,{row}")).collect();
    let shop = Shop::new();
    shop.load(&[format!("{HEADER}\n{}\n", rows.join("\n"))]);
    shop.conflicts()
}

/// Loads rows of one shop about one model (from the years on) and checks the cavity conflicts that are listed:
/// cavity, points, what is wrong, and where.
fn check(rows: &[&str], expected: &[&str]) {
    let rows: Vec<String> = rows.iter().map(|row| format!("diagram,R. Okafor,2024-03-11,,{row}")).collect();
    let conflicts = conflicts(&rows);
    let listed = conflicts.as_array().expect("a list").iter().filter(|conflict| conflict["kind"] == "cavity");
    let found: Vec<String> = listed.map(described).collect();
    assert_eq!(found, expected, "{rows:#?}");
}

fn described(conflict: &Json) -> String {
    let texts = |key: &str| {
        let list = conflict[key].as_array().expect("a list").iter();
        list.filter_map(Json::as_str).collect::<Vec<_>>().join("+")
    };
    let place = |scope: &Json| match scope["only"].as_object().filter(|only| !only.is_empty()) {
        Some(_) => format!("{} {}", scope["years"], scope["only"]),
        None => scope["years"].to_string(),
    };
    let contested: Vec<String> =
        conflict["contested"].as_array().expect("scopes").iter().map(place).collect();
    let (plug, slot) = (conflict["connector"].as_str(), conflict["cavity"].as_str());
    let (plug, slot) = (plug.expect("a connector"), slot.expect("a cavity"));
    format!("{plug}/{slot} {}: {} on {}", texts("points"), texts("fields"), contested.join(" and "))
}

#[test]
fn one_cavity_has_one_function() {
    check(
        &["2015-2017,,brake-signal,C1,2,VT", "2016-2019,,park-lamp,c-1,pin 2,VT"],
        &["C1/2 brake-signal+park-lamp: point on [2016,2017]"],
    );
    check(
        &["2015-2017,,brake-signal,C1,2,VT", "2016-2019,,horn,C1,2,GN"],
        &["C1/2 brake-signal+horn: point+colour on [2016,2017]"],
    );
    // Without a colour the function is still another.
    check(
        &["2016,,brake-signal,C1,2,", "2016,,horn,C1,2,"],
        &["C1/2 brake-signal+horn: point on [2016,2016]"],
    );
}

#[test]
fn functions_that_may_share_a_wire_share_its_cavity_in_one_colour() {
    for (a, b) in
        [("brake-signal", "left-turn"), ("right-turn", "brake-signal"), ("park-lamp", "illumination")]
    {
        let first = format!("2016,,{a},C1,2,VT/WH");
        check(&[&first, &format!("2016,,{b},C1,2,VT/WH")], &[]);
        check(&[&first, &format!("2016,,{b},C1,2,violet")], &[]);
        check(&[&first, &format!("2016,,{b},C1,2,")], &[]);
        let [low, high] = if in_order(a, b) { [a, b] } else { [b, a] };
        check(
            &[&first, &format!("2016,,{b},C1,2,GN")],
            &[&format!("C1/2 {low}+{high}: colour on [2016,2016]")],
        );
    }
}

/// Whether a point stands before another in the catalogue.
fn in_order(a: &str, b: &str) -> bool {
    let catalogue = Cast::new().language().catalogue.clone();
    catalogue.point(a) < catalogue.point(b)
}

#[test]
fn sharing_does_not_pass_on() {
    // Both turn lamps may share with the brake lamp, and not with each other.
    check(
        &["2016,,brake-signal,C1,2,VT", "2016,,left-turn,C1,2,VT", "2016,,right-turn,C1,2,VT"],
        &["C1/2 left-turn+right-turn: point on [2016,2016]"],
    );
}

#[test]
fn another_connector_or_cavity_is_another_place() {
    check(&["2016,,brake-signal,C1,2,VT", "2016,,park-lamp,C2,2,VT"], &[]);
    check(&["2016,,brake-signal,C1,2,VT", "2016,,park-lamp,C1,3,VT"], &[]);
    check(&["2016,,brake-signal,,2,VT", "2016,,park-lamp,,2,VT"], &[]);
    check(&["2016,,brake-signal,C1,2,VT", "2016,,park-lamp,,2,VT"], &[]);
}

#[test]
fn vehicles_that_no_two_notes_share_are_not_contested() {
    check(&["2015-2016,,brake-signal,C1,2,VT", "2017-2019,,park-lamp,C1,2,VT"], &[]);
    check(&["2016,tow=yes,brake-signal,C1,2,VT", "2016,tow=no,park-lamp,C1,2,VT"], &[]);
    check(
        &[
            "2015-2019,tow=yes,brake-signal,C1,2,VT",
            "2016-2017,,park-lamp,C1,2,VT",
            "2019-,,park-lamp,C1,2,VT",
        ],
        &[
            r#"C1/2 brake-signal+park-lamp: point on [2016,2017] {"tow":["yes"]} and [2019,2019] {"tow":["yes"]}"#,
        ],
    );
}

#[test]
fn one_function_in_two_cavities_is_a_conflict_of_its_own_point() {
    let found = conflicts(&[
        "metered,R. Okafor,2024-03-11,2016,2016,,brake-signal,C1,2,VT",
        "metered,D. Pruett,2024-03-11,2016,2016,,brake-signal,C1,3,VT",
    ]);
    assert_eq!(found.as_array().map(Vec::len), Some(1), "{found:#}");
    assert_eq!((&found[0]["kind"], &found[0]["fields"]), (&"value".into(), &serde_json::json!(["cavity"])));
    let apart = conflicts(&[
        "metered,R. Okafor,2024-03-11,2016,2016,,brake-signal,C1,2,VT",
        "metered,D. Pruett,2024-03-11,2016,2016,,brake-signal,C2,3,VT",
    ]);
    assert_eq!(apart.as_array().map(Vec::len), Some(0), "{apart:#}");
}

/// A cavity counts on every point that has one, also where two notes on that point need not agree on it, or
/// where the connector says which of several is meant.
#[test]
fn a_cavity_counts_on_points_that_do_not_compare_it() {
    let cast = Cast::new();
    let mut memo = Memo::new(cast.language());
    let plug = [("connector", "C1"), ("cavity", "2"), ("colour", "VT")];
    let number = |name: &str| cast.language().catalogue.point(name).expect("a point");
    let brake = bucket_of_texts(&mut memo, "brake-signal", &plug);
    for name in ["fused-feed", "battery-feed", "data-pair"] {
        let other = bucket_of_texts(&mut memo, name, &plug);
        let places = [
            Place { point: number("brake-signal"), bucket: &brake },
            Place { point: number(name), bucket: &other },
        ];
        assert!(names_cavities(&other), "{name}");
        let found = find(&cast.language().catalogue, &places, |a, b| {
            if a == b { Relation::Same } else { Relation::Different }
        });
        let told: Vec<_> = found
            .iter()
            .map(|conflict| (conflict.functions, conflict.colours, conflict.claimants.len()))
            .collect();
        assert_eq!(told, [(true, false, 2)], "{name}");
    }
}
