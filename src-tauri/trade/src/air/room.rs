//! A room, its ventilation and what has evaporated in it.

use super::vapour::{Emitted, ExposurePeriod, Vapour, above_zero, zero_or_more};
use super::{AirError, Curve};
use uom::si::f64::{Volume, VolumeRate};
use uom::si::volume::cubic_meter;
use uom::si::volume_rate::cubic_meter_per_second;

/// How far the air of a room falls short of mixing at once and everywhere.
///
/// Two opposite conventions are in print. ACGIH's K is 1 or more and *divides* the flow (1 to 10;
/// purge times are multiplied by it: MMWR 1994;43(RR-13)). Crowl and Louvar's k is at most 1 and
/// *multiplies* the flow (0.1 to 0.5). K = 5 is k = 0.2; hence no constructor called just `new`.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct MixingFactor(f64);

impl MixingFactor {
    /// From ACGIH's K, which divides the flow: 1 (perfect mixing) or more.
    pub fn dividing_the_flow(k: f64) -> Result<Self, AirError> {
        if k >= 1.0 && k.is_finite() { Ok(Self(k)) } else { Err(AirError::MixingDivisor) }
    }

    /// From the k that multiplies the flow: above 0, at most 1 (perfect mixing).
    pub fn multiplying_the_flow(k: f64) -> Result<Self, AirError> {
        let divisor = 1.0 / k;
        if k > 0.0 && k <= 1.0 && divisor.is_finite() {
            Ok(Self(divisor))
        } else {
            Err(AirError::MixingMultiplier)
        }
    }

    /// ACGIH's K, 1 or more.
    pub fn divisor(self) -> f64 {
        self.0
    }

    /// The k that multiplies the flow, at most 1.
    pub fn multiplier(self) -> f64 {
        1.0 / self.0
    }
}

/// Most air changes in a second that are taken; beyond it a unit was mistaken.
const FASTEST: f64 = 1000.0;

/// A room as one well-mixed volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    volume: Volume,
    mixing: MixingFactor,
}

impl Room {
    /// A room of this volume (of air; less what stands in it) above zero.
    pub fn new(volume: Volume, mixing: MixingFactor) -> Result<Self, AirError> {
        if above_zero(volume.get::<cubic_meter>()) {
            Ok(Self { volume, mixing })
        } else {
            Err(AirError::RoomVolume)
        }
    }

    /// The volume.
    pub fn volume(&self) -> Volume {
        self.volume
    }

    /// The mixing factor.
    pub fn mixing(&self) -> MixingFactor {
        self.mixing
    }

    /// Share of the room's air replaced in a second, `Q / (K V)`; the flow zero or more.
    pub(super) fn decay_rate(&self, flow: VolumeRate) -> Result<f64, AirError> {
        let flow = flow.get::<cubic_meter_per_second>();
        let rate = flow / (self.mixing.divisor() * self.volume.get::<cubic_meter>());
        if !zero_or_more(flow) {
            Err(AirError::Flow)
        } else if rate > FASTEST {
            Err(AirError::TooLarge)
        } else {
            Ok(rate)
        }
    }
}

/// The ventilation flow over a time for which a reading stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flow {
    /// From when, s.
    pub from: f64,
    /// Until when, s; infinity for a flow that runs on. After it, until the next flow begins, no
    /// air is taken to move.
    pub until: f64,
    /// The flow of fresh air, zero or more.
    pub rate: VolumeRate,
}

/// Vapour given off into the room.
#[derive(Debug, Clone, PartialEq)]
pub struct Release {
    /// From when, s.
    pub from: f64,
    /// Until when, s: equal to `from` for all at once, else at a steady rate in between.
    pub until: f64,
    /// How much of each vapour, in all.
    pub vapours: Vec<Emitted>,
}

/// All that is recorded of the air of one room: the flows and the releases.
///
/// The model: `V dC = G dt - (Q / K) C dt` (well-mixed room; University of Toledo, industrial
/// ventilation formulae). The air is clean before the first release. Fresh air brings no vapour
/// in. Nothing is drawn off at the source or taken up by surfaces, so the mean is on the high side;
/// near the liquid it is far higher.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomAir {
    room: Room,
    /// Time and decay rate from then on, in order of time.
    rates: Vec<(f64, f64)>,
    releases: Vec<Release>,
}

impl RoomAir {
    /// The air of `room` with these flows and releases, each in any order. Flows may not overlap.
    /// A time without a flow counts as no flow.
    pub fn new(room: Room, mut flows: Vec<Flow>, releases: Vec<Release>) -> Result<Self, AirError> {
        flows.sort_by(|a, b| a.from.total_cmp(&b.from));
        let mut rates: Vec<(f64, f64)> = Vec::with_capacity(2 * flows.len());
        for flow in &flows {
            if !flow.from.is_finite() || flow.until.is_nan() {
                return Err(AirError::Time);
            }
            if flow.until <= flow.from {
                return Err(AirError::Interval);
            }
            if rates.last().is_some_and(|&(end, _)| end > flow.from) {
                return Err(AirError::FlowsOverlap);
            }
            // Where the next flow begins just at this one's end, its rate is the one that counts.
            rates.push((flow.from, room.decay_rate(flow.rate)?));
            rates.push((flow.until, 0.0));
        }
        for release in &releases {
            if !(release.from.is_finite() && release.until.is_finite()) {
                return Err(AirError::Time);
            }
            if release.until < release.from {
                return Err(AirError::Interval);
            }
            for Emitted { vapour, volume } in &release.vapours {
                if !zero_or_more(volume.get::<cubic_meter>()) {
                    return Err(AirError::Amount { what: vapour.name.clone() });
                }
            }
        }
        Ok(Self { room, rates, releases })
    }

    /// The course of the sum of all vapours, each weighed by `weight`: with weight 1 for one
    /// vapour and 0 for the rest, its share of the air's volume (times 10⁶: ppm).
    pub fn weighed(
        &self,
        weight: impl Fn(&Vapour) -> Result<f64, AirError>,
    ) -> Result<Curve, AirError> {
        let volume = self.room.volume.get::<cubic_meter>();
        let mut amounts = Vec::with_capacity(self.releases.len());
        for release in &self.releases {
            let mut amount = 0.0;
            for Emitted { vapour, volume } in &release.vapours {
                let weight = weight(vapour)?;
                if !zero_or_more(weight) {
                    return Err(AirError::Level);
                }
                amount += weight * volume.get::<cubic_meter>();
            }
            amounts.push((release.from, release.until, amount / volume));
        }
        Curve::new(&self.rates, amounts)
    }

    /// The fraction of the lower flammable limit, `sum(C_i / LFL_i)` (Le Chatelier), over time. An
    /// error if the limit of any vapour released is unknown.
    pub fn fraction_of_lower_limit(&self) -> Result<Curve, AirError> {
        self.weighed(Vapour::per_lower_limit)
    }

    /// The exposure index `sum(C_i / L_i)` over time with the limits for `period`: its average over
    /// that period is what 29 CFR 1910.1000(d)(2)(i) keeps at or below 1. An error if such a limit
    /// of any vapour released is unknown.
    pub fn exposure_index(&self, period: ExposurePeriod) -> Result<Curve, AirError> {
        self.weighed(|vapour| vapour.per_exposure_limit(period))
    }
}
