//! Breaking text into lines by its measured width.

use crate::{fonts::Fonts, style::Style};

/// Room for rounding when widths are compared, in points.
const SLACK: f32 = 0.01;

/// Text set in one style. Holds only characters its face can show, and `\n`.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Run {
    pub(crate) text: String,
    pub(crate) style: Style,
}

impl Run {
    /// Makes the text readable in the style's face.
    pub(crate) fn new(fonts: &Fonts, style: Style, text: &str) -> Self {
        Self { text: fonts.readable(style.face, text), style }
    }

    /// The same on one line: line ends become spaces.
    pub(crate) fn on_one_line(fonts: &Fonts, style: Style, text: &str) -> Self {
        let run = Self::new(fonts, style, text.trim());
        Self { text: run.text.replace('\n', " "), ..run }
    }

    /// Width in points.
    pub(crate) fn width(&self, fonts: &Fonts) -> f32 {
        fonts.width(self.style.face, self.style.size, &self.text)
    }
}

/// One line of set text.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Line {
    /// Each run with its distance from the line's left end, in points.
    pub(crate) runs: Vec<(f32, Run)>,
    /// Width in points.
    pub(crate) width: f32,
}

impl Line {
    fn push(&mut self, text: &str, style: Style, width: f32) {
        match self.runs.last_mut() {
            Some((_, last)) if last.style == style => last.text.push_str(text),
            _ => self.runs.push((self.width, Run { text: text.to_owned(), style })),
        }
        self.width += width;
    }

    /// The line's text without its styles.
    #[cfg(test)]
    pub(crate) fn text(&self) -> String {
        self.runs.iter().map(|(_, run)| run.text.as_str()).collect()
    }
}

enum Token {
    /// Pieces that may not be parted, unless they are wider than a whole line.
    Word(Vec<Run>),
    Space(Style),
    LineEnd,
}

/// Breaks the runs into lines no wider than `width` points. Breaks fall at spaces, after a
/// hyphen or slash inside a word, and anywhere in a word that is wider than a line.
/// Always gives at least one line.
pub(crate) fn wrap(fonts: &Fonts, runs: &[Run], width: f32) -> Vec<Line> {
    let mut lines = Vec::new();
    let mut line = Line::default();
    let mut space: Option<Style> = None;
    for token in tokens(runs) {
        match token {
            Token::LineEnd => {
                lines.push(std::mem::take(&mut line));
                space = None;
            }
            // A space counts only between two words of one line.
            Token::Space(style) => space = (!line.runs.is_empty()).then_some(style),
            Token::Word(word) => {
                let word_width: f32 = word.iter().map(|run| run.width(fonts)).sum();
                let space_width =
                    space.map_or(0.0, |style| fonts.width(style.face, style.size, " "));
                if line.width + space_width + word_width > width + SLACK && !line.runs.is_empty() {
                    lines.push(std::mem::take(&mut line));
                } else if let Some(style) = space {
                    line.push(" ", style, space_width);
                }
                space = None;
                if word_width > width + SLACK {
                    split_word(fonts, &word, width, &mut lines, &mut line);
                } else {
                    for run in &word {
                        line.push(&run.text, run.style, run.width(fonts));
                    }
                }
            }
        }
    }
    if !line.runs.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// Fills lines letter by letter. A line takes at least one letter, however narrow it is.
fn split_word(fonts: &Fonts, word: &[Run], width: f32, lines: &mut Vec<Line>, line: &mut Line) {
    for run in word {
        for character in run.text.chars() {
            let text = character.to_string();
            let step = fonts.width(run.style.face, run.style.size, &text);
            // A letter of no width is an accent: it stays with the letter before it.
            if step > 0.0 && line.width + step > width + SLACK && !line.runs.is_empty() {
                lines.push(std::mem::take(line));
            }
            line.push(&text, run.style, step);
        }
    }
}

fn tokens(runs: &[Run]) -> Vec<Token> {
    let mut tokens = Vec::new();
    let mut word: Vec<Run> = Vec::new();
    let mut before = ' ';
    let mut before_that = ' ';
    let flush = |word: &mut Vec<Run>, tokens: &mut Vec<Token>| {
        if !word.is_empty() {
            tokens.push(Token::Word(std::mem::take(word)));
        }
    };
    for run in runs {
        let mut characters = run.text.chars().peekable();
        while let Some(character) = characters.next() {
            match character {
                '\n' => {
                    flush(&mut word, &mut tokens);
                    tokens.push(Token::LineEnd);
                }
                ' ' if !glued(before_that, before, characters.peek().copied()) => {
                    flush(&mut word, &mut tokens);
                    tokens.push(Token::Space(run.style));
                }
                _ => {
                    let character = if character == ' ' { '\u{a0}' } else { character };
                    match word.last_mut() {
                        Some(last) if last.style == run.style => last.text.push(character),
                        _ => word.push(Run { text: character.to_string(), style: run.style }),
                    }
                    // "lay-out" and "and/or" may part, "-5 °C" and "2026-11-25" may not.
                    let may_part = matches!(character, '-' | '/' | '–' | '—')
                        && before.is_alphanumeric()
                        && characters.peek().is_some_and(|next| next.is_alphabetic());
                    if may_part {
                        flush(&mut word, &mut tokens);
                    }
                }
            }
            before_that = before;
            before = character;
        }
    }
    flush(&mut word, &mut tokens);
    tokens
}

/// Whether a space belongs to a quantity, as in "10 %", "21 °C" and "100 : 51".
fn glued(before_that: char, before: char, after: Option<char>) -> bool {
    let number_goes_on = before.is_ascii_digit() && matches!(after, Some('%' | '°' | ':'));
    let ratio_goes_on = before == ':' && before_that == ' ';
    number_goes_on || ratio_goes_on && after.is_some_and(|next| next.is_ascii_digit())
}

/// Shortens the text with an ellipsis until it is no wider than `width` points.
pub(crate) fn fit(fonts: &Fonts, run: Run, width: f32) -> Run {
    if run.width(fonts) <= width + SLACK {
        return run;
    }
    let style = run.style;
    let mut text = run.text;
    while text.pop().is_some() {
        let shorter = Run { text: format!("{}…", text.trim_end()), style };
        if shorter.width(fonts) <= width + SLACK {
            return shorter;
        }
    }
    Run { text, style }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        fonts::Face,
        style::{BODY, NOTE, STRONG},
    };

    fn set(text: &str, width: f32) -> Vec<String> {
        let fonts = Fonts::load().unwrap();
        let lines = wrap(&fonts, &[Run::new(&fonts, BODY, text)], width);
        for line in &lines {
            assert!(line.width <= width + SLACK, "{:?} is {} wide", line.text(), line.width);
        }
        lines.iter().map(Line::text).collect()
    }

    #[test]
    fn no_line_is_wider_than_asked_and_no_word_is_lost() {
        let text = "Turn the reamer by hand, clear the dust often, and stop where the grip \
                    still stands two widths of a hand short of its mark on the blank.";
        for width in [60.0, 97.0, 150.0, 400.0] {
            let lines = set(text, width);
            let words: Vec<&str> = lines.iter().flat_map(|line| line.split_whitespace()).collect();
            assert_eq!(words, text.split_whitespace().collect::<Vec<_>>());
        }
        assert_eq!(set(text, 2000.0).len(), 1);
    }

    #[test]
    fn a_word_wider_than_the_line_is_split_and_kept_whole_in_sum() {
        let name = "Kirchweihtannenwaldbachquellenhausenoberhalbdermühle";
        let lines = set(&format!("by {name} today"), 80.0);
        assert!(lines.len() > 3);
        assert_eq!(lines.concat().replace(' ', ""), format!("by{name}today"));
    }

    #[test]
    fn line_ends_and_blank_lines_are_kept() {
        assert_eq!(set("one\n\ntwo", 200.0), ["one", "", "two"]);
        assert_eq!(set("", 200.0), [""]);
        assert_eq!(set("   ", 200.0), [""]);
    }

    #[test]
    fn hyphenated_words_part_but_dates_and_minus_signs_do_not() {
        let fonts = Fonts::load().unwrap();
        let width = fonts.width(Face::Regular, BODY.size, "slow-cur");
        assert_eq!(set("slow-curing", width), ["slow-", "curing"]);
        let narrow = fonts.width(Face::Regular, BODY.size, "on 2026-11");
        assert_eq!(set("on 2026-11-25", narrow), ["on", "2026-11-2", "5"]);
        let narrow = fonts.width(Face::Regular, BODY.size, "at -5 °");
        assert_eq!(set("at -5\u{a0}°C", narrow), ["at", "-5\u{a0}°C"]);
    }

    #[test]
    fn quantities_do_not_part() {
        let fonts = Fonts::load().unwrap();
        for (text, whole) in [("at 100 : 51", "100\u{a0}:\u{a0}51"), ("by 10 %", "10\u{a0}%")] {
            let lines = set(text, fonts.width(Face::Regular, BODY.size, &text[1..]));
            assert_eq!(lines[1], whole);
        }
        assert_eq!(set("Note: 5 cuts", 2000.0), ["Note: 5 cuts"]);
    }

    #[test]
    fn styles_meet_on_one_line_without_overlap() {
        let fonts = Fonts::load().unwrap();
        let runs =
            [Run::new(&fonts, STRONG, "Key point "), Run::new(&fonts, NOTE, "dry fit first")];
        let lines = wrap(&fonts, &runs, 500.0);
        assert_eq!(lines.len(), 1);
        let [(first_x, first), (second_x, _)] = lines[0].runs.as_slice() else { panic!() };
        assert!(first_x.abs() < f32::EPSILON);
        assert!((second_x - first.width(&fonts)).abs() < 0.01);
    }

    #[test]
    fn fitting_shortens_only_what_is_too_wide() {
        let fonts = Fonts::load().unwrap();
        let run = Run::new(&fonts, BODY, "Lower Mill Rod Shop");
        assert_eq!(fit(&fonts, run.clone(), 500.0), run);
        let short = fit(&fonts, run, 60.0);
        assert!(short.text.ends_with('…') && short.text.starts_with("Lower"));
        assert!(short.width(&fonts) <= 60.0);
        assert_eq!(fit(&fonts, short, 0.5).text, "");
    }
}
