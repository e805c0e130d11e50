//! `jobcard --out`: the page that is printed. Read as text and, its drawings, as XML; how it looks in a browser is for
//! eyes.

use std::collections::BTreeSet;

use serde_json::Value as Json;

use crate::cast::TARN;
use crate::harness::Shop;

const CREW: &str = "jobcard 2016 quillon tarn crew tow=yes";

fn tarn() -> Shop {
    Shop::with(&[TARN])
}

/// The page of a job.
fn page(shop: &Shop, vehicle: &str, job: &str) -> String {
    let run = shop.run(&format!("{vehicle} --job {job} --out card.html")).must_be(0);
    assert_eq!(run.stdout(), "", "the page takes the place of the card on the terminal");
    assert!(run.stderr().contains("Job card: card.html"), "{run}");
    shop.read("card.html")
}

fn jobs(shop: &Shop) -> Vec<String> {
    let jobs = shop.run("jobs --json").must_be(0).json();
    let names = jobs.as_array().expect("a list").iter();
    names.map(|job| job["job"].as_str().expect("a name").to_owned()).collect()
}

/// The texts between these two, each without its markup.
fn between(page: &str, from: &str, to: &str) -> Vec<String> {
    let inside = page.split(from).skip(1).filter_map(|rest| rest.split_once(to));
    inside.map(|(text, _)| text.rsplit('>').next().unwrap_or_default().to_owned()).collect()
}

/// Every word of every drawing of the page, in order; each drawing has to be XML.
fn drawn(page: &str) -> String {
    let drawings: Vec<&str> =
        page.split("<svg ").skip(1).map(|rest| rest.split_once("</svg>").expect("an end").0).collect();
    assert!(!drawings.is_empty());
    let mut words = Vec::new();
    for drawing in drawings {
        let svg = format!("<svg {drawing}</svg>");
        let document = roxmltree::Document::parse(&svg).unwrap_or_else(|error| panic!("{error}: {svg}"));
        let texts = document.descendants().filter(|node| node.has_tag_name("text"));
        words.extend(texts.filter_map(|node| node.text().map(str::to_owned)));
    }
    words.join(" ")
}

/// The headings are those of the terminal, in the same order.
#[test]
fn the_page_has_every_section_in_order() {
    let shop = tarn();
    for job in jobs(&shop) {
        let text = shop.run(&format!("{CREW} --job {job}")).must_be(0).stdout();
        let heading = |line: &&str| {
            line.len() > 3 && line.to_uppercase() == **line && !line.starts_with([' ', '[', '-'])
        };
        let wanted: Vec<&str> = text.lines().filter(heading).collect();
        assert!(wanted.len() >= 10, "{job}: {wanted:?}");
        let found: Vec<String> = between(&page(&shop, CREW, &job), "<h2 ", "</h2>")
            .iter()
            .map(|title| title.to_uppercase())
            .collect();
        assert_eq!(found, wanted, "{job}");
    }
}

#[test]
fn every_circuit_is_drawn_with_its_size_and_protection() {
    let shop = tarn();
    for job in jobs(&shop) {
        let card = shop.run(&format!("{CREW} --job {job} --json")).must_be(0).json();
        let drawn = drawn(&page(&shop, CREW, &job));
        for circuit in card["circuits"].as_array().expect("circuits") {
            check_circuit(&job, circuit, &drawn);
        }
    }
}

fn check_circuit(job: &str, circuit: &Json, drawn: &str) {
    let title = circuit["title"].as_str().expect("a title");
    let chosen = &circuit["conductors"][0];
    let rating = chosen["protection"]["rating_a"].as_f64().expect("a rating");
    let size = chosen["size"].as_str().expect("a size");
    for wanted in [title[1..].to_owned(), format!("{rating} A "), size.to_owned()] {
        // Once for the telephone and once for paper.
        assert!(drawn.matches(&wanted).count() >= 2, "{job}: '{wanted}' of '{title}' is not in: {drawn}");
    }
}

/// It goes with the vehicle, where there is no network.
#[test]
fn the_page_stands_alone() {
    let shop = tarn();
    for job in jobs(&shop) {
        let page = page(&shop, CREW, &job).replace("http://www.w3.org/2000/svg", "");
        for outside in ["http", "src=", "@import", "url(", "<script", "<link", "<iframe", "onload"] {
            assert!(!page.contains(outside), "{job}: {outside}");
        }
        let links = between(&page.replace(" href=\"", "\u{1}>"), "\u{1}", "\"");
        assert!(
            links
                .iter()
                .all(|link| link.starts_with('#') && page.contains(&format!("id=\"{}\"", &link[1..])))
        );
        assert!(page.starts_with("<!DOCTYPE html><html lang=\"en\">"), "{}", &page[..80]);
        assert!(page.contains("name=\"viewport\"") && page.contains("@page"));
        let names = between(&page.replace(" id=\"", "\u{1}>"), "\u{1}", "\"");
        let once: BTreeSet<&String> = names.iter().collect();
        assert_eq!(once.len(), names.len(), "{job}: a name stands twice in {names:?}");
    }
}

/// A colour that is sure is drawn and written; one that is disputed is written with the doubt, and not drawn.
#[test]
fn a_disputed_colour_is_not_drawn() {
    const SURE: &str = "\
make,model,years,point,colour,at,basis,by,on,seen
Quillon,Tarn,2016,brake-signal,violet/white,stop lamp switch,metered,R. Okafor,2024-03-11,2016
";
    const AGAINST: &str =
        "Quillon,Tarn,2016,brake-signal,green,stop lamp switch,metered,M. Haugli,2024-04-02,2016\n";
    let vehicle = "jobcard 2016 quillon tarn";
    let violet = "fill=\"#7a2fa0\"";
    let sure = page(&Shop::with(&[SURE]), vehicle, "brake-control");
    assert!(drawn(&sure).contains("Violet with white tracer (VT/WH)") && sure.contains(violet));
    assert!(!drawn(&sure).contains("DISPUTED"), "{}", drawn(&sure));
    let unsure = page(&Shop::with(&[&format!("{SURE}{AGAINST}")]), vehicle, "brake-control");
    assert!(drawn(&unsure).contains("DISPUTED") && !unsure.contains(violet), "{}", drawn(&unsure));
}

#[test]
fn a_vehicle_never_heard_of_has_a_drawing_to_be_filled_in() {
    let shop = tarn();
    let page = page(&shop, "jobcard 2027 nonesuch heron", "brake-control");
    assert!(page.contains("2027 Nonesuch Heron"), "{}", between(&page, "<h1", "</header>").concat());
    let drawn = drawn(&page);
    for words in ["not known", "found at", "an estimate: measure", "colour as laid"] {
        assert!(drawn.contains(words), "{words}: {drawn}");
    }
}

#[test]
fn hostile_notes_stay_words() {
    let sheet = "\
make,model,years,point,at,stud,avoid,basis,by,on,seen,remark
\"A\"\"}</style><script>x</script>\",Heron,2016,ground,left <b>fender</b> & sill,M8,<img src=x onerror=x>,fitted,<i>R</i>,2024-03-11,2016,</p><script>alert(1)</script>
";
    let shop = Shop::with(&[sheet]);
    let page = page(&shop, "jobcard 2016 heron", "radio");
    for markup in ["<script", "<b>", "<img", "<i>"] {
        assert!(!page.contains(markup), "{markup}");
    }
    assert_eq!(page.matches("</style>").count(), 1);
    assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt;"), "the remark is there");
    // The page can be read to its end as it was meant.
    assert!(page.ends_with("</body></html>") && page.contains("<h2 id=\"labour\">Labour</h2>"), "{page}");
}

/// A card is drawn up again when more is known; anything else that has the name stays as it is.
#[test]
fn only_a_page_is_replaced() {
    let shop = tarn();
    let first = page(&shop, CREW, "radio");
    let second = page(&shop, CREW, "camera");
    assert_ne!(first, second);
    shop.write("notes.csv", "make,model\n");
    let run = shop.run(&format!("{CREW} --job radio --out notes.csv")).must_be(2);
    assert!(run.stderr().contains("notes.csv is there already"), "{run}");
    assert_eq!(shop.read("notes.csv"), "make,model\n");
    assert_eq!(run.stdout(), "");
}

#[test]
fn what_cannot_be_written_is_told() {
    let shop = tarn();
    shop.write("folder/file", "");
    for (out, told) in [("folder", "folder is a folder"), ("nowhere/card.html", "there is no folder nowhere")]
    {
        let run = shop.run(&format!("{CREW} --job radio --out {out}")).must_be(2);
        assert!(run.stderr().contains(told), "{run}");
    }
}

#[test]
fn json_and_the_page_together() {
    let shop = tarn();
    let run = shop.run(&format!("{CREW} --job radio --out card.html --json")).must_be(0);
    assert_eq!(run.json()["job"], "radio");
    assert!(shop.read("card.html").contains("Two-way radio"));
}
