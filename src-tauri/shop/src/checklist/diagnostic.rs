//! What is wrong with a checklist file, as data; drawing it is left to whoever shows it.

use std::fmt;
use std::ops::Range;

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Severity {
    /// The file is not used.
    Error,
    /// The file is used; a rule of good checklists is broken.
    Warning,
}

/// One finding in one file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// Whether the file can be used all the same.
    pub severity: Severity,
    /// Stable name of the finding, e.g. `checklist::unknown-hazard`.
    pub code: &'static str,
    /// What is wrong, in one sentence.
    pub message: String,
    /// What to write instead.
    pub help: String,
    /// Bytes of the source that are meant.
    pub span: Range<usize>,
    /// Line of the start of `span`, counted from 1.
    pub line: usize,
    /// Column of the start of `span` in characters, counted from 1.
    pub column: usize,
}

impl Diagnostic {
    pub(crate) fn new(
        severity: Severity,
        code: &'static str,
        source: &str,
        span: Range<usize>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Self {
        let start = floor_char_boundary(source, span.start);
        let end = floor_char_boundary(source, span.end).max(start);
        let before = &source[..start];
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        Self {
            severity,
            code,
            message: message.into(),
            help: help.into(),
            span: start..end,
            line: before.matches('\n').count() + 1,
            column: source[line_start..start].chars().count() + 1,
        }
    }
}

fn floor_char_boundary(text: &str, index: usize) -> usize {
    let mut at = index.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}, column {}: {} {}", self.line, self.column, self.message, self.help)
    }
}

/// Collects findings about one source text.
pub(crate) struct Findings<'a> {
    source: &'a str,
    found: Vec<Diagnostic>,
}

impl<'a> Findings<'a> {
    pub(crate) fn new(source: &'a str) -> Self {
        Self { source, found: Vec::new() }
    }

    pub(crate) fn error(
        &mut self,
        code: &'static str,
        span: Range<usize>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.found.push(Diagnostic::new(Severity::Error, code, self.source, span, message, help));
    }

    pub(crate) fn warn(
        &mut self,
        code: &'static str,
        span: Range<usize>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.found.push(Diagnostic::new(Severity::Warning, code, self.source, span, message, help));
    }

    pub(crate) fn has_errors(&self) -> bool {
        self.found.iter().any(|d| d.severity == Severity::Error)
    }

    pub(crate) fn into_inner(self) -> Vec<Diagnostic> {
        self.found
    }
}
