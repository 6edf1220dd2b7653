//! What to type in place of a name that nothing has.

use crate::shop::one_of;

/// Names offered in place of one that isn't known.
const OFFERED: usize = 6;

/// What there is in place of a name that isn't known.
pub(super) fn instead(what: &str, known: &[String], near: bool) -> String {
    let offered = &known[..known.len().min(OFFERED)];
    match offered {
        [] => format!("see which there are: {}", lists(what)),
        [meant] if near => format!("did you mean {meant:?}?"),
        [meant, others @ ..] if near => {
            format!("did you mean {meant:?}? The others: {}", others.join(", "))
        }
        _ if known.len() > OFFERED => {
            format!("name one of {}, or another of: {}", one_of(offered), lists(what))
        }
        _ => format!("name {}", one_of(offered)),
    }
}

fn lists(what: &str) -> &'static str {
    match what {
        "lot" => "tackfree lot list",
        "batch" | "batch, lot, can or shipment" => "tackfree batch list",
        "shipment" | "customer" => "tackfree ship list",
        "can" => "tackfree can list",
        _ => "tackfree setup show",
    }
}
