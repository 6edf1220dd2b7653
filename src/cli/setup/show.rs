//! `setup show`: the setup in force, as the person wrote it.

use crate::cli::context::Context;
use crate::cli::error::Error;
use crate::report::setup::SetupShown;
use crate::store::Scope;

pub(crate) fn run(context: &mut Context<'_>) -> Result<(), Error> {
    let shop = context.load(&Scope::Setup)?.shop;
    let setup = shop.needs_setup()?;
    match &shop.setup_text {
        Some(text) if !context.screen.json() => Ok(context.screen.write(text)?),
        // A ledger of layout 4 or earlier has the setup alone.
        _ => Ok(context.screen.show(&SetupShown { setup: setup.clone() })?),
    }
}
