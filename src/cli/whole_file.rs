//! A file that a command writes: all of it or nothing, so that a full disk leaves no half of one.

use std::fs::File;
use std::io::{Read as _, Write as _};
use std::path::Path;

use super::console::Failure;

/// What becomes of a file that has the name already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Existing {
    /// It stays, and nothing is written: somebody may have filled it in.
    Stays,
    /// It is replaced where it is a page like the one that is written; anything else stays.
    PageIsReplaced,
}

/// How every page that is written begins.
const PAGE: &[u8] = b"<!DOCTYPE html>";

/// Writes a file.
///
/// # Errors
/// The name is that of a folder or of a file that stays, or the file cannot be written: with its name.
pub(super) fn write(path: &Path, text: &[u8], existing: Existing) -> Result<(), Failure> {
    if path.is_dir() {
        let hint = format!("name a file in it: {}", path.join("FILE").display());
        return Err(Failure::hinted(format!("{} is a folder", path.display()), hint));
    }
    if path.exists() && !(existing == Existing::PageIsReplaced && is_page(path)) {
        let message = format!("{} is there already, and may hold what somebody wrote", path.display());
        return Err(Failure::hinted(message, "name another file, or move that one away"));
    }
    let folder = folder_of(path);
    if !folder.is_dir() {
        let message = format!("{}: there is no folder {}", path.display(), folder.display());
        return Err(Failure::hinted(message, "make the folder, or name a file in one that is there"));
    }
    put(path, text, existing).map_err(|error| Failure::misuse(format!("{}: {error}", path.display())))
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
fn put(path: &Path, text: &[u8], existing: Existing) -> std::io::Result<()> {
    let mut file = new_file(folder_of(path))?;
    file.write_all(text)?;
    file.as_file().sync_all()?;
    match existing {
        Existing::Stays => file.persist_noclobber(path)?,
        Existing::PageIsReplaced => file.persist(path)?,
    };
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
