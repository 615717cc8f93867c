//! The ledger's head as a QR code (ISO/IEC 18004), for whoever checks the paper with a phone.

use qrcode::{Color, EcLevel, QrCode};

use crate::{
    mark::Mark,
    model::LedgerHead,
    style::{Ink, MM},
};

/// Width of the code without the white around it, in points.
const WIDTH: f32 = 34.0 * MM;
/// The white that a reader needs on each side, in modules.
const QUIET: u16 = 4;

/// The text that the code on paper holds: four lines that anybody can read and compare.
///
/// ```text
/// Coldbench ledger head
/// origin <the ledger's own name>
/// events <how many>
/// <the digest, 64 hexadecimal digits>
/// ```
pub fn head_text(head: &LedgerHead) -> String {
    let LedgerHead { origin, events, digest, .. } = head;
    format!("Coldbench ledger head\norigin {}\nevents {events}\n{digest}", origin.trim())
}

/// A code ready to be drawn.
pub(crate) struct Code {
    /// Its squares, the top left one at the origin.
    pub(crate) mark: Mark,
    /// Width and height, in points.
    pub(crate) width: f32,
    /// The white that must stay around it, in points.
    pub(crate) quiet: f32,
}

/// Draws the head's text with error correction M. `None` if the text is too long for any code.
pub(crate) fn code(head: &LedgerHead) -> Option<Code> {
    // Finer than this, the squares no longer survive a printer and a phone.
    const MOST_MODULES: u16 = 81;
    let code = QrCode::with_error_correction_level(head_text(head), EcLevel::M).ok()?;
    let modules = u16::try_from(code.width()).ok().filter(|modules| *modules <= MOST_MODULES)?;
    let side = WIDTH / f32::from(modules);
    let colors = code.to_colors();
    let rows = colors.chunks(code.width().max(1));
    let blocks = merge(rows.map(runs).collect()).into_iter().map(|block| {
        let [x, y, width, height] = block.map(|modules| f32::from(modules) * side);
        ((x, y), width, height)
    });
    let mark = Mark::Blocks(blocks.collect(), Ink::Black);
    Some(Code { mark, width: WIDTH, quiet: f32::from(QUIET) * side })
}

/// Where the dark runs of a row begin, and how long they are.
fn runs(row: &[Color]) -> Vec<(u16, u16)> {
    let mut runs: Vec<(u16, u16)> = Vec::new();
    for (at, color) in (0_u16..).zip(row) {
        match runs.last_mut() {
            _ if *color == Color::Light => {}
            Some((from, length)) if *from + *length == at => *length += 1,
            _ => runs.push((at, 1)),
        }
    }
    runs
}

/// Rectangles as x, y, width and height: a run that comes again in the next row grows down.
fn merge(rows: Vec<Vec<(u16, u16)>>) -> Vec<[u16; 4]> {
    let mut blocks: Vec<[u16; 4]> = Vec::new();
    for (y, row) in (0_u16..).zip(rows) {
        for (x, width) in row {
            let above = blocks
                .iter_mut()
                .find(|above| above[0] == x && above[2] == width && above[1] + above[3] == y);
            match above {
                Some(above) => above[3] += 1,
                None => blocks.push([x, y, width, 1]),
            }
        }
    }
    blocks
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specimen;

    #[test]
    fn the_text_is_four_plain_lines() {
        let head = specimen::rich().ledger;
        let text = head_text(&head);
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines[0], "Coldbench ledger head");
        assert_eq!(lines[1], "origin 5d0c41f2a7be48309e6611c80fd27a94");
        assert_eq!(lines[2], "events 184");
        assert_eq!(lines[3], head.digest);
        assert_eq!(lines.len(), 4);
    }

    #[test]
    fn rectangles_cover_the_dark_modules_and_no_other() {
        let code = QrCode::with_error_correction_level("merged", EcLevel::M).unwrap();
        let colors = code.to_colors();
        let width = code.width();
        let blocks = merge(colors.chunks(width).map(runs).collect());
        let mut covered = vec![0; colors.len()];
        for [x, y, w, h] in blocks.iter().map(|block| block.map(usize::from)) {
            for at in (y..y + h).flat_map(|y| (x..x + w).map(move |x| y * width + x)) {
                covered[at] += 1;
            }
        }
        let dark: Vec<i32> = colors.iter().map(|color| i32::from(*color == Color::Dark)).collect();
        assert_eq!(covered, dark);
        assert!(blocks.len() * 2 < dark.iter().filter(|dark| **dark == 1).count());
    }

    #[test]
    fn a_text_too_long_for_a_code_gives_none() {
        let mut head = specimen::rich().ledger;
        let code = code(&head).unwrap();
        assert!(code.width >= 32.0 * MM && code.quiet >= 4.0 * code.width / 81.0);
        head.origin = "x".repeat(4000);
        assert!(super::code(&head).is_none());
    }
}
