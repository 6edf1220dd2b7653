//! `calendar`: what is coming, as a file for any calendar program.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use crate::cli::{Context, Error};
use crate::remind::calendar::{Calendar, Event};
use crate::remind::coming::coming;
use crate::remind::revised::{is_done, revise};
use crate::report::calendar::Written;
use crate::shop::Shop;
use crate::shop::plan::ShopPlan;
use crate::store::files::Over;
use crate::store::{Loaded, Scope};
use crate::time::Instant;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The file to write; standard output where left out
    #[arg(long, value_name = "PATH")]
    out: Option<PathBuf>,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let now = context.now;
    let plan = plan_followed(context)?;
    let mut store = context.store()?;
    let last = store.last_recorded()?;
    let (Loaded { shop, entries }, events) = store
        .revise_calendar(|shop, ledger, kept| events(shop, plan.as_ref(), ledger, kept, now))?;
    context.hold_clock_against(last, &entries, shop.viewpoint(context.now));
    let name = name_of(&shop);
    let file = args.out.as_ref().map(|path| path.display().to_string());
    let report = Written::new(file, &events, shop.viewpoint(now));
    let text = Calendar { name, events }.text();
    match &args.out {
        Some(path) => {
            write(path, &text, context)?;
            context.screen.show(&report)
        }
        None if context.screen.json() => context.screen.show(&report),
        None => context.screen.write(&text),
    }
}

/// Writes the file again where its text is another than before.
pub(crate) fn rewrite(path: &Path, context: &Context<'_>) -> Result<(), Error> {
    let now = context.now;
    let plan = plan_followed(context)?;
    let (Loaded { shop, .. }, events) = context
        .store()?
        .revise_calendar(|shop, ledger, kept| events(shop, plan.as_ref(), ledger, kept, now))?;
    let text = Calendar { name: name_of(&shop), events }.text();
    match fs::read(path) {
        Ok(there) if there == text.as_bytes() => Ok(()),
        _ => write(path, &text, context),
    }
}

/// The plan that is followed where one is kept, as `plan` and `today` have it at this moment; made before the events are written,
/// so that nobody who records waits for it.
fn plan_followed(context: &Context<'_>) -> Result<Option<ShopPlan>, Error> {
    let loaded = context.store()?.load(&Scope::Open)?;
    let Some(kept) = &loaded.shop.kept else { return Ok(None) };
    let followed = context.followed(&loaded, context.now);
    Ok(Some(followed.map_or_else(|_| kept.clone(), |followed| followed.plan)))
}

fn name_of(shop: &Shop) -> String {
    shop.setup.as_ref().map_or_else(|| "tackfree".to_owned(), |setup| setup.shop.name.clone())
}

/// The events to write, and those to remember, from those last written.
fn events(
    shop: &Shop,
    plan: Option<&ShopPlan>,
    ledger: &str,
    kept: &BTreeMap<String, String>,
    now: Instant,
) -> (Vec<Event>, BTreeMap<String, String>) {
    // An event that this version can't read was written by another; it is told again.
    let known = kept.iter().filter_map(|(uid, event)| {
        serde_json::from_str(event).ok().map(|event: Event| (uid.clone(), event))
    });
    let mut kept: BTreeMap<String, Event> = known.collect();
    let is_done = |of: &str| is_done(shop, of);
    let written = revise(&mut kept, coming(shop, plan, ledger, now), is_done, now);
    let texts = kept
        .into_iter()
        .filter_map(|(uid, event)| serde_json::to_string(&event).ok().map(|event| (uid, event)));
    (written, texts.collect())
}

fn write(path: &Path, text: &str, context: &Context<'_>) -> Result<(), Error> {
    context.write_file(path, text.as_bytes(), Over::Kind("BEGIN:VCALENDAR"))
}
