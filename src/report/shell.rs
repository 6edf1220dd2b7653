//! `setup shell`: what was written, and what is left to do by hand.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::{Page, Report};

/// Completions and man pages, written.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct ShellWritten {
    /// The shells' files.
    pub(crate) completions: Vec<String>,
    /// The folder of the man pages, and how many they are.
    pub(crate) manual: String,
    pub(crate) pages: usize,
    /// The folder that zsh has to be told of, and the file that PowerShell has to run.
    pub(crate) zsh_folder: String,
    pub(crate) powershell: String,
}

impl Report for ShellWritten {
    fn text(&self, page: &mut Page) {
        page.say("Written:");
        for file in &self.completions {
            page.under(file);
        }
        page.under(format!("{} man pages in {}", self.pages, self.manual));
        page.gap();
        page.say("bash and fish: open a new terminal, type tackfree done and press Tab.");
        page.say("zsh: put this line into ~/.zshrc, before compinit:");
        page.under(format!("fpath+=('{}')", self.zsh_folder));
        page.say("PowerShell: put this line into the file that $PROFILE names:");
        page.under(format!(". '{}'", self.powershell));
        page.say("The manual: man tackfree, man tackfree-lot-start");
    }
}
