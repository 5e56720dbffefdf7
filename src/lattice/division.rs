//! Where a course is divided into boards.
//!
//! Joints fall on lines, each as far along as the longest board reaches, with no piece shorter than the least and no
//! joint above another within the stagger. What cannot be had is given up in this order: stagger, least piece, a line.

/// A place where a joint may stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// The line.
    pub line: u32,
    /// x of the joint.
    pub x: f64,
}

/// What a division must keep to, metres.
#[derive(Clone, Copy, Debug)]
pub struct Rule {
    /// Longest board.
    pub longest: f64,
    /// Least piece.
    pub least: f64,
    /// What a joint adds to each of its two pieces (half a lap; minus half a gap).
    pub overlap: f64,
    /// Boards start at the right end.
    pub from_right: bool,
}

/// A joint: over a line, or over nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joint {
    /// The line; `None` for want of one in reach.
    pub line: Option<u32>,
    /// x of the joint.
    pub x: f64,
}

/// Joints of one stretch of a course, from left to right.
pub fn divide(x0: f64, x1: f64, candidates: &[Candidate], taken: &[u32], rule: &Rule) -> Vec<Joint> {
    // Worked from the starting side; mirrored on the way in and on the way out.
    let turn = |x: f64| if rule.from_right { x0 + x1 - x } else { x };
    let mut places: Vec<Candidate> =
        candidates.iter().map(|c| Candidate { x: turn(c.x), ..*c }).filter(|c| c.x > x0 && c.x < x1).collect();
    places.sort_by(|a, b| a.x.total_cmp(&b.x));
    let mut joints = Vec::new();
    let mut at = x0;
    let mut begins = 0.0;
    while x1 - at + begins > rule.longest + 1e-9 {
        let far = at - begins + rule.longest - rule.overlap;
        let pick = |stagger: bool, least: bool| {
            places
                .iter()
                // Never a scrap: a joint over nothing is flagged, a scrap is only silly.
                .filter(|c| c.x > at + rule.least / 4.0 && c.x <= far + 1e-9)
                .filter(|c| !stagger || !taken.contains(&c.line))
                .rfind(|c| !least || (c.x - at + begins >= rule.least && x1 - c.x + rule.overlap >= rule.least))
        };
        let joint = match pick(true, true).or_else(|| pick(false, true)).or_else(|| pick(false, false)) {
            Some(c) => Joint { line: Some(c.line), x: c.x },
            None => Joint { line: None, x: far },
        };
        if joint.x <= at + 1e-6 {
            break;
        }
        joints.push(joint);
        at = joint.x;
        begins = rule.overlap;
    }
    for j in &mut joints {
        j.x = turn(j.x);
    }
    if rule.from_right {
        joints.reverse();
    }
    joints
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines() -> Vec<Candidate> {
        (0..21).map(|i| Candidate { line: i, x: 0.6 * f64::from(i) + 0.02 }).collect()
    }

    const RULE: Rule = Rule { longest: 4.8, least: 1.2, overlap: 0.0, from_right: false };

    #[test]
    fn joints_stand_on_lines_and_pieces_keep_their_lengths() {
        let joints = divide(0.0, 12.0, &lines(), &[], &RULE);
        assert_eq!(joints.iter().map(|j| j.line).collect::<Vec<_>>(), vec![Some(7), Some(15)]);
        let staggered = divide(0.0, 12.0, &lines(), &[7, 15], &RULE);
        assert!(staggered.iter().all(|j| j.line != Some(7) && j.line != Some(15)));
        let mut ends = vec![0.0];
        ends.extend(staggered.iter().map(|j| j.x));
        ends.push(12.0);
        assert!(ends.windows(2).all(|w| w[1] - w[0] <= 4.8 + 1e-9 && w[1] - w[0] >= 1.2));
    }

    #[test]
    fn from_the_right_is_the_mirror_image() {
        let mirrored: Vec<Candidate> = lines().iter().map(|c| Candidate { x: 12.0 - c.x, ..*c }).collect();
        let left = divide(0.0, 12.0, &lines(), &[], &RULE);
        let mut right = divide(0.0, 12.0, &mirrored, &[], &Rule { from_right: true, ..RULE });
        right.reverse();
        assert_eq!(left.len(), right.len());
        for (a, b) in left.iter().zip(&right) {
            assert_eq!(a.line, b.line);
            assert!((a.x - (12.0 - b.x)).abs() < 1e-9);
        }
    }

    #[test]
    fn without_a_line_in_reach_the_joint_stands_over_nothing() {
        let joints = divide(0.0, 6.0, &[Candidate { line: 0, x: 5.9 }], &[], &RULE);
        assert_eq!(joints.len(), 1);
        assert_eq!(joints[0].line, None);
    }
}
