//! Whole numbers as they are typed, each within what a shop could mean.

use std::ops::RangeInclusive;

/// Reads so many of something.
pub(crate) fn whole(
    what: &'static str,
    range: RangeInclusive<u32>,
) -> impl Fn(&str) -> Result<u32, String> + Clone + Send + Sync + 'static {
    move |text| {
        let number = text.trim().parse().ok().filter(|number| range.contains(number));
        number.ok_or_else(|| {
            let (least, most) = (range.start(), range.end());
            format!("{text:?} isn't a whole number of {what} from {least} to {most}")
        })
    }
}

/// Reads how many pieces; 100,000 are more than a shop of a few hands turns in a year.
pub(crate) fn pieces(text: &str) -> Result<u32, String> {
    whole("pieces", 1..=100_000)(text)
}
