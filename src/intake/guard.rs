//! A reader that keeps memory bounded: it stops at a row that goes on too long, and at a file that ends within
//! quotation marks. Both are nearly always a quotation mark that is not closed, and would swallow rows.

use std::io::{self, Read};

/// The longest row that is accepted, in bytes.
pub const LONGEST_ROW: usize = 1 << 20;

/// Passes bytes through and counts how long the current row is.
#[derive(Debug)]
pub struct Guard<R> {
    inner: R,
    at: At,
    length: usize,
    line: u64,
    row_line: u64,
    /// Whether a `\r` that ends a row was the last byte.
    ended: bool,
}

/// Where in a cell the reader stands, as RFC 4180 quotes cells: a quotation mark opens a cell only at its very
/// beginning, so that the inch mark of an unquoted `1-3/8"` opens nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum At {
    /// Before the first character of a cell.
    Start,
    /// Within a cell without quotation marks, or behind the closing one.
    Bare,
    /// Within quotation marks.
    Quoted,
    /// Behind a quotation mark that closes the cell or is the first of a doubled one.
    Closing,
}

impl At {
    fn after(self, byte: u8) -> Self {
        match (self, byte) {
            (Self::Start, b'"') | (Self::Closing, b'"') => Self::Quoted,
            (Self::Quoted, b'"') => Self::Closing,
            (Self::Quoted, _) => Self::Quoted,
            (_, b',' | b'\n' | b'\r') => Self::Start,
            _ => Self::Bare,
        }
    }
}

/// Whether a byte is one that cells and rows are parted by; all others are alike.
fn is_sign(byte: u8) -> bool {
    const SIGNS: [bool; 256] = {
        let mut signs = [false; 256];
        signs[b'"' as usize] = true;
        signs[b',' as usize] = true;
        signs[b'\n' as usize] = true;
        signs[b'\r' as usize] = true;
        signs
    };
    SIGNS[usize::from(byte)]
}

/// A row that has no end.
#[derive(Debug, thiserror::Error)]
pub enum Endless {
    /// It goes on too long.
    #[error("a row is longer than 1 MiB; is a quotation mark not closed?")]
    TooLong {
        /// The line on which the row begins.
        line: u64,
    },
    /// The file ends within it.
    #[error("a quotation mark in the row that begins here is not closed before the end of the file")]
    Unclosed {
        /// The line on which the row begins.
        line: u64,
    },
}

impl Endless {
    /// The line on which the row begins.
    #[must_use]
    pub fn line(&self) -> u64 {
        match self {
            Self::TooLong { line } | Self::Unclosed { line } => *line,
        }
    }
}

impl<R> Guard<R> {
    /// Guards `inner`.
    pub fn new(inner: R) -> Self {
        Self { inner, at: At::Start, length: 0, line: 1, row_line: 1, ended: false }
    }

    /// A row that ends with `\r\n` goes on as `\n\r`: the reader behind ends it at the first of the two and counts
    /// lines by `\n`, so that the next row would else begin on the line before.
    fn look_at(&mut self, bytes: &mut [u8]) -> Result<(), Endless> {
        let mut rest = bytes;
        while !rest.is_empty() {
            let plain = rest.iter().position(|byte| is_sign(*byte)).unwrap_or(rest.len());
            if plain > 0 {
                self.length += plain;
                self.at = self.at.after(b'x');
                self.ended = false;
                rest = &mut rest[plain..];
                continue;
            }
            let Some((byte, behind)) = rest.split_first_mut() else { break };
            rest = behind;
            self.length += 1;
            self.at = self.at.after(*byte);
            let second = *byte == b'\n' && self.ended;
            self.ended = *byte == b'\r' && self.at != At::Quoted;
            match (self.ended, second) {
                (true, _) => *byte = b'\n',
                (_, true) => {
                    *byte = b'\r';
                    continue;
                }
                _ => {}
            }
            if *byte == b'\n' {
                self.line += 1;
                if self.at != At::Quoted {
                    self.length = 0;
                    self.row_line = self.line;
                }
            }
        }
        if self.length > LONGEST_ROW { Err(Endless::TooLong { line: self.row_line }) } else { Ok(()) }
    }
}

impl<R: Read> Read for Guard<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.inner.read(buffer)?;
        if count == 0 && !buffer.is_empty() && self.at == At::Quoted {
            return Err(io::Error::other(Endless::Unclosed { line: self.row_line }));
        }
        self.look_at(&mut buffer[..count]).map_err(io::Error::other)?;
        Ok(count)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_without_end_is_stopped_at_its_first_line() {
        let text = format!("make,model\nA,B\nC,\"{}", "x\n".repeat(LONGEST_ROW));
        let error = io::copy(&mut Guard::new(text.as_bytes()), &mut io::sink()).expect_err("too long");
        let told = error.get_ref().and_then(|inner| inner.downcast_ref::<Endless>()).expect("our own error");
        assert!(matches!(told, Endless::TooLong { line: 3 }), "{told}");
    }

    #[test]
    fn lines_are_counted_alike_however_they_end() {
        for end in ["\n", "\r\n", "\r"] {
            let text = ["make,model", "A,\"B\r\nB\"", "C,D", "E,F"].join(end);
            let mut reader =
                csv::ReaderBuilder::new().has_headers(false).from_reader(Guard::new(text.as_bytes()));
            let lines: Vec<(u64, usize)> = reader
                .byte_records()
                .map(|record| record.expect("a record"))
                .map(|record| (record.position().expect("a position").line(), record[1].len()))
                .collect();
            assert_eq!(lines, [(1, 5), (2, 4), (4, 1), (5, 1)], "{end:?}");
        }
    }

    #[test]
    fn a_file_that_ends_within_quotation_marks_is_refused() {
        for (text, line) in [("make,model\nA,B\nC,\"D\nE,F\n", Some(3)), ("\"a", Some(1)), ("a,\"b\"", None)]
        {
            let told = io::copy(&mut Guard::new(text.as_bytes()), &mut io::sink()).err();
            let told = told.as_ref().and_then(|error| error.get_ref()?.downcast_ref::<Endless>());
            assert_eq!(told.map(Endless::line), line, "{text:?}");
        }
    }

    #[test]
    fn many_short_rows_pass() {
        // An inch mark in a cell without quotation marks was once taken for one that opens a cell.
        for rows in ["a,\"b\"\"c\"\n", "a,\"b\nc\"\r\n", "a,1-3/8\"\nb,c\nd,e\n"] {
            let text = format!("{rows}x,1-3/8\"\n{}", "a,b\n".repeat(LONGEST_ROW / 2));
            assert!(io::copy(&mut Guard::new(text.as_bytes()), &mut io::sink()).is_ok(), "{rows:?}");
        }
    }
}
