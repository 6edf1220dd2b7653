//! The manual: a page a command, out of the same help.

use std::io;

use clap_mangen::Man;
use clap_mangen::roff::{Roff, roman};

use crate::cli::args;

/// What every page begins with, so that nothing else is written over.
pub(crate) const BEGINS: &str = ".\\\" tackfree";

/// Each command's page by its file's name.
pub(crate) fn pages() -> io::Result<Vec<(String, Vec<u8>)>> {
    let mut command = args::command();
    command.build();
    let mut pages = Vec::new();
    write_pages(&command, &mut pages)?;
    Ok(pages)
}

fn write_pages(command: &clap::Command, pages: &mut Vec<(String, Vec<u8>)>) -> io::Result<()> {
    let man = Man::new(command.clone()).source(concat!("tackfree ", env!("CARGO_PKG_VERSION")));
    let mut page = format!("{BEGINS}\n").into_bytes();
    man.render_title(&mut page)?;
    man.render_name_section(&mut page)?;
    man.render_synopsis_section(&mut page)?;
    man.render_description_section(&mut page)?;
    let after = command.get_after_help().map(ToString::to_string).unwrap_or_default();
    let (before, example) = after.split_once("Example:\n").unwrap_or((&after, ""));
    as_it_stands("MORE", before, &mut page)?;
    man.render_options_section(&mut page)?;
    if command.has_subcommands() {
        man.render_subcommands_section(&mut page)?;
    }
    as_it_stands("EXAMPLE", example, &mut page)?;
    pages.push((man.get_filename(), page));
    let own = |sub: &&clap::Command| sub.get_name() != "help";
    command.get_subcommands().filter(own).try_for_each(|sub| write_pages(sub, pages))
}

/// A section whose lines stay as they are.
fn as_it_stands(heading: &str, text: &str, page: &mut Vec<u8>) -> io::Result<()> {
    if text.trim().is_empty() {
        return Ok(());
    }
    let mut roff = Roff::new();
    roff.control("SH", [heading]);
    roff.control("nf", []);
    for line in text.trim_end().lines() {
        roff.text([roman(line)]);
    }
    roff.control("fi", []);
    roff.to_writer(page)
}
