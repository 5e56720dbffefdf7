//! Nominal lumber sizes.
//!
//! Source: voluntary product standard PS 20 (American Softwood Lumber Standard), dressed dry sizes; values `from memory`
//! of the standard as listed in common handbooks.

use crate::quantity::Length;

/// Dressed thickness and width of a nominal size such as `2x10` or `1x4`; `None` for a size that the table lacks.
pub fn dressed(nominal: &str) -> Option<(Length, Length)> {
    let cleaned: String = nominal.trim().to_ascii_lowercase().chars().filter(|c| !c.is_whitespace()).collect();
    let (thick, wide) = cleaned.split_once('x')?;
    let thickness = match thick {
        "1" => 0.75,
        "5/4" => 1.0,
        "2" => 1.5,
        "4" => 3.5,
        "6" => 5.5,
        _ => return None,
    };
    let width = match wide {
        "2" => 1.5,
        "3" => 2.5,
        "4" => 3.5,
        "5" => 4.5,
        "6" => 5.5,
        "8" => 7.25,
        "10" => 9.25,
        "12" => 11.25,
        _ => return None,
    };
    (thickness <= width).then(|| (Length::from_inches(thickness), Length::from_inches(width)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// PS 20, dressed dry: 1x4 is 3/4 by 3 1/2, 2x10 is 1 1/2 by 9 1/4 (`from memory`).
    #[test]
    fn sizes_of_the_standard() {
        let inches = |n: &str| {
            dressed(n)
                .map(|(t, w)| ((t.metres() / 0.0254 * 1e6).round() / 1e6, (w.metres() / 0.0254 * 1e6).round() / 1e6))
        };
        assert_eq!(inches("1x4"), Some((0.75, 3.5)));
        assert_eq!(inches("1x3"), Some((0.75, 2.5)));
        assert_eq!(inches("1x6"), Some((0.75, 5.5)));
        assert_eq!(inches("1x8"), Some((0.75, 7.25)));
        assert_eq!(inches("2x2"), Some((1.5, 1.5)));
        assert_eq!(inches("2 x 10"), Some((1.5, 9.25)));
        assert_eq!(inches("2x12"), Some((1.5, 11.25)));
        assert_eq!(inches("5/4x4"), Some((1.0, 3.5)));
        assert_eq!(inches("3x4x5"), None);
        assert_eq!(inches("2x7"), None);
    }
}
