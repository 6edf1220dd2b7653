//! One run of the program, with everything it said.

use std::collections::BTreeMap;
use std::ffi::OsString;
use std::fmt;
use std::io::Write as _;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use unicode_width::UnicodeWidthStr as _;

use super::{answers, forbidden};

/// What is needed to start the program, and to start it again.
#[derive(Debug, Clone)]
pub(super) struct Launch {
    pub(super) words: Vec<String>,
    pub(super) folder: PathBuf,
    pub(super) environment: BTreeMap<&'static str, OsString>,
}

/// What one run said, and how it ended.
#[derive(Debug)]
#[must_use]
pub(crate) struct Run {
    launch: Launch,
    input: String,
    pub(crate) stdout: String,
    pub(crate) stderr: String,
    pub(crate) code: i32,
}

impl Launch {
    pub(super) fn command(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_tackfree"));
        command.args(&self.words).current_dir(&self.folder).env_clear().envs(&self.environment);
        command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
        command
    }

    #[track_caller]
    pub(super) fn run(self) -> Run {
        let output = self.command().output().unwrap();
        Run::new(self, String::new(), output)
    }

    #[track_caller]
    pub(super) fn run_with(self, input: &str) -> Run {
        let mut child = self.command().stdin(Stdio::piped()).spawn().unwrap();
        // A program that ends without reading has closed its end: what it says tells more than the broken pipe.
        child.stdin.take().unwrap().write_all(input.as_bytes()).ok();
        let output = child.wait_with_output().unwrap();
        Run::new(self, input.to_owned(), output)
    }
}

impl Run {
    #[track_caller]
    fn new(launch: Launch, input: String, output: Output) -> Self {
        let text = |bytes| String::from_utf8(bytes).expect("what is printed is UTF-8");
        let (stdout, stderr) = (text(output.stdout), text(output.stderr));
        let code = output.status.code().expect("the program ends by itself");
        let run = Self { launch, input, stdout, stderr, code };
        assert!(!run.stderr.contains("panicked"), "{run}");
        if run.asks_for_json() {
            answers::hold(&run.launch.words, &run.stdout);
        }
        let said = format!("{}\n{}", run.stdout, run.stderr);
        // A caution quotes what people say, to say what is wrong with it.
        let quotes = run.launch.words.first().is_some_and(|command| command == "caution");
        let said =
            if quotes { forbidden::unquoted(&said) } else { forbidden::without_names(&said) };
        let found = forbidden::found_in(&said);
        assert!(found.is_empty(), "{found:#?} was said:\n{run}");
        run
    }

    /// It did what was asked, and said nothing on standard error. Gives what it said.
    #[track_caller]
    pub(crate) fn ok(self) -> String {
        assert!(self.code == 0 && self.stderr.is_empty(), "expected success:\n{self}");
        self.stdout
    }

    /// It did what was asked and answered in JSON.
    #[track_caller]
    pub(crate) fn json(self) -> Value {
        let shown = self.to_string();
        serde_json::from_str(&self.ok()).unwrap_or_else(|error| panic!("{error}:\n{shown}"))
    }

    fn asks_for_json(&self) -> bool {
        self.launch.words.iter().any(|word| word == "--json")
    }

    /// It ended with that exit code, and said why: on standard error, or as JSON where the answer would have stood. Gives
    /// what it said.
    #[track_caller]
    pub(crate) fn fails(self, code: i32) -> String {
        let (said, nothing) = if self.asks_for_json() {
            (&self.stdout, &self.stderr)
        } else {
            (&self.stderr, &self.stdout)
        };
        let why = self.code == code && nothing.is_empty() && !said.is_empty();
        assert!(why && code != 0, "expected exit code {code}:\n{self}");
        said.clone()
    }

    /// That rule refused it: exit code 1, or 2 where something named is not there. It says the same as text and, asked
    /// again, as JSON: what happened and what to do next. Gives the text.
    #[track_caller]
    pub(crate) fn refused(self, rule: &str) -> String {
        let code = if matches!(rule, "unknown-name" | "no-entry") { 2 } else { 1 };
        let error = self.error();
        assert_eq!((&error["rule"], &error["code"]), (&rule.into(), &code.into()), "{self}");
        self.fails(code)
    }

    /// The error as `--json` says it; where the run was not with `--json`, it is asked again, and must say the same. A run
    /// that fails records nothing, so asking again changes nothing.
    #[track_caller]
    pub(crate) fn error(&self) -> Value {
        if self.asks_for_json() {
            // It stands where the answer would have stood, or beside it.
            let read = |text: &String| serde_json::from_str::<Value>(text).ok();
            let mut said = [&self.stdout, &self.stderr].into_iter().filter_map(read);
            let said = said.find(|said| said["error"].is_object());
            let said = said.unwrap_or_else(|| panic!("no JSON error:\n{self}"));
            let error = &said["error"];
            let whole = error["message"].is_string() && error["next"].is_string();
            assert!(whole && error["code"] == self.code, "an error without its parts:\n{self}");
            return error.clone();
        }
        let mut again = self.launch.clone();
        again.words.push("--json".to_owned());
        let error = again.run_with(&self.input).error();
        let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let part = |name: &str| words(error[name].as_str().unwrap());
        let expected = format!("error: {} next: {}", part("message"), part("next"));
        assert!(words(&self.stderr).ends_with(&expected), "text and JSON differ: {error}\n{self}");
        error
    }

    /// No line is wider than the terminal.
    #[track_caller]
    pub(crate) fn fits(self) -> Self {
        let columns: usize =
            self.launch.environment["COLUMNS"].to_str().and_then(|c| c.parse().ok()).unwrap();
        for line in self.stdout.lines().chain(self.stderr.lines()) {
            assert!(line.width() <= columns, "wider than {columns} columns: {line:?}\n{self}");
        }
        self
    }
}

/// The whole of it, so that a failed test shows all there is to know.
impl fmt::Display for Run {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { launch, stdout, stderr, code, .. } = self;
        let now = launch.environment.get("TACKFREE_NOW");
        writeln!(f, "$ tackfree {}", launch.words.join(" "))?;
        writeln!(f, "-- at {now:?} ended with {code}")?;
        write!(f, "-- stdout\n{stdout}-- stderr\n{stderr}")
    }
}
