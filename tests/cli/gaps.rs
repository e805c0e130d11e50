//! `gaps`: what the book lacks, the most useful first.

use insta::assert_snapshot;

use crate::cast::{TARN, TILLER};
use crate::harness::Shop;

fn check(line: &str, status: i32) -> String {
    Shop::with(&[TARN, TILLER]).run(line).must_be(status).to_string()
}

#[test]
fn the_most_useful_come_first() {
    assert_snapshot!(check("gaps", 0), @r"
    $ baybook gaps
    Quillon Tarn 2015-2019, brake signal: disputed, c-eo6l3c (3 visits, last
      2024-04)
    Ironquay Tiller 2018-2021, brake signal: blank (2 visits, last 2022-06)
    Ironquay Tiller 2018-2021, labour: blank (2 visits, last 2022-06)
    Quillon Tarn 2014-2019, left turn: blank (3 visits, last 2024-04)
    Quillon Tarn 2014-2019, reverse lamps: blank (3 visits, last 2024-04)
    Ironquay Tiller 2018-2021, ground: blank (2 visits, last 2022-06)
    Ironquay Tiller 2018-2021, firewall pass: blank (2 visits, last 2022-06)
    Quillon Tarn 2014-2015, 2017-2019, firewall pass: thin (1 visit, last 2023-05)
    Quillon Tarn 2015, 2017-2019, ground: thin (1 visit, last 2023-05)
    Ironquay Tiller 2018-2019, 2021, left turn: thin (1 visit, last 2022-06)
    Ironquay Tiller 2018, 2020-2021, reverse lamps: thin (1 visit, last 2022-02)
    Quillon Tarn 2015, 2018-2019, labour: thin (none seen yet)
    Quillon Tarn 2014, brake signal: blank (none seen yet)
    Quillon Tarn 2014, labour: blank (none seen yet)
    Quillon Tarn 2014, ground: blank (none seen yet)
    --- status 0
    ");
}

/// 2016 was seen with everything but the horn; 2019 was claimed only.
#[test]
fn of_one_vehicle_and_some_points() {
    assert_snapshot!(check("gaps 2016 tarn crew tow=no -p horn -p ground -p brake-signal", 0), @r"
    $ baybook gaps 2016 tarn crew tow=no -p horn -p ground -p brake-signal
    Quillon Tarn 2016, brake signal: disputed, c-eo6l3c (2 visits, last 2024-04)
    Quillon Tarn 2016, horn: blank (2 visits, last 2024-04)
    --- status 0
    ");
    assert_snapshot!(check("gaps 2019 tarn -p ground", 0), @r"
    $ baybook gaps 2019 tarn -p ground
    Quillon Tarn 2019, ground: thin (none seen yet)
    --- status 0
    ");
    assert_snapshot!(check("gaps 2016 tarn -p labour", 0), @r"
    $ baybook gaps 2016 tarn -p labour
    --- standard error
    nothing is lacking
    --- status 0
    ");
    check("gaps 2016 sparkly", 1);
    check("gaps tarn -p grund", 2);
}

#[test]
fn as_json() {
    assert_snapshot!(check("gaps tiller -p left-turn -p horn --json", 0), @r#"
    $ baybook gaps tiller -p left-turn -p horn --json
    [
      {
        "conflict": null,
        "grade": "blank",
        "last": "2022-06-20",
        "make": "Ironquay",
        "model": "Tiller",
        "point": "horn",
        "visits": 2,
        "years": [
          [
            2018,
            2021
          ]
        ]
      },
      {
        "conflict": null,
        "grade": "thin",
        "last": "2022-06-20",
        "make": "Ironquay",
        "model": "Tiller",
        "point": "left-turn",
        "visits": 1,
        "years": [
          [
            2018,
            2019
          ],
          [
            2021,
            2021
          ]
        ]
      }
    ]
    --- status 0
    "#);
}

#[test]
fn an_empty_book_says_so() {
    Shop::new().run("gaps").must_be(1).must_tell("the book has no notes");
}

/// A shop that has more gaps than are shown: the first are the first of all, though not all models are looked at.
/// Its books differ in the order in which the notes came.
#[test]
fn the_first_are_the_first_of_all_in_whatever_order_notes_came() {
    let head = "make,model,years,point,colour,basis,by,on,seen\n";
    let rows: Vec<String> = (0..60)
        .map(|at| {
            let (model, year) = (at % 12, 2010 + at % 9);
            let point = ["brake-signal", "horn", "left-turn", "high-beam"][at % 4];
            let day = format!("{}-0{}-11", 2019 + at % 5, 1 + at % 9);
            format!(
                "Quillon,Tarn {model},{year}-{},{point},BN,metered,R. Okafor,{day},{year}\n",
                year + at % 3
            )
        })
        .collect();
    let shop = Shop::with(&[&format!("{head}{}", rows.concat())]);
    let turned: String = rows.iter().rev().map(String::as_str).collect();
    let other = Shop::with(&[&format!("{head}{turned}")]);
    let all = shop.run("gaps --all").must_be(0).stdout();
    assert_eq!(other.run("gaps --all").must_be(0).stdout(), all);
    let first = shop.run("gaps").must_be(0).must_tell("there are more; --all shows them").stdout();
    assert!(all.starts_with(&first), "{first}\n{all}");
    assert_eq!(
        shop.run("gaps --json").json().as_array().map(Vec::len),
        Some(all.matches(" visit").count() + all.matches("none seen").count())
    );
}
