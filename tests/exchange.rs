//! Two shops that exchange what they know, both ways and in any order, end up with the same book: the same notes,
//! decisions, conflicts and answers. Random notes, and random decisions about what contradicts among them.
//!
//! Runs the program in process, on books in temporary folders.

#[path = "judge/random.rs"]
mod random;

use std::path::PathBuf;

use baybook::cli::{self, Console, Status};
use random::Random;
use serde_json::Value as Json;

const HEADER: &str = "make,model,years,only,point,colour,at,connector,cavity,stud,basis,by,on,seen";
/// Point, colour, place, connector, cavity, stud.
const CLAIMS: [&str; 9] = [
    "brake-signal,VT/WH,stop lamp switch,C1,2,",
    "brake-signal,violet,,,,",
    "brake-signal,GN,stop lamp switch,C1,3,",
    "brake-signal,VT/RD,,,,",
    "park-lamp,BN,,C1,2,",
    "park-lamp,GN,,C1,3,",
    "ground,,kick panel,,,M8",
    "ground,,left kick panel,,,M6",
    "ground,,right kick panel,,,M8",
];
const SCOPES: [&str; 5] = ["2015-2019,", "2016,", "2016-2018,tow=yes", "2015-2017,tow=no", "2017-,"];
const SEEN: [(&str, &str); 5] = [
    ("2015-2019,", "2016; tow=yes"),
    ("2016,", "2016"),
    ("2016-2018,tow=yes", "2017; tow=yes"),
    ("2015-2017,tow=no", "2016; tow=no"),
    ("2017-,", "2018"),
];
const ASKED: [&str; 4] = ["2016 tow=yes tarn", "2017 tow=no tarn", "2016 tarn", "tarn"];

struct Shop {
    dir: tempfile::TempDir,
}

impl Shop {
    fn new() -> Self {
        Self { dir: tempfile::tempdir().expect("a folder") }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    /// Runs a command on the 2025-06-01 or a few days later.
    fn run_on(&self, day: i8, words: &[&str]) -> (Status, String, String) {
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let (mut input, today) = (std::io::empty(), jiff::civil::date(2025, 6, day));
        let book_dir = Some(self.path("book"));
        let mut console = Console { book_dir, ..Console::plain(&mut out, &mut err, &mut input, today) };
        let status =
            cli::run(std::iter::once("baybook").chain(words.iter().copied()).map(Into::into), &mut console);
        let text = |bytes| String::from_utf8(bytes).expect("UTF-8");
        (status, text(out), text(err))
    }

    fn must(&self, words: &[&str]) -> String {
        let (status, out, err) = self.run_on(9, words);
        assert_ne!(status, Status::Misuse, "{words:?}\n{out}\n{err}");
        out
    }

    fn json(&self, words: &[&str]) -> Json {
        serde_json::from_str(&self.must(words)).expect("JSON")
    }

    fn load(&self, text: &str) {
        self.ingest(text);
    }

    /// Loads a text; gives what was said.
    fn ingest(&self, text: &str) -> String {
        let path = self.path("in.csv");
        std::fs::write(&path, text).expect("a sheet");
        self.must(&["ingest", &path.display().to_string()])
    }

    /// Everything that the shop knows: the sheet, what contradicts, and some lookups.
    fn everything(&self) -> Vec<String> {
        let asked = ASKED.iter().map(|words| self.must(&["lookup", words, "--json"]));
        let fixed = [self.must(&["export"]), self.must(&["conflicts", "--all", "--json"])];
        fixed
            .into_iter()
            .chain(asked)
            .chain([self.must(&["check", "--json"]).replace(&self.path("").display().to_string(), "")])
            .collect()
    }

    /// Decides something about some conflict; whether that could be.
    fn decide(&self, random: &mut Random) -> bool {
        let list = self.json(&["conflicts", "--all", "--json"]);
        let conflicts: Vec<&str> =
            list.as_array().expect("a list").iter().filter_map(|conflict| conflict["id"].as_str()).collect();
        if conflicts.is_empty() {
            return false;
        }
        let id = random.one_of(&conflicts);
        let action = random.one_of(&[
            "uphold 1",
            "uphold 2",
            "retire 2",
            "split --attribute tow",
            "split --at-year 2017",
            "split --at-year 2017 1=from",
            "split 1",
            "separate",
            "recheck",
            "reopen",
            "narrow 1 --years 2015-2016",
            "narrow 2 --only tow=no",
        ]);
        let day = 1 + i8::try_from(random.below(4)).expect("a day");
        let by = random.one_of(&["R. Okafor", "M. Haugli"]);
        let words: Vec<&str> = ["reconcile", id].into_iter().chain(action.split(' ')).collect();
        let rest = ["--because", "looked again", "--by", by, "--yes", "--even-so"];
        self.run_on(day, &[words.as_slice(), &rest].concat()).0 == Status::Done
    }
}

fn rows(random: &mut Random, count: usize) -> Vec<String> {
    let row = |random: &mut Random| {
        let (scope, seen) = random.one_of(&SEEN);
        let seen = if random.below(4) == 0 { "" } else { seen };
        let scope = if seen.is_empty() { random.one_of(&SCOPES) } else { scope };
        let (claim, basis) =
            (random.one_of(&CLAIMS), random.one_of(&["metered", "fitted", "inspected", "told"]));
        let by = random.one_of(&["R. Okafor", "M. Haugli", "D. Pruett"]);
        let day = 1 + random.below(9);
        format!("Quillon,Tarn,{scope},{claim},{basis},{by},2024-05-{day:02},{seen}")
    };
    (0..count).map(|_| row(random)).collect()
}

fn sheet(rows: &[String]) -> String {
    format!("{HEADER}\n{}\n", rows.join("\n"))
}

#[track_caller]
fn must_be_equal(a: &Shop, b: &Shop, told: &str) {
    for (own, others) in a.everything().iter().zip(b.everything()) {
        let line = own.lines().zip(others.lines()).find(|(own, others)| own != others);
        assert!(*own == others, "{told}: {line:?}\n{own}\n{others}");
        assert!(!own.contains("\"sound\": false"), "{own}");
    }
}

/// Two shops with the same two notes, which contradict each other, exchange what they decided, both ways.
fn exchange(one: &Shop, two: &Shop) -> [String; 2] {
    let (from_one, from_two) = (one.must(&["export"]), two.must(&["export"]));
    let told = [one.ingest(&from_two), two.ingest(&from_one)];
    must_be_equal(one, two, "exchanged");
    told
}

fn state_of(shop: &Shop) -> (Json, Vec<Json>) {
    let list = shop.json(&["conflicts", "--all", "--json"]);
    let found = &list.as_array().expect("a list")[0];
    (found["state"].clone(), found["decisions"].as_array().expect("decisions").clone())
}

fn grade_of(shop: &Shop) -> Json {
    shop.json(&["lookup", "2016 tarn", "--point", "brake-signal", "--json"])["points"][0]["grade"].clone()
}

/// One shop held violet to be right, the other green. Once they exchanged what they decided, all notes were retired: the
/// conflict was called settled, and a lookup said nothing at all.
#[test]
fn decisions_of_two_shops_that_say_the_opposite_do_nothing_until_somebody_decides_anew() {
    let note = |colour: &str, by: &str| {
        format!("Quillon,Tarn,2015-2019,,brake-signal,{colour},,,,,metered,{by},2024-05-01,2016")
    };
    let both = sheet(&[note("VT/WH", "R. Okafor"), note("GN", "M. Haugli")]);
    let (one, two) = (Shop::new(), Shop::new());
    [&one, &two].into_iter().for_each(|shop| shop.load(&both));
    let id = one.json(&["conflicts", "--json"])[0]["id"].as_str().expect("an id").to_owned();
    let decide = |shop: &Shop, day: i8, words: &str, by: &str| {
        let words: Vec<&str> = ["reconcile", &id].into_iter().chain(words.split(' ')).collect();
        let rest = ["--because", "metered again", "--by", by, "--yes"];
        let (status, out, err) = shop.run_on(day, &[words.as_slice(), &rest].concat());
        assert_eq!(status, Status::Done, "{words:?}\n{out}\n{err}");
    };
    decide(&one, 1, "uphold 1", "R. Okafor");
    decide(&two, 2, "uphold 2", "M. Haugli");
    assert_eq!([grade_of(&one), grade_of(&two)], ["backed", "backed"]);

    for told in exchange(&one, &two) {
        assert!(told.contains("is open again"), "{told}");
    }
    let (state, decisions) = state_of(&one);
    assert_eq!((state.as_str(), decisions.len()), (Some("open"), 2));
    for (own, other) in [(0, 1), (1, 0)] {
        let opposed = &decisions[own]["opposed_by"][0];
        assert_eq!(opposed["id"], decisions[other]["id"]);
        assert_eq!((&opposed["by"], &opposed["decided_anew"]), (&decisions[other]["by"], &Json::from(false)));
    }
    assert_eq!(grade_of(&one), "disputed");
    for command in [vec!["conflicts"], vec!["conflicts", &id], vec!["history", &id]] {
        let told = one.must(&command);
        let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
        for part in ["R. Okafor", "M. Haugli", "decided opposite things"] {
            assert!(told.contains(part), "{command:?}: {told}");
        }
    }

    decide(&one, 3, "uphold 1", "D. Pruett");
    let settled = |shop: &Shop, told: &str| {
        assert_eq!((state_of(shop).0, grade_of(shop)), ("settled".into(), "backed".into()), "{told}");
    };
    settled(&one, "decided anew");
    exchange(&one, &two);
    settled(&two, "and the other shop has it, too");
    // Nor does an old one come to life again when the other is taken back.
    for old in &state_of(&two).1[..2] {
        let id = old["id"].as_str().expect("an id");
        let words = ["reconcile", id, "reopen", "--because", "no", "--by", "M. Haugli", "--yes"];
        assert_eq!(two.run_on(4, &words).0, Status::Done);
        settled(&two, "an old one was taken back");
    }
    exchange(&one, &two);
    // All shops of the same pieces have one book, whatever came first.
    let mut pieces = tables(&two.must(&["export"]));
    let decisions = pieces.pop().expect("the decisions");
    let mut rows = decisions.lines();
    let header = rows.next().expect("a header");
    let mut by_decision: std::collections::BTreeMap<&str, String> = std::collections::BTreeMap::new();
    for row in rows {
        let own = by_decision.entry(row.split(',').next().unwrap_or_default());
        *own.or_insert_with(|| format!("{header}\n")) += &format!("{row}\n");
    }
    pieces.extend(by_decision.into_values());
    assert!(pieces.len() > 6, "{pieces:?}");
    for turn in 0..pieces.len() {
        pieces.rotate_left(1);
        let three = Shop::new();
        pieces.iter().for_each(|piece| three.load(piece));
        must_be_equal(&one, &three, &format!("in pieces, turned {turn}"));
    }
}

/// What one shop narrows to some years and the other to others does not leave a note without any.
#[test]
fn narrowings_that_do_not_meet_oppose_each_other() {
    let (one, two) = (Shop::new(), Shop::new());
    let row = "Quillon,Tarn,2015-2019,,brake-signal,GN,,,,,told,M. Haugli,2024-05-01,".to_owned();
    [&one, &two].into_iter().for_each(|shop| shop.load(&sheet(std::slice::from_ref(&row))));
    let id = one.json(&["lookup", "2016 tarn", "--json"])["points"][0]["answers"][0]["notes"][0]
        .as_str()
        .expect("an id")
        .to_owned();
    for (shop, years) in [(&one, "2015-2016"), (&two, "2018-2019")] {
        let words =
            ["reconcile", &id, "narrow", "--years", years, "--because", "seen", "--by", "D. Pruett", "--yes"];
        assert_eq!(shop.run_on(1, &words).0, Status::Done);
    }
    exchange(&one, &two);
    let note = one.json(&["history", &id, "--json"]);
    assert_eq!(
        (&note["standing"], note["decisions"][0]["opposed_by"].as_array().map(Vec::len)),
        (&"stands".into(), Some(1))
    );
    // Whoever takes one back lets the other one count.
    let old = note["decisions"][0]["id"].as_str().expect("an id");
    assert_eq!(
        one.run_on(2, &["reconcile", old, "reopen", "--because", "no", "--by", "D. Pruett", "--yes"]).0,
        Status::Done
    );
    exchange(&one, &two);
    assert_eq!(two.json(&["history", &id, "--json"])["standing"], "narrowed");
}

/// One shop retired a note as another truck's, the other narrowed it. Once they exchanged, it held again for all that it
/// claims, and nothing but its history said why.
#[test]
fn a_note_of_which_decisions_say_the_opposite_says_so_where_it_holds_again() {
    let (one, two) = (Shop::new(), Shop::new());
    let row = "Quillon,Tarn,2015-2019,,brake-signal,GN,,,,,metered,M. Haugli,2024-05-01,2018".to_owned();
    [&one, &two].into_iter().for_each(|shop| shop.load(&sheet(std::slice::from_ref(&row))));
    let id = one.json(&["export", "--json"])[0]["id"].as_str().expect("an id").to_owned();
    let decide = |shop: &Shop, words: &str, by: &str| {
        let words: Vec<&str> = ["reconcile", &id].into_iter().chain(words.split(' ')).collect();
        let rest = ["--because", "looked", "--by", by, "--yes"];
        assert_eq!(shop.run_on(1, &[words.as_slice(), &rest].concat()).0, Status::Done);
    };
    decide(&one, "retire", "C. Yorke");
    decide(&two, "narrow --years 2018", "B. Ode");
    let lookup = ["lookup", "2016 tarn", "--point", "brake-signal"];
    let gaps = ["gaps", "2016 tarn", "--point", "brake-signal"];
    assert!(!one.must(&lookup).contains("the opposite"));
    let told = exchange(&one, &two);
    let short = &id[..8];
    let about = format!("Two decisions about {short} say the opposite, and neither counts: ");
    let anew = format!("; decide anew with `baybook reconcile {short}`.");
    let flat = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let conflicts = ["conflicts", &id];
    let card = one.must(&["jobcard", "2016 tarn", "--job", "brake-control"]);
    for told in told.into_iter().chain([one.must(&lookup), two.must(&conflicts), card]).map(flat) {
        for part in [&about, &anew, " of C. Yorke", " of B. Ode"] {
            assert!(told.contains(part), "{part}: {told}");
        }
    }
    let gap = flat(one.must(&gaps));
    assert!(gap.contains(&format!("decisions say the opposite about {short}")), "{gap}");
    let with_json = |words: &[&str]| one.json(&[words, &["--json"]].concat());
    let opposed = &with_json(&lookup)["points"][0]["opposed"];
    assert_eq!(
        (&opposed[0]["notes"][0], opposed[0]["decisions"].as_array().map(Vec::len)),
        (&short.into(), Some(2))
    );
    assert_eq!(with_json(&gaps)[0]["opposed"][0], short);
    let listed = with_json(&conflicts);
    assert_eq!((&listed[0]["kind"], &listed[0]["point"]), (&"opposed".into(), &"brake-signal".into()));
    // A vehicle that the note does not take in has nothing to do with it.
    assert!(!one.must(&["lookup", "2021 tarn", "--point", "brake-signal"]).contains("the opposite"));
    decide(&one, "retire", "C. Yorke");
    for words in [lookup.as_slice(), &gaps, &conflicts] {
        assert!(!one.must(words).contains("the opposite"), "{words:?}");
    }
}

const ROUNDS: usize = 25;

#[test]
fn two_shops_that_exchange_end_up_with_the_same_book() {
    let mut random = Random(41);
    let (mut decided, mut settled, mut opposed) = (0, 0, 0);
    for round in 0..ROUNDS {
        let (one, two) = (Shop::new(), Shop::new());
        let common = rows(&mut random, 6);
        for shop in [&one, &two] {
            shop.load(&sheet(&common));
            let own = rows(&mut random, 5);
            shop.load(&sheet(&own));
            decided += (0..3).filter(|_| shop.decide(&mut random)).count();
            // Notes that come after a decision, and decisions after them.
            shop.load(&sheet(&rows(&mut random, 3)));
            decided += (0..2).filter(|_| shop.decide(&mut random)).count();
        }
        let (from_one, from_two) = (one.must(&["export"]), two.must(&["export"]));
        two.load(&from_one);
        one.load(&from_two);
        must_be_equal(&one, &two, &format!("round {round}, exchanged"));
        // A third makes its book of the same pieces in another order, decisions before their notes.
        let three = Shop::new();
        let mut pieces: Vec<String> = [from_one, from_two].iter().flat_map(|text| tables(text)).collect();
        for at in (1..pieces.len()).rev() {
            pieces.swap(at, random.below(at + 1));
        }
        pieces.iter().for_each(|piece| three.load(piece));
        must_be_equal(&one, &three, &format!("round {round}, in pieces"));
        // And they go on: what one decides now, the other has after the next exchange.
        decided += (0..2).filter(|_| one.decide(&mut random)).count();
        two.load(&one.must(&["export"]));
        must_be_equal(&one, &two, &format!("round {round}, exchanged again"));
        let list = one.json(&["conflicts", "--state", "settled", "--json"]);
        settled += list.as_array().map_or(0, Vec::len);
        let told = one.must(&["conflicts", "--all", "--json"]);
        opposed += usize::from(told.contains("\"decided_anew\""));
    }
    assert!(decided > 4 * ROUNDS && settled > ROUNDS / 2, "{decided} decisions, {settled} settled conflicts");
    assert!(opposed > 3, "decisions opposed each other in {opposed} rounds");
}

/// The tables of an export, each as a file of its own: the notes in two halves, the decisions.
fn tables(text: &str) -> Vec<String> {
    let (notes, decisions) =
        text.split_once("\n\n").map_or((text, None), |(notes, rest)| (notes, Some(rest)));
    let lines: Vec<&str> = notes.lines().collect();
    let half = 1 + (lines.len() - 1) / 2;
    let piece = |rows: &[&str]| format!("{}\n{}\n", lines[0], rows.join("\n"));
    [piece(&lines[1..half]), piece(&lines[half..])].into_iter().chain(decisions.map(str::to_owned)).collect()
}
