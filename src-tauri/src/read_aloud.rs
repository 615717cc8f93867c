//! Reads a step aloud by a speech program of the machine: one child at a time, its text on standard input
//! or as one argument, never through a shell.

use crate::error::ShellError;
use std::io::{ErrorKind, Write as _};
use std::process::{Child, Command, Stdio};
use std::sync::{Mutex, PoisonError};

const DISPATCHER: &str = "spd-say";
const SYNTHESIZER: &str = "espeak-ng";

/// The voice, and what it is reading.
#[derive(Default)]
pub struct Voice(Mutex<Option<Reading>>);

struct Reading {
    child: Child,
    text: String,
    dispatched: bool,
}

impl Voice {
    /// Reads a text. While that very text is being read, it stops instead. Says whether it reads now.
    pub fn toggle(&self, text: &str) -> Result<bool, ShellError> {
        let mut reading = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let again = reading.as_mut().is_some_and(|now| now.goes_on() && now.text == text);
        if let Some(now) = reading.take() {
            now.stop();
        }
        if !again {
            *reading = Some(Reading::begin(text)?);
        }
        Ok(!again)
    }

    /// Stops, if it reads.
    pub fn stop(&self) {
        if let Some(now) = self.0.lock().unwrap_or_else(PoisonError::into_inner).take() {
            now.stop();
        }
    }
}

impl Drop for Voice {
    fn drop(&mut self) {
        self.stop();
    }
}

impl Reading {
    fn begin(text: &str) -> Result<Self, ShellError> {
        let quiet = |command: &mut Command| {
            command.stdout(Stdio::null()).stderr(Stdio::null());
        };
        // Through the desktop's dispatcher if there is one: it knows the voice the person chose.
        let mut dispatcher = Command::new(DISPATCHER);
        dispatcher.args(["--wait", "--", text]).stdin(Stdio::null());
        quiet(&mut dispatcher);
        match dispatcher.spawn() {
            Ok(child) => return Ok(Self { child, text: text.to_owned(), dispatched: true }),
            Err(error) if error.kind() == ErrorKind::NotFound => {}
            Err(error) => return Err(ShellError::Voice(error.to_string())),
        }
        let mut synthesizer = Command::new(SYNTHESIZER);
        // A little slower than it would: for somebody who listens while their hands are busy.
        synthesizer.args(["-s", "150", "--stdin"]).stdin(Stdio::piped());
        quiet(&mut synthesizer);
        let mut child = synthesizer.spawn().map_err(|error| match error.kind() {
            ErrorKind::NotFound => ShellError::NoVoice,
            _ => ShellError::Voice(error.to_string()),
        })?;
        // A voice that ended at once took nothing; that is heard.
        if let Some(mut input) = child.stdin.take() {
            let _ = input.write_all(text.as_bytes());
        }
        Ok(Self { child, text: text.to_owned(), dispatched: false })
    }

    fn goes_on(&mut self) -> bool {
        matches!(self.child.try_wait(), Ok(None))
    }

    fn stop(mut self) {
        let spoke = self.goes_on();
        let _ = self.child.kill();
        let _ = self.child.wait();
        // The dispatcher speaks on when the one who asked is gone.
        if self.dispatched && spoke {
            // Not waited for here: a dispatcher that hangs must hold nothing up.
            std::thread::spawn(|| {
                let _ = Command::new(DISPATCHER)
                    .arg("--cancel")
                    .stdin(Stdio::null())
                    .stdout(Stdio::null())
                    .stderr(Stdio::null())
                    .status();
            });
        }
    }
}
