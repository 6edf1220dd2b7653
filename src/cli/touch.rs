//! `touch`: a touch test.

use crate::cli::{At, Context, Error, Lots};
use crate::shop::fact::{CureTest, Touched};
use crate::shop::stage::Stage;

#[derive(Debug, clap::Args)]
#[command(
    after_help = "The words are the stages of ASTM D1640, whose tests are made on smooth panels with instruments; here it \
                  is a plain check by hand, least dry first:\n  wet, tacky, set-to-touch, dust-free, tack-free, dry-to-touch, \
                  dry-to-recoat, dry-hard, dry-through, print-free\nBelow tack-free the lot waits, whatever its age says. After the last \
                  coat a test teaches how long the finish takes here, but not in a room that nobody reads where others are read."
)]
pub(crate) struct Args {
    /// A lot, such as salt-3
    #[arg(value_name = "LOT", required_unless_present = "rack")]
    lot: Option<String>,
    /// What was found
    #[arg(value_name = "STAGE")]
    stage: Option<String>,
    /// All lots that stand on that rack
    #[arg(long)]
    rack: Option<String>,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    // With --rack the one word typed is the stage.
    let (lot, stage) = match (&args.rack, &args.lot, &args.stage) {
        (Some(_), Some(stage), None) | (Some(_), None, Some(stage)) => (None, stage),
        (None, Some(lot), Some(stage)) => (Some(lot), stage),
        _ => {
            let next = "tackfree touch salt-3 tacky, or: tackfree touch --rack drip-1 tacky";
            return Err(Error::usage("one lot or --rack, and one stage", next.to_owned()));
        }
    };
    let usage = |message: String| Error::usage(message, "tackfree touch salt-3 tacky");
    let stage: Stage = stage.parse().map_err(usage)?;
    let lots = match lot {
        Some(lot) => vec![
            lot.parse().map_err(|error: crate::shop::name::NameError| usage(error.to_string()))?,
        ],
        None => Vec::new(),
    };
    let lots = Lots { lots };
    context.record_and_show(&args.at, &lots.scope(), |journal, at| {
        for lot in lots.choose(args.rack.as_deref(), &journal.shop)? {
            let known = journal.shop.known_lot(&lot)?;
            let of_cure = journal.shop.cure_share(known, at);
            let of_cure = of_cure.map(|(finish, share)| CureTest { finish, share });
            journal.record(at, Touched { lot, stage, of_cure })?;
        }
        Ok(())
    })
}
