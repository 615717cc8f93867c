//! The command line, on the same code as the window.

use crate::clock::Clock;
use crate::error::ShellError;
use crate::folder::{read_library, start_log, write_whole};
use crate::views::PaperWord;
use crate::workshop::Workshop;
use crate::{demo, printing, window};
use clap::{Parser, Subcommand, ValueEnum};
use coldbench_ledger::digest_hex;
use coldbench_shop::checklist::{Diagnostic, Severity};
use coldbench_shop::{Library, RodId};
use std::io::{self, Write};
use std::path::PathBuf;
use std::process::ExitCode;

/// Walks a rod builder through each stage, holds heat back until the check holds, and keeps a
/// signed build log. Without a command it opens the window; without a workshop, on the demo.
#[derive(Debug, Parser)]
#[command(name = "coldbench", version)]
struct Arguments {
    /// The workshop's folder; an empty or new one becomes a workshop.
    #[arg(long, value_name = "DIR", global = true)]
    workshop: Option<PathBuf>,
    #[command(subcommand)]
    verb: Option<Verb>,
}

#[derive(Debug, Subcommand)]
enum Verb {
    /// Make the demo workshop (everything in it is invented) in an empty folder.
    Demo {
        /// The folder.
        dir: PathBuf,
    },
    /// List the rods of a workshop, the id first on each line.
    Rods,
    /// Save the build log of a rod as PDF.
    Record {
        /// The rod's id, as `coldbench rods` shows it.
        rod: String,
        /// The file to write.
        #[arg(short, long, value_name = "FILE.pdf")]
        output: PathBuf,
        /// The paper.
        #[arg(long, value_enum, default_value = "a4")]
        paper: PaperArgument,
    },
    /// Check the ledger: chain, signatures, keys. Names the first event that does not hold.
    Verify,
    /// Look through checklist files and say what is wrong with them.
    Lint {
        /// A file, or a folder of them.
        path: PathBuf,
    },
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum PaperArgument {
    A4,
    Letter,
}

/// Runs what the arguments ask for. Exit code 0 for done, 1 for "no" (it does not hold, findings
/// stand), 2 for wrong arguments.
pub fn run() -> ExitCode {
    let arguments = Arguments::parse();
    let mut out = io::stdout().lock();
    let done = match arguments.verb {
        None => open_window(arguments.workshop),
        Some(Verb::Demo { dir }) => demo::make(&dir).map(|()| {
            say(&mut out, &format!("The demo workshop is in {}.", dir.display()));
            ExitCode::SUCCESS
        }),
        Some(Verb::Rods) => rods(arguments.workshop, &mut out),
        Some(Verb::Record { rod, output, paper }) => {
            record(arguments.workshop, &rod, &output, paper, &mut out)
        }
        Some(Verb::Verify) => verify(arguments.workshop, &mut out),
        Some(Verb::Lint { path }) => lint(&path, &mut out),
    };
    done.unwrap_or_else(|error| {
        // Nobody may be reading; then there is nobody to tell.
        let _ = writeln!(io::stderr(), "coldbench: {error}");
        ExitCode::FAILURE
    })
}

/// A closed pipe ends the talking, not the work.
fn say(out: &mut impl Write, line: &str) {
    let _ = writeln!(out, "{line}");
}

fn open_window(workshop: Option<PathBuf>) -> Result<ExitCode, ShellError> {
    let folder = match workshop {
        Some(folder) => folder,
        None => demo::folder()?,
    };
    let workshop = match Workshop::open(&folder, Clock::Wall) {
        Ok(workshop) => workshop,
        Err(error) => {
            // A builder who started us from a menu sees no terminal: the window says it too.
            let _ = writeln!(io::stderr(), "coldbench: {error}");
            Workshop::unopened(&folder, Clock::Wall, &error)
        }
    };
    if workshop.read_only().is_none() {
        start_log(&folder);
    }
    tracing::info!(folder = %folder.display(), events = workshop.events(), "opened");
    window::run(workshop)?;
    Ok(ExitCode::SUCCESS)
}

fn open_to_read(workshop: Option<PathBuf>) -> Result<Workshop, ShellError> {
    let folder = workshop.ok_or_else(|| ShellError::Field {
        field: "workshop".to_owned(),
        message: "Say which workshop: --workshop DIR.".to_owned(),
    })?;
    Workshop::open_to_read(&folder, Clock::Wall, "Opened from the command line.")
}

fn rods(workshop: Option<PathBuf>, out: &mut impl Write) -> Result<ExitCode, ShellError> {
    let workshop = open_to_read(workshop)?;
    for (id, rod) in &workshop.state().rods {
        say(out, &format!("{id}\t{}\t{}", rod.plan.title, rod.plan.customer));
    }
    Ok(ExitCode::SUCCESS)
}

fn record(
    workshop: Option<PathBuf>,
    rod: &str,
    output: &std::path::Path,
    paper: PaperArgument,
    out: &mut impl Write,
) -> Result<ExitCode, ShellError> {
    let workshop = open_to_read(workshop)?;
    let paper = match paper {
        PaperArgument::A4 => PaperWord::A4,
        PaperArgument::Letter => PaperWord::Letter,
    };
    let bytes = printing::draw(&workshop, &RodId::new(rod), paper)?;
    write_whole(output, &bytes)?;
    say(out, &format!("Saved as {}.", output.display()));
    Ok(ExitCode::SUCCESS)
}

fn verify(workshop: Option<PathBuf>, out: &mut impl Write) -> Result<ExitCode, ShellError> {
    let report = open_to_read(workshop)?.verify()?;
    say(out, &format!("The ledger holds: {} events.", report.events));
    for (origin, digest) in report.heads {
        say(out, &format!("Head of {origin}: {}", digest_hex(&digest)));
    }
    say(
        out,
        "This shows that nothing was changed by anyone without the keys. Compare the head with a printed record that somebody else holds.",
    );
    Ok(ExitCode::SUCCESS)
}

fn lint(path: &std::path::Path, out: &mut impl Write) -> Result<ExitCode, ShellError> {
    std::fs::metadata(path).map_err(ShellError::file(path))?;
    let library = read_library(path);
    for line in findings(&library) {
        say(out, &line);
    }
    let count = |severity| {
        library.findings.iter().flat_map(|f| &f.findings).filter(|f| f.severity == severity).count()
    };
    let (errors, warnings) = (count(Severity::Error), count(Severity::Warning));
    let usable = library.stages().len() + library.lists().len();
    say(out, &format!("{usable} checklists can be used; {errors} errors, {warnings} warnings."));
    Ok(if errors == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// Every finding with its place underlined.
fn findings(library: &Library) -> Vec<String> {
    let handler =
        miette::GraphicalReportHandler::new_themed(miette::GraphicalTheme::unicode_nocolor());
    let mut lines = Vec::new();
    for file in &library.findings {
        for finding in &file.findings {
            let report = drawn(&file.path, &file.source, finding);
            let mut text = String::new();
            if handler.render_report(&mut text, report.as_ref()).is_err() {
                text = format!("{}: {finding}", file.path);
            }
            lines.push(text);
        }
    }
    lines
}

fn drawn(path: &str, source: &str, finding: &Diagnostic) -> miette::Report {
    let severity = match finding.severity {
        Severity::Error => miette::Severity::Error,
        Severity::Warning => miette::Severity::Warning,
    };
    let diagnostic = miette::MietteDiagnostic::new(finding.message.clone())
        .with_code(finding.code)
        .with_help(finding.help.clone())
        .with_severity(severity)
        .with_label(miette::LabeledSpan::underline(finding.span.clone()));
    miette::Report::new(diagnostic)
        .with_source_code(miette::NamedSource::new(path, source.to_owned()))
}
