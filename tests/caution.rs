//! `caution` and the cautions that stand by themselves, through the program.

mod answers;
mod marks;
mod never;
mod page;
mod rags;
mod record;
mod risk;
mod sources;

use crate::harness::TestShop;

/// A shop of whose finishes the file says next to nothing: the class of each supplies the rest, or nobody knows.
const LITTLE_KNOWN: &str = include_str!("data/little_known.toml");

/// That shop, with a can of each finish open.
fn little_known() -> TestShop {
    let shop = TestShop::with_setup(LITTLE_KNOWN);
    for (finish, can) in
        [("board oil", "B1"), ("danish", "D1"), ("part oil", "P1"), ("mystery", "M1")]
    {
        shop.run(&format!("can open \"{finish}\" --name {can} --maker-lot lot-{can}")).ok();
    }
    shop
}

/// Starts a lot of five on the shelf by that recipe, its first step, sanding, done; gives its name.
fn sanded(shop: &TestShop, batch: &str, recipe: &str) -> String {
    shop.run(&format!("batch open {batch} --recipe \"{recipe}\" --pieces 5")).ok();
    shop.run(&format!("lot start {batch} --pieces 5 --rack shelf")).ok();
    let lot = format!("{batch}-1");
    shop.run(&format!("done {lot}")).ok();
    lot
}

/// Text without its line breaks, so that a sentence is found however it was wrapped.
pub(crate) fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
