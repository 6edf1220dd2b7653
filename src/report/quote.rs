//! What an order costs to make: a line for each thing, with what it rests on. No price and no invoice.

use schemars::JsonSchema;
use serde::Serialize;

use crate::craft::cover::{Abrading, Coating, kit};
use crate::craft::spares::blanks;
use crate::report::{Page, Report, row};
use crate::shop::setup::Recipe;
use crate::shop::{Count, Shop};
use crate::units::{Litres, Money, Shown, System};

/// `quote`, and a part of `batch show`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Quote {
    pub(crate) recipe: String,
    /// Good pieces ordered.
    pub(crate) pieces: u32,
    /// Pieces to start, so that enough good ones come out.
    pub(crate) start: u32,
    pub(crate) lines: Vec<CostLine>,
    /// Of the lines that have a cost.
    pub(crate) total: f64,
    /// The total over the good pieces.
    pub(crate) a_piece: f64,
    #[serde(skip)]
    units: System,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct CostLine {
    /// hands, blanks, abrasives, or the finish.
    pub(crate) what: String,
    /// How much of it; null where that isn't known.
    pub(crate) amount: Option<f64>,
    /// h, blank, L, strip.
    pub(crate) unit: &'static str,
    /// What one of those costs; null where the setup doesn't say.
    pub(crate) rate: Option<Money>,
    /// Null where the amount or the rate is.
    pub(crate) cost: Option<f64>,
    /// Where the amount comes from, and what is missing.
    pub(crate) rests_on: String,
}

impl Quote {
    /// For so many good pieces by a recipe, of which so many are started; `sure` says how sure that makes it.
    pub(crate) fn new(shop: &Shop, recipe: &Recipe, pieces: u32, start: u32, sure: &str) -> Self {
        let mut lines = vec![hands(shop, recipe, start)];
        lines.extend(wood(shop, recipe, start, sure));
        lines.extend(oil(shop, recipe, start));
        lines.extend(abrasives(shop, recipe, start));
        let total = lines.iter().filter_map(|line| line.cost).fold(0.0, |all, cost| all + cost);
        let a_piece = cents(total / f64::from(pieces.max(1)));
        let (recipe, total, units) = (recipe.name.clone(), cents(total), shop.units());
        Self { recipe, pieces, start, lines, total, a_piece, units }
    }

    /// Whether the setup says what anything costs.
    pub(crate) fn says_anything(&self) -> bool {
        self.lines.iter().any(|line| line.rate.is_some())
    }
}

impl CostLine {
    fn new(
        what: &str,
        amount: Option<f64>,
        unit: &'static str,
        (rate, key): (Option<Money>, &str),
        rests_on: &str,
    ) -> Self {
        let cost = amount.zip(rate).map(|(amount, rate)| cents(amount * rate.get()));
        let missing = format!("{rests_on}; no {key} in the setup");
        let rests_on = if rate.is_none() { missing } else { rests_on.to_owned() };
        Self { what: what.to_owned(), amount, unit, rate, cost, rests_on }
    }

    fn said(&self, units: System) -> String {
        let Some(amount) = self.amount else { return "not known".to_owned() };
        match self.unit {
            "L" => Litres::new(amount)
                .map_or_else(|_| "not known".to_owned(), |oil| Shown::new(oil, units).up()),
            "h" => format!("{amount:.1} h"),
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a whole count, never negative"
            )]
            unit => Count(amount as u64, unit).to_string(),
        }
    }
}

fn cents(money: f64) -> f64 {
    (money * 100.0).round() / 100.0
}

fn hands(shop: &Shop, recipe: &Recipe, start: u32) -> CostLine {
    let steps = recipe.numbered().filter(|(_, step)| !step.is_cure()).map(|(number, _)| number);
    let (mut minutes, mut timed, mut all) = (0, 0, 0);
    for step in steps {
        minutes += u64::from(shop.minutes(recipe, step, start));
        timed += u32::from(shop.sampled(recipe, step).is_some());
        all += 1;
    }
    let rests_on = match timed {
        0 => "the recipe's times".to_owned(),
        timed if timed == all => "times taken".to_owned(),
        timed => format!("times taken for {timed} of {all} steps, the recipe's for the rest"),
    };
    let rate = shop.setup.as_ref().and_then(|setup| setup.shop.hour_rate);
    #[expect(clippy::cast_precision_loss, reason = "minutes of an order are far fewer than 2^52")]
    let hours = minutes as f64 / 60.0;
    CostLine::new("hands", Some(hours), "h", (rate, "hour_rate"), &rests_on)
}

fn wood(shop: &Shop, recipe: &Recipe, start: u32, sure: &str) -> Option<CostLine> {
    let piece = shop.setup.as_ref()?.piece(&recipe.piece)?;
    let each = piece.pieces_per_blank;
    let amount = blanks(start, each).ok().map(f64::from);
    let rests_on = format!("{}{sure}, {each} from a blank", Count(start, "piece"));
    let rate = (piece.blank_cost, "blank_cost");
    Some(CostLine::new("blanks", amount, "blank", rate, &rests_on))
}

fn oil(shop: &Shop, recipe: &Recipe, start: u32) -> Vec<CostLine> {
    let numbers = || recipe.numbered().map(|(number, _)| number);
    let mut finishes: Vec<&str> = recipe.steps.iter().filter_map(|step| step.coat()).collect();
    finishes.dedup();
    let line = |finish: &str| {
        let coats: Vec<Coating> = numbers()
            .filter_map(|step| shop.coating(recipe, step, start))
            .filter(|coat| coat.of == finish)
            .collect();
        let kit = kit(&coats, &[]).ok();
        let known = kit.filter(|kit| kit.oil_unknown.is_empty());
        let amount = known.and_then(|kit| Some(kit.oil.get(finish)?.get()));
        let sheet = shop.setup.as_ref().and_then(|setup| setup.finish(finish));
        let rests_on = match (amount, sheet.and_then(|sheet| sheet.marked("coverage"))) {
            (None, _) => "no area of the piece, or no coverage of the finish".to_owned(),
            (_, Some(mark)) => format!("the piece's area, and a coverage that is {mark}"),
            _ => "the piece's area and the sheet's coverage".to_owned(),
        };
        let rate = (sheet.and_then(|sheet| sheet.litre_cost), "litre_cost");
        CostLine::new(finish, amount, "L", rate, &rests_on)
    };
    finishes.into_iter().map(line).collect()
}

fn abrasives(shop: &Shop, recipe: &Recipe, start: u32) -> Option<CostLine> {
    let numbers = recipe.numbered().map(|(number, _)| number);
    let work: Vec<Abrading> = numbers.filter_map(|step| recipe.abrading(step, start)).collect();
    if work.is_empty() {
        return None;
    }
    let known = kit(&[], &work).ok().filter(|kit| kit.strips_unknown.is_empty());
    let amount = known.map(|kit| kit.strips.values().fold(0, |all: u32, n| all.saturating_add(*n)));
    let rests_on = match amount {
        Some(_) => "the recipe's strips",
        None => "the recipe doesn't say of each grit how many pieces a strip does",
    };
    let rate = (shop.setup.as_ref().and_then(|setup| setup.shop.strip_cost), "strip_cost");
    Some(CostLine::new("abrasives", amount.map(f64::from), "strip", rate, rests_on))
}

impl Report for Quote {
    fn text(&self, page: &mut Page) {
        let asked = format!("{} by {}", Count(self.pieces, "piece"), self.recipe);
        let lacks = self.lines.iter().any(|line| line.cost.is_none());
        let lacks = if lacks { ", without what has no cost below" } else { "" };
        if self.says_anything() {
            let (total, a_piece) = (self.total, self.a_piece);
            page.say(format!("{asked}: {total:.2}, {a_piece:.2} a piece{lacks}"));
        } else {
            page.say(format!("{asked}: the setup doesn't say yet what anything costs"));
        }
        page.gap();
        let money = |money: Option<f64>| money.map_or("?".to_owned(), |m| format!("{m:.2}"));
        let row = |line: &CostLine| {
            let (rate, cost) = (money(line.rate.map(Money::get)), money(line.cost));
            row![line.what, line.said(self.units), rate, cost, line.rests_on]
        };
        page.table(["what", "how much", "at", "cost", "rests on"], self.lines.iter().map(row));
        page.gap();
        page.say("Not in it: cloths, gloves, power, rent, and what nobody pays you for.");
    }
}
