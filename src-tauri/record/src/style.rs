//! Sizes and inks: the one place where the look of the type is set.
//!
//! Nothing is below 10 pt, headings are 14 pt or more, and lines are led by at least a third
//! of their size (checklist typography, judged at arm's length). Italics are for notes only.

use crate::fonts::Face;

/// Points in a millimetre.
pub(crate) const MM: f32 = 72.0 / 25.4;

/// What a mark is printed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ink {
    /// Blue-black, for everything that is read first.
    Full,
    /// A lighter blue-black for labels and rules, still above 7:1 on white.
    Soft,
    /// Rust, for hazards and nothing else.
    Rust,
    /// Black, for what a machine reads: a printer lays it down in one ink, with sharp edges.
    Black,
    /// The white of the paper, to clear what lies beneath.
    Paper,
}

impl Ink {
    /// Red, green and blue, each from 0 to 1.
    pub(crate) fn rgb(self) -> [f32; 3] {
        let bytes: [u8; 3] = match self {
            Self::Full => [0x14, 0x23, 0x3c],
            Self::Soft => [0x44, 0x50, 0x66],
            Self::Rust => [0xa2, 0x40, 0x1c],
            Self::Black => [0, 0, 0],
            Self::Paper => [0xff, 0xff, 0xff],
        };
        bytes.map(|byte| f32::from(byte) / 255.0)
    }
}

/// How a run of text is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Style {
    pub(crate) face: Face,
    /// Type size in points.
    pub(crate) size: f32,
    /// Height of a line in points.
    pub(crate) leading: f32,
    pub(crate) ink: Ink,
}

impl Style {
    const fn new(face: Face, size: f32, leading: f32, ink: Ink) -> Self {
        Self { face, size, leading, ink }
    }

    /// The same, in another ink.
    pub(crate) const fn ink(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }

    /// How deep a heading of this size stands, 1 the outermost; `None` if it heads no part of the paper.
    pub(crate) fn heading_level(self) -> Option<u8> {
        let level = [TITLE, SECTION, STAGE].iter().position(|head| self.size >= head.size)?;
        u8::try_from(level + 1).ok()
    }

    /// The same, in another face.
    pub(crate) const fn face(self, face: Face) -> Self {
        Self { face, ..self }
    }
}

/// The rod's name.
pub(crate) const TITLE: Style = Style::new(Face::SemiBold, 26.0, 32.0, Ink::Full);
/// The head of a part of the paper.
pub(crate) const SECTION: Style = Style::new(Face::SemiBold, 18.0, 24.0, Ink::Full);
/// The head of a stage or a clearance.
pub(crate) const STAGE: Style = Style::new(Face::SemiBold, 15.0, 20.0, Ink::Full);
/// What a step says to do.
pub(crate) const STEP: Style = Style::new(Face::SemiBold, 12.0, 16.0, Ink::Full);
/// Running text.
pub(crate) const BODY: Style = Style::new(Face::Regular, 11.0, 14.7, Ink::Full);
/// Running text that must be seen.
pub(crate) const STRONG: Style = BODY.face(Face::SemiBold);
/// Tables, signatures, and text that explains other text.
pub(crate) const SMALL: Style = Style::new(Face::Regular, 10.0, 13.4, Ink::Full);
/// The same, to be seen.
pub(crate) const SMALL_STRONG: Style = SMALL.face(Face::SemiBold);
/// What names the text beside it.
pub(crate) const LABEL: Style = SMALL.ink(Ink::Soft);
/// A note somebody wrote.
pub(crate) const NOTE: Style = BODY.face(Face::Italic);

/// What a step says to do, to be read from a metre away.
pub(crate) const FAR_STEP: Style = Style::new(Face::SemiBold, 22.0, 28.0, Ink::Full);
/// A caution to be read from there.
pub(crate) const FAR_CAUTION: Style = Style::new(Face::Regular, 17.0, 22.7, Ink::Full);
/// What belongs to a step, to be read from there.
pub(crate) const FAR_BODY: Style = Style::new(Face::Regular, 15.0, 20.0, Ink::Full);
/// The same, to be seen.
pub(crate) const FAR_STRONG: Style = FAR_BODY.face(Face::SemiBold);

/// The thinnest line that prints well.
pub(crate) const HAIR: f32 = 0.35;
/// A line that divides.
pub(crate) const RULE: f32 = 0.8;

#[cfg(test)]
mod tests {
    use super::*;

    /// Contrast against white by the WCAG formula.
    fn contrast(ink: Ink) -> f64 {
        let linear = |part: f32| {
            let part = f64::from(part);
            if part <= 0.040_45 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) }
        };
        let [r, g, b] = ink.rgb().map(linear);
        1.05 / (0.2126 * r + 0.7152 * g + 0.0722 * b + 0.05)
    }

    #[test]
    fn every_ink_reads_on_white() {
        assert!(contrast(Ink::Full) > 12.0);
        assert!(contrast(Ink::Soft) > 7.0);
        assert!(contrast(Ink::Rust) > 4.5);
    }

    #[test]
    fn sizes_keep_to_the_floor() {
        for style in [TITLE, SECTION, STAGE] {
            assert!(style.size >= 14.0);
        }
        for style in [STEP, BODY, STRONG, SMALL, SMALL_STRONG, LABEL, NOTE] {
            assert!(style.size >= 10.0);
            assert!(style.leading >= style.size * 1.3);
        }
        // Read from a metre away.
        for (style, least) in
            [(FAR_STEP, 20.0), (FAR_CAUTION, 16.0), (FAR_BODY, 14.0), (FAR_STRONG, 14.0)]
        {
            assert!(style.size >= least);
            assert!(style.leading >= style.size * 1.25);
        }
    }
}
