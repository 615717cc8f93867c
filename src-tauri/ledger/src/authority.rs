//! Whose key may sign what, as it follows from the ledger's own events.
//!
//! The ledger knows no roles. It knows keys: whose each is, whether it may enrol others, and
//! when it ended. The first key is enrolled by the installation, every later one by a key that
//! may enrol; so a new key for somebody who forgot a PIN is linked to a lead's signature.

use crate::event::StoredEvent;
use crate::keys::Enrolment;
use serde::{Deserialize, Serialize};
use std::collections::HashMap;

/// The subject of the ledger's own events: they are whole in every record.
pub const OWN_SUBJECT: &str = "ledger";
/// What the kinds of the ledger's own events begin with.
pub const OWN_KINDS: &str = "ledger.";
const ENROLLED: &str = "ledger.key-enrolled";
const ENDED: &str = "ledger.key-ended";
/// A ledger was brought back from a backup.
pub(crate) const RESTORED: &str = "ledger.restored";

/// What the event says that makes a key known. Fields that form 1 did not have are optional.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
struct Enrolled {
    person: String,
    #[serde(with = "hex::serde")]
    public_key: [u8; 32],
    /// Whether it may enrol and end other keys.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    may_enrol: Option<bool>,
    /// Digest of the sealed secret half, so that it can't be changed unseen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    sealed: Option<String>,
    /// The key of the same person that ends with this one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    replaces: Option<String>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct Ended {
    person: String,
    #[serde(with = "hex::serde")]
    public_key: [u8; 32],
}

/// A key of a person.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Key {
    pub(crate) person: String,
    pub(crate) may_enrol: bool,
    /// The digest of its sealed half, where the event that enrolled it says so.
    pub(crate) sealed: Option<String>,
    ended: bool,
}

/// All keys of an origin, after so many of its events.
#[derive(Debug, Clone)]
pub(crate) struct Authority {
    installation: [u8; 32],
    keys: HashMap<[u8; 32], Key>,
}

impl Authority {
    pub(crate) fn new(installation: [u8; 32]) -> Self {
        Self { installation, keys: HashMap::new() }
    }

    pub(crate) fn keys(&self) -> impl Iterator<Item = (&[u8; 32], &Key)> {
        self.keys.iter()
    }

    pub(crate) fn key(&self, public: &[u8; 32]) -> Option<&Key> {
        self.keys.get(public)
    }

    /// Whether a key is known and has not ended.
    pub(crate) fn signs(&self, public: &[u8; 32]) -> bool {
        self.keys.get(public).is_some_and(|key| !key.ended)
    }

    /// The key with which a person signs now.
    pub(crate) fn live_key(&self, person: &str) -> Option<(&[u8; 32], &Key)> {
        self.keys.iter().find(|(_, key)| key.person == person && !key.ended)
    }

    /// Takes in the next event; says why its signer had no right to it.
    pub(crate) fn take(&mut self, event: &StoredEvent) -> Result<(), &'static str> {
        let signer = if event.signer == self.installation {
            if !event.person.is_empty() {
                return Err("it was signed with the installation's key, not the person's.");
            }
            None
        } else {
            let key = self
                .keys
                .get(&event.signer)
                .ok_or("it was signed with a key that nobody enrolled before.")?;
            if key.person != event.person {
                return Err("it was signed with another person's key.");
            }
            if key.ended {
                return Err("it was signed with a key that had ended before.");
            }
            Some(key)
        };
        // Form 1 kept no rights: there any key could enrol, as the program then had it.
        let may_enrol = match signer {
            Some(key) => key.may_enrol,
            None => !self.keys.values().any(|key| key.may_enrol),
        };
        match event.kind.as_str() {
            ENROLLED => self.enrol(event, may_enrol),
            ENDED => self.end(event, may_enrol),
            _ => Ok(()),
        }
    }

    fn enrol(&mut self, event: &StoredEvent, may_enrol: bool) -> Result<(), &'static str> {
        let said: Enrolled =
            serde_json::from_str(&event.body).map_err(|_| "the key it enrols can't be read.")?;
        if !may_enrol {
            return Err("it enrols a key, and its signer had no right to.");
        }
        if self.keys.contains_key(&said.public_key) || said.public_key == self.installation {
            return Err("it enrols a key that was enrolled before.");
        }
        let live = self.live_key(&said.person).map(|(public, _)| *public);
        match (live, &said.replaces) {
            (None, None) => {}
            (Some(live), Some(replaced)) if hex::encode(live) == *replaced => {
                if let Some(key) = self.keys.get_mut(&live) {
                    key.ended = true;
                }
            }
            (Some(_), _) => return Err("it enrols a second key for one person."),
            (None, Some(_)) => return Err("the key it replaces is none that still signs."),
        }
        self.keys.insert(
            said.public_key,
            Key {
                person: said.person,
                may_enrol: said.may_enrol.unwrap_or(true),
                sealed: said.sealed,
                ended: false,
            },
        );
        Ok(())
    }

    fn end(&mut self, event: &StoredEvent, may_enrol: bool) -> Result<(), &'static str> {
        let said: Ended =
            serde_json::from_str(&event.body).map_err(|_| "the key it ends can't be read.")?;
        if !may_enrol && event.signer != said.public_key {
            return Err("it ends a key, and its signer had no right to.");
        }
        match self.keys.get_mut(&said.public_key) {
            Some(key) if key.person == said.person && !key.ended => {
                key.ended = true;
                Ok(())
            }
            _ => Err("the key it ends is none that still signs."),
        }
    }
}

/// The event that makes a key known: its kind and body.
pub(crate) fn enrolled(
    enrolment: &Enrolment,
    replaces: Option<&[u8; 32]>,
) -> Result<(&'static str, serde_json::Value), serde_json::Error> {
    let body = Enrolled {
        person: enrolment.person.clone(),
        public_key: enrolment.sealed.public,
        may_enrol: Some(enrolment.may_enrol),
        sealed: Some(enrolment.sealed.digest()),
        replaces: replaces.map(hex::encode),
    };
    Ok((ENROLLED, serde_json::to_value(body)?))
}

/// The event that ends a key: its kind and body.
pub(crate) fn ended(
    person: &str,
    public: &[u8; 32],
) -> Result<(&'static str, serde_json::Value), serde_json::Error> {
    let body = Ended { person: person.to_owned(), public_key: *public };
    Ok((ENDED, serde_json::to_value(body)?))
}
