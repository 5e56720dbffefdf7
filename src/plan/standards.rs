//! Names in a design that only the tables of standards know: sources, species, strength classes, grades.
//!
//! Aim: a misspelt name is a fault with its place, like every other one. Reason: a source that matches nothing would confirm
//! nothing in silence, and a species that no table has would leave a roof unchecked. Limits: a grade is judged only where the
//! tables have grades of its species.

use crate::capacity::wood::{self, Species};
use crate::capacity::{FROM_MEMORY, NotComputed};
use crate::design::{DefaultInForce, Design, Diagnostic, Given, Origin, RuleSet, nearest};
use crate::quantity::Density;

/// Puts in what follows from these names: battens weigh what their wood weighs, where no density is written.
pub fn settle(design: &mut Design) {
    const NDS: &str = "that of the wood of strength.battens at 15 % moisture, by the density formula of the NDS supplement (from memory)";
    const EN: &str = "the mean density of the class of strength.battens, EN 338 (from memory)";
    const KEY: &str = "lattice.batten.density";
    let Some(spec) = &design.loads.strength else { return };
    let Some(battens) = &spec.battens else { return };
    let rules = spec.rules.as_ref().map(|r| r.value);
    let species = wood::species(&battens.value).ok().filter(|_| rules != Some(RuleSet::Ec5));
    let class = wood::strength_class(&battens.value).ok().filter(|_| rules != Some(RuleSet::Nds));
    let (density, why) = match (species, class) {
        (Some(species), _) => (species.density(), NDS),
        (None, Some(class)) => (class.mean_density(), EN),
        (None, None) => return,
    };
    let given = &mut design.lattice.batten.density;
    if !matches!(given.origin, Origin::Default(_)) {
        return;
    }
    *given = Given { value: Density::from_kg_per_m3(density), origin: Origin::Default(why) };
    for d in design.defaults.iter_mut().filter(|d| d.key == KEY) {
        *d = DefaultInForce { key: KEY.to_owned(), value: format!("{density:.0} kg/m3"), why };
    }
}

/// Every name that no table has.
pub fn unknown_names(design: &Design, source: &str) -> Vec<Diagnostic> {
    let mut all = unknown_sources(design, source);
    all.extend(unknown_woods(design, source));
    all
}

/// A fault at a text that stands on the line of its origin.
fn fault(source: &str, given: &Given<String>, key: String, message: String, hint: String) -> Diagnostic {
    let line = given.origin.line().unwrap_or(1).saturating_sub(1);
    let start: usize = source.split_inclusive('\n').take(line).map(str::len).sum();
    let rest = source.get(start..).unwrap_or_default();
    // The value in its quotes first: a short name may stand in a key as well.
    let quoted = rest.find(&format!("\"{}\"", given.value)).map(|k| k + 1);
    let at = quoted.or_else(|| rest.find(given.value.as_str())).map_or(start, |k| start + k);
    Diagnostic { message, key, span: at..(at + given.value.len()).min(source.len()), hint }
}

/// Confirmed texts that are no source of a value from memory.
fn unknown_sources(design: &Design, source: &str) -> Vec<Diagnostic> {
    let confirmed = design.loads.strength.iter().flat_map(|s| &s.confirmed).enumerate();
    let unknown = confirmed.filter(|(_, c)| !FROM_MEMORY.contains(&c.value.trim()));
    unknown
        .map(|(i, c)| {
            let apart = |text: &str| strsim::levenshtein(&c.value.to_lowercase(), &text.to_lowercase());
            let nearest = FROM_MEMORY.iter().min_by_key(|t| apart(t));
            let message = format!("\"{}\" is no source of a value from memory", c.value);
            let hint = format!("did you mean \"{}\"?", nearest.copied().unwrap_or_default());
            fault(source, c, format!("strength.confirmed[{}]", i + 1), message, hint)
        })
        .collect()
}

/// Species, strength classes and grades that the tables lack.
fn unknown_woods(design: &Design, source: &str) -> Vec<Diagnostic> {
    let strength = design.loads.strength.as_ref();
    let rules = strength.and_then(|s| s.rules.as_ref()).map(|r| r.value);
    let of = |key: &str, given: &Given<String>| {
        let (what, known) = unknown(rules, &given.value)?;
        Some(fault(
            source,
            given,
            key.to_owned(),
            format!("\"{}\" is no {what}", given.value),
            hint(&given.value, &known),
        ))
    };
    let mut all = Vec::new();
    for (key, given) in
        strength.into_iter().flat_map(|s| [("strength.members", &s.members), ("strength.battens", &s.battens)])
    {
        all.extend(given.as_ref().and_then(|g| of(key, g)));
    }
    all.extend(design.woods.iter().filter_map(|w| of(&format!("{}.wood", w.table), &w.wood)));
    if let Some((battens, grade)) = strength.and_then(|s| s.battens.as_ref().zip(s.grade.as_ref()))
        && rules == Some(RuleSet::Nds)
        && let Ok(species) = wood::species(&battens.value)
    {
        all.extend(unknown_grade(species, grade, source));
    }
    all
}

/// What a name should be and is not, with the names that are known; `None` for a known one. Without a rule set it may be of
/// either.
fn unknown(rules: Option<RuleSet>, name: &str) -> Option<(&'static str, Vec<&'static str>)> {
    let species = wood::species(name).err();
    let class = wood::strength_class(name).err();
    let known = |e: NotComputed| if let NotComputed::Unknown { known, .. } = e { known } else { Vec::new() };
    match rules {
        Some(RuleSet::Nds) => species.map(|e| ("species of the NDS", known(e))),
        Some(RuleSet::Ec5) => class.map(|e| ("strength class of EN 338", known(e))),
        None => {
            let both = |(s, c): (NotComputed, NotComputed)| known(s).into_iter().chain(known(c)).collect();
            species.zip(class).map(|e| ("species of the NDS and no strength class of EN 338", both(e)))
        }
    }
}

fn unknown_grade(species: &Species, grade: &Given<String>, source: &str) -> Option<Diagnostic> {
    let NotComputed::Unknown { known, .. } = wood::grade(species, &grade.value).err()? else { return None };
    if known.is_empty() {
        return None;
    }
    let message = format!("\"{}\" is no grade of {} that is known", grade.value, species.name);
    Some(fault(source, grade, "strength.grade".to_owned(), message, hint(&grade.value, &known)))
}

fn hint(name: &str, known: &[&str]) -> String {
    let list = format!("known are: {}", known.join(", "));
    match nearest(name, known.iter().copied()) {
        Some(near) => format!("did you mean \"{near}\"? {list}"),
        None => list,
    }
}
