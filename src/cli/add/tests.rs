//! The questions with somebody who answers from a list.

use std::collections::VecDeque;

use super::form::{Described, Form};
use super::questions::fill;
use crate::book::Book;
use crate::cli::console::{Console, Failure};
use crate::cli::prompt::{Prompts, Question};
use crate::intake::Column;
use crate::language::Language;
use crate::value::place::DriveSide;

/// Answers in a row; what the check refuses is told, and the next answer is given to the same question.
struct Scripted {
    answers: VecDeque<&'static str>,
    told: Vec<String>,
}

impl Prompts for Scripted {
    fn choose(&mut self, question: &str, _: &[String]) -> Result<Option<usize>, Failure> {
        Err(Failure::misuse(format!("nothing is chosen from a list here: {question}")))
    }

    fn line(
        &mut self,
        question: &Question,
        check: &dyn Fn(&str) -> Result<(), String>,
    ) -> Result<String, Failure> {
        let name = question.prompt.split(" (").next().unwrap_or_default();
        loop {
            let given = self.answers.pop_front().ok_or_else(|| Failure::misuse("no more answers"))?;
            let answer = if given.is_empty() { question.default.as_str() } else { given };
            match check(answer) {
                Ok(()) if question.optional || !answer.is_empty() => {
                    self.told.push(format!("{name}: {answer}"));
                    return Ok(answer.to_owned());
                }
                Ok(()) => self.told.push(format!("{name} again")),
                Err(message) => self.told.push(format!("{name} again, {message}")),
            }
        }
    }

    fn yes(&mut self, text: &str, usual: bool) -> Result<bool, Failure> {
        self.told.push(text.to_owned());
        Ok(self.answers.pop_front().map_or(usual, |given| given == "y"))
    }
}

/// What was asked and answered, line by line, in an empty book.
fn check(given: &[(Column, &str)], answers: &[&'static str], expected: &[&str]) {
    let dir = tempfile::tempdir().expect("a folder");
    let today = jiff::civil::date(2025, 6, 1);
    let language = Language::new(None, DriveSide::Lhd, today).expect("the built-in language");
    let book = Book::open(dir.path(), &language).expect("an empty book");
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let mut input = std::io::empty();
    let mut console = Console {
        terminal: true,
        hand: Some("R. Okafor".to_owned()),
        ..Console::plain(&mut out, &mut err, &mut input, today)
    };
    let mut form = Form::default();
    given.iter().for_each(|(column, text)| form.set(*column, text));
    let mut asker = Scripted { answers: answers.iter().copied().collect(), told: Vec::new() };
    fill(&mut form, &mut Described::default(), &mut console, &language, &book, &mut asker)
        .expect("the questions come to an end");
    assert_eq!(asker.told, expected);
    assert!(asker.answers.is_empty(), "not asked for: {:?}", asker.answers);
    assert_eq!(form.trouble(&language, Column::Seen), None);
}

#[test]
fn what_is_missing_is_asked_and_what_is_wrong_is_asked_again() {
    let asked = [
        "Vehicle: 2016 Quillon Tarn crew",
        "The book has no model called 'Quillon Tarn'. Is it new?",
        "Maker: Quillon",
        "Model: Tarn",
        "Point: firewall pass",
        "at: above the hood release",
        "hole again, “1-3/8” has no unit; a length is written with its unit, mm, cm, m, in or ft",
        "hole: 35 mm",
        "grommet: none",
        "More, as FIELD=VALUE again, write a field, = and its value, or nothing",
        "More, as FIELD=VALUE again, firewall-pass has no field 'colour'",
        "More, as FIELD=VALUE: tool=hole saw",
        "More, as FIELD=VALUE: ",
        "How do you know: fitted",
        "Who says so: R. Okafor",
        "On which day: 2025-06-01",
        "On which vehicle: 2016; cab=crew",
        "Claimed for the model years again, \"2019-2015\" is reversed; write 2015-2019 if that is meant",
        "Claimed for the model years: 2015-2019",
        "Claimed only for: ",
        "Remark: edge painted",
    ];
    check(
        &[],
        &[
            "2016 Quillon Tarn crew",
            "y",
            "",
            "",
            "firewall pass",
            "above the hood release",
            "1-3/8",
            "35 mm",
            "none",
            "saw",
            "colour=red",
            "tool=hole saw",
            "",
            "fitted",
            "",
            "",
            "",
            "2019-2015",
            "2015-2019",
            "",
            "edge painted",
        ],
        &asked,
    );
}

#[test]
fn what_is_given_is_not_asked() {
    check(
        &[
            (Column::Make, "Quillon"),
            (Column::Model, "Tarn"),
            (Column::Years, "2015-2019"),
            (Column::Point, "labour"),
            (Column::By, "R. Okafor"),
            (Column::On, "2024-03-11"),
            (Column::Seen, "2016"),
            (Column::Only, "tow=yes"),
            (Column::Remark, "alone"),
        ],
        &["brake control", "1:30", "", "metered"],
        &["job: brake control", "minutes: 1:30", "More, as FIELD=VALUE: ", "How do you know: metered"],
    );
}
