//! Opening people's keys: wrong PINs slow the next try down, also after a restart.

use super::rows::sealed_key;
use super::{Ledger, read_authority};
use crate::error::LedgerError;
use crate::keys::{Pin, UnlockedKey};
use rusqlite::{Connection, OptionalExtension, params};
use std::collections::HashMap;
use std::time::{Duration, Instant};

impl Ledger {
    /// Opens a person's key. Wrong PINs slow the next try down.
    pub fn unlock(&mut self, person: &str, pin: &Pin) -> Result<UnlockedKey, LedgerError> {
        let tries = self.wrong_pins.get(person).copied();
        if let Some((count, last)) = tries {
            let wait = slow_down(count).saturating_sub(last.elapsed());
            if !wait.is_zero() {
                return Err(LedgerError::TooManyTries { wait });
            }
        }
        let at = |source| LedgerError::sqlite(&self.path, source);
        let authority = read_authority(&self.connection, &self.path, self.schema, self.public)?;
        let public = authority.live_key(person).map(|(public, _)| *public);
        let public = public.ok_or_else(|| LedgerError::NoKey { person: person.to_owned() })?;
        let sealed = self
            .connection
            .query_row(
                "SELECT public, kdf, salt, nonce, sealed FROM sealed_key WHERE public = ?1",
                [public],
                sealed_key,
            )
            .optional()
            .map_err(at)?
            .ok_or_else(|| LedgerError::NoKey { person: person.to_owned() })?;
        let opened = sealed.open(person, pin);
        match &opened {
            Ok(_) if tries.is_some() => {
                self.wrong_pins.remove(person);
                self.keep_tries(person, 0);
            }
            Err(LedgerError::WrongPin { .. }) => {
                let count = tries.map_or(0, |(count, _)| count) + 1;
                self.wrong_pins.insert(person.to_owned(), (count, Instant::now()));
                self.keep_tries(person, count);
            }
            _ => {}
        }
        opened
    }

    /// Keeps the count, so that starting the program anew does not make tries free again. Where
    /// it can't be kept, the count in memory stands.
    fn keep_tries(&self, person: &str, count: u32) {
        let kept = if count == 0 {
            self.connection.execute("DELETE FROM wrong_pin WHERE person = ?1", [person])
        } else {
            self.connection.execute(
                "INSERT INTO wrong_pin (person, tries) VALUES (?1, ?2)
                 ON CONFLICT (person) DO UPDATE SET tries = excluded.tries",
                params![person, count],
            )
        };
        // What was asked for was to open a key, and that was answered.
        drop(kept);
    }
}

/// The counts that were kept. Each wait begins anew: no clock of the wall is asked.
pub(super) fn read_wrong_pins(
    connection: &Connection,
) -> rusqlite::Result<HashMap<String, (u32, Instant)>> {
    let mut query = connection.prepare("SELECT person, tries FROM wrong_pin")?;
    let rows = query.query_map([], |row| Ok((row.get(0)?, (row.get(1)?, Instant::now()))))?;
    rows.collect()
}

/// Three tries are free; then the wait doubles from two seconds to five minutes.
pub(super) fn slow_down(wrong: u32) -> Duration {
    match wrong {
        0..3 => Duration::ZERO,
        more => Duration::from_secs(2u64.saturating_pow(more - 2).min(300)),
    }
}
