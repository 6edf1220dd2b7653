//! `card`: what hangs on the rack and what goes in the box, as one HTML page for the printer.

use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::cli::{Context, Error, Now, ship, with_lots};
use crate::report::Report;
use crate::report::paper::actions::Actions;
use crate::report::paper::card::Cards;
use crate::report::paper::slip::{Kind, Slip};
use crate::report::paper::{BEGINS, Paper};
use crate::report::ship::Shipment;
use crate::shop::{EntryId, Lot, LotName, Refusal, Shop};
use crate::store::files::Over;
use crate::units::System;

#[derive(Debug, clap::Args)]
#[command(group = clap::ArgGroup::new("of").required(true))]
pub(crate) struct Args {
    /// Lots, such as salt-3
    #[arg(value_name = "LOT", group = "of")]
    lots: Vec<LotName>,
    /// All lots that stand on that rack
    #[arg(long, group = "of")]
    rack: Option<String>,
    /// A shipment's slip, for the box
    #[arg(long, value_name = "SHIPMENT", group = "of")]
    slip: Option<EntryId>,
    /// A shipment's whole finish record, for the file
    #[arg(long, value_name = "SHIPMENT", group = "of")]
    record: Option<EntryId>,
    /// The codes of the actions that `scan` reads, to hang up at the bench
    #[arg(long, group = "of")]
    actions: bool,
    /// The sheet it is printed on; left out: Letter in a shop with US units, else A4
    #[arg(long, value_enum)]
    paper: Option<Paper>,
    /// Rack cards on an A4 or Letter sheet: 1 or 4
    #[arg(long, value_name = "N", default_value_t = 4, value_parser = per_sheet)]
    per_sheet: usize,
    #[command(flatten)]
    place: Place,
    #[command(flatten)]
    now: Now,
}

/// Where a page goes.
#[derive(Debug, clap::Args)]
pub(crate) struct Place {
    /// The file to write; standard output where left out
    #[arg(long, value_name = "PATH")]
    pub(crate) out: Option<PathBuf>,
    /// Show it in the browser
    #[arg(long, conflicts_with = "out")]
    open: bool,
}

fn per_sheet(text: &str) -> Result<usize, String> {
    match text {
        "1" => Ok(1),
        "4" => Ok(4),
        _ => Err("expected 1 or 4".to_owned()),
    }
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    if let Some(number) = args.slip.or(args.record) {
        let scope = ship::about(number, context)?;
        let (loaded, view) = context.look(&args.now, &scope)?;
        let shop = &loaded.shop;
        shop.known_shipment(number)?;
        let kind = if args.slip.is_some() { Kind::Slip } else { Kind::Record };
        let of = (kind, args.paper(shop));
        let last_hash = context.store()?.last_hash()?;
        let slip = Slip::new(shop, Shipment::new(shop, number, view), of, last_hash);
        return args.place.put(&slip.html(), context, |file| Slip { file, ..slip });
    }
    let (loaded, view) = context.look(&args.now, &with_lots(&args.lots))?;
    let shop = &loaded.shop;
    if args.actions {
        let codes = Actions::new(shop, args.paper(shop));
        return args.place.put(&codes.html(), context, |file| Actions { file, ..codes });
    }
    let lots = args.chosen(shop)?;
    let paper = args.paper(shop);
    let per_sheet = if paper == Paper::A6 { 1 } else { args.per_sheet };
    let cards = Cards::new(shop, lots, (paper, per_sheet), view);
    args.place.put(&cards.html(), context, |file| Cards { file, ..cards })
}

impl Args {
    fn paper(&self, shop: &Shop) -> Paper {
        let usual = if shop.units() == System::Us { Paper::Letter } else { Paper::A4 };
        self.paper.unwrap_or(usual)
    }

    fn chosen<'a>(&self, shop: &'a Shop) -> Result<Vec<&'a Lot>, Refusal> {
        let Some(rack) = &self.rack else {
            return self.lots.iter().map(|lot| shop.known_lot(lot)).collect();
        };
        shop.known_rack(rack)?;
        let lots: Vec<&Lot> = shop.lots_on(rack).collect();
        if lots.is_empty() { Err(Refusal::RackEmpty { rack: rack.clone() }) } else { Ok(lots) }
    }
}

impl Place {
    /// Writes the page where it was asked for, and answers with what is told the file's name.
    pub(crate) fn put<R: Report>(
        &self,
        html: &str,
        context: &mut Context<'_>,
        report: impl FnOnce(Option<String>) -> R,
    ) -> Result<(), Error> {
        let path = match &self.out {
            Some(path) => {
                context.write_file(path, html.as_bytes(), Over::Kind(BEGINS))?;
                path.clone()
            }
            None if self.open => keep(html).map_err(|error| {
                let next = "write it with --out FILE and open that";
                Error::system(format!("the page can't be written: {error}"), next)
            })?,
            None if context.screen.json() => return context.screen.show(&report(None)),
            None => return context.screen.write(html),
        };
        if self.open {
            open(&path)?;
        }
        context.screen.show(&report(Some(path.display().to_string())))
    }
}

/// A file among the system's temporary ones, which the browser still finds when this program is gone.
fn keep(html: &str) -> io::Result<PathBuf> {
    let mut file = tempfile::Builder::new().prefix("tackfree-").suffix(".html").tempfile()?;
    file.write_all(html.as_bytes())?;
    file.keep().map(|(_, path)| path).map_err(|error| error.error)
}

/// Has the system show a file in its browser.
fn open(path: &Path) -> Result<(), Error> {
    let mut command = if cfg!(target_os = "macos") {
        Command::new("open")
    } else if cfg!(windows) {
        Command::new("explorer")
    } else {
        Command::new("xdg-open")
    };
    let started =
        command.arg(path).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn();
    started.map(|_| ()).map_err(|error| {
        Error::system(
            format!("no browser could be started: {error}"),
            format!(
                "the page is there: open {} yourself, or write it with --out FILE",
                path.display()
            ),
        )
    })
}
