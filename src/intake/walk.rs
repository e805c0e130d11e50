//! From the paths on the command line to the files to read: folders are walked in sorted order.

use std::path::{Path, PathBuf};

use super::refusal::{Refusal, why_unreadable};

/// The name that stands for standard input.
pub const STDIN: &str = "-";

/// The ending of files that hold refused rows; a folder's walk passes them by.
pub const REFUSED_ENDING: &str = ".refused.csv";

/// The files to read, and how many others were passed by.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Found {
    /// Note sheets in the order to read them.
    pub files: Vec<PathBuf>,
    /// Files in folders that are no note sheets.
    pub passed_by: Vec<PathBuf>,
    /// Folders in which there is no note sheet.
    pub without_sheets: Vec<PathBuf>,
}

/// Finds the note sheets that `paths` name.
///
/// # Errors
/// A path that does not exist or cannot be read, a folder that loops through a link: nothing is read then.
pub fn find(paths: &[PathBuf]) -> Result<Found, Refusal> {
    let mut found = Found::default();
    for path in paths {
        if path.as_os_str() == STDIN || path.is_file() || is_pipe(path) {
            found.files.push(path.clone());
        } else if path.is_dir() {
            let before = found.files.len();
            walk(path, &mut found)?;
            if found.files.len() == before {
                found.without_sheets.push(path.clone());
            }
        } else {
            let why = std::fs::metadata(path).map_or_else(
                |error| why_unreadable(&error),
                |_| "it is neither a file nor a folder nor a pipe".to_owned(),
            );
            return Err(Refusal::of_file(&path.display().to_string(), why));
        }
    }
    Ok(found)
}

/// Whether it is a pipe, such as a shell puts in place of `<(command)`: read once, as standard input is.
#[cfg(unix)]
pub fn is_pipe(path: &Path) -> bool {
    use std::os::unix::fs::FileTypeExt;
    std::fs::metadata(path).is_ok_and(|found| found.file_type().is_fifo())
}

/// Whether it is a pipe; here they have no paths.
#[cfg(not(unix))]
pub fn is_pipe(_: &Path) -> bool {
    false
}

fn walk(folder: &Path, found: &mut Found) -> Result<(), Refusal> {
    let entries = walkdir::WalkDir::new(folder).follow_links(true).sort_by_file_name();
    for entry in entries {
        let entry = entry.map_err(|error| refusal(folder, &error))?;
        if !entry.file_type().is_file() {
            continue;
        }
        let path = entry.into_path();
        if is_sheet(&path) { found.files.push(path) } else { found.passed_by.push(path) }
    }
    Ok(())
}

fn is_sheet(path: &Path) -> bool {
    let name = path.file_name().map(|name| name.to_string_lossy().to_lowercase()).unwrap_or_default();
    name.ends_with(".csv") && !name.ends_with(REFUSED_ENDING)
}

fn refusal(folder: &Path, error: &walkdir::Error) -> Refusal {
    let place = error.path().unwrap_or(folder).display().to_string();
    match error.loop_ancestor() {
        Some(ancestor) => Refusal::of_file(
            &place,
            format!("this link leads back to {}: the folder loops; remove the link", ancestor.display()),
        ),
        None => Refusal::of_file(&place, error.io_error().map_or_else(|| error.to_string(), why_unreadable)),
    }
}
