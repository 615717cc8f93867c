//! People's keys: an Ed25519 key pair each, its secret half sealed under a PIN.
//!
//! A short PIN can't protect a file that was copied: it unlocks a running program and slows a
//! thief, no more. A passphrase is taken in its place.

use crate::canonical::sha256_hex;
use crate::error::LedgerError;
use argon2::{Algorithm, Argon2, AssociatedData, ParamsBuilder, Version};
use chacha20poly1305::aead::{Aead, Payload};
use chacha20poly1305::{KeyInit, XChaCha20Poly1305, XNonce};
use ed25519_dalek::{Signature, Signer as _, SigningKey, VerifyingKey};
use hkdf::Hkdf;
use sha2::Sha256;
use zeroize::Zeroizing;

/// How much work a guess at a PIN costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cost {
    /// Memory in KiB, at least 8 for each lane.
    pub memory_kib: u32,
    /// Passes over the memory, at least 1.
    pub passes: u32,
    /// Lanes, at least 1.
    pub lanes: u32,
}

impl Cost {
    /// RFC 9106 section 4, second recommended option: 64 MiB, 3 passes, 4 lanes.
    pub const PIN: Self = Self { memory_kib: 64 * 1024, passes: 3, lanes: 4 };
}

const SHORTEST_PIN: usize = 4;

/// A PIN or passphrase; wiped when dropped.
pub struct Pin(Zeroizing<String>);

impl Pin {
    /// Takes over the text. White space does not count: a foot pedal or a paste adds it unseen.
    pub fn new(text: String) -> Self {
        let text = Zeroizing::new(text);
        // Room for all of it at once: growing would leave copies behind.
        let mut kept = Zeroizing::new(String::with_capacity(text.len()));
        kept.extend(text.chars().filter(|c| !c.is_whitespace()));
        Self(kept)
    }
}

/// A secret key in memory, wiped when dropped.
pub struct UnlockedKey {
    pub(crate) person: String,
    key: SigningKey,
}

impl UnlockedKey {
    pub(crate) fn from_seed(person: String, seed: &[u8; 32]) -> Self {
        Self { person, key: SigningKey::from_bytes(seed) }
    }

    /// Whose key it is; empty for the installation's.
    pub fn person(&self) -> &str {
        &self.person
    }

    pub(crate) fn public(&self) -> [u8; 32] {
        self.key.verifying_key().to_bytes()
    }

    pub(crate) fn sign(&self, message: &[u8]) -> [u8; 64] {
        self.key.sign(message).to_bytes()
    }

    /// Secret bytes for another purpose (HKDF with SHA-256, RFC 5869): from them neither this key
    /// nor those of a purpose beside it can be found.
    pub(crate) fn derived(&self, purpose: &str) -> Result<Zeroizing<[u8; 32]>, LedgerError> {
        let mut secret = Zeroizing::new([0; 32]);
        let seed = Zeroizing::new(self.key.to_bytes());
        Hkdf::<Sha256>::new(Some(b"coldbench derived v1"), &*seed)
            .expand(purpose.as_bytes(), &mut *secret)
            .map_err(|_| LedgerError::Crypto("no key could be derived"))?;
        Ok(secret)
    }
}

/// A key made for a person and sealed, ready to be enrolled with an append.
pub struct Enrolment {
    pub(crate) person: String,
    pub(crate) sealed: SealedKey,
    pub(crate) may_enrol: bool,
    pub(crate) replaces: bool,
}

/// What an append does to keys beside its events.
pub enum KeyChange {
    /// A key becomes known, before the events.
    Enrol(Enrolment),
    /// The key of a person signs no more, after the events.
    End {
        /// Whose.
        person: String,
    },
}

/// The secret half as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct SealedKey {
    pub(crate) public: [u8; 32],
    pub(crate) kdf: String,
    pub(crate) salt: [u8; 16],
    pub(crate) nonce: [u8; 24],
    pub(crate) sealed: Vec<u8>,
}

pub(crate) fn random<const N: usize>() -> Result<[u8; N], LedgerError> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes)
        .map_err(|_| LedgerError::Crypto("the system gave no random bytes"))?;
    Ok(bytes)
}

const KDF: &str = "argon2id v=19 m=65536 t=3 p=4";

/// Argon2id, version 0x13 (RFC 9106): 32 bytes from a password of any length, a salt of at least
/// 8 bytes, and, which may be empty, a secret and associated data (at most 32 bytes).
pub fn argon2id(
    password: &[u8],
    salt: &[u8],
    secret: &[u8],
    associated: &[u8],
    cost: Cost,
) -> Result<Zeroizing<[u8; 32]>, LedgerError> {
    let refused = |_| LedgerError::Crypto("Argon2 took no such settings");
    let params = ParamsBuilder::new()
        .m_cost(cost.memory_kib)
        .t_cost(cost.passes)
        .p_cost(cost.lanes)
        .data(AssociatedData::new(associated).map_err(refused)?)
        .output_len(32)
        .build()
        .map_err(refused)?;
    let mut key = Zeroizing::new([0; 32]);
    Argon2::new_with_secret(secret, Algorithm::Argon2id, Version::V0x13, params)
        .map_err(refused)?
        .hash_password_into(password, salt, &mut *key)
        .map_err(|_| LedgerError::Crypto("Argon2 could not stretch the PIN"))?;
    Ok(key)
}

fn stretch(pin: &Pin, salt: &[u8; 16]) -> Result<Zeroizing<[u8; 32]>, LedgerError> {
    argon2id(pin.0.as_bytes(), salt, &[], &[], Cost::PIN)
}

/// Signs with Ed25519 (RFC 8032) by a secret seed of 32 bytes.
pub fn sign(seed: &[u8; 32], message: &[u8]) -> [u8; 64] {
    SigningKey::from_bytes(seed).sign(message).to_bytes()
}

/// Whether an Ed25519 signature holds, by the strict reading of RFC 8032 section 5.1.7: S below
/// the group's order, no key and no R of small order, and the equation without cofactor.
pub fn signature_holds(public: &[u8; 32], message: &[u8], signature: &[u8; 64]) -> bool {
    VerifyingKey::from_bytes(public)
        .is_ok_and(|key| key.verify_strict(message, &Signature::from_bytes(signature)).is_ok())
}

/// The sealed key can't be moved to another person or key.
fn bound_to(person: &str, public: &[u8; 32]) -> Vec<u8> {
    [b"coldbench key v1\0", person.as_bytes(), b"\0", public].concat()
}

impl Enrolment {
    /// Makes a new key for a person and seals it under the PIN (at least 4 characters).
    pub fn make(person: &str, pin: &Pin) -> Result<Self, LedgerError> {
        if pin.0.chars().count() < SHORTEST_PIN {
            return Err(LedgerError::ShortPin);
        }
        let seed = Zeroizing::new(random::<32>()?);
        let public = SigningKey::from_bytes(&seed).verifying_key().to_bytes();
        let (salt, nonce) = (random::<16>()?, random::<24>()?);
        let key = stretch(pin, &salt)?;
        let aad = bound_to(person, &public);
        let sealed = XChaCha20Poly1305::new((&*key).into())
            .encrypt(&XNonce::from(nonce), Payload { msg: &*seed, aad: &aad })
            .map_err(|_| LedgerError::Crypto("the key could not be sealed"))?;
        let sealed = SealedKey { public, kdf: KDF.to_owned(), salt, nonce, sealed };
        Ok(Self { person: person.to_owned(), sealed, may_enrol: false, replaces: false })
    }

    /// The key may enrol other people's keys and end them.
    #[must_use]
    pub fn that_may_enrol(mut self, may_enrol: bool) -> Self {
        self.may_enrol = may_enrol;
        self
    }

    /// The key takes the place of the one its person has; that one ends.
    #[must_use]
    pub fn in_place_of_the_old(mut self) -> Self {
        self.replaces = true;
        self
    }
}

impl SealedKey {
    /// What the event that enrols the key keeps of it.
    pub(crate) fn digest(&self) -> String {
        let Self { public: _, kdf, salt, nonce, sealed } = self;
        sha256_hex(&[kdf.as_bytes(), b"\0", salt.as_slice(), nonce, sealed].concat())
    }

    pub(crate) fn open(&self, person: &str, pin: &Pin) -> Result<UnlockedKey, LedgerError> {
        if self.kdf != KDF {
            return Err(LedgerError::Crypto(
                "the key was sealed in a way this program doesn't know",
            ));
        }
        let key = stretch(pin, &self.salt)?;
        let aad = bound_to(person, &self.public);
        let seed = XChaCha20Poly1305::new((&*key).into())
            .decrypt(&XNonce::from(self.nonce), Payload { msg: &self.sealed, aad: &aad })
            .map(Zeroizing::new)
            .map_err(|_| LedgerError::WrongPin { person: person.to_owned() })?;
        let seed: Zeroizing<[u8; 32]> = Zeroizing::new(
            seed.as_slice()
                .try_into()
                .map_err(|_| LedgerError::Crypto("the sealed key has the wrong length"))?,
        );
        let unlocked = UnlockedKey::from_seed(person.to_owned(), &seed);
        if unlocked.public() != self.public {
            return Err(LedgerError::Crypto("the sealed key does not fit its public half"));
        }
        Ok(unlocked)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pin(text: &str) -> Pin {
        Pin::new(text.to_owned())
    }

    #[test]
    fn each_purpose_and_each_key_has_bytes_of_its_own() {
        let derived =
            |seed, purpose| *UnlockedKey::from_seed(String::new(), &seed).derived(purpose).unwrap();
        let one = derived([1; 32], "a");
        assert_eq!(one, derived([1; 32], "a"));
        assert_ne!(one, derived([1; 32], "b"));
        assert_ne!(one, derived([2; 32], "a"));
    }

    #[test]
    fn only_the_pin_and_the_person_open_a_key() {
        let enrolment = Enrolment::make("P-1", &pin("4711")).unwrap();
        let sealed = &enrolment.sealed;
        let key = sealed.open("P-1", &pin("4711")).unwrap();
        assert_eq!(key.public(), sealed.public);
        assert!(matches!(sealed.open("P-1", &pin("4712")), Err(LedgerError::WrongPin { .. })));
        assert!(matches!(sealed.open("P-2", &pin("4711")), Err(LedgerError::WrongPin { .. })));
        assert!(matches!(Enrolment::make("P-1", &pin("471")), Err(LedgerError::ShortPin)));
    }
}
