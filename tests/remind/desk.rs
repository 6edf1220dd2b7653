//! A desktop of the test's own: a private session bus, and on it a real notification daemon under a virtual display, or a
//! daemon that writes down what it is asked to show.

use std::collections::BTreeMap;
use std::fs;
use std::io::{BufRead as _, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use serde_json::Value;
use tempfile::TempDir;

/// A program that runs as long as the test does.
struct Running(Child);

impl Drop for Running {
    fn drop(&mut self) {
        // It may have ended by itself.
        self.0.kill().unwrap_or_default();
        self.0.wait().unwrap();
    }
}

impl Running {
    /// Starts it and waits for its first line on standard output.
    fn start(command: &mut Command) -> (Self, String) {
        let program = command.get_program().to_string_lossy().into_owned();
        let child = command.stdin(Stdio::null()).stdout(Stdio::piped()).spawn();
        let mut child = child
            .unwrap_or_else(|error| panic!("{program}: {error}: tests/remind/install brings it"));
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
        assert!(
            !line.is_empty(),
            "{program} ended before it was ready: see what tests/remind/install brings"
        );
        (Self(child), line.trim().to_owned())
    }
}

/// A session bus that nothing else is on; it starts no services.
pub(super) struct Bus {
    pub(super) address: String,
    folder: TempDir,
    _daemon: Running,
}

impl Bus {
    pub(super) fn start() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("bus.conf");
        let rules = r#"<policy context="default"><allow send_destination="*" eavesdrop="true"/><allow eavesdrop="true"/><allow own="*"/></policy>"#;
        let listen = format!("<listen>unix:dir={}</listen>", folder.path().display());
        let config = format!(
            "<busconfig><type>session</type>{listen}<auth>EXTERNAL</auth>{rules}</busconfig>"
        );
        fs::write(&file, config).unwrap();
        let mut command = Command::new("dbus-daemon");
        command.arg(format!("--config-file={}", file.display()));
        command.args(["--nofork", "--nopidfile", "--print-address=1"]).stderr(Stdio::null());
        let (daemon, address) = Running::start(&mut command);
        Self { address, folder, _daemon: daemon }
    }

    fn command(&self, program: &str) -> Command {
        let mut command = Command::new(program);
        command.env("DBUS_SESSION_BUS_ADDRESS", &self.address);
        for folder in ["XDG_RUNTIME_DIR", "XDG_CONFIG_HOME", "XDG_CACHE_HOME"] {
            command.env(folder, self.folder.path());
        }
        command
    }
}

/// A real notification daemon, dunst, under a virtual display.
pub(super) struct Desk {
    pub(super) bus: Bus,
    daemon: Running,
    _screen: Running,
}

/// A notice as the daemon has it.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Shown {
    pub(super) summary: String,
    pub(super) body: String,
    pub(super) urgency: String,
}

impl Desk {
    pub(super) fn start() -> Self {
        let bus = Bus::start();
        let mut screen = bus.command("Xvfb");
        screen
            .args(["-displayfd", "1", "-screen", "0", "800x600x24", "-nolisten", "tcp"])
            .stderr(Stdio::null());
        let (screen, display) = Running::start(&mut screen);
        let settings = bus.folder.path().join("dunstrc");
        // dunst tells a notice's urgency only by how it formats it.
        let urgency = |name: &str| format!("[urgency_{name}]\ntimeout=0\nformat=\"{name} %s\"\n");
        let urgencies = ["low", "normal", "critical"].map(urgency).concat();
        // Asked which of several buttons is meant, the first one is.
        let global = "[global]\nmarkup=full\nhistory_length=100\nidle_threshold=0\ndmenu=/usr/bin/head -n 1\n";
        fs::write(&settings, format!("{global}{urgencies}")).unwrap();
        let mut daemon = bus.command("dunst");
        daemon.arg("-config").arg(settings).env("DISPLAY", format!(":{display}"));
        let daemon = daemon.stdout(Stdio::null()).stderr(Stdio::null()).spawn();
        let daemon = Running(daemon.expect("dunst: tests/remind/install brings it"));
        let desk = Self { bus, daemon, _screen: screen };
        let waited = desk
            .bus
            .command("gdbus")
            .args(["wait", "--session", "--timeout", "30"])
            .arg("org.freedesktop.Notifications")
            .status();
        assert!(
            waited.expect("gdbus: tests/remind/install brings it").success(),
            "dunst did not start"
        );
        desk
    }

    /// Sends the daemon a signal: "STOP", "CONT".
    pub(super) fn signal(&self, signal: &str) {
        let sent = Command::new("kill")
            .arg(format!("-{signal}"))
            .arg(self.daemon.0.id().to_string())
            .status();
        assert!(sent.unwrap().success());
    }

    fn control(&self, words: &[&str]) -> String {
        let output = self.bus.command("dunstctl").args(words).output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    }

    /// A person presses the first button of the notice at the top.
    pub(super) fn press_first(&self) {
        self.control(&["context"]);
    }

    /// How many notices stand on the screen.
    pub(super) fn displayed(&self) -> usize {
        self.control(&["count", "displayed"]).trim().parse().unwrap()
    }

    /// Waits until so many notices stand on the screen. The daemon lays out and puts away in its own time; each look is a
    /// program of its own, so this does not spin.
    pub(super) fn comes_to(&self, count: usize) -> bool {
        (0..500).any(|_| self.displayed() == count)
    }

    /// Waits until so many notices stand on the screen, closes them, and reads them back, oldest first.
    pub(super) fn read_back(&self, count: usize) -> Vec<Shown> {
        assert!(self.comes_to(count), "{} stand on the screen", self.displayed());
        self.control(&["close-all"]);
        let put_away = || self.control(&["count", "history"]).trim().parse::<usize>().unwrap();
        assert!((0..500).any(|_| put_away() >= count));
        let history: Value = serde_json::from_str(&self.control(&["history"])).unwrap();
        let field = |notice: &Value, name: &str| {
            notice[name]["data"].as_str().unwrap_or_default().to_owned()
        };
        let newest_first = history["data"][0].as_array().unwrap().iter();
        newest_first
            .take(count)
            .rev()
            .map(|notice| Shown {
                summary: field(notice, "summary"),
                body: field(notice, "body"),
                urgency: field(notice, "message").split(' ').next().unwrap().to_owned(),
            })
            .collect()
    }
}

/// A daemon that writes down what it is asked to show.
pub(super) struct Recorder {
    pub(super) bus: Bus,
    file: PathBuf,
    daemon: Running,
}

impl Recorder {
    /// One that answers "yes", "error" or "never", and claims to read markup or not.
    pub(super) fn start(answer: &str, capabilities: &[&str]) -> Self {
        let bus = Bus::start();
        let file = bus.folder.path().join("calls");
        fs::write(&file, "").unwrap();
        let daemon = Self::daemon(&bus, &file, answer, capabilities);
        Self { bus, file, daemon }
    }

    /// Every notice shown so far, in order.
    pub(super) fn calls(&self) -> Vec<Value> {
        let lines = self.lines().into_iter();
        lines.filter(|line| line.get("closed").is_none()).collect()
    }

    /// What a person would see by now: every notice that was neither replaced nor closed, by its number.
    pub(super) fn stands(&self) -> Vec<Value> {
        let mut stands = BTreeMap::new();
        for line in self.lines() {
            match line["closed"].as_u64() {
                Some(closed) => stands.remove(&closed),
                None => stands.insert(line["id"].as_u64().unwrap(), line),
            };
        }
        stands.into_values().collect()
    }

    /// A person presses a button of a notice.
    pub(super) fn press(&self, notice: &Value, button: &str) {
        let mut call = self.bus.command("gdbus");
        call.args(["call", "--session", "--dest", "org.freedesktop.Notifications"]);
        call.args(["--object-path", "/org/freedesktop/Notifications"]);
        call.args(["--method", "tests.Recorder.Press", &notice["id"].to_string(), button]);
        let output = call.output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    }

    /// The summaries of what stands.
    pub(super) fn standing(&self) -> Vec<String> {
        let stands = self.stands();
        stands.iter().map(|call| call["summary"].as_str().unwrap().to_owned()).collect()
    }

    fn lines(&self) -> Vec<Value> {
        let text = fs::read_to_string(&self.file).unwrap();
        text.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
    }

    /// The daemon dies, and another one takes its place on the same bus.
    pub(super) fn restart(&mut self) {
        self.daemon.0.kill().unwrap();
        self.daemon.0.wait().unwrap();
        fs::write(&self.file, "").unwrap();
        self.daemon = Self::daemon(&self.bus, &self.file, "yes", &["actions"]);
    }

    fn daemon(bus: &Bus, file: &Path, answer: &str, capabilities: &[&str]) -> Running {
        let mut daemon = bus.command("/usr/bin/python3");
        daemon.arg(super::shop::project("tests/remind/recorder.py")).arg(file).arg(answer);
        Running::start(daemon.args(capabilities)).0
    }
}
