//! Parses, runs, reports, exits. Everything else is in the library.

use std::io::{self, BufWriter, IsTerminal};
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::SystemTime;

use baybook::cli::{self, Console, Terminal};
use baybook::note::date_of;

fn main() -> ExitCode {
    let plain = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    let (out, err) = (io::stdout(), io::stderr());
    let terminal = out.is_terminal();
    let (colour, lively) = (terminal && !plain, err.is_terminal() && !plain);
    let mut out = BufWriter::new(out.lock());
    let mut err = err.lock();
    // Not locked: questions on the terminal are answered through it, too.
    let mut input = io::stdin();
    let asks = input.is_terminal() && err.is_terminal();
    let mut prompts = Terminal;
    let mut console = Console {
        out: &mut out,
        err: &mut err,
        input: &mut input,
        width: width(),
        terminal,
        colour,
        lively,
        today: today(),
        hand: hand(),
        prompts: if asks { Some(&mut prompts) } else { None },
        book_dir: std::env::var_os("BAYBOOK_DIR").filter(|dir| !dir.is_empty()).map(PathBuf::from),
        json: false,
    };
    ExitCode::from(cli::run(std::env::args_os(), &mut console).code())
}

/// Who works here: `BAYBOOK_BY`, else the name of whoever is logged in.
fn hand() -> Option<String> {
    let told = ["BAYBOOK_BY", "USER", "LOGNAME"].into_iter().filter_map(|name| std::env::var(name).ok());
    told.into_iter().find(|name| !name.trim().is_empty())
}

/// The columns of the terminal, 80 where there is none.
fn width() -> usize {
    terminal_size::terminal_size().map_or(80, |(width, _)| usize::from(width.0))
}

/// The day; `BAYBOOK_TODAY` sets it, so that a test or a demonstration does not depend on when it runs.
fn today() -> jiff::civil::Date {
    let told = std::env::var("BAYBOOK_TODAY").ok().and_then(|text| text.parse().ok());
    let since_epoch = SystemTime::now().duration_since(SystemTime::UNIX_EPOCH).unwrap_or_default();
    told.unwrap_or_else(|| date_of(i32::try_from(since_epoch.as_secs() / 86_400).unwrap_or_default()))
}
