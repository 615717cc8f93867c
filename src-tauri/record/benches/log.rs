//! How long a log of 300 steps takes and how large it is, against reportlab (Debian's python3-reportlab)
//! making a plain table of the same rows. Run with `cargo bench -p coldbench-record`. It prints and
//! judges nothing; without reportlab it says so.

use coldbench_record::{
    BuildLog, ClockRecord, CorrectionRecord, Note, Signature, StepRecord, ValueRecord, build_log,
};
use std::io::Write as _;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// The specimens use the crate's own paths; here they lead to its public names.
mod model {
    pub(crate) use coldbench_record::*;
}
#[allow(dead_code, reason = "only some of the specimens are drawn here")]
#[path = "../src/guide_specimen.rs"]
mod guide_specimen;
#[allow(dead_code, reason = "only some of the specimens are drawn here")]
#[path = "../src/specimen.rs"]
mod specimen;

const ROUNDS: usize = 15;

/// Reads rows as tab-separated lines, lays them out as a table with wrapped cells, prints the median
/// time in ms and the size in bytes. Imports and fonts are loaded before the clock starts.
const REPORTLAB: &str = r#"
import io, sys, time
from reportlab.lib.pagesizes import LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import LongTable, Paragraph, SimpleDocTemplate
from xml.sax.saxutils import escape
font, rounds = sys.argv[1], int(sys.argv[2])
pdfmetrics.registerFont(TTFont("body", font))
style = ParagraphStyle("cell", fontName="body", fontSize=9, leading=12)
rows = [line.rstrip("\n").split("\t") for line in sys.stdin]
def make():
    out = io.BytesIO()
    cells = [[Paragraph(escape(cell), style) for cell in row] for row in rows]
    table = LongTable(cells, colWidths=[30, 300, 170], repeatRows=1)
    SimpleDocTemplate(out, pagesize=LETTER).build([table])
    return out.getvalue()
times = []
for _ in range(rounds):
    start = time.perf_counter()
    made = make()
    times.append(time.perf_counter() - start)
print(sorted(times)[len(times) // 2] * 1000, len(made))
"#;

/// What a table would show of the log: of every step all that the log prints, in three columns. What
/// stands around the steps, from the rod's sheet to the proof and the foot of each page, is left out,
/// to our disadvantage.
fn rows(log: &BuildLog) -> String {
    let mut rows = String::from("step\twhat\twho, when, what was entered\n");
    for step in log.stages.iter().flat_map(|stage| &stage.steps) {
        let cells = [step.number.to_string(), told(step).join(" "), signed(step).join(" ")];
        rows.push_str(&cells.map(|text| one_line(&text)).join("\t"));
        rows.push('\n');
    }
    rows
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What the step told whoever did it.
fn told(step: &StepRecord) -> Vec<String> {
    let mut words = vec![step.caution.clone().unwrap_or_default()];
    words.extend(step.hazards.clone());
    words.push(step.what.clone());
    if !step.key_point.is_empty() {
        words.push(format!("Key point {}", step.key_point));
    }
    if !step.reason.is_empty() {
        words.push(format!("Reason {}", step.reason));
    }
    for figure in &step.figures {
        words.push(figure.title.clone());
        words.extend(figure.rows.iter().map(|(label, amount)| format!("{label} {amount}")));
        words.extend(figure.beside.clone());
        words.push(figure.source.clone());
    }
    words
}

/// What was recorded at it.
fn signed(step: &StepRecord) -> Vec<String> {
    let mut words = vec![step.left_out.clone()];
    words.extend(
        step.acknowledged.iter().chain(&step.signatures).map(
            |Signature { who, role, meaning, when }| format!("{meaning} {who}, {role} {when}"),
        ),
    );
    words.extend(step.values.iter().map(|value| {
        let ValueRecord { name, entered, limits, who, when, .. } = value;
        let accepted = value.accepted.as_deref().unwrap_or_default();
        format!("{name} {entered} within limits ({limits}) {accepted}; {who}, {when}")
    }));
    words.extend(step.lots.iter().map(|(label, lot)| format!("{label} {lot}")));
    words.extend(step.clocks.iter().map(|clock| {
        let ClockRecord { name, kind, minutes, begun, who } = clock;
        format!("Clock, {kind}: {name}. {begun}, {minutes} min; begun by {who}")
    }));
    words.extend(step.clearance.iter().map(|to| format!("Heat was used under clearance {to}.")));
    words.extend(step.from_paper.iter().map(|(who, when)| format!("Copied in: {who}, {when}")));
    words.extend(step.notes.iter().chain(&step.interruptions).map(|note| {
        let Note { who, when, text } = note;
        format!("Note, {who}, {when}: {text}")
    }));
    words.extend(step.corrections.iter().map(|correction| {
        let CorrectionRecord { event, what, says, reason, who, when, by_event } = correction;
        format!(
            "Corrected later Entry: {what} Corrected to: {says} Reason: {reason} {who}, {when}; \
             event {by_event} corrects event {event}"
        )
    }));
    words
}

fn by_reportlab(rows: &str) -> Option<(f64, usize)> {
    let font = concat!(env!("CARGO_MANIFEST_DIR"), "/fonts/SourceSans3-Regular.ttf");
    let mut python = Command::new("/usr/bin/python3")
        .args(["-c", REPORTLAB, font, &ROUNDS.to_string()])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .ok()?;
    python.stdin.take()?.write_all(rows.as_bytes()).ok()?;
    let said = String::from_utf8(python.wait_with_output().ok()?.stdout).ok()?;
    let (time, size) = said.trim().split_once(' ')?;
    Some((time.parse().ok()?, size.parse().ok()?))
}

fn main() -> Result<(), coldbench_record::RecordError> {
    let mut log = specimen::huge();
    // The same pages without what travels inside: a table carries no record.
    log.attached.clear();
    let mut times: Vec<Duration> = Vec::with_capacity(ROUNDS);
    let mut size = 0;
    for _ in 0..ROUNDS {
        let start = Instant::now();
        size = build_log(&log)?.len();
        times.push(start.elapsed());
    }
    times.sort();
    let ours = times[ROUNDS / 2].as_secs_f64() * 1e3;
    let steps: usize = log.stages.iter().map(|stage| stage.steps.len()).sum();
    println!("a log of {steps} steps, median of {ROUNDS} rounds");
    println!("drawn here           {ours:.1} ms, {} kB", size / 1000);
    let table = rows(&log);
    match by_reportlab(&table) {
        Some((theirs, larger)) => {
            println!("words in its rows    {}", table.split_whitespace().count());
            println!("reportlab, a table   {theirs:.1} ms, {} kB", larger / 1000);
            #[expect(clippy::cast_precision_loss, reason = "sizes of files")]
            let of_size = size as f64 / larger as f64;
            println!("times faster         {:.1} (aim: 5)", theirs / ours);
            println!("size, ours to theirs {of_size:.2} (aim: at most 1)");
        }
        None => println!("reportlab is not here (python3-reportlab): nothing to hold it against"),
    }
    Ok(())
}
