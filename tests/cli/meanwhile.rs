//! Two processes with one book: what one writes while the other asks whether it may write is noticed, and nothing is
//! stored of which something else was shown.

use std::path::{Path, PathBuf};

use baybook::cli::{self, Console, Failure, Prompts, Question, Status};

use crate::harness::Shop;

const HEAD: &str = "make,model,years,point,colour,basis,by,on,seen\n";

/// Says yes to everything; while the first question waits, somebody else loads a sheet.
struct Slow {
    book: PathBuf,
    sheet: Option<PathBuf>,
    asked: Vec<String>,
}

fn run(book: &Path, line: &[&str], mut slow: Option<&mut Slow>) -> (Status, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let mut input = std::io::empty();
    let today = jiff::civil::date(2025, 6, 1);
    let book_dir = Some(book.to_owned());
    let prompts = slow.as_mut().map(|slow| &mut **slow as &mut dyn Prompts);
    let mut console = Console { book_dir, prompts, ..Console::plain(&mut out, &mut err, &mut input, today) };
    let status =
        cli::run(std::iter::once("baybook").chain(line.iter().copied()).map(Into::into), &mut console);
    let text = |bytes| String::from_utf8(bytes).expect("UTF-8");
    (status, text(out), text(err))
}

impl Prompts for Slow {
    fn choose(&mut self, question: &str, _: &[String]) -> Result<Option<usize>, Failure> {
        Err(Failure::misuse(format!("not to be asked: {question}")))
    }

    fn line(
        &mut self,
        question: &Question,
        _: &dyn Fn(&str) -> Result<(), String>,
    ) -> Result<String, Failure> {
        Err(Failure::misuse(format!("not to be asked: {}", question.prompt)))
    }

    fn yes(&mut self, question: &str, _: bool) -> Result<bool, Failure> {
        self.asked.push(question.to_owned());
        if let Some(sheet) = self.sheet.take() {
            let (status, _, told) = run(&self.book, &["ingest", &sheet.display().to_string()], None);
            assert_eq!(status, Status::Done, "{told}");
        }
        Ok(true)
    }
}

fn shop() -> (Shop, Slow) {
    let shop =
        Shop::with(&[&format!("{HEAD}Quillon,Tarn,2015-2019,horn,BN,metered,R. Okafor,2024-03-11,2016\n")]);
    shop.write(
        "more.csv",
        format!("{HEAD}Quillon,Tarn,2015-2019,brake-signal,GN,metered,M. Haugli,2024-03-11,2016\n"),
    );
    let book = shop.path("book");
    let slow = Slow { book, sheet: Some(shop.path("more.csv")), asked: Vec::new() };
    (shop, slow)
}

#[test]
fn a_note_is_shown_anew_where_another_came_in_before_it_was_stored() {
    let (shop, mut slow) = shop();
    let book = slow.book.clone();
    let line = "add,2016,quillon,tarn,-p,brake-signal,colour=VT/WH,--basis,metered,--by,D. Pruett,--on,2024-05-01,--seen,2016,--years,2016";
    let words: Vec<&str> = line.split(',').collect();
    let (status, out, err) = run(&book, &words, Some(&mut slow));
    assert_eq!(status, Status::Done, "{out}\n{err}");
    assert_eq!(slow.asked, ["Store it?", "Store it?"]);
    assert!(err.contains("another process wrote about this model meanwhile"), "{err}");
    // It was shown twice, and only the second time there was something to contradict.
    assert_eq!(
        out.matches("on a 2016 the grade goes").count() + out.matches("On a 2016 the grade goes").count(),
        2,
        "{out}"
    );
    assert_eq!(out.matches("ontradicts").count(), 1, "{out}");
    assert!(out.contains("Stored as n-"), "{out}");
    shop.run("check").must_be(0);
}

/// A decision of which something else was shown is not written at all.
#[test]
fn a_decision_is_refused_where_a_note_came_in_before_it_was_written() {
    let (shop, mut slow) = shop();
    shop.write("violet.csv", format!("{HEAD}Quillon,Tarn,2016,horn,GN,metered,M. Haugli,2024-03-11,2016\n"));
    shop.run("ingest violet.csv").must_be(0);
    let id = shop.run("conflicts --json").json()[0]["id"].as_str().expect("an id").to_owned();
    let book = slow.book.clone();
    let words = ["reconcile", &id, "uphold", "1", "--because", "metered", "--by", "D. Pruett"];
    let (status, out, err) = run(&book, &words, Some(&mut slow));
    assert_eq!(
        (status, slow.asked.as_slice()),
        (Status::Misuse, ["Write this decision?".to_owned()].as_slice())
    );
    assert!(!out.contains("Decided: "), "{out}");
    let err = err.split_whitespace().collect::<Vec<_>>().join(" ");
    let told = "another process wrote about this model meanwhile: n-";
    assert!(err.contains(told) && err.contains(" of M. Haugli (brake signal); nothing was written"), "{err}");
    assert_eq!(shop.run("conflicts --json").json()[0]["decisions"], serde_json::json!([]));
}
