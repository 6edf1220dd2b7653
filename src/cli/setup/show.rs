//! `setup show`: the setup in force, as the person wrote it.

use crate::cli::{Context, Error};
use crate::report::setup::SetupShown;
use crate::store::Scope;

pub(crate) fn run(context: &mut Context<'_>) -> Result<(), Error> {
    let shop = context.load(&Scope::Setup)?.shop;
    let setup = shop.needs_setup()?;
    match &shop.setup_text {
        Some(text) if !context.screen.json() => context.screen.write(text),
        // A ledger of layout 4 or earlier has the setup alone.
        _ => context.screen.show(&SetupShown { setup: setup.clone() }),
    }
}
