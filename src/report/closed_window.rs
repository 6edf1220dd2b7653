//! What a person is told at a coat's beginning: nobody will be there when the next step may be done.

use crate::report::refusal::quoted;
use crate::shop::{Entry, Fact, Shop};
use crate::time::Viewpoint;

/// A warning for each coat begun whose successor's window lies in closed hours.
pub(super) fn warnings(added: &[Entry], shop: &Shop, view: Viewpoint) -> Vec<String> {
    let warning = |entry: &Entry| {
        let Fact::StepBegun(begun) = &entry.fact else { return None };
        let lot = shop.lots.get(&begun.lot)?;
        let window = shop.closed_window(lot, begun.step, entry.at)?;
        let (from, until) = (view.stamp(window.from), view.stamp(window.until).moment());
        let (name, step) = (&lot.name, lot.recipe.words(window.step));
        let room = lot.rack().and_then(|rack| shop.room_of(rack));
        if window.from < window.until {
            let from = from.moment();
            return Some(format!(
                "! {name}: the shop isn't open between {from} and {until}, the window for {step}. Be there then, or \
                 begin at another time; while no oil is on yet: tackfree undo --why \"later\""
            ));
        }
        // Where few hours are read the quick clock may end it before the slow one lets it begin.
        let from = from.minute_up().moment();
        let room = quoted(room.unwrap_or("ROOM"));
        Some(format!(
            "! {name}: as little as its room is read, the window for {step} may close {until} and may not open before {from}. \
             Read the room often until then: tackfree climate add {room} --temp … --humidity …"
        ))
    };
    added.iter().filter_map(warning).collect()
}
