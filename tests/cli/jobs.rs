//! `jobs`: the list, one job with its circuits, a shop's own jobs, and what cannot be.

use insta::assert_snapshot;

use crate::harness::Shop;

fn check(line: &str, status: i32) -> String {
    Shop::new().run(line).must_be(status).to_string()
}

/// The text with its lines joined, however it was broken.
fn joined(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_list() {
    assert_snapshot!(check("jobs", 0));
}

#[test]
fn one_job_with_its_circuits() {
    assert_snapshot!(check("jobs brake control", 0));
}

/// What was measured is no estimate any more, and a job that cannot be built says so and goes on.
#[test]
fn parameters() {
    let told = joined(&check("jobs charge-line --set line-run=5.2m --set amps=24", 0));
    assert!(told.contains("24 A over 5.2 m (17.1 ft), back by the chassis"), "{told}");
    assert!(!told.contains("estimate"), "{told}");
    let refused = joined(&check("jobs brake-control --set brakes=8 --set feed-run=100m", 1));
    assert!(
        refused.contains("It cannot be built.") && refused.contains("and 0.48 V are allowed"),
        "{refused}"
    );
}

#[test]
fn as_json() {
    let shop = Shop::new();
    let list = shop.run("jobs --json").must_be(0).json();
    let names: Vec<&str> =
        list.as_array().expect("a list").iter().map(|job| job["job"].as_str().expect("a name")).collect();
    assert_eq!(
        names,
        [
            "brake-control",
            "trailer-lamps",
            "charge-line",
            "battery-charger",
            "camera",
            "auxiliary-lamps",
            "dash-camera",
            "radio"
        ]
    );
    let one = shop.run("jobs brake-control --set brakes=6 --json").must_be(0).json();
    assert_eq!(one["parameters"][0]["value"], "6");
    assert_eq!(one["must"][0], "brake-signal");
    let feed = &one["circuits"][0];
    assert_eq!(feed["asked"]["current_a"], 24.6);
    assert_eq!(feed["run_is"], "estimate");
    assert_eq!(feed["conductors"][0]["protection"]["rating_a"], 30.0);
    assert_eq!(one["circuits"][1]["protected_by"], "feed");
    assert_eq!(one["circuits"][2]["protected_by"], "vehicle");
}

const HEATER: &str = r#"version = 1
[job.seat-heater]
title = "seat heater"
about = "Warms a seat."
must = ["fused-feed", "ground"]
[job.seat-heater.parameter.seats]
title = "seats"
default = 2
choices = [1, 2]
[[job.seat-heater.circuit]]
name = "feed"
title = "feed of the heater"
from = "fused-feed"
to = "ground"
load = ["seats", "45 W"]
run = "2 m"
protection = "fuse"
at = "fused-feed"
"#;

#[test]
fn a_shop_adds_a_job() {
    let shop = Shop::new();
    shop.write("book/jobs.toml", HEATER);
    let list = shop.run("jobs").must_be(0).stdout();
    assert!(
        list.contains("seat-heater  Seat heater. Warms a seat.") && list.contains("brake-control"),
        "{list}"
    );
    let one = joined(&shop.run("jobs seat heater --set seats=1").must_be(0).stdout());
    assert!(one.contains("3.75 A over 2 m (6.56 ft)"), "{one}");
}

#[test]
fn a_shop_replaces_a_job() {
    let shop = Shop::new();
    shop.write("book/jobs.toml", HEATER.replace("seat-heater", "radio"));
    let list = shop.run("jobs --json").must_be(0).json();
    assert_eq!(list.as_array().map(Vec::len), Some(8));
    let radio = list.as_array().expect("a list").iter().find(|job| job["job"] == "radio").expect("the job");
    assert_eq!(radio["title"], "seat heater");
}

/// A faulty file is refused with the place, and nothing else is done.
#[test]
fn a_faulty_file_of_jobs() {
    let shop = Shop::new();
    shop.write("book/jobs.toml", HEATER.replace("\"45 W\"", "\"chairs\""));
    shop.run("jobs")
        .must_be(2)
        .must_tell("jobs.toml, line 15: 'chairs' is neither a parameter of this job nor");
    shop.write("book/jobs.toml", "version = 1\n[job.heater\n");
    shop.run("jobs").must_be(2).must_tell("jobs.toml: TOML parse error at line 2");
}

#[test]
fn bad_input() {
    let cases = [
        ("jobs brake-contrl", "'brake-contrl' is no job", "the nearest is 'brake-control'"),
        ("jobs spoiler", "'spoiler' is no job", "`baybook jobs` lists them all"),
        ("jobs brake", "'brake' is no job", "there is brake-control;"),
        ("jobs brake-control --set stop-fuse=100A", "behind a fuse of 100 A", "at most 40 A"),
        ("jobs brake-control --set axles=2", "has no parameter 'axles'", "it has brakes, stop-fuse"),
        ("jobs brake-control --set brake=2", "has no parameter 'brake'", "the nearest is 'brakes'"),
        ("jobs brake-control --set brakes=5", "brakes: '5' cannot be its value", "one of 2, 4, 6, 8"),
        ("jobs brake-control --set brakes=-2", "brakes:", "one of 2, 4, 6, 8"),
        ("jobs brake-control --set brakes=4m", "brakes: '4m' cannot be its value", "one of 2, 4, 6, 8"),
        ("jobs brake-control --set brakes", "--set: 'brakes' has no value", "NAME=VALUE"),
        ("jobs brake-control --set stop-fuse=17", "there is no fuse of 17 A", "such as stop-fuse=20A"),
        (
            "jobs charge-line --set amps=0",
            "amps (charging current): 0 A is not believed",
            "it is from 5 A to 100 A",
        ),
        (
            "jobs brake-control --set feed-run=300m",
            "beyond 100 m, the most that is believed",
            "such as feed-run=3 m",
        ),
        ("jobs brake-control --set feed-run=3A", "a length is expected", "such as feed-run=3 m"),
        (
            "jobs charge-line --set line-run=13m",
            "a return of 13 m through the chassis is longer than the vehicle",
            "measure again, and say --set line-run=",
        ),
        ("jobs charge-line --set amps=30V", "amps: “V” is the unit of a voltage", "such as amps=30 A"),
        ("jobs charge-line --set line-run=6", "line-run: “6” has no unit", "such as line-run=6 m"),
        ("jobs charge-line --set line-run=20m", "a return of 20 m through the chassis is longer", ""),
        ("jobs --set brakes=4", "JOB", ""),
    ];
    let shop = Shop::new();
    for (line, told, right) in cases {
        let run = shop.run(line).must_be(2).must_tell(told).must_tell(right);
        assert_eq!(run.stdout(), "", "{line}");
    }
}
