//! What if: the same roof with one thing changed, laid out and solved again.

use super::flow::{Case, Weather, flows};
use super::space::{Layers, Space};
use crate::airflow::Trouble;
use crate::design::Design;
use crate::lattice;
use crate::quantity::Length;
use crate::structure::{State, Structure};

/// One changed roof.
#[derive(Clone, Debug, PartialEq)]
pub struct WhatIf {
    /// What is changed.
    pub what: String,
    /// Cells with a way, and all cells.
    pub cells: (usize, usize),
    /// Flow in the likely case, m3/s: the least and the most of the answers found; or why there is none.
    pub flow: Result<(f64, f64), Trouble>,
}

/// Heights of strips that shops sell, inches.
const HEIGHTS: [(f64, &str); 3] = [(0.375, "3/8 in"), (0.5, "1/2 in"), (0.75, "3/4 in")];

/// The table of changed roofs; the first is the roof as it is.
pub fn what_if(design: &Design, weather: &Weather) -> Vec<WhatIf> {
    let mut all = vec![one("as designed".to_owned(), design, weather, Layers::Both)];
    if weather.screen.is_some() {
        all.push(one(
            "without the screen".to_owned(),
            design,
            &Weather { screen: None, ..weather.clone() },
            Layers::Both,
        ));
    }
    for (inches, shown) in HEIGHTS {
        let mut changed = design.clone();
        let height = Length::from_inches(inches);
        let old = design.lattice.strip.height.metres();
        changed.lattice.strip.height.value = height;
        changed.lattice.vent.height.value = height;
        let share = height.metres() / old;
        if (share - 1.0).abs() < 1e-6 {
            continue;
        }
        let free = (weather.free.0 * share, weather.free.1 * share);
        let what = format!("strips and vent pieces {shown} high, their free area with them");
        all.push(one(what, &changed, &Weather { free, ..weather.clone() }, Layers::Both));
    }
    let across = "strips across the slope under the battens, flutes along them".to_owned();
    all.push(one(across, design, weather, Layers::StripsAcross));
    all.push(one("one layer: battens alone, on the membrane".to_owned(), design, weather, Layers::Battens));
    all.push(one("one layer: strips alone, under the panels".to_owned(), design, weather, Layers::Strips));
    all
}

fn one(what: String, design: &Design, weather: &Weather, layers: Layers) -> WhatIf {
    let drawn = Structure::build(design, State::Drawn);
    let found = Structure::build(design, State::Found);
    let lattice = lattice::lay(design, &drawn, &found);
    let space = Space::with_layers(design, &found, &lattice, layers);
    let flow = flows(&space, design, &found, weather, Case::Likely).map(|all| {
        let volumes = || all.iter().map(|f| f.volume);
        (volumes().fold(f64::INFINITY, f64::min), volumes().fold(0.0, f64::max))
    });
    WhatIf { what, cells: (space.with_a_way(), space.cells.len()), flow }
}
