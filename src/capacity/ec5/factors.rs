//! kmod and the partial factors of Eurocode 5, solid timber.

use crate::capacity::source::{Known, Mark, Source};

/// Load-duration class; the shortest load of a combination decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Duration {
    /// Self-weight.
    Permanent,
    /// Storage.
    Long,
    /// Imposed floor load.
    Medium,
    /// Snow, maintenance.
    Short,
    /// Wind.
    Instantaneous,
}

impl Duration {
    /// In words: the class of load duration.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Permanent => "permanent",
            Self::Long => "long-term",
            Self::Medium => "medium-term",
            Self::Short => "short-term",
            Self::Instantaneous => "instantaneous",
        }
    }
}

/// Service class: 1 heated, 2 covered, 3 exposed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ServiceClass {
    /// Up to 65 % humidity for most of the year.
    One,
    /// Up to 85 %.
    Two,
    /// Above.
    Three,
}

/// kmod of solid timber.
#[must_use]
pub const fn kmod(duration: Duration, class: ServiceClass) -> Known {
    const SOURCE: Source = Source::new("EN 1995-1-1 Table 3.1", Mark::FromMemory);
    let exposed = matches!(class, ServiceClass::Three);
    let value = match duration {
        Duration::Permanent => {
            if exposed {
                0.5
            } else {
                0.6
            }
        }
        Duration::Long => {
            if exposed {
                0.55
            } else {
                0.7
            }
        }
        Duration::Medium => {
            if exposed {
                0.65
            } else {
                0.8
            }
        }
        Duration::Short => {
            if exposed {
                0.7
            } else {
                0.9
            }
        }
        Duration::Instantaneous => {
            if exposed {
                0.9
            } else {
                1.1
            }
        }
    };
    Known::new(value, SOURCE)
}

const PARTIAL: Source = Source::new("EN 1995-1-1 Table 2.3 (recommended values)", Mark::FromMemory);
/// Partial factor of connections.
pub const GAMMA_CONNECTION: Known = Known::new(1.3, PARTIAL);
/// Partial factor of solid timber.
pub const GAMMA_TIMBER: Known = Known::new(1.3, PARTIAL);
