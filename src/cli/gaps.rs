//! `gaps`: which vehicles lack which points, the most useful first.

use super::console::{Console, Failure, Status};
use super::jobs::named as job;
use super::lookup::point;
use super::vehicle::{Meant, model};
use crate::gaps::{Wanted, find};
use crate::note::day_of;
use crate::show::gaps as view;
use crate::show::page::Label;
use crate::vehicle::Vehicle;

/// Gaps that are shown where not all are asked for.
const SHOWN: usize = 20;

/// What the book lacks: points that are blank, thin, disputed or to be rechecked, the most useful first
///
/// A gap stands the earlier, the more often and the later vehicles of its years were here, and the more notes the
/// book has on its point. With words only that vehicle, of one year or of all that notes name; with --point only
/// these points; with --job those that the job needs, and behind them those that help.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Words for a vehicle; the whole book where there are none
    #[arg(value_name = "VEHICLE")]
    words: Vec<String>,
    /// Only this point; may be given several times
    #[arg(long, short, value_name = "POINT")]
    point: Vec<String>,
    /// What is to be fitted: `baybook jobs` lists the jobs, `baybook jobs JOB` what each needs to know
    #[arg(long, short, value_name = "JOB", conflicts_with = "point")]
    job: Option<String>,
    /// All gaps, not only the first twenty
    #[arg(long)]
    all: bool,
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let asked =
        args.point.iter().map(|text| point(&language.catalogue, text)).collect::<Result<Vec<_>, _>>()?;
    let jobs = console.jobs(&language)?;
    let job = args.job.as_deref().map(|words| job(&jobs, words)).transpose()?;
    let book = console.book(&language)?;
    let _still = book.snapshot()?;
    let mut demand = book.demand(day_of(language.today))?;
    let vehicle = match model(console, &book, &language, &args.words)? {
        Some(Meant::No(status)) => return Ok(status),
        Some(Meant::One(meant)) => {
            demand.retain(|one| one.model == meant.model.id);
            meant.vehicle
        }
        None => Vehicle::default(),
    };
    if demand.is_empty() {
        console.notice(Label::Alarm, "nothing found: ", "the book has no notes")?;
        return Ok(Status::Nothing);
    }
    let wanted = job.map_or_else(|| Wanted::new(&book, &language, &asked), |job| Ok(Wanted::for_job(job)))?;
    let most = if args.all || console.json { usize::MAX } else { SHOWN };
    // One more than is shown tells whether there are more.
    let mut gaps = find(&book, &language, &demand, &vehicle, &wanted, most.saturating_add(1))?;
    let shown = book.shown_characters()?;
    if console.json {
        console.print_json(&view::to_json(&language, &gaps, shown))?;
        return Ok(Status::Done);
    }
    let more = gaps.len() > most;
    gaps.truncate(most);
    let mut page = console.page();
    view::list(&mut page, &language, &gaps, shown);
    console.print(page)?;
    match (gaps.is_empty(), more) {
        (true, _) => console.notice(Label::Aside, "", "nothing is lacking")?,
        (false, true) => console.notice(Label::Aside, "", "there are more; --all shows them")?,
        (false, false) => {}
    }
    Ok(Status::Done)
}
