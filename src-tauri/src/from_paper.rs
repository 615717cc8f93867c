//! What a person copies from a sheet that was filled in by hand: from the fields of the screen to what
//! the shop takes.

use crate::clock::moment_here;
use crate::error::ShellError;
use crate::views::{PaperDraft, SheetDraft};
use coldbench_shop::{FromPaper, Moment, PersonId, SheetLine};

/// When it was done and by whom.
pub fn from_paper(draft: PaperDraft) -> Result<FromPaper, ShellError> {
    let PaperDraft { when, by } = draft;
    Ok(FromPaper { when: moment("when", &when)?, by: PersonId::new(by) })
}

/// A line of the sheet.
pub fn sheet_line(draft: SheetDraft) -> Result<SheetLine, ShellError> {
    let SheetDraft { done, values, lot, clock, minutes, reason } = draft;
    let clock = (!clock.trim().is_empty()).then(|| moment("clock", &clock)).transpose()?;
    Ok(SheetLine { done: from_paper(done)?, values, lot, clock, minutes, reason })
}

fn moment(field: &str, written: &str) -> Result<Moment, ShellError> {
    moment_here(written.trim()).ok_or_else(|| ShellError::Field {
        field: field.to_owned(),
        message: format!("“{written}” is no time. Write day and time as 2026-11-25 14:10."),
    })
}
