//! Talking to CUPS through its own programs, none of which may keep anybody waiting.

use crate::error::ShellError;
use crate::print_job;
use crate::views::{JobView, PaperWord};
use std::io::{Read, Write as _};
use std::process::{Child, Command as Program, Stdio};
use std::sync::mpsc;
use std::time::{Duration, Instant};

/// How long the print system may take over an answer, and over taking a job.
const ANSWER: Duration = Duration::from_secs(4);
const TAKING: Duration = Duration::from_secs(30);
/// How long a job is followed at once, and how often it is looked for meanwhile.
const FOLLOWED: Duration = Duration::from_secs(3);
const LOOK: Duration = Duration::from_millis(250);
/// The most copies of one print.
const COPIES: u32 = 20;

/// The print queues that CUPS knows; what is in the way, in words.
pub fn printers() -> Result<Vec<String>, String> {
    let (_, names, _) = run(Program::new("lpstat").arg("-e"), ANSWER).map_err(|error| {
        if error.kind() == std::io::ErrorKind::NotFound {
            "Printing needs CUPS (the package cups-client), which is not on this machine."
                .to_owned()
        } else {
            "The print system of this machine does not answer.".to_owned()
        }
    })?;
    Ok(names.lines().map(str::trim).filter(|name| !name.is_empty()).map(str::to_owned).collect())
}

/// What is to be printed, and how.
pub struct ToPrint<'a> {
    /// The bytes of a PDF.
    pub pdf: &'a [u8],
    /// What the job is called in the queue.
    pub title: &'a str,
    /// On which printer.
    pub printer: &'a str,
    /// On what.
    pub paper: PaperWord,
    /// How often, from 1 to 20.
    pub copies: u32,
}

/// Hands a PDF to a print queue and gives the id of the job, if CUPS named one.
///
/// # Errors
/// [`ShellError::Field`] for copies out of range, [`ShellError::Printing`] if the queue is
/// unknown or takes nothing, [`ShellError::File`] if there is no room for the spooled file.
pub fn hand_over(what: &ToPrint<'_>) -> Result<Option<String>, ShellError> {
    let failed = |words: String| ShellError::Printing { printer: what.printer.to_owned(), words };
    if !(1..=COPIES).contains(&what.copies) {
        return Err(ShellError::Field {
            field: "copies".to_owned(),
            message: format!("Print 1 to {COPIES} copies at once."),
        });
    }
    // A name from the screen goes to another program: only one that CUPS itself gave.
    if !printers().map_err(failed)?.iter().any(|known| known == what.printer) {
        return Err(failed("it is not known to this machine.".to_owned()));
    }
    let spool = std::env::temp_dir();
    let mut file = tempfile::Builder::new()
        .prefix("coldbench-")
        .suffix(".pdf")
        .tempfile_in(&spool)
        .map_err(ShellError::file(&spool))?;
    file.write_all(what.pdf).map_err(ShellError::file(file.path()))?;
    let media = match what.paper {
        PaperWord::A4 => "media=A4",
        PaperWord::Letter => "media=Letter",
    };
    let mut program = Program::new("lp");
    program.args(["-d", what.printer, "-o", media, "-n", &what.copies.to_string()]);
    program.args(["-t", what.title]).arg(file.path());
    let (took, answer, error) =
        run(&mut program, TAKING).map_err(|error| failed(error.to_string()))?;
    if !took {
        return Err(failed(error.trim().to_owned()));
    }
    Ok(print_job::id_in(&answer).map(str::to_owned))
}

/// Follows a job for a few seconds, or to its end if that comes sooner.
pub fn follow(job: &str) -> JobView {
    let begun = Instant::now();
    loop {
        let told = look(job);
        if told.done || begun.elapsed() >= FOLLOWED {
            return told;
        }
        std::thread::sleep(LOOK);
    }
}

/// How a job stands now.
pub fn look(job: &str) -> JobView {
    let told = print_job::queue_of(job).and_then(|queue| {
        // In this order: a job that ends in between is found among those that ended.
        let waiting = lpstat(&["-W", "not-completed", "-l", "-o", queue])?;
        let printer = lpstat(&["-l", "-p", queue]).unwrap_or_default();
        if let Some(told) = print_job::waiting(job, &waiting, &printer) {
            return Some(told);
        }
        Some(print_job::over(job, &lpstat(&["-W", "completed", "-l", "-o", queue])?))
    });
    told.unwrap_or_else(|| JobView {
        job: job.to_owned(),
        done: false,
        words: "The print system does not answer. Whether the job is printed is not known."
            .to_owned(),
    })
}

fn lpstat(arguments: &[&str]) -> Option<String> {
    let (answered, answer, _) = run(Program::new("lpstat").args(arguments), ANSWER).ok()?;
    answered.then_some(answer)
}

/// Runs a program with its words in English, and ends it if it takes too long. Whether it went
/// well, what it said, and what it complained of.
fn run(program: &mut Program, patience: Duration) -> std::io::Result<(bool, String, String)> {
    let mut child = program
        .env("LC_ALL", "C")
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()?;
    let said = hear(child.stdout.take());
    let complained = hear(child.stderr.take());
    let begun = Instant::now();
    let left = || patience.saturating_sub(begun.elapsed());
    let (Ok(said), Ok(complained)) = (said.recv_timeout(left()), complained.recv_timeout(left()))
    else {
        return Err(give_up(&mut child));
    };
    Ok((child.wait()?.success(), said, complained))
}

/// Reads to the end beside the work: a full pipe would stop the program that writes into it.
fn hear(pipe: Option<impl Read + Send + 'static>) -> mpsc::Receiver<String> {
    let (sender, receiver) = mpsc::channel();
    std::thread::spawn(move || {
        let mut bytes = Vec::new();
        if let Some(mut pipe) = pipe {
            let _ = pipe.read_to_end(&mut bytes);
        }
        let _ = sender.send(String::from_utf8_lossy(&bytes).into_owned());
    });
    receiver
}

fn give_up(child: &mut Child) -> std::io::Error {
    let _ = child.kill();
    let _ = child.wait();
    std::io::Error::new(std::io::ErrorKind::TimedOut, "the print system does not answer.")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_program_that_says_nothing_is_ended() {
        let begun = Instant::now();
        let patience = Duration::from_millis(100);
        let error = run(Program::new("sleep").arg("60"), patience).unwrap_err();
        assert_eq!(error.kind(), std::io::ErrorKind::TimedOut);
        assert!(begun.elapsed() < Duration::from_secs(30));
    }

    #[test]
    fn more_than_a_pipe_holds_is_heard() {
        let mut program = Program::new("sh");
        program.args(["-c", "head -c 300000 /dev/zero | tr '\\0' a; echo no >&2; exit 3"]);
        let (well, said, complained) = run(&mut program, TAKING).unwrap();
        assert!(!well && said.len() == 300_000 && complained == "no\n");
    }

    #[test]
    fn copies_are_bounded() {
        for copies in [0, 21, u32::MAX] {
            let paper = PaperWord::A4;
            let what = ToPrint { pdf: b"", title: "", printer: "none", paper, copies };
            let error = hand_over(&what).unwrap_err();
            assert_eq!(error.to_string(), "Print 1 to 20 copies at once.");
        }
    }
}
