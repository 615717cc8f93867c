//! A seal holds over what it was made of, and over nothing else. Everything here is invented.

use crate::{Issuer, Seal, SealFault, check};

const ISSUER: Issuer<'_> =
    Issuer { name: "Lower Mill Rods (invented)", invented: true, since: 1_700_000_000 };

fn seal(secret: u8, issuer: &Issuer<'_>) -> Seal {
    Seal::from_secret(&[secret; 32], issuer).unwrap().unwrap()
}

#[test]
fn it_holds_over_its_content_and_says_whose_it_is() {
    let ours = seal(7, &ISSUER);
    let made = ours.sign(b"a build log").unwrap();
    let found = check(&made, b"a build log").unwrap();
    assert_eq!(found, ours.holder().unwrap());
    assert_eq!(found.name, ISSUER.name);
    assert_eq!(found.fingerprint_text().len(), 95);
    assert_eq!(check(&made, b"another log"), Err(SealFault::Content));
}

#[test]
fn the_same_gives_the_same_bytes_and_another_key_others() {
    let made = seal(7, &ISSUER).sign(b"a build log").unwrap();
    assert_eq!(seal(7, &ISSUER).sign(b"a build log").unwrap(), made);
    let other = seal(8, &ISSUER);
    assert_ne!(other.holder().unwrap().public, seal(7, &ISSUER).holder().unwrap().public);
    assert_ne!(other.sign(b"a build log").unwrap(), made);
}

#[test]
fn no_bit_of_it_can_be_turned() {
    let made = seal(7, &ISSUER).sign(b"a build log").unwrap();
    for at in 0..made.len() {
        let mut turned = made.clone();
        turned[at] ^= 1 << (at % 8);
        assert!(check(&turned, b"a build log").is_err(), "byte {at} was turned unseen");
    }
    for end in [0, 1, made.len() / 2, made.len() - 1] {
        assert!(check(&made[..end], b"a build log").is_err(), "cut off at {end}");
    }
}

#[test]
fn only_zeros_may_stand_after_it() {
    let mut made = seal(7, &ISSUER).sign(b"a build log").unwrap();
    made.extend([0; 40]);
    check(&made, b"a build log").unwrap();
    *made.last_mut().unwrap() = 1;
    assert_eq!(check(&made, b"a build log"), Err(SealFault::Unreadable));
}

/// Of the curve's keys: neither zero nor its order (SEC 2, 2.4.2) and what is above it.
#[test]
fn secrets_that_are_no_key_are_passed_over() {
    let order = *b"\xff\xff\xff\xff\0\0\0\0\xff\xff\xff\xff\xff\xff\xff\xff\
                   \xbc\xe6\xfa\xad\xa7\x17\x9e\x84\xf3\xb9\xca\xc2\xfc\x63\x25\x51";
    let mut last = order;
    last[31] -= 1;
    for (secret, good) in [([0; 32], false), (order, false), ([255; 32], false), (last, true)] {
        assert_eq!(Seal::from_secret(&secret, &ISSUER).unwrap().is_some(), good);
    }
}

#[test]
fn any_name_of_a_workshop_gives_a_certificate() {
    let long = "Ruten am Mühlbach ".repeat(20);
    for name in ["", "  \u{7}", "A, O=B + \"C\" #1/2", &long] {
        let ours = seal(9, &Issuer { name, ..ISSUER });
        let made = ours.sign(b"x").unwrap();
        assert!(made.len() < 2000, "{} bytes", made.len());
        let found = check(&made, b"x").unwrap();
        assert!(!found.name.is_empty() && found.name.chars().count() <= 64);
    }
}
