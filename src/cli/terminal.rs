//! A terminal whose keys are read one press at a time.

use std::io;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use crossterm::terminal::{disable_raw_mode, enable_raw_mode};

/// Raw mode until dropped, whatever ends the command.
#[derive(Debug)]
pub(super) struct Raw;

impl Raw {
    pub(super) fn on() -> io::Result<Self> {
        enable_raw_mode()?;
        Ok(Self)
    }
}

impl Drop for Raw {
    fn drop(&mut self) {
        disable_raw_mode().ok();
    }
}

/// Ctrl-C, which a raw terminal hands over as a key.
pub(super) fn given_up(event: KeyEvent) -> bool {
    event.code == KeyCode::Char('c') && event.modifiers.contains(KeyModifiers::CONTROL)
}
