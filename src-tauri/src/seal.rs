//! The workshop's seal on a PDF that leaves it: its key comes from the installation's, its
//! certificate from the founding, so that nothing more has to be kept or backed up.

use crate::error::ShellError;
use crate::workshop::Workshop;
use coldbench_seal::{Holder, Issuer, Seal};
use coldbench_shop::{Moment, Refusal};

/// A PDF as it leaves the workshop.
pub struct Outgoing {
    /// The file.
    pub bytes: Vec<u8>,
    /// Why it carries no seal, in sentences; nothing where it carries one.
    pub unsealed: Option<String>,
}

impl Outgoing {
    /// Seals a PDF as of this time. Where the workshop's key can't be had (a copy without it, a
    /// folder of somebody else), the paper is good all the same and goes out without.
    pub fn of(workshop: &Workshop, pdf: Vec<u8>, when: Moment) -> Self {
        match sealed(workshop, &pdf, when) {
            Ok(bytes) => Self { bytes, unsealed: None },
            Err(error) => {
                tracing::warn!(%error, "a PDF without a seal");
                let words = format!("It carries no seal of this workshop. {error}");
                Self { bytes: pdf, unsealed: Some(words) }
            }
        }
    }

    /// What was said of it, and why it carries no seal, if so.
    pub fn told(&self, words: &str) -> String {
        self.unsealed.as_ref().map_or_else(|| words.to_owned(), |why| format!("{words} {why}"))
    }
}

fn sealed(workshop: &Workshop, pdf: &[u8], when: Moment) -> Result<Vec<u8>, ShellError> {
    let seal = seal_of(workshop)?;
    let name = seal.holder()?.name;
    coldbench_record::seal(pdf, when, &name, |covered| Ok(seal.sign(covered)?))
}

/// Whose seal this workshop's is.
pub fn holder(workshop: &Workshop) -> Result<Holder, ShellError> {
    Ok(seal_of(workshop)?.holder()?)
}

fn seal_of(workshop: &Workshop) -> Result<Seal, ShellError> {
    let shop = workshop.state().workshop.as_ref().ok_or(Refusal::NotFounded)?;
    let ledger = workshop.ledger().ok_or(Refusal::NotFounded)?;
    let since = u64::try_from(shop.founded.timestamp()).unwrap_or_default();
    let issuer = Issuer { name: &shop.name, invented: shop.demo, since };
    let mut attempt = 0_u64;
    loop {
        // Of four thousand million attempts one is no key.
        let secret = ledger.derived(&format!("seal, P-256, v1, attempt {attempt}"))?;
        if let Some(seal) = Seal::from_secret(&secret, &issuer)? {
            return Ok(seal);
        }
        attempt += 1;
    }
}
