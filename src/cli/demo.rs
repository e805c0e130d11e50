//! `demo`: the whole story on invented notes, in a book that is thrown away.
use super::console::{Console, Failure, Status};
/// The whole story on invented notes, in a book that is thrown away
#[derive(Debug, clap::Args)]
pub struct Args {}
pub(super) fn run(_: &Args, _: &mut Console<'_>) -> Result<Status, Failure> { Ok(Status::Done) }
