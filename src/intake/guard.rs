//! A reader that keeps memory bounded: it stops at a row that goes on too long, which is nearly always an
//! unclosed quotation mark.

use std::io::{self, Read};

/// The longest row that is accepted, in bytes.
pub const LONGEST_ROW: usize = 1 << 20;

/// Passes bytes through and counts how long the current row is.
#[derive(Debug)]
pub struct Guard<R> {
    inner: R,
    quoted: bool,
    length: usize,
    line: u64,
    row_line: u64,
}

/// A row that goes on too long.
#[derive(Debug, thiserror::Error)]
#[error("a row is longer than 1 MiB; is a quotation mark not closed?")]
pub struct TooLong {
    /// The line on which the row begins.
    pub line: u64,
}

impl<R> Guard<R> {
    /// Guards `inner`.
    pub fn new(inner: R) -> Self {
        Self { inner, quoted: false, length: 0, line: 1, row_line: 1 }
    }

    fn look_at(&mut self, bytes: &[u8]) -> Result<(), TooLong> {
        for byte in bytes {
            self.length += 1;
            match byte {
                b'"' => self.quoted = !self.quoted,
                b'\n' => {
                    self.line += 1;
                    if !self.quoted {
                        self.length = 0;
                        self.row_line = self.line;
                    }
                }
                _ => {}
            }
        }
        if self.length > LONGEST_ROW { Err(TooLong { line: self.row_line }) } else { Ok(()) }
    }
}

impl<R: Read> Read for Guard<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.inner.read(buffer)?;
        self.look_at(&buffer[..count]).map_err(io::Error::other)?;
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
        let told = error.get_ref().and_then(|inner| inner.downcast_ref::<TooLong>()).expect("our own error");
        assert_eq!(told.line, 3);
    }

    #[test]
    fn many_short_rows_pass() {
        let text = "a,\"b\"\"c\"\n".repeat(LONGEST_ROW / 4);
        assert!(io::copy(&mut Guard::new(text.as_bytes()), &mut io::sink()).is_ok());
    }
}
