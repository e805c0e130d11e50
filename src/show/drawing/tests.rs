//! Drawings read back as XML: nothing is lost, nothing runs out of the picture, nothing of a note becomes markup.

use super::letters::{LINE, Weight, width};
use super::sheet::FIRST;
use super::*;

fn label(head: &str, lines: &[&str]) -> Label {
    Label::new(head, lines.iter().map(|&line| line.to_owned()).collect())
}

/// A circuit from the battery to a load by the chassis, all of whose words carry `mark`.
fn circuit(mark: &str, load: &str) -> Circuit {
    let words = |what: &str| label(&format!("{what} {mark}"), &[&format!("about the {what} of {mark}")]);
    Circuit {
        title: format!("circuit {mark}"),
        origin: Origin::Battery(words("battery feed")),
        protection: Some(Protection { kind: Kind::Breaker, whose: Whose::Own, label: words("20 A breaker") }),
        relay: None,
        cable: Cable { label: words("10 AWG"), possible: true },
        passes: vec![words("firewall")],
        load: Load { name: load.to_owned(), looks: Looks::Device, lines: vec![format!("takes {mark}")] },
        back: Return::Chassis,
        ground: words("ground"),
    }
}

fn plan(circuits: Vec<Circuit>) -> Plan {
    Plan { title: "circuits".to_owned(), circuits }
}

/// A control that is fed, told and feeds on; then a lamp by a relay.
fn brakes() -> Plan {
    let feed = Circuit { back: Return::Own, ..circuit("feed", "control") };
    let output = Circuit {
        origin: Origin::Load("control".to_owned()),
        load: Load { looks: Looks::Connector, ..circuit("output", "rear").load },
        passes: Vec::new(),
        ..circuit("output", "rear")
    };
    let colour = Colour::parse("violet/white").expect("a colour");
    let signal = Circuit {
        origin: Origin::Wire(label("brake signal", &["violet with white tracer (VT/WH)"]), Some(colour)),
        ..circuit("signal", "control")
    };
    let coil = Circuit { relay: Some(label("relay", &[])), ..circuit("coil", "lamp") };
    let slot =
        Circuit { origin: Origin::Slot(label("slot 7", &[])), back: Return::Own, ..circuit("slot", "radio") };
    plan(vec![feed, output, signal, coil, slot])
}

/// What one text says, and where it begins.
struct Word {
    text: String,
    weight: Weight,
    x: i32,
    y: i32,
    middle: bool,
}

fn words(svg: &str) -> Vec<Word> {
    let all = read(svg);
    let document = roxmltree::Document::parse(&all).unwrap_or_else(|error| panic!("{error}: {svg}"));
    let word = |node: roxmltree::Node<'_, '_>| {
        let number = |name: &str| node.attribute(name).and_then(|text| text.parse().ok()).expect("a number");
        let bold = node.attribute("font-weight") == Some("bold");
        Word {
            text: node.text().unwrap_or_default().to_owned(),
            weight: if bold { Weight::Bold } else { Weight::Plain },
            x: number("x"),
            y: number("y"),
            middle: node.attribute("text-anchor").is_some(),
        }
    };
    document.descendants().filter(|node| node.has_tag_name("text")).map(word).collect()
}

/// Draws both widths and gives the narrow one, its sheets behind each other.
fn check(plan: &Plan) -> String {
    check_in(plan, Width::Wide);
    check_in(plan, Width::Narrow)
}

/// Every text stands within its sheet, and no two stand on each other.
fn check_in(plan: &Plan, wide: Width) -> String {
    let sheets: Vec<String> = svgs(plan, wide, "test").into_iter().map(Markup::into_string).collect();
    sheets.iter().for_each(|svg| check_sheet(svg, wide.units()));
    sheets.concat()
}

fn check_sheet(svg: &str, wide: i32) {
    let words = words(svg);
    let height = height(svg);
    for word in words.iter().filter(|word| !word.middle) {
        let right = word.x + width(&word.text, word.weight);
        assert!(right <= wide && word.x >= 0, "'{}' ends at {right} of {wide}", word.text);
        assert!((LINE - 6..=height).contains(&word.y), "'{}' at {}", word.text, word.y);
    }
    for (at, word) in words.iter().enumerate() {
        let near = |other: &&Word| (word.y - other.y).abs() < LINE - 2 && !word.middle && !other.middle;
        if let Some(other) = words[at + 1..].iter().find(near) {
            panic!("'{}' and '{}' stand on each other", word.text, other.text);
        }
    }
}

/// The sheets as one document.
fn read(svgs: &str) -> String {
    format!("<all>{svgs}</all>")
}

fn height(svg: &str) -> i32 {
    let document = roxmltree::Document::parse(svg).expect("well-formed");
    let frame = document.root_element().attribute("viewBox").expect("a viewBox");
    frame.rsplit(' ').next().and_then(|height| height.parse().ok()).expect("a height")
}

fn told(svg: &str) -> String {
    words(svg).into_iter().map(|word| word.text).collect::<Vec<_>>().join(" ")
}

#[test]
fn every_circuit_is_drawn_with_all_its_words() {
    let svg = check(&brakes());
    let told = told(&svg);
    for mark in ["feed", "output", "signal", "coil", "slot"] {
        for what in ["20 A breaker", "about the 20 A breaker of", "10 AWG", "takes"] {
            let text = format!("{what} {mark}");
            assert!(told.contains(&text), "'{text}' is not in: {told}");
        }
        assert!(told.contains(&format!("Circuit {mark}")), "{mark}: {told}");
    }
    for text in
        ["battery feed feed", "firewall signal", "violet with white tracer (VT/WH)", "slot 7", "relay"]
    {
        assert!(told.contains(text), "'{text}' is not in: {told}");
    }
}

/// The output goes on below the control, where the feed and the signal end: the control is drawn once.
#[test]
fn circuits_meet_at_their_load() {
    let svg = check(&brakes());
    let told = told(&svg);
    assert_eq!(told.matches("Control").count(), 1, "{told}");
    let order =
        ["Circuit feed", "Circuit signal", "Control", "Circuit output", "Rear", "Circuit coil", "Lamp"];
    let places: Vec<usize> =
        order.iter().map(|text| told.find(text).unwrap_or_else(|| panic!("no {text}: {told}"))).collect();
    assert!(places.is_sorted(), "{order:?} at {places:?}: {told}");
    assert!(!told.contains("From the control"), "{told}");
}

/// Where a load feeds two others, the second begins with its name.
#[test]
fn a_second_follower_is_told_where_it_begins() {
    let follower = |mark: &str| Circuit { origin: Origin::Load("box".to_owned()), ..circuit(mark, mark) };
    let svg = check(&plan(vec![circuit("feed", "box"), follower("first"), follower("second")]));
    assert_eq!(told(&svg).matches("From the box").count(), 1);
}

#[test]
fn loads_that_feed_each_other_are_drawn_all_the_same() {
    let from = |load: &str, of: &str| Circuit { origin: Origin::Load(of.to_owned()), ..circuit(load, load) };
    let svg = check(&plan(vec![from("one", "two"), from("two", "one")]));
    assert!(told(&svg).contains("Circuit one") && told(&svg).contains("Circuit two"));
}

#[test]
fn many_circuits_into_one_load_stay_in_the_picture() {
    let marks: Vec<String> = (1..=12).map(|number| format!("number {number}")).collect();
    let svg = check(&plan(marks.iter().map(|mark| circuit(mark, "box")).collect()));
    for mark in &marks {
        assert!(told(&svg).contains(mark.as_str()), "{mark}");
    }
    let document = roxmltree::Document::parse(&svg).expect("well-formed");
    let entries = document.descendants().filter(|node| node.has_tag_name("circle"));
    let right = entries.filter_map(|node| node.attribute("cx")?.parse::<i32>().ok()).max();
    assert!(right.is_some_and(|right| right < Width::Narrow.units() - 100), "{right:?}");
}

#[test]
fn nothing_at_all_is_an_empty_drawing() {
    let svg = check(&plan(Vec::new()));
    assert!(words(&svg).is_empty());
}

#[test]
fn a_circuit_that_cannot_be_built_has_a_broken_line() {
    let mut broken = circuit("one", "box");
    let dashes = |circuit: &Circuit| {
        let svg = check(&plan(vec![circuit.clone()]));
        let document = roxmltree::Document::parse(&svg).expect("well-formed");
        let lines = document.descendants().filter(|node| node.attribute("stroke-dasharray") == Some("2 5"));
        (lines.count(), svg.contains("It cannot be built so."))
    };
    assert_eq!(dashes(&broken), (0, false));
    broken.cable.possible = false;
    assert_eq!(dashes(&broken), (1, true));
}

/// What goes on below a load leaves its sheet at the lower edge and comes in at the upper edge of the next, one line
/// below the other.
#[test]
fn a_line_goes_on_from_sheet_to_sheet() {
    for back in [Return::Chassis, Return::Own] {
        let mut plan = brakes();
        plan.circuits[1].back = back;
        let sheets = layout::lay_out(&plan, 340);
        let out: Vec<i32> =
            sheets[0].strands.iter().filter(|it| it.bottom == sheets[0].height).map(|it| it.x).collect();
        let into: Vec<i32> = sheets[1].strands.iter().filter(|it| it.top == 0).map(|it| it.x).collect();
        assert_eq!(out.len(), if back == Return::Own { 2 } else { 1 });
        assert_eq!(out, into);
        assert!(sheets[1..].iter().all(|sheet| sheet.strands.iter().all(|it| it.bottom < sheet.height)));
    }
}

/// A line out alone, or a line back beside it.
#[test]
fn a_return_of_its_own_is_a_second_line() {
    let strands = |back: Return| {
        let plan = plan(vec![Circuit { back, ..circuit("one", "box") }]);
        layout::lay_out(&plan, 340)[0].strands.iter().filter(|strand| strand.bottom - strand.top > 60).count()
    };
    assert_eq!(strands(Return::Chassis), 1);
    assert_eq!(strands(Return::Own), 2);
}

/// Read by a person without colours: the words say it, and the stripe is there.
#[test]
fn a_tapped_wire_shows_its_colours() {
    let svg = check(&brakes());
    assert!(svg.contains("fill=\"#7a2fa0\"") && svg.contains("stroke=\"#ffffff\""), "{svg}");
}

#[test]
fn hostile_words_stay_words() {
    let hostile = "</text><script>alert(1)</script> \"quoted\" & 'x' \u{202e}\u{1b}[31m ]]>";
    let mut circuit = circuit(hostile, hostile);
    circuit.passes.push(label(&"long".repeat(40), &[hostile]));
    let svg = check(&Plan { title: hostile.to_owned(), circuits: vec![circuit] });
    assert!(!svg.contains("<script") && !svg.contains('\u{202e}') && !svg.contains('\u{1b}'), "{svg}");
    assert!(told(&svg).contains("</text><script>"), "{}", told(&svg));
}

/// For those who do not see it, and for a page with two drawings.
#[test]
fn it_says_what_it_shows() {
    let svgs = svgs(&brakes(), Width::Narrow, "key");
    let svg = svgs.into_iter().map(Markup::into_string).collect::<String>();
    let all = read(&svg);
    let document = roxmltree::Document::parse(&all).expect("well-formed");
    let mut seen = Vec::new();
    for root in document.root_element().children() {
        assert_eq!(root.attribute("role"), Some("img"));
        for id in root.attribute("aria-labelledby").expect("labels").split(' ') {
            assert!(id.starts_with("key-") && !seen.contains(&id), "{id}");
            let named = root.descendants().find(|node| node.attribute("id") == Some(id)).expect("the label");
            assert!(!named.text().unwrap_or_default().is_empty());
            seen.push(id);
        }
    }
    assert_eq!(seen.len(), 8, "two labels for each of control, rear, lamp and radio: {seen:?}");
    assert!(svg.contains("Circuit 1, circuit feed: from battery feed feed"), "{svg}");
}

/// Whatever the plan, lines stay at the left of the words that they pass.
#[test]
fn lines_do_not_cross_words() {
    let plan = brakes();
    for sheet in layout::lay_out(&plan, 340) {
        check_lines(&sheet);
    }
}

fn check_lines(sheet: &sheet::Sheet<'_>) {
    for row in sheet.rows.iter().filter(|row| !matches!(row.mark, sheet::Mark::Load { .. })) {
        let crossing = sheet.strands.iter().filter(|strand| {
            strand.top < row.top + row.height && strand.bottom > row.top && strand.x >= row.text_x
        });
        assert_eq!(crossing.count(), 0, "{:?}", row.text);
    }
    assert!(sheet.strands.iter().all(|strand| strand.x >= FIRST && strand.top <= strand.bottom));
}
