//! Reads a setup file, or says everything that is wrong with it.

use std::io;
use std::path::Path;

use crate::cli::environment::Environment;
use crate::cli::error::InputFaults;
use crate::cli::{Error, input};
use crate::report::faults;
use crate::shop::setup::Setup;
use crate::shop::{Count, setup};

/// The setup in a file, and its text; `-` is standard input.
pub(crate) fn read(path: &Path, environment: &Environment) -> Result<(Setup, String), Error> {
    let name = path.display().to_string();
    let text = text_of(path).map_err(|error| {
        let next = "write a starting file with: tackfree setup new shop.toml";
        Error::input(format!("{name} can't be read: {error}"), next)
    })?;
    let setup = setup::read(&text).map_err(|found| {
        let (width, colour) = (environment.width, environment.colour_on_stderr);
        Error::Input(Box::new(InputFaults {
            message: format!(
                "{name} has {}: nothing is stored",
                Count(found.len() as u64, "fault")
            ),
            faults: found
                .iter()
                .take(faults::MOST)
                .filter_map(|fault| serde_json::to_value(fault).ok())
                .collect(),
            picture: faults::render(&name, &text, &found, width, colour),
            next: format!("fix these and run it again: tackfree setup check {name}"),
        }))
    })?;
    Ok((setup, text))
}

fn text_of(path: &Path) -> io::Result<String> {
    let text = String::from_utf8(input::read(path, input::SETUP)?);
    text.map_err(|_| io::Error::other("it isn't text in UTF-8"))
}
