//! What can go wrong while a record is drawn.

/// Why no PDF was made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum RecordError {
    /// The digest is what the whole paper vouches for, so a malformed one is refused.
    #[error(
        "The ledger's digest must be 64 hexadecimal digits, but it reads {found:?}. Verify the ledger, then print again."
    )]
    Digest {
        /// The text that was given as the digest.
        found: String,
    },
    /// Two attached files of one name could not be told apart, and a path is no name.
    #[error(
        "A file to be carried inside the PDF is called {name:?}, but the name {reason}. Nothing was printed; please report this text."
    )]
    Attachment {
        /// The name that was given.
        name: String,
        /// What is wrong with it.
        reason: &'static str,
    },
    /// A font built into the program could not be read.
    #[error(
        "The built-in font {face} could not be read: {reason}. The program's files are damaged; install it again."
    )]
    Font {
        /// The face that failed.
        face: &'static str,
        /// What the font reader said.
        reason: String,
    },
    /// The finished document could not be written out.
    #[error(
        "The PDF could not be put together: {reason}. Nothing was printed; please report this text."
    )]
    Write {
        /// What the PDF writer said.
        reason: String,
    },
}
