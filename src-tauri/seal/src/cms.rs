//! The few structures of a detached signature (CMS, RFC 5652; signing-certificate-v2, RFC 5035),
//! written out here: the library for all of CMS has no stable release that goes with the others.
//!
//! There is no signing time among the signed attributes: `PAdES` keeps it in the PDF's own dictionary.

use der::asn1::{Any, ObjectIdentifier, OctetString, SetOfVec};
use der::{Encode, Sequence, ValueOrd};
use sha2::{Digest, Sha256};
use x509_cert::attr::{Attribute, Attributes};
use x509_cert::certificate::Certificate;
use x509_cert::name::Name;
use x509_cert::serial_number::SerialNumber;
use x509_cert::spki::AlgorithmIdentifierOwned;

const SIGNED_DATA: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.7.2");
const DATA: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.7.1");
const CONTENT_TYPE: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.3");
const MESSAGE_DIGEST: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.4");
const SIGNING_CERTIFICATE_V2: ObjectIdentifier =
    ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.2.47");
const SHA_256: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.16.840.1.101.3.4.2.1");
const ECDSA_WITH_SHA_256: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.10045.4.3.2");

/// RFC 5652, section 3.
#[derive(Clone, Debug, PartialEq, Eq, Sequence)]
pub(crate) struct ContentInfo {
    content_type: ObjectIdentifier,
    #[asn1(context_specific = "0", tag_mode = "EXPLICIT")]
    content: SignedData,
}

/// RFC 5652, section 5.1, with a certificate and without lists of revoked ones.
#[derive(Clone, Debug, PartialEq, Eq, Sequence)]
struct SignedData {
    version: u8,
    digest_algorithms: SetOfVec<AlgorithmIdentifierOwned>,
    content: DetachedContent,
    #[asn1(context_specific = "0", tag_mode = "IMPLICIT", constructed = "true")]
    certificates: SetOfVec<Certificate>,
    signers: SetOfVec<SignerInfo>,
}

/// What was signed stands elsewhere: only its type is here (section 5.2).
#[derive(Clone, Debug, PartialEq, Eq, Sequence)]
struct DetachedContent {
    content_type: ObjectIdentifier,
}

/// RFC 5652, section 5.3.
#[derive(Clone, Debug, PartialEq, Eq, Sequence, ValueOrd)]
struct SignerInfo {
    version: u8,
    signer: IssuerAndSerial,
    digest_algorithm: AlgorithmIdentifierOwned,
    #[asn1(context_specific = "0", tag_mode = "IMPLICIT", constructed = "true")]
    signed: Attributes,
    signature_algorithm: AlgorithmIdentifierOwned,
    signature: OctetString,
}

/// RFC 5652, section 10.2.4.
#[derive(Clone, Debug, PartialEq, Eq, Sequence, ValueOrd)]
struct IssuerAndSerial {
    issuer: Name,
    serial: SerialNumber,
}

/// RFC 5035, section 3.
#[derive(Clone, Debug, PartialEq, Eq, Sequence)]
struct SigningCertificateV2 {
    certificates: Vec<EssCertIdV2>,
}

/// RFC 5035, section 4: the hash is SHA-256 where none is named, and DER leaves that out.
#[derive(Clone, Debug, PartialEq, Eq, Sequence)]
struct EssCertIdV2 {
    hash: OctetString,
}

/// What the signature is over: the signed attributes for content of this digest.
pub(crate) fn attributes(certificate: &Certificate, digest: &[u8]) -> der::Result<Attributes> {
    let hash = Sha256::digest(certificate.to_der()?);
    let certificates = vec![EssCertIdV2 { hash: OctetString::new(hash.to_vec())? }];
    SetOfVec::try_from(vec![
        attribute(CONTENT_TYPE, &DATA)?,
        attribute(MESSAGE_DIGEST, &OctetString::new(digest)?)?,
        attribute(SIGNING_CERTIFICATE_V2, &SigningCertificateV2 { certificates })?,
    ])
}

fn attribute(
    oid: ObjectIdentifier,
    value: &(impl Encode + der::Tagged + der::EncodeValue),
) -> der::Result<Attribute> {
    Ok(Attribute { oid, values: SetOfVec::try_from(vec![Any::encode_from(value)?])? })
}

/// The whole of it, from the certificate, the signed attributes and the signature over them.
pub(crate) fn assembled(
    certificate: &Certificate,
    signed: Attributes,
    signature: &[u8],
) -> der::Result<ContentInfo> {
    let algorithm = |oid| AlgorithmIdentifierOwned { oid, parameters: None };
    let tbs = certificate.tbs_certificate();
    let signer = SignerInfo {
        version: 1,
        signer: IssuerAndSerial {
            issuer: tbs.issuer().clone(),
            serial: tbs.serial_number().clone(),
        },
        digest_algorithm: algorithm(SHA_256),
        signed,
        signature_algorithm: algorithm(ECDSA_WITH_SHA_256),
        signature: OctetString::new(signature)?,
    };
    Ok(ContentInfo {
        content_type: SIGNED_DATA,
        content: SignedData {
            version: 1,
            digest_algorithms: SetOfVec::try_from(vec![algorithm(SHA_256)])?,
            content: DetachedContent { content_type: DATA },
            certificates: SetOfVec::try_from(vec![certificate.clone()])?,
            signers: SetOfVec::try_from(vec![signer])?,
        },
    })
}

impl ContentInfo {
    /// The certificate and the signature, where there is one of each.
    pub(crate) fn parts(&self) -> Option<(&Certificate, &[u8])> {
        match (self.content.certificates.as_slice(), self.content.signers.as_slice()) {
            ([certificate], [signer]) => Some((certificate, signer.signature.as_bytes())),
            _ => None,
        }
    }
}
