//! The key of a seal, made from secret bytes, and signing with it.

use crate::certificate::{self, Issuer};
use crate::check::{Holder, holder};
use crate::cms;
use der::Encode;
use p256::ecdsa::signature::Signer as _;
use p256::ecdsa::{DerSignature, SigningKey};
use sha2::{Digest, Sha256};
use x509_cert::certificate::Certificate;

/// Why no seal was made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("The seal could not be made: {0}. Please report this text.")]
pub struct SealError(String);

impl From<der::Error> for SealError {
    fn from(error: der::Error) -> Self {
        Self(error.to_string())
    }
}

impl From<x509_cert::spki::Error> for SealError {
    fn from(error: x509_cert::spki::Error) -> Self {
        Self(error.to_string())
    }
}

impl From<x509_cert::builder::Error> for SealError {
    fn from(error: x509_cert::builder::Error) -> Self {
        Self(error.to_string())
    }
}

impl From<p256::ecdsa::Error> for SealError {
    fn from(error: p256::ecdsa::Error) -> Self {
        Self(error.to_string())
    }
}

/// A workshop's seal: its key, wiped when dropped, and its certificate.
pub struct Seal {
    key: SigningKey,
    certificate: Certificate,
}

impl Seal {
    /// Makes the seal from secret bytes; `None` where they are no key of the curve. Then other
    /// bytes are tried (FIPS 186-5, A.2.2): taking a remainder instead would favour some keys.
    ///
    /// # Errors
    /// [`SealError`] if the certificate can't be written.
    pub fn from_secret(secret: &[u8; 32], issuer: &Issuer<'_>) -> Result<Option<Self>, SealError> {
        let Ok(key) = SigningKey::from_slice(secret) else { return Ok(None) };
        let certificate = certificate::certificate(issuer, &key)?;
        Ok(Some(Self { key, certificate }))
    }

    /// Whose seal it is.
    ///
    /// # Errors
    /// [`SealError`] if the certificate can't be written.
    pub fn holder(&self) -> Result<Holder, SealError> {
        Ok(holder(&self.certificate, self.key.verifying_key())?)
    }

    /// The certificate (DER).
    ///
    /// # Errors
    /// [`SealError`] if it can't be written.
    pub fn certificate(&self) -> Result<Vec<u8>, SealError> {
        Ok(self.certificate.to_der()?)
    }

    /// The detached signature of this content (CMS, DER). The same content gives the same bytes:
    /// what ECDSA takes for chance follows from key and content (RFC 6979).
    ///
    /// # Errors
    /// [`SealError`] if it can't be made.
    pub fn sign(&self, content: &[u8]) -> Result<Vec<u8>, SealError> {
        let signed = cms::attributes(&self.certificate, &Sha256::digest(content))?;
        let signature: DerSignature = self.key.try_sign(&signed.to_der()?)?;
        Ok(cms::assembled(&self.certificate, signed, signature.as_bytes())?.to_der()?)
    }
}
