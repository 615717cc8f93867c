//! Ed25519 as the ledger uses it: what it signs, what it takes, what it refuses.

use coldbench_ledger::{Extract, ExtractError, sign, signature_holds};
use serde::Deserialize;
use serde_json::json;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Vectors {
    signature: Vec<Vector>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Vector {
    name: String,
    seed: Option<String>,
    #[serde(with = "hex::serde")]
    public: [u8; 32],
    #[serde(with = "hex::serde")]
    message: Vec<u8>,
    #[serde(with = "hex::serde")]
    signature: Vec<u8>,
    holds: bool,
    why: Option<String>,
    source: String,
}

fn vectors() -> Vec<Vector> {
    crate::vectors::<Vectors>(include_str!("ed25519.toml")).signature
}

#[test]
fn what_the_standard_signs_comes_out_and_holds() {
    let good: Vec<_> = vectors().into_iter().filter(|vector| vector.holds).collect();
    assert_eq!(good.len(), 5);
    for Vector { name, seed, public, message, signature, source, .. } in good {
        let seed: [u8; 32] = hex::decode(seed.unwrap()).unwrap().try_into().unwrap();
        let made = sign(&seed, &message);
        assert_eq!(hex::encode(made), hex::encode(&signature), "{name}, {source}");
        assert!(signature_holds(&public, &message, &made), "{name}, {source}");
        // The signature is of this message by this key and of nothing else.
        assert!(!signature_holds(&public, &[&message[..], b"."].concat(), &made), "{name}");
        for bit in 0..512 {
            let mut other = made;
            other[bit / 8] ^= 1 << (bit % 8);
            assert!(!signature_holds(&public, &message, &other), "{name}, bit {bit}");
        }
        for bit in 0..256 {
            let mut other = public;
            other[bit / 8] ^= 1 << (bit % 8);
            assert!(!signature_holds(&other, &message, &made), "{name}, bit {bit} of the key");
        }
    }
}

/// A record with one event, which carries this signature.
fn record_with(signature: &[u8]) -> Result<Extract, ExtractError> {
    let zeros = hex::encode([0; 32]);
    let event = json!({
        "form": 2, "seq": 1, "at": "2026-11-25T10:00:00.000+01:00", "person": "", "station": "",
        "kind": "note", "subject": "", "salt": hex::encode([0; 16]), "body": "{}",
        "signer": zeros, "signature": hex::encode(signature),
    });
    let record = json!({
        "coldbench-record": 1, "subject": "", "origin": "", "installation": zeros, "events": 1,
        "head": zeros, "context": null, "chain": [event],
    });
    Extract::from_bytes(record.to_string().as_bytes())
}

/// Where the length is right, the signature is refused; where it is not, it is not even read.
#[test]
fn what_a_verifier_must_refuse_is_refused() {
    let bad: Vec<_> = vectors().into_iter().filter(|vector| !vector.holds).collect();
    assert_eq!(bad.len(), 13);
    let mut of_another_length = 0;
    for Vector { name, public, message, signature, why, source, .. } in bad {
        let why = why.unwrap();
        let about = format!("{name}: {why}, {source}");
        let read = record_with(&signature);
        if let Ok(whole) = <[u8; 64]>::try_from(signature.as_slice()) {
            assert!(!signature_holds(&public, &message, &whole), "{about}");
            assert!(read.is_ok(), "{name} has the right length");
        } else {
            assert!(matches!(read, Err(ExtractError::Unreadable(_))), "{about}");
            of_another_length += 1;
        }
    }
    assert_eq!(of_another_length, 5);
}

/// The points of small order of the curve of RFC 8032 section 5.1, as they are encoded: one of
/// order 1, one of 2, two of 4, four of 8.
const OF_SMALL_ORDER: [&str; 8] = [
    "0100000000000000000000000000000000000000000000000000000000000000",
    "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
    "0000000000000000000000000000000000000000000000000000000000000000",
    "0000000000000000000000000000000000000000000000000000000000000080",
    "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05",
    "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc85",
    "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a",
    "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac03fa",
];

/// With such a key the equation holds for an S of zero, whatever was signed (for the neutral
/// point always, for the others now and then): it would vouch for anything.
#[test]
fn a_key_of_small_order_vouches_for_nothing() {
    let point = |hex| <[u8; 32]>::try_from(hex::decode(hex).unwrap()).unwrap();
    for key in OF_SMALL_ORDER.map(point) {
        for r in OF_SMALL_ORDER.map(point) {
            let mut signature = [0; 64];
            signature[..32].copy_from_slice(&r);
            for message in 0..32_u8 {
                assert!(!signature_holds(&key, &[message], &signature), "{}", hex::encode(key));
            }
        }
    }
}
