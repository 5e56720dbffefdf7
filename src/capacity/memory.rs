//! Every source of a value that is recalled from memory.
//!
//! Aim: tell a misspelt confirmation from one that this roof does not need. Reason: a text that matches no source would
//! confirm nothing in silence. Limits: texts only; a test compares them with the sources of the values.

/// Texts of all sources that are, at least for one value, from memory.
pub const FROM_MEMORY: &[&str] = &[
    "EN 1995-1-1 3.2(3) (3.1)",
    "EN 1995-1-1 6.1.6 and 2.4.1",
    "EN 1995-1-1 6.1.7, kcr 0.67",
    "EN 1995-1-1 Table 3.1",
    "EN 1995-1-1 Table 2.3 (recommended values)",
    "EN 1995-1-1 8.3.2 (8.25), (8.26)",
    "EN 1995-1-1 8.3.2(7)",
    "EN 1995-1-1 8.3.1.1 (8.15), (8.16)",
    "EN 1995-1-1 8.5.1.1 (8.31) to (8.33)",
    "EN 1995-1-1 8.3.1.1 (8.14)",
    "EN 1995-1-1 8.7.1(3): 1.1 times the root",
    "EN 1995-1-1 8.2.2 (8.6)",
    "EN 1995-1-1 8.3.1.2",
    "EN 1995-1-1 2.4.3",
    "EN 1995-1-1 8.3.3 (8.27)",
    "EN 1995-1-1 8.3.3 (8.28)",
    "EN 1995-1-1 8.3.2(8)",
    "EN 1995-1-1 Table 8.2, rho_k up to 420 kg/m3, not predrilled",
    "EN 1995-1-1+A1 Table 8.6",
    "EN 1995-1-1 8.3.1.2(6) (8.18)",
    "ASTM F1667 and NDS-2018 Appendix L",
    "NDS-2018 Appendix L Table L3",
    "NDS-2018 Appendix L Table L2",
    "NDS-2018 Table I1",
    "NDS-2018 12.3.5.3",
    "NDS-2018 Appendix L: thread two thirds of the length",
    "0.008 in below the shank, as in the AWC table of post-frame nails",
    "EN 1995-1-1 8.3.1.1 and EN 14592: wire of at least 600 N/mm2",
    "ASCE 7-16 4.8.2",
    "ASCE 7-16 2.4.1",
    "ASCE 7-22 2.4.1",
    "EN 1990 6.4.3.2 (6.10) and Tables A1.1, A1.2",
    "NDS Supplement 2018 Table 4A factors",
    "NDS-2018 4.3.9",
    "NDS-2018 3.3.2 and Table 4.3.1",
    "NDS-2018 3.4.2",
    "ASCE 7-16 Table 4.3-1: 300 lbf",
    "NDS-2018 Table 2.3.2",
    "NDS-2018 Table 11.3.3",
    "NDS-2018 Table 11.3.3, the smaller of two recalled values",
    "NDS-2018 Table 11.3.4",
    "NDS-2018 11.5.4",
    "NDS-2018 eq. 12.2-4",
    "NDS-2018 eq. 12.2-5",
    "NDS-2018 eq. 12.2-6",
    "NDS-2018 12.1.5, 12.1.6 and 12.3.5.3",
    "NDS-2018 Table 12.3.1B",
    "NDS-2018 12.4",
    "NDS-2018 12.3.1 and AWC TR12",
    "NDS-2018 Table 11.3.1",
    "NDS-2018 commentary Table C12.1.5.6",
    "ASCE 7 eq. 7.3-1 and 7.4-1",
    "ASCE 7-16 Figure 7.4-1",
    "NBC 2015 4.1.6.2",
    "EN 1991-1-3 5.2 and Table 5.2",
    "ASCE 7 Table 26.6-1",
    "ASCE 7 Table 26.13-1 (7-10: 26.11-1)",
    "ASCE 7 30.2.2: 16 psf at strength level",
    "ASCE 7 2.4.1",
    "ASCE 7-16 Table 26.10-1",
    "ASCE 7-22 Table 26.10-1",
    "ASCE 7-16 eq. 26.10-1",
    "ASCE 7-22 eq. 26.10-1 and 30.3-1",
    "ASCE 7 Table 26.9-1",
    "overhang: the coefficient is net of both faces",
    "EN 1991-1-4 Table 4.1",
    "EN 1991-1-4 4.3 to 4.5 (recommended values)",
    "EN 1991-1-4 7.2.1 and Tables 7.4",
    "EN 1991-1-4 7.2.9(6) note 2",
    "NDS-2018 Table 12.3.3A",
    "NDS Supplement 2018 Table 4A",
    "EN 338:2016 Table 1",
    "figures of the edition, layout of the zones",
    "figures of the edition, layout of the zones, the case of this roof",
    "EN 1991-1-4 5.2 and 7.2.9(6) note 2",
    "EN 1991-1-4 Figure 7.8",
    "ASCE 7-10 Figures 30.4-2 and 30.4-5",
    "ASCE 7-16 Figures 30.3-2 and 30.3-5",
    "ASCE 7-22 Figure 30.3-2",
    "ASCE 7-16 4.3.3 and 7.5.1 (loads in parts)",
    "EN 1990 1.5.3.8 (a free action, taken in parts)",
];

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::FROM_MEMORY;

    fn texts(folder: &Path, into: &mut Vec<(String, String)>) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                texts(&path, into);
            } else if path.extension().is_some_and(|e| e == "rs") && !path.ends_with("memory.rs") {
                let text = std::fs::read_to_string(&path).unwrap();
                for part in text.split("Source::new(").skip(1) {
                    let mut quoted = part.splitn(3, '"');
                    if quoted.next().is_none_or(|before| !before.trim().is_empty()) {
                        continue;
                    }
                    let (text, rest) = (quoted.next().unwrap().to_owned(), quoted.next().unwrap());
                    into.push((text, rest.chars().take_while(|c| *c != ')').collect()));
                }
            }
        }
    }

    #[test]
    fn all_sources_from_memory_are_listed_and_no_others() {
        let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
        let mut all = Vec::new();
        texts(&src.join("capacity"), &mut all);
        texts(&src.join("check/strength"), &mut all);
        let recalled = |mark: &str| ["FromMemory", "Shaky", "mark"].iter().any(|m| mark.contains(m));
        let found: Vec<&str> = all.iter().filter(|(_, m)| recalled(m)).map(|(t, _)| t.as_str()).collect();
        assert!(found.len() > 60, "{}", found.len());
        let lacking: Vec<&&str> = found.iter().filter(|t| !FROM_MEMORY.contains(t)).collect();
        assert!(lacking.is_empty(), "{lacking:?}");
        // The figures of the wind's coefficients are chosen by edition.
        let figures =
            FROM_MEMORY.iter().filter(|t| t.contains("Figure") && t.starts_with("ASCE 7-") && t.contains("30."));
        let strange = FROM_MEMORY.iter().filter(|t| !found.contains(t)).collect::<Vec<_>>();
        assert_eq!(strange, figures.collect::<Vec<_>>());
    }
}
