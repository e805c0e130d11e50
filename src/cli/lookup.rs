//! `lookup`: what is known of one vehicle.

use super::console::{Console, Failure, Status};
use super::vehicle::{Meant, find};
use crate::ask::{Detail, ask};
use crate::catalogue::Catalogue;
use crate::show::{answer_json, answers};

/// What the grades mean, for the help.
const GRADES: &str = "\
Grades:
  proven    two or more observations on vehicles like this, one metered or fitted
  backed    one observation on a vehicle like this, or a wiring diagram
  between   seen the same on an earlier and a later year, three years apart at most
  thin      claimed for this vehicle, but seen only on others, or only told
  disputed  an open conflict touches this vehicle: meter before you cut
  blank     nothing is known";

/// What is known of one vehicle, point by point, each with its grade
///
/// Words in any order: `baybook lookup 2016 quillon tarn crew`. The model year has two or four digits;
/// attributes are cab, tow package, trim, engine and the like, or `name=value`.
#[derive(Debug, clap::Args)]
#[command(after_help = GRADES)]
pub struct Args {
    /// Year, maker, model and what else is known of the vehicle
    #[arg(value_name = "VEHICLE", required_unless_present = "vin")]
    words: Vec<String>,
    /// The vehicle identification number: gives the year, and the model where earlier notes taught it
    #[arg(long, value_name = "VIN")]
    vin: Option<String>,
    /// Only this point; may be given several times
    #[arg(long, short, value_name = "POINT")]
    point: Vec<String>,
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let wanted =
        args.point.iter().map(|text| point(&language.catalogue, text)).collect::<Result<Vec<_>, _>>()?;
    let book = console.book(&language)?;
    let _still = book.snapshot()?;
    let asked = match find(console, &book, &language, &args.words, args.vin.as_deref())? {
        Meant::One(asked) => asked,
        Meant::No(status) => return Ok(status),
    };
    let detail = if console.json { Detail::Values } else { Detail::Remarks };
    let found = ask(&book, &language, asked.model, asked.vehicle, detail, |point| {
        wanted.is_empty() || wanted.contains(&point)
    })?;
    if console.json {
        console.print_json(&answer_json::to_json(&language, &found, &asked.not_understood))?;
    } else {
        let mut page = console.page();
        answers::cards(&mut page, &language, &found);
        console.print(page)?;
    }
    let known = found.points.iter().any(|point| !point.judged.answers.is_empty());
    Ok(if known { Status::Done } else { Status::Nothing })
}

/// The point that a person named.
///
/// # Errors
/// The catalogue has none of that name.
pub(super) fn point(catalogue: &Catalogue, text: &str) -> Result<usize, Failure> {
    catalogue.point_by_words(text).ok_or_else(|| {
        Failure::hinted(format!("'{text}' is no point of the catalogue"), catalogue.hint(text))
    })
}
