//! Reading a ledger, going through it, and taking the record of one subject out of it.

use super::files::damaged;
use super::rows::{number, sealed_key, stored, told, unreadable};
use super::{BATCH, Head, Ledger};
use crate::authority::{Authority, RESTORED};
use crate::error::LedgerError;
use crate::event::{StoredEvent, Told};
use crate::extract::Extract;
use crate::schema::columns;
use crate::verify::{Verifier, VerifyFault, VerifyReport};
use rusqlite::{OptionalExtension, Row};
use std::collections::HashSet;

impl Ledger {
    /// All events, by origin and number.
    pub fn events(&self) -> Result<Vec<StoredEvent>, LedgerError> {
        let mut all = Vec::new();
        self.each_batch(|batch| {
            all.append(batch);
            Ok::<_, LedgerError>(())
        })?;
        Ok(all)
    }

    /// All events, by origin and number, a few thousand at a time. What is left in the batch is
    /// dropped.
    pub fn each_batch<E: From<LedgerError>>(
        &self,
        take: impl FnMut(&mut Vec<StoredEvent>) -> Result<(), E>,
    ) -> Result<(), E> {
        self.batches(columns(self.schema), stored, |event| event.seq, take)
    }

    /// What all events say, by origin and number, a few thousand at a time: half of each event is
    /// hashes and signatures, which nobody looks at who only wants to know what happened.
    pub fn each_told<E: From<LedgerError>>(
        &self,
        take: impl FnMut(&mut Vec<Told>) -> Result<(), E>,
    ) -> Result<(), E> {
        self.batches("origin, seq, at, person, kind, body", told, |told| told.seq, take)
    }

    fn batches<T, E: From<LedgerError>>(
        &self,
        columns: &str,
        read: fn(&Row<'_>) -> rusqlite::Result<T>,
        number: fn(&T) -> u64,
        mut take: impl FnMut(&mut Vec<T>) -> Result<(), E>,
    ) -> Result<(), E> {
        let at = |source| LedgerError::sqlite(&self.path, source);
        let mut query = self
            .connection
            .prepare(&format!("SELECT {columns} FROM event ORDER BY origin, seq"))
            .map_err(at)?;
        let mut rows = query.query([]).map_err(at)?;
        let mut batch = Vec::with_capacity(BATCH);
        let mut last = 0;
        while let Some(row) = rows.next().map_err(at)? {
            let event = read(row).map_err(|error| unreadable(&self.path, last + 1, error))?;
            last = number(&event);
            batch.push(event);
            if batch.len() == BATCH {
                take(&mut batch)?;
                batch.clear();
            }
        }
        take(&mut batch)
    }

    /// Lets SQLite go through its file: what is cut off or crossed out where no event stands
    /// (a sealed key, an index) shows here.
    pub fn check_file(&self) -> Result<(), LedgerError> {
        let at = |source| LedgerError::sqlite(&self.path, source);
        let word: String = self
            .connection
            .query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))
            .map_err(at)?;
        if word == "ok" && !self.is_cut_off().map_err(at)? {
            Ok(())
        } else {
            Err(at(damaged(rusqlite::ffi::SQLITE_CORRUPT)))
        }
    }

    /// Whether the file is shorter than its pages: SQLite reads what is missing as zeros, and on
    /// an empty page takes no offence. While a log stands beside it, the file may be the shorter.
    fn is_cut_off(&self) -> rusqlite::Result<bool> {
        if std::fs::metadata(self.path.with_extension("db-wal")).is_ok_and(|log| log.len() > 0) {
            return Ok(false);
        }
        let pragma = |name| self.connection.pragma_query_value(None, name, |row| number(row, 0));
        let length = pragma("page_count")? * pragma("page_size")?;
        Ok(std::fs::metadata(&self.path).is_ok_and(|file| file.len() < length))
    }

    /// Goes through all events and keys; `anchors` are heads that somebody holds outside and
    /// that must be in the history. Names the first thing that does not hold.
    pub fn verify(&self, anchors: &[Head]) -> Result<VerifyReport, LedgerError> {
        let mut verifier = Verifier::new([(self.head.origin.clone(), self.public)])?;
        for anchor in anchors {
            verifier = verifier.anchored(anchor.clone());
        }
        self.each_batch(|batch| Ok::<_, LedgerError>(verifier.take(batch)?))?;
        let unmade = Authority::new(self.public);
        self.verify_keys(verifier.authority().unwrap_or(&unmade))?;
        Ok(verifier.finish()?)
    }

    /// When this ledger was last brought back from a backup, as RFC 3339 text.
    pub fn last_restored(&self) -> Result<Option<String>, LedgerError> {
        self.connection
            .query_row(
                "SELECT at FROM event WHERE kind = ?1 ORDER BY origin, seq DESC LIMIT 1",
                [RESTORED],
                |row| row.get(0),
            )
            .optional()
            .map_err(|source| LedgerError::sqlite(&self.path, source))
    }

    /// Each key that was enrolled has its sealed half, unchanged, and there is no other.
    fn verify_keys(&self, authority: &Authority) -> Result<(), LedgerError> {
        let fault = |person: &str, why: &str| {
            LedgerError::from(VerifyFault::Key { person: person.to_owned(), why: why.to_owned() })
        };
        let at = |source| LedgerError::sqlite(&self.path, source);
        let mut query = self
            .connection
            .prepare("SELECT public, kdf, salt, nonce, sealed, person FROM sealed_key")
            .map_err(at)?;
        let rows = query
            .query_map([], |row| Ok((sealed_key(row)?, row.get::<_, String>(5)?)))
            .map_err(at)?;
        let mut found = HashSet::new();
        for row in rows {
            let (sealed, person) = row.map_err(at)?;
            let Some(key) = authority.key(&sealed.public) else {
                return Err(fault(&person, "no event enrols it."));
            };
            if key.person != person {
                return Err(fault(&person, "it was enrolled for somebody else."));
            }
            if key.sealed.as_ref().is_some_and(|digest| *digest != sealed.digest()) {
                return Err(fault(&person, "it was changed after it was enrolled."));
            }
            found.insert(sealed.public);
        }
        match authority.keys().find(|(public, _)| !found.contains(*public)) {
            Some((_, key)) => Err(fault(&key.person, "it is missing.")),
            None => Ok(()),
        }
    }

    /// The record of one subject, with the events that are `wanted` beside those about it.
    pub fn extract(
        &self,
        subject: &str,
        context: serde_json::Value,
        wanted: impl Fn(&StoredEvent) -> bool,
    ) -> Result<Extract, LedgerError> {
        let mut events = self.events()?;
        events.retain(|event| event.origin == self.head.origin);
        // What another process wrote since is part of what was read.
        let head = events.last().map_or_else(
            || self.head.clone(),
            |newest| Head {
                origin: newest.origin.clone(),
                events: newest.seq,
                digest: newest.hash,
            },
        );
        Extract::take(subject, head, self.public, context, events, wanted)
    }
}
