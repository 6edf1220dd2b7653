//! A command of the shop's own: is given one notice as one JSON object on standard input, and says by its exit code whether it
//! was told.

use std::io::Write as _;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use sha2::{Digest as _, Sha256};

use crate::remind::desktop::Outcome;
use crate::remind::notice::Notice;

/// How long a command may take for one notice, in looks.
const LOOKS: u32 = 200;

/// How long all of them of one run may, in looks: the next run goes on with the rest. Well within the lease of a claim.
const LOOKS_IN_ALL: u32 = 800;

/// The time between two looks whether it has ended.
const LOOK: Duration = Duration::from_millis(20);

/// The commands of one run, which share their time.
#[derive(Debug)]
pub(crate) struct Commands {
    left: u32,
}

impl Default for Commands {
    fn default() -> Self {
        Self { left: LOOKS_IN_ALL }
    }
}

/// The name of a command among the channels: another command is another channel, and is told what the first was.
pub(crate) fn channel(command: &[String]) -> String {
    let digest = Sha256::digest(command.join("\0").as_bytes());
    let start = digest.iter().take(6).fold(0_u64, |start, octet| start << 8 | u64::from(*octet));
    format!("run-{start:012x}")
}

impl Commands {
    /// Tells one notice by one command. One that takes too long is ended, and what it was to tell stays pending.
    pub(crate) fn tell(&mut self, command: &[String], notice: &Notice) -> Outcome {
        let Some((program, arguments)) = command.split_first() else { return Outcome::NotTried };
        if self.left == 0 {
            return Outcome::NotTried;
        }
        let said = match serde_json::to_vec(notice) {
            Ok(said) => said,
            Err(error) => return Outcome::Failed(error.to_string()),
        };
        let started = Command::new(program)
            .args(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn();
        let mut child = match started {
            Ok(child) => child,
            Err(error) => return Outcome::Failed(format!("{program}: {error}")),
        };
        // On a thread: one that doesn't read must not keep the rest waiting. It ends with the command.
        if let Some(mut input) = child.stdin.take() {
            let write = move || input.write_all(&said).and_then(|()| input.write_all(b"\n")).ok();
            thread::spawn(write);
        }
        match self.wait(&mut child) {
            Some(Ok(status)) if status.success() => Outcome::Done,
            Some(Ok(status)) => Outcome::Failed(format!("{program}: {status}")),
            Some(Err(error)) => Outcome::Failed(format!("{program}: {error}")),
            None => {
                let after = LOOK.saturating_mul(LOOKS).as_secs();
                Outcome::Failed(format!("{program}: did not end within {after} s"))
            }
        }
    }

    /// Waits until it has ended; ends it, and gives nothing, where it takes too long.
    fn wait(&mut self, child: &mut Child) -> Option<std::io::Result<ExitStatus>> {
        let (_never, pause) = mpsc::channel::<()>();
        for _ in 0..LOOKS.min(self.left) {
            match child.try_wait() {
                Ok(None) => pause.recv_timeout(LOOK).unwrap_or_default(),
                Ok(Some(status)) => return Some(Ok(status)),
                Err(error) => return Some(Err(error)),
            }
            self.left -= 1;
        }
        // It may have ended by itself in this moment; either way it is waited for, so that nothing of it stays.
        child.kill().and_then(|()| child.wait()).ok();
        None
    }
}
