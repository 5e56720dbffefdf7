#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]
mod common;
use airlath::air::Space;
use airlath::plan::Plan;
use common::{EXAMPLES, STARTERS, example, starter};

#[test]
fn look() {
    let mut texts: Vec<(String, String)> = EXAMPLES.iter().map(|n| (n.to_string(), example(n))).collect();
    texts.extend(STARTERS.iter().map(|(a, b)| (format!("{a}-{b}"), starter(a, b))));
    for (name, text) in texts {
        let plan = Plan::from_text("x.toml", &text).unwrap_or_else(|f| panic!("{}", f.render(false)));
        let space = Space::of(&plan.design, &plan.found, &plan.lattice);
        let way = space.on_a_way();
        let dead: Vec<_> = space.cells.iter().zip(&way).filter(|(_, w)| !**w).map(|(c, _)| c).collect();
        println!("{name}: {} cells {} passages {} openings, closed {:?}; dead {}", space.cells.len(), space.passages.len(), space.openings.len(), space.closed, dead.len());
        for c in dead.iter().take(30) {
            println!("   {:?} x {:.3}..{:.3} y {:.3}..{:.3} z {:?}", c.slope, c.x.0, c.x.1, c.y.0, c.y.1, c.z);
        }
    }
}
