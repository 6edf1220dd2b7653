//! A service and a timer of systemd's user manager (`systemd.service`, `systemd.timer`, `systemd.syntax`).

use std::path::PathBuf;

use crate::remind::timer::{File, Job, Places, Words, words};

fn service_name(places: &Places) -> String {
    format!("tackfree-remind-{}.service", places.shop)
}

fn timer_name(places: &Places) -> String {
    format!("tackfree-remind-{}.timer", places.shop)
}

pub(super) fn paths(places: &Places) -> [PathBuf; 2] {
    let folder = places.config.join("systemd").join("user");
    [folder.join(service_name(places)), folder.join(timer_name(places))]
}

pub(super) fn files(job: &Job, places: &Places) -> Vec<File> {
    let [service_path, timer_path] = paths(places);
    vec![
        File { path: service_path, text: service(job), utf16: false },
        File { path: timer_path, text: timer(), utf16: false },
    ]
}

pub(super) fn switch_on(places: &Places) -> Vec<Words> {
    vec![reload(), words(["systemctl", "--user", "enable", "--now", &timer_name(places)])]
}

pub(super) fn switch_off(places: &Places) -> Vec<Words> {
    vec![words(["systemctl", "--user", "disable", "--now", &timer_name(places)])]
}

/// A run that failed is remembered by its name when its file is gone, until it is told to forget.
pub(super) fn forget(places: &Places) -> Words {
    words(["systemctl", "--user", "reset-failed", &service_name(places)])
}

pub(super) fn reload() -> Words {
    words(["systemctl", "--user", "daemon-reload"])
}

fn service(job: &Job) -> String {
    let arguments: Vec<String> = job.arguments().into_iter().map(argument).collect();
    let arguments = arguments.join(" ");
    format!(
        "[Unit]\n\
         Description=tackfree: tells what needs hands now\n\
         {condition}\
         \n\
         [Service]\n\
         Type=oneshot\n\
         Environment=TZ={zone}\n\
         ExecStart={program} {arguments}\n\
         TimeoutStartSec=30\n\
         StandardOutput=null\n",
        condition = condition(&job.database),
        zone = job.zone.name(),
        program = program(&job.program),
    )
}

fn timer() -> String {
    "[Unit]\n\
     Description=tackfree: each minute\n\
     \n\
     [Timer]\n\
     OnCalendar=*-*-* *:*:00\n\
     AccuracySec=1s\n\
     Persistent=true\n\
     \n\
     [Install]\n\
     WantedBy=timers.target\n"
        .to_owned()
}

/// Without its database nothing runs: a drive that is not plugged in must not get a new, empty one. A backslash at the
/// end of a line would join the next line to it; such a path goes without.
fn condition(database: &str) -> String {
    if database.ends_with('\\') {
        return String::new();
    }
    format!("ConditionPathExists={}\n", database.replace('%', "%%"))
}

/// The program's own path. systemd takes no quote or backslash in it, however it is written; such a program is run by
/// the shell, to which it is an argument like any other.
fn program(path: &str) -> String {
    if path.contains(['"', '\'', '\\']) {
        return format!("/bin/sh -c {} {}", argument(r#"exec "$0" "$@""#), argument(path));
    }
    // A `$` in the first word isn't a variable and has no escape.
    format!("\"{}\"", path.replace('%', "%%"))
}

/// One argument, whatever is in it: in double quotes, where backslash and quote are escaped, `%` and `$` doubled.
fn argument(text: &str) -> String {
    let escaped = text.replace('\\', "\\\\").replace('"', "\\\"").replace('%', "%%");
    format!("\"{}\"", escaped.replace('$', "$$"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sign_that_means_something_to_systemd_is_escaped() {
        assert_eq!(argument(r#"/a b/50%/$HOME/"q"\"#), r#""/a b/50%%/$$HOME/\"q\"\\""#);
        assert_eq!(program("/a b/50%/$x"), "\"/a b/50%%/$x\"");
        assert_eq!(program("/it's"), r#"/bin/sh -c "exec \"$$0\" \"$$@\"" "/it's""#);
    }
}
