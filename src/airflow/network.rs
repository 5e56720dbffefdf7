//! Nodes and links.

use super::law::Law;
use crate::quantity::list::number;

/// A link between two nodes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Link {
    /// Where it begins.
    pub from: u32,
    /// Where it ends.
    pub to: u32,
    /// Its law.
    pub law: Law,
    /// What drives the air along the link, Pa: buoyancy.
    pub drive: f64,
}

/// A network of links between nodes; some nodes have a given pressure.
#[derive(Clone, Debug, Default)]
pub struct Network {
    /// For each node its pressure, where that is given, Pa.
    pub given: Vec<Option<f64>>,
    /// For each node what flows in from without, kg/s; nothing for nodes past the end of the list.
    pub inflow: Vec<f64>,
    /// The links.
    pub links: Vec<Link>,
}

impl Network {
    /// Which nodes are joined, over any links, with a node of given pressure.
    pub fn reached(&self) -> Vec<bool> {
        let mut group: Vec<u32> = (0..self.given.len()).map(number).collect();
        fn root(group: &mut [u32], mut i: u32) -> u32 {
            while let Some(&up) = group.get(i as usize) {
                if up == i {
                    break;
                }
                let above = group.get(up as usize).copied().unwrap_or(up);
                if let Some(g) = group.get_mut(i as usize) {
                    *g = above;
                }
                i = above;
            }
            i
        }
        for l in &self.links {
            let (a, b) = (root(&mut group, l.from), root(&mut group, l.to));
            if let Some(g) = group.get_mut(a.max(b) as usize) {
                *g = a.min(b);
            }
        }
        let mut open = vec![false; group.len()];
        let nodes = number(group.len());
        for i in (0..nodes).filter(|i| matches!(self.given.get(*i as usize), Some(Some(_)))) {
            let r = root(&mut group, i);
            if let Some(o) = open.get_mut(r as usize) {
                *o = true;
            }
        }
        (0..nodes)
            .map(|i| {
                let r = root(&mut group, i);
                open.get(r as usize).copied().unwrap_or(false)
            })
            .collect()
    }
}
