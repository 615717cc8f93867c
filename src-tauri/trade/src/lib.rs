//! The figures of the trade: pure functions over quantities with units.
//!
//! This crate knows no other crate of ours, does no I/O and never asks what time it is.
//! Every number that a person will act on carries its unit in its type (`uom`), and each
//! function names the source of its formula and the range in which it holds.

pub mod adhesive;
pub mod air;
mod airflow;
pub mod bend;
mod blank;
pub mod fit;
pub mod guides;
mod length;
mod quantity;
mod shown;
pub mod skin;
pub mod sleeve;
pub mod spine;

pub use airflow::{
    AirflowError, Window, air_changes_per_hour, fan_flow, measured_flow, rated_flow, traverse_flow,
    window_flow,
};
pub use blank::{Blank, BlankError, Measured};
pub use length::{
    LengthError, LengthUnit, in_inches, in_millimetres, millimetres, parse_length, show_length,
    unit_written,
};
pub use quantity::{Measure, QuantityError, parse_measure};
pub use shown::{LengthForm, LiquidForm, MassForm, TemperatureForm, Units};

/// The quantity types used across the crates, so that nobody needs to name `uom` twice.
pub mod units {
    pub use uom::si::angle::{degree, radian};
    pub use uom::si::area::square_meter;
    pub use uom::si::curvature::{degree_per_meter, radian_per_meter};
    pub use uom::si::energy::joule;
    pub use uom::si::f64::{
        Angle, Area, Curvature, Energy, Force, Frequency, Length, LinearMassDensity, Mass,
        MassDensity, MolarEnergy, MolarMass, Pressure, Ratio, SurfaceTension, TemperatureInterval,
        ThermodynamicTemperature, Time, Torque, Velocity, Volume, VolumeRate,
    };
    pub use uom::si::force::newton;
    pub use uom::si::frequency::hertz;
    pub use uom::si::length::{inch, meter, millimeter};
    pub use uom::si::linear_mass_density::kilogram_per_meter;
    pub use uom::si::mass::{gram, kilogram};
    pub use uom::si::mass_density::{gram_per_cubic_centimeter, milligram_per_cubic_meter};
    pub use uom::si::molar_energy::kilojoule_per_mole;
    pub use uom::si::molar_mass::gram_per_mole;
    pub use uom::si::pressure::{gigapascal, pascal};
    pub use uom::si::ratio::{part_per_million, percent, ratio};
    pub use uom::si::surface_tension::newton_per_meter;
    pub use uom::si::temperature_interval::kelvin as kelvins;
    pub use uom::si::thermodynamic_temperature::degree_celsius;
    pub use uom::si::time::{hour, minute, second};
    pub use uom::si::torque::newton_meter;
    pub use uom::si::velocity::meter_per_second;
    pub use uom::si::volume::{cubic_meter, liter, milliliter};
    pub use uom::si::volume_rate::cubic_meter_per_hour;
}
