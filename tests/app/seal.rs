//! The workshop's seal on its PDFs: as other programs see it, and as it is checked here. No clock
//! and no network is asked, and nobody vouches for the certificate but itself.

use crate::bench::{ROD, at_heat_step};
use crate::cli::{coldbench, demo, run, text, told};
use coldbench::views::{PaperWord, Printable};
use coldbench::{Outgoing, Taken, Workshop, check_file};
use coldbench_record::sealed;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

/// A build log of the demo workshop, as the command line saves it.
fn saved(folder: &Path) -> (PathBuf, Vec<u8>) {
    let file = folder.join("r1.pdf");
    let arguments = ["record", "R-1", "--workshop", folder.to_str().unwrap(), "-o"];
    let said = told(&coldbench(&[&arguments[..], &[file.to_str().unwrap()]].concat()));
    assert_eq!(said, format!("Saved as {}.\n", file.display()));
    let bytes = fs::read(&file).unwrap();
    (file, bytes)
}

/// A seal taken out of its PDF, for a program that knows nothing of PDF.
struct TakenOut {
    folder: TempDir,
}

impl TakenOut {
    fn of(pdf: &[u8]) -> Self {
        let folder = TempDir::new().unwrap();
        let parts = sealed(pdf).unwrap().unwrap();
        fs::write(folder.path().join("seal.der"), &parts.seal).unwrap();
        fs::write(folder.path().join("content"), &parts.covered).unwrap();
        let seal = folder.path().join("seal.der");
        let seal = seal.to_str().unwrap();
        let certificate = run("openssl", &["pkcs7", "-inform", "DER", "-print_certs", "-in", seal]);
        fs::write(folder.path().join("trusted.pem"), certificate).unwrap();
        Self { folder }
    }

    /// Whether OpenSSL finds that the seal holds, once the certificate is trusted.
    fn holds(&self) -> bool {
        let output = Command::new("openssl")
            .args(["cms", "-verify", "-binary", "-inform", "DER", "-in", "seal.der"])
            .args(["-content", "content", "-CAfile", "trusted.pem", "-out", "out"])
            .current_dir(self.folder.path())
            .output()
            .unwrap();
        output.status.success()
    }

    fn turned(&self, file: &str, at: usize) -> bool {
        let path = self.folder.path().join(file);
        let whole = fs::read(&path).unwrap();
        let mut bytes = whole.clone();
        bytes[at] ^= 1 << (at % 8);
        fs::write(&path, bytes).unwrap();
        let holds = self.holds();
        fs::write(&path, whole).unwrap();
        holds
    }
}

#[test]
fn other_programs_find_the_seal_whole() {
    let (_there, folder) = demo();
    let (log, _) = saved(&folder);
    let day = folder.join("day.pdf");
    let shop = folder.to_str().unwrap();
    told(&coldbench(&["station-log", "S-1", "--workshop", shop, "-o", day.to_str().unwrap()]));
    for file in [log, day] {
        let pdf = file.to_str().unwrap();
        let checked = run("qpdf", &["--check", pdf]);
        assert!(checked.contains("No syntax or stream encoding errors found"), "{checked}");
        // In a home without certificates, none of this machine's are asked.
        let home = TempDir::new().unwrap();
        let output = Command::new("pdfsig").arg(pdf).env("HOME", home.path()).output().unwrap();
        let said = text(&output.stdout);
        for words in [
            "Signature Validation: Signature is Valid.",
            "Total document signed",
            "ETSI.CAdES.detached",
            "Signer Certificate Common Name: Alder Loop Rod Shop",
            "Certificate issuer is unknown",
            "Self-issued by this invented demo workshop",
            "Signing Hash Algorithm: SHA-256",
        ] {
            assert!(said.contains(words), "{words:?} is not in {said}");
        }
        assert_eq!(said.matches("Signature #").count(), 1, "{said}");
        assert!(TakenOut::of(&fs::read(&file).unwrap()).holds());
    }
}

#[test]
fn a_turned_bit_breaks_the_seal_for_others_too() {
    let (_there, folder) = demo();
    let (_, pdf) = saved(&folder);
    let out = TakenOut::of(&pdf);
    let parts = sealed(&pdf).unwrap().unwrap();
    let length = parts.seal.iter().rposition(|byte| *byte != 0).unwrap();
    // What is not signed in it (its own version, say) others need not look at; we do.
    for at in (0..parts.covered.len()).step_by(97 * 29) {
        assert!(!out.turned("content", at), "byte {at} of the content was turned unseen");
    }
    assert!(!out.turned("seal.der", length), "the signature was turned unseen");
    assert!(out.holds());
    for at in (0..pdf.len()).step_by(97) {
        let mut bytes = pdf.clone();
        bytes[at] ^= 1 << (at % 8);
        let holds = sealed(&bytes).is_ok_and(|found| {
            found.is_some_and(|parts| coldbench_seal::check(&parts.seal, &parts.covered).is_ok())
        });
        assert!(!holds, "byte {at} was turned unseen");
    }
}

fn check(bytes: &[u8]) -> Result<bool, String> {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("file");
    fs::write(&path, bytes).unwrap();
    let found = check_file(&path).map_err(|error| error.to_string());
    found.map(|(_, checked)| checked.seal.is_some())
}

fn sealed_log(shop: &Workshop) -> Vec<u8> {
    let what = Printable::BuildLog { rod: ROD.to_owned() };
    let taken = Taken::of(shop, &what, PaperWord::A4).unwrap();
    let file = taken.seal(shop, taken.pdf().unwrap());
    assert_eq!(file.unsealed, None);
    file.bytes
}

#[test]
fn the_same_ledger_gives_the_same_bytes() {
    let (folder, shop) = at_heat_step();
    let pdf = sealed_log(&shop);
    assert!(sealed_log(&shop) == pdf);
    assert_eq!(check(&pdf), Ok(true));
    // Opened to be read, it takes the key from its file.
    let clock = coldbench::Clock::Set(shop.now());
    drop(shop);
    let read = Workshop::open_to_read(folder.path(), clock, "A look.").unwrap();
    assert!(sealed_log(&read) == pdf);
}

#[test]
fn verify_finds_out_what_was_changed_or_added() {
    let (_folder, shop) = at_heat_step();
    let pdf = sealed_log(&shop);
    let before = sealed(&pdf).unwrap().unwrap().before.to_vec();
    assert_eq!(check(&before), Ok(false), "an older file, without a seal");
    let update = before.len();
    for at in (update..pdf.len()).step_by(97) {
        let mut bytes = pdf.clone();
        bytes[at] ^= 1 << (at % 8);
        let error = check(&bytes).expect_err("a changed PDF holds");
        assert!(error.ends_with('.'), "{error}");
    }
    for more in [&b"\n"[..], b"%", b"\nstartxref\n0\n%%EOF\n", &pdf[update..]] {
        let error = check(&[&pdf, more].concat()).expect_err("something was added");
        assert!(error.ends_with('.'), "{error}");
    }
    let error = check(&[&before, &b"\n"[..]].concat()).expect_err("something was added");
    assert!(error.contains("was changed after it was drawn"), "{error}");
}

#[test]
fn the_seal_of_another_workshop_is_told_apart() {
    let (_there, folder) = demo();
    let (file, pdf) = saved(&folder);
    let (shop, path) = (folder.to_str().unwrap(), file.to_str().unwrap());
    let alone = told(&coldbench(&["verify", path]));
    let fingerprint = |said: &str| {
        let (_, rest) = said.split_once("fingerprint ").unwrap();
        rest[..95].to_owned()
    };
    assert!(alone.contains("sealed by the workshop's certificate"), "{alone}");
    assert!(alone.contains("which “Alder Loop Rod Shop” issued to itself."), "{alone}");
    let beside = told(&coldbench(&["verify", path, "--workshop", shop]));
    assert!(beside.contains("The seal is this workshop's own."), "{beside}");
    let ledger = told(&coldbench(&["verify", "--workshop", shop]));
    assert_eq!(fingerprint(&ledger), fingerprint(&alone));

    let (_other, stranger) = at_heat_step();
    let before = sealed(&pdf).unwrap().unwrap().before.to_vec();
    let theirs = Outgoing::of(&stranger, before.clone(), stranger.now());
    fs::write(&file, theirs.bytes).unwrap();
    let alone_again = told(&coldbench(&["verify", path]));
    assert_ne!(fingerprint(&alone_again), fingerprint(&alone));
    let beside = coldbench(&["verify", path, "--workshop", shop]);
    let said = text(&beside.stderr);
    assert_eq!(beside.status.code(), Some(1), "{said}");
    assert!(said.contains("is not this workshop's") && said.trim_end().ends_with('.'), "{said}");
    fs::write(&file, before).unwrap();
    let none = told(&coldbench(&["verify", path, "--workshop", shop]));
    assert!(none.contains("The file carries no seal of a workshop."), "{none}");
}

/// The paper is good without it, and what is missing is said.
#[test]
fn without_the_installations_key_there_is_no_seal() {
    let (_there, folder) = demo();
    fs::remove_file(folder.join("installation.key")).unwrap();
    let file = folder.join("r1.pdf");
    let (shop, path) = (folder.to_str().unwrap(), file.to_str().unwrap());
    let said = told(&coldbench(&["record", "R-1", "--workshop", shop, "-o", path]));
    assert!(said.contains("It carries no seal of this workshop."), "{said}");
    assert!(said.contains("installation.key") && said.trim_end().ends_with('.'), "{said}");
    let checked = told(&coldbench(&["verify", path, "--workshop", shop]));
    assert!(checked.contains("The file carries no seal of a workshop."), "{checked}");
}
