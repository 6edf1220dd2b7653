//! The soak timers as bars, the next things below: drawn in place, what is said meanwhile above.

use crate::cli::{Context, Error};
use crate::report::watch::{Soak, View, cut};

#[derive(Default)]
pub(super) struct Bars {
    /// How many lines stand above the cursor.
    lines: usize,
    /// The terminal they were drawn for.
    size: Option<(usize, usize)>,
}

impl Bars {
    /// Takes them away until they are drawn again.
    pub(super) fn clear(&mut self, context: &mut Context<'_>) -> Result<(), Error> {
        let up = self.up();
        self.lines = 0;
        context.screen.write(&format!("{up}\u{1b}[J"))
    }

    pub(super) fn draw(&mut self, view: &View, context: &mut Context<'_>) -> Result<(), Error> {
        let size @ (width, height) = context.environment.terminal_size();
        if self.size.is_some_and(|before| before != size) {
            // What was drawn for another width can't be found again line by line.
            self.lines = 0;
            context.screen.write("\u{1b}[2J\u{1b}[H")?;
        }
        self.size = Some(size);
        // A full line would make the cursor wrap.
        let width = width.saturating_sub(1);
        let mut lines: Vec<String> = Soak::drawn(&view.soaks, width);
        for (line, soak) in lines.iter_mut().zip(&view.soaks) {
            if soak.due() && context.environment.colour {
                // Bold and reversed.
                *line = format!("\u{1b}[1;7m{line}\u{1b}[0m");
            }
        }
        lines.extend(view.next.iter().map(|line| cut(line, width)));
        if view.next.is_empty() {
            lines.push(cut("Nothing else to do now.", width));
        }
        let fit = height.saturating_sub(2).max(1);
        if lines.len() > fit {
            let left_out = lines.len().saturating_sub(fit).saturating_add(1);
            lines.truncate(fit.saturating_sub(1));
            lines.push(cut(&format!("{left_out} more: tackfree due"), width));
        }
        let drawn: Vec<String> = lines.iter().map(|line| format!("{line}\u{1b}[K\n")).collect();
        let screen = format!("{}{}\u{1b}[J", self.up(), drawn.concat());
        self.lines = lines.len();
        context.screen.write(&screen)
    }

    /// To the start of the first line.
    fn up(&self) -> String {
        if self.lines == 0 { "\r".to_owned() } else { format!("\r\u{1b}[{}A", self.lines) }
    }
}
