//! A scheduled task of Windows (Task Scheduler schema 1.2), handed over by `schtasks`.

use std::path::PathBuf;

use crate::remind::timer::{File, Job, Places, TimerError, Words, words, xml};

fn name(places: &Places) -> String {
    format!("tackfree remind {}", places.shop)
}

pub(super) fn path(places: &Places) -> PathBuf {
    places.config.join("tackfree").join(format!("remind-{}.xml", places.shop))
}

/// The task. Its time zone is the one in the database: a task has no environment of its own.
pub(super) fn file(job: &Job, places: &Places) -> Result<File, TimerError> {
    for text in [&job.program, &job.database].into_iter().chain(&job.calendar) {
        if text.matches('%').count() > 1 || text.contains("$(") {
            let why = "the Task Scheduler puts a variable's value in place of %…% and $(…)";
            return Err(TimerError::Unwritable { path: text.into(), why });
        }
    }
    let arguments: Vec<String> = job.arguments().into_iter().map(argument).collect();
    let arguments = arguments.join(" ");
    let text = format!(
        r#"<?xml version="1.0" encoding="UTF-16"?>
<Task version="1.2" xmlns="http://schemas.microsoft.com/windows/2004/02/mit/task">
  <RegistrationInfo>
    <Description>tackfree: tells what needs hands now</Description>
  </RegistrationInfo>
  <Triggers>
    <TimeTrigger>
      <StartBoundary>2000-01-01T00:00:00Z</StartBoundary>
      <Repetition>
        <Interval>PT1M</Interval>
      </Repetition>
    </TimeTrigger>
  </Triggers>
  <Settings>
    <MultipleInstancesPolicy>IgnoreNew</MultipleInstancesPolicy>
    <DisallowStartIfOnBatteries>false</DisallowStartIfOnBatteries>
    <StopIfGoingOnBatteries>false</StopIfGoingOnBatteries>
    <StartWhenAvailable>true</StartWhenAvailable>
    <ExecutionTimeLimit>PT1M</ExecutionTimeLimit>
    <Hidden>true</Hidden>
  </Settings>
  <Actions>
    <Exec>
      <Command>{program}</Command>
      <Arguments>{arguments}</Arguments>
    </Exec>
  </Actions>
</Task>
"#,
        program = xml(&job.program),
        arguments = xml(&arguments),
    );
    Ok(File { path: path(places), text, utf16: true })
}

pub(super) fn switch_on(places: &Places) -> Vec<Words> {
    let path = path(places).display().to_string();
    vec![words(["schtasks", "/Create", "/F", "/TN", &name(places), "/XML", &path])]
}

pub(super) fn switch_off(places: &Places) -> Vec<Words> {
    vec![words(["schtasks", "/Delete", "/F", "/TN", &name(places)])]
}

/// One argument as a Windows program splits its command line: in quotes where a blank or a quote is in it, with the
/// backslashes before a quote doubled.
fn argument(text: &str) -> String {
    if !text.is_empty() && !text.contains([' ', '\t', '"']) {
        return text.to_owned();
    }
    let (mut quoted, mut backslashes) = (String::from("\""), 0);
    for sign in text.chars() {
        match sign {
            '\\' => backslashes += 1,
            '"' => {
                quoted.push_str(&"\\".repeat(backslashes + 1));
                backslashes = 0;
            }
            _ => backslashes = 0,
        }
        quoted.push(sign);
    }
    quoted.push_str(&"\\".repeat(backslashes));
    quoted.push('"');
    quoted
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arguments_come_apart_again_as_windows_splits_them() {
        let written = [r"C:\a\b.db", r"C:\a b\", r#"say "hi""#, r#"a\"b c"#, ""].map(argument);
        let expected = [r"C:\a\b.db", r#""C:\a b\\""#, r#""say \"hi\"""#, r#""a\\\"b c""#, r#""""#];
        assert_eq!(written, expected);
    }
}
