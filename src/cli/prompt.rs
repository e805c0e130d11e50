//! Questions on a terminal: one of several, a line of text with completion, yes or no. Behind a trait, so that a test
//! can answer. How a question looks is the library's business, what is asked the commands'.

use dialoguer::theme::SimpleTheme;
use dialoguer::{Completion, Confirm, Input, Select};

use super::console::Failure;
use crate::show::page::harmless;

/// One question.
#[derive(Debug, Clone, Default)]
pub struct Question {
    /// What is asked.
    pub prompt: String,
    /// What an empty answer means; nothing where it means none.
    pub default: String,
    /// What can be completed.
    pub known: Vec<String>,
    /// Whether there may be no answer.
    pub optional: bool,
}

/// Somebody who answers questions.
pub trait Prompts {
    /// Which of these; `None` where the person would rather not.
    ///
    /// # Errors
    /// Nobody answers, or the questions were broken off.
    fn choose(&mut self, question: &str, options: &[String]) -> Result<Option<usize>, Failure>;

    /// A line of text; it is asked for until `check` has nothing against it.
    ///
    /// # Errors
    /// As for `choose`.
    fn line(
        &mut self,
        question: &Question,
        check: &dyn Fn(&str) -> Result<(), String>,
    ) -> Result<String, Failure>;

    /// Yes or no; `usual` is what an empty answer means.
    ///
    /// # Errors
    /// As for `choose`.
    fn yes(&mut self, question: &str, usual: bool) -> Result<bool, Failure>;
}

/// Whoever sits at the terminal.
#[derive(Debug)]
pub struct Terminal;

impl Prompts for Terminal {
    fn choose(&mut self, question: &str, options: &[String]) -> Result<Option<usize>, Failure> {
        let shown: Vec<_> = options.iter().map(|option| harmless(option)).collect();
        // Nothing is chosen to begin with: figures that somebody types are not taken, and Enter behind them must not choose.
        let prompt = format!("{} (arrow keys, then Enter; Esc leaves it)", harmless(question));
        let asked = Select::with_theme(&SimpleTheme).with_prompt(prompt).items(&shown);
        asked.interact_opt().map_err(|error| broken_off(&error))
    }

    fn line(
        &mut self,
        question: &Question,
        check: &dyn Fn(&str) -> Result<(), String>,
    ) -> Result<String, Failure> {
        let known = Known(question.known.iter().map(|text| harmless(text).into_owned()).collect());
        let mut input = Input::<String>::with_theme(&SimpleTheme)
            .with_prompt(harmless(&question.prompt))
            .allow_empty(question.optional)
            .completion_with(&known)
            .validate_with(|text: &String| check(text).map_err(|message| harmless(&message).into_owned()));
        if !question.default.is_empty() {
            input = input.default(harmless(&question.default).into_owned());
        }
        input.interact_text().map_err(|error| broken_off(&error))
    }

    fn yes(&mut self, question: &str, usual: bool) -> Result<bool, Failure> {
        let asked = Confirm::with_theme(&SimpleTheme).with_prompt(harmless(question)).default(usual);
        asked.interact().map_err(|error| broken_off(&error))
    }
}

fn broken_off(_: &dialoguer::Error) -> Failure {
    Failure::misuse("the questions were broken off; nothing was stored")
}

/// Completes the words at the end of what is typed.
struct Known(Vec<String>);

impl Completion for Known {
    fn get(&self, input: &str) -> Option<String> {
        let starts = input.char_indices().filter(|(at, _)| *at == 0 || input[..*at].ends_with(' '));
        starts.map(|(at, _)| at).find_map(|at| {
            let typed = input[at..].to_lowercase();
            let fits = |text: &&String| !typed.is_empty() && text.to_lowercase().starts_with(&typed);
            let common = shared(self.0.iter().filter(fits).map(String::as_str))?;
            (common.len() > typed.len()).then(|| format!("{}{common}", &input[..at]))
        })
    }
}

/// What all texts begin with.
fn shared<'t>(mut texts: impl Iterator<Item = &'t str>) -> Option<String> {
    let first: Vec<char> = texts.next()?.chars().collect();
    let mut length = first.len();
    for text in texts {
        let alike = first.iter().zip(text.chars()).take_while(|(a, b)| a.eq_ignore_ascii_case(b)).count();
        length = length.min(alike);
    }
    Some(first[..length].iter().collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_words_are_completed() {
        let known = Known(["Quillon Tarn", "Tarn", "Quillon Tern", "cab="].map(str::to_owned).to_vec());
        for (typed, expected) in [
            ("qu", Some("Quillon T")),
            ("2016 quillon ta", Some("2016 Quillon Tarn")),
            ("2016 ta", Some("2016 Tarn")),
            ("2016 tarn c", Some("2016 tarn cab=")),
            ("2016 tarn ", None),
            ("tarn", None),
            ("zz", None),
            ("", None),
        ] {
            assert_eq!(known.get(typed).as_deref(), expected, "{typed:?}");
        }
    }
}
