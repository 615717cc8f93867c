//! The record of a rod as a thing of its own: taken out of the ledger, put into the printed PDF
//! or a file, and checked again with nothing but itself.
//!
//! A page is always drawn from such a record, never from the workshop. So whoever has the record
//! can draw the page again and compare.

use crate::build_log::build_log;
use crate::error::ShellError;
use crate::events::{audit_extract, from_ledger};
use crate::views::PaperWord;
use crate::workshop::Workshop;
use coldbench_ledger::{Extract, Head, LARGEST_RECORD, VerifyReport, digest_hex};
use coldbench_record::{
    Attachment, BuildLog, LedgerHead, Paper, Relation, attachment, page_texts, sealed,
};
use coldbench_seal::Holder;
use coldbench_shop::{Happened, Moment, Refusal, RodId, State, record_of};
use serde::{Deserialize, Serialize};
use std::path::Path;

/// The name of the record inside the PDF.
pub const RECORD_FILE: &str = "record.json";
const HOW_FILE: &str = "how-to-verify.txt";

/// How a page is drawn from a record: all that does not follow from its events.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Drawn {
    /// The program that drew it, by its version.
    pub by: String,
    /// When.
    pub printed: Moment,
    /// On what.
    pub paper: PaperWord,
}

/// The record of a rod.
pub struct Record {
    extract: Extract,
    drawn: Drawn,
    state: State,
}

/// What was found about a record that holds.
pub struct Checked {
    /// Which rod.
    pub rod: RodId,
    /// Its title.
    pub title: String,
    /// Of the ledger.
    pub report: VerifyReport,
    /// Whether the pages were drawn again and said the same; `None` where there are no pages, or
    /// another version drew them.
    pub pages: Option<usize>,
    /// The version that drew the pages, where it is another.
    pub drawn_by: Option<String>,
    /// Whose seal the PDF carries, if it carries one.
    pub seal: Option<Holder>,
}

impl Record {
    /// Takes the record of a rod out of a workshop's ledger.
    pub fn take(workshop: &Workshop, rod: &RodId, paper: PaperWord) -> Result<Self, ShellError> {
        if !workshop.state().rods.contains_key(rod) {
            return Err(Refusal::Unknown { what: "rod", id: rod.to_string() }.into());
        }
        let ledger = workshop.ledger().ok_or(Refusal::NotFounded)?;
        let events = ledger.events()?;
        let read = events.iter().map(from_ledger).collect::<Result<Vec<_>, _>>()?;
        let pairs = read
            .iter()
            .zip(&events)
            .filter_map(|(happened, stored)| Some((happened.as_ref()?, stored.subject.as_str())));
        let belongs = record_of(rod, pairs);
        let drawn =
            Drawn { by: env!("CARGO_PKG_VERSION").to_owned(), printed: workshop.now(), paper };
        let context = serde_json::to_value(&drawn).map_err(coldbench_ledger::LedgerError::from)?;
        let extract =
            ledger.extract(rod.as_str(), context, |event| belongs.contains(&event.seq))?;
        let state = state_of(&extract)?;
        Ok(Self { extract, drawn, state })
    }

    /// Reads a record and checks it: chain, keys, rights, order.
    pub fn check(bytes: &[u8]) -> Result<(Self, VerifyReport), ShellError> {
        let extract = Extract::from_bytes(bytes)?;
        let report = extract.verify()?;
        let state = audit_extract(&extract)?;
        let drawn = serde_json::from_value(extract.context.clone())
            .map_err(|error| coldbench_ledger::ExtractError::Unreadable(error.to_string()))?;
        let record = Self { extract, drawn, state };
        if record.state.rods.contains_key(&record.rod()) {
            Ok((record, report))
        } else {
            let what = format!("it tells nothing of the rod {}", record.rod());
            Err(coldbench_ledger::ExtractError::Unreadable(what).into())
        }
    }

    /// Which rod.
    pub fn rod(&self) -> RodId {
        RodId::new(self.extract.subject.as_str())
    }

    /// Its title.
    pub fn title(&self) -> String {
        self.state.rods.get(&self.rod()).map_or_else(String::new, |rod| rod.plan.title.clone())
    }

    /// For whom it is built.
    pub fn customer(&self) -> String {
        self.state.rods.get(&self.rod()).map_or_else(String::new, |rod| rod.plan.customer.clone())
    }

    /// The newest event of the ledger when it was taken.
    pub fn head(&self) -> &Head {
        &self.extract.head
    }

    /// The record as a file.
    pub fn to_bytes(&self) -> Result<Vec<u8>, ShellError> {
        Ok(self.extract.to_bytes()?)
    }

    /// The build log drawn from it as a PDF, with the record inside.
    pub fn draw(&self) -> Result<Vec<u8>, ShellError> {
        Ok(coldbench_record::build_log(&self.log()?)?)
    }

    /// When the newest event in it happened.
    pub fn last(&self) -> Moment {
        self.state.latest.unwrap_or(self.drawn.printed)
    }

    /// The same pages, each as an SVG document.
    pub fn preview(&self) -> Result<Vec<String>, ShellError> {
        Ok(coldbench_record::build_log_preview(&self.log()?)?)
    }

    fn log(&self) -> Result<BuildLog, ShellError> {
        let Head { origin, events, digest } = &self.extract.head;
        let head = LedgerHead {
            origin: origin.clone(),
            events: *events,
            digest: digest_hex(digest),
            last: self.last(),
        };
        let mut log = build_log(
            &self.state,
            &self.rod(),
            head,
            self.drawn.printed,
            Paper::from(self.drawn.paper),
        )?;
        log.attached = vec![
            Attachment {
                name: RECORD_FILE.to_owned(),
                mime: "application/json".to_owned(),
                words: "The signed events this log was drawn from.".to_owned(),
                relation: Relation::Source,
                bytes: self.to_bytes()?,
            },
            Attachment {
                name: HOW_FILE.to_owned(),
                mime: "text/plain".to_owned(),
                words: "How this log is checked, and what that shows.".to_owned(),
                relation: Relation::Supplement,
                bytes: HOW.as_bytes().to_vec(),
            },
        ];
        Ok(log)
    }
}

/// The state the whole events of an extract come to.
fn state_of(extract: &Extract) -> Result<State, ShellError> {
    let happened: Vec<Happened> = extract
        .events()
        .filter_map(Result::ok)
        .map(from_ledger)
        .collect::<Result<Vec<_>, _>>()?
        .into_iter()
        .flatten()
        .collect();
    Ok(State::from_events(&happened))
}

/// Reads a record out of a PDF or a record file. `anchors` take the record's own head, so that a
/// workshop's ledger can be held against it.
pub fn check_file(path: &Path) -> Result<(Record, Checked), ShellError> {
    let bytes = read_bounded(path)?;
    if !bytes.starts_with(b"%PDF-") {
        let (record, report) = Record::check(&bytes)?;
        let checked = found(&record, report);
        return Ok((record, checked));
    }
    let (record, report) = Record::check(&attachment(&bytes, RECORD_FILE, LARGEST_RECORD)?)?;
    let mut checked = found(&record, report);
    // Of a sealed file, the file before its seal is what was drawn.
    let parts = sealed(&bytes)?;
    let bytes = parts.as_ref().map_or(bytes.as_slice(), |parts| parts.before);
    if let Some(parts) = &parts {
        checked.seal = Some(coldbench_seal::check(&parts.seal, &parts.covered)?);
    }
    let pages = page_texts(bytes)?;
    let digits = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
    let digest = digest_hex(&record.extract.head.digest);
    if !pages.iter().any(|page| digits(page).contains(&digest)) {
        return Err(ShellError::OtherPage {
            page: pages.len(),
            why: "the digest printed on it is not that of the record inside".to_owned(),
        });
    }
    if record.drawn.by == env!("CARGO_PKG_VERSION") {
        // The same record gives the same bytes. What differs is looked for in the text, so that
        // a page can be named; what is drawn over a text shows in the bytes alone.
        let drawn = record.draw()?;
        if drawn != bytes {
            let again = page_texts(&drawn)?;
            let other = (0..pages.len().max(again.len())).find(|&n| pages.get(n) != again.get(n));
            return Err(match other {
                Some(page) => ShellError::OtherPage {
                    page: page + 1,
                    why: "it says something else than the record inside".to_owned(),
                },
                None => ShellError::ChangedFile,
            });
        }
        checked.pages = Some(pages.len());
    } else {
        checked.drawn_by = Some(record.drawn.by.clone());
    }
    Ok((record, checked))
}

fn found(record: &Record, report: VerifyReport) -> Checked {
    Checked {
        rod: record.rod(),
        title: record.title(),
        report,
        pages: None,
        drawn_by: None,
        seal: None,
    }
}

/// A file that is larger than any record of ours is not read at all.
fn read_bounded(path: &Path) -> Result<Vec<u8>, ShellError> {
    use std::io::Read as _;
    let most = u64::try_from(LARGEST_RECORD).unwrap_or(u64::MAX);
    let mut bytes = Vec::new();
    std::fs::File::open(path)
        .and_then(|file| file.take(most + 1).read_to_end(&mut bytes))
        .map_err(ShellError::file(path))?;
    Ok(bytes)
}

const HOW: &str = "\
How to check this build log
===========================

    coldbench verify FILE.pdf

needs nothing but the file. It checks the record inside (record.json): that each event
follows from the one before it, that each was signed with the key of the person it names,
that the person had the right to, that steps came in their order and heat only under a
clearance, that nothing about this rod was left out, that the printed digest is that of the
record, and that the pages say what the record says.

The file record.json is canonical JSON (RFC 8785). An event about other rods stands in it
only as its subject and the SHA-256 of its content. The hash of an event is the SHA-256 of
the canonical JSON of
    {\"content\": ..., \"origin\": ..., \"prev\": ..., \"seq\": ..., \"subject\": ..., \"v\": 2}
where content is the SHA-256 of the canonical JSON of
    {\"at\": ..., \"body\": ..., \"kind\": ..., \"person\": ..., \"salt\": ..., \"station\": ...}
and prev is the hash of the event before it (zeros for the first). The signature is Ed25519
(RFC 8032) over the bytes \"coldbench event v2\", a zero byte, and the hash.

The PDF may be sealed by the workshop: a signature as other programs know it (PAdES), over
the whole file, by a certificate that the workshop issued to itself. They will say that it
holds and that they don't know the signer, for nobody else vouches for the certificate. It
shows that the file is as the workshop wrote it, and is nobody's signature.

What it shows: these events, in this order, existed when the log was printed.
What it can't show: that what was entered is true. An owner who holds every key could write
another history; this log, held by somebody else, would contradict it.
";
