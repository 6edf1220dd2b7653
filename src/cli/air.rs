//! `air`: solvent given off, and the airflow to the limits on the sheet.

use std::collections::BTreeMap;

use crate::cli::can::size;
use crate::cli::{Context, Error, Lots, Now, with_lots};
use crate::report::air::{AirShown, Laid};
use crate::shop::{Lot, LotName, Shop};
use crate::store::Scope;
use crate::units::{Litres, Mixing};

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Lots, such as salt-3: their next coat
    #[arg(value_name = "LOT", required_unless_present_any = ["rack", "amount"], conflicts_with = "amount")]
    lots: Vec<LotName>,
    /// All lots that stand on that rack
    #[arg(long, conflicts_with = "amount")]
    rack: Option<String>,
    /// No lots: so much of --finish, with its unit: 250ml, "4 fl oz"
    #[arg(long, group = "amount", requires = "finish", value_parser = size, allow_negative_numbers = true)]
    size: Option<Litres>,
    /// The same in millilitres
    #[arg(long, hide = true, group = "amount", requires = "finish", value_parser = millilitres, allow_negative_numbers = true)]
    ml: Option<Litres>,
    /// With --size: the finish, as the setup calls it
    #[arg(long, value_name = "FINISH", requires = "amount")]
    finish: Option<String>,
    /// How long the session takes; the coats' own minutes where left out, or 1 h for --size
    #[arg(long, value_name = "HOURS", value_parser = hours, allow_negative_numbers = true)]
    hours: Option<f64>,
    /// How unevenly fresh air mixes with the room's: 1 perfectly, 10 badly; 3 where left out
    #[arg(long, value_name = "K", value_parser = mixing, allow_negative_numbers = true)]
    mixing: Option<Mixing>,
    #[command(flatten)]
    now: Now,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let amount = args.size.or(args.ml);
    let scope = if amount.is_some() { Scope::Open } else { with_lots(&args.lots) };
    let (loaded, view) = context.look(&args.now, &scope)?;
    let shop = &loaded.shop;
    let (laid, own_hours) = if let (Some(name), Some(litres)) = (&args.finish, amount) {
        let finish = shop.known_finish(name)?;
        let laid = Laid { finish, lots: Vec::new(), litres: Some(litres), unknown: Vec::new() };
        (vec![laid], (1.0, "assumed"))
    } else {
        let lots = Lots { lots: args.lots.clone() };
        let names = lots.choose(args.rack.as_deref(), shop)?;
        let (laid, minutes) = next_coats(shop, &names)?;
        (laid, (f64::from(minutes.max(1)) / 60.0, "hands' time of the coats"))
    };
    let hours = args.hours.map_or(own_hours, |hours| (hours, "given"));
    let shown = AirShown::new(&laid, hours, args.mixing, view)
        .map_err(|error| Error::usage(error.to_string(), "ask for less, or give other --hours"))?;
    context.screen.show(&shown)
}

/// What the next coats of these lots lay on, by finish, and the minutes they take.
fn next_coats<'s>(shop: &'s Shop, names: &[LotName]) -> Result<(Vec<Laid<'s>>, u32), Error> {
    let mut by_finish: BTreeMap<String, Laid<'s>> = BTreeMap::new();
    let mut minutes: u32 = 0;
    for name in names {
        let lot = shop.known_lot(name)?;
        let Some((step, finish)) = next_coat(lot) else {
            let next = "name lots that are still to be coated, or give --size and --finish";
            return Err(Error::usage(format!("{name} has no coat left"), next));
        };
        let finish = shop.known_finish(finish)?;
        minutes = minutes.saturating_add(shop.minutes(&lot.recipe, step, lot.pieces));
        let laid = by_finish.entry(finish.name.clone()).or_insert_with(|| Laid {
            finish,
            lots: Vec::new(),
            litres: None,
            unknown: Vec::new(),
        });
        laid.lots.push(name.to_string());
        match shop.oil_for(&lot.recipe, step, lot.pieces) {
            Some(Ok(more)) => {
                let before = laid.litres.map_or(0.0, Litres::get);
                laid.litres = Litres::new(before + more.get()).ok();
            }
            Some(Err(why)) => {
                let why = format!("how much goes on {name} is not known: {why}");
                laid.unknown.push(why);
            }
            None => {}
        }
    }
    Ok((by_finish.into_values().collect(), minutes))
}

fn next_coat(lot: &Lot) -> Option<(u32, &str)> {
    let mut left = lot.recipe.numbered().filter(|(step, _)| *step >= lot.next && lot.pieces > 0);
    left.find_map(|(step, what)| Some((step, what.coat()?)))
}

fn millilitres(text: &str) -> Result<Litres, String> {
    let number: Option<f64> = text.trim().replace(',', ".").parse().ok();
    let number = number.filter(|number| *number > 0.0 && *number <= 100_000.0);
    let litres = number.and_then(|number| Litres::new(number / 1000.0).ok());
    litres.ok_or_else(|| format!("{text:?} isn't a number of millilitres over 0 and up to 100000"))
}

fn hours(text: &str) -> Result<f64, String> {
    let number = text.trim().trim_end_matches('h').trim_end();
    match number.parse() {
        Ok(hours) if hours > 0.0 && hours <= 1000.0 => Ok(hours),
        _ => Err(format!("{text:?} isn't a number of hours over 0 and up to 1000, such as 1.5")),
    }
}

fn mixing(text: &str) -> Result<Mixing, String> {
    let number: f64 = text.trim().parse().map_err(|_| format!("{text:?} isn't a number"))?;
    Mixing::new(number).map_err(|error| error.to_string())
}
