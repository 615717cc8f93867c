//! People's keys: an Ed25519 key pair each, its secret half sealed under a PIN.
//!
//! A short PIN can't protect a file that was copied: it unlocks a running program and slows a
//! thief, no more. A passphrase is taken in its place.

use crate::error::LedgerError;
use argon2::{Algorithm, Argon2, Params, Version};
use chacha20poly1305::aead::{Aead, Payload};
use chacha20poly1305::{KeyInit, XChaCha20Poly1305, XNonce};
use ed25519_dalek::{Signer as _, SigningKey};
use zeroize::Zeroizing;

/// RFC 9106 section 4, second recommended option: 64 MiB, 3 passes, 4 lanes.
const MEMORY_KIB: u32 = 64 * 1024;
const PASSES: u32 = 3;
const LANES: u32 = 4;
const SHORTEST_PIN: usize = 4;

/// A PIN or passphrase; wiped when dropped.
pub struct Pin(Zeroizing<String>);

impl Pin {
    /// Takes over the text.
    pub fn new(text: String) -> Self {
        Self(Zeroizing::new(text))
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
}

/// A key made for a person and sealed, ready to be enrolled with an append.
pub struct Enrolment {
    pub(crate) person: String,
    pub(crate) sealed: SealedKey,
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

fn stretch(pin: &Pin, salt: &[u8; 16]) -> Result<Zeroizing<[u8; 32]>, LedgerError> {
    let params = Params::new(MEMORY_KIB, PASSES, LANES, Some(32))
        .map_err(|_| LedgerError::Crypto("Argon2 took no such settings"))?;
    let mut key = Zeroizing::new([0; 32]);
    Argon2::new(Algorithm::Argon2id, Version::V0x13, params)
        .hash_password_into(pin.0.as_bytes(), salt, &mut *key)
        .map_err(|_| LedgerError::Crypto("Argon2 could not stretch the PIN"))?;
    Ok(key)
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
        Ok(Self { person: person.to_owned(), sealed })
    }
}

impl SealedKey {
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
