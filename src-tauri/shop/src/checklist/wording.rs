//! How a checklist is worded: warnings from published rules of checklist design, each with its source.
//! They keep no file from being used.

use super::diagnostic::Findings;
use super::spanned::Spanned;

/// Steps in a row before there should be a pause. Five to nine items between two pause points, and
/// fewer than ten in a section: Degani & Wiener, NASA CR-177549 (1990), guideline 7; Gawande, The
/// Checklist Manifesto (2009).
pub(super) const MANY_STEPS: usize = 9;
/// Words that are read at arm's length in one look; a house value for the rule of simple sentences.
const LONG_WORDS: usize = 32;

const SIMPLE: &str = "Rule: simple sentences, fit to be read aloud (A Checklist for Checklists, 2010; FAA AC 120-71B, 5.4).";
const VALUE: &str = "Rule: the answer is a value or a wanted state, never “checked” (Degani & Wiener, NASA CR-177549, 1990, guideline 4; FAA AC 120-71B, 5.4).";
const CHUNKS: &str = "Rule: long lists are split where work pauses (Degani & Wiener, NASA CR-177549, 1990, guideline 7).";
const CRITICAL: &str = "Rule: the most critical items stand as near to the beginning as possible (Degani & Wiener, NASA CR-177549, 1990, guideline 10).";
const ONE_ACTION: &str =
    "Rule: one important step at a time (Training Within Industry, Job Instruction, 1944).";
const SAY_WHAT_TO_DO: &str =
    "Rule: say what to do (Federal Plain Language Guidelines, 2011, from memory).";

/// Words that begin a step which only asks for a look.
const LOOKS: [&str; 4] = ["check", "verify", "ensure", "confirm"];
/// Answers that say nothing of what was seen.
const SAY_NOTHING: [&str; 6] = ["ok", "okay", "checked", "done", "set", "yes"];
/// Words that begin a step which says what is not to be done.
const NEGATIVE: [&str; 4] = ["don't", "never", "avoid", "no"];

/// The rule about splitting a list, for the warning about a long one.
pub(super) fn split_help(what: &str) -> String {
    format!("{what} {CHUNKS}")
}

/// A text that takes more than a look.
pub(super) fn length(what: &str, text: &Spanned<String>, findings: &mut Findings<'_>) {
    let words = text.get_ref().split_whitespace().count();
    if words > LONG_WORDS {
        findings.warn(
            "checklist::long-sentence",
            text.span(),
            format!("{what} has {words} words; it will not be read at arm's length."),
            format!("Split it, or move part of it to the reason. {SIMPLE}"),
        );
    }
}

/// What a step asks to be done. `answerless` if it takes neither a value nor a lot.
pub(super) fn action(what: &Spanned<String>, answerless: bool, findings: &mut Findings<'_>) {
    let text = what.get_ref().trim();
    let lower = text.to_lowercase();
    let first = lower.split_whitespace().next().unwrap_or_default();
    if answerless && LOOKS.contains(&first) {
        findings.warn(
            "checklist::bare-tick",
            what.span(),
            "The step only asks to check, so a signature proves no look.",
            format!("Ask for the value or state that was seen, with record = {{ … }}. {VALUE}"),
        );
    }
    if NEGATIVE.contains(&first) || lower.starts_with("do not ") {
        findings.warn(
            "checklist::negative-wording",
            what.span(),
            "The step says what is not to be done, and leaves open what is.",
            format!(
                "Say what to do; what must not happen belongs into the caution. {SAY_WHAT_TO_DO}"
            ),
        );
    }
    let sentences = text.split_inclusive(['.', '!', '?', ';']).filter(|part| {
        let ends = part.ends_with(['.', '!', '?', ';']);
        ends && part.split_whitespace().count() > 1
    });
    if sentences.count() > 1 {
        findings.warn(
            "checklist::several-actions",
            what.span(),
            "The step holds more than one sentence, so more than one thing is signed for at once.",
            format!("Make a step of each. {ONE_ACTION}"),
        );
    }
}

/// A list that begins with what can hurt nobody, while something that can comes later. `hurts` says of
/// each item whether it names a hazard.
pub(super) fn critical_first(
    hurts: &[bool],
    place: std::ops::Range<usize>,
    findings: &mut Findings<'_>,
) {
    let first = hurts.iter().position(|hurts| *hurts);
    if first.is_some_and(|first| first > 0) {
        findings.warn(
            "checklist::critical-late",
            place,
            "The list begins with what can hurt nobody; what can comes later.",
            format!("Ask first what hurts when it is forgotten. {CRITICAL}"),
        );
    }
}

/// A state that can be picked as an answer.
pub(super) fn state(text: &str, place: std::ops::Range<usize>, findings: &mut Findings<'_>) {
    if SAY_NOTHING.contains(&text.trim().to_lowercase().as_str()) {
        findings.warn(
            "checklist::empty-answer",
            place,
            format!("“{text}” can be picked without looking."),
            format!("Write the state that is seen, e.g. “lid shut, emptied today”. {VALUE}"),
        );
    }
}
