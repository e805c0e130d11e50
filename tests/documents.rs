//! The documents against what exists: paths, dependencies and commands that they name, and the commands of the
//! tour, which are run. What the sentences say is for readers to judge.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const README: &str = include_str!("../README.md");
const DEVELOPERS: &str = include_str!("../DEVELOPERS.md");
const MANIFEST: &str = include_str!("../Cargo.toml");

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The folders of the repository; what is in backticks and begins with one of them is a path.
const FOLDERS: [&str; 8] = ["src/", "schema/", "tests/", "benches/", "examples/", "corpus/", ".ci/", "fuzz/"];

/// The words in backticks outside of code blocks.
fn quoted(document: &str) -> Vec<&str> {
    let mut in_block = false;
    let mut found = Vec::new();
    for line in document.lines() {
        if line.starts_with("```") {
            in_block = !in_block;
        }
        if !in_block && !line.starts_with("    ") {
            found.extend(line.split('`').skip(1).step_by(2));
        }
    }
    found
}

#[test]
fn every_path_that_is_named_exists() {
    let mut looked_at = 0;
    for (name, document) in [("README.md", README), ("DEVELOPERS.md", DEVELOPERS)] {
        let paths = quoted(document).into_iter().filter(|text| FOLDERS.iter().any(|at| text.starts_with(at)));
        for path in paths {
            assert!(root().join(path).exists(), "{name} names `{path}`, which does not exist");
            looked_at += 1;
        }
        for page in ["README.md", "DEVELOPERS.md", "LICENSE-MIT", "LICENSE-APACHE"] {
            assert!(!document.contains(page) || root().join(page).exists(), "{name} names {page}");
        }
    }
    assert!(looked_at > 40, "only {looked_at} paths were found: are they still in backticks?");
}

#[test]
fn every_room_of_the_code_is_on_the_map() {
    let entries = std::fs::read_dir(root().join("src")).expect("src");
    for entry in entries {
        let entry = entry.expect("an entry of src");
        let name = entry.file_name().into_string().expect("a plain name");
        let path = if entry.path().is_dir() { format!("`src/{name}/`") } else { format!("`src/{name}`") };
        assert!(name == "lib.rs" || DEVELOPERS.contains(&path), "DEVELOPERS.md does not name {path}");
    }
}

/// The floor of each room, from the map.
fn floors() -> BTreeMap<&'static str, u8> {
    let rows = DEVELOPERS.lines().filter_map(|line| {
        let mut cells = line.split('|').skip(1);
        let floor = cells.next()?.trim().parse().ok()?;
        Some((floor, cells.next()?))
    });
    let rooms = rows.flat_map(|(floor, cell)| quoted(cell).into_iter().map(move |path| (path, floor)));
    rooms
        .map(|(path, floor)| {
            let room = path.trim_start_matches("src/").trim_end_matches('/').trim_end_matches(".rs");
            (room, floor)
        })
        .collect()
}

/// The rooms that a source file names after `crate::`.
fn imports(source: &str) -> BTreeSet<&str> {
    let names = source.split("crate::").skip(1);
    names.filter_map(|rest| rest.split(|c: char| !(c.is_ascii_lowercase() || c == '_')).next()).collect()
}

#[test]
fn every_import_points_down_or_across() {
    let floors = floors();
    assert!(floors.len() >= 14, "{floors:?}");
    let mut looked_at = 0;
    for entry in walkdir::WalkDir::new(root().join("src")) {
        let entry = entry.expect("a source file");
        let path = entry.path().strip_prefix(root().join("src")).expect("inside of src").to_owned();
        let room = path.iter().next().and_then(|name| name.to_str()).unwrap_or_default();
        let Some(own) = floors.get(room.trim_end_matches(".rs")) else { continue };
        if entry.path().extension().is_none_or(|end| end != "rs") {
            continue;
        }
        let source = std::fs::read_to_string(entry.path()).expect("a readable source file");
        for import in imports(&source) {
            let floor = floors.get(import).copied().unwrap_or_default();
            assert!(floor <= *own, "src/{} is on floor {own} and uses {import} of {floor}", path.display());
            looked_at += 1;
        }
    }
    assert!(looked_at > 100, "only {looked_at} imports were found");
}

#[test]
fn every_dependency_has_its_reason() {
    let manifest: toml::Table = MANIFEST.parse().expect("Cargo.toml");
    let tables = ["dependencies", "dev-dependencies"];
    let wanted: BTreeSet<&str> = tables
        .iter()
        .flat_map(|table| manifest[*table].as_table().expect("a table").keys().map(String::as_str))
        .collect();
    let reasons = DEVELOPERS.split("## Why each dependency").nth(1).expect("the list of reasons");
    let told: BTreeSet<&str> =
        reasons.lines().filter_map(|line| line.split('|').nth(1)).flat_map(quoted).collect();
    assert_eq!(told, wanted);
}

fn baybook(arguments: &[&str], book: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_baybook"))
        .args(arguments)
        .current_dir(root())
        .env("BAYBOOK_DIR", book)
        .env("BAYBOOK_TODAY", "2026-01-15")
        .output()
        .expect("the program runs")
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("UTF-8")
}

#[test]
fn every_command_is_in_the_readme() {
    let book = tempfile::tempdir().expect("a folder");
    let help = stdout(&baybook(&["--help"], book.path()));
    let commands = help.split("Commands:").nth(1).and_then(|text| text.split("Options:").next());
    let names: Vec<&str> = commands
        .expect("a list of commands")
        .lines()
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    assert!(names.len() >= 13, "{names:?}");
    for name in names {
        let first = |text: &str| text.split_whitespace().next() == Some(name);
        assert!(quoted(README).into_iter().any(first), "README.md does not name `{name}`");
    }
}

/// The commands of the tour with the lines that README.md shows below them.
fn tour() -> Vec<(Vec<String>, Vec<&'static str>)> {
    let mut commands: Vec<(Vec<String>, Vec<&str>)> = Vec::new();
    for block in README.split("```text\n").skip(1).filter_map(|rest| rest.split("```").next()) {
        for line in block.lines() {
            match (line.strip_prefix("$ baybook "), commands.last_mut()) {
                (Some(command), _) => commands.push((words(command), Vec::new())),
                (None, Some((_, shown))) => shown.push(line),
                (None, None) => panic!("output before the first command: {line}"),
            }
        }
    }
    commands
}

/// The words of a command as a shell would split them, single quotes only.
fn words(command: &str) -> Vec<String> {
    let pieces = command.split('\'').enumerate();
    pieces
        .flat_map(|(at, piece)| match at % 2 {
            0 => piece.split_whitespace().map(str::to_owned).collect(),
            _ => vec![piece.to_owned()],
        })
        .collect()
}

#[test]
fn the_tour_prints_what_the_readme_shows() {
    let place = tempfile::tempdir().expect("a folder");
    let tour = tour();
    assert!(tour.len() >= 8, "the tour has shrunk");
    for (command, shown) in tour {
        let export = place.path().join("all-notes.csv").display().to_string();
        let arguments: Vec<&str> = command
            .iter()
            .map(|word| if word == "all-notes.csv" { &export } else { word.as_str() })
            .collect();
        let output = baybook(&arguments, &place.path().join("book"));
        let printed = stdout(&output);
        assert!(output.status.success(), "{command:?}: {}", String::from_utf8_lossy(&output.stderr));
        let own_path = |line: &str| line.starts_with("Sound: ");
        let mut lines = printed.lines();
        for line in shown.into_iter().filter(|line| *line != "..." && !line.is_empty() && !own_path(line)) {
            assert!(
                lines.any(|found| found == line),
                "{command:?} does not print, in this order:\n{line}\n\n{printed}"
            );
        }
    }
}
