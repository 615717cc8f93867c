//! From marks to a picture of each page, for a screen: what is seen is what is printed.
//!
//! A picture is drawn of the same marks as the page of the PDF. Sizes are points of the paper. The
//! faces are named, not embedded: whoever shows it has them. Each text says how wide it is in the
//! PDF, so that it ends at the same place whatever the screen makes of it.
//!
//! The code holds shapes, text and numbers only: no script, no style sheet, no address. Everything
//! that people wrote is escaped.

use std::fmt::Write as _;

use crate::{
    fonts::{Face, Fonts},
    mark::{Mark, Spot, Stroke},
    sheet::Sheet,
    style::Ink,
    wrap::Run,
};

/// One page of marks, measured from the paper's top left corner, as an SVG document of its own.
pub(crate) fn page(fonts: &Fonts, sheet: Sheet, marks: &[Mark]) -> String {
    let (width, height) = (number(sheet.width), number(sheet.height));
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" \
         width=\"{width}pt\" height=\"{height}pt\" stroke-miterlimit=\"10\" \
         text-rendering=\"geometricPrecision\" \
         font-family=\"'Source Sans 3', sans-serif\">\
         <path fill=\"{}\" d=\"M0 0H{width}V{height}H0Z\"/>",
        colour(Ink::Paper)
    );
    for mark in marks {
        match mark {
            Mark::Text(spot, run) if !run.text.trim().is_empty() => {
                text(&mut out, fonts, *spot, run);
            }
            Mark::Text(..) | Mark::In(_) => {}
            Mark::Line(from, to, stroke) => {
                shape(&mut out, &path(&[*from, *to], false), None, Some(*stroke));
            }
            Mark::Shape { corners, fill, edge } => {
                shape(&mut out, &path(corners, true), *fill, *edge);
            }
            Mark::Blocks(blocks, ink) => {
                let rings = blocks.iter().map(|&((x, y), width, height)| {
                    let (right, bottom) = (x + width, y + height);
                    path(&[(x, y), (right, y), (right, bottom), (x, bottom)], true)
                });
                shape(&mut out, &rings.collect::<String>(), Some(*ink), None);
            }
        }
    }
    out.push_str("</svg>");
    out
}

fn text(out: &mut String, fonts: &Fonts, (x, y): Spot, run: &Run) {
    let style = run.style;
    let cut = match style.face {
        Face::Regular => "",
        Face::SemiBold => " font-weight=\"600\"",
        Face::Italic => " font-style=\"italic\"",
    };
    // A string takes whatever is written to it. A space at an end of a text is as wide as any;
    // and what a screen rounds is spread over letters and spaces alike, or words would meet.
    let _ = write!(
        out,
        "<text xml:space=\"preserve\" x=\"{}\" y=\"{}\" font-size=\"{}\"{cut} fill=\"{}\" textLength=\"{}\" \
         lengthAdjust=\"spacingAndGlyphs\">{}</text>",
        number(x),
        number(y),
        number(style.size),
        colour(style.ink),
        number(run.width(fonts)),
        escaped(&run.text)
    );
}

fn shape(out: &mut String, path: &str, fill: Option<Ink>, edge: Option<Stroke>) {
    if fill.is_none() && edge.is_none() {
        return;
    }
    let fill = fill.map_or_else(|| "none".to_owned(), colour);
    let _ = write!(out, "<path d=\"{path}\" fill=\"{fill}\"");
    if let Some(Stroke { weight, ink, dash }) = edge {
        let _ = write!(out, " stroke=\"{}\" stroke-width=\"{}\"", colour(ink), number(weight));
        let dashes: Vec<String> = dash.pattern().iter().copied().map(number).collect();
        if !dashes.is_empty() {
            let _ = write!(out, " stroke-dasharray=\"{}\"", dashes.join(" "));
        }
    }
    out.push_str("/>");
}

fn path(corners: &[Spot], closed: bool) -> String {
    let mut path = String::new();
    for (at, (x, y)) in corners.iter().enumerate() {
        let way = if at == 0 { 'M' } else { 'L' };
        let _ = write!(path, "{way}{} {}", number(*x), number(*y));
    }
    if closed {
        path.push('Z');
    }
    path
}

/// Hundredths of a point, as in the PDF.
fn number(points: f32) -> String {
    ((points * 100.0).round() / 100.0).to_string()
}

fn colour(ink: Ink) -> String {
    let [red, green, blue] = ink.rgb().map(|part| (part * 255.0).round());
    format!("rgb({red},{green},{blue})")
}

/// Text between two tags. What XML has no place for becomes the sign for "no such character".
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            // As in the PDF: a space that kept a line together has done its work.
            '\u{a0}' => out.push(' '),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        BuildLog, Paper, StationLog, build_log, build_log_preview, page_texts, pages_whole,
        specimen, station_log, station_log_preview, station_specimen, station_whole,
        style::{BODY, SMALL_STRONG},
        whole,
    };

    /// What the texts of a page say, one a line, and nothing but tags of ours between them.
    fn read(svg: &str) -> String {
        let mut texts = String::new();
        let mut rest = svg;
        while let Some(at) = rest.find('<') {
            assert_eq!(&rest[..at], "", "there is text outside of a <text>");
            let end = rest.find('>').unwrap();
            let tag = &rest[at + 1..end];
            rest = &rest[end + 1..];
            match tag.split(' ').next().unwrap() {
                "svg" | "/svg" => {}
                "path" => assert!(tag.ends_with('/')),
                "text" => {
                    let end = rest.find("</text>").unwrap();
                    let text = &rest[..end];
                    assert!(!text.contains(['<', '>', '"', '\'']), "{text}");
                    for part in text.split('&').skip(1) {
                        let names = ["amp;", "lt;", "gt;", "quot;", "#39;"];
                        assert!(names.iter().any(|name| part.starts_with(name)), "{text}");
                    }
                    let text = text.replace("&lt;", "<").replace("&gt;", ">");
                    let text = text.replace("&quot;", "\"").replace("&#39;", "'");
                    texts.push_str(text.replace("&amp;", "&").trim_end());
                    texts.push('\n');
                    rest = &rest[end + "</text>".len()..];
                }
                other => panic!("<{other}> is none of ours"),
            }
        }
        assert_eq!(rest, "");
        texts
    }

    fn agree(name: &str, seen: &[String], pdf: &[u8]) {
        let printed = page_texts(pdf).unwrap();
        assert_eq!(seen.len(), printed.len(), "pages of {name}");
        for (page, (seen, printed)) in (1..).zip(seen.iter().zip(&printed)) {
            // In another order and otherwise parted: what is no piece of the paper comes first in the
            // file, and what goes on in another face is one text there.
            let letters = |text: &str| {
                let mut letters: Vec<char> = text.chars().filter(|c| !c.is_whitespace()).collect();
                letters.sort_unstable();
                letters.into_iter().collect::<String>()
            };
            assert_eq!(letters(&read(seen)), letters(printed), "page {page} of {name}");
        }
    }

    #[test]
    fn a_build_log_is_seen_as_it_is_printed() {
        for (name, log) in whole::all() {
            agree(name, &build_log_preview(&log).unwrap(), &build_log(&log).unwrap());
        }
    }

    #[test]
    fn a_station_log_is_seen_as_it_is_printed() {
        for (name, log) in station_whole::all() {
            agree(name, &station_log_preview(&log).unwrap(), &station_log(&log).unwrap());
        }
    }

    #[test]
    fn a_single_sheet_is_seen_as_it_is_printed() {
        for sheet in pages_whole::all() {
            agree(sheet.name, &sheet.seen, &sheet.pdf);
        }
    }

    #[test]
    fn the_picture_is_as_large_as_the_paper() {
        for (paper, size) in [(Paper::A4, "595.28 841.89"), (Paper::Letter, "612 792")] {
            let log = BuildLog { paper, ..specimen::rich() };
            let expected = format!("viewBox=\"0 0 {size}\"");
            assert!(build_log_preview(&log).unwrap()[0].contains(&expected));
            let log = StationLog { paper, ..station_specimen::ordinary() };
            assert!(station_log_preview(&log).unwrap()[0].contains(&expected));
        }
    }

    #[test]
    fn marks_become_shapes_of_their_size_and_ink() {
        let fonts = Fonts::load().unwrap();
        let sheet = Sheet { width: 100.0, height: 50.0 };
        let stroke = Stroke { dash: crate::mark::Dash::Dashed, ..Stroke::solid(0.8, Ink::Rust) };
        let run = Run::new(&fonts, SMALL_STRONG, "0\u{a0}<b> & \"c\"");
        let width = number(run.width(&fonts));
        let marks = [
            Mark::Text((1.0, 10.004), run),
            Mark::Text((1.0, 2.0), Run::new(&fonts, BODY, "  ")),
            Mark::Line((0.0, 1.0), (2.5, 1.0), stroke),
            Mark::rectangle((1.0, 2.0), 3.0, 4.0, Some(Ink::Full), None),
            Mark::rectangle((1.0, 2.0), 3.0, 4.0, None, None),
            Mark::Blocks(vec![((0.0, 0.0), 1.0, 1.0), ((1.0, 0.0), 1.0, 1.0)], Ink::Black),
        ];
        let svg = page(&fonts, sheet, &marks);
        let (_, drawn) = svg.split_once("/>").unwrap();
        assert_eq!(
            drawn,
            format!(
                "<text xml:space=\"preserve\" x=\"1\" y=\"10\" font-size=\"10\" font-weight=\"600\" fill=\"rgb(20,35,60)\" \
                 textLength=\"{width}\" lengthAdjust=\"spacingAndGlyphs\">0 &lt;b&gt; &amp; &quot;c&quot;</text>\
                 <path d=\"M0 1L2.5 1\" fill=\"none\" stroke=\"rgb(162,64,28)\" stroke-width=\"0.8\" \
                 stroke-dasharray=\"2.2 1.5\"/>\
                 <path d=\"M1 2L4 2L4 6L1 6Z\" fill=\"rgb(20,35,60)\"/>\
                 <path d=\"M0 0L1 0L1 1L0 1ZM1 0L2 0L2 1L1 1Z\" fill=\"rgb(0,0,0)\"/></svg>"
            )
        );
    }

    #[test]
    fn what_xml_has_no_place_for_is_no_part_of_it() {
        assert_eq!(escaped("a\u{0}b\u{1b}c\u{ffff}d'"), "a\u{fffd}b\u{fffd}c\u{fffd}d&#39;");
    }
}
