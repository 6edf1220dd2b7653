//! A shop with an oil room and an attic, and a lot that is coated in it.

use serde_json::Value;

use crate::harness::{SORREL_LANE, TestShop};

const RECIPES: &str = r#"
[[room]]
name = "attic"

[[rack]]
name = "beam"
room = "attic"
slots = 48
use = ["dry", "cure"]

[[recipe]]
name = "one oil"
piece = "pinch bowl"
steps = [
  { coat = "house oil", each = "20s", wipe = "18s" },
  { cure = "house oil" },
  { work = "inspect", each = "20s" },
]

[[recipe]]
name = "two oils"
piece = "pinch bowl"
steps = [
  { coat = "house oil", each = "40s", wipe = "18s" },
  { coat = "house oil", each = "20s", wipe = "18s" },
  { cure = "house oil" },
]

[[recipe]]
name = "by the brush"
piece = "pinch bowl"
steps = [
  { coat = "house oil", each = "15m", wipe = "18s" },
  { cure = "house oil" },
]
"#;

/// When the coats of these tests end: Monday 2 March 2026, 10:00.
pub(super) const COATED: &str = "2026-03-02T10:00:00Z";

/// The shop, with a can and a batch `salt` by that recipe, and 12 pieces of it on the shelf in the oil room.
pub(super) fn shop(recipe: &str) -> TestShop {
    let mut shop = TestShop::with_setup(&format!("{SORREL_LANE}{RECIPES}"));
    shop.at(COATED);
    shop.run("can open 'house oil' --name K7").ok();
    shop.run(&format!("batch open salt --recipe '{recipe}' --pieces 96")).ok();
    shop.run("lot start salt --pieces 12 --rack shelf").ok();
    shop
}

/// The same, its first coat laid at [`COATED`].
pub(super) fn coated(recipe: &str) -> TestShop {
    let shop = shop(recipe);
    shop.run("done salt-1").ok();
    shop
}

/// What `cure` says of the lot then.
#[track_caller]
pub(super) fn cure_at(shop: &TestShop, when: &str) -> Value {
    shop.json(&format!("cure salt-1 --now '{when}'"))
}

#[track_caller]
pub(super) fn near(value: &Value, expected: f64) {
    let value = value.as_f64().unwrap_or_else(|| panic!("no number: {value}"));
    assert!((value - expected).abs() < 1e-6, "{value} and not {expected}");
}

/// The only stretch that was assumed, and why.
#[track_caller]
pub(super) fn assumed<'a>(cure: &'a Value, why: &str) -> &'a Value {
    let list = cure["assumed"].as_array().unwrap();
    let found: Vec<&Value> = list.iter().filter(|stretch| stretch["why"] == why).collect();
    assert_eq!(found.len(), 1, "{cure:#}");
    found[0]
}
