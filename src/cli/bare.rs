//! `tackfree` alone: the day sheet, or how to begin where there's no shop yet.

use crate::cli::{Context, Error, today};
use crate::plan::shop_plan::NoPlan;
use crate::report::begin_here::BeginHere;

pub(crate) fn run(context: &mut Context<'_>) -> Result<(), Error> {
    match today::run(&today::Args::default(), context) {
        Err(Error::NoPlan(NoPlan::NoSetup)) => context.screen.show(&BeginHere::WAYS),
        outcome => outcome,
    }
}
