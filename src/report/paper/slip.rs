//! `card --slip` and `card --record`: what goes in the box, and the whole record for the file. Facts, and never a verdict:
//! what was not recorded says so.

use maud::{Markup, html};
use schemars::JsonSchema;
use serde::Serialize;

use super::{Paper, page, typed};
use crate::report::caution::short::ShortForm;
use crate::report::finish_record::{CoatLine, FinishRecord};
use crate::report::ship::{AT_SHIPPING, Shipment};
use crate::report::{Page, Report};
use crate::shop::{Count, Shop, all_of};
use crate::time::Stamp;

const RULES: [&str; 2] = [include_str!("paper.css"), include_str!("slip.css")];

/// Which of the two.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Kind {
    Slip,
    Record,
}

/// `card --slip` and `card --record`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Slip {
    pub(crate) kind: Kind,
    pub(crate) paper: Paper,
    /// Where it was written.
    pub(crate) file: Option<String>,
    /// Who made the pieces; the shop's name where the setup names nobody.
    pub(crate) maker: String,
    pub(crate) address: Option<String>,
    #[serde(flatten)]
    pub(crate) shipment: Shipment,
    /// The cautions at shipping; on the record alone.
    pub(crate) cautions: Vec<ShortForm>,
    /// The ledger's when it was written: in the box it is out of reach for whoever changes the ledger.
    pub(crate) last_hash: String,
}

impl Slip {
    pub(crate) fn new(
        shop: &Shop,
        shipment: Shipment,
        (kind, paper): (Kind, Paper),
        last_hash: String,
    ) -> Self {
        let workshop = shop.setup.as_ref().map(|setup| &setup.shop);
        let maker = workshop.map(|shop| shop.maker.clone().unwrap_or_else(|| shop.name.clone()));
        let cautions = match kind {
            Kind::Record => AT_SHIPPING.into_iter().map(ShortForm::of).collect(),
            Kind::Slip => Vec::new(),
        };
        let address = workshop.and_then(|shop| shop.address.clone());
        Self {
            kind,
            paper,
            file: None,
            maker: maker.unwrap_or_default(),
            address,
            shipment,
            cautions,
            last_hash,
        }
    }

    pub(crate) fn html(&self) -> String {
        let (wide, tall) = self.paper.size();
        let sizes = format!("@page{{size:{wide}mm {tall}mm;margin:0 0 10mm}}");
        let (what, sent) = (self.what(), &self.shipment);
        let body = html! {
            main.sheet.slip {
                div.maker {
                    p { b { (typed(&self.maker)) } }
                    p {
                        @match &self.address {
                            Some(address) => { (typed(address)) }
                            None => { "Address: not recorded" }
                        }
                    }
                }
                h1 { (what) " " (sent.shipment) " to " (typed(&sent.to)) }
                p { (Count(sent.pieces(), "piece")) ", " (printed(&sent.at)) }
                @if let Some(why) = &sent.cancelled { p.loud { "CANCELLED, it did not go: " (typed(why)) } }
                @for back in &sent.returned {
                    p.loud { (Count(back.pieces, "piece")) " of " (typed(&back.lot)) " came back" }
                }
                @for lot in &sent.lots { (self.lot(lot)) }
                @if self.kind == Kind::Record && !sent.notes.is_empty() {
                    h2 { "Notes" }
                    ul { @for note in &sent.notes { li { (typed(note)) } } }
                }
                h2 { "Care" }
                p { (sent.care) }
                h2 { "Claims made" }
                p { (sent.claims) }
                h2 { "Who decides" }
                ul { @for who in sent.who_decides { li { (who) } } }
                @for caution in &self.cautions {
                    h2 { "Caution: " (caution.topic) }
                    @for line in caution.lines { p { (line) } }
                }
                p.hash { "Last hash of the ledger: " (self.last_hash) }
            }
        };
        page(
            &format!("{what} {} to {}", sent.shipment, sent.to),
            &[RULES[0], RULES[1], &sizes],
            None,
            &body,
        )
    }

    const fn what(&self) -> &'static str {
        match self.kind {
            Kind::Slip => "Slip for shipment",
            Kind::Record => "Finish record of shipment",
        }
    }

    fn lot(&self, lot: &FinishRecord) -> Markup {
        let wood = lot.wood.as_deref();
        html! {
            section.lot {
                h2 { (Count(lot.pieces, "piece")) ", " (typed(&lot.piece)) ", lot " (typed(&lot.lot)) }
                dl {
                    dt { "Wood" } dd { (or_not(wood)) }
                    dt { "Allergens" }
                    dd { ul { @for said in &lot.allergens {
                        li { (typed(&said.finish)) ": " (typed(&said.says)) " (" (typed(&said.by)) ")" }
                    } } }
                    dt { "Finished with" }
                    dd { ul {
                        @if lot.finishes.is_empty() { li { "not recorded" } }
                        @for used in &lot.finishes {
                            li {
                                (typed(&used.finish))
                                @if let Some(kind) = &used.kind { ", " (typed(kind)) }
                                " (" (typed(&used.sheet)) ")"
                                @if self.kind == Kind::Record {
                                    "; solvent: " (typed(&used.solvent))
                                    "; driers and second part: not recorded, see its safety data sheet, section 3"
                                }
                            }
                        }
                    } }
                    @if self.kind == Kind::Record {
                        dt { "Coats" }
                        dd { ol { @for coat in &lot.coats { li { (coat_line(coat)) } } } }
                    }
                    dt { "Cure" } dd { (or_not(lot.cure_line(|at| printed(&at)).as_deref())) }
                    @if !lot.not_counted.is_empty() {
                        dt { "Not counted" }
                        dd { "under the last finish: " (typed(&all_of(&lot.not_counted))) }
                    }
                    @if self.kind == Kind::Record {
                        dt { "Exceptions" }
                        dd {
                            @if lot.flags.is_empty() { "none recorded" }
                            ul { @for flag in &lot.flags { li { (typed(flag)) } } }
                        }
                    }
                }
            }
        }
    }
}

fn or_not(text: Option<&str>) -> Markup {
    html! { @match text { Some(text) => { (typed(text)) } None => { "not recorded" } } }
}

/// A moment that is read on another day: never "today".
fn printed(stamp: &Stamp) -> String {
    format!("{} {}", stamp.day().format("%a %-d %b %Y"), stamp.clock())
}

fn coat_line(coat: &CoatLine) -> Markup {
    html! {
        (typed(&coat.finish)) ", "
        @match &coat.at { Some(at) => { (printed(at)) } None => { "when: not recorded" } }
        @if let Some(lot) = &coat.laid_on { ", on the pieces of " (typed(lot)) }
        "; can " (or_not(coat.can.as_deref())) ", maker's lot " (or_not(coat.maker_lot.as_deref()))
        @if let Some(opened) = &coat.opened { ", opened " (printed(opened)) }
    }
}

impl Report for Slip {
    fn text(&self, page: &mut Page) {
        let place = self.file.as_deref().unwrap_or("the screen");
        let line = format!(
            "Wrote the {} {} to {place}.",
            self.what().to_lowercase(),
            self.shipment.shipment
        );
        page.hang(&line);
    }
}
