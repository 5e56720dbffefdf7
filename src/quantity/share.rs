//! Shares and chances as text.

use super::show::trimmed;
use crate::quantity::maths::log10;

/// A share or chance as people say it: `12 %`, `0.27 %`, two digits that count; `below 0.001 %` and `above 99.999 %` at
/// the ends.
#[must_use]
pub fn show_share(share: f64) -> String {
    let percent = share * 100.0;
    if !percent.is_finite() {
        "no usable number".to_owned()
    } else if percent <= 0.0 {
        "0 %".to_owned()
    } else if percent < 0.001 {
        "below 0.001 %".to_owned()
    } else if percent >= 100.0 {
        "100 %".to_owned()
    } else if percent > 99.999 {
        "above 99.999 %".to_owned()
    } else {
        // Near one it is the distance from one that counts.
        let size = percent.min(100.0 - percent);
        let decimals = if size >= 10.0 { 0 } else { (1.0 - log10(size).floor()).clamp(1.0, 4.0) as usize };
        format!("{} %", trimmed(percent, decimals))
    }
}

#[cfg(test)]
mod tests {
    use super::show_share;

    #[test]
    fn shares_show_two_digits_that_count() {
        let table = [
            (0.0, "0 %"),
            (1e-9, "below 0.001 %"),
            (0.002_699_8, "0.27 %"),
            (0.01, "1 %"),
            (0.062_4, "6.2 %"),
            (0.339, "34 %"),
            (0.987_6, "98.8 %"),
            (0.999_999_9, "above 99.999 %"),
            (1.0, "100 %"),
        ];
        for (share, text) in table {
            assert_eq!(show_share(share), text);
        }
        assert_eq!(show_share(f64::NAN), "no usable number");
    }
}
