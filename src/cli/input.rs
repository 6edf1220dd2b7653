//! A file that a person names, read whole and no further than such a file can reasonably be.

use std::fs::File;
use std::io::{self, Read as _};
use std::path::Path;

/// The largest setup file, in kB. A shop with fifty recipes has a tenth of it.
pub(crate) const SETUP: u64 = 256;

/// The largest logger's file, in kB: some 400,000 readings.
pub(crate) const LOG: u64 = 16 * 1024;

/// Reads a file, or standard input where it is "-".
pub(crate) fn read(path: &Path, most: u64) -> io::Result<Vec<u8>> {
    let mut octets = Vec::new();
    let most_octets = most * 1024;
    if path == Path::new("-") {
        io::stdin().take(most_octets + 1).read_to_end(&mut octets)?;
    } else {
        File::open(path)?.take(most_octets + 1).read_to_end(&mut octets)?;
    }
    if octets.len() as u64 > most_octets {
        return Err(io::Error::other(format!("it is larger than {most} kB")));
    }
    Ok(octets)
}
