//! The timer's files, as the programs that read them see them.

use crate::harness::here;
use std::fs;
use std::os::unix::fs::PermissionsExt as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::{Value, json};
use tackfree::remind::timer::{Job, Places, System, TimerError};
use tempfile::TempDir;

const ZONE: chrono_tz::Tz = chrono_tz::Europe::Dublin;

struct Home {
    folder: TempDir,
    told: Vec<Vec<String>>,
}

impl Home {
    fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap(), told: Vec::new() }
    }

    fn places(&self) -> Places {
        let home = self.folder.path().join("home");
        Places::new(home.clone(), home.join(".config"), Path::new("/shop"))
    }

    /// A program that can be run, under a name of one's own choice.
    fn program(&self, name: &str) -> PathBuf {
        let path = self.folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, "#!/bin/sh\n").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o755)).unwrap();
        path
    }

    fn install(&mut self, system: System, program: &Path, database: &str) -> (usize, usize) {
        let job = Job::new(program, &self.folder.path().join(database), ZONE).unwrap();
        let places = self.places();
        let told = &mut self.told;
        let change = system
            .install(&job, &places, &mut |command| {
                told.push(command.to_vec());
                Ok(())
            })
            .unwrap();
        assert_eq!(change.failed, []);
        (change.changed.len(), change.unchanged.len())
    }

    /// What systemd's own checker says of the installed timer and service.
    fn verify(&self) -> Output {
        Command::new("systemd-analyze")
            .args(["verify", "--user", "--man=no"])
            .args(System::Systemd.paths(&self.places()))
            .env("XDG_RUNTIME_DIR", self.folder.path())
            .output()
            .expect("systemd-analyze is missing: tests/remind/install brings it")
    }

    /// The service's command line as systemd itself has read it, before variables are put in.
    fn command_line(&self) -> Vec<String> {
        let open = |folder: &Path, mode| {
            fs::set_permissions(folder, fs::Permissions::from_mode(mode)).unwrap();
        };
        let run_time = self.folder.path().join("run");
        fs::create_dir(&run_time).unwrap();
        open(self.folder.path(), 0o755);
        open(&run_time, 0o777);
        // systemd's rehearsal refuses to be run by root.
        let root = Command::new("id").arg("-u").output().unwrap().stdout == b"0\n";
        let [service, ..] = &System::Systemd.paths(&self.places())[..] else { panic!() };
        let unit = service.file_name().unwrap().to_str().unwrap().to_owned();
        let mut command = Command::new(if root { "runuser" } else { "env" });
        if root {
            command.args(["-u", "nobody", "--", "env"]);
        }
        let dump = command
            .arg(format!("XDG_CONFIG_HOME={}", self.places().config.display()))
            .arg(format!("XDG_RUNTIME_DIR={}", run_time.display()))
            .args(["HOME=/nonexistent", "/lib/systemd/systemd", "--user", "--test"])
            .arg(format!("--unit={unit}"))
            .output()
            .expect("systemd is missing: tests/remind/install brings it");
        let dump = said(&dump);
        let (_, unit) = dump.split_once(&format!("-> Unit {unit}:")).expect(&dump);
        let line = unit.lines().find_map(|line| line.trim().strip_prefix("Command Line: "));
        // It is shown quoted for a POSIX shell.
        let words = Command::new("/bin/sh")
            .arg("-c")
            .arg(format!("printf '%s\\n' {}", line.unwrap()))
            .output();
        String::from_utf8(words.unwrap().stdout).unwrap().lines().map(str::to_owned).collect()
    }
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&[&output.stdout[..], &output.stderr[..]].concat()).into_owned()
}

#[test]
fn systemd_finds_nothing_wrong_whatever_the_paths_are() {
    if !here(&["systemd-analyze"]) {
        return;
    }
    for (program, database) in [
        ("bin/tackfree", "shop.tackfree"),
        ("my tools/tack free 50%/$HOME/tackfree", "my data/shop 100% $x.tackfree"),
        ("it's/a \"quoted\" back\\slash/tackfree", "it's/a \"quoted\" back\\slash.tackfree"),
        ("caf\u{e9} \u{1f343}/tackfree", "caf\u{e9} \u{1f343}.tackfree\\"),
    ] {
        let mut home = Home::new();
        let program = home.program(program);
        home.install(System::Systemd, &program, database);
        let output = home.verify();
        assert!(output.status.success() && said(&output).is_empty(), "{}", said(&output));
    }
}

#[test]
fn systemd_finds_fault_with_a_program_that_is_not_there() {
    if !here(&["systemd-analyze"]) {
        return;
    }
    let mut home = Home::new();
    let missing = home.folder.path().join("my tools/50%/$HOME/tackfree");
    home.install(System::Systemd, &missing, "shop.tackfree");
    let output = home.verify();
    assert!(!output.status.success());
    assert!(
        said(&output).contains(&format!("{} is not executable", missing.display())),
        "{}",
        said(&output)
    );
}

#[test]
fn systemd_reads_every_word_as_it_is() {
    if !here(&["/lib/systemd/systemd", "runuser"]) {
        return;
    }
    let hard = "a b/50%/%h/$HOME/${HOME}/it's \"q\" b\\n \\";
    for (program, through_shell) in
        [("plain 50%/$HOME/tackfree", false), ("it's \"q\"/b\\n/$HOME/tackfree", true)]
    {
        let mut home = Home::new();
        let program = home.program(program);
        home.install(System::Systemd, &program, hard);
        let program = program.to_str().unwrap();
        let database = home.folder.path().join(hard).to_str().unwrap().replace('$', "$$");
        // `$$` becomes `$` when systemd runs it; in the first word neither means anything.
        let mut expected = Vec::new();
        if through_shell {
            expected.extend(["/bin/sh", "-c", r#"exec "$$0" "$$@""#].map(str::to_owned));
        }
        expected.push(if through_shell { program.replace('$', "$$") } else { program.to_owned() });
        expected.extend(["--db", &database, "remind", "send"].map(str::to_owned));
        assert_eq!(home.command_line(), expected);
    }
}

#[test]
fn what_is_installed_twice_is_left_as_it_is() {
    for (system, files) in [(System::Systemd, 2), (System::Launchd, 1), (System::TaskScheduler, 1)]
    {
        let mut home = Home::new();
        let program = home.program("bin/tackfree");
        assert_eq!(home.install(system, &program, "shop.tackfree"), (files, 0));
        assert_eq!(home.install(system, &program, "shop.tackfree"), (0, files));
        assert_ne!(home.install(system, &program, "other.tackfree").0, 0);
        assert_eq!(home.told[0], home.told[home.told.len() / 3]);
    }
}

#[test]
fn removing_takes_every_file_away_and_is_quiet_the_second_time() {
    for system in [System::Systemd, System::Launchd, System::TaskScheduler] {
        let mut home = Home::new();
        let program = home.program("bin/tackfree");
        home.install(system, &program, "shop.tackfree");
        let places = home.places();
        let mut told = 0;
        let mut run = |_: &[String]| {
            told += 1;
            Ok(())
        };
        let change = system.remove(&places, &mut run).unwrap();
        assert_eq!(change.changed, system.paths(&places));
        assert!(change.changed.iter().all(|path| !path.exists()));
        let again =
            system.remove(&places, &mut |_| panic!("nothing is there to switch off")).unwrap();
        assert_eq!(again.unchanged, system.paths(&places));
        assert_ne!(told, 0);
    }
}

#[test]
fn a_system_that_was_not_told_is_reported_and_no_file_stays() {
    let home = Home::new();
    let job = Job::new(&home.program("tackfree"), &home.folder.path().join("d"), ZONE).unwrap();
    let mut asked = 0;
    let change = System::Systemd
        .install(&job, &home.places(), &mut |_| {
            asked += 1;
            Err("Failed to connect to bus".to_owned())
        })
        .unwrap();
    assert!(change.changed.is_empty());
    assert!(System::Systemd.paths(&home.places()).iter().all(|path| !path.exists()));
    let [(command, why)] = &change.failed[..] else { panic!("{:?}", change.failed) };
    assert_eq!(
        (command.join(" ").as_str(), why.as_str(), asked),
        ("systemctl --user daemon-reload", "Failed to connect to bus", 1)
    );
}

#[test]
fn paths_that_can_not_be_written_are_refused() {
    let whole = Path::new("/bin/tackfree");
    let job =
        |program: &str, database: &str| Job::new(Path::new(program), Path::new(database), ZONE);
    assert!(matches!(job("tackfree", "/d"), Err(TimerError::Relative { .. })));
    assert!(matches!(job("/t", "d"), Err(TimerError::Relative { .. })));
    assert!(matches!(job("/t\nExecStart=/bin/false", "/d"), Err(TimerError::Unwritable { .. })));
    let variables = Job::new(whole, Path::new("/%TEMP%/d"), ZONE).unwrap();
    let places = Home::new().places();
    assert!(matches!(
        System::TaskScheduler.files(&variables, &places),
        Err(TimerError::Unwritable { .. })
    ));
}

/// What Python's own readers make of the files of macOS and Windows.
fn python(script: &str, file: &Path) -> Value {
    let output = Command::new("python3")
        .args(["-c", script])
        .arg(file)
        .output()
        .expect("python3 is missing");
    assert!(output.status.success(), "{}", said(&output));
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn launchd_is_given_the_command_line_and_the_zone_whole() {
    if !here(&["python3"]) {
        return;
    }
    let mut home = Home::new();
    let program = home.program("my <tools> & \"more\"/tackfree");
    home.install(System::Launchd, &program, "50% $x & <y>.tackfree");
    let read =
        "import sys, json, plistlib; print(json.dumps(plistlib.load(open(sys.argv[1], 'rb'))))";
    let list = python(read, &System::Launchd.paths(&home.places())[0]);
    let database = home.folder.path().join("50% $x & <y>.tackfree");
    assert_eq!(
        list,
        json!({
            "Label": format!("tackfree.remind.{}", home.places().shop),
            "ProgramArguments": [program, "--db", database, "remind", "send"],
            "EnvironmentVariables": {"TZ": "Europe/Dublin"},
            "StartInterval": 60,
            "RunAtLoad": true,
        })
    );
}

#[test]
fn the_task_is_read_as_the_same_command_line() {
    if !here(&["python3"]) {
        return;
    }
    let mut home = Home::new();
    let program = home.program("my <tools> & more/tackfree.exe");
    home.install(System::TaskScheduler, &program, "my data & \"more\"\\.tackfree");
    let read = r"
import sys, json, xml.etree.ElementTree as tree
octets = open(sys.argv[1], 'rb').read()
assert octets[:2] == b'\xff\xfe'
task = tree.fromstring(octets)
find = lambda path: task.find('.' + path.replace('/', '/{http://schemas.microsoft.com/windows/2004/02/mit/task}')).text
print(json.dumps([find(path) for path in ['/Actions/Exec/Command', '/Actions/Exec/Arguments', '/Triggers/TimeTrigger/Repetition/Interval']]))
";
    let found = python(read, &System::TaskScheduler.paths(&home.places())[0]);
    // Python quotes a Windows command line by the same published rules.
    let join = "import sys, json, subprocess; print(json.dumps(subprocess.list2cmdline(['--db', sys.argv[1], 'remind', 'send'])))";
    let arguments = python(join, &home.folder.path().join("my data & \"more\"\\.tackfree"));
    assert_eq!(found, json!([program, arguments, "PT1M"]));
}

#[test]
fn cron_is_given_a_line_that_a_shell_reads_as_the_same_words() {
    let program = Path::new("/my tools/50%/it's/tackfree");
    let job = Job::new(program, Path::new("/data/shop $x.db"), ZONE).unwrap();
    let line = job.with_calendar(Path::new("/a b.ics")).unwrap().cron(Some("unix:path=/run/bus"));
    let command = line.strip_prefix("* * * * * ").unwrap();
    // cron takes the backslash before a percent sign away (crontab(5)).
    let command = command.replace(r"\%", "%");
    assert!(!command.contains('\n'));
    let said = Command::new("sh")
        .args([
            "-c",
            &command.replace("DBUS_SESSION_BUS_ADDRESS='unix:path=/run/bus' ", "printf '%s\n' "),
        ])
        .output()
        .unwrap();
    let words: Vec<String> =
        String::from_utf8(said.stdout).unwrap().lines().map(str::to_owned).collect();
    assert_eq!(
        words,
        [
            program.to_str().unwrap(),
            "--db",
            "/data/shop $x.db",
            "remind",
            "send",
            "--calendar",
            "/a b.ics"
        ]
    );
}

#[test]
fn two_shops_have_two_timers() {
    let mut home = Home::new();
    let program = home.program("bin/tackfree");
    home.install(System::Systemd, &program, "shop.tackfree");
    let other = Places { shop: "0".to_owned(), ..home.places() };
    assert!(System::Systemd.paths(&other).iter().all(|path| !path.exists()));
}
