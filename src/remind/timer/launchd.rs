//! A launchd agent (`launchd.plist`).

use std::path::PathBuf;

use crate::remind::timer::{File, Job, Places, Words, words, xml};

fn label(places: &Places) -> String {
    format!("tackfree.remind.{}", places.shop)
}

pub(super) fn path(places: &Places) -> PathBuf {
    places.home.join("Library").join("LaunchAgents").join(format!("{}.plist", label(places)))
}

pub(super) fn file(job: &Job, places: &Places) -> File {
    let words = [job.program.as_str()].into_iter().chain(job.arguments());
    let words: Vec<String> =
        words.map(|word| format!("    <string>{}</string>", xml(word))).collect();
    let text = format!(
        r#"<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE plist PUBLIC "-//Apple//DTD PLIST 1.0//EN" "http://www.apple.com/DTDs/PropertyList-1.0.dtd">
<plist version="1.0">
<dict>
  <key>Label</key>
  <string>{label}</string>
  <key>ProgramArguments</key>
  <array>
{words}
  </array>
  <key>EnvironmentVariables</key>
  <dict>
    <key>TZ</key>
    <string>{zone}</string>
  </dict>
  <key>StartInterval</key>
  <integer>60</integer>
  <key>RunAtLoad</key>
  <true/>
</dict>
</plist>
"#,
        label = label(places),
        words = words.join("\n"),
        zone = xml(job.zone.name()),
    );
    File { path: path(places), text, utf16: false }
}

/// Loaded again, so that a changed file counts; that one which is not loaded can't be unloaded does no harm.
pub(super) fn switch_on(places: &Places) -> Vec<Words> {
    let anew = r#"launchctl unload "$0" 2>/dev/null; exec launchctl load -w "$0""#;
    vec![words(["/bin/sh", "-c", anew, &path(places).display().to_string()])]
}

pub(super) fn switch_off(places: &Places) -> Vec<Words> {
    vec![words(["launchctl", "unload", "-w", &path(places).display().to_string()])]
}
