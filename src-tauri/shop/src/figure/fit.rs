//! Figures of the fit: where a part stops, how far to ream, the glue line, the order, the build-up.

use super::{FigureRow, Here, Section, Sketch, StepFigure, Worked, row, title};
use crate::checklist::FigureKind;
use crate::state::Rod;
use coldbench_trade::fit::{
    self, BondLine, Bushings, FitError, FitWarning, Part, Stop, Taper, conflicts, glue_line, ream,
    roughening, tape_turns, working_order,
};
use coldbench_trade::units::{Area, Length, degree, square_meter};
use coldbench_trade::{Units, in_millimetres, millimetres};

const STOP_SOURCE: &str =
    "Geometry: where bore and blank first touch; bounds from the caliper on both.";
const REAM_SOURCE: &str = "Geometry: blank at its upper bound, the caliper's error on the bore and the least glue line on both sides.";
const LINE_SOURCE: &str =
    "Half the difference of diameters; volume of frusta of cones (mensuration).";
const ORDER_SOURCE: &str = "Geometry: a part must pass whatever is in place between the end it comes from and its own place.";
const ROUGH_SOURCE: &str =
    "Surface of frusta of cones (mensuration); the set-back is common practice, no source.";
const TAPE_SOURCE: &str = "Each turn adds two thicknesses; length by the roll-length rule.";
const BUSHING_SOURCE: &str = "Geometry; width, inset and spacing are common practice, no source.";

/// How often along a part it is looked, where the file says nothing: six times, no closer than this.
const CLOSEST_MM: f64 = 10.0;
/// Most straight cuts that anybody makes; where more are needed, it is reamed to the taper.
const MOST_CUTS: usize = 8;
/// How many points a drawn taper gets.
const DRAWN: u32 = 24;

pub(super) fn told(error: &FitError) -> String {
    match error.slip() {
        Some(slip) => format!("{error} {slip}"),
        None => error.to_string(),
    }
}

fn words(warnings: &[FitWarning]) -> impl Iterator<Item = String> {
    warnings.iter().map(ToString::to_string)
}

impl Here<'_> {
    pub(super) fn taper(&self) -> Result<Taper, String> {
        self.rod.plan.taper(self.caliper()).map_err(|error| told(&error))
    }

    pub(super) fn fitted(&self) -> Result<Part, String> {
        let part = self.part()?;
        let fitted = part.fitted().ok_or_else(|| {
            format!(
                "The bore of the {} is not written down. Measure it at both ends, and add it on the rod's sheet.",
                part.kind.words()
            )
        })?;
        fitted.and_then(|fitted| fitted.check().map(|()| fitted)).map_err(|error| told(&error))
    }

    fn range(&self) -> Result<BondLine, String> {
        let usual = BondLine::default();
        let least = self.given("least").map_or(usual.least(), millimetres);
        let most = self.given("most").map_or(usual.most(), millimetres);
        BondLine::new(least, most).map_err(|error| told(&error))
    }

    pub(super) fn every(&self, part: &Part) -> Length {
        let regular = (part.bore.length() / 6.0).max(millimetres(CLOSEST_MM));
        self.given("every").map_or(regular, millimetres)
    }

    fn diameter(&self, length: Length) -> String {
        self.units.diameter(length)
    }

    fn distance(&self, length: Length) -> String {
        self.units.distance(length)
    }

    pub(super) fn bore_stop(&self) -> Worked {
        let (taper, part) = (self.taper()?, self.fitted()?);
        let section = taper.section_at(part.sits_at).map_err(|error| told(&error))?;
        let mut figure = self.made(STOP_SOURCE);
        let mut cut = cut(&taper, &part);
        cut.marks.push((in_millimetres(part.sits_at), "to sit".to_owned()));
        figure.rows.push(row("Its butt end is to sit at", self.distance(part.sits_at)));
        match fit::stop(section, &part.bore).map_err(|error| told(&error))? {
            Stop::Held(held) => {
                let bounds = match (held.nearest_butt, held.nearest_tip) {
                    (Some(least), Some(most)) => {
                        format!(" ({} to {})", self.distance(least), self.distance(most))
                    }
                    _ => String::new(),
                };
                let stops = format!("{}{bounds}", self.distance(held.from_butt));
                figure.rows.push(row("It stops with its butt end at", stops));
                let short = held.from_butt - part.sits_at;
                figure.rows.push(if short > millimetres(0.05) {
                    row("Still to go", format!("{} by reaming", self.distance(short)))
                } else {
                    row("Still to go", "nothing: it reaches its place as it is")
                });
                cut.marks.push((in_millimetres(held.from_butt), "stops".to_owned()));
                figure.warnings.extend(words(&held.warnings));
            }
            Stop::Through { measured_from, thickest, warnings } => {
                figure.rows.push(row(
                    "It slides",
                    format!(
                        "over all that was measured, to {} where the blank is {}",
                        self.distance(measured_from),
                        self.diameter(thickest)
                    ),
                ));
                figure.warnings.extend(words(&warnings));
            }
        }
        figure.sketch = Some(Sketch::Section(cut));
        Ok(figure)
    }

    pub(super) fn ream(&self) -> Worked {
        let (taper, part) = (self.taper()?, self.fitted()?);
        let section = taper.section_at(part.sits_at).map_err(|error| told(&error))?;
        let cuts = |every| ream(section, &part, self.range()?, every).map_err(|error| told(&error));
        let (mut every, as_written) = (self.every(&part), self.given("every").is_some());
        let mut plan = cuts(every)?;
        // Cuts so long that they leave too much at their narrow end contradict the bounds above them.
        let too_long = |warning: &FitWarning| matches!(warning, FitWarning::StepTooLong { .. });
        while !as_written && every > millimetres(CLOSEST_MM) && plan.warnings.iter().any(too_long) {
            every = (every / 2.0).max(millimetres(CLOSEST_MM));
            plan = cuts(every)?;
        }
        let mut figure = self.made(REAM_SOURCE);
        for (label, end) in [("Butt end", &plan.butt_end), ("Tip end", &plan.tip_end)] {
            let at = self.distance(end.at);
            let blank = self.diameter(end.blank);
            let value = if end.remove > millimetres(0.0) {
                let to = if end.at_most > end.ream_to {
                    let most = self.diameter(end.at_most);
                    format!("{}, {most} at most", self.diameter(end.ream_to))
                } else {
                    self.diameter(end.ream_to)
                };
                format!(
                    "ream to {to}: take {} off the bore of {}",
                    self.diameter(end.remove),
                    self.diameter(end.bore)
                )
            } else {
                format!("leave the bore of {} as it is", self.diameter(end.bore))
            };
            figure.rows.push(row(format!("{label}, at {at} where the blank is {blank}"), value));
        }
        let few = plan.steps.len() <= MOST_CUTS;
        for (number, cut) in plan.steps.iter().enumerate().filter(|_| few) {
            figure.rows.push(row(
                format!("Cut {}", number + 1),
                format!(
                    "{} wide, {} deep from the butt end",
                    self.diameter(cut.diameter),
                    self.distance(cut.depth)
                ),
            ));
        }
        if !few {
            let words = format!(
                "{} would be needed: ream to the taper, a little at a time, and try it on",
                plan.steps.len()
            );
            figure.rows.push(row("Straight cuts", words));
        }
        // Of cuts that are not listed nothing need be said.
        plan.warnings.retain(|warning| few || !too_long(warning));
        figure.warnings.extend(words(&plan.warnings));
        let mut cut = cut(&taper, &part);
        cut.goal = plan.stations.iter().map(|s| point(s.at, s.ream_to)).collect();
        figure.sketch = Some(Sketch::Section(cut));
        Ok(figure)
    }

    pub(super) fn glue_line(&self) -> Worked {
        let (taper, part) = (self.taper()?, self.fitted()?);
        let section = taper.section_at(part.sits_at).map_err(|error| told(&error))?;
        let range = self.range()?;
        let line =
            glue_line(section, &part, range, self.every(&part)).map_err(|error| told(&error))?;
        let mut figure = self.made(LINE_SOURCE);
        for (label, gap) in [("Thinnest", &line.thinnest), ("Thickest", &line.thickest)] {
            figure.rows.push(row(
                format!("{label}, at {}", self.distance(gap.at)),
                format!(
                    "{} per side ({} to {})",
                    self.diameter(gap.gap),
                    self.diameter(gap.least.max(millimetres(0.0))),
                    self.diameter(gap.most)
                ),
            ));
        }
        figure.rows.push(row(
            "It holds",
            format!(
                "{} ({} to {})",
                self.units.liquid(line.volume),
                self.units.liquid(line.least_volume),
                self.units.liquid(line.most_volume)
            ),
        ));
        let in_doubt = line.warnings.iter().any(|warning| {
            matches!(warning, FitWarning::LineTooThin { .. } | FitWarning::LineTooThick { .. })
        });
        figure.rows.push(row(
            "Bonded bare",
            match (line.fits_bare, in_doubt) {
                (true, false) => "yes, the line lies in its range",
                (true, true) => "as measured yes, but the caliper leaves a doubt: see below",
                (false, _) => "no, see below",
            },
        ));
        figure.warnings.extend(words(&line.warnings));
        figure.sketch = Some(Sketch::Section(cut(&taper, &part)));
        Ok(figure)
    }

    pub(super) fn roughening(&self) -> Worked {
        let (taper, part) = (self.taper()?, self.fitted()?);
        let section = taper.section_at(part.sits_at).map_err(|error| told(&error))?;
        let back = millimetres(self.given("set-back").unwrap_or(0.0));
        let found = roughening(section, &part, back).map_err(|error| told(&error))?;
        let mut figure = self.made(ROUGH_SOURCE);
        figure.rows.push(row("From the butt, from", self.distance(found.from)));
        figure.rows.push(row("to", self.distance(found.to)));
        figure.rows.push(row("Surface", format!("{:.0} cm²", square_centimetres(found.area))));
        let mut cut = cut(&taper, &part);
        cut.bands.push(band(found.from, found.to, "roughen"));
        figure.sketch = Some(Sketch::Section(cut));
        Ok(figure)
    }

    pub(super) fn tape_build_up(&self) -> Worked {
        let (taper, part) = (self.taper()?, self.fitted()?);
        let section = taper.section_at(part.sits_at).map_err(|error| told(&error))?;
        let (range, tape) = (self.range()?, millimetres(self.given("tape").unwrap_or(0.0)));
        let mut figure = self.made(TAPE_SOURCE);
        let mut cut = cut(&taper, &part);
        for (label, at) in [("butt", part.sits_at), ("tip", part.ends_at())] {
            let blank = section.diameter_at(at).map_err(|error| told(&error))?;
            let bore = part.bore.at(at - part.sits_at);
            let built = tape_turns(&blank, bore, tape, range).map_err(|error| told(&error))?;
            figure.rows.push(row(
                format!("Band at the {label} end, at {}", self.distance(at)),
                format!(
                    "{} turns of {} tape ({} of it): {} over the tape, {} left per side",
                    built.turns,
                    self.diameter(tape),
                    self.distance(built.tape_length),
                    self.diameter(built.over_tape),
                    self.diameter(built.gap)
                ),
            ));
            let width = part.bore.length() * 0.1;
            let from = if label == "butt" { at } else { at - width };
            cut.bands.push(band(from, from + width, "tape"));
            figure.warnings.extend(words(&built.warnings));
        }
        figure.sketch = Some(Sketch::Section(cut));
        Ok(figure)
    }

    pub(super) fn bushings(&self) -> Worked {
        let (taper, part) = (self.taper()?, self.fitted()?);
        let section = taper.section_at(part.sits_at).map_err(|error| told(&error))?;
        let set = Bushings {
            width: millimetres(self.given("width").unwrap_or(0.0)),
            inset: millimetres(self.given("inset").unwrap_or(0.0)),
            free_at_most: millimetres(self.given("free-at-most").unwrap_or(0.0)),
        };
        let plan =
            fit::bushings(section, &part, set, self.range()?).map_err(|error| told(&error))?;
        let mut figure = self.made(BUSHING_SOURCE);
        let mut cut = cut(&taper, &part);
        for (number, bushing) in plan.bushings.iter().enumerate() {
            figure.rows.push(row(
                format!(
                    "Bushing {}, from {} to {}",
                    number + 1,
                    self.distance(bushing.from),
                    self.distance(bushing.to)
                ),
                format!(
                    "bore {}, outside {}",
                    self.diameter(bushing.inside),
                    self.diameter(bushing.outside)
                ),
            ));
            cut.bands.push(band(bushing.from, bushing.to, "bushing"));
        }
        figure.rows.push(row("Between them, for resin", self.distance(plan.free)));
        figure.rows.push(row(
            "Out of true at most",
            format!(
                "{} off the axis, {:.1}°",
                self.diameter(plan.looseness.off_axis),
                plan.looseness.tilt.get::<degree>()
            ),
        ));
        figure.warnings.extend(words(&plan.warnings));
        figure.sketch = Some(Sketch::Section(cut));
        Ok(figure)
    }
}

/// The order in which the parts of a rod go on. Parts without a bore are named and left out.
pub(super) fn assembly_order(rod: &Rod, units: Units, caliper: Length) -> Worked {
    let taper = rod.plan.taper(caliper).map_err(|error| told(&error))?;
    let mut parts: Vec<Part> = Vec::new();
    let mut warnings = Vec::new();
    for part in rod.plan.parts.iter().filter(|part| part.kind.is_bored()) {
        match part.fitted() {
            Some(Ok(fitted)) => parts.push(fitted),
            Some(Err(error)) => warnings.push(told(&error)),
            None => warnings.push(format!(
                "The bore of the {} is not written down, so it is left out here.",
                part.kind.words()
            )),
        }
    }
    if parts.is_empty() {
        return Err(
            "No part with its bore is written down. Add the bores on the rod's sheet.".to_owned()
        );
    }
    let mut rows: Vec<FigureRow> = Vec::new();
    // Parts are slid on piece by piece.
    for section in taper.sections() {
        let on_it = |part: &&Part| part.sits_at >= section.from() && part.sits_at < section.to();
        let here: Vec<Part> = parts.iter().filter(on_it).cloned().collect();
        match working_order(&here) {
            Ok(order) => {
                let ordered: Vec<Part> = order.into_iter().map(|n| here[n].clone()).collect();
                for part in &ordered {
                    rows.push(row(
                        format!("{}.", rows.len() + 1),
                        format!("{}, to {}", part.name, units.distance(part.sits_at)),
                    ));
                }
                match conflicts(section, &ordered) {
                    Ok(found) => warnings.extend(found.iter().map(ToString::to_string)),
                    Err(error) => warnings.push(told(&error)),
                }
            }
            Err(error) => warnings.push(told(&error)),
        }
    }
    Ok(StepFigure {
        name: FigureKind::AssemblyOrder.name(),
        title: title(FigureKind::AssemblyOrder).to_owned(),
        rows,
        warnings,
        source: ORDER_SOURCE,
        sketch: None,
        missing: None,
    })
}

pub(super) fn point(at: Length, diameter: Length) -> (f64, f64) {
    (in_millimetres(at), in_millimetres(diameter))
}

pub(super) fn band(from: Length, to: Length, label: &str) -> (f64, f64, String) {
    (in_millimetres(from), in_millimetres(to), label.to_owned())
}

fn square_centimetres(area: Area) -> f64 {
    area.get::<square_meter>() * 1e4
}

fn along(from: Length, to: Length, diameter: impl Fn(Length) -> Length) -> Vec<(f64, f64)> {
    (0..=DRAWN)
        .map(|n| from + (to - from) * (f64::from(n) / f64::from(DRAWN)))
        .map(|at| point(at, diameter(at)))
        .collect()
}

/// The blank where it was measured, between two places.
pub(super) fn drawn(taper: &Taper, from: Length, to: Length) -> Vec<(f64, f64)> {
    let from = from.max(millimetres(0.0));
    (0..=DRAWN)
        .map(|n| from + (to - from) * (f64::from(n) / f64::from(DRAWN)))
        .filter_map(|at| Some(point(at, taper.diameter_at(at).ok()?.diameter)))
        .collect()
}

/// The part cut along its axis where it is to sit.
fn cut(taper: &Taper, part: &Part) -> Section {
    let (from, to) = (part.sits_at, part.ends_at());
    let room = part.bore.length() * 0.15;
    let bare = part.thickest;
    Section {
        blank: drawn(taper, from - room, to + room),
        bore: along(from, to, |at| part.bore.at(at - from)),
        outside: along(from, to, |_| bare),
        ..Section::default()
    }
}
