//! A QR code as an SVG path.

use std::fmt::Write as _;

use maud::{Markup, html};
use qrcode::{Color, EcLevel, QrCode};

/// The light margin that ISO/IEC 18004 asks for, in modules.
const MARGIN: usize = 4;

/// What a lot's code says: its name in capital letters, which need a smaller code, where that names no other.
pub(super) fn payload(lot: &str) -> String {
    let upper = lot.to_uppercase();
    if upper.is_ascii() && upper.to_lowercase() == lot { upper } else { lot.to_owned() }
}

/// The code of a text; nothing where no code can hold it.
pub(super) fn code(text: &str) -> Option<Markup> {
    let code = QrCode::with_error_correction_level(text, EcLevel::M).ok()?;
    let (width, mut path) = (code.width(), String::new());
    for (number, colour) in code.to_colors().into_iter().enumerate() {
        if colour == Color::Dark {
            let (x, y) = (number % width + MARGIN, number / width + MARGIN);
            // Writing to a string can't fail.
            write!(path, "M{x} {y}h1v1h-1z").unwrap_or_default();
        }
    }
    let side = width + 2 * MARGIN;
    Some(html! {
        svg.qr viewBox=(format!("0 0 {side} {side}")) role="img" aria-label=(format!("QR code: {text}")) {
            rect width=(side) height=(side) fill="#fff" {}
            path d=(path) fill="#000" shape-rendering="crispEdges" {}
        }
    })
}
