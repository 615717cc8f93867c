//! The command line, on the same code as the window.

use crate::clock::Clock;
use crate::error::ShellError;
use crate::folder::{read_own, start_log, write_whole};
use crate::printable::Taken;
use crate::proof::{Checked, Record, check_file};
use crate::seal::{self, Outgoing};
use crate::views::{PaperWord, Printable};
use crate::workshop::Workshop;
use crate::{backups, demo, figure, imported, show, table, window};
use clap::{Parser, Subcommand, ValueEnum};
use coldbench_ledger::{VerifyReport, digest_hex};
use coldbench_seal::Holder;
use coldbench_shop::checklist::{self, Diagnostic, Severity};
use coldbench_shop::{Library, RodId};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
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
    /// List the lots of materials, each with its last day and the rods it was used on.
    Lots,
    /// Say on which rods a lot was used, by what is written on its container.
    Lot {
        /// The marking.
        marking: String,
    },
    /// Save the log of one day of a station as PDF.
    StationLog {
        /// The station's id, e.g. S-1.
        station: String,
        /// The day, e.g. 2026-11-25; today if not said.
        #[arg(long)]
        day: Option<String>,
        /// The file to write.
        #[arg(short, long, value_name = "FILE.pdf")]
        output: PathBuf,
        /// The paper.
        #[arg(long, value_enum, default_value = "a4")]
        paper: PaperArgument,
    },
    /// Save the training record of a person as PDF: what they did, how often, and who saw it.
    Training {
        /// The person's id, e.g. P-2.
        person: String,
        #[command(flatten)]
        save: Save,
    },
    /// Save the crew table as PDF: helpers against stages, who was taught which and does it alone.
    CrewTable {
        #[command(flatten)]
        save: Save,
    },
    /// Save the sheet of a rod without its steps as PDF.
    RodSheet {
        /// The rod's id.
        rod: String,
        #[command(flatten)]
        save: Save,
    },
    /// Save one clearance for heat as PDF: answers, limits, how it ended, the watch.
    Clearance {
        /// The clearance's reference, e.g. C-3.
        id: String,
        #[command(flatten)]
        save: Save,
    },
    /// Save one stage of a rod in large type as PDF, with its figures, to hang over the bench.
    BenchSheet {
        /// The rod's id.
        rod: String,
        /// The stage's id, e.g. rear-grip.
        stage: String,
        #[command(flatten)]
        save: Save,
    },
    /// Save a checklist to fill in by hand as PDF, for when Coldbench can't run: a stage or a list
    /// of a station.
    ByHand {
        /// The checklist's id, e.g. rear-grip or open-bench.
        id: String,
        /// The rod, for a stage: its title is filled in, its left-out steps are marked.
        #[arg(long)]
        rod: Option<String>,
        #[command(flatten)]
        save: Save,
    },
    /// Check a workshop's ledger, a printed build log or a record file: chain, signatures, keys,
    /// rights, order. Names the first event that does not hold. A file needs nothing but itself;
    /// with a workshop too, it is held against that workshop's history.
    Verify {
        /// A build log (PDF) or a record file.
        file: Option<PathBuf>,
    },
    /// Make a backup, verified after writing.
    Backup {
        /// Into this folder; without it, into the one the workshop has named.
        #[arg(long, value_name = "DIR")]
        into: Option<PathBuf>,
        /// Name the folder into which backups go from now on, the quiet one of each day too.
        #[arg(long, value_name = "DIR", conflicts_with = "into")]
        folder: Option<PathBuf>,
    },
    /// Bring a backup, verified before use, into a new folder.
    Restore {
        /// The backup: a folder.
        backup: PathBuf,
        /// The new folder.
        dir: PathBuf,
    },
    /// Save the record of one rod as a file that can be verified with nothing but itself.
    Export {
        /// The rod's id.
        rod: String,
        /// The file to write.
        #[arg(short, long, value_name = "FILE")]
        output: PathBuf,
    },
    /// Save what was done as rows for other programs: one row an event, of one rod or of a span of days.
    Table {
        /// The rod's id; without it, everything.
        #[arg(long)]
        rod: Option<String>,
        /// The first day, e.g. 2026-11-01.
        #[arg(long, value_name = "DAY")]
        from: Option<chrono::NaiveDate>,
        /// The last day.
        #[arg(long, value_name = "DAY")]
        to: Option<chrono::NaiveDate>,
        /// The form of the rows.
        #[arg(long, value_enum, default_value = "csv")]
        form: FormArgument,
        /// The file to write; without it, standard output.
        #[arg(short, long, value_name = "FILE")]
        output: Option<PathBuf>,
        /// Say what stands in each column.
        #[arg(long)]
        columns: bool,
    },
    /// Take in the record of a rod from another workshop, from its file or its printed PDF.
    Import {
        /// The file.
        file: PathBuf,
    },
    /// Work out a figure of the trade: one JSON object on standard input, quantities as text with
    /// units, and one on standard output. Wrong input: exit code 2 and the field's name.
    Figure {
        /// The figure's name, as `--list` shows it.
        #[arg(required_unless_present = "list")]
        name: Option<String>,
        /// List the figures: name and what it works out.
        #[arg(long, conflicts_with_all = ["name", "fields"])]
        list: bool,
        /// List the fields that the figure reads: name, what it is, an example; a whole input last.
        #[arg(long)]
        fields: bool,
    },
    /// Look through checklist files and say what is wrong with them.
    Lint {
        /// A file, or a folder of them.
        path: PathBuf,
    },
    /// Write the JSON Schema of checklist files, from which editors complete and explain their keys.
    Schema {
        /// The file to write; without it, standard output.
        #[arg(short, long, value_name = "FILE")]
        output: Option<PathBuf>,
    },
}

/// Where a sheet goes, and on which paper.
#[derive(Debug, clap::Args)]
struct Save {
    /// The file to write.
    #[arg(short, long, value_name = "FILE.pdf")]
    output: PathBuf,
    /// The paper.
    #[arg(long, value_enum, default_value = "a4")]
    paper: PaperArgument,
}

impl Save {
    /// Draws something from a workshop and saves it; the file is there whole or not at all.
    fn pages(
        &self,
        workshop: Option<PathBuf>,
        out: &mut impl Write,
        what: &Printable,
    ) -> Result<ExitCode, ShellError> {
        save(&open_to_read(workshop)?, what, &self.output, self.paper, out)
    }
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum FormArgument {
    Csv,
    Json,
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
        Some(Verb::Lots) => lots(arguments.workshop, &mut out),
        Some(Verb::Lot { marking }) => lot(arguments.workshop, &marking, &mut out),
        Some(Verb::StationLog { station, day, output, paper }) => {
            station_log(arguments.workshop, &station, day, &output, paper, &mut out)
        }
        Some(Verb::Training { person, save }) => {
            save.pages(arguments.workshop, &mut out, &Printable::Training { person })
        }
        Some(Verb::CrewTable { save }) => {
            save.pages(arguments.workshop, &mut out, &Printable::CrewTable)
        }
        Some(Verb::RodSheet { rod, save }) => {
            save.pages(arguments.workshop, &mut out, &Printable::RodSheet { rod })
        }
        Some(Verb::Clearance { id, save }) => {
            save.pages(arguments.workshop, &mut out, &Printable::Clearance { clearance: id })
        }
        Some(Verb::BenchSheet { rod, stage, save }) => {
            save.pages(arguments.workshop, &mut out, &Printable::BenchSheet { rod, stage })
        }
        Some(Verb::ByHand { id, rod, save }) => {
            save.pages(arguments.workshop, &mut out, &Printable::ByHand { list: id, rod })
        }
        Some(Verb::Verify { file: None }) => verify(arguments.workshop, &mut out),
        Some(Verb::Verify { file: Some(file) }) => verify_file(arguments.workshop, &file, &mut out),
        Some(Verb::Backup { into, folder }) => back_up(arguments.workshop, into, folder, &mut out),
        Some(Verb::Restore { backup, dir }) => restore(&backup, &dir, &mut out),
        Some(Verb::Export { rod, output }) => export(arguments.workshop, &rod, &output, &mut out),
        Some(Verb::Table { columns: true, .. }) => {
            for (name, words) in table::COLUMNS {
                say(&mut out, &format!("{name}: {words}"));
            }
            Ok(ExitCode::SUCCESS)
        }
        Some(Verb::Table { rod, from, to, form, output, .. }) => {
            let asked = table::Asked { rod: rod.map(RodId::new), from, to };
            save_table(arguments.workshop, &asked, form, output.as_deref(), &mut out)
        }
        Some(Verb::Import { file }) => import(arguments.workshop, &file, &mut out),
        Some(Verb::Figure { name, fields, .. }) => Ok(work_out(name.as_deref(), fields, &mut out)),
        Some(Verb::Lint { path }) => lint(&path, &mut out),
        Some(Verb::Schema { output }) => schema(output.as_deref(), &mut out),
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
    let folder = named(workshop)?;
    Workshop::open_to_read(&folder, Clock::Wall, "Opened from the command line.")
}

fn rods(workshop: Option<PathBuf>, out: &mut impl Write) -> Result<ExitCode, ShellError> {
    let workshop = open_to_read(workshop)?;
    for (id, rod) in &workshop.state().rods {
        say(out, &format!("{id}\t{}\t{}", rod.plan.title, rod.plan.customer));
    }
    for (id, record) in imported::all(workshop.folder())? {
        let (title, customer) = (record.title(), record.customer());
        say(out, &format!("{id}\t{title}\t{customer}\t(built elsewhere)"));
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
    let Some(record) = imported::find(workshop.folder(), rod)? else {
        let what = Printable::BuildLog { rod: rod.to_owned() };
        return save(&workshop, &what, output, paper, out);
    };
    let words = "It carries no seal: the record is of another workshop.".to_owned();
    write_out(&Outgoing { bytes: record.draw()?, unsealed: Some(words) }, output, out)
}

fn lots(workshop: Option<PathBuf>, out: &mut impl Write) -> Result<ExitCode, ShellError> {
    let workshop = open_to_read(workshop)?;
    for lot in show::lots(&workshop) {
        let until =
            lot.expires.map_or_else(|| "no last day".to_owned(), |day| format!("good until {day}"));
        let standing = match (lot.gone, lot.expired) {
            (true, _) => "used up",
            (false, true) => "past its last day",
            (false, false) => "at hand",
        };
        let rods: Vec<String> = lot.rods.into_iter().map(|(id, _)| id).collect();
        say(
            out,
            &format!("{}\t{}\t{until}\t{standing}\t{}", lot.marking, lot.what, rods.join(" ")),
        );
    }
    Ok(ExitCode::SUCCESS)
}

fn lot(
    workshop: Option<PathBuf>,
    marking: &str,
    out: &mut impl Write,
) -> Result<ExitCode, ShellError> {
    let workshop = open_to_read(workshop)?;
    let rods = show::rods_with_lot(workshop.state(), marking);
    if rods.is_empty() {
        say(out, &format!("The lot “{marking}” was used on no rod."));
    }
    for (id, title) in rods {
        say(out, &format!("{id}\t{title}"));
    }
    Ok(ExitCode::SUCCESS)
}

impl From<PaperArgument> for PaperWord {
    fn from(paper: PaperArgument) -> Self {
        match paper {
            PaperArgument::A4 => Self::A4,
            PaperArgument::Letter => Self::Letter,
        }
    }
}

fn station_log(
    workshop: Option<PathBuf>,
    station: &str,
    day: Option<String>,
    output: &Path,
    paper: PaperArgument,
    out: &mut impl Write,
) -> Result<ExitCode, ShellError> {
    let workshop = open_to_read(workshop)?;
    let day = day.unwrap_or_else(|| workshop.now().format("%Y-%m-%d").to_string());
    save(&workshop, &Printable::StationLog { station: station.to_owned(), day }, output, paper, out)
}

fn save(
    workshop: &Workshop,
    what: &Printable,
    output: &Path,
    paper: PaperArgument,
    out: &mut impl Write,
) -> Result<ExitCode, ShellError> {
    let taken = Taken::of(workshop, what, paper.into())?;
    write_out(&taken.seal(workshop, taken.pdf()?), output, out)
}

fn write_out(file: &Outgoing, output: &Path, out: &mut impl Write) -> Result<ExitCode, ShellError> {
    write_whole(output, &file.bytes)?;
    say(out, &file.told(&format!("Saved as {}.", output.display())));
    Ok(ExitCode::SUCCESS)
}

fn verify(workshop: Option<PathBuf>, out: &mut impl Write) -> Result<ExitCode, ShellError> {
    let workshop = open_to_read(workshop)?;
    let report = workshop.verify(&[])?;
    say(out, &format!("The ledger holds: {} events.", report.events));
    say_heads(&report, out);
    match seal::holder(&workshop) {
        Ok(ours) => say(
            out,
            &format!(
                "The certificate of the workshop's seal has the fingerprint {}.",
                ours.fingerprint_text()
            ),
        ),
        Err(error) => say(out, &format!("The workshop's seal can't be made. {error}")),
    }
    say(
        out,
        "This shows that nothing was changed by anyone without the keys. Whether events were cut off the end shows only beside a printed record that somebody else holds: coldbench verify --workshop DIR FILE.pdf.",
    );
    Ok(ExitCode::SUCCESS)
}

fn say_heads(report: &VerifyReport, out: &mut impl Write) {
    for head in &report.heads {
        say(out, &format!("Head of {}: {}", head.origin, digest_hex(&head.digest)));
    }
}

fn verify_file(
    workshop: Option<PathBuf>,
    file: &Path,
    out: &mut impl Write,
) -> Result<ExitCode, ShellError> {
    let (record, checked) = check_file(file)?;
    say(out, &format!("The record of {} holds: {}.", checked.rod, checked.title));
    let Checked { report, pages, drawn_by, seal, .. } = checked;
    let whole = report.events - report.folded;
    say(
        out,
        &format!(
            "{} events, {whole} of them shown, {} by digest alone.",
            report.events, report.folded
        ),
    );
    say_heads(&report, out);
    let is_pdf = pages.is_some() || drawn_by.is_some();
    if let Some(pages) = pages {
        say(out, &format!("{pages} pages were drawn again from the record and say the same."));
    }
    if let Some(version) = drawn_by {
        say(
            out,
            &format!(
                "The pages were drawn by Coldbench {version}; of what they say, this version compared the digest alone."
            ),
        );
    }
    match &seal {
        Some(holder) => say(
            out,
            &format!(
                "The file is sealed by the workshop's certificate, fingerprint {}, which “{}” issued to itself.",
                holder.fingerprint_text(),
                holder.name
            ),
        ),
        None if is_pdf => say(out, "The file carries no seal of a workshop."),
        None => {}
    }
    if let Some(workshop) = workshop {
        let workshop = open_to_read(Some(workshop))?;
        let here = workshop.head().map(|head| head.origin.clone()).unwrap_or_default();
        if here != record.head().origin {
            return Err(ShellError::OtherOrigin { found: record.head().origin.clone(), here });
        }
        let report = workshop.verify(std::slice::from_ref(record.head()))?;
        say(
            out,
            &format!("The workshop's ledger holds this record: {} events by now.", report.events),
        );
        if let Some(found) = seal {
            say(out, &seal_beside(&workshop, &found)?);
        }
    }
    say(
        out,
        "This shows that these events, in this order, existed when the record was made. It can't show that what was entered is true.",
    );
    Ok(ExitCode::SUCCESS)
}

/// Whether a seal that holds is this workshop's own. Its key tells: a certificate anybody can write.
fn seal_beside(workshop: &Workshop, found: &Holder) -> Result<String, ShellError> {
    match seal::holder(workshop) {
        Ok(ours) if ours.public == found.public => {
            Ok("The seal is this workshop's own.".to_owned())
        }
        Ok(ours) => Err(ShellError::OtherSeal {
            found: found.fingerprint_text(),
            here: ours.fingerprint_text(),
        }),
        Err(error) => Ok(format!("Whether the seal is this workshop's can't be told. {error}")),
    }
}

fn named(workshop: Option<PathBuf>) -> Result<PathBuf, ShellError> {
    workshop.ok_or_else(|| ShellError::Field {
        field: "workshop".to_owned(),
        message: "Say which workshop: --workshop DIR.".to_owned(),
    })
}

fn back_up(
    workshop: Option<PathBuf>,
    into: Option<PathBuf>,
    folder: Option<PathBuf>,
    out: &mut impl Write,
) -> Result<ExitCode, ShellError> {
    let workshop = open_to_read(workshop)?;
    if let Some(folder) = folder {
        backups::set_folder(workshop.folder(), &folder)?;
    }
    let (path, report) = match into {
        Some(into) => workshop.back_up_into(&into)?,
        None => workshop.back_up()?,
    };
    say(out, &format!("Backed up and verified: {} events in {}.", report.events, path.display()));
    say(out, "The key of the installation is in it: keep it away from strangers.");
    Ok(ExitCode::SUCCESS)
}

fn restore(backup: &Path, dir: &Path, out: &mut impl Write) -> Result<ExitCode, ShellError> {
    let report = backups::restore(backup, dir, Clock::Wall.now())?;
    say(out, &format!("Restored and verified: {} events in {}.", report.events, dir.display()));
    Ok(ExitCode::SUCCESS)
}

fn export(
    workshop: Option<PathBuf>,
    rod: &str,
    output: &Path,
    out: &mut impl Write,
) -> Result<ExitCode, ShellError> {
    let workshop = open_to_read(workshop)?;
    let bytes = Record::take(&workshop, &RodId::new(rod), PaperWord::A4)?.to_bytes()?;
    write_whole(output, &bytes)?;
    say(
        out,
        &format!("Saved as {}. Check it anywhere with: coldbench verify FILE.", output.display()),
    );
    Ok(ExitCode::SUCCESS)
}

fn save_table(
    workshop: Option<PathBuf>,
    asked: &table::Asked,
    form: FormArgument,
    output: Option<&Path>,
    out: &mut impl Write,
) -> Result<ExitCode, ShellError> {
    let form = match form {
        FormArgument::Csv => table::Form::Csv,
        FormArgument::Json => table::Form::Json,
    };
    let bytes = table::table(&open_to_read(workshop)?, asked, form)?;
    match output {
        // A closed pipe ends the talking, not the work.
        None => drop(out.write_all(&bytes)),
        Some(path) => {
            write_whole(path, &bytes)?;
            say(out, &format!("Saved as {}.", path.display()));
        }
    }
    Ok(ExitCode::SUCCESS)
}

fn import(
    workshop: Option<PathBuf>,
    file: &Path,
    out: &mut impl Write,
) -> Result<ExitCode, ShellError> {
    let folder = named(workshop)?;
    // It has to be a workshop; the record is no event of it, so nothing is signed.
    open_to_read(Some(folder.clone()))?;
    let id = imported::take_in(&folder, file)?;
    say(out, &format!("The record holds and was taken in as {id}."));
    Ok(ExitCode::SUCCESS)
}

/// Exit code 2 for a wrong input, 1 where no figure follows from a right one.
fn work_out(name: Option<&str>, fields: bool, out: &mut impl Write) -> ExitCode {
    let lines = match name {
        None => {
            Ok(figure::all().map(|figure| format!("{}\t{}", figure.name, figure.about)).collect())
        }
        Some(name) => figure::find(name).and_then(|figure| {
            if fields {
                Ok(figure.field_lines())
            } else {
                figure.answer(&figure::read(io::stdin().lock())?).map(|answer| vec![answer])
            }
        }),
    };
    match lines {
        Ok(lines) => {
            for line in &lines {
                say(out, line);
            }
            ExitCode::SUCCESS
        }
        Err(problem) => {
            let _ = writeln!(io::stderr(), "coldbench: {problem}");
            match problem {
                figure::Problem::Input { .. } => ExitCode::from(2),
                figure::Problem::Work(_) => ExitCode::FAILURE,
            }
        }
    }
}

fn lint(path: &std::path::Path, out: &mut impl Write) -> Result<ExitCode, ShellError> {
    std::fs::metadata(path).map_err(ShellError::file(path))?;
    let library = read_own(path);
    for line in findings(&library) {
        say(out, &line);
    }
    for listed in &library.listed {
        let Some(over) = &listed.over else { continue };
        say(out, &format!("{} takes the place of “{}” of Coldbench.", listed.path, listed.id));
        for lost in over.differences.iter().filter(|found| found.takes_away) {
            say(out, &format!("  A lead has to sign for it: {}", lost.words()));
        }
    }
    let count = |severity| {
        library.findings.iter().flat_map(|f| &f.findings).filter(|f| f.severity == severity).count()
    };
    let (errors, warnings) = (count(Severity::Error), count(Severity::Warning));
    let usable = library.usable();
    say(out, &format!("{usable} checklists can be used; {errors} errors, {warnings} warnings."));
    Ok(if errors == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn schema(output: Option<&Path>, out: &mut impl Write) -> Result<ExitCode, ShellError> {
    let text = format!("{:#}", checklist::schema());
    match output {
        None => say(out, &text),
        Some(path) => {
            write_whole(path, format!("{text}\n").as_bytes())?;
            say(out, &format!("Saved as {}.", path.display()));
        }
    }
    Ok(ExitCode::SUCCESS)
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
