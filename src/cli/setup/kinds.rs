//! `setup kinds`: the classes of finish.

use crate::cli::{Context, Error};
use crate::reference;
use crate::report::setup::KindsShown;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// What the tin calls it, such as "danish oil": all that its class supplies, and where each value comes from
    name: Option<String>,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let units = context.setup_if_any().map(|setup| setup.shop.units).unwrap_or_default();
    let Some(name) = &args.name else {
        let kinds = reference::classes().iter().collect();
        return context.screen.show(&KindsShown { kinds, whole: false, units });
    };
    let kinds = reference::classes_called(name);
    if kinds.is_empty() {
        let next = "see them all: tackfree setup kinds".to_owned();
        return Err(Error::usage(format!("no class of finish is called {name:?}"), next));
    }
    context.screen.show(&KindsShown { whole: kinds.len() == 1, kinds, units })
}
