//! Pages for the printer and the wall: one self-contained HTML file each, that asks nothing of any network and runs nothing.

pub(crate) mod actions;
pub(crate) mod card;
mod qr;
pub(crate) mod slip;
pub(crate) mod wall;

use maud::{DOCTYPE, Markup, PreEscaped, html};
use unicode_width::UnicodeWidthChar as _;

/// What every page of ours begins with, so that nothing else is written over.
pub(crate) const BEGINS: &str = "<!DOCTYPE html><html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"generator\" content=\"tackfree\">";

/// The sheet a page is printed on.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, schemars::JsonSchema, serde::Serialize, clap::ValueEnum,
)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Paper {
    A6,
    A4,
    Letter,
}

impl Paper {
    /// Its width and height in millimetres, upright.
    pub(crate) const fn size(self) -> (f64, f64) {
        match self {
            Self::A6 => (105.0, 148.0),
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }
}

/// A whole page: its title, its rules, how often it reloads itself, and what stands on it.
fn page(title: &str, rules: &[&str], reload: Option<u32>, body: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="generator" content="tackfree";
                meta name="viewport" content="width=device-width, initial-scale=1";
                @if let Some(seconds) = reload {
                    meta http-equiv="refresh" content=(seconds);
                }
                // The icon that a browser would ask the server for.
                link rel="icon" href="data:,";
                title { (crate::shop::line::visible(title)) }
                @for rules in rules { style { (PreEscaped(rules)) } }
            }
            body { (body) }
        }
    };
    page.into_string()
}

/// About how wide a text is, in its font's size: no narrower than the fonts of our pages have it.
fn ems(text: &str) -> f64 {
    let em = |letter: char| match letter.width() {
        None | Some(0) => 0.0,
        Some(2..) => 1.0,
        _ if "WM@%mw".contains(letter) => 1.0,
        _ if letter.is_uppercase() => 0.75,
        _ => 0.63,
    };
    text.chars().map(em).sum()
}

/// Text that a person typed: its direction is its own, and does not turn what stands around it.
fn typed(text: &str) -> Markup {
    html! { bdi { (crate::shop::line::visible(text)) } }
}
