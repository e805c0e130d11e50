//! The rules of the grades one by one, on notes of one small shop about one model, the Quillon Tarn.
//!
//! A case is a few rows of a note sheet and what a lookup answers: the grade of the point, then each answer with
//! its colour and grade, and what it depends on.

use serde_json::Value as Json;

use crate::shop::Shop;

const HEADER: &str = "make,model,point,years,only,colour,signal,basis,by,on,seen";

/// Asks a new book with these rows about the brake signal of a Quillon Tarn.
fn ask(asked: &str, rows: &[&str]) -> Json {
    let rows: Vec<String> = rows.iter().map(|row| format!("Quillon,Tarn,brake-signal,{row}")).collect();
    let shop = Shop::new();
    shop.load(&[format!("{HEADER}\n{}\n", rows.join("\n"))]);
    let found = shop.lookup(&format!("{asked} quillon tarn"));
    let points = found["points"].as_array().expect("a list of points");
    assert_eq!(points.len(), 1, "{found:#}");
    points[0].clone()
}

fn names(list: &Json) -> String {
    let names: Vec<&str> = list.as_array().into_iter().flatten().filter_map(Json::as_str).collect();
    names.join("+")
}

fn answer(answer: &Json) -> String {
    let values = answer["values"].as_object().expect("values");
    let said: Vec<&str> = values.values().filter_map(Json::as_str).collect();
    let mut text = format!("{} {}", said.join("+"), answer["grade"].as_str().expect("a grade"));
    if answer["applies"] == "depends" {
        text += &format!(" (depends on {})", names(&answer["depends_on"]));
    }
    if answer.get("dispute_depends_on").is_some() {
        text += &format!(" (dispute depends on {})", names(&answer["dispute_depends_on"]));
    }
    text
}

/// Checks the grade of the whole and the answers, in their order.
fn check(asked: &str, rows: &[&str], expected: &str) {
    let point = ask(asked, rows);
    let answers: Vec<String> = point["answers"].as_array().expect("answers").iter().map(answer).collect();
    let found = format!("{}: {}", point["grade"].as_str().expect("a grade"), answers.join("; "));
    assert_eq!(found, expected, "{asked} by {rows:#?}");
    assert_eq!(point["conflict"].is_null(), !expected.starts_with("disputed"), "{point:#}");
}

const METERED: &str = "2015-2019,,VT/WH,,metered,R. Okafor,2024-03-11,2016; cab=crew";

#[test]
fn two_independent_observations_of_which_one_is_metered_prove() {
    check("2016", &[METERED, "2016,,VT/WH,,inspected,D. Pruett,2024-04-02,2016"], "proven: VT/WH proven");
    check(
        "2016",
        &[METERED, "2016,,VT/WH,,fitted,R. Okafor,2024-04-02,2016; cab=regular"],
        "proven: VT/WH proven",
    );
    let inspected = "2016,,VT/WH,,inspected,M. Haugli,2024-04-02,2016";
    check("2016", &[inspected, "2016,,VT/WH,,inspected,D. Pruett,2024-04-02,2016"], "backed: VT/WH backed");
}

#[test]
fn a_coarser_value_backs_the_finer_one() {
    check("2016", &[METERED, "2016,,violet,,metered,D. Pruett,2024-04-02,2016"], "proven: VT/WH proven");
    let plain = "2016,,\"violet, no tracer\",,metered,D. Pruett,2024-04-02,2016";
    check("2016", &[METERED, plain], "disputed: VT, no tracer disputed; VT/WH disputed");
}

#[test]
fn one_observation_or_a_diagram_backs() {
    check("2016", &[METERED], "backed: VT/WH backed");
    check("2018", &["2015-2019,,VT/WH,,diagram,D. Pruett,2024-03-11,"], "backed: VT/WH backed");
    check("2016", &["2016,,VT/WH,,inspected,D. Pruett,2024-03-11,2016"], "backed: VT/WH backed");
}

#[test]
fn one_hand_on_one_vehicle_is_one_observation() {
    let again = "2016,,VT/WH,positive,fitted,r okafor,2024-03-11,2016; cab=crew cab";
    check("2016", &[METERED, again], "backed: VT/WH+positive backed");
    check(
        "2016",
        &[METERED, "2016,,VT/WH,,fitted,\"Okafor, R.\",2024-03-11,2016; cab=crew"],
        "proven: VT/WH proven",
    );
}

/// Who describes one vehicle twice, in other words or with more of it, saw one vehicle; another cab is another.
#[test]
fn one_hand_that_describes_a_vehicle_in_other_words_saw_it_once() {
    let again = |seen: &str| format!("2016,,VT/WH,positive,fitted,R. Okafor,2024-05-02,{seen}");
    for seen in ["2016", "2016; cab=crew; tow=yes", "2016; tow=no", "2016; 9ZZYF1EX_C9______"] {
        check("2016", &[METERED, &again(seen)], "backed: VT/WH+positive backed");
    }
    check("2016", &[METERED, &again("2016; cab=regular")], "proven: VT/WH+positive proven");
    // What may be either of two others hides nothing.
    check("2016", &[METERED, &again("2016"), &again("2016; cab=regular")], "proven: VT/WH+positive proven");
}

#[test]
fn an_empty_seen_is_no_observation() {
    check("2016", &["2015-2019,,VT/WH,,metered,R. Okafor,2024-03-11,"], "thin: VT/WH thin");
    check(
        "2016",
        &["2016,,VT/WH,,metered,R. Okafor,2024-03-11,", "2016,,GN,,metered,D. Pruett,2024-03-11,"],
        "thin: GN thin; VT/WH thin",
    );
}

#[test]
fn a_seen_vehicle_covers_where_the_year_is_equal_and_nothing_that_matters_differs() {
    check("2017", &[METERED], "thin: VT/WH thin");
    // The cab does not matter until a note on this point names it.
    check("2016 regular cab", &[METERED], "backed: VT/WH backed");
    let named = "2016-2017,cab=regular,VT/WH,,told,D. Pruett,2024-03-11,";
    check("2016 regular cab", &[METERED, named], "thin: VT/WH thin");
    check("2016 crew cab", &[METERED, named], "backed: VT/WH backed");
}

#[test]
fn the_same_on_both_sides_within_three_years_lies_between() {
    let later = |year: u16| format!("2014-2022,,VT/WH,,inspected,D. Pruett,2024-04-02,{year}");
    check("2017", &[METERED, &later(2018)], "between: VT/WH between");
    check("2018", &[METERED, &later(2019)], "between: VT/WH between");
    check("2018", &[METERED, &later(2020)], "thin: VT/WH thin");
    check("2019", &[METERED, &later(2018)], "thin: VT/WH thin");
    check("2017", &[METERED, "2018,,GN,,metered,D. Pruett,2024-04-02,2018"], "thin: VT/WH thin");
}

#[test]
fn what_is_only_told_is_thin() {
    let told = "2015-2019,,VT/WH,,told,D. Pruett,2024-03-11,";
    check("2016", &[told], "thin: VT/WH thin");
    check(
        "2016",
        &[told, "2016,,VT/WH,,told,M. Haugli,2024-04-02,", "2016,,VT/WH,,told,A. Szalai,2024-04-02,"],
        "thin: VT/WH thin",
    );
}

#[test]
fn observations_or_diagrams_on_two_sides_dispute() {
    let green = "2016-2017,,GN,,metered,D. Pruett,2024-04-02,2017";
    check("2016", &[METERED, green], "disputed: VT/WH disputed; GN disputed");
    check("2017", &[METERED, green], "disputed: GN disputed; VT/WH disputed");
    check("2018", &[METERED, green], "thin: VT/WH thin");
    check(
        "2016",
        &[METERED, "2016,,GN,,diagram,D. Pruett,2024-04-02,"],
        "disputed: VT/WH disputed; GN disputed",
    );
}

#[test]
fn hearsay_disputes_nothing_and_is_mentioned() {
    check("2016", &[METERED, "2016,,GN,,told,D. Pruett,2024-04-02,"], "backed: VT/WH backed; GN thin");
    check("2016", &[METERED, "2016,,GN,,metered,D. Pruett,2024-04-02,"], "backed: VT/WH backed; GN thin");
}

#[test]
fn two_polarities_are_disputed_though_either_fits_every_colour() {
    let rows = [
        "2016,,VT/WH,,metered,R. Okafor,2024-03-11,2016",
        "2016,,GN,,told,M. Haugli,2024-03-11,",
        "2016,,,positive,metered,A. Szalai,2024-03-11,2016",
        "2016,,,negative,metered,D. Pruett,2024-03-11,2016",
    ];
    let point = ask("2016", &rows);
    assert_eq!(point["grade"], "disputed", "{point:#}");
    let answers: Vec<String> = point["answers"].as_array().expect("answers").iter().map(answer).collect();
    for side in ["positive disputed", "negative disputed", "GN thin"] {
        assert!(answers.iter().any(|answer| answer == side), "{side} in {answers:?}");
    }
}

#[test]
fn what_is_claimed_for_others_only_is_blank_and_shown_beside() {
    let point = ask("2021", &[METERED]);
    assert_eq!(
        (point["grade"].as_str(), point["answers"].as_array().map(Vec::len)),
        (Some("blank"), Some(0)),
        "{point:#}"
    );
    assert_eq!(point["elsewhere"][0]["values"]["colour"], "VT/WH", "{point:#}");
}

#[test]
fn an_answer_depends_on_what_is_not_known_of_the_vehicle() {
    let tow = "2016,tow=yes,VT/WH,,metered,R. Okafor,2024-03-11,2016; tow=yes";
    check("2016", &[tow], "backed: VT/WH backed (depends on tow)");
    check("tow package", &[tow], "thin: VT/WH thin (depends on year)");
    check("2016 tow=no", &[tow, "2016,,GN,,told,D. Pruett,2024-03-11,"], "thin: GN thin");
}

#[test]
fn a_dispute_that_may_touch_says_on_what_it_depends() {
    let tow = "2016,tow=yes,VT/WH,,metered,R. Okafor,2024-03-11,2016; tow=yes";
    let all = "2016,,GN,,metered,D. Pruett,2024-03-11,2016";
    check(
        "2016",
        &[tow, all],
        "disputed: GN disputed (dispute depends on tow); VT/WH disputed (depends on tow) (dispute depends on tow)",
    );
    check("2016 tow=no", &[tow, all], "backed: GN backed");
    check("2016 tow=yes", &[tow, all], "disputed: GN disputed; VT/WH disputed");
    // What surely is disputed depends on nothing more.
    let blue = "2016,,BU,,fitted,M. Haugli,2024-03-11,2016";
    check(
        "2016",
        &[tow, all, blue],
        "disputed: BU disputed; GN disputed; VT/WH disputed (depends on tow) (dispute depends on tow)",
    );
}

#[test]
fn scopes_that_do_not_overlap_are_both_told_and_not_disputed() {
    let with = "2016,tow=yes,VT/WH,,metered,R. Okafor,2024-03-11,2016; tow=yes";
    let without = "2016,tow=no,GN,,metered,D. Pruett,2024-03-11,2016; tow=no";
    check("2016", &[with, without], "backed: GN backed (depends on tow); VT/WH backed (depends on tow)");
    check("2016 tow=yes", &[with, without], "backed: VT/WH backed");
}

#[test]
fn a_later_note_of_one_hand_on_one_vehicle_replaces_the_earlier() {
    let later = "2015-2019,,GN,,metered,R Okafor,2024-03-12,2016; cab=crew";
    check("2016", &[METERED, later], "backed: GN backed");
    let another_vehicle = "2015-2019,,GN,,metered,R Okafor,2024-03-12,2016; cab=regular";
    check("2016", &[METERED, another_vehicle], "disputed: GN disputed; VT/WH disputed");
}

#[test]
fn the_driver_sits_on_the_left_unless_said() {
    check("2016", &["2016,drive=lhd,VT/WH,,metered,R. Okafor,2024-03-11,2016"], "backed: VT/WH backed");
    check("2016 lhd", &[METERED], "backed: VT/WH backed");
    let right = "2016,drive=rhd,GN,,metered,D. Pruett,2024-03-11,2016";
    check("2016", &[METERED, right], "backed: VT/WH backed");
    check("2016 rhd", &[METERED, right], "backed: GN backed");
    assert_eq!(ask("2016 rhd", &[METERED])["grade"], "blank");
}
