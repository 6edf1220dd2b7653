//! `setup show`: the setup in force.

use crate::cli::context::Context;
use crate::cli::error::Error;
use crate::report::setup::SetupShown;
use crate::shop::setup::write::to_toml;
use crate::store::Scope;

pub(crate) fn run(context: &mut Context<'_>) -> Result<(), Error> {
    let loaded = context.store()?.load(&Scope::Open)?;
    let view = loaded.shop.viewpoint(context.now);
    let setup = loaded.shop.needs_setup();
    let setup = setup.map_err(|refusal| Error::Refused(Box::new(refusal), view))?;
    Ok(context.screen.show(&SetupShown::new(setup.clone(), to_toml(setup)))?)
}
