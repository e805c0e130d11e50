//! Fuses and breakers against data sheets, SAE J553, 33 CFR 183.455 and a chart of the FAA. As inequalities: sheets
//! differ, and what is claimed here must not be sooner than what they promise.

use baybook::catalogue::Catalogue;
use baybook::circuit::Kind;
use baybook::circuit::choice::choose;
use baybook::circuit::conductor::Series;
use baybook::circuit::protection::Device;
use baybook::circuit::request::Load;
use baybook::circuit::units::Amps;
use baybook::value::FieldKind;

use crate::reference::{Row, rows};
use crate::shop::{awg, request, surroundings};

const TABLE: &str = "fuse_blade.csv";

fn fuses(row: &Row) -> [Amps; 2] {
    match row.text("family") {
        "blade large" => [Amps(50.0), Amps(100.0)],
        _ => [Amps(1.0), Amps(40.0)],
    }
}

/// A device opens no sooner here than a sheet promises at the latest; at 135, 200 and 350 % just then. What it carries
/// for hours opens nothing.
#[test]
fn times_of_blade_fuses() {
    let table = rows(TABLE, "section", "opening_time");
    assert_eq!(table.len(), 12);
    for row in table {
        let share: f64 = row.text("key").trim_end_matches('%').parse().expect("a share");
        for rating in fuses(&row) {
            let fuse = Device::rated(Kind::Fuse, rating).expect("a fuse");
            let opens = fuse.opens_within(rating * (share / 100.0)).map(|time| time.0);
            match (opens, row.maybe("max")) {
                (None, None) => assert!(share <= 110.0, "{share} %"),
                (Some(ours), Some(most)) if [135.0, 200.0, 350.0].contains(&share) => {
                    assert!((ours - most).abs() <= most * 1e-9, "{share} %: {ours}");
                }
                (Some(ours), Some(most)) => assert!(ours >= most * (1.0 - 1e-9), "{share} %: {ours}"),
                (ours, most) => panic!("{share} %: {ours:?} here, {most:?} outside"),
            }
            let soonest = row.number("min");
            assert!(opens.is_none_or(|ours| ours > soonest), "{share} %: sooner than any fuse opens");
        }
    }
}

/// Large blades begin at 50 A here, where the ordinary ones end; those from memory decide nothing.
#[test]
fn colours_of_blade_fuses() {
    let mut looked_at = 0;
    for row in rows(TABLE, "section", "colour").iter().filter(|row| row.is_verified()) {
        let rating = Amps(row.number("key"));
        let [least, most] = fuses(row);
        if rating < least || rating > most {
            continue;
        }
        let fuse = Device::rated(Kind::Fuse, rating).expect("a fuse");
        assert_eq!(fuse.colour(), Some(row.text("value")), "{rating:?}");
        looked_at += 1;
    }
    assert_eq!(looked_at, 11 + 4);
}

/// SAE J553: up to 200 A. What resets by itself is no protection by itself.
#[test]
fn breakers_of_sae_j553() {
    let scope = &rows(TABLE, "section", "cb_scope")[0];
    assert_eq!(Device::largest(Kind::Breaker).0.to_string(), scope.text("max"));
    let classes: Vec<String> =
        rows(TABLE, "section", "cb_class").iter().map(|row| row.text("key").to_owned()).collect();
    assert_eq!(classes, ["Type I", "Type II", "Type III"]);
    assert_eq!(Kind::Breaker.classes(), &classes[1..]);
}

/// Market practice, from memory: there is no rating here that a catalogue would not have.
#[test]
fn ratings_of_catalogues() {
    let known: Vec<f64> = rows(TABLE, "section", "rating_series")
        .iter()
        .flat_map(|row| {
            row.text("value").split(';').map(|rating| rating.parse().expect("a rating")).collect::<Vec<f64>>()
        })
        .collect();
    for kind in [Kind::Fuse, Kind::Breaker] {
        let mut rating = Amps(0.0);
        while let Some(device) = Device::least(kind, rating + Amps(0.1)) {
            rating = device.rating();
            assert!(known.contains(&rating.0), "{rating:?}");
        }
        assert_eq!(rating, Device::largest(kind));
    }
}

/// A fuse is called the same here and in the notes of a shop.
#[test]
fn forms_of_fuses_are_those_of_the_catalogue() {
    let catalogue = Catalogue::load(None).expect("the built-in catalogue");
    let field = &catalogue.fields[catalogue.field("fuse").expect("the field")];
    let FieldKind::Choice(forms) = &field.kind else { panic!("{field:?}") };
    for rating in [1.0, 50.0, 125.0] {
        let family = Device::rated(Kind::Fuse, Amps(rating)).expect("a fuse").family();
        assert!(forms.words().iter().any(|form| form == family), "{family}");
    }
}

/// 33 CFR 183.455(c)(1) lets a device be 150 % of Table 5; here it is never above what the conductor may carry.
#[test]
fn a_device_is_within_the_regulation() {
    let row =
        &rows("ampacity_33cfr183.csv", "kind", "overcurrent_device_max_fraction_of_table5_below_50V")[0];
    for tenths in 1..2000 {
        let request = request(|asked| asked.load = Load::Current(Amps(f64::from(tenths) / 10.0)));
        let Ok(choice) = choose(&request, Series::Awg) else { continue };
        let device = choice.trial.device.expect("a device").rating();
        let table = request.surroundings.table(choice.trial.conductor);
        assert!(device <= choice.trial.ampacity && device <= table * row.number("value"), "{tenths}");
    }
}

/// FAA AC 43.13-1B Table 11-3 is for aircraft and cautious: each of its devices is one that would be allowed here too.
#[test]
fn what_aircraft_practice_allows_is_allowed() {
    let here = surroundings(105.0, 30.0);
    let mut looked_at = 0;
    for row in rows(TABLE, "section", "wire_protector_chart") {
        if ["22", "20"].contains(&row.text("key")) {
            continue;
        }
        for device in row.text("value").split(';').filter_map(|device| device.split_once('=')) {
            let Ok(rating) = device.1.parse() else { continue };
            assert!(
                Amps(rating) <= here.ampacity(awg(row.text("key"))),
                "{} AWG, {device:?}",
                row.text("key")
            );
            looked_at += 1;
        }
    }
    assert_eq!(looked_at, 20);
}
