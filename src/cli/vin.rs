//! `vin`: what a vehicle identification number says.

use serde_json::json;

use super::console::{Console, Failure, Status};
use super::vehicle;
use crate::show::page::{Label, listed};
use crate::vehicle::CheckDigit;

/// What a vehicle identification number says: check digit, model year, manufacturer identifier
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The number, 17 characters
    #[arg(value_name = "VIN")]
    number: String,
    /// The vehicle is a passenger car, or a truck or multipurpose vehicle of at most 4536 kg (10,000 lb)
    #[arg(long, conflicts_with = "heavy")]
    light: bool,
    /// The vehicle is heavier, a trailer, a bus or a motorcycle: its year stays ambiguous
    #[arg(long)]
    heavy: bool,
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let vin = vehicle::vin(console, &args.number)?;
    let light = if args.light {
        Some(true)
    } else if args.heavy {
        Some(false)
    } else {
        None
    };
    let years = vin.model_year(light).candidates();
    let right = vin.check_digit() == CheckDigit::Right;
    let computed = match vin.check_digit() {
        CheckDigit::Right => args.number.trim().chars().nth(8).map(|c| c.to_ascii_uppercase()),
        CheckDigit::Wrong { computed } => Some(computed),
    };
    if console.json {
        console.print_json(&json!({
            "pattern": vin.pattern().to_string(),
            "check_digit": { "right": right, "computed": computed, "mandatory": vin.mandatory() },
            "model_years": years,
            "manufacturer": vin.manufacturer_identifier(),
        }))?;
        return Ok(Status::Done);
    }
    let told: Vec<String> = years.iter().map(ToString::to_string).collect();
    let year = match told.as_slice() {
        [] => "position 10 is no code of a model year".to_owned(),
        [one] => one.clone(),
        several => format!("{}; say --light or --heavy, or look at the vehicle", listed(several, "or")),
    };
    let digit = computed.map(String::from).unwrap_or_default();
    let check = if right { format!("{digit}, right") } else { format!("wrong, {digit} would be right") };
    let mut page = console.page();
    page.paragraph(0, &[(Label::Plain, "Check digit:             "), (Label::Value, &check)]);
    page.paragraph(0, &[(Label::Plain, "Model year:              "), (Label::Value, &year)]);
    page.paragraph(
        0,
        &[(Label::Plain, "Manufacturer identifier: "), (Label::Value, &vin.manufacturer_identifier())],
    );
    page.paragraph(
        0,
        &[(Label::Plain, "Kept in a book:          "), (Label::Value, &vin.pattern().to_string())],
    );
    console.print(page)?;
    Ok(Status::Done)
}
