//! Which places lie on a way from an inlet to an outlet.

/// For each node, whether some way from a source to a sink passes through it without passing any place twice.
///
/// A place that hangs on the rest by one passage alone is a pocket: what goes in must come out the same way, so nothing
/// goes through. Sources are joined to one node, sinks to another, and those two by one more link; then the nodes on such
/// ways are just those of the biconnected component that holds this link (Hopcroft and Tarjan 1973).
pub fn on_a_way(nodes: usize, links: &[(u32, u32)], sources: &[u32], sinks: &[u32]) -> Vec<bool> {
    let (source, sink) = (nodes, nodes + 1);
    let total = nodes + 2;
    let mut pairs: Vec<(usize, usize)> = vec![(source, sink)];
    let inside = |a: u32| (a as usize) < nodes;
    pairs.extend(
        links.iter().filter(|(a, b)| a != b && inside(*a) && inside(*b)).map(|(a, b)| (*a as usize, *b as usize)),
    );
    pairs.extend(sources.iter().filter(|s| inside(**s)).map(|s| (source, *s as usize)));
    pairs.extend(sinks.iter().filter(|s| inside(**s)).map(|s| (*s as usize, sink)));
    // Neighbours in one list, node after node.
    let mut starts = vec![0usize; total + 1];
    for (a, b) in &pairs {
        for n in [a, b] {
            if let Some(s) = starts.get_mut(n + 1) {
                *s += 1;
            }
        }
    }
    for i in 0..total {
        let before = starts.get(i).copied().unwrap_or(0);
        if let Some(s) = starts.get_mut(i + 1) {
            *s += before;
        }
    }
    let mut next = starts.clone();
    let mut neighbours = vec![(0usize, 0usize); 2 * pairs.len()];
    for (k, (a, b)) in pairs.iter().enumerate() {
        for (n, other) in [(*a, *b), (*b, *a)] {
            if let Some(at) = next.get_mut(n) {
                if let Some(slot) = neighbours.get_mut(*at) {
                    *slot = (other, k);
                }
                *at += 1;
            }
        }
    }
    // Depth first from the source, over the joining link first; nodes above it on the stack when it closes are its
    // component. It is the first link taken, so its component is the last to close.
    let mut seen = vec![0usize; total];
    let mut low = vec![0usize; total];
    let mut at = starts.clone();
    let mut way = vec![false; nodes];
    let mut walk: Vec<(usize, usize)> = vec![(source, usize::MAX)];
    let mut open: Vec<usize> = vec![source];
    let mut clock = 1;
    if let Some(s) = seen.get_mut(source) {
        *s = clock;
    }
    if let Some(l) = low.get_mut(source) {
        *l = clock;
    }
    let get = |v: &[usize], i: usize| v.get(i).copied().unwrap_or(0);
    while let Some(&(node, by)) = walk.last() {
        let here = get(&at, node);
        if here < get(&starts, node + 1) {
            if let Some(a) = at.get_mut(node) {
                *a += 1;
            }
            let Some(&(other, link)) = neighbours.get(here) else { continue };
            if link == by {
                continue;
            }
            if get(&seen, other) == 0 {
                clock += 1;
                if let Some(s) = seen.get_mut(other) {
                    *s = clock;
                }
                if let Some(l) = low.get_mut(other) {
                    *l = clock;
                }
                walk.push((other, link));
                open.push(other);
            } else {
                let reach = get(&low, node).min(get(&seen, other));
                if let Some(l) = low.get_mut(node) {
                    *l = reach;
                }
            }
            continue;
        }
        walk.pop();
        let Some(&(parent, _)) = walk.last() else { continue };
        let reach = get(&low, node);
        if reach < get(&seen, parent) {
            let up = get(&low, parent).min(reach);
            if let Some(l) = low.get_mut(parent) {
                *l = up;
            }
            continue;
        }
        // A component closes at the parent.
        let joined = parent == source && node == sink;
        while let Some(n) = open.pop() {
            if joined && let Some(w) = way.get_mut(n) {
                *w = true;
            }
            if n == node {
                break;
            }
        }
    }
    // Two sinks or two sources in one place: a single node between them is a way too, and lies in the component already.
    way
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_side_pocket_is_on_no_way() {
        // 0 - 1 - 2 with 3 hanging on 1, and 4 - 5 apart.
        let links = [(0, 1), (1, 2), (1, 3), (4, 5)];
        assert_eq!(on_a_way(6, &links, &[0], &[2]), [true, true, true, false, false, false]);
        // A second passage makes it a way.
        let links = [(0, 1), (1, 2), (1, 3), (3, 2), (4, 5)];
        assert_eq!(on_a_way(6, &links, &[0], &[2]), [true, true, true, true, false, false]);
        assert_eq!(on_a_way(3, &[(0, 1), (1, 2)], &[0], &[]), [false; 3]);
        assert_eq!(on_a_way(1, &[], &[0], &[0]), [true]);
        assert_eq!(on_a_way(0, &[], &[], &[]), [false; 0]);
    }

    /// Every way without a repeated place, one by one.
    fn slow(nodes: usize, links: &[(u32, u32)], sources: &[u32], sinks: &[u32]) -> Vec<bool> {
        fn go(at: u32, path: &mut Vec<u32>, links: &[(u32, u32)], sinks: &[u32], way: &mut [bool]) {
            path.push(at);
            if sinks.contains(&at) {
                path.iter().for_each(|n| way[*n as usize] = true);
            }
            for (a, b) in links {
                for (x, y) in [(*a, *b), (*b, *a)] {
                    if x == at && !path.contains(&y) {
                        go(y, path, links, sinks, way);
                    }
                }
            }
            path.pop();
        }
        let mut way = vec![false; nodes];
        for s in sources {
            go(*s, &mut Vec::new(), links, sinks, &mut way);
        }
        way
    }

    proptest! {
        #[test]
        fn agrees_with_trying_every_way(
            links in proptest::collection::vec((0u32..7, 0u32..7), 0..12),
            sources in proptest::collection::vec(0u32..7, 0..3), sinks in proptest::collection::vec(0u32..7, 0..3),
        ) {
            prop_assert_eq!(on_a_way(7, &links, &sources, &sinks), slow(7, &links, &sources, &sinks));
        }
    }
}
