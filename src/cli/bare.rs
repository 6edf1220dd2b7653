//! `tackfree` alone: the day sheet, or how to begin where there's no shop yet.

use crate::cli::context::Context;
use crate::cli::error::Error;
use crate::cli::today;
use crate::report::begin_here::BeginHere;
use crate::store::Scope;

pub(crate) fn run(context: &mut Context<'_>) -> Result<(), Error> {
    if context.store()?.load(&Scope::Open)?.shop.setup.is_none() {
        return Ok(context.screen.show(&BeginHere::WAYS)?);
    }
    today::run(&today::Args::default(), context)
}
