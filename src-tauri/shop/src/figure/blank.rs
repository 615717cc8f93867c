//! Figures of the blank itself: its spine from the trials, what a cut does, how it bends, where its
//! guides stand, and whether the rod under load lies where the figure says.

use super::{FigureRow, Here, Worked, row};
use crate::checklist::FigureKind;
use crate::layout::{self, ReadLayout};
use crate::rod::ReelType;
use coldbench_trade::bend::{LoadTest, Mark, compare};
use coldbench_trade::spine::{
    Axis, BENDING_CAUTION, GuideRun, Judged, Jump, Readings, Reel, Sides, SpineLimits, Trials,
    Verdict, judge_done_again, mark,
};
use coldbench_trade::units::{Angle, Length, degree, ratio};
use coldbench_trade::{Measure, millimetres};

const SPINE_SOURCE: &str = "Circular statistics (Fisher 1993; Mardia & Jupp 2000): mean direction, angular deviation, test of Rayleigh. The limits are common practice, no source.";
const MARK_SOURCE: &str = "Which side the guides go on is common practice, no source.";
const TRIM_SOURCE: &str = "Large deflections of a thin tube (Euler-Bernoulli), before and after the cut, the layout's weight hung on the bare tip.";
const TEST_SOURCE: &str =
    "The curve of the layout at its load against what was read. Limits are the step's.";

/// What one reading of the trials can be told apart to, in degrees, where the file says nothing.
const READ_TO_DEG: f64 = 1.0;
/// A mark this near to the spine, in degrees, is the spine: a pencil line and a round blank are no
/// finer (house rule, no source).
const ON_THE_SPINE_DEG: f64 = 5.0;
/// How far a point may lie off the curve where the file says nothing, in percent of its drop.
const TOLERANCE_PERCENT: f64 = 10.0;

impl Here<'_> {
    /// The values measured in a step of this stage, as they stand after corrections: as written, and
    /// as read.
    fn values_of(&self, step: &str) -> Vec<(&str, f64)> {
        let asked = self.stage.steps.iter().find(|known| known.id.as_str() == step);
        let measure = asked.and_then(|step| step.record.as_ref()).map(|record| record.measure);
        let found = self.run.steps.iter().find(|(id, _)| id.as_str() == step);
        let Some((_, run)) = found else { return Vec::new() };
        let bare = self.units.distances.unit();
        run.values
            .iter()
            .filter(|value| value.within || value.accepted.is_some())
            .map(|value| match (run.corrected_value(&value.mark.event), measure) {
                (Some(text), Some(measure)) => {
                    let first = text.split('/').next().unwrap_or_default();
                    let read = coldbench_trade::parse_measure(first, measure, bare);
                    (text, read.unwrap_or(value.reading.value))
                }
                _ => (value.reading.text.as_str(), value.reading.value),
            })
            .collect()
    }

    fn own_value(&self) -> Option<f64> {
        self.values_of(self.step.id.as_str()).last().map(|(_, value)| *value)
    }

    fn jumps(&self, step: Option<&String>) -> Vec<Jump> {
        let degrees = |value| Angle::new::<degree>(value);
        let bare = self.units.distances.unit();
        let values = step.map_or_else(Vec::new, |step| self.values_of(step));
        let jump = |(text, value): (&str, f64)| {
            let other = text.split_once('/').and_then(|(_, other)| {
                coldbench_trade::parse_measure(other, Measure::Angle, bare).ok()
            });
            other.map_or(Jump::One(degrees(value)), |other| {
                Jump::Pair(degrees(value), degrees(other))
            })
        };
        values.into_iter().map(jump).collect()
    }

    /// What the trials say, and a word for a stray one that was done again and left out.
    fn judged(&self) -> Result<(Judged, Option<String>), String> {
        let steps = [self.asked.trials.as_ref(), self.asked.tip_trials.as_ref()];
        let [butt, tip] = steps.map(|step| self.jumps(step));
        if butt.is_empty() && tip.is_empty() {
            return Err("No trial is written down yet.".to_owned());
        }
        // One pair anywhere makes an axis of both ends.
        let pair = |jump: &Jump| matches!(jump, Jump::Pair(..));
        let axis = self.asked.two_sides || butt.iter().chain(&tip).any(pair);
        let sides = if axis { Sides::Two } else { Sides::One };
        let read_to = Angle::new::<degree>(self.given("read-to").unwrap_or(READ_TO_DEG));
        let trials = |jumps: &[Jump]| {
            let made = (!jumps.is_empty()).then(|| Trials::new(sides, read_to, jumps));
            made.transpose().map_err(|error| error.to_string())
        };
        let readings = Readings { butt: trials(&butt)?, tip: trials(&tip)?, between: None };
        let asked = steps.into_iter().flatten().filter_map(|step| self.asked_times(step)).max();
        let limits = SpineLimits::default();
        judge_done_again(&readings, &limits, asked.unwrap_or(usize::MAX))
            .map(|(judged, left_out)| (judged, left_out.map(|left_out| left_out.to_string())))
            .map_err(|error| error.to_string())
    }

    /// How many times a step asks for its value.
    fn asked_times(&self, step: &str) -> Option<usize> {
        let step = self.stage.steps.iter().find(|known| known.id.as_str() == step)?;
        step.record.as_ref().map(|record| record.repeat)
    }

    pub(super) fn spine(&self) -> Worked {
        let (judged, left_out) = self.judged()?;
        let mut figure = self.made(SPINE_SOURCE);
        for end in &judged.ends {
            let name = |what: &str| format!("{what}, at the {}", end.end);
            figure.rows.push(row(name("Trials"), end.sample.trials().to_string()));
            if let Some(mean) = end.mean {
                figure.rows.push(row(name("Mean"), show(mean)));
            }
            let spread = end.sample.angular_deviation();
            figure.rows.push(row(name("Angular deviation"), show(spread)));
            if let Some((doubt, _)) = end.doubt {
                figure.rows.push(row(name("Mean known to, 95 %"), format!("± {}", show(doubt))));
            }
            let chance = end.rayleigh.p;
            figure.rows.push(row(name("As even by chance"), format!("{:.1} %", chance * 100.0)));
        }
        if let Some(twist) = judged.twist {
            figure.rows.push(row("Tip against butt", show(twist.by)));
        }
        let verdict = judged.verdict.to_string();
        match &judged.verdict {
            Verdict::Found(spine) => {
                figure.rows.push(row("Spine", show(spine.at())));
                figure.rows.push(row("Says", verdict));
            }
            _ => figure.warnings.push(verdict),
        }
        figure.warnings.extend(left_out);
        Ok(figure)
    }

    /// The mark as it was read, against the spine, and where the guides stand by it.
    pub(super) fn spine_mark(&self) -> Worked {
        let (judged, left_out) = self.judged()?;
        let spine = match judged.verdict {
            Verdict::Found(spine) => Some(spine),
            _ => None,
        };
        let mut figure = self.made(MARK_SOURCE);
        figure.rows.push(row(
            "Spine by the trials",
            spine.map_or_else(|| "none found".to_owned(), |spine| show(spine.at())),
        ));
        figure.warnings.extend(left_out);
        let Some(read) = self.own_value() else {
            figure.warnings.push(
                "Draw the mark, and write what the scale reads there. It may be the spine or the straightest axis."
                    .to_owned(),
            );
            return Ok(figure);
        };
        let at = Angle::new::<degree>(read);
        let on = spine.and_then(|spine| {
            let near = |other: Angle| {
                let off = (read - other.get::<degree>()).rem_euclid(360.0);
                off.min(360.0 - off) <= ON_THE_SPINE_DEG
            };
            if near(spine.at()) {
                return Some(Ok(Axis::spine(spine)));
            }
            (spine.sides() == Sides::Two && near(spine.opposite())).then(|| Axis::other_end(spine))
        });
        let reason = self.run.steps.get(&self.step.id).and_then(|run| run.notes.last());
        let axis = match (on, reason) {
            (Some(axis), _) => axis,
            (None, Some((reason, _))) => Axis::straightest(at, reason),
            (None, None) => {
                figure.warnings.push(
                    "The mark is not on the spine. If the straightest axis was chosen instead, add a note that says why: it prints with the mark."
                        .to_owned(),
                );
                Axis::straightest(at, "no reason written")
            }
        };
        let axis = axis.map_err(|error| error.to_string())?;
        let reel = match self.rod.plan.reel {
            ReelType::Spinning => Reel::Spinning,
            ReelType::Casting => Reel::Casting,
            ReelType::Conventional => Reel::Conventional,
            ReelType::Fly => Reel::Fly,
        };
        let spiral = self.rod.plan.layout.as_ref().is_some_and(|layout| layout.spiral.is_some());
        let run = if spiral { GuideRun::Spiral } else { GuideRun::Straight };
        let drawn = mark(&axis, reel, run).map_err(|error| error.to_string())?;
        figure.rows.push(row("Mark, as read", show(at)));
        figure.rows.push(row(
            "Chosen",
            if axis.is_spine() { "the spine" } else { "another axis than the spine" },
        ));
        if let Some(reason) = axis.reason() {
            figure.rows.push(row("Because", reason));
        }
        figure.rows.push(row("Says", drawn.to_string()));
        Ok(figure)
    }

    fn read_layout(&self) -> Result<ReadLayout, String> {
        let layout = self.rod.plan.layout.as_deref().ok_or(
            "No layout is kept for this rod. Make one at “Bend and guides” on the rod's sheet.",
        )?;
        layout::read(&self.rod.plan, layout, self.units).map_err(|faults| {
            faults.into_iter().next().map_or_else(String::new, |fault| fault.message)
        })
    }

    pub(super) fn guide_layout(&self) -> Worked {
        let read = self.read_layout()?;
        let worked = layout::work_out(&self.rod.plan, &read, self.units)?;
        let mut figure = self.made(layout::SOURCE);
        figure.rows = worked.as_rows();
        figure.rows.extend(worked.fitted);
        figure.warnings.push(BENDING_CAUTION.to_owned());
        figure.warnings.extend(worked.warnings);
        Ok(figure)
    }

    /// What cutting as much as the step's value says would do.
    pub(super) fn trim(&self) -> Worked {
        let read = self.read_layout()?;
        let off = self.own_value().ok_or(
            "Write down how much is to come off: then the blank before and after the cut stands here.",
        )?;
        let none = millimetres(0.0);
        let (tip, butt) = match self.asked.kind {
            FigureKind::TrimButt => (none, millimetres(off)),
            _ => (millimetres(off), none),
        };
        let effect = layout::trimmed(&read, tip, butt, self.units)?;
        let mut figure = self.made(TRIM_SOURCE);
        figure.rows = effect
            .rows
            .into_iter()
            .map(|(label, before, after)| row(label, format!("{before}, after the cut {after}")))
            .collect();
        figure.warnings = effect.warnings;
        figure
            .warnings
            .push("A blank can't be uncut. Hang the load and look before you saw.".to_owned());
        Ok(figure)
    }

    /// The step's value as the drop of a point of the rod under the layout's load, against the curve.
    pub(super) fn static_test(&self) -> Worked {
        let read = self.read_layout()?;
        let share = self.given("at").unwrap_or(100.0) / 100.0;
        if !(share > 0.0 && share <= 1.0) {
            return Err("The checklist names no place on the rod. Write at = \"75 %\", of the length from the butt.".to_owned());
        }
        let at = read.blank.length() * share;
        let tolerance = self.given("tolerance").unwrap_or(TOLERANCE_PERCENT) / 100.0;
        let mut figure = self.made(TEST_SOURCE);
        figure.warnings.push(BENDING_CAUTION.to_owned());
        let drop = self.own_value().map_or_else(|| millimetres(0.0), millimetres);
        let test =
            LoadTest { loads: read.loads(), marks: vec![Mark::Drop { from_butt: at, drop }] };
        let compared = compare(&read.blank, &test, millimetres(0.0));
        let compared = compared.map_err(|error| error.to_string())?;
        let figured = compared.deviations.first().map(|deviation| deviation.figured);
        let Some(Mark::Drop { drop: figured, .. }) = figured else {
            return Err("The point can't be found on the curve.".to_owned());
        };
        let bound = figured.abs() * tolerance;
        figure.rows.push(row("Place, from the butt", self.units.distance(at)));
        figure.rows.push(row("Goes down by the figure", self.units.distance(figured)));
        if self.own_value().is_some() {
            figure.rows.extend(self.off_by(drop, figured, bound));
            if (drop - figured).abs() > bound {
                figure.warnings.push("The rod does not bend as figured. Look at the weight, the place and how the butt is held. If all is right, do a load test and let the stiffness follow it; a rod that is softer than before may be damaged.".to_owned());
            }
        }
        figure.warnings.extend(read.assumed);
        Ok(figure)
    }

    fn off_by(&self, drop: Length, figured: Length, bound: Length) -> [FigureRow; 3] {
        let off = drop - figured;
        let share = (off / figured).get::<ratio>() * 100.0;
        let within = off.abs() <= bound;
        let share = if share.is_finite() { format!(" ({share:+.1} %)") } else { String::new() };
        [
            row("Went down by", self.units.distance(drop)),
            row("Off the curve by", format!("{}{share}", self.units.distance(off))),
            row(
                "Within tolerance",
                format!("{} ({} either way)", yes(within), self.units.distance(bound)),
            ),
        ]
    }
}

fn yes(word: bool) -> &'static str {
    if word { "yes" } else { "no" }
}

fn show(angle: Angle) -> String {
    format!("{:.0}°", angle.get::<degree>())
}
