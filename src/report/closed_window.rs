//! What a person is told at a coat's beginning: nobody will be there when the next step may be done.

use crate::shop::{Entry, Fact, Shop};
use crate::time::Viewpoint;

/// A warning for each coat begun whose successor's window lies in closed hours.
pub(super) fn warnings(added: &[Entry], shop: &Shop, view: Viewpoint) -> Vec<String> {
    let warning = |entry: &Entry| {
        let Fact::StepBegun(begun) = &entry.fact else { return None };
        let lot = shop.lots.get(&begun.lot)?;
        let window = shop.closed_window(lot, begun.step, entry.at)?;
        let moment = |at| view.stamp(at).moment();
        Some(format!(
            "! {}: the shop isn't open between {} and {}, the window for {}. Be there then, or begin at \
             another time; while no oil is on yet: tackfree undo --why \"later\"",
            lot.name,
            moment(window.from),
            moment(window.until),
            lot.recipe.words(window.step),
        ))
    };
    added.iter().filter_map(warning).collect()
}
