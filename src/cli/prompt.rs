//! Questions on a terminal: one of several, a line of text, yes or no. Behind a trait, so that a test can answer.
//! What is asked, the commands know.

use std::io;

use dialoguer::theme::SimpleTheme;

use crate::show::page::harmless;

/// Somebody who answers questions.
pub trait Prompts {
    /// Which of these; `None` where the person would rather not.
    ///
    /// # Errors
    /// The terminal is gone.
    fn choose(&mut self, question: &str, options: &[String]) -> io::Result<Option<usize>>;

    /// A line of text; empty where nothing was written.
    ///
    /// # Errors
    /// The terminal is gone.
    fn text(&mut self, question: &str, offered: &str) -> io::Result<String>;

    /// Yes or no.
    ///
    /// # Errors
    /// The terminal is gone.
    fn confirm(&mut self, question: &str) -> io::Result<bool>;
}

/// Whoever sits at the terminal.
#[derive(Debug)]
pub struct Terminal;

impl Prompts for Terminal {
    fn choose(&mut self, question: &str, options: &[String]) -> io::Result<Option<usize>> {
        let shown: Vec<_> = options.iter().map(|option| harmless(option)).collect();
        dialoguer::Select::with_theme(&SimpleTheme)
            .with_prompt(harmless(question))
            .items(&shown)
            .default(0)
            .interact_opt()
            .map_err(plain)
    }

    fn text(&mut self, question: &str, offered: &str) -> io::Result<String> {
        let input =
            dialoguer::Input::with_theme(&SimpleTheme).with_prompt(harmless(question)).allow_empty(true);
        let input = if offered.is_empty() { input } else { input.default(offered.to_owned()) };
        input.interact_text().map_err(plain)
    }

    fn confirm(&mut self, question: &str) -> io::Result<bool> {
        dialoguer::Confirm::with_theme(&SimpleTheme)
            .with_prompt(harmless(question))
            .default(false)
            .interact()
            .map_err(plain)
    }
}

fn plain(error: dialoguer::Error) -> io::Error {
    let dialoguer::Error::IO(error) = error;
    error
}
