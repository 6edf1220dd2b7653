//! `ledger export` and `ledger import`: every entry as text, and a new database made from it.

use std::fs;
use std::path::PathBuf;

use clap::ValueEnum;
use serde_json::Value;

use crate::cli::{Context, Error};
use crate::report::batch::BatchLine;
use crate::report::can::CanLine;
use crate::report::ledger::{EntryLine, Exported, RestoreReport};
use crate::report::lot::LotLine;
use crate::report::ship::ShipmentList;
use crate::shop::line::visible;
use crate::store::files::Over;
use crate::store::{Loaded, Scope, Store};

#[derive(Debug, clap::Args)]
pub(crate) struct Export {
    /// The file to write; standard output where left out
    #[arg(long, value_name = "PATH")]
    out: Option<PathBuf>,
    /// A table instead, for a spreadsheet; only the whole ledger can be taken in again
    #[arg(long, value_name = "NOUN", value_enum)]
    csv: Option<Noun>,
}

#[derive(Debug, clap::Args)]
pub(crate) struct Import {
    /// A file that ledger export wrote
    file: PathBuf,
    /// The database to make, where nothing is
    #[arg(long, value_name = "FILE")]
    to: PathBuf,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Noun {
    Entry,
    Batch,
    Lot,
    Can,
    Shipment,
}

pub(super) fn export(args: &Export, context: &mut Context<'_>) -> Result<(), Error> {
    let mut store = context.store()?;
    let text = match args.csv {
        None => store.export()?,
        Some(noun) => table(noun, &store.load(&Scope::All)?, context)?,
    };
    let Some(path) = &args.out else { return context.screen.write(&text) };
    context.write_file(path, text.as_bytes(), Over::Nothing)?;
    let lines = text.lines().count().saturating_sub(1);
    context.screen.show(&Exported { file: path.display().to_string(), lines })
}

pub(super) fn import(args: &Import, context: &mut Context<'_>) -> Result<(), Error> {
    let text = fs::read_to_string(&args.file).map_err(|error| {
        Error::system(
            format!("{} can't be read: {error}", args.file.display()),
            "name a file that tackfree ledger export wrote",
        )
    })?;
    let checked = Store::import(&text, &args.to)?;
    context.screen.show(&RestoreReport {
        restored: args.to.display().to_string(),
        entries: checked.entries,
        last_hash: checked.last_hash,
        in_place: false,
        left: None,
    })
}

/// A text as a cell shows it. A spreadsheet takes one that begins so for a formula, and computes it (OWASP, "CSV Injection").
fn cell_text(text: &str) -> String {
    let formula = text.trim_start().starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']);
    format!("{}{}", if formula { "'" } else { "" }, visible(text))
}

/// All there ever was of a noun, as CSV (RFC 4180): a column for each field of its JSON.
fn table(noun: Noun, loaded: &Loaded, context: &Context<'_>) -> Result<String, Error> {
    let (shop, view) = (&loaded.shop, loaded.shop.viewpoint(context.now));
    let rows = match noun {
        Noun::Entry => {
            serde_json::to_value(EntryLine::all(&loaded.entries, &loaded.entries, shop, view))
        }
        Noun::Batch => {
            let batches = shop.batches.values().map(|batch| BatchLine::new(shop, batch, view));
            serde_json::to_value(batches.collect::<Vec<_>>())
        }
        Noun::Lot => {
            let lots = shop.lots.values().map(|lot| LotLine::new(shop, lot, view));
            serde_json::to_value(lots.collect::<Vec<_>>())
        }
        Noun::Can => {
            let cans = shop.cans.values().map(|can| CanLine::new(shop, can, view));
            serde_json::to_value(cans.collect::<Vec<_>>())
        }
        Noun::Shipment => serde_json::to_value(ShipmentList::new(shop, view).shipments),
    };
    let rows = rows.map_err(std::io::Error::from)?;
    let rows: Vec<&serde_json::Map<String, Value>> =
        rows.as_array().into_iter().flatten().filter_map(Value::as_object).collect();
    let columns: std::collections::BTreeSet<&String> =
        rows.iter().flat_map(|row| row.keys()).collect();
    let mut writer = csv::Writer::from_writer(Vec::new());
    let cell = |value: Option<&Value>| match value {
        None | Some(Value::Null) => String::new(),
        Some(Value::String(text)) => cell_text(text),
        Some(value) => value.to_string(),
    };
    let write = |writer: &mut csv::Writer<Vec<u8>>| -> csv::Result<()> {
        writer.write_record(&columns)?;
        for row in &rows {
            writer.write_record(columns.iter().map(|column| cell(row.get(*column))))?;
        }
        Ok(())
    };
    write(&mut writer).map_err(std::io::Error::from)?;
    let octets = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(String::from_utf8_lossy(&octets).into_owned())
}
