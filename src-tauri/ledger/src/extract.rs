//! The record of one subject, taken out of a ledger so that it can be checked with nothing but
//! itself: every event about the subject whole, every other one whole or folded, in one chain up
//! to the head.
//!
//! A subject stays readable where an event is folded. So nobody can leave out an event about the
//! subject and still have a record that holds.

use crate::authority::{OWN_KINDS, OWN_SUBJECT};
use crate::canonical::{content_digest, event_hash, signing_bytes};
use crate::error::LedgerError;
use crate::event::{Form, StoredEvent};
use crate::keys::signature_holds;
use crate::store::Head;
use crate::verify::{Folded, Verifier, VerifyFault, VerifyReport};
use serde::{Deserialize, Serialize};

/// The form of the file this program writes.
const FORMAT: u32 = 1;
/// A record of more bytes than this is not read: it is none of ours.
pub const LARGEST_RECORD: usize = 256 * 1024 * 1024;

/// An event of an extract.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Entry {
    /// With its content.
    Whole(Box<StoredEvent>),
    /// By the digest of its content alone.
    Folded(Folded),
}

/// The record of one subject.
#[derive(Debug, Clone, PartialEq)]
pub struct Extract {
    /// What it is the record of.
    pub subject: String,
    /// The installation's id and the newest event when it was taken.
    pub head: Head,
    /// The installation's public key.
    pub installation: [u8; 32],
    /// What whoever took it wrote beside it. Not signed.
    pub context: serde_json::Value,
    /// All events up to the head, in order.
    pub entries: Vec<Entry>,
    /// Who signed the newest event, where that is folded: else nothing signed would reach past
    /// the newest whole one, and another end could be put on.
    pub end: Option<Seal>,
}

/// A signature without what it signs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seal {
    /// Public key of who signed.
    #[serde(with = "hex::serde")]
    pub signer: [u8; 32],
    /// Signature over the hash.
    #[serde(with = "hex::serde")]
    pub signature: [u8; 64],
}

/// Why a record can't be read or does not hold.
#[derive(Debug, thiserror::Error)]
pub enum ExtractError {
    /// It is no record, or a damaged one.
    #[error("This is no Coldbench record, or a damaged one: {0}.")]
    Unreadable(String),
    /// Its end is signed by nobody who may.
    #[error("The record ends with an event that nobody signed whose key is known.")]
    OpenEnd,
    /// A newer program wrote it.
    #[error(
        "This record was written by a newer Coldbench (form {0}, this one knows {FORMAT}). Use the newer one."
    )]
    Newer(u32),
    /// It does not hold.
    #[error(transparent)]
    Fault(#[from] VerifyFault),
    /// Something about its subject was left out.
    #[error("Event {seq} is about {subject}, and its content was left out of the record.")]
    LeftOut {
        /// Which event.
        seq: u64,
        /// About what.
        subject: String,
    },
    /// It ends elsewhere than it says.
    #[error(
        "The record says that it ends at event {said} with the digest {digest}, and it does not."
    )]
    OtherHead {
        /// The number it states.
        said: u64,
        /// The digest it states.
        digest: String,
    },
}

/// What every form of the file begins with.
#[derive(Deserialize)]
#[serde(rename_all = "kebab-case")]
struct Mark {
    coldbench_record: u32,
}

/// The file. Names and order are ours; the bytes are canonical JSON.
#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct File {
    coldbench_record: u32,
    subject: String,
    origin: String,
    #[serde(with = "hex::serde")]
    installation: [u8; 32],
    events: u64,
    #[serde(with = "hex::serde")]
    head: [u8; 32],
    context: serde_json::Value,
    chain: Vec<Piece>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    end: Option<Seal>,
}

#[derive(Serialize, Deserialize)]
#[serde(untagged)]
enum Piece {
    Whole(Box<Whole>),
    /// A run of folded events: subject and digest of the content of each.
    Folded(Run),
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Run {
    folded: Vec<(String, Digest)>,
}

#[derive(Serialize, Deserialize)]
struct Digest(#[serde(with = "hex::serde")] [u8; 32]);

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Whole {
    form: u8,
    seq: u64,
    at: String,
    person: String,
    station: String,
    kind: String,
    subject: String,
    #[serde(with = "hex::serde")]
    salt: [u8; 16],
    body: String,
    #[serde(with = "hex::serde")]
    signer: [u8; 32],
    #[serde(with = "hex::serde")]
    signature: [u8; 64],
}

impl Extract {
    /// Takes out of the events of one origin those that are `wanted`, beside all that are about
    /// the subject, the ledger's own, and those that can't be folded.
    pub(crate) fn take(
        subject: &str,
        head: Head,
        installation: [u8; 32],
        context: serde_json::Value,
        events: Vec<StoredEvent>,
        wanted: impl Fn(&StoredEvent) -> bool,
    ) -> Result<Self, LedgerError> {
        let seal =
            events.last().map(|event| Seal { signer: event.signer, signature: event.signature });
        let entries: Vec<Entry> = events
            .into_iter()
            .map(|event| {
                let whole = event.form == Form::One
                    || event.subject == subject
                    || event.subject == OWN_SUBJECT
                    || event.kind.starts_with(OWN_KINDS)
                    || wanted(&event);
                if whole {
                    return Ok(Entry::Whole(Box::new(event)));
                }
                let content = content_digest(&event.unsealed())?;
                Ok(Entry::Folded(Folded { subject: event.subject, content }))
            })
            .collect::<Result<_, LedgerError>>()?;
        let end = seal.filter(|_| matches!(entries.last(), Some(Entry::Folded(_))));
        Ok(Self { subject: subject.to_owned(), head, installation, context, entries, end })
    }

    /// The file of the record: canonical JSON.
    pub fn to_bytes(&self) -> Result<Vec<u8>, LedgerError> {
        let mut chain: Vec<Piece> = Vec::new();
        for entry in &self.entries {
            match (entry, chain.last_mut()) {
                (Entry::Whole(event), _) => chain.push(Piece::Whole(Box::new(whole(event)))),
                (Entry::Folded(folded), Some(Piece::Folded(run))) => {
                    run.folded.push((folded.subject.clone(), Digest(folded.content)));
                }
                (Entry::Folded(folded), _) => chain.push(Piece::Folded(Run {
                    folded: vec![(folded.subject.clone(), Digest(folded.content))],
                })),
            }
        }
        let file = File {
            coldbench_record: FORMAT,
            subject: self.subject.clone(),
            origin: self.head.origin.clone(),
            installation: self.installation,
            events: self.head.events,
            head: self.head.digest,
            context: self.context.clone(),
            chain,
            end: self.end.clone(),
        };
        Ok(serde_json_canonicalizer::to_vec(&file)?)
    }

    /// Reads the file of a record. It is not checked yet: [`Extract::verify`] does that.
    pub fn from_bytes(bytes: &[u8]) -> Result<Self, ExtractError> {
        if bytes.len() > LARGEST_RECORD {
            return Err(ExtractError::Unreadable("it is larger than any record is".to_owned()));
        }
        let unreadable = |error: serde_json::Error| ExtractError::Unreadable(error.to_string());
        let mark: Mark = serde_json::from_slice(bytes).map_err(unreadable)?;
        match mark.coldbench_record {
            FORMAT => {}
            newer if newer > FORMAT => return Err(ExtractError::Newer(newer)),
            other => {
                return Err(ExtractError::Unreadable(format!("there is no form {other}")));
            }
        }
        let file: File = serde_json::from_slice(bytes).map_err(unreadable)?;
        let mut entries = Vec::new();
        for piece in file.chain {
            match piece {
                Piece::Whole(whole) => entries.push(unpacked(&file.origin, *whole)?),
                Piece::Folded(run) => {
                    let folded = |(subject, Digest(content))| Folded { subject, content };
                    entries.extend(run.folded.into_iter().map(folded).map(Entry::Folded));
                }
            }
        }
        let mut extract = Self {
            subject: file.subject,
            head: Head { origin: file.origin, events: file.events, digest: file.head },
            installation: file.installation,
            context: file.context,
            entries,
            end: file.end,
        };
        extract.link().map_err(unreadable)?;
        Ok(extract)
    }

    /// Fills in what the file leaves out because it follows: previous and own hashes.
    fn link(&mut self) -> Result<(), serde_json::Error> {
        let mut prev = [0; 32];
        for (entry, seq) in self.entries.iter_mut().zip(1..) {
            prev = match entry {
                Entry::Whole(event) => {
                    event.prev = prev;
                    event.hash = event_hash(&event.unsealed())?;
                    event.hash
                }
                Entry::Folded(Folded { subject, content }) => {
                    crate::canonical::link_hash(&self.head.origin, seq, subject, content, &prev)?
                }
            };
        }
        Ok(())
    }

    /// Checks chain, signatures, keys, that nothing about the subject is left out, and that the
    /// record ends where it says.
    pub fn verify(&self) -> Result<VerifyReport, ExtractError> {
        let origin = &self.head.origin;
        let mut verifier = Verifier::new([(origin.clone(), self.installation)])?;
        // Whole events in a row are checked together, on all cores.
        let mut row: Vec<StoredEvent> = Vec::new();
        for (entry, seq) in self.entries.iter().zip(1..) {
            match entry {
                Entry::Whole(event) => row.push((**event).clone()),
                Entry::Folded(folded) => {
                    verifier.take(&std::mem::take(&mut row))?;
                    if folded.subject == self.subject || folded.subject == OWN_SUBJECT {
                        let subject = folded.subject.clone();
                        return Err(ExtractError::LeftOut { seq, subject });
                    }
                    verifier.take_folded(origin, folded)?;
                }
            }
        }
        verifier.take(&row)?;
        let open =
            matches!(self.entries.last(), Some(Entry::Folded(_))) && !self.end_holds(&verifier);
        let report = verifier.finish()?;
        if report.heads.as_slice() != [self.head.clone()] {
            let digest = hex::encode(self.head.digest);
            return Err(ExtractError::OtherHead { said: self.head.events, digest });
        }
        if open { Err(ExtractError::OpenEnd) } else { Ok(report) }
    }

    /// Whether the newest event, of which the content is not here, was signed by the installation
    /// or with a key that signs.
    fn end_holds(&self, verifier: &Verifier) -> bool {
        let Some(Seal { signer, signature }) = &self.end else { return false };
        let known = *signer == self.installation
            || verifier.authority().is_some_and(|authority| authority.signs(signer));
        // Against the digest that was reached, not the one that is stated.
        let message = verifier.reached().map(|digest| signing_bytes(Form::Two, &digest));
        known && message.is_some_and(|message| signature_holds(signer, &message, signature))
    }

    /// The whole events, and the subjects of the folded ones in their places.
    pub fn events(&self) -> impl Iterator<Item = Result<&StoredEvent, &str>> {
        self.entries.iter().map(|entry| match entry {
            Entry::Whole(event) => Ok(&**event),
            Entry::Folded(folded) => Err(folded.subject.as_str()),
        })
    }
}

fn whole(event: &StoredEvent) -> Whole {
    Whole {
        form: event.form.number(),
        seq: event.seq,
        at: event.at.clone(),
        person: event.person.clone(),
        station: event.station.clone(),
        kind: event.kind.clone(),
        subject: event.subject.clone(),
        salt: event.salt,
        body: event.body.clone(),
        signer: event.signer,
        signature: event.signature,
    }
}

fn unpacked(origin: &str, whole: Whole) -> Result<Entry, ExtractError> {
    let form = Form::of(whole.form.into()).ok_or_else(|| {
        ExtractError::Unreadable(format!("event {} has a form unknown here", whole.seq))
    })?;
    Ok(Entry::Whole(Box::new(StoredEvent {
        form,
        origin: origin.to_owned(),
        seq: whole.seq,
        at: whole.at,
        person: whole.person,
        station: whole.station,
        kind: whole.kind,
        subject: whole.subject,
        salt: whole.salt,
        body: whole.body,
        prev: [0; 32],
        hash: [0; 32],
        signer: whole.signer,
        signature: whole.signature,
    })))
}
