//! Straight or bent: the line of a member from its marks, by weighted least squares.
//!
//! The error of a mark is stated, so the error of the fit follows from it and from where the marks stand; nothing is guessed
//! from the scatter. A member is called bent when the bow of a parabola through its marks is larger than chance would make it
//! in one of a hundred straight members ([`STRAIGHT_CALLED_BENT`]). The other error depends on the marks: [`Fit::seen_bow`]
//! is the bow that is missed in one of a hundred members ([`BENT_CALLED_STRAIGHT`]).

use nalgebra::{Matrix3, Vector3};

/// How often a straight member is called bent.
pub const STRAIGHT_CALLED_BENT: f64 = 0.01;
/// How often a member that is bowed by [`Fit::seen_bow`] is called straight.
pub const BENT_CALLED_STRAIGHT: f64 = 0.01;
/// Quantiles of the standard normal distribution (printed in every table of it): two-sided 1 %, one-sided 1 %, two-sided 5 %.
const TWO_SIDED_1: f64 = 2.575_829_3;
const ONE_SIDED_1: f64 = 2.326_347_9;
const TWO_SIDED_5: f64 = 1.959_964;
/// Marks nearer than this along a member stand at one place, metres.
pub const ONE_PLACE: f64 = 0.01;

/// A measured offset of a member's centre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Along the member from its lower (or left) end, metres.
    pub along: f64,
    /// From its drawn line, to the right or up, metres.
    pub off: f64,
    /// Standard deviation of `off`, metres.
    pub error: f64,
}

/// What a member is taken for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Marks at one place: as drawn, moved aside.
    Moved,
    /// Straight.
    Straight,
    /// Bent.
    Bent,
}

/// The line through the marks of one member.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// What it is taken for.
    pub form: Form,
    /// First and last mark along the member, metres.
    pub span: (f64, f64),
    /// The bow that was tested, metres at the middle of the span; `None` with marks at fewer than three places.
    pub bow: Option<f64>,
    /// The least bow that would have been seen in 99 of 100 members, metres; `None` likewise.
    pub seen_bow: Option<f64>,
    coefficients: Vector3<f64>,
    covariance: Matrix3<f64>,
    middle: f64,
    half: f64,
}

/// Fits the marks of one member; `None` without marks, or where their numbers make no sense.
pub fn fit(points: &[Point]) -> Option<Fit> {
    let mut along: Vec<f64> = points.iter().map(|p| p.along).collect();
    along.sort_by(f64::total_cmp);
    let span = (*along.first()?, *along.last()?);
    let mut places = 1;
    let mut last = span.0;
    for at in along {
        if at - last > ONE_PLACE {
            places += 1;
            last = at;
        }
    }
    let (middle, half) = ((span.0 + span.1) / 2.0, ((span.1 - span.0) / 2.0).max(ONE_PLACE));
    let solved = |degree: usize| solve(points, middle, half, degree);
    let with = |form: Form, (coefficients, covariance): (Vector3<f64>, Matrix3<f64>)| Fit {
        form,
        span,
        bow: None,
        seen_bow: None,
        coefficients,
        covariance,
        middle,
        half,
    };
    if places < 2 {
        return Some(with(Form::Moved, solved(0)?));
    }
    let straight = with(Form::Straight, solved(1)?);
    if places < 3 {
        return Some(straight);
    }
    let Some(bent) = solved(2) else { return Some(straight) };
    // On the span's own scale the middle of a parabola lies by its last coefficient off the line through its ends.
    let (bow, error) = (bent.0[2], bent.1[(2, 2)].max(0.0).sqrt());
    let is_bent = bow.abs() > TWO_SIDED_1 * error;
    let fit = if is_bent { with(Form::Bent, bent) } else { straight };
    Some(Fit { bow: Some(-bow), seen_bow: Some((TWO_SIDED_1 + ONE_SIDED_1) * error), ..fit })
}

fn row(along: f64, middle: f64, half: f64, degree: usize) -> Vector3<f64> {
    let t = (along - middle) / half;
    Vector3::new(1.0, if degree > 0 { t } else { 0.0 }, if degree > 1 { t * t } else { 0.0 })
}

fn solve(points: &[Point], middle: f64, half: f64, degree: usize) -> Option<(Vector3<f64>, Matrix3<f64>)> {
    let mut normal = Matrix3::zeros();
    let mut right = Vector3::zeros();
    for p in points {
        let weight = 1.0 / (p.error * p.error);
        let a = row(p.along, middle, half, degree);
        normal += a * a.transpose() * weight;
        right += a * (weight * p.off);
    }
    // What is not fitted stays zero.
    for k in degree + 1..3 {
        normal[(k, k)] = 1.0;
    }
    let mut covariance = normal.try_inverse()?;
    let coefficients = covariance * right;
    for k in degree + 1..3 {
        covariance[(k, k)] = 0.0;
    }
    let finite = coefficients.iter().chain(covariance.iter()).all(|v| v.is_finite());
    finite.then_some((coefficients, covariance))
}

impl Fit {
    fn degree(&self) -> usize {
        match self.form {
            Form::Moved => 0,
            Form::Straight => 1,
            Form::Bent => 2,
        }
    }

    /// The centre's offset at a place along the member, metres. A bent one is taken no further than its marks reach.
    pub fn at(&self, along: f64) -> f64 {
        self.row(along).dot(&self.coefficients)
    }

    /// Half of the interval that holds the true centre in 95 of 100 surveys, metres.
    pub fn error(&self, along: f64) -> f64 {
        let a = self.row(along);
        TWO_SIDED_5 * (self.covariance * a).dot(&a).max(0.0).sqrt()
    }

    fn row(&self, along: f64) -> Vector3<f64> {
        let along = if self.form == Form::Bent { along.clamp(self.span.0, self.span.1) } else { along };
        row(along, self.middle, self.half, self.degree())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(offs: &[(f64, f64)]) -> Vec<Point> {
        offs.iter().map(|(along, off)| Point { along: *along, off: *off, error: 0.002 }).collect()
    }

    #[test]
    fn lines_and_parabolas_come_back() {
        let moved = fit(&points(&[(1.0, 0.01), (1.005, 0.012)])).unwrap();
        assert_eq!(moved.form, Form::Moved);
        assert!((moved.at(5.0) - 0.011).abs() < 1e-12);
        // Two marks: the mean's error is the mark's over the square root of two.
        assert!((moved.error(0.0) - 1.959964 * 0.002 / 2f64.sqrt()).abs() < 1e-9);
        let straight = fit(&points(&[(0.0, 0.01), (2.0, 0.02), (4.0, 0.03)])).unwrap();
        assert_eq!(straight.form, Form::Straight);
        assert!((straight.at(6.0) - 0.04).abs() < 1e-12);
        let bent = fit(&points(&[(0.0, 0.0), (1.0, 0.03), (2.0, 0.04), (3.0, 0.03), (4.0, 0.0)])).unwrap();
        assert_eq!(bent.form, Form::Bent);
        assert!((bent.bow.unwrap() - 0.04).abs() < 1e-9 && (bent.at(2.0) - 0.04).abs() < 1e-12);
        // It is not carried on past its marks.
        assert_eq!(bent.at(9.0), bent.at(4.0));
    }

    /// Error of a mean value at x from a straight line through n marks: s sqrt(1/n + (x - m)^2 / sum of squares), as in
    /// textbooks of regression (from memory).
    #[test]
    fn the_error_is_that_of_the_textbooks() {
        let at = [0.0, 1.0, 2.5, 4.0];
        let fit = fit(&points(&at.map(|a| (a, 0.0)))).unwrap();
        let mean = at.iter().sum::<f64>() / 4.0;
        let squares: f64 = at.iter().map(|a| (a - mean).powi(2)).sum();
        for x in [0.0, 1.7, 6.0] {
            let expected = 1.959964 * 0.002 * (0.25 + (x - mean).powi(2) / squares).sqrt();
            assert!((fit.error(x) - expected).abs() < 1e-9, "{x}");
        }
    }

    #[test]
    fn nothing_comes_of_nothing() {
        assert_eq!(fit(&[]), None);
        assert_eq!(fit(&points(&[(0.0, f64::NAN)])), None);
        assert_eq!(fit(&[Point { along: 0.0, off: 0.0, error: 0.0 }]), None);
    }
}
