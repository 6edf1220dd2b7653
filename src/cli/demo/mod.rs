//! `demo`: an order played through on a virtual clock, in a database of its own, by the commands themselves.

mod script;

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use crate::cli::environment::Environment;
use crate::cli::{Context, Error, run_in};
use crate::report::{Page, Tone};
use crate::store::files::{self, Over};
use crate::time::words;

use script::{Line, Scene};

const SETUP: &str = include_str!("setup.toml");

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Keep the demo's database and setup file in that folder, to go on with
    #[arg(long, value_name = "DIR")]
    keep: Option<PathBuf>,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    if let Some(folder) = &args.keep {
        std::fs::create_dir_all(folder).map_err(|error| unusable(folder, &error))?;
        let stage = Stage::new(folder)?;
        stage.play(context)?;
        let kept = format!("\nThe demo's database: {}\n", stage.database.display());
        context.screen.write(&kept)
    } else {
        let folder =
            tempfile::tempdir().map_err(|error| unusable(&std::env::temp_dir(), &error))?;
        Stage::new(folder.path())?.play(context)
    }
}

fn unusable(folder: &Path, error: &std::io::Error) -> Error {
    let next = "name a folder that can be written to with --keep DIR".to_owned();
    Error::usage(format!("{} can't be used: {error}", folder.display()), next)
}

/// Where the demo plays.
struct Stage {
    database: PathBuf,
    setup: PathBuf,
}

impl Stage {
    fn new(folder: &Path) -> Result<Self, Error> {
        let (database, setup) = (folder.join("demo.tackfree"), folder.join("demo.toml"));
        let next = "name another folder: the demo never writes over anything";
        if database.exists() {
            let there = format!("{} is there already", database.display());
            return Err(Error::usage(there, next));
        }
        files::write(&setup, SETUP.as_bytes(), Over::Nothing, &database)
            .map_err(|error| Error::usage(error.to_string(), next))?;
        Ok(Self { database, setup })
    }

    fn play(&self, context: &mut Context<'_>) -> Result<(), Error> {
        let mut environment = Environment {
            database: Some(self.database.clone().into_os_string()),
            ..context.environment.clone()
        };
        for scene in script::scenes() {
            let now = scene.now;
            environment.now = Some(words::rfc3339(now, script::ZONE));
            for line in &scene.lines {
                self.speak(line, &scene, &environment, context)?;
            }
        }
        Ok(())
    }

    fn speak(
        &self,
        line: &Line,
        scene: &Scene,
        environment: &Environment,
        context: &mut Context<'_>,
    ) -> Result<(), Error> {
        let (command, shown, expected) = match line {
            Line::Say(text) => {
                let mut page = Page::new(environment.width, environment.colour);
                page.verbatim("");
                let date = scene.now.with_timezone(&script::ZONE).format("%-d %B %Y, %H:%M");
                page.heading(Tone::Strong, &format!("-- {date}"));
                page.say(text);
                return context.screen.write(&page.into_text());
            }
            Line::Do(command) => (command, false, 0),
            Line::Show(command) => (command, true, 0),
            Line::Refuse(command) => (command, true, 1),
        };
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let code = run_in(self.words(command), environment, &mut out, &mut err);
        let answer = format!("{}{}", String::from_utf8_lossy(&out), String::from_utf8_lossy(&err));
        if shown {
            context.screen.write(&format!("\n$ tackfree {command}\n{answer}"))?;
        }
        if code == expected {
            return Ok(());
        }
        let message = format!("the demo went wrong at \"{command}\", exit code {code}: {answer}");
        Err(Error::usage(message, "report this: the demo and the program disagree"))
    }

    /// The command's words as a shell would split them, with the setup file in its place.
    fn words(&self, command: &str) -> Vec<OsString> {
        let setup = self.setup.clone().into_os_string();
        let given = script::split(command).into_iter().map(|word| match word.as_str() {
            "SETUP" => setup.clone(),
            _ => OsString::from(word),
        });
        std::iter::once(OsString::from("tackfree")).chain(given).collect()
    }
}
