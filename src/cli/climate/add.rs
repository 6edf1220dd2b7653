//! `climate add`: a reading taken by hand.

use crate::cli::context::{Context, refused};
use crate::cli::error::Error;
use crate::cli::when::At;
use crate::report::climate::ReadingShown;
use crate::report::climate::added::ReadingTaken;
use crate::shop::climate::RoomReading;
use crate::shop::refusal::Refusal;
use crate::store::Scope;
use crate::time::Viewpoint;
use crate::units::{Celsius, Humidity};

/// `climate add`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The room, as the setup calls it
    room: String,
    /// How warm the air is, °C
    #[arg(long, value_name = "DEGREES", value_parser = temperature, allow_negative_numbers = true)]
    temp: Celsius,
    /// How damp the air is, % relative humidity
    #[arg(long, value_name = "PERCENT", value_parser = humidity, allow_negative_numbers = true)]
    humidity: Option<Humidity>,
    /// How warm the pieces are, °C, where that was measured
    #[arg(long, value_name = "DEGREES", value_parser = temperature, allow_negative_numbers = true)]
    surface: Option<Celsius>,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let mut store = context.store()?;
    let zone = store.load(&Scope::Open)?.shop.zone();
    let at = args.at.read(context.now, zone)?;
    let view = Viewpoint { now: context.now, zone };
    let refuse = |refusal| Error::Refused(Box::new(refusal), view);
    if at > context.now {
        return Err(refuse(Refusal::Future { at, now: context.now }));
    }
    let Args { room, temp, humidity, surface, .. } = args;
    let reading = RoomReading { at, temp: *temp, humidity: *humidity, surface: *surface };
    let (added, _) =
        store.add_readings(context.now, room, &[reading], None, |journal, refusal| {
            refused(journal)(refusal)
        })?;
    if added.entry.is_none()
        && let Some(known) = store.reading_at(room, at)?
        && known.reading != reading
    {
        let said = ReadingShown::new(&known.reading, view).air();
        let (room, entry) = (room.clone(), known.entry);
        return Err(refuse(Refusal::ReadAlready { room, at, said, entry }));
    }
    let reading = ReadingShown::new(&reading, view);
    Ok(context.screen.show(&ReadingTaken { room: room.clone(), entry: added.entry, reading })?)
}

fn number(text: &str) -> Result<f64, String> {
    text.trim().replace(',', ".").parse().map_err(|_| format!("{text:?} is no number"))
}

fn temperature(text: &str) -> Result<Celsius, String> {
    Celsius::new(number(text)?).map_err(|error| error.to_string())
}

fn humidity(text: &str) -> Result<Humidity, String> {
    Humidity::new(number(text)?).map_err(|error| error.to_string())
}
