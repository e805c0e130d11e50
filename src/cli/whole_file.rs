//! A file that a command writes: all of it or nothing, so that a full disk leaves no half of one.

use std::fs::File;
use std::io::{BufWriter, IntoInnerError, Read as _, Write};
use std::path::Path;

use super::console::Failure;

/// What becomes of a file that has the name already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Existing {
    /// It stays, and nothing is written: somebody may have filled it in.
    Stays,
    /// It is replaced where it is a page like the one that is written; anything else stays.
    PageIsReplaced,
    /// It is replaced, whatever it is: that was asked for.
    IsReplaced,
}

/// How every page that is written begins.
const PAGE: &[u8] = b"<!DOCTYPE html>";

/// Writes a file of which all is at hand.
///
/// # Errors
/// As for `write_with`.
pub(super) fn write(path: &Path, text: &[u8], existing: Existing) -> Result<(), Failure> {
    write_with(path, existing, |out| Ok(out.write_all(text)?))
}

/// Writes a file piece by piece.
///
/// # Errors
/// The name is that of a folder or of a file that stays, or the file cannot be written: with its name. What `pieces`
/// fails with.
pub(super) fn write_with(
    path: &Path,
    existing: Existing,
    pieces: impl FnOnce(&mut dyn Write) -> Result<(), Failure>,
) -> Result<(), Failure> {
    if path.is_dir() {
        let hint = format!("name a file in it: {}", path.join("FILE").display());
        return Err(Failure::hinted(format!("{} is a folder", path.display()), hint));
    }
    // What is neither file nor folder, as a pipe, keeps nothing that could be lost.
    if path.exists() && !path.is_file() {
        return straight(path, pieces).map_err(|failure| named(path, failure));
    }
    let replaced = match existing {
        Existing::Stays => false,
        Existing::PageIsReplaced => is_page(path),
        Existing::IsReplaced => true,
    };
    if path.exists() && !replaced {
        let message = format!("{} is there already, and may hold what somebody wrote", path.display());
        return Err(Failure::hinted(message, "name another file, or move that one away"));
    }
    let folder = folder_of(path);
    if !folder.is_dir() {
        let message = format!("{}: there is no folder {}", path.display(), folder.display());
        return Err(Failure::hinted(message, "make the folder, or name a file in one that is there"));
    }
    put(path, existing, pieces).map_err(|failure| named(path, failure))
}

/// A failure to write, with the name of the file.
fn named(path: &Path, failure: Failure) -> Failure {
    match failure {
        Failure::Write(error) => Failure::misuse(format!("{}: {error}", path.display())),
        other => other,
    }
}

fn straight(path: &Path, pieces: impl FnOnce(&mut dyn Write) -> Result<(), Failure>) -> Result<(), Failure> {
    let mut out = BufWriter::new(File::options().write(true).open(path)?);
    pieces(&mut out)?;
    Ok(out.flush()?)
}

/// Whether a file is a page of HTML.
fn is_page(path: &Path) -> bool {
    let mut start = [0; PAGE.len()];
    File::open(path).and_then(|mut file| file.read_exact(&mut start)).is_ok() && start == PAGE
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// Into a file beside it first, which then takes the name.
fn put(
    path: &Path,
    existing: Existing,
    pieces: impl FnOnce(&mut dyn Write) -> Result<(), Failure>,
) -> Result<(), Failure> {
    let mut out = BufWriter::new(new_file(folder_of(path))?);
    pieces(&mut out)?;
    let file = out.into_inner().map_err(IntoInnerError::into_error)?;
    file.as_file().sync_all()?;
    match existing {
        Existing::Stays => file.persist_noclobber(path),
        Existing::PageIsReplaced | Existing::IsReplaced => file.persist(path),
    }
    .map_err(|error| Failure::Write(error.error))?;
    Ok(())
}

/// Read and written by whom the system lets by default; a temporary file is its owner's alone.
#[cfg(unix)]
fn new_file(folder: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    use std::os::unix::fs::PermissionsExt;
    let open = std::fs::Permissions::from_mode(0o666);
    tempfile::Builder::new().permissions(open).tempfile_in(folder)
}

#[cfg(not(unix))]
fn new_file(folder: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    tempfile::NamedTempFile::new_in(folder)
}
