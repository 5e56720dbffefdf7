//! Money and shares: whole hundredths, so that a total is the sum of its rows to the last cent.
//!
//! Aim: prices and percentages as people write them. Reason: binary fractions cannot hold a cent. Limits: two decimals,
//! no currency (its name is text of its own), nothing below zero; a share is a percentage below 100.

use std::str::FromStr;

use super::error::{QuantityError, quoted};

const HINT: &str = "write it as \"12.40\": digits, at most two behind a point";
const SHARE_HINT: &str = "write a percentage, such as \"3 %\"";
/// No price of one thing is larger.
const DEAREST: u64 = 10_000_000_000;

/// An amount of money in whole hundredths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Money(u64);

impl Money {
    /// Hundredths.
    #[must_use]
    pub const fn hundredths(self) -> u64 {
        self.0
    }
}

impl FromStr for Money {
    type Err = QuantityError;

    /// Reads `12`, `12.4` or `12.40`.
    fn from_str(text: &str) -> Result<Self, QuantityError> {
        let bad = || QuantityError::new(format!("{} is no price", quoted(text)), HINT);
        let (whole, part) = text.trim().split_once('.').unwrap_or((text.trim(), "0"));
        let digits = |t: &str, most: usize| !t.is_empty() && t.len() <= most && t.bytes().all(|b| b.is_ascii_digit());
        if !digits(whole, 12) || !digits(part, 2) {
            return Err(bad());
        }
        let whole: u64 = whole.parse().map_err(|_| bad())?;
        let hundredths: u64 = part.parse().map_err(|_| bad())?;
        let all = whole * 100 + if part.len() == 1 { hundredths * 10 } else { hundredths };
        if all > DEAREST {
            return Err(QuantityError::new(format!("{} is beyond any price", quoted(text)), HINT));
        }
        Ok(Money(all))
    }
}

/// A share between nothing and all, in hundredths of a percent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Percentage(u64);

impl Percentage {
    /// From hundredths of a percent.
    #[must_use]
    pub const fn from_hundredths_of_percent(hundredths: u64) -> Self {
        Self(hundredths)
    }

    /// As a fraction of one.
    #[must_use]
    pub fn fraction(self) -> f64 {
        self.0 as f64 / 10_000.0
    }

    /// As people say it: `3 %`, `2.5 %`.
    #[must_use]
    pub fn show(self) -> String {
        let text = format!("{}.{:02}", self.0 / 100, self.0 % 100);
        format!("{} %", text.trim_end_matches('0').trim_end_matches('.'))
    }
}

impl FromStr for Percentage {
    type Err = QuantityError;

    /// Reads `3 %` or `2.5%`.
    fn from_str(text: &str) -> Result<Self, QuantityError> {
        let number = text.trim().strip_suffix('%').map(str::trim_end);
        let read = number.and_then(|n| n.parse::<Money>().ok()).map(Money::hundredths);
        match read {
            Some(h) if h < 10_000 => Ok(Percentage(h)),
            Some(_) => Err(QuantityError::new(format!("{} is all or more", quoted(text)), SHARE_HINT)),
            None => Err(QuantityError::new(format!("{} is no percentage", quoted(text)), SHARE_HINT)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prices_are_whole_hundredths() {
        for (text, hundredths) in [("12", 1200), ("12.4", 1240), ("12.40", 1240), (" 0.05 ", 5), ("0", 0)] {
            assert_eq!(text.parse::<Money>().unwrap().hundredths(), hundredths, "{text}");
        }
        for text in ["", ".", "12.", ".5", "-1", "1,20", "1.234", "1e3", "$5", "99999999999999", "1.2.3"] {
            assert!(text.parse::<Money>().is_err(), "{text}");
        }
    }

    #[test]
    fn shares_are_percentages() {
        for (text, shown, fraction) in [("3 %", "3 %", 0.03), ("2.5%", "2.5 %", 0.025), ("0 %", "0 %", 0.0)] {
            let share: Percentage = text.parse().unwrap();
            assert_eq!(share.show(), shown);
            assert!((share.fraction() - fraction).abs() < 1e-12);
        }
        for text in ["3", "100 %", "%", "-1 %", "0.03"] {
            assert!(text.parse::<Percentage>().is_err(), "{text}");
        }
    }
}
