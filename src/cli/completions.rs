//! `completions` and `man`: what a shell and a reader of manuals want.

use std::io::Write;

use super::console::{Console, Failure, Status};

/// Print the completions for a shell
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The shell
    shell: clap_complete::Shell,
}

/// Print the manual page (roff); `baybook man | man -l -` reads it
#[derive(Debug, clap::Args)]
pub struct ManArgs {}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut super::command(), "baybook", &mut script);
    console.out.write_all(&script)?;
    Ok(Status::Done)
}

pub(super) fn man(_: &ManArgs, console: &mut Console<'_>) -> Result<Status, Failure> {
    let mut page = Vec::new();
    let command = super::command();
    clap_mangen::Man::new(command.clone()).render(&mut page)?;
    for sub in command.get_subcommands() {
        writeln!(page, ".SH {}", sub.get_name().to_uppercase())?;
        let man = clap_mangen::Man::new(sub.clone());
        man.render_synopsis_section(&mut page)?;
        man.render_description_section(&mut page)?;
        man.render_options_section(&mut page)?;
    }
    console.out.write_all(&page)?;
    Ok(Status::Done)
}
