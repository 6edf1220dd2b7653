//! `setup shell`: completions and man pages, where the shells look for them.

use std::path::{Path, PathBuf};

use crate::cli::complete::{SHELLS, VARIABLE};
use crate::cli::environment::Environment;
use crate::cli::{Context, Error, manual};
use crate::report::shell::ShellWritten;
use crate::store::files::Over;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The folder to write them into; left out: where this user's shells look for them
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

/// Where each kind of file goes.
struct Places {
    bash: PathBuf,
    zsh: PathBuf,
    fish: PathBuf,
    powershell: PathBuf,
    man: PathBuf,
}

impl Places {
    fn within(folder: &Path) -> Self {
        let completions = folder.join("completions");
        Self {
            bash: completions.join("tackfree.bash"),
            zsh: completions.join("_tackfree"),
            fish: completions.join("tackfree.fish"),
            powershell: completions.join("tackfree.ps1"),
            man: folder.join("man/man1"),
        }
    }

    fn of_the_user(environment: &Environment) -> Option<Self> {
        let data = environment.data_folder.as_deref()?.parent()?;
        let config = environment.config_folder.as_deref()?;
        Some(Self {
            bash: data.join("bash-completion/completions/tackfree"),
            zsh: data.join("zsh/site-functions/_tackfree"),
            fish: config.join("fish/completions/tackfree.fish"),
            powershell: config.join("powershell/tackfree.ps1"),
            man: data.join("man/man1"),
        })
    }

    fn of(&self, shell: &str) -> &Path {
        match shell {
            "bash" => &self.bash,
            "zsh" => &self.zsh,
            "fish" => &self.fish,
            _ => &self.powershell,
        }
    }
}

pub(super) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let places = match &args.out {
        Some(folder) => Places::within(folder),
        None => Places::of_the_user(context.environment).ok_or_else(|| {
            let next = "name one: tackfree setup shell --out DIR".to_owned();
            Error::usage("there's no home folder to write them into", next)
        })?,
    };
    let mut completions = Vec::new();
    for shell in SHELLS {
        let mut script = Vec::new();
        let written =
            shell.write_registration(VARIABLE, "tackfree", "tackfree", "tackfree", &mut script);
        written.map_err(|error| unwritten(&error))?;
        let mut text = String::from_utf8_lossy(&script).into_owned();
        let begins = if shell.name() == "zsh" {
            // Found on zsh's path it is run at the first Tab, which is to be answered too.
            text +=
                "[ \"$funcstack[1]\" = _tackfree ] && _clap_dynamic_completer_tackfree \"$@\"\n";
            "#compdef tackfree"
        } else {
            text = format!("# tackfree: written by tackfree setup shell\n{text}");
            "# tackfree"
        };
        let path = places.of(shell.name());
        write(context, path, text.as_bytes(), begins)?;
        completions.push(path.display().to_string());
    }
    let pages = manual::pages().map_err(|error| unwritten(&error))?;
    for (name, page) in &pages {
        write(context, &places.man.join(name), page, manual::BEGINS)?;
    }
    context.screen.show(&ShellWritten {
        completions,
        manual: places.man.display().to_string(),
        pages: pages.len(),
        zsh_folder: folder_of(&places.zsh).display().to_string(),
        powershell: places.powershell.display().to_string(),
    })
}

fn write(
    context: &Context<'_>,
    path: &Path,
    text: &[u8],
    begins: &'static str,
) -> Result<(), Error> {
    std::fs::create_dir_all(folder_of(path)).map_err(|error| unwritten(&error))?;
    context.write_file(path, text, Over::Kind(begins))
}

fn folder_of(path: &Path) -> &Path {
    path.parent().unwrap_or(Path::new("."))
}

fn unwritten(error: &std::io::Error) -> Error {
    let next = "name a folder that can be written to: tackfree setup shell --out DIR".to_owned();
    Error::system(format!("the shells' files can't be written: {error}"), next)
}
