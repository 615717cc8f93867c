//! SHA-256 as the ledger uses it.

use coldbench_ledger::sha256_hex;
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Vectors {
    message: Vec<Message>,
    chain: Vec<Chain>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Message {
    name: String,
    text: Option<String>,
    #[serde(default, with = "hex::serde")]
    hex: Vec<u8>,
    times: Option<usize>,
    digest: String,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Chain {
    name: String,
    #[serde(with = "hex::serde")]
    seed: Vec<u8>,
    rounds: usize,
    digest: String,
    source: String,
}

fn vectors() -> Vectors {
    crate::vectors(include_str!("sha256.toml"))
}

#[test]
fn messages_have_their_published_digests() {
    let messages = vectors().message;
    assert_eq!(messages.len(), 11);
    for Message { name, text, hex, times, digest, source } in messages {
        let once = text.map_or(hex, String::into_bytes);
        let message = once.repeat(times.unwrap_or(1));
        assert_eq!(sha256_hex(&message), digest, "{name}, {source}");
    }
}

#[test]
fn a_long_chain_of_digests_ends_where_it_is_published() {
    let chains = vectors().chain;
    assert_eq!(chains.len(), 1);
    for Chain { name, seed, rounds, digest, source } in chains {
        let mut last = [seed.clone(), seed.clone(), seed];
        for _ in 0..rounds {
            let next = hex::decode(sha256_hex(&last.concat())).unwrap();
            last.rotate_left(1);
            last[2] = next;
        }
        assert_eq!(hex::encode(&last[2]), digest, "{name}, {source}");
    }
}
