//! A figure in a step, as it crosses.

use crate::views::{FigureView, SectionView, SketchView, TimeMarkView};
use coldbench_shop::figure::{FigureRow, KeptFigure, Section, Sketch, StepFigure};

/// A figure as it is now.
pub(super) fn figure(figure: &StepFigure) -> FigureView {
    FigureView { sketch: figure.sketch.as_ref().map(sketch), ..kept(&KeptFigure::from(figure)) }
}

/// A figure as it stood when its step was signed.
pub(super) fn kept(figure: &KeptFigure) -> FigureView {
    let row = |row: &FigureRow| (row.label.clone(), row.value.clone());
    FigureView {
        name: figure.name.clone(),
        title: figure.title.clone(),
        rows: figure.rows.iter().map(row).collect(),
        warnings: figure.warnings.clone(),
        source: figure.source.clone(),
        sketch: None,
        missing: figure.missing.clone(),
    }
}

fn sketch(sketch: &Sketch) -> SketchView {
    let none = SketchView { section: None, shares: Vec::new(), times: Vec::new() };
    match sketch {
        Sketch::Section(cut) => SketchView { section: Some(section(cut)), ..none },
        Sketch::Shares(shares) => SketchView { shares: shares.clone(), ..none },
        Sketch::Times(times) => SketchView {
            times: times
                .iter()
                .map(|mark| TimeMarkView {
                    label: mark.label.clone(),
                    minutes: mark.minutes,
                    latest: mark.latest,
                })
                .collect(),
            ..none
        },
    }
}

fn section(cut: &Section) -> SectionView {
    SectionView {
        blank: cut.blank.clone(),
        bore: cut.bore.clone(),
        goal: cut.goal.clone(),
        outside: cut.outside.clone(),
        bands: cut.bands.clone(),
        marks: cut.marks.clone(),
    }
}
