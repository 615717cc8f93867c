//! One stage of a rod in large type: from its text and the rod's figures to the printed page's plain
//! data.

use crate::build_log::figure_record;
use crate::error::ShellError;
use crate::pages::{
    as_if_begun, clock_words, heat_words, imprint, in_hand, left_out, notices, rod_name, stage_text,
};
use crate::workshop::Workshop;
use coldbench_record as page;
use coldbench_record::{BenchSheet, BenchStep};
use coldbench_shop::checklist::{FigureKind, Stage, Step};
use coldbench_shop::figure::{KeptFigure, figures};
use coldbench_shop::{Moment, Rod, RodId, StageId, StageRun, State, StepPlace};

/// A stage of a rod, with its figures as they are now.
pub fn bench_sheet(
    workshop: &Workshop,
    id: &RodId,
    stage: &StageId,
    paper: page::Paper,
) -> Result<BenchSheet, ShellError> {
    let state = as_if_begun(workshop, id, stage)?;
    let (rod, run, text) = in_hand(&state, id, stage)?;
    let imprint = imprint(workshop, paper)?;
    let here = Here { state: &state, id, rod, run, text, now: imprint.printed };
    Ok(BenchSheet {
        rod: rod_name(id, rod),
        text: stage_text(text, &run.digest),
        notices: notices(rod, text),
        steps: (1..).zip(&text.steps).map(|(number, step)| here.step(number, step)).collect(),
        imprint,
    })
}

/// A stage in hand, or as if it were.
struct Here<'a> {
    state: &'a State,
    id: &'a RodId,
    rod: &'a Rod,
    run: &'a StageRun,
    text: &'a Stage,
    now: Moment,
}

impl Here<'_> {
    fn step(&self, number: u32, step: &Step) -> BenchStep {
        let place =
            StepPlace { rod: self.id.clone(), stage: self.text.id.clone(), step: step.id.clone() };
        let signed = self.run.steps.get(&step.id).filter(|did| did.done.is_some());
        let figures = match signed {
            Some(did) => did.figures.iter().map(figure_record).collect(),
            // Moments that are reckoned from now are past or wrong when the sheet is read.
            None => figures(self.state, &place, self.now)
                .iter()
                .filter(|figure| figure.name != FigureKind::Cure.name())
                .map(|figure| figure_record(&KeptFigure::from(figure)))
                .collect(),
        };
        BenchStep {
            number,
            what: step.what.clone(),
            key_point: step.key_point.clone(),
            caution: step.caution.clone(),
            wear: step.wear.clone(),
            heat: heat_words(step),
            value: step.record.as_ref().map(|record| (record.name.clone(), record.limits.clone())),
            figures,
            also: self.also(step),
            left_out: left_out(self.rod, self.run, step),
        }
    }

    /// The lot, the clocks and the witness.
    fn also(&self, step: &Step) -> Vec<String> {
        let words = |clock| clock_words(self.state, Some(self.run), clock);
        let named = |id| self.text.clock(id).map(|(_, clock)| clock.name.clone());
        let lot = step.lot.iter().map(|lot| format!("Name the lot of: {}.", lot.trim()));
        let starts = step.starts.iter().map(|clock| format!("Starts a clock. {}", words(clock)));
        let waits = step.waits_for.iter().filter_map(named);
        let waits = waits.map(|name| format!("Waits until this clock has run out: {name}."));
        let ends = step.ends.iter().filter_map(named);
        let ends = ends.map(|name| format!("Ends this clock: {name}."));
        let witness =
            step.needs_witness().then(|| "A lead witnesses it, where a helper does it.".to_owned());
        waits.chain(lot).chain(starts).chain(ends).chain(witness).collect()
    }
}
