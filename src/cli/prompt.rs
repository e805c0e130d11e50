//! Questions on a terminal: a line of text, with completion and checked at once, or yes or no. Behind a trait, so that
//! a test can answer.

use std::io;

use dialoguer::Completion;
use dialoguer::theme::SimpleTheme;

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
    /// A line of text, asked for until `check` has nothing against it.
    ///
    /// # Errors
    /// The terminal is gone.
    fn line(&mut self, question: &Question, check: &dyn Fn(&str) -> Result<(), String>)
    -> io::Result<String>;

    /// Yes or no; `usual` is what an empty answer means.
    ///
    /// # Errors
    /// The terminal is gone.
    fn yes(&mut self, question: &str, usual: bool) -> io::Result<bool>;
}

/// Whoever sits at the terminal.
#[derive(Debug)]
pub struct Terminal;

impl Prompts for Terminal {
    fn line(
        &mut self,
        question: &Question,
        check: &dyn Fn(&str) -> Result<(), String>,
    ) -> io::Result<String> {
        let known = Known(question.known.iter().map(|text| harmless(text).into_owned()).collect());
        let input = dialoguer::Input::<String>::with_theme(&SimpleTheme)
            .with_prompt(harmless(&question.prompt))
            .allow_empty(question.optional)
            .completion_with(&known)
            .validate_with(|text: &String| check(text).map_err(|message| harmless(&message).into_owned()));
        let offered = harmless(&question.default).into_owned();
        let input = if offered.is_empty() { input } else { input.default(offered) };
        input.interact_text().map_err(plain)
    }

    fn yes(&mut self, question: &str, usual: bool) -> io::Result<bool> {
        dialoguer::Confirm::with_theme(&SimpleTheme)
            .with_prompt(harmless(question))
            .default(usual)
            .interact()
            .map_err(plain)
    }
}

fn plain(error: dialoguer::Error) -> io::Error {
    let dialoguer::Error::IO(error) = error;
    error
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
