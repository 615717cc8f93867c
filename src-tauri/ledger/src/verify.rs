//! Going through a ledger and naming the first event that does not hold.

use crate::authority::Authority;
use crate::canonical::{event_hash, is_canonical, link_hash, signing_bytes};
use crate::event::{Form, StoredEvent};
use crate::store::{Head, origin_of};
use ed25519_dalek::{Signature, VerifyingKey};
use std::collections::HashMap;
use std::num::NonZero;

/// A ledger that holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VerifyReport {
    /// How many events were checked.
    pub events: u64,
    /// How many of them only by the digest of their content.
    pub folded: u64,
    /// The newest event of each origin.
    pub heads: Vec<Head>,
}

/// The first thing that does not hold, and why.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum VerifyFault {
    /// An event.
    #[error("Event {seq} of {origin} does not hold: {why}")]
    Event {
        /// The origin.
        origin: String,
        /// The number the event has, or should have.
        seq: u64,
        /// Why, in words.
        why: String,
    },
    /// What is kept of somebody's key.
    #[error("The sealed key of {person} does not hold: {why}")]
    Key {
        /// Whose.
        person: String,
        /// Why, in words.
        why: String,
    },
    /// The installation that wrote it.
    #[error("The key of the installation {origin} does not hold: {why}")]
    Installation {
        /// Its id.
        origin: String,
        /// Why, in words.
        why: String,
    },
}

impl VerifyFault {
    /// The number of the event at fault, where it is an event.
    pub fn seq(&self) -> Option<u64> {
        match self {
            Self::Event { seq, .. } => Some(*seq),
            _ => None,
        }
    }
}

/// An event of which the content is left out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Folded {
    /// What it is about.
    pub subject: String,
    /// Digest of its content.
    pub content: [u8; 32],
}

/// Takes events in order and stops at the first that does not hold.
#[derive(Debug, Clone)]
pub struct Verifier {
    /// The public key of each origin's installation.
    installations: HashMap<String, [u8; 32]>,
    /// Heads that somebody holds outside: each must be in the history.
    anchors: Vec<Head>,
    heads: Vec<Head>,
    authority: Option<Authority>,
    folded: u64,
}

impl Verifier {
    /// Begins, with the public key of each origin's installation.
    pub fn new(
        installations: impl IntoIterator<Item = (String, [u8; 32])>,
    ) -> Result<Self, VerifyFault> {
        let installations: HashMap<_, _> = installations.into_iter().collect();
        if let Some((origin, _)) =
            installations.iter().find(|(origin, public)| origin_of(public) != **origin)
        {
            return Err(VerifyFault::Installation {
                origin: origin.clone(),
                why: "it is not the key this id was made from.".to_owned(),
            });
        }
        Ok(Self {
            installations,
            anchors: Vec::new(),
            heads: Vec::new(),
            authority: None,
            folded: 0,
        })
    }

    /// Asks that a head which somebody holds outside, on paper or in a backup, is one of the
    /// history.
    #[must_use]
    pub fn anchored(mut self, head: Head) -> Self {
        self.anchors.push(head);
        self
    }

    /// Takes the next events. What each says of itself (hash, signature, time) is checked on all
    /// cores, how each follows from those before it in order.
    pub fn take(&mut self, events: &[StoredEvent]) -> Result<(), VerifyFault> {
        for (event, alone) in events.iter().zip(checked_alone(events)) {
            self.follow(event, alone)?;
        }
        Ok(())
    }

    fn follow(
        &mut self,
        event: &StoredEvent,
        alone: Result<(), &'static str>,
    ) -> Result<(), VerifyFault> {
        let fault = |why: &str| VerifyFault::Event {
            origin: event.origin.clone(),
            seq: event.seq,
            why: why.to_owned(),
        };
        let (head, authority) = self.chain(&event.origin)?;
        if event.seq != head.events + 1 {
            return Err(VerifyFault::Event {
                origin: event.origin.clone(),
                seq: head.events + 1,
                why: "it is missing, or events are out of order.".to_owned(),
            });
        }
        if event.prev != head.digest {
            return Err(fault("it does not follow the event before it."));
        }
        alone.map_err(fault)?;
        authority.take(event).map_err(fault)?;
        head.events = event.seq;
        head.digest = event.hash;
        self.meet_anchors()
    }

    /// Takes an event of which the content is left out.
    pub fn take_folded(&mut self, origin: &str, folded: &Folded) -> Result<(), VerifyFault> {
        let (head, _) = self.chain(origin)?;
        let seq = head.events + 1;
        let hash = link_hash(origin, seq, &folded.subject, &folded.content, &head.digest);
        head.digest = hash.map_err(|_| VerifyFault::Event {
            origin: origin.to_owned(),
            seq,
            why: "it can't be read.".to_owned(),
        })?;
        head.events = seq;
        self.folded += 1;
        self.meet_anchors()
    }

    fn chain(&mut self, origin: &str) -> Result<(&mut Head, &mut Authority), VerifyFault> {
        if self.heads.last().is_none_or(|head| head.origin != origin) {
            let unknown = || VerifyFault::Event {
                origin: origin.to_owned(),
                seq: 1,
                why: "nothing is known of the installation that wrote it.".to_owned(),
            };
            if self.heads.iter().any(|head| head.origin == origin) {
                return Err(VerifyFault::Event {
                    origin: origin.to_owned(),
                    seq: 1,
                    why: "events of two origins are mixed up.".to_owned(),
                });
            }
            let installation = *self.installations.get(origin).ok_or_else(unknown)?;
            self.heads.push(Head { origin: origin.to_owned(), events: 0, digest: [0; 32] });
            self.authority = Some(Authority::new(installation));
        }
        match (self.heads.last_mut(), &mut self.authority) {
            (Some(head), Some(authority)) => Ok((head, authority)),
            _ => Err(VerifyFault::Installation {
                origin: origin.to_owned(),
                why: "nothing is known of it.".to_owned(),
            }),
        }
    }

    fn meet_anchors(&mut self) -> Result<(), VerifyFault> {
        if self.anchors.is_empty() {
            return Ok(());
        }
        let Some(head) = self.heads.last() else { return Ok(()) };
        let here = |anchor: &&Head| anchor.origin == head.origin && anchor.events == head.events;
        if self.anchors.iter().filter(here).any(|anchor| anchor.digest != head.digest) {
            return Err(VerifyFault::Event {
                origin: head.origin.clone(),
                seq: head.events,
                why: "its digest is not the one held outside; this is another history.".to_owned(),
            });
        }
        let (origin, events) = (head.origin.clone(), head.events);
        self.anchors.retain(|anchor| anchor.origin != origin || anchor.events != events);
        Ok(())
    }

    /// The digest of the event that was taken last.
    pub(crate) fn reached(&self) -> Option<[u8; 32]> {
        self.heads.last().map(|head| head.digest)
    }

    /// The keys of the origin that was taken last.
    pub(crate) fn authority(&self) -> Option<&Authority> {
        self.authority.as_ref()
    }

    /// Ends: everything that is known outside must have been met.
    pub fn finish(self) -> Result<VerifyReport, VerifyFault> {
        if let Some(anchor) = self.anchors.iter().find(|anchor| anchor.events > 0) {
            return Err(VerifyFault::Event {
                origin: anchor.origin.clone(),
                seq: anchor.events,
                why: "its digest is held outside, and the history here does not reach it."
                    .to_owned(),
            });
        }
        Ok(VerifyReport {
            events: self.heads.iter().map(|head| head.events).sum(),
            folded: self.folded,
            heads: self.heads,
        })
    }
}

/// Below this many events, a second thread costs more than it brings.
const FEW: usize = 64;

/// What each event says of itself, whatever stands before it.
fn checked_alone(events: &[StoredEvent]) -> Vec<Result<(), &'static str>> {
    let cores = std::thread::available_parallelism().map_or(1, NonZero::get);
    if events.len() < FEW || cores == 1 {
        return check_share(events);
    }
    let share = events.len().div_ceil(cores);
    std::thread::scope(|scope| {
        let threads: Vec<_> =
            events.chunks(share).map(|part| (part, scope.spawn(|| check_share(part)))).collect();
        threads
            .into_iter()
            // A thread that could not be had is no reason to believe anything: done again here.
            .flat_map(|(part, thread)| thread.join().unwrap_or_else(|_| check_share(part)))
            .collect()
    })
}

fn check_share(events: &[StoredEvent]) -> Vec<Result<(), &'static str>> {
    // Unpacking a key is a tenth of checking a signature, and there are few keys.
    let mut keys: HashMap<[u8; 32], Option<VerifyingKey>> = HashMap::new();
    events.iter().map(|event| check_alone(event, &mut keys)).collect()
}

fn check_alone(
    event: &StoredEvent,
    keys: &mut HashMap<[u8; 32], Option<VerifyingKey>>,
) -> Result<(), &'static str> {
    let hash = event_hash(&event.unsealed()).map_err(|_| "it can't be read.")?;
    let unused = event.form == Form::One && (!event.subject.is_empty() || event.salt != [0; 16]);
    if hash != event.hash || unused {
        return Err("it was changed after it was written.");
    }
    let key =
        keys.entry(event.signer).or_insert_with(|| VerifyingKey::from_bytes(&event.signer).ok());
    let signature = Signature::from_bytes(&event.signature);
    let message = signing_bytes(event.form, &hash);
    if key.as_ref().is_none_or(|key| key.verify_strict(&message, &signature).is_err()) {
        return Err("its signature is not that of the key it names.");
    }
    if event.moment().is_none() {
        return Err("its time can't be read.");
    }
    if !is_canonical(&event.body) {
        return Err("its body is not written in the one canonical way.");
    }
    Ok(())
}
