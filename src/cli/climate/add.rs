//! `climate add`: a reading taken by hand.

use crate::cli::{At, Context, Error};
use crate::craft::cure::Extremes;
use crate::report::climate::{ReadingShown, ReadingTaken};
use crate::shop::Refusal;
use crate::shop::climate::RoomReading;
use crate::store::Scope;
use crate::time::Viewpoint;
use crate::units::{Celsius, Humidity, Typed, TypedError};

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The room, as the setup calls it
    room: String,
    /// How warm the air is: 14.2, 14.2C, 58F; a bare number is in the shop's units
    #[arg(
        long,
        value_name = "DEGREES",
        allow_hyphen_values = true,
        required_unless_present = "lowest"
    )]
    temp: Option<Typed<Celsius>>,
    /// How damp the air is, % relative humidity
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    humidity: Option<Typed<Humidity>>,
    /// How warm the pieces are, where that was measured
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    surface: Option<Typed<Celsius>>,
    /// With --highest: the coldest since the last reading, as a minimum and maximum thermometer shows it; then reset it
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true, requires = "highest")]
    lowest: Option<Typed<Celsius>>,
    /// With --lowest: the warmest since the last reading
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true, requires = "lowest")]
    highest: Option<Typed<Celsius>>,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    context.load(&Scope::Setup)?;
    let (mut store, view) = (context.store()?, context.view);
    let units = view.units;
    let at = args.at.read(context.now, view.zone)?;
    if at > context.now {
        return Err(Refusal::Future { at, now: context.now }.into());
    }
    let Args { room, temp, humidity, surface, .. } = args;
    let degrees = |typed: &Option<Typed<Celsius>>| {
        typed.as_ref().map(|typed| typed.in_shop(units)).transpose().map_err(wrong)
    };
    let (temp, surface) = (degrees(temp)?, degrees(surface)?);
    let extremes = degrees(&args.lowest)?.zip(degrees(&args.highest)?);
    let extremes = extremes.map(|(lowest, highest)| Extremes { lowest, highest });
    if let Some(fault) = extremes.and_then(|extremes| fault(extremes, temp, view)) {
        let again = "read the thermometer again, and give the two as it shows them".to_owned();
        return Err(Error::usage(fault, again));
    }
    let humidity = humidity.as_ref().map(|typed| typed.in_shop(units)).transpose();
    let humidity = humidity.map_err(wrong)?;
    let reading = RoomReading { at, temp, humidity, surface, extremes };
    let (added, _) = store.add_readings::<Error>(context.now, room, &[reading], None)?;
    if added.entry.is_none()
        && let Some(known) = store.reading_at(room, at)?
        && known.reading != reading
    {
        let said = ReadingShown::new(&known.reading, view).air();
        let (room, entry) = (room.clone(), known.entry);
        return Err(Refusal::ReadAlready { room, at, said, entry }.into());
    }
    let reading = ReadingShown::new(&reading, view);
    context.screen.show(&ReadingTaken { room: room.clone(), entry: added.entry, reading })
}

#[expect(clippy::needless_pass_by_value, reason = "as `map_err` calls it")]
fn wrong(error: TypedError) -> Error {
    let next = "give it as --temp 14.2C or --temp 58F, --humidity 55";
    Error::usage(error.to_string(), next)
}

/// What is wrong with a thermometer's extremes, if anything is: the temperature now lies between them.
fn fault(extremes: Extremes, temp: Option<Celsius>, view: Viewpoint) -> Option<String> {
    let Extremes { lowest, highest } = extremes;
    if lowest > highest {
        let (lowest, highest) = (view.shown(lowest), view.shown(highest));
        return Some(format!("--lowest {lowest:.1} is warmer than --highest {highest:.1}"));
    }
    let temp = temp.filter(|temp| !(lowest..=highest).contains(temp))?;
    Some(format!("--temp {:.1} isn't between --lowest and --highest", view.shown(temp)))
}
