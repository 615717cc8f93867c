//! Figures that rest on a product's sheet: what to mix, how long it can be worked, when it has
//! cured, which sleeve, when to change gloves.

use super::{Here, Sketch, TimeMark, Worked, row};
use crate::checklist::{Adhesive, Checklist, ClockKind, Glove, Sleeve};
use crate::cure;
use crate::event::Moment;
use crate::rod::PartKind;
use crate::run::Clock;
use chrono::TimeDelta;
use coldbench_trade::adhesive::{
    Batches, HOW_ROUGH, LONGEST_GAP_S, MeasuredBy, Milestone, Reading, ReadyIn, volume_to_mix,
    working_time,
};
use coldbench_trade::fit::{BondLine, glue_line};
use coldbench_trade::skin::{ChangeBy, OpenMaterial, WASH, change_by};
use coldbench_trade::sleeve::{
    Beneath, Covered, UnderHeat, choose_size, cut_length, recovered_on, under_heat,
};
use coldbench_trade::units::{
    Mass, Ratio, TemperatureInterval, ThermodynamicTemperature, Time, Volume, degree_celsius, gram,
    kelvins, milliliter, minute, percent, ratio, second,
};
use coldbench_trade::{Measure, millimetres};

const MIX_SOURCE: &str =
    "The joint as bore less blank (mensuration), the product's ratio and densities.";
const POT_SOURCE: &str = "The sheet's pot life, shortened by warmth (Arrhenius) and by mass in proportion (house rule); never longer than the sheet.";
const CURE_SOURCE: &str = "Equivalent age over the readings of the room (Arrhenius, in the form of ASTM C1074); never sooner than the sheet.";
const SLEEVE_SOURCE: &str = "The maker's sizes; a manufacturer's open sizing guide for the window; wall by conservation of area.";
const HEAT_SOURCE: &str = "The sleeve's sheet against the makers' sheets of core and resin; the margin is common practice, no source.";
/// The figure is about the sleeve as it is meant to be heated.
const HOTTER: &str = "The air of a gun is hotter than the sleeve. The makers' sheets come first.";
const GLOVE_SOURCE: &str = "EN ISO 374-1:2016 levels; shortening by movement 6 to 33 % on disposable nitrile gloves (Phalen 2012).";

/// What is lost to squeeze-out, cup and stick where the file says nothing, in percent.
const LOST_PERCENT: f64 = 30.0;
/// A common scale and its step, in g.
const SCALE_G: f64 = 0.1;
/// Margin between full shrinkage and what lies beneath, in K (common practice, no source).
const MARGIN_K: f64 = 10.0;
/// Room for sliding a sleeve on where its file says nothing, in mm (common practice, no source).
const CLEARANCE_MM: f64 = 0.5;

/// In seconds: nobody at a bench looks closer.
const FIVE_MINUTES: i64 = 300;

fn celsius(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(value)
}

fn words(error: &impl ToString) -> String {
    error.to_string()
}

impl<'a> Here<'a> {
    fn product(&self) -> Result<&'a Checklist, String> {
        let id = self.asked.product.as_deref().unwrap_or_default();
        let texts = self.run.products.iter().filter_map(|digest| self.state.texts.get(digest));
        let mut known = texts.filter_map(|text| text.checklist.as_ref());
        known.find(|checklist| checklist.id() == id).ok_or_else(|| {
            format!(
                "The file “{id}” was not in the materials folder when this stage was begun. Write it from the product's sheet; it holds for stages begun after that."
            )
        })
    }

    fn adhesive(&self) -> Result<&'a Adhesive, String> {
        match self.product()? {
            Checklist::Adhesive(adhesive) => Ok(adhesive),
            other => Err(format!("“{}” is no adhesive. Name the file of one.", other.id())),
        }
    }

    fn sleeve_file(&self) -> Result<&'a Sleeve, String> {
        match self.product()? {
            Checklist::Sleeve(sleeve) => Ok(sleeve),
            other => Err(format!("“{}” is no sleeve. Name the file of one.", other.id())),
        }
    }

    fn glove(&self) -> Result<&'a Glove, String> {
        match self.product()? {
            Checklist::Glove(glove) => Ok(glove),
            other => Err(format!("“{}” are no gloves. Name the file of some.", other.id())),
        }
    }

    /// The clock of this kind that was started last in this stage.
    fn clock(&self, kind: ClockKind) -> Option<&'a Clock> {
        let clocks = self.run.clocks.values().filter(|clock| clock.kind == kind);
        clocks.max_by_key(|clock| clock.started.at)
    }

    /// What fills the joint as its bore is now.
    fn joint(&self) -> Result<Volume, String> {
        let (taper, part) = (self.taper()?, self.fitted()?);
        let section = taper.section_at(part.sits_at).map_err(|error| words(&error))?;
        let every = self.every(&part);
        let line = glue_line(section, &part, BondLine::default(), every);
        // The most it may hold: what is short can't be mixed afterwards.
        line.map(|line| line.most_volume).map_err(|error| words(&error))
    }

    fn batches(&self, adhesive: &Adhesive) -> Result<(Volume, Volume, Batches), String> {
        let joint = self.joint()?;
        let lost = Ratio::new::<percent>(self.given("lost").unwrap_or(LOST_PERCENT));
        let needed = volume_to_mix(joint, lost).map_err(|error| words(&error))?;
        let by = match self.given("syringe") {
            Some(step) => MeasuredBy::Syringe(Volume::new::<milliliter>(step)),
            None => MeasuredBy::Scale(Mass::new::<gram>(self.given("scale").unwrap_or(SCALE_G))),
        };
        let none = Mass::new::<gram>(0.0);
        let batches = adhesive
            .product
            .batches(needed, by, adhesive.most_in_one_cup, none)
            .map_err(|error| words(&error))?;
        Ok((joint, needed, batches))
    }

    pub(super) fn mix(&self) -> Worked {
        let adhesive = self.adhesive()?;
        let (joint, needed, batches) = self.batches(adhesive)?;
        let each = batches.each;
        let mut figure = self.made(MIX_SOURCE);
        figure.rows.push(row("Product", adhesive.title.clone()));
        if batches.count > 1 {
            figure.rows.push(row(
                "Cups, one after the other",
                format!("{}, each as follows", batches.count),
            ));
        }
        let both = |mass, volume| {
            format!(
                "{} by weight, or {} by volume",
                self.units.mass(mass),
                self.units.liquid(volume)
            )
        };
        figure.rows.push(row("Resin", both(each.resin, each.resin_volume)));
        figure.rows.push(row("Hardener", both(each.hardener, each.hardener_volume)));
        figure.rows.push(row(
            "The joint holds at most",
            format!(
                "{}; with what is squeezed out and stays in the cup {}",
                self.units.liquid(joint),
                self.units.liquid(needed)
            ),
        ));
        figure.rows.push(row(
            "Off the ratio",
            format!(
                "{:.1} % at most as it is read; the product bears {:.1} %",
                each.at_most_off.get::<percent>(),
                adhesive.product.tolerance().get::<percent>()
            ),
        ));
        figure.warnings.extend(batches.warnings.iter().map(words));
        figure.sketch = Some(Sketch::Shares(vec![
            ("Resin".to_owned(), each.resin.get::<gram>()),
            ("Hardener".to_owned(), each.hardener.get::<gram>()),
        ]));
        Ok(figure)
    }

    pub(super) fn working_time(&self) -> Worked {
        let adhesive = self.adhesive()?;
        let mut figure = self.made(POT_SOURCE);
        let batch = match self.batches(adhesive) {
            Ok((_, _, batches)) => batches.each.mass(),
            Err(_) => adhesive.pot_life.mass,
        };
        let mixed = self.clock(ClockKind::WorkingTime);
        let since = mixed.map_or(0.0, |clock| seconds(self.now - clock.started.at));
        let warmest = self
            .since_mixing(mixed.map_or(self.now, |clock| clock.started.at))
            .into_iter()
            .map(|(_, celsius)| celsius)
            .reduce(f64::max);
        let time = working_time(
            &adhesive.pot_life,
            batch,
            warmest.map(celsius),
            adhesive.activation(),
            Time::new::<second>(since),
        )
        .map_err(|error| words(&error))?;
        let shown = |time: Time| format!("{:.0} min", time.get::<minute>().floor());
        figure.rows.push(row("Product", adhesive.title.clone()));
        figure.rows.push(row(
            format!("{} in one cup, from the first touch", self.units.mass(batch)),
            shown(time.whole),
        ));
        if mixed.is_some() {
            figure.rows.push(row("Left now", shown(time.left)));
        }
        figure.warnings.push(HOW_ROUGH.to_owned());
        figure.warnings.extend(time.warnings.iter().map(words));
        Ok(figure)
    }

    /// Readings of the room from the last one before `from` on.
    fn since_mixing(&self, from: Moment) -> Vec<(Moment, f64)> {
        cure::readings(self.state, &self.run.station, from, self.now)
    }

    pub(super) fn cure(&self) -> Worked {
        let adhesive = self.adhesive()?;
        let mut figure = self.made(CURE_SOURCE);
        let made = self.clock(ClockKind::Cure).map_or(self.now, |clock| clock.started.at);
        let since = |at: Moment| seconds(at - made);
        let mut readings: Vec<Reading> = self
            .since_mixing(made)
            .into_iter()
            .map(|(at, value)| Reading { at: since(at), temperature: celsius(value) })
            .collect();
        let Some(last) = readings.last().copied() else {
            return Err(
                "The temperature of the room was never read. Read the thermometer, and write it down in the step or on the Air screen."
                    .to_owned(),
            );
        };
        // A reading stands for a while; a forgotten thermometer proves nothing.
        let now = since(self.now);
        if now - last.at <= LONGEST_GAP_S {
            readings.push(Reading { at: now.max(last.at), ..last });
        } else {
            figure.warnings.push(
                "The thermometer was not read for more than six hours. Read it now and write it down: until then this figure counts nothing since, while the clock of the cure takes the room to be as it was read last."
                    .to_owned(),
            );
        }
        let progress =
            adhesive.cure.progress(&readings, 0.0, now.max(0.0)).map_err(|error| words(&error))?;
        figure.rows.push(row("Product", adhesive.title.clone()));
        figure.rows.push(row("The room, as read last", self.units.temperature(last.temperature)));
        let mut marks = Vec::new();
        for (milestone, progress) in &progress {
            let cure = adhesive.cure.towards(*milestone);
            let ready = cure.ready_in(progress, last.temperature).map_err(|error| words(&error))?;
            let label = match milestone {
                Milestone::Handle => "Handle after",
                Milestone::Load => "Load after",
                Milestone::FullCure => "Full cure",
            };
            figure.rows.push(row(label, self.moment_words(&ready)));
            if let (Some(likely), Some(latest)) = (ready.likely, ready.latest) {
                marks.push(TimeMark {
                    label: label.to_owned(),
                    minutes: likely.get::<minute>(),
                    latest: latest.get::<minute>(),
                });
            }
            for warning in &progress.warnings {
                let told = warning.to_string();
                if !figure.warnings.contains(&told) {
                    figure.warnings.push(told);
                }
            }
        }
        figure.warnings.push(
            "Plan by the latest time, and try a leftover of the same cup first. What is not cured through can make skin allergic, and so can its dust."
                .to_owned(),
        );
        figure.sketch = Some(Sketch::Times(marks));
        Ok(figure)
    }

    fn moment_words(&self, ready: &ReadyIn) -> String {
        let at = |time: Time| self.time_of_day(time);
        match (ready.likely, ready.latest) {
            (_, Some(latest)) if latest.get::<second>() <= 0.0 => "reached".to_owned(),
            (Some(likely), Some(latest)) if at(likely) == at(latest) => at(latest),
            (Some(likely), Some(latest)) => {
                format!("{} likely, {} at the latest", at(likely), at(latest))
            }
            (Some(likely), None) => {
                format!(
                    "{} likely; how late it may be can't be said at this temperature",
                    at(likely)
                )
            }
            (None, _) => "never at this temperature: warm the room".to_owned(),
        }
    }

    /// So long from now, as a time of day; up to the next five minutes, never down.
    fn time_of_day(&self, from_now: Time) -> String {
        // A century is "never" at a bench.
        let most = 100.0 * 365.0 * 24.0 * 3600.0;
        let at = self.now + TimeDelta::seconds(whole(from_now.get::<second>().ceil().min(most)));
        let past = at.timestamp().rem_euclid(FIVE_MINUTES);
        let at = at + TimeDelta::seconds((FIVE_MINUTES - past) % FIVE_MINUTES);
        if at.date_naive() == self.now.date_naive() {
            at.format("%H:%M").to_string()
        } else {
            at.format("%a %-d %b %H:%M").to_string()
        }
    }

    pub(super) fn sleeve(&self) -> Worked {
        let sleeve = self.sleeve_file()?;
        let kind = self.asked.part.unwrap_or(PartKind::RearGrip);
        let under = self.rod.plan.part(kind).ok_or_else(|| {
            format!("No {} is written down to put it on. Add it on the rod's sheet.", kind.words())
        })?;
        let own = self.rod.plan.part(PartKind::Sleeve).unwrap_or(under);
        let largest = millimetres(under.diameter_mm);
        let smallest = under.thinnest.as_ref().map_or(largest, |thin| millimetres(thin.value));
        let covered = Covered { passes: largest, largest, smallest };
        let mut window = sleeve.window();
        if sleeve.clearance.is_none() {
            window.clearance = millimetres(CLEARANCE_MM);
        }
        let size = choose_size(&sleeve.sizes, &covered, &window).map_err(|error| words(&error))?;
        let on = recovered_on(size, largest, Ratio::new::<ratio>(0.0));
        let on = on.map_err(|error| words(&error))?;
        let tuck = millimetres(self.given("tuck").unwrap_or(0.0));
        let cut = cut_length(millimetres(own.to_mm - own.from_mm), tuck, sleeve.length_change)
            .map_err(|error| words(&error))?;
        let mut figure = self.made(SLEEVE_SOURCE);
        figure.rows.push(row("Sleeve", format!("{}, size {}", sleeve.title, size.name())));
        figure.rows.push(row("Cut", self.units.distance(cut.length)));
        figure
            .rows
            .push(row("Of that to tuck under the seat or the end", self.units.distance(tuck)));
        figure.rows.push(row(
            "Outside after shrinking",
            format!(
                "{}, a wall of {}",
                self.units.diameter(on.outside),
                self.units.diameter(on.wall)
            ),
        ));
        figure.rows.push(row("Fully shrunk at", self.units.temperature(sleeve.shrinks.full)));
        figure.warnings.extend(on.warning.iter().chain(&cut.warning).map(words));
        if under.thinnest.is_none() {
            figure.warnings.push(format!(
                "The thinnest place of the {} is not written down: it is taken to be {} throughout.",
                kind.words(),
                self.units.diameter(largest)
            ));
        }
        Ok(figure)
    }

    /// Judged by what the step's own value says that core and resin bear.
    pub(super) fn heat_beneath(&self) -> Worked {
        let sleeve = self.sleeve_file()?;
        let mut figure = self.made(HEAT_SOURCE);
        figure.rows.push(row("Begins to shrink at", self.units.temperature(sleeve.shrinks.begins)));
        figure.rows.push(row("Fully shrunk at", self.units.temperature(sleeve.shrinks.full)));
        let asked = self.step.record.as_ref().map(|record| record.measure);
        if asked != Some(Measure::Temperature) {
            return Err(
                "The step measures no temperature to judge by. Give it a record that does."
                    .to_owned(),
            );
        }
        let value = self.run.steps.get(&self.step.id).and_then(|step| step.values.last());
        let bears = value.map(|value| celsius(value.reading.value));
        let margin = self.given("margin").unwrap_or(MARGIN_K);
        let margin = TemperatureInterval::new::<kelvins>(margin);
        let mut beneath = vec![Beneath { name: "the core beneath".to_owned(), bears }];
        // Where its sheet says no more, it bears what it is made to bear.
        beneath.extend(Some(sleeve.itself()).filter(|itself| itself.bears.is_some()));
        let judged = under_heat(&sleeve.shrinks, margin, &beneath);
        let judged = judged.map_err(|error| words(&error))?;
        if judged.iter().all(|heat| *heat == UnderHeat::Bears) {
            let kelvin = margin.get::<kelvins>();
            let told = format!("yes, with {kelvin:.0} K ({:.0} °F) to spare or more", kelvin * 1.8);
            figure.rows.push(row("All of it bears full shrinkage", told));
        }
        let told = beneath.iter().zip(judged).filter_map(|(one, heat)| heat.told(&one.name));
        figure.warnings.extend(told);
        figure.warnings.push(HOTTER.to_owned());
        Ok(figure)
    }

    /// When gloves that were worn so long are to be changed.
    fn change(&self, worn: Time) -> Result<(&'a Glove, ChangeBy), String> {
        let glove = self.glove()?;
        let open: Vec<OpenMaterial> = self
            .asked
            .open
            .iter()
            .map(|id| OpenMaterial { name: self.named(id), breakthrough: glove.breakthrough(id) })
            .collect();
        let movement = glove.movement(self.asked.open.iter().map(String::as_str));
        let by = change_by(&open, worn, movement)
            .map_err(|error| words(&error))?
            .ok_or("The checklist names nothing that is open. Write open = [\"…\"] in it.")?;
        Ok((glove, by))
    }

    /// How many whole minutes fresh gloves may be worn, at least one.
    pub(super) fn fresh_gloves_last(&self) -> Option<u32> {
        let (_, by) = self.change(Time::new::<second>(0.0)).ok()?;
        u32::try_from(whole(by.after.get::<minute>().floor()).max(1)).ok()
    }

    pub(super) fn gloves(&self) -> Worked {
        let worn = self.clock(ClockKind::GloveChange).filter(|clock| clock.ended.is_none());
        let worn = worn.map_or(0.0, |clock| seconds(self.now - clock.started.at));
        let (glove, by) = self.change(Time::new::<second>(worn))?;
        let mut figure = self.made(GLOVE_SOURCE);
        figure.rows.push(row("Gloves", format!("{}, {}", glove.title, glove.made_of)));
        let after = by.after.get::<minute>().floor();
        figure.rows.push(row("Change them at the latest after", format!("{after:.0} min")));
        figure.rows.push(row("Because of", by.because.clone()));
        if by.contact_means_now {
            figure.rows.push(row("After any splash", "change them at once"));
        }
        figure.warnings.push(WASH.to_owned());
        figure.warnings.extend(by.warnings.iter().map(words));
        Ok(figure)
    }

    /// A material's title, or its id where its file is not there.
    fn named(&self, id: &str) -> String {
        let texts = self.run.products.iter().filter_map(|digest| self.state.texts.get(digest));
        let found =
            texts.filter_map(|text| text.checklist.as_ref()).find(|checklist| checklist.id() == id);
        match found {
            Some(Checklist::Material(material)) => material.title.clone(),
            _ => id.to_owned(),
        }
    }
}

fn seconds(span: TimeDelta) -> f64 {
    span.as_seconds_f64()
}

#[expect(clippy::cast_possible_truncation, reason = "a century of seconds at most")]
fn whole(seconds: f64) -> i64 {
    seconds as i64
}
