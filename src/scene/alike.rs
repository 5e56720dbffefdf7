//! Findings that say the same but for names and numbers; and numbers as people write them.

use std::collections::BTreeSet;

use super::FindingRecord;

/// Findings of one check and verdict whose messages are alike; there is at least one.
pub struct Alike<'f> {
    /// The first of them.
    pub first: &'f FindingRecord,
    others: Vec<&'f FindingRecord>,
}

impl<'f> Alike<'f> {
    /// Findings in their order, those that are alike together.
    pub fn groups(findings: &'f [FindingRecord]) -> Vec<Alike<'f>> {
        let mut all: Vec<(Vec<&str>, Alike<'f>)> = Vec::new();
        for f in findings {
            let shape = shape(&f.message);
            let alike = |(s, g): &&mut (Vec<&str>, Alike<'f>)| {
                g.first.check == f.check && g.first.verdict == f.verdict && *s == shape
            };
            match all.iter_mut().find(alike) {
                Some((_, group)) => group.others.push(f),
                None => all.push((shape, Alike { first: f, others: Vec::new() })),
            }
        }
        all.into_iter().map(|(_, group)| group).collect()
    }

    /// Their numbers.
    pub fn numbers(&self) -> Vec<usize> {
        std::iter::once(self.first).chain(self.others.iter().copied()).map(|f| f.number).collect()
    }

    /// Names of the others, each once and no more than `most`; empty where there is none.
    pub fn likewise(&self, most: usize) -> String {
        // A clash is of two parts; everything else has one to look at.
        let parts = if self.first.check == "clash" { 2 } else { 1 };
        let name = |f: &FindingRecord| f.parts.iter().take(parts).cloned().collect::<Vec<_>>().join(" with ");
        let mut seen = BTreeSet::new();
        let mut names: Vec<String> = self.others.iter().map(|f| name(f)).filter(|n| !n.is_empty()).collect();
        names.retain(|n| seen.insert(n.clone()));
        let again = name(self.first);
        for n in names.iter_mut().filter(|n| **n == again) {
            *n = format!("{n} once more");
        }
        let more = names.len().saturating_sub(most);
        names.truncate(most);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        names.join(", ") + &more
    }
}

/// A message without its names, numbers and sides.
fn shape(message: &str) -> Vec<&str> {
    let plain = |w: &&str| !w.chars().any(|c| c.is_ascii_digit()) && !matches!(*w, "left" | "right");
    message.split_whitespace().filter(plain).collect()
}

/// Numbers that follow one another, as first and last; each number counts once.
pub fn runs(mut numbers: Vec<usize>) -> Vec<(usize, usize)> {
    numbers.sort_unstable();
    numbers.dedup();
    numbers.chunk_by(|a, b| a + 1 == *b).filter_map(|run| Some((*run.first()?, *run.last()?))).collect()
}

/// Numbers as people write them: `1, 3-5`; no more than `most` of such.
pub fn ranges(numbers: Vec<usize>, most: usize) -> String {
    let runs = runs(numbers);
    let shown = |(a, b): &(usize, usize)| if a == b { a.to_string() } else { format!("{a}-{b}") };
    let few = runs.iter().take(most).map(shown).collect::<Vec<_>>().join(", ");
    if runs.len() > most { few + ", ..." } else { few }
}

#[cfg(test)]
mod tests {
    use super::super::SourceRecord;
    use super::*;
    use crate::check::Verdict;

    fn finding(number: usize, check: &str, message: &str, parts: &[&str]) -> FindingRecord {
        FindingRecord {
            number,
            check: check.into(),
            verdict: Verdict::Fail,
            message: message.into(),
            parts: parts.iter().map(|p| (*p).to_owned()).collect(),
            stands_for: 1,
            place: None,
            evidence: Vec::new(),
            mends: Vec::new(),
            advice: Vec::new(),
            source: SourceRecord { line: None, text: String::new() },
        }
    }

    #[test]
    fn alike_are_those_of_one_check_that_say_the_same_but_for_names() {
        let all = [
            finding(1, "run-too-long", "S-B01.1 hangs over 20 in", &["S-B01.1", "S-B01.L02"]),
            finding(2, "clash", "S-B01.1 overlaps S-V01 by 1 in", &["S-B01.1", "S-V01"]),
            finding(3, "run-too-long", "S-B02.1 hangs over 30 in", &["S-B02.1"]),
            finding(4, "end-run-too-long", "S-B02.1 hangs over 30 in", &["S-B02.1"]),
            finding(5, "clash", "S-B02.1 overlaps S-V02 by 1 in", &["S-B02.1", "S-V02"]),
        ];
        let groups = Alike::groups(&all);
        let said: Vec<(Vec<usize>, String)> = groups.iter().map(|g| (g.numbers(), g.likewise(4))).collect();
        assert_eq!(
            said,
            [
                (vec![1, 3], "S-B02.1".to_owned()),
                (vec![2, 5], "S-B02.1 with S-V02".to_owned()),
                (vec![4], String::new())
            ]
        );
    }

    #[test]
    fn a_name_is_said_once() {
        let names = ["A1", "A1", "A2", "A2", "A3", "A4"];
        let all: Vec<FindingRecord> =
            names.iter().enumerate().map(|(i, n)| finding(i + 1, "clash", "it hangs", &[n])).collect();
        let groups = Alike::groups(&all);
        assert_eq!(groups[0].numbers(), [1, 2, 3, 4, 5, 6]);
        assert_eq!(groups[0].likewise(2), "A1 once more, A2 and 2 more");
        assert_eq!(groups[0].likewise(4), "A1 once more, A2, A3, A4");
    }

    #[test]
    fn numbers_that_follow_one_another_are_a_range() {
        assert_eq!(ranges(vec![9, 3, 1, 2, 7, 8, 12, 3], 9), "1-3, 7-9, 12");
        assert_eq!(ranges(vec![9, 3, 1, 2, 7, 8, 12, 3], 2), "1-3, 7-9, ...");
        assert_eq!(ranges(vec![], 4), "");
    }
}
