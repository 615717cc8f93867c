//! The sheet of a rod without its steps: from the state of the workshop to the printed page's plain
//! data.

use crate::build_log::rod_sheet;
use crate::error::ShellError;
use crate::pages::{imprint, rod};
use crate::workshop::Workshop;
use coldbench_record as page;
use coldbench_shop::RodId;

/// The sheet of a rod of this workshop.
pub fn rod_page(
    workshop: &Workshop,
    id: &RodId,
    paper: page::Paper,
) -> Result<page::RodPage, ShellError> {
    let state = workshop.state();
    let rod = rod(state, id)?;
    let imprint = imprint(workshop, paper)?;
    let sheet = rod_sheet(state, id, rod, imprint.printed);
    Ok(page::RodPage { imprint, rod: sheet })
}
