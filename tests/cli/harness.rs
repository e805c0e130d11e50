//! One place to run the program from: a directory of its own, a fixed day, no colour, 80 columns, no environment.
//!
//! A run shows its command, standard output, standard error and exit status as one text, so that a snapshot holds
//! all that a person and a script would see. Paths are relative to the directory: no snapshot knows where it ran.

use std::fmt;
use std::os::unix::fs::{MetadataExt, PermissionsExt};
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// The program under test.
pub const PROGRAM: &str = env!("CARGO_BIN_EXE_baybook");

/// A directory with a book and whatever a test puts beside it.
pub struct Shop {
    dir: tempfile::TempDir,
}

impl Shop {
    /// An empty directory: the book does not exist yet.
    pub fn new() -> Self {
        Self { dir: tempfile::tempdir().expect("a temporary directory") }
    }

    /// A shop whose book holds these sheets.
    pub fn with(sheets: &[&str]) -> Self {
        let shop = Self::new();
        for (at, sheet) in sheets.iter().enumerate() {
            let name = format!("sheet-{}.csv", at + 1);
            shop.write(&name, sheet);
            shop.run(&format!("ingest {name}")).must_be(0);
        }
        shop
    }

    /// A path inside the directory.
    pub fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    /// Writes a file, and the folders that lead to it.
    pub fn write(&self, name: &str, text: impl AsRef<[u8]>) {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("folders are made");
        std::fs::write(path, text).expect("the file is written");
    }

    /// Reads a file back.
    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).expect("the file is there")
    }

    /// The program with these arguments, ready to be started by hand.
    pub fn command(&self, line: &str) -> Command {
        let mut command = at(Path::new(PROGRAM), self.dir.path());
        command.args(words(line));
        command
    }

    /// Starts the program and leaves it running; `Run::ended` waits for it.
    pub fn start(&self, line: &str) -> Child {
        let mut command = self.command(line);
        command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("it starts")
    }

    /// Runs the program; arguments are split at blanks outside single quotation marks.
    pub fn run(&self, line: &str) -> Run {
        self.run_on(line, "")
    }

    /// Runs the program with this on standard input.
    pub fn run_on(&self, line: &str, input: impl AsRef<[u8]>) -> Run {
        let output = assert_cmd::Command::from_std(self.command(line))
            .write_stdin(input.as_ref())
            .timeout(Duration::from_secs(120))
            .output()
            .expect("the program runs");
        Run { line: line.to_owned(), output }
    }

    /// Takes from everybody the right to read this.
    pub fn forbid(&self, name: &str) {
        set_mode(&self.path(name), 0);
    }

    /// Says who may do what with this.
    pub fn mode(&self, name: &str, mode: u32) {
        set_mode(&self.path(name), mode);
    }

    /// Runs the program as a user who may not read what is forbidden: root may read everything.
    pub fn run_as_nobody(&self, line: &str) -> Run {
        const NOBODY: u32 = 65_534;
        let root = std::fs::metadata("/proc/self").is_ok_and(|process| process.uid() == 0);
        let program = self.path("program");
        // Copied by another process: a file that this one wrote could still be open in a child of another test.
        let copied = Command::new("/bin/cp").arg(PROGRAM).arg(&program).status().expect("cp runs");
        assert!(copied.success(), "a copy that anybody may run");
        set_mode(self.dir.path(), 0o777);
        let mut command = at(&program, self.dir.path());
        if root {
            command.uid(NOBODY).gid(NOBODY);
        }
        let output = command.args(words(line)).stdin(Stdio::null()).output().expect("the program runs");
        Run { line: line.to_owned(), output }
    }

    /// Runs a line of the shell, in which `$BAYBOOK` is the program.
    pub fn shell(&self, line: &str) -> Run {
        let mut command = at(Path::new("/bin/bash"), self.dir.path());
        command.env("BAYBOOK", PROGRAM).env("PATH", "/usr/bin:/bin:/usr/sbin:/sbin").args(["-c", line]);
        let output = command.stdin(Stdio::null()).output().expect("bash runs");
        Run { line: line.to_owned(), output }
    }

    /// Everything that the book says, as a sheet: the same text means the same content.
    pub fn content(&self) -> String {
        self.run("export").must_be(0).stdout()
    }

    /// Opens the book's file behind the program's back.
    pub fn sqlite(&self) -> rusqlite::Connection {
        rusqlite::Connection::open(self.path("book/book.sqlite")).expect("the file of the book opens")
    }
}

/// A program in a directory, with the whole environment that a test has.
fn at(program: &Path, dir: &Path) -> Command {
    let mut command = Command::new(program);
    command.current_dir(dir).env_clear();
    command.env("BAYBOOK_DIR", "book").env("BAYBOOK_TODAY", "2025-06-01").env("NO_COLOR", "1");
    command
}

fn set_mode(path: &Path, mode: u32) {
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).expect("the mode is set");
}

/// Splits at blanks outside single quotation marks.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (at, piece) in line.split('\'').enumerate() {
        match at % 2 {
            0 => words.extend(piece.split_whitespace().map(str::to_owned)),
            _ => words.push(piece.to_owned()),
        }
    }
    words
}

/// What came of a run.
pub struct Run {
    line: String,
    output: std::process::Output,
}

impl Run {
    /// What came of a run that was started, once it has ended.
    pub fn ended(line: &str, child: Child) -> Self {
        Self::of(line, child.wait_with_output().expect("it ends"))
    }

    /// Takes the output of a command that a test started by hand.
    pub fn of(line: &str, output: std::process::Output) -> Self {
        Self { line: line.to_owned(), output }
    }

    /// Standard output.
    pub fn stdout(&self) -> String {
        String::from_utf8(self.output.stdout.clone()).expect("standard output is UTF-8")
    }

    /// Standard error.
    pub fn stderr(&self) -> String {
        String::from_utf8(self.output.stderr.clone()).expect("standard error is UTF-8")
    }

    /// Standard output as JSON.
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.stdout()).unwrap_or_else(|error| panic!("{error} in\n{self}"))
    }

    /// The exit status; `None` where a signal ended the program.
    pub fn status(&self) -> Option<i32> {
        self.output.status.code()
    }

    /// Ends the test unless the status is this one.
    #[track_caller]
    pub fn must_be(self, status: i32) -> Self {
        assert_eq!(self.status(), Some(status), "\n{self}");
        self
    }

    /// Ends the test unless standard error says this, however it is broken into lines.
    #[track_caller]
    pub fn must_tell(self, told: &str) -> Self {
        let joined = self.stderr().split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(joined.contains(told), "'{told}' is not told in\n{self}");
        self
    }
}

impl fmt::Display for Run {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let status = self.status().map_or_else(|| "none".to_owned(), |status| status.to_string());
        writeln!(f, "$ baybook {}", self.line)?;
        write!(f, "{}", String::from_utf8_lossy(&self.output.stdout))?;
        let told = String::from_utf8_lossy(&self.output.stderr);
        if !told.is_empty() {
            write!(f, "--- standard error\n{told}")?;
        }
        writeln!(f, "--- status {status}")
    }
}
