//! The log of one station on one day: its parts in order.

use crate::{
    block::{Column, heading, labelled, paragraph, rule, small, table},
    clearance,
    error::RecordError,
    finish::{self, one_line},
    flow::{self, Anchor, Page, Strip, paginate, tie, together},
    fonts::Fonts,
    pdf::About,
    proof::{self, Proof},
    rod_sheet::{below, close, merge},
    sheet::{Foot, Sheet},
    stage::continued,
    station_course::{self, Day},
    station_model::{EntryKind, StationLog, WatchRecord},
    station_notice,
    style::{BODY, HAIR, Ink, LABEL, RULE, SECTION, SMALL, SMALL_STRONG, STRONG, TITLE},
    words::{INVENTED_STATION, STANDING, count, is_digest, moment},
    wrap::Run,
};

/// The share of a page up to which a table or a clearance is moved rather than cut.
const WHOLE: f32 = 0.33;
/// Width of the labels in the title block, in points.
const LABELS: f32 = 74.0;

/// Draws the log of one station on one day and returns the bytes of the PDF.
///
/// The same log gives the same bytes, in any process and any number of times. Text is wrapped,
/// never cut off, except in the foot of the pages, where long names end in an ellipsis.
///
/// # Errors
/// [`RecordError::Digest`] if the ledger's digest is not 64 hexadecimal digits;
/// [`RecordError::Font`] or [`RecordError::Write`] if the program itself is damaged.
pub fn station_log(log: &StationLog) -> Result<Vec<u8>, RecordError> {
    let (fonts, sheet, pages) = checked(log)?;
    finish::finish(&fonts, sheet, &pages, &foot(log, &tag(log)), &about(log), &[])
}

/// The pages that [`station_log`] prints of the same log, each as an SVG document: the view box
/// in points, the type named as `Source Sans 3` and not embedded. All that people wrote is
/// escaped.
///
/// # Errors
/// Those of [`station_log`] but [`RecordError::Write`].
pub fn station_log_preview(log: &StationLog) -> Result<Vec<String>, RecordError> {
    let (fonts, sheet, pages) = checked(log)?;
    Ok(finish::preview(&fonts, sheet, &pages, &foot(log, &tag(log))))
}

fn checked(log: &StationLog) -> Result<(Fonts, Sheet, Vec<Page>), RecordError> {
    if !is_digest(&log.ledger.digest) {
        return Err(RecordError::Digest { found: log.ledger.digest.clone() });
    }
    let fonts = Fonts::load()?;
    let sheet = Sheet::of(log.paper);
    let pages = lay_out(&fonts, log, sheet);
    Ok((fonts, sheet, pages))
}

/// What the foot calls the log: the day first, for a long name is cut there.
pub(crate) fn tag(log: &StationLog) -> String {
    let id = log.station_id.trim();
    let name = if id.is_empty() { log.station.trim() } else { id };
    format!("{}, {name}", log.day.trim())
}

/// What stands in the foot of the pages.
pub(crate) fn foot<'a>(log: &'a StationLog, tag: &'a str) -> Foot<'a> {
    Foot {
        tag,
        shop: &log.shop,
        digest: &log.ledger.digest,
        invented: log.demo.then_some(INVENTED_STATION),
    }
}

/// The pages without frame and foot.
pub(crate) fn lay_out(fonts: &Fonts, log: &StationLog, sheet: Sheet) -> Vec<Page> {
    let column = sheet.column();
    let whole = sheet.body_height(fonts) * WHOLE;
    let day = Day::of(log);
    let mut strips = title(fonts, log, column);
    strips.extend(block(fonts, log, &day, column));
    strips.extend(station_notice::strips(fonts, log, &day, column, whole));
    strips.extend(course(fonts, log, &day, column));
    strips.extend(entries(fonts, log, &day, column));
    let none = "No clearance for heat was granted at this station on this day.";
    strips.extend(clearance::strips(fonts, &log.clearances, none, column, whole));
    strips.extend(together(watches(fonts, log, &day, column), whole));
    let proof = Proof { ledger: &log.ledger, printed: log.printed, attached: &[] };
    strips.extend(proof::strips(fonts, &proof, column));
    let signers = [("", "I kept this log.", "")];
    let ink = proof::ink(fonts, "Signature in ink", &signers, column);
    // Only now every text has been through the fonts. The ink comes last on the paper.
    strips.extend(proof::lacking(fonts, column));
    strips.extend(ink);
    paginate(strips, sheet.body_height(fonts))
}

fn name(log: &StationLog) -> &str {
    let name = log.station.trim();
    if name.is_empty() { log.station_id.trim() } else { name }
}

fn about(log: &StationLog) -> About {
    let subject = if log.demo { INVENTED_STATION } else { "Log of a station in a rod workshop" };
    About {
        title: one_line(&format!("Station log {}: {}", log.day, name(log))),
        author: one_line(&log.shop),
        subject: subject.to_owned(),
        printed: log.printed,
        identity: finish::identity(&format!("{log:?}"), &[]),
    }
}

fn title(fonts: &Fonts, log: &StationLog, column: Column) -> Vec<Strip> {
    let kind = Run::new(fonts, STRONG, &format!("Station log, {}", log.day.trim()));
    let mut strips = paragraph(fonts, &[kind], column);
    strips.extend(heading(fonts, TITLE, name(log), column));
    if let Some(first) = strips.first_mut() {
        first.anchor = Some(Anchor { key: "station".to_owned(), title: "Station".to_owned() });
    }
    strips.push(rule(column, 1.4, Ink::Full).below(7.0));
    tie(&mut strips);
    strips
}

/// The title block, and how its times are to be read.
fn block(fonts: &Fonts, log: &StationLog, day: &Day, column: Column) -> Vec<Strip> {
    let half = Column { x: column.x, width: column.width / 2.0 - 8.0 };
    let other = Column { x: column.x + column.width / 2.0 + 8.0, ..half };
    let fact = |label: &str, text: &str, column: Column| {
        let text = if text.trim().is_empty() { "not stated" } else { text.trim() };
        labelled(fonts, label, &[Run::new(fonts, BODY, text)], column, LABELS)
    };
    let printed = moment(log.printed);
    let number = u64::try_from(log.entries.len()).unwrap_or(u64::MAX);
    let recorded = count(number, "entry", "entries");
    let pairs = [
        [("Station", log.station_id.as_str()), ("Workshop", log.shop.as_str())],
        [("Day", log.day.as_str()), ("Printed", printed.as_str())],
    ];
    let mut strips = Vec::new();
    for [(label, text), (other_label, other_text)] in pairs {
        let mut row = merge(fact(label, text, half), fact(other_label, other_text, other));
        close(&mut row, column, HAIR);
        strips.extend(row);
    }
    let room = log.room.trim();
    let room = if room.is_empty() {
        Run::new(fonts, STRONG, "not measured")
    } else {
        Run::new(fonts, BODY, room)
    };
    let mut row = labelled(fonts, "Room", &[room], column, LABELS);
    close(&mut row, column, HAIR);
    strips.extend(row);
    let mut row = fact("Recorded", &recorded, column);
    close(&mut row, column, RULE);
    strips.extend(row);
    let times = format!(
        "Times without a date are of {}, {} from UTC.",
        log.day.trim(),
        day.offset().replace('-', "\u{2212}")
    );
    for words in [STANDING, &times] {
        strips.extend(below(paragraph(fonts, &[Run::new(fonts, LABEL, words)], column), 5.0));
    }
    strips
}

fn course(fonts: &Fonts, log: &StationLog, day: &Day, column: Column) -> Vec<Strip> {
    let mut strips = section(fonts, "course", "Course of the vapour estimate", column);
    if let Some(drawing) = station_course::draw(fonts, log, day, column) {
        let mut drawn = [drawing.strip.below(6.0)];
        let highest = station_course::highest(&log.curve).map(|(_, value)| value);
        let words = format!(
            "Course of the vapour estimate over the day, at its highest {}.",
            highest.map_or("not known".to_owned(), station_course::percent)
        );
        flow::drawing(&mut drawn, words);
        strips.extend(drawn);
        let caption = Run::new(fonts, SMALL, &drawing.caption);
        strips.extend(below(paragraph(fonts, &[caption], column), 4.0));
        // Long words below the drawing may part, but not from it.
        for strip in strips.iter_mut().take(4) {
            strip.keep = true;
        }
        return strips;
    }
    let why = log.curve_word.trim();
    let why = if why.is_empty() { "no reason is stated" } else { why };
    let runs = [
        Run::new(fonts, STRONG, "The estimate is not known, so none is drawn: "),
        Run::new(fonts, BODY, why),
    ];
    strips.extend(paragraph(fonts, &runs, column));
    let words = "Not known means no heat. An estimate would be no gas detector either.";
    strips.extend(below(paragraph(fonts, &[Run::new(fonts, BODY, words)], column), 3.0));
    strips
}

fn section(fonts: &Fonts, key: &str, title: &str, column: Column) -> Vec<Strip> {
    let mut strips = below(heading(fonts, SECTION, title, column), 22.0);
    if let Some(first) = strips.first_mut() {
        first.anchor = Some(Anchor { key: key.to_owned(), title: title.to_owned() });
    }
    strips
}

/// What a kind of entry is called.
pub(crate) fn kind_word(kind: EntryKind) -> &'static str {
    match kind {
        EntryKind::Reading => "Airflow reading",
        EntryKind::Release => "Flammable used",
        EntryKind::Container => "Container",
        EntryKind::List => "Checklist",
        EntryKind::Clearance => "Clearance",
        EntryKind::Withdrawal => "Withdrawal",
        EntryKind::Lapse => "Lapse",
        EntryKind::Heat => "Heat used",
        EntryKind::Watch => "Watch",
        EntryKind::Clock => "Clock",
        EntryKind::Other => "Other",
    }
}

/// Everything of the day in its order.
fn entries(fonts: &Fonts, log: &StationLog, day: &Day, column: Column) -> Vec<Strip> {
    let mut strips = section(fonts, "entries", "What was recorded", column);
    if log.entries.is_empty() {
        let text = "Nothing was recorded at this station on this day. That does not show that \
             nothing was done.";
        strips.extend(paragraph(fonts, &[Run::new(fonts, STRONG, text)], column));
        return strips;
    }
    let rows: Vec<Vec<Run>> = log
        .entries
        .iter()
        .map(|entry| {
            let stands_out =
                matches!(entry.kind, EntryKind::Withdrawal | EntryKind::Clock | EntryKind::Heat);
            let kind = if stands_out { SMALL_STRONG } else { SMALL };
            vec![
                small(fonts, &day.time(entry.when)),
                Run::new(fonts, kind, kind_word(entry.kind)),
                small(fonts, stated(&entry.words)),
                small(fonts, stated(&entry.who)),
            ]
        })
        .collect();
    let heads = [("Time", 1.0), ("Kind", 1.45), ("What", 4.1), ("Who", 1.5)];
    let again = format!("Station log, {}, {} continued", one_line(name(log)), log.day.trim());
    let again = continued(fonts, &again, column);
    strips.extend(table(fonts, &heads, &rows, column, &again));
    strips
}

fn stated(words: &str) -> &str {
    let words = words.trim();
    if words.is_empty() { "not stated" } else { words }
}

fn watches(fonts: &Fonts, log: &StationLog, day: &Day, column: Column) -> Vec<Strip> {
    let mut strips = section(fonts, "watches", "Watches after heat", column);
    if log.watches.is_empty() {
        let heat = log.entries.iter().any(|entry| entry.kind == EntryKind::Heat);
        let run = if heat {
            Run::new(fonts, STRONG, "Heat was used on this day, but no watch after it is recorded.")
        } else {
            Run::new(fonts, BODY, "No watch is recorded, and no heat on this day either.")
        };
        strips.extend(paragraph(fonts, &[run], column));
        return strips;
    }
    let kept = |watch: &WatchRecord| match &watch.kept {
        Some((when, who)) => small(fonts, &format!("{} by {}", day.time(*when), stated(who))),
        None if watch.until > log.printed => {
            Run::new(fonts, SMALL_STRONG, "not signed when this was printed")
        }
        None => Run::new(fonts, SMALL_STRONG, "no watch was signed"),
    };
    let rows: Vec<Vec<Run>> = log
        .watches
        .iter()
        .map(|watch| {
            vec![
                small(fonts, stated(&watch.clearance)),
                small(fonts, &day.time(watch.last_heat)),
                small(fonts, &day.time(watch.until)),
                kept(watch),
            ]
        })
        .collect();
    let heads = [("Clearance", 1.2), ("Last heat", 1.4), ("Watch until", 1.4), ("Kept", 3.0)];
    strips.extend(table(fonts, &heads, &rows, column, &[]));
    strips
}
