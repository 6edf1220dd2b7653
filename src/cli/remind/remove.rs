//! `remind remove`: undoes the install.

use crate::cli::remind::install::{places, tell, told};
use crate::cli::{Context, Error};
use crate::remind::send::INSTALLED;
use crate::remind::timer::System;
use crate::report::remind::Installed;

pub(super) fn run(context: &mut Context<'_>) -> Result<(), Error> {
    let change = System::here().remove(&places(context)?, &mut tell)?;
    if context.database().exists() {
        context.store()?.drop_memo(INSTALLED)?;
    }
    context.screen.show(&Installed::new(&change, false))?;
    told(&change)
}
