//! What if: the same roof with one thing changed, laid out and solved again.

use super::flow::{Case, Weather, flows};
use super::space::{Layers, Space};
use crate::airflow::Trouble;
use crate::design::Design;
use crate::lattice::{self, Lattice};
use crate::quantity::Length;
use crate::structure::{State, Structure};

/// One changed roof.
#[derive(Clone, Debug, PartialEq)]
pub struct WhatIf {
    /// What is changed.
    pub what: String,
    /// Which layers it has.
    pub layers: Layers,
    /// Cells with a way, and all cells.
    pub cells: (usize, usize),
    /// Flow in the likely case, m3/s: the least and the most of the answers found; or why there is none.
    pub flow: Result<(f64, f64), Trouble>,
}

/// Heights of strips that shops sell, inches.
const HEIGHTS: [(f64, &str); 3] = [(0.375, "3/8 in"), (0.5, "1/2 in"), (0.75, "3/4 in")];

/// A design laid out, of which only layers or the weather change.
struct Laid<'a> {
    design: &'a Design,
    found: Structure,
    lattice: Lattice,
}

impl<'a> Laid<'a> {
    fn out(design: &'a Design) -> Laid<'a> {
        let drawn = Structure::build(design, State::Drawn);
        let found = Structure::build(design, State::Found);
        let lattice = lattice::lay(design, &drawn, &found);
        Laid { design, found, lattice }
    }

    fn with(&self, what: &str, weather: &Weather, layers: Layers) -> WhatIf {
        let space = Space::with_layers(self.design, &self.found, &self.lattice, layers);
        let flow = flows(&space, self.design, &self.found, weather, Case::LIKELY).map(|all| {
            let volumes = || all.answers.iter().map(|a| a.flow.volume);
            (volumes().fold(f64::INFINITY, f64::min), volumes().fold(0.0, f64::max))
        });
        WhatIf { what: what.to_owned(), layers, cells: (space.with_a_way(), space.cells.len()), flow }
    }
}

/// The table of changed roofs; the first is the roof as it is.
pub fn what_if(design: &Design, weather: &Weather) -> Vec<WhatIf> {
    let laid = Laid::out(design);
    let mut all = vec![laid.with("as designed", weather, Layers::Both)];
    if weather.screen.is_some() {
        let open = Weather { screen: None, ..weather.clone() };
        all.push(laid.with("without the screen", &open, Layers::Both));
    }
    for (inches, shown) in HEIGHTS {
        let height = Length::from_inches(inches);
        let share = height.metres() / design.lattice.strip.height.metres();
        if (share - 1.0).abs() < 1e-6 {
            continue;
        }
        let mut changed = design.clone();
        changed.lattice.strip.height.value = height;
        changed.lattice.vent.height.value = height;
        let free = (weather.free.0 * share, weather.free.1 * share);
        let what = format!("strips and vent pieces {shown} high, their free area with them");
        all.push(Laid::out(&changed).with(&what, &Weather { free, ..weather.clone() }, Layers::Both));
    }
    for (what, layers) in [
        ("strips across the slope under the battens, flutes along them", Layers::StripsAcross),
        ("one layer: battens alone, on the membrane", Layers::Battens),
        ("one layer: strips alone, under the panels", Layers::Strips),
    ] {
        all.push(laid.with(what, weather, layers));
    }
    all
}

/// What the two layers carry over what the better one of them carries alone, both at their least; `None` where either was
/// not solved or the two carry nothing. Infinite where one alone carries nothing.
pub fn two_layers_over_one(all: &[WhatIf]) -> Option<f64> {
    let least = |w: &WhatIf| w.flow.ok().map(|f| f.0);
    let two = least(all.first()?)?;
    let alone = all.iter().filter(|w| matches!(w.layers, Layers::Battens | Layers::Strips));
    let best = alone.map(least).collect::<Option<Vec<f64>>>()?.into_iter().fold(0.0, f64::max);
    (two > 0.0).then(|| if best > 0.0 { two / best } else { f64::INFINITY })
}
