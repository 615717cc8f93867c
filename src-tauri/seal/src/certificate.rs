//! The certificate that a workshop issues to itself (RFC 5280): its name, its key, since when.

use crate::key::SealError;
use der::asn1::{Any, GeneralizedTime, ObjectIdentifier, SetOfVec, Utf8StringRef};
use der::{Decode, Encode};
use p256::ecdsa::{DerSignature, SigningKey, VerifyingKey};
use sha2::{Digest, Sha256};
use std::time::Duration;
use x509_cert::attr::AttributeTypeAndValue;
use x509_cert::builder::profile::BuilderProfile;
use x509_cert::builder::{self, Builder, CertificateBuilder};
use x509_cert::certificate::{Certificate, TbsCertificate};
use x509_cert::ext::pkix::{KeyUsage, KeyUsages};
use x509_cert::ext::{Extension, ToExtension};
use x509_cert::name::{Name, RdnSequence, RelativeDistinguishedName};
use x509_cert::serial_number::SerialNumber;
use x509_cert::spki::{SubjectPublicKeyInfoOwned, SubjectPublicKeyInfoRef};
use x509_cert::time::{Time, Validity};

pub(crate) const COMMON_NAME: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.5.4.3");
const ORGANIZATION: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.5.4.10");
/// RFC 5280, appendix A.1: a name in a certificate has no more characters.
const LONGEST_NAME: usize = 64;

/// Whose certificate it is.
#[derive(Debug, Clone, Copy)]
pub struct Issuer<'a> {
    /// The workshop's name; what is longer than a certificate's names may be is cut off.
    pub name: &'a str,
    /// Whether it is a demonstration; the certificate says so.
    pub invented: bool,
    /// When the workshop was founded, in seconds since 1970 UTC.
    pub since: u64,
}

/// The certificate of this key. The same issuer and key give the same one.
pub(crate) fn certificate(issuer: &Issuer<'_>, key: &SigningKey) -> Result<Certificate, SealError> {
    let public = key.verifying_key();
    let since = GeneralizedTime::from_unix_duration(Duration::from_secs(issuer.since))?;
    // It has no last day: what was sealed stays sealed (RFC 5280, 4.1.2.5).
    let validity = Validity::new(Time::from(since), Time::INFINITY);
    let itself = SelfIssued(name(issuer)?);
    let public_info = SubjectPublicKeyInfoOwned::from_key(public)?;
    let builder = CertificateBuilder::new(itself, serial(public)?, validity, public_info)?;
    Ok(builder.build::<_, DerSignature>(key)?)
}

/// The first half of the key's digest, made positive: one key, one certificate, one number.
pub(crate) fn serial(public: &VerifyingKey) -> der::Result<SerialNumber> {
    let digest = Sha256::digest(public.to_sec1_point(false).as_bytes());
    let mut number = [0; 16];
    number.copy_from_slice(&digest[..16]);
    // Neither negative nor shorter than it looks.
    number[0] = number[0] & 0x7f | 0x40;
    SerialNumber::new(&number)
}

fn name(issuer: &Issuer<'_>) -> der::Result<Name> {
    let organization = if issuer.invented {
        "Self-issued by this invented demo workshop"
    } else {
        "Self-issued by this workshop"
    };
    let words = issuer.name.split_whitespace().collect::<Vec<_>>().join(" ");
    let shown: String = words.chars().filter(|c| !c.is_control()).take(LONGEST_NAME).collect();
    let shown = if shown.is_empty() { "A workshop without a name" } else { &shown };
    let part = |oid, words: &str| {
        let value = Any::encode_from(&Utf8StringRef::new(words)?)?;
        let set = SetOfVec::try_from(vec![AttributeTypeAndValue { oid, value }])?;
        Ok::<_, der::Error>(RelativeDistinguishedName::from(set))
    };
    let parts = vec![part(ORGANIZATION, organization)?, part(COMMON_NAME, shown)?];
    Name::from_der(&RdnSequence::from(parts).to_der()?)
}

/// The name of the certificate's subject; empty if it has none.
pub(crate) fn shown(certificate: &Certificate) -> String {
    let subject = certificate.tbs_certificate().subject();
    let mut parts = subject.iter().filter(|part| part.oid == COMMON_NAME);
    let text = parts.next().and_then(|part| part.value.decode_as::<Utf8StringRef<'_>>().ok());
    text.map(|text| text.as_str().to_owned()).unwrap_or_default()
}

/// Issuer and subject are one; the key signs files and nothing else.
struct SelfIssued(Name);

impl BuilderProfile for SelfIssued {
    fn get_issuer(&self, subject: &Name) -> Name {
        subject.clone()
    }

    fn get_subject(&self) -> Name {
        self.0.clone()
    }

    fn build_extensions(
        &self,
        _: SubjectPublicKeyInfoRef<'_>,
        _: SubjectPublicKeyInfoRef<'_>,
        tbs: &TbsCertificate,
    ) -> builder::Result<Vec<Extension>> {
        let usage = KeyUsage(KeyUsages::DigitalSignature | KeyUsages::NonRepudiation);
        Ok(vec![(&usage).to_extension(tbs.subject(), &[])?])
    }
}
