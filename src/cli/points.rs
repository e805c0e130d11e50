//! `points`: the catalogue.

use super::console::{Console, Failure, Status};
use super::lookup::point;
use crate::show::points as view;

/// The catalogue: the kinds of things worth knowing on a vehicle
#[derive(Debug, clap::Args)]
pub struct Args {
    /// One point, with its fields, its meter check and its cautions
    #[arg(value_name = "POINT")]
    words: Vec<String>,
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let catalogue = &language.catalogue;
    let only = if args.words.is_empty() {
        None
    } else {
        Some(&catalogue.points[point(catalogue, &args.words.join(" "))?])
    };
    if console.json {
        console.print_json(&view::to_json(catalogue, only))?;
        return Ok(Status::Done);
    }
    let mut page = console.page();
    match only {
        Some(point) => view::one(&mut page, catalogue, point),
        None => view::list(&mut page, catalogue),
    }
    console.print(page)?;
    Ok(Status::Done)
}
