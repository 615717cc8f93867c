//! Going through a ledger and naming the first event that does not hold.

use crate::canonical::{event_hash, signing_bytes};
use crate::event::StoredEvent;
use ed25519_dalek::{Signature, VerifyingKey};
use std::collections::HashMap;

/// The ledger's own event that makes a key known.
pub(crate) const KEY_ENROLLED: &str = "ledger.key-enrolled";

/// A ledger that holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VerifyReport {
    /// How many events were checked.
    pub events: u64,
    /// Hash of the newest event of each origin.
    pub heads: Vec<(String, [u8; 32])>,
}

/// The first event that does not hold, and why.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("Event {seq} of {origin} does not hold: {why}")]
pub struct VerifyFault {
    /// The origin.
    pub origin: String,
    /// The number the event has, or should have.
    pub seq: u64,
    /// Why, in words.
    pub why: String,
}

/// Checks the chain, the hashes, the signatures, and that each signer's key was enrolled before.
/// `events` come by origin and number; `installation` is the public key of the one installation.
pub fn verify(
    events: &[StoredEvent],
    installation: &[u8; 32],
) -> Result<VerifyReport, VerifyFault> {
    let mut heads: Vec<(String, u64, [u8; 32])> = Vec::new();
    let mut keys: HashMap<[u8; 32], String> = HashMap::new();
    keys.insert(*installation, String::new());
    for event in events {
        let fault = |why: &str| VerifyFault {
            origin: event.origin.clone(),
            seq: event.seq,
            why: why.to_owned(),
        };
        if heads.last().is_none_or(|(origin, _, _)| *origin != event.origin) {
            heads.push((event.origin.clone(), 0, [0; 32]));
        }
        let Some((_, last, digest)) = heads.last_mut() else { continue };
        if event.seq != *last + 1 {
            return Err(VerifyFault {
                seq: *last + 1,
                ..fault("it is missing, or events are out of order.")
            });
        }
        if event.prev != *digest {
            return Err(fault("it does not follow the event before it."));
        }
        let hash = event_hash(&event.unsealed()).map_err(|_| fault("it can't be read."))?;
        if hash != event.hash {
            return Err(fault("it was changed after it was written."));
        }
        let signed = VerifyingKey::from_bytes(&event.signer).is_ok_and(|key| {
            key.verify_strict(&signing_bytes(&hash), &Signature::from_bytes(&event.signature))
                .is_ok()
        });
        if !signed {
            return Err(fault("its signature is not that of the key it names."));
        }
        match keys.get(&event.signer) {
            None => return Err(fault("it was signed with a key that nobody enrolled before.")),
            Some(person) if *person != event.person => {
                return Err(fault("it was signed with another person's key."));
            }
            Some(_) => {}
        }
        if event.moment().is_none() {
            return Err(fault("its time can't be read."));
        }
        if event.kind == KEY_ENROLLED {
            let (person, public) =
                enrolled(&event.body).ok_or_else(|| fault("the key it enrols can't be read."))?;
            if keys.insert(public, person).is_some() {
                return Err(fault("it enrols a key that was enrolled before."));
            }
        }
        *last = event.seq;
        *digest = hash;
    }
    Ok(VerifyReport {
        events: heads.iter().map(|(_, count, _)| count).sum(),
        heads: heads.into_iter().map(|(origin, _, digest)| (origin, digest)).collect(),
    })
}

fn enrolled(body: &str) -> Option<(String, [u8; 32])> {
    let body: serde_json::Value = serde_json::from_str(body).ok()?;
    let mut public = [0; 32];
    hex::decode_to_slice(body.get("public-key")?.as_str()?, &mut public).ok()?;
    Some((body.get("person")?.as_str()?.to_owned(), public))
}
