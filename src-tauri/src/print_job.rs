//! What became of a print job, read from what `lpstat` answers. Pure: `print_system` asks.

use crate::views::JobView;

/// The id of the job in the answer of `lp`: `request id is bench-12 (1 file(s))`.
pub fn id_in(answer: &str) -> Option<&str> {
    answer
        .lines()
        .find_map(|line| line.trim().strip_prefix("request id is ")?.split_whitespace().next())
}

/// The queue in which a job is; `None` if it is no job id.
pub fn queue_of(job: &str) -> Option<&str> {
    let (queue, number) = job.rsplit_once('-')?;
    let is_number = !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit());
    (is_number && !queue.is_empty()).then_some(queue)
}

/// A job as `lpstat -l -o` shows it.
struct Job<'a> {
    id: &'a str,
    /// What the print system says about it; often nothing.
    says: &'a str,
    /// The print system began to print it: only then does it say anything, be it nothing.
    begun: bool,
    /// Reasons in the keywords of IPP (RFC 8011, 5.3.8).
    reasons: Vec<&'a str>,
}

fn jobs(answer: &str) -> Vec<Job<'_>> {
    let mut jobs: Vec<Job<'_>> = Vec::new();
    for line in answer.lines() {
        let id = line.split_whitespace().next().filter(|_| !line.starts_with(char::is_whitespace));
        if let Some(id) = id {
            jobs.push(Job { id, says: "", begun: false, reasons: Vec::new() });
        } else if let Some(job) = jobs.last_mut() {
            let line = line.trim();
            if let Some(says) = line.strip_prefix("Status:") {
                job.says = says.trim();
                job.begun = true;
            } else if let Some(reasons) = line.strip_prefix("Alerts:") {
                job.reasons = reasons.split_whitespace().collect();
            }
        }
    }
    jobs
}

/// A printer as `lpstat -l -p` shows it.
#[derive(Default)]
struct Printer<'a> {
    stopped: bool,
    says: &'a str,
    /// Reasons in the keywords of IPP (RFC 8011, 5.4.12).
    reasons: Vec<&'a str>,
}

fn printer<'a>(answer: &'a str, name: &str) -> Printer<'a> {
    let head = format!("printer {name} ");
    let mut lines = answer.lines().skip_while(|line| !line.starts_with(&head));
    let Some(first) = lines.next() else { return Printer::default() };
    let mut printer = Printer { stopped: first.contains(" disabled since "), ..Printer::default() };
    for (at, line) in lines.take_while(|line| line.starts_with(char::is_whitespace)).enumerate() {
        let line = line.trim();
        if let Some(reasons) = line.strip_prefix("Alerts:") {
            printer.reasons = reasons.split_whitespace().collect();
        } else if at == 0 && !["Form mounted:", "reason unknown", "Paused"].contains(&line) {
            printer.says = line;
        }
    }
    printer
}

/// What keeps a printer from printing, the plainest first: the keyword without its grade, and
/// how it goes on after "the printer".
const TROUBLES: [(&str, &str); 18] = [
    ("media-empty", "is out of paper"),
    ("media-needed", "is out of paper"),
    ("media-jam", "has a paper jam"),
    ("cover-open", "has a cover open"),
    ("door-open", "has a door open"),
    ("interlock-open", "has a cover open"),
    ("input-tray-missing", "misses a paper tray"),
    ("output-area-full", "has no room left for printed pages"),
    ("output-tray-missing", "misses the tray for printed pages"),
    ("toner-empty", "is out of toner"),
    ("marker-supply-empty", "is out of ink or toner"),
    ("marker-waste-full", "is full of waste ink or toner"),
    ("offline", "is switched off or not connected"),
    ("shutdown", "is switched off or not connected"),
    ("timed-out", "does not answer"),
    ("connecting-to-device", "does not answer yet"),
    ("paused", "is stopped in the print system"),
    ("moving-to-paused", "is stopped in the print system"),
];

fn trouble(printer: &Printer<'_>) -> Option<&'static str> {
    let grades = ["-error", "-warning", "-report"];
    let plain = |reason: &&str| {
        grades.iter().find_map(|grade| reason.strip_suffix(grade)).unwrap_or(reason).to_owned()
    };
    let reasons: Vec<String> = printer.reasons.iter().map(plain).collect();
    let known = TROUBLES.iter().find(|(keyword, _)| reasons.iter().any(|reason| reason == keyword));
    let stopped = printer.stopped.then_some("is stopped in the print system");
    known.map(|(_, words)| *words).or(stopped)
}

/// What is said of a job that has not come to its end: in `waiting`, the jobs of its queue by
/// `lpstat -W not-completed -l -o`, and of its printer, by `lpstat -l -p`. `None` if the job is
/// not among them.
pub fn waiting(id: &str, waiting: &str, printers: &str) -> Option<JobView> {
    let queue = queue_of(id)?;
    let jobs: Vec<Job<'_>> =
        jobs(waiting).into_iter().filter(|job| queue_of(job.id) == Some(queue)).collect();
    let ahead = jobs.iter().position(|job| job.id == id)?;
    let job = jobs.get(ahead)?;
    let printer = printer(printers, queue);
    let has = |start: &str| job.reasons.iter().any(|reason| reason.starts_with(start));
    let words = if has("job-hold") {
        "Waits: the job is held back in the queue.".to_owned()
    } else if has("job-completed-with-errors") || has("job-stopped") {
        with("Stopped: the print system can’t print this.", job.says)
    } else if let Some(trouble) = trouble(&printer) {
        with(&format!("Waits: the printer {trouble}."), printer.says)
    } else if has("printer-stopped") {
        with("Waits: the printer is stopped in the print system.", job.says)
    } else if has("resources-are-not-ready") {
        with("Waits: the printer took nothing, and it is tried again.", job.says)
    } else if has("job-printing") {
        with("Prints now.", job.says)
    } else if ahead > 0 {
        let others = if ahead == 1 { "another job".to_owned() } else { format!("{ahead} jobs") };
        format!("Waits: {others} come{} first.", if ahead == 1 { "s" } else { "" })
    } else {
        "Waits for the printer.".to_owned()
    };
    Some(JobView { job: id.to_owned(), done: false, words })
}

/// What is said of a job that is no longer waiting; `over`: the jobs of its queue by
/// `lpstat -W completed -l -o`.
pub fn over(id: &str, over: &str) -> JobView {
    let words = match jobs(over).iter().find(|job| job.id == id) {
        None => "The job is gone from the queue, and the print system does not say why. \
             Look whether the pages are there."
            .to_owned(),
        Some(job) => {
            let has = |word: &str| job.reasons.iter().any(|reason| reason.contains(word));
            if has("canceled") {
                with("Stopped: the job was taken out of the queue.", job.says)
            } else if has("aborted") {
                with("Stopped: the print system gave the job up.", job.says)
            } else if !job.says.is_empty() || has("errors") {
                // CUPS 2.4 gives some jobs that failed the reason of those that did not; but it
                // keeps the last word of what failed, and no word of what went well.
                with("Ended with a fault. Look whether every page is there.", job.says)
            } else if !job.begun && !has("successfully") {
                "Stopped: the job left the queue before the printer began, as far as the print \
                 system knows."
                    .to_owned()
            } else {
                "Printed, as far as the print system knows.".to_owned()
            }
        }
    };
    JobView { job: id.to_owned(), done: true, words }
}

fn with(words: &str, says: &str) -> String {
    if says.is_empty() { words.to_owned() } else { format!("{words} It says: “{says}”") }
}

#[cfg(test)]
mod tests {
    use super::*;

    // What CUPS 2.4.2 said of queues with a backend that failed as it was told to.
    const WAITING: &str = include_str!("../../tests/app/lpstat/not-completed.txt");
    const OVER: &str = include_str!("../../tests/app/lpstat/completed.txt");
    const PRINTERS: &str = include_str!("../../tests/app/lpstat/printers.txt");

    #[test]
    fn the_job_is_named_in_the_answer() {
        assert_eq!(id_in("request id is coldbench-test-1 (1 file(s))\n"), Some("coldbench-test-1"));
        assert_eq!(id_in("lp: Error - The printer or class does not exist."), None);
        assert_eq!(queue_of("coldbench-test-1"), Some("coldbench-test"));
        for no_job in ["", "1", "-1", "bench", "bench-", "bench-x1", "bench--o"] {
            assert_eq!(queue_of(no_job), None, "{no_job}");
        }
    }

    #[test]
    fn why_a_job_waits_is_told() {
        for (job, words) in [
            (
                "lab-empty-2",
                "Waits: the printer is out of paper. It says: “Load paper into the tray.”",
            ),
            (
                "lab-empty-14",
                "Waits: the printer is out of paper. It says: “Load paper into the tray.”",
            ),
            ("lab-jam-3", "Waits: the printer has a paper jam. It says: “Rejecting Jobs”"),
            (
                "lab-offline-4",
                "Waits: the printer is switched off or not connected. It says: “The printer is not responding.”",
            ),
            (
                "lab-stop-5",
                "Waits: the printer is stopped in the print system. It says: “The printer did not understand.”",
            ),
            (
                "lab-fail-6",
                "Waits: the printer took nothing, and it is tried again. It says: “The data could not be sent.”",
            ),
            (
                "lab-good-10",
                "Waits: the printer is stopped in the print system. It says: “Out for cleaning”",
            ),
            ("lab-hold-20", "Waits: the job is held back in the queue."),
            (
                "coldbench-test-22",
                "Stopped: the print system can’t print this. It says: “Filter failed”",
            ),
            ("lab-slow-24", "Prints now. It says: “Printing page 1”"),
        ] {
            let told = waiting(job, WAITING, PRINTERS).unwrap();
            assert_eq!((told.job.as_str(), told.words.as_str()), (job, words));
            assert!(!told.done);
        }
    }

    #[test]
    fn a_printer_stopped_without_a_reason_says_no_more() {
        let list = "a-1 x\n\tAlerts: none\n";
        for says in ["reason unknown", "Paused", "Form mounted:"] {
            let printers = format!("printer a disabled since Sat -\n\t{says}\n\tAlerts: paused\n");
            let words = waiting("a-1", list, &printers).unwrap().words;
            assert_eq!(words, "Waits: the printer is stopped in the print system.");
        }
    }

    #[test]
    fn a_job_behind_others_says_so() {
        let list = "a-1 x\n\tAlerts: job-printing\na-2 x\n\tAlerts: none\na-b-7 x\na-3 x\n";
        let words = |job| waiting(job, list, "").unwrap().words;
        assert_eq!(words("a-1"), "Prints now.");
        assert_eq!(words("a-2"), "Waits: another job comes first.");
        assert_eq!(words("a-3"), "Waits: 2 jobs come first.");
        assert_eq!(words("a-b-7"), "Waits for the printer.");
    }

    #[test]
    fn the_end_of_a_job_is_told() {
        assert!(waiting("coldbench-test-1", WAITING, PRINTERS).is_none());
        for (job, words) in [
            ("coldbench-test-1", "Printed, as far as the print system knows."),
            ("lab-slow-7", "Stopped: the job was taken out of the queue."),
            (
                "coldbench-test-28",
                "Stopped: the job left the queue before the printer began, as far as the print system knows.",
            ),
            (
                "lab-abort-18",
                "Ended with a fault. Look whether every page is there. It says: “The data could not be sent.”",
            ),
            (
                "lab-good-99",
                "The job is gone from the queue, and the print system does not say why. Look whether the pages are there.",
            ),
        ] {
            let told = over(job, OVER);
            assert_eq!((told.done, told.words.as_str()), (true, words), "{job}");
        }
        let aborted = over("a-1", "a-1 root\n\tStatus: \n\tAlerts: aborted-by-system\n");
        assert_eq!(aborted.words, "Stopped: the print system gave the job up.");
        let well = over("a-1", "a-1 root\n\tAlerts: job-completed-successfully\n");
        assert_eq!(well.words, "Printed, as far as the print system knows.");
    }

    #[test]
    fn answers_that_are_none_are_no_job() {
        for answer in ["", "\n\n", "\tStatus: lost", "lpstat: Bad file descriptor"] {
            assert!(waiting("a-1", answer, answer).is_none());
            assert!(over("a-1", answer).words.contains("is gone"));
        }
    }
}
