//! Every number of `trade` against something outside the project. Each check names its source.

#![allow(clippy::unwrap_used)]

mod adhesive;
mod air;
mod air_curve;
mod air_ignition;
mod airflow;
mod bend;
mod conversions;
mod fit;
mod guides;
mod skin;
mod sleeve;
mod spine;

use coldbench_trade::{LengthUnit, Measure, parse_measure};

/// The value of `text` in the kept unit of `measure`.
fn measured(text: &str, measure: Measure) -> f64 {
    parse_measure(text, measure, LengthUnit::Millimetre).unwrap()
}
