//! How long hands are at a step: a coat in its groups, anything else piece by piece.

use crate::craft::soak::Soak;
use crate::plan::engine::Minute;
use crate::shop::Shop;
use crate::shop::setup::{Recipe, StepWork};

/// Minutes hands are kept by a step of so many pieces, rounded up. A coat that is wiped takes its groups from the first
/// application to the last wipe, waiting for the soak included: nobody leaves a soaking group.
pub(crate) fn minutes(shop: &Shop, recipe: &Recipe, number: u32, pieces: u32) -> Minute {
    let plain = Minute::from(shop.minutes(recipe, number, pieces));
    let in_groups = soak(shop, recipe, number).and_then(|soak| soak.groups(pieces));
    in_groups.map_or(plain, |groups| groups.minutes().max(plain))
}

/// The soak of a coat as the sheet is read carefully; none for a coat that is not wiped, or too slow for its soak.
pub(crate) fn soak(shop: &Shop, recipe: &Recipe, number: u32) -> Option<Soak> {
    let StepWork::Coat { finish, each, wipe } = &recipe.step(number)?.work else { return None };
    let soak = shop.setup.as_ref()?.finish(finish)?.soak;
    if wipe.is_zero() {
        return None;
    }
    let (each, wipe) = (each.as_delta(), wipe.as_delta());
    Soak::careful(each, wipe, soak.min.as_delta(), soak.max.as_delta()).ok()
}
