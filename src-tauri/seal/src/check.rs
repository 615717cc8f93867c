//! Checking a seal. The file may come from anyone: only the very form that is written here holds.

use crate::certificate::{serial, shown};
use crate::cms::{ContentInfo, assembled, attributes};
use der::{Decode, Encode, Reader, SliceReader};
use p256::ecdsa::signature::Verifier as _;
use p256::ecdsa::{DerSignature, VerifyingKey};
use p256::pkcs8::DecodePublicKey as _;
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use x509_cert::certificate::Certificate;

/// Whose seal it is, as the certificate says, which nobody else vouches for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Holder {
    /// The workshop's name.
    pub name: String,
    /// SHA-256 of the certificate.
    pub fingerprint: [u8; 32],
    /// The public key, as a point of the curve (SEC 1, uncompressed).
    pub public: Vec<u8>,
}

impl Holder {
    /// The fingerprint as people compare it: `3F:0A:…`.
    pub fn fingerprint_text(&self) -> String {
        let mut text = String::with_capacity(96);
        for (at, byte) in self.fingerprint.iter().enumerate() {
            // Writing to a string can't fail.
            let _ = write!(text, "{}{byte:02X}", if at == 0 { "" } else { ":" });
        }
        text
    }
}

/// Why a seal does not hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum SealFault {
    /// Its bytes are not in the form that Coldbench writes.
    #[error("The seal on this file can't be read. Use the file as Coldbench wrote it.")]
    Unreadable,
    /// The certificate was not issued by the key in it.
    #[error(
        "The certificate in the seal on this file was changed. Use the file as Coldbench wrote it."
    )]
    Certificate,
    /// It is over another content.
    #[error("This file was changed after it was sealed. Use the file as Coldbench wrote it.")]
    Content,
    /// Nobody signed it.
    #[error("The seal on this file was not made with the key of its certificate.")]
    Signature,
}

/// Checks a seal over this content, and says whose it is. After the seal there may be zeros: it is
/// put into a place that was kept for it.
///
/// # Errors
/// [`SealFault`] says what does not hold.
pub fn check(seal: &[u8], content: &[u8]) -> Result<Holder, SealFault> {
    let (info, length) = read(seal).ok_or(SealFault::Unreadable)?;
    let (seal, rest) = seal.split_at_checked(length).ok_or(SealFault::Unreadable)?;
    if rest.iter().any(|byte| *byte != 0) {
        return Err(SealFault::Unreadable);
    }
    let (certificate, signature) = info.parts().ok_or(SealFault::Unreadable)?;
    let public = self_issued(certificate).ok_or(SealFault::Certificate)?;
    let parsed = DerSignature::try_from(signature).map_err(|_| SealFault::Signature)?;
    // Put together anew from what it says: whatever else stands in it is not ours.
    let again = attributes(certificate, &Sha256::digest(content)).and_then(|signed| {
        let bytes = signed.to_der()?;
        Ok((bytes, assembled(certificate, signed, signature)?.to_der()?))
    });
    let (signed, again) = again.map_err(|_| SealFault::Unreadable)?;
    if again != seal {
        return Err(SealFault::Content);
    }
    public.verify(&signed, &parsed).map_err(|_| SealFault::Signature)?;
    holder(certificate, &public).map_err(|_| SealFault::Unreadable)
}

/// What stands at the beginning of the bytes, and how long it is.
fn read(bytes: &[u8]) -> Option<(ContentInfo, usize)> {
    let mut reader = SliceReader::new(bytes).ok()?;
    let info = ContentInfo::decode(&mut reader).ok()?;
    Some((info, usize::try_from(reader.position()).ok()?))
}

/// The key of a certificate that was issued by that very key.
fn self_issued(certificate: &Certificate) -> Option<VerifyingKey> {
    let tbs = certificate.tbs_certificate();
    let info = tbs.subject_public_key_info().to_der().ok()?;
    let public = VerifyingKey::from_public_key_der(&info).ok()?;
    let signature = DerSignature::try_from(certificate.signature().as_bytes()?).ok()?;
    let itself = tbs.issuer() == tbs.subject() && *tbs.serial_number() == serial(&public).ok()?;
    public.verify(&tbs.to_der().ok()?, &signature).ok()?;
    itself.then_some(public)
}

pub(crate) fn holder(certificate: &Certificate, public: &VerifyingKey) -> der::Result<Holder> {
    Ok(Holder {
        name: shown(certificate),
        fingerprint: Sha256::digest(certificate.to_der()?).into(),
        public: public.to_sec1_point(false).as_bytes().to_vec(),
    })
}
