//! Text in lines of so many columns.

use unicode_width::UnicodeWidthStr as _;

/// Units that stay on the line of their number.
const UNITS: [&str; 7] = ["d", "h", "m", "min", "s", "%", "°C"];

/// Two words as one, where they are a number and its unit.
fn amount(number: Option<&str>, unit: &str) -> Option<String> {
    let bare = unit.trim_end_matches(|letter: char| letter.is_ascii_punctuation() && letter != '%');
    let number = number.filter(|number| number.parse::<f64>().is_ok() && UNITS.contains(&bare))?;
    Some(format!("{number} {unit}"))
}

/// The text in lines of so many columns, broken at blanks; the first may have another width. At least one line.
pub(super) fn broken(text: &str, first: usize, rest: usize) -> Vec<String> {
    let (mut lines, mut line, mut gap) = (Vec::new(), String::new(), 0);
    for word in text.trim().split(char::is_whitespace) {
        gap += 1;
        if word.is_empty() {
            continue;
        }
        let room = if lines.is_empty() { first } else { rest };
        if line.is_empty() {
            line.push_str(word);
        } else if line.width() + gap + word.width() > room {
            let number = line.rfind(' ').unwrap_or(line.len());
            let both = amount(line.get(number + 1..), word).filter(|both| both.width() <= rest);
            if both.is_some() {
                line.truncate(number);
            }
            lines.push(line.trim_end().to_owned());
            line = both.unwrap_or_else(|| word.to_owned());
        } else {
            line.push_str(&" ".repeat(gap));
            line.push_str(word);
        }
        gap = 0;
    }
    lines.push(line);
    lines
}

/// The same in lines of one width, as a cell of a table.
pub(super) fn wrap(cell: &str, width: usize) -> String {
    broken(cell, width, width).join("\n")
}

#[cfg(test)]
mod tests {
    use super::broken;

    #[test]
    fn a_number_keeps_its_unit() {
        assert_eq!(broken("done 15 m 18 s ago", 10, 10), ["done 15 m", "18 s ago"]);
        assert_eq!(broken("since 15 m, or 5 %", 8, 8), ["since", "15 m, or", "5 %"]);
    }

    #[test]
    fn not_where_no_line_has_room_for_both() {
        assert_eq!(broken("x 12 min", 5, 5), ["x 12", "min"]);
        assert_eq!(broken("12 min", 4, 4), ["12", "min"]);
    }

    #[test]
    fn nothing_is_lost_and_no_line_is_longer_than_its_longest_word() {
        let text = "in 5 d 23 h at 20 °C, then 3 more by 9 %";
        for width in 1..=40 {
            let lines = broken(text, width, width);
            assert_eq!(lines.join(" "), text);
            let longest = |line: &&String| line.chars().count() > width && line.contains(' ');
            assert_eq!(lines.iter().find(longest), None, "{width}");
        }
    }
}
