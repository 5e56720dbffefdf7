//! Adjustment factors of the NDS for connections.
//!
//! Aim: load duration, moisture, temperature, tilt. Reason: each is a table of its own. Limits: dowel-type fasteners in side
//! grain; the group action and geometry factors are 1 for fasteners under 1/4 in.

use crate::capacity::source::{Known, Mark, Source};

/// The shortest load of a combination decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Duration {
    /// Dead load.
    Permanent,
    /// Occupancy live load.
    TenYears,
    /// Snow.
    TwoMonths,
    /// Roof live load, construction.
    SevenDays,
    /// Wind.
    TenMinutes,
}

impl Duration {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Permanent => "permanent",
            Self::TenYears => "ten years",
            Self::TwoMonths => "two months",
            Self::SevenDays => "seven days",
            Self::TenMinutes => "ten minutes",
        }
    }

    /// Load duration factor CD.
    #[must_use]
    pub const fn factor(self) -> Known {
        const SOURCE: Source = Source::new("NDS-2018 Table 2.3.2", Mark::FromMemory);
        let value = match self {
            Self::Permanent => 0.9,
            Self::TenYears => 1.0,
            Self::TwoMonths => 1.15,
            Self::SevenDays => 1.25,
            Self::TenMinutes => 1.6,
        };
        Known::new(value, SOURCE)
    }
}

/// Moisture when built and in service; the border is 19 %.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Moisture {
    /// Dry when built, dry in service.
    #[default]
    Dry,
    /// Wet when built, dry in service.
    WetThenDry,
    /// Dry when built, wet in service.
    DryThenWet,
    /// Wet always.
    Wet,
}

/// Sustained temperature of the wood in service.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Temperature {
    /// Up to 100 F (37.8 C).
    #[default]
    Normal,
    /// Above 100 F up to 125 F (51.7 C).
    Warm,
    /// Above 125 F up to 150 F (65.6 C).
    Hot,
}

const MOISTURE: Source = Source::new("NDS-2018 Table 11.3.3", Mark::FromMemory);
const MOISTURE_DOUBT: Source = Source::new("NDS-2018 Table 11.3.3, the smaller of two recalled values", Mark::Shaky);
const TEMPERATURE_WOOD: Source = Source::new("NDS-2018 Table 2.3.3", Mark::FromMemory);
const TEMPERATURE: Source = Source::new("NDS-2018 Table 11.3.4", Mark::FromMemory);
/// Toe-nail factors.
pub(super) const TOE_NAIL: Source = Source::new("NDS-2018 11.5.4", Mark::FromMemory);

impl Moisture {
    /// Whether the wood is wet in service.
    #[must_use]
    pub const fn wet_in_service(self) -> bool {
        matches!(self, Self::DryThenWet | Self::Wet)
    }

    /// CM for withdrawal of smooth nails.
    #[must_use]
    pub const fn smooth_withdrawal(self) -> Known {
        Known::new(if matches!(self, Self::Dry | Self::Wet) { 1.0 } else { 0.25 }, MOISTURE)
    }

    /// CM for withdrawal of screws.
    #[must_use]
    pub const fn screw_withdrawal(self) -> Known {
        Known::new(if self.wet_in_service() { 0.7 } else { 1.0 }, MOISTURE)
    }

    /// CM for withdrawal of ring-shank nails: the smooth nail's factor and 0.7 when wet in service, the smaller.
    #[must_use]
    pub const fn ring_withdrawal(self) -> Known {
        match self {
            Self::Dry => Known::new(1.0, MOISTURE),
            Self::Wet => Known::new(0.7, MOISTURE_DOUBT),
            Self::WetThenDry | Self::DryThenWet => Known::new(0.25, MOISTURE_DOUBT),
        }
    }

    /// CM for head pull-through.
    #[must_use]
    pub const fn pull_through(self) -> Known {
        if self.wet_in_service() { Known::new(0.7, MOISTURE_DOUBT) } else { Known::new(1.0, MOISTURE) }
    }

    /// CM for lateral load, D below 1/4 in; larger fasteners in wood that dries get 0.4.
    #[must_use]
    pub const fn lateral(self, thin: bool) -> Known {
        let value = match self {
            Self::Dry => 1.0,
            Self::WetThenDry if !thin => 0.4,
            Self::WetThenDry | Self::DryThenWet | Self::Wet => 0.7,
        };
        Known::new(value, MOISTURE)
    }
}

impl Temperature {
    /// That of wood that stays this hot, in kelvin; `None` above 150 F, for which the NDS has none.
    #[must_use]
    pub fn of(kelvin: f64) -> Option<Self> {
        // A hundredth of a degree of grace for converted degrees.
        let fahrenheit = (kelvin - 273.15) * 1.8 + 32.0 - 0.01;
        match fahrenheit {
            f if f <= 100.0 => Some(Self::Normal),
            f if f <= 125.0 => Some(Self::Warm),
            f if f <= 150.0 => Some(Self::Hot),
            _ => None,
        }
    }

    /// Ct of a board's bending, shear and compression across the grain.
    #[must_use]
    pub const fn strength(self, wet_in_service: bool) -> Known {
        let value = match (self, wet_in_service) {
            (Self::Normal, _) => 1.0,
            (Self::Warm, false) => 0.8,
            (Self::Warm, true) | (Self::Hot, false) => 0.7,
            (Self::Hot, true) => 0.5,
        };
        Known::new(value, TEMPERATURE_WOOD)
    }

    /// Ct of the modulus of elasticity.
    #[must_use]
    pub const fn stiffness(self) -> Known {
        Known::new(if matches!(self, Self::Normal) { 1.0 } else { 0.9 }, TEMPERATURE_WOOD)
    }

    /// Ct for connections.
    #[must_use]
    pub const fn factor(self, wet_in_service: bool) -> Known {
        let value = match (self, wet_in_service) {
            (Self::Normal, _) => 1.0,
            (Self::Warm, false) => 0.8,
            (Self::Warm, true) | (Self::Hot, false) => 0.7,
            (Self::Hot, true) => 0.5,
        };
        Known::new(value, TEMPERATURE)
    }
}
