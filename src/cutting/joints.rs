//! Where courses are divided: the joints that let the fewest and cheapest boards be bought.
//!
//! The linear program of [`super::program`] gets a second kind of row: a stretch of a course is worth what its cheapest
//! division is worth. Rows of both kinds are added as they are found to be broken. That no line carries a joint in
//! neighbouring courses enters as a limit for each line: of so many courses one after the other, at most one.
//! The prices lead the choice, course by course; then single courses are divided anew as long as that saves.

use std::collections::BTreeMap;

use microlp::{ComparisonOp, OptimizationDirection, Problem, SolveOptions, Variable};

use super::price::{best_patterns, dearest, least_cost};
use super::program::{solution, whole};
use super::{Classes, Effort, Pattern, Yard, plain};

/// A place where a stretch may be divided.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// The line that a joint would stand on: no joint stands on the same line in neighbouring courses.
    pub line: u32,
    /// Where, in units of length.
    pub at: i64,
}

/// A stretch of a course that is not interrupted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// Its left end.
    pub from: i64,
    /// Its right end.
    pub to: i64,
    /// How much more of a board its left and its right end take: the longer side of an end cut aslant.
    pub reach: (u64, u64),
    /// Where it may be divided, from left to right, between its ends.
    pub places: Vec<Place>,
    /// A division that is given: joints (with their lines, where they stand on one) from left to right. It is kept where
    /// `fixed` says so and where no division keeps to the rules; and where it keeps to them the choice is never worse.
    pub given: Vec<(Option<u32>, i64)>,
    /// The given division is kept.
    pub fixed: bool,
    /// It is on the roof already: the given division is kept, and no boards are bought for it.
    pub laid: bool,
}

/// What a division keeps to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rules {
    /// Shortest piece of a stretch that is divided.
    pub least: u64,
    /// What a joint adds to each of its two pieces: half a lap; minus half a gap.
    pub overlap: i64,
    /// How many neighbouring courses have no joint on the same line.
    pub stagger: usize,
}

/// One piece of a division.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece {
    /// Its left end.
    pub from: i64,
    /// Its right end.
    pub to: i64,
}

/// The joints of one stretch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Chosen {
    /// On these of its places.
    Places(Vec<usize>),
    /// As given.
    Given,
}

/// The choice for every stretch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// One for each stretch, in the order of blocks, courses and stretches.
    pub joints: Vec<Chosen>,
    /// What the boards cost.
    pub cost: u64,
    /// No choice of joints that keeps to the rules, stretches that must be kept as given aside, costs less.
    pub bound: u64,
    /// What the given divisions cost, cut by the plain rule. Where these keep to the rules the choice is never dearer.
    pub given_cost: u64,
    /// Courses in which a joint stands on a line that has one in a neighbouring course.
    pub not_staggered: usize,
    /// Stretches that no division divides by the rules.
    pub not_by_rules: usize,
}

/// Stretches of each course of a block (a slope), from the lowest course up.
pub type Block = Vec<Vec<Stretch>>;

/// One way from the left to the right end of a stretch.
struct Graph {
    /// Left end, places, right end.
    at: Vec<i64>,
    lines: Vec<u32>,
    /// From node, to node, class of the piece's length; in the order of from nodes.
    arcs: Vec<(usize, usize, usize)>,
    /// A way leads through.
    open: bool,
}

impl Graph {
    fn nodes(&self) -> usize {
        self.at.len()
    }

    /// The class of the piece from one node to another.
    fn arc(&self, from: usize, to: usize) -> Option<usize> {
        let at = self.arcs.binary_search_by(|a| (a.0, a.1).cmp(&(from, to))).ok()?;
        self.arcs.get(at).map(|a| a.2)
    }

    /// The line of an inner node.
    fn line(&self, node: usize) -> Option<u32> {
        self.lines.get(node.checked_sub(1)?).copied()
    }

    /// The cheapest way: its nodes between the ends, and what it costs. `toll` is the price of a joint at a node, or
    /// `None` where there may be none.
    fn cheapest(&self, price: &dyn Fn(usize) -> u64, toll: &dyn Fn(usize) -> Option<u64>) -> Option<(u64, Vec<usize>)> {
        let n = self.nodes();
        let mut best: Vec<Option<(u64, usize)>> = vec![None; n];
        *best.first_mut()? = Some((0, 0));
        for (from, to, class) in &self.arcs {
            let Some((paid, _)) = best.get(*from).copied().flatten() else { continue };
            let extra = if *to + 1 == n { Some(0) } else { toll(*to) };
            let Some(extra) = extra else { continue };
            let all = paid.saturating_add(price(*class)).saturating_add(extra);
            if let Some(slot) = best.get_mut(*to)
                && slot.is_none_or(|(b, _)| all < b)
            {
                *slot = Some((all, *from));
            }
        }
        let (cost, mut node) = best.last().copied().flatten()?;
        let mut way = Vec::new();
        while node != 0 {
            way.push(node);
            node = best.get(node).copied().flatten()?.1;
        }
        way.reverse();
        Some((cost, way))
    }
}

/// A stretch to be divided, with what the search needs.
struct Task {
    block: usize,
    course: usize,
    graph: usize,
    /// Classes and lines of the given division.
    given: Division,
    free: bool,
    laid: bool,
}

/// A division as the search sees it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Division {
    nodes: Vec<usize>,
    classes: Vec<usize>,
    lines: Vec<u32>,
}

struct Job {
    tasks: Vec<Task>,
    graphs: Vec<Graph>,
    /// How many free stretches have this graph.
    times: Vec<u32>,
    sizes: Vec<u64>,
    /// Numbers of tasks of each course of each block.
    courses: Vec<Vec<Vec<usize>>>,
    stagger: usize,
    longest: u64,
    /// Every free stretch is given a division that keeps the least piece and the places.
    given_by_rules: bool,
    /// Fixed pieces, by class.
    fixed: Vec<u32>,
    /// Most joints on a line of a block, all courses together.
    caps: BTreeMap<(usize, u32), u32>,
}

fn pieces(from: i64, to: i64, joints: impl Iterator<Item = i64>, overlap: i64) -> Vec<u64> {
    let mut all = Vec::new();
    let mut left = from;
    for j in joints {
        all.push(u64::try_from(j + overlap - left).unwrap_or(0));
        left = j - overlap;
    }
    all.push(u64::try_from(to - left).unwrap_or(0));
    all
}

impl Job {
    fn new(blocks: &[Block], rules: &Rules, yard: &Yard) -> Job {
        let longest = yard.stock.iter().map(|s| s.length).max().unwrap_or(0);
        // Lengths of all arcs first, so that they have classes.
        type Key = (Vec<i64>, Vec<u32>, usize, (u64, u64));
        let mut known: BTreeMap<Key, usize> = BTreeMap::new();
        type Raw = (Vec<i64>, Vec<u32>, Vec<(usize, usize, u64)>);
        let mut raw: Vec<Raw> = Vec::new();
        let mut tasks = Vec::new();
        let mut given_lengths: Vec<Vec<u64>> = Vec::new();
        let mut courses = Vec::new();
        for (b, block) in blocks.iter().enumerate() {
            let mut of_block = Vec::new();
            for (c, course) in block.iter().enumerate() {
                let mut of_course = Vec::new();
                for stretch in course {
                    let mut at = vec![0];
                    at.extend(stretch.places.iter().map(|p| p.at - stretch.from));
                    at.push(stretch.to - stretch.from);
                    let lines: Vec<u32> = stretch.places.iter().map(|p| p.line).collect();
                    let graph = *known.entry((at.clone(), lines.clone(), b, stretch.reach)).or_insert_with(|| {
                        raw.push((at.clone(), lines, arcs(&at, stretch.reach, rules, longest)));
                        raw.len() - 1
                    });
                    of_course.push(tasks.len());
                    let joints = stretch.given.iter().map(|(_, x)| *x);
                    let mut given = pieces(stretch.from, stretch.to, joints, rules.overlap);
                    if let Some(first) = given.first_mut() {
                        *first = first.saturating_add(stretch.reach.0);
                    }
                    if let Some(last) = given.last_mut() {
                        *last = last.saturating_add(stretch.reach.1);
                    }
                    given_lengths.push(given);
                    let lines = stretch.given.iter().filter_map(|(l, _)| *l).collect();
                    let given = Division { lines, ..Division::default() };
                    let free = !stretch.fixed && !stretch.laid;
                    tasks.push(Task { block: b, course: c, graph, given, free, laid: stretch.laid });
                }
                of_block.push(of_course);
            }
            courses.push(of_block);
        }
        let mut lengths: Vec<u64> = raw.iter().flat_map(|r| r.2.iter().map(|a| a.2)).collect();
        lengths.extend(given_lengths.iter().flatten());
        lengths.sort_unstable_by(|a, b| b.cmp(a));
        lengths.dedup();
        let class = |l: u64| lengths.binary_search_by(|x| l.cmp(x)).unwrap_or(0);
        let graphs: Vec<Graph> = raw
            .into_iter()
            .map(|(at, lines, arcs)| {
                let arcs: Vec<(usize, usize, usize)> = arcs.into_iter().map(|(a, b, l)| (a, b, class(l))).collect();
                let mut graph = Graph { at, lines, arcs, open: false };
                graph.open = graph.cheapest(&|_| 0, &|_| Some(0)).is_some();
                graph
            })
            .collect();
        let mut times = vec![0; graphs.len()];
        let mut fixed = vec![0; lengths.len()];
        for (task, lengths) in tasks.iter_mut().zip(&given_lengths) {
            if !task.laid {
                task.given.classes = lengths.iter().map(|l| class(*l)).collect();
            }
            task.free &= graphs.get(task.graph).is_some_and(|g| g.open);
            if task.free {
                if let Some(n) = times.get_mut(task.graph) {
                    *n += 1;
                }
            } else {
                for c in &task.given.classes {
                    if let Some(n) = fixed.get_mut(*c) {
                        *n += 1;
                    }
                }
            }
        }
        let stretches = blocks.iter().flatten().flatten();
        let given_by_rules = tasks.iter().zip(stretches).zip(&given_lengths).filter(|((t, _), _)| t.free).all(
            |((_, stretch), lengths)| {
                let stands = |(line, at): &(Option<u32>, i64)| {
                    stretch.places.iter().any(|p| Some(p.line) == *line && p.at == *at)
                };
                let joints = stretch.given.iter().map(|(_, x)| *x);
                let middles = pieces(stretch.from, stretch.to, joints, rules.overlap);
                let whole = stretch.given.is_empty();
                stretch.given.iter().all(stands)
                    && lengths.iter().all(|l| *l > 0 && *l <= longest)
                    && (whole || middles.iter().all(|l| *l >= rules.least))
            },
        );
        let sizes = lengths.iter().map(|l| l.saturating_add(yard.kerf)).collect();
        let mut made = Job {
            tasks,
            graphs,
            times,
            sizes,
            courses,
            stagger: rules.stagger,
            longest: longest.saturating_add(yard.kerf),
            given_by_rules,
            fixed,
            caps: BTreeMap::new(),
        };
        made.caps = made.line_caps();
        made
    }

    /// In any `stagger + 1` courses one after the other a line carries at most one joint.
    fn line_caps(&self) -> BTreeMap<(usize, u32), u32> {
        let mut reach: BTreeMap<(usize, u32), (usize, usize)> = BTreeMap::new();
        for task in self.tasks.iter().filter(|t| t.free) {
            for line in self.graphs.get(task.graph).map(|g| g.lines.as_slice()).unwrap_or_default() {
                let (low, high) = reach.entry((task.block, *line)).or_insert((task.course, task.course));
                *low = (*low).min(task.course);
                *high = (*high).max(task.course);
            }
        }
        let cap = |(low, high): (usize, usize)| {
            u32::try_from((high - low + 1).div_ceil(self.stagger + 1)).unwrap_or(u32::MAX)
        };
        reach.into_iter().map(|(key, span)| (key, cap(span))).collect()
    }

    fn division(&self, task: &Task, way: &[usize]) -> Division {
        let Some(graph) = self.graphs.get(task.graph) else { return Division::default() };
        let classes = self.way_classes(graph, way);
        Division { nodes: way.to_vec(), classes, lines: way.iter().filter_map(|n| graph.line(*n)).collect() }
    }

    /// Lines that carry a joint in the courses near a task's, of those that are settled.
    fn taken(&self, task: &Task, settled: &[Option<Division>]) -> Vec<u32> {
        let Some(block) = self.courses.get(task.block) else { return Vec::new() };
        let low = task.course.saturating_sub(self.stagger);
        let high = (task.course + self.stagger).min(block.len().saturating_sub(1));
        let mut lines = Vec::new();
        for c in (low..=high).filter(|c| *c != task.course) {
            for t in block.get(c).into_iter().flatten() {
                let of = settled.get(*t).and_then(Option::as_ref);
                lines.extend(of.iter().flat_map(|d| d.lines.iter().copied()));
            }
        }
        lines
    }

    fn not_staggered(&self, divisions: &[Option<Division>]) -> usize {
        let broken = |t: usize| {
            let Some((task, Some(d))) = self.tasks.get(t).zip(divisions.get(t)) else { return false };
            let taken = self.taken(task, divisions);
            d.lines.iter().any(|l| taken.contains(l))
        };
        self.courses.iter().flatten().filter(|course| course.iter().any(|t| broken(*t))).count()
    }

    /// Divides every free stretch in turn, as the prices say.
    fn by_prices(&self, values: &[u64], tolls: &BTreeMap<(usize, u32), u64>) -> Vec<Option<Division>> {
        let mut all: Vec<Option<Division>> =
            self.tasks.iter().map(|t| if t.free { None } else { Some(t.given.clone()) }).collect();
        for (i, task) in self.tasks.iter().enumerate().filter(|(_, t)| t.free) {
            let Some(graph) = self.graphs.get(task.graph) else { continue };
            let taken = self.taken(task, &all);
            let toll = |node: usize| {
                let line = graph.line(node)?;
                Some(tolls.get(&(task.block, line)).copied().unwrap_or(0))
            };
            let price = |c: usize| values.get(c).copied().unwrap_or(0);
            let strict =
                |node: usize| if graph.line(node).is_some_and(|l| taken.contains(&l)) { None } else { toll(node) };
            let way = graph.cheapest(&price, &strict).or_else(|| graph.cheapest(&price, &toll));
            if let (Some((_, way)), Some(slot)) = (way, all.get_mut(i)) {
                *slot = Some(self.division(task, &way));
            }
        }
        all
    }

    /// How often each class is wanted.
    fn counts(&self, divisions: &[Option<Division>]) -> Vec<u32> {
        let mut counts = vec![0; self.sizes.len()];
        for c in divisions.iter().flatten().flat_map(|d| &d.classes) {
            if let Some(n) = counts.get_mut(*c) {
                *n += 1;
            }
        }
        counts
    }

    fn classes(&self, counts: &[u32]) -> Classes {
        let wanted = self.sizes.iter().zip(counts).filter(|(s, n)| **n > 0 && **s <= self.longest);
        let (sizes, counts) = wanted.map(|(s, n)| (*s, *n)).unzip();
        Classes { sizes, counts }
    }

    /// What the plain rule pays, and how scattered the waste is: large where whole lengths are left over.
    fn quick(&self, yard: &Yard, counts: &[u32]) -> Quick {
        let classes = self.classes(counts);
        let mut patterns = plain::longest_first(yard, &classes);
        plain::cheaper_boards(yard, &classes, &mut patterns);
        let waste = |p: &Pattern| {
            let left = u128::from(yard.room(p.stock).saturating_sub(p.used(&classes.sizes)) >> 10);
            left * left
        };
        (yard.total(&patterns), std::cmp::Reverse(patterns.iter().map(waste).sum()))
    }
}

/// What the plain rule pays, and its waste squared board by board: the more gathered, the better.
type Quick = (u64, std::cmp::Reverse<u128>);

/// All pieces that may be cut: from node, to node, length.
fn arcs(at: &[i64], reach: (u64, u64), rules: &Rules, longest: u64) -> Vec<(usize, usize, u64)> {
    let last = at.len().saturating_sub(1);
    let mut all = Vec::new();
    for (i, a) in at.iter().enumerate() {
        for (j, b) in at.iter().enumerate().skip(i + 1) {
            let left = if i == 0 { *a } else { a - rules.overlap };
            let right = if j == last { *b } else { b + rules.overlap };
            let Ok(middle) = u64::try_from(right - left) else { continue };
            let more = if i == 0 { reach.0 } else { 0 } + if j == last { reach.1 } else { 0 };
            let length = middle.saturating_add(more);
            let whole = i == 0 && j == last;
            if length <= longest && length > 0 && (whole || middle >= rules.least) {
                all.push((i, j, length));
            }
        }
    }
    all
}

/// Prices of classes and tolls of lines, and what they prove.
struct Priced {
    values: Vec<u64>,
    tolls: BTreeMap<(usize, u32), u64>,
    bound: u64,
}

/// What the program found besides: the cell of each class, its patterns by cells, and ways by graph.
struct Columns {
    cell: Vec<Option<usize>>,
    cells: usize,
    patterns: Vec<Pattern>,
    ways: Vec<(usize, Vec<usize>)>,
}

impl Job {
    /// What all stretches are worth at least, at these prices.
    fn worth(&self, values: &[u64], tolls: &BTreeMap<(usize, u32), u64>) -> (u128, Vec<Option<Vec<usize>>>) {
        let mut all: u128 = self.fixed.iter().zip(values).map(|(n, v)| u128::from(*n) * u128::from(*v)).sum();
        let mut ways = Vec::with_capacity(self.graphs.len());
        let block_of = self.block_of();
        for ((graph, times), block) in self.graphs.iter().zip(&self.times).zip(block_of) {
            if *times == 0 {
                ways.push(None);
                continue;
            }
            let price = |c: usize| values.get(c).copied().unwrap_or(0);
            let toll = |node: usize| Some(tolls.get(&(block, graph.line(node)?)).copied().unwrap_or(0));
            let way = graph.cheapest(&price, &toll);
            all += u128::from(*times) * u128::from(way.as_ref().map_or(0, |w| w.0));
            ways.push(way.map(|w| w.1));
        }
        let paid: u128 =
            tolls.iter().map(|(key, v)| u128::from(self.caps.get(key).copied().unwrap_or(0)) * u128::from(*v)).sum();
        (all.saturating_sub(paid), ways)
    }

    /// Solves the program for prices; `staggered` says whether lines have their limits.
    fn solve(&self, yard: &Yard, effort: &Effort, staggered: bool) -> (Priced, Option<Columns>) {
        let none = BTreeMap::new();
        let values: Vec<u64> = self.sizes.iter().map(|s| if *s <= self.longest { *s } else { 0 }).collect();
        let (worth, _) = self.worth(&values, &none);
        let by_length = (0..yard.stock.len())
            .map(|s| (yard.room(s).max(1), yard.cost(s).max(1)))
            .max_by(|a, b| (u128::from(a.0) * u128::from(b.1)).cmp(&(u128::from(b.0) * u128::from(a.1))))
            .unwrap_or((1, 1));
        let rough = Priced { bound: least_cost(worth, by_length), values, tolls: none };
        if self.times.iter().filter(|n| **n > 0).count() > GRAPHS {
            return (self.in_turn(yard, effort, rough), None);
        }
        match self.rows(yard, effort, staggered) {
            Some((solved, columns)) if solved.bound >= rough.bound => (solved, Some(columns)),
            Some((_, columns)) => (rough, Some(columns)),
            None => (rough, None),
        }
    }

    /// For very many different stretches: prices of the pieces of one choice lead to the next choice. What the prices
    /// prove is reckoned over every stretch.
    fn in_turn(&self, yard: &Yard, effort: &Effort, rough: Priced) -> Priced {
        let none = BTreeMap::new();
        let (short, cell) = cells(&self.sizes, self.longest, effort.lengths);
        let mut best = rough;
        let mut values = best.values.clone();
        for _ in 0..TURNS {
            let counts = self.counts(&self.by_prices(&values, &none));
            let mut of_cell = vec![0; short.len()];
            for (n, c) in counts.iter().zip(&cell) {
                if let Some(slot) = c.and_then(|c| of_cell.get_mut(c)) {
                    *slot += n;
                }
            }
            let wanted: Vec<usize> = (0..short.len()).filter(|i| of_cell.get(*i).is_some_and(|n| *n > 0)).collect();
            let pick = |i: &usize| (short.get(*i).copied().unwrap_or(0), of_cell.get(*i).copied().unwrap_or(0));
            let (sizes, counts) = wanted.iter().map(pick).unzip();
            let solved = super::program::solve(yard, &Classes { sizes, counts }, effort);
            // What is not wanted now is worth what the next shorter wanted one is.
            let mut of_cells = vec![0; short.len()];
            let mut next = 0;
            for i in (0..short.len()).rev() {
                if let Ok(k) = wanted.binary_search(&i) {
                    next = solved.prices.values.get(k).copied().unwrap_or(0);
                }
                if let Some(slot) = of_cells.get_mut(i) {
                    *slot = next;
                }
            }
            values = cell.iter().map(|c| c.and_then(|c| of_cells.get(c)).copied().unwrap_or(0)).collect();
            let found = best_patterns(yard, &short, &of_cells, &|_| u32::MAX, effort.pattern_steps);
            let bound = least_cost(self.worth(&values, &none).0, dearest(yard, &found));
            if bound > best.bound {
                best = Priced { values: values.clone(), tolls: none.clone(), bound };
            }
        }
        best
    }

    /// Divisions by the program's own columns in whole numbers: so many of each way, dealt out to the courses.
    fn by_columns(&self, yard: &Yard, priced: &Priced, columns: &Columns) -> Option<Vec<Option<Division>>> {
        let few = columns.patterns.len() + columns.ways.len() <= COLUMNS;
        let shares = if few { self.shares(yard, columns, true) } else { None };
        let shares = shares.or_else(|| self.shares(yard, columns, false))?;
        Some(self.deal(priced, &columns.ways, &shares))
    }

    /// How often each way is taken, in whole numbers or not.
    fn shares(&self, yard: &Yard, columns: &Columns, in_whole: bool) -> Option<Vec<f64>> {
        let top = yard.stock.iter().map(|s| s.cost).max()?.max(1) as f64;
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let mut rows: Vec<Vec<(Variable, f64)>> = vec![Vec::new(); columns.cells];
        for p in &columns.patterns {
            let cost = yard.cost(p.stock) as f64 / top;
            let var = if in_whole {
                problem.add_integer_var(cost, (0, 1_000_000))
            } else {
                problem.add_var(cost, (0.0, 1e6))
            };
            for (i, n) in &p.takes {
                rows.get_mut(*i)?.push((var, f64::from(*n)));
            }
        }
        let block_of = self.block_of();
        let mut of_graph: BTreeMap<usize, Vec<(Variable, f64)>> = BTreeMap::new();
        let mut on_line: BTreeMap<(usize, u32), Vec<(Variable, f64)>> = BTreeMap::new();
        let mut vars = Vec::new();
        for (g, way) in &columns.ways {
            let times = *self.times.get(*g)?;
            let var = if in_whole {
                problem.add_integer_var(0.0, (0, i32::try_from(times).unwrap_or(i32::MAX)))
            } else {
                problem.add_var(0.0, (0.0, f64::from(times)))
            };
            vars.push(var);
            of_graph.entry(*g).or_default().push((var, 1.0));
            let graph = self.graphs.get(*g)?;
            for line in way.iter().filter_map(|n| graph.line(*n)) {
                on_line.entry((*block_of.get(*g)?, line)).or_default().push((var, 1.0));
            }
            let mut wanted: BTreeMap<usize, f64> = BTreeMap::new();
            for class in self.way_classes(graph, way) {
                *wanted.entry((*columns.cell.get(class)?)?).or_default() += 1.0;
            }
            for (i, n) in wanted {
                rows.get_mut(i)?.push((var, -n));
            }
        }
        let mut fixed = vec![0_u32; columns.cells];
        for (n, c) in self.fixed.iter().zip(&columns.cell) {
            if let Some(slot) = c.and_then(|c| fixed.get_mut(c)) {
                *slot += n;
            }
        }
        for (row, n) in rows.into_iter().zip(fixed) {
            problem.add_constraint(row, ComparisonOp::Ge, f64::from(n));
        }
        for (g, row) in of_graph {
            problem.add_constraint(row, ComparisonOp::Eq, f64::from(*self.times.get(g)?));
        }
        if self.stagger > 0 {
            for (key, row) in on_line {
                problem.add_constraint(row, ComparisonOp::Le, f64::from(*self.caps.get(&key)?));
            }
        }
        let found = if in_whole {
            let mut options = SolveOptions::default();
            options.node_limit = Some(BRANCHES);
            solution(problem.solve_with(options))?
        } else {
            solution(problem.solve())?
        };
        Some(vars.iter().map(|v| found.var_value(*v).max(0.0)).collect())
    }

    /// Deals ways out to the courses: to each the way that is most behind its share, of those that stand on no line that
    /// a neighbour stands on; by the prices where there is none.
    fn deal(&self, priced: &Priced, ways: &[(usize, Vec<usize>)], shares: &[f64]) -> Vec<Option<Division>> {
        let mut left = shares.to_vec();
        let mut all: Vec<Option<Division>> =
            self.tasks.iter().map(|t| if t.free { None } else { Some(t.given.clone()) }).collect();
        for (i, task) in self.tasks.iter().enumerate().filter(|(_, t)| t.free) {
            let Some(graph) = self.graphs.get(task.graph) else { continue };
            let taken = self.taken(task, &all);
            let clear = |way: &[usize]| way.iter().filter_map(|n| graph.line(*n)).all(|l| !taken.contains(&l));
            let pick = ways
                .iter()
                .enumerate()
                .filter(|(k, (g, way))| *g == task.graph && left.get(*k).is_some_and(|l| *l > 0.25) && clear(way))
                .max_by(|a, b| {
                    let of = |k: usize| left.get(k).copied().unwrap_or(0.0);
                    of(a.0).total_cmp(&of(b.0)).then(b.0.cmp(&a.0))
                });
            let division = match pick {
                Some((k, (_, way))) => {
                    if let Some(l) = left.get_mut(k) {
                        *l -= 1.0;
                    }
                    Some(self.division(task, way))
                }
                None => {
                    let price = |c: usize| priced.values.get(c).copied().unwrap_or(0);
                    let strict =
                        |n: usize| if graph.line(n).is_some_and(|l| taken.contains(&l)) { None } else { Some(0) };
                    let way = graph.cheapest(&price, &strict).or_else(|| graph.cheapest(&price, &|_| Some(0)));
                    way.map(|(_, way)| self.division(task, &way))
                }
            };
            if let Some(slot) = all.get_mut(i) {
                *slot = division;
            }
        }
        all
    }

    fn block_of(&self) -> Vec<usize> {
        let mut block_of = vec![0; self.graphs.len()];
        for t in &self.tasks {
            if let Some(b) = block_of.get_mut(t.graph) {
                *b = t.block;
            }
        }
        block_of
    }

    fn way_classes(&self, graph: &Graph, way: &[usize]) -> Vec<usize> {
        let mut classes = Vec::with_capacity(way.len() + 1);
        let mut from = 0;
        for to in way.iter().copied().chain([graph.nodes().saturating_sub(1)]) {
            classes.extend(graph.arc(from, to));
            from = to;
        }
        classes
    }

    fn rows(&self, yard: &Yard, effort: &Effort, staggered: bool) -> Option<(Priced, Columns)> {
        // Too many lengths share prices, each priced as the shortest of its cell.
        let (short, cell) = cells(&self.sizes, self.longest, effort.lengths);
        let top = yard.stock.iter().map(|s| s.cost).max()?.max(1) as f64;
        let cost = |s: usize| yard.cost(s) as f64 / top;
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let mut of_cell = vec![0_u32; short.len()];
        for (n, c) in self.fixed.iter().zip(&cell) {
            if let Some(slot) = c.and_then(|c| of_cell.get_mut(c)) {
                *slot += n;
            }
        }
        let mut prices: Vec<Variable> = Vec::new();
        for (size, n) in short.iter().zip(&of_cell) {
            let most = cost(yard.cheapest(*size)?);
            prices.push(problem.add_var(f64::from(*n), (0.0, most)));
        }
        let worths: Vec<Option<Variable>> =
            self.times.iter().map(|n| (*n > 0).then(|| problem.add_var(f64::from(*n), (0.0, f64::INFINITY)))).collect();
        let mut lines: BTreeMap<(usize, u32), Variable> = BTreeMap::new();
        if staggered && self.stagger > 0 {
            for (key, cap) in &self.caps {
                // Dearer than a few boards no joint need be.
                lines.insert(*key, problem.add_var(-f64::from(*cap), (0.0, 4.0)));
            }
        }
        let block_of = self.block_of();
        let pattern_row = |p: &Pattern| -> Vec<(Variable, f64)> {
            p.takes.iter().filter_map(|(i, n)| Some((*prices.get(*i)?, f64::from(*n)))).collect()
        };
        let way_row = |g: usize, way: &[usize]| -> Option<Vec<(Variable, f64)>> {
            let graph = self.graphs.get(g)?;
            let block = *block_of.get(g)?;
            let mut row: BTreeMap<usize, (Variable, f64)> = BTreeMap::new();
            let mut add = |v: Variable, by: f64| row.entry(v.idx()).or_insert((v, 0.0)).1 += by;
            add((*worths.get(g)?)?, 1.0);
            for class in self.way_classes(graph, way) {
                add(*prices.get((*cell.get(class)?)?)?, -1.0);
            }
            for line in way.iter().filter_map(|n| graph.line(*n)) {
                if let Some(v) = lines.get(&(block, line)) {
                    add(*v, -1.0);
                }
            }
            Some(row.into_values().collect())
        };
        let mut patterns: Vec<Pattern> = Vec::new();
        for (i, size) in short.iter().enumerate() {
            for s in 0..yard.stock.len() {
                let n = u32::try_from(yard.room(s) / (*size).max(1)).unwrap_or(u32::MAX);
                if n > 0 {
                    patterns.push(Pattern { stock: s, takes: vec![(i, n)] });
                }
            }
        }
        for p in &patterns {
            problem.add_constraint(pattern_row(p), ComparisonOp::Le, cost(p.stock));
        }
        let mut ways: Vec<(usize, Vec<usize>)> = Vec::new();
        let (_, first) = self.worth(&self.sizes, &BTreeMap::new());
        for (g, way) in first.into_iter().enumerate() {
            if let Some(way) = way {
                problem.add_constraint(way_row(g, &way)?, ComparisonOp::Le, 0.0);
                ways.push((g, way));
            }
        }
        let mut current = solution(problem.solve())?;
        let mut best: Option<Priced> = None;
        'rows: for _ in 0..effort.rows {
            let whole_prices = whole(prices.iter().map(|v| current.var_value(*v)));
            let values: Vec<u64> =
                cell.iter().map(|c| c.and_then(|c| whole_prices.get(c)).copied().unwrap_or(0)).collect();
            // Rounded up, a toll only costs the bound.
            let tolls: BTreeMap<(usize, u32), u64> = lines
                .iter()
                .map(|(key, v)| (*key, whole([current.var_value(*v)].into_iter()).first().map_or(0, |t| t + 1)))
                .filter(|(_, t)| *t > 1)
                .collect();
            let found = best_patterns(yard, &short, &whole_prices, &|_| u32::MAX, effort.pattern_steps);
            let (worth, cheapest) = self.worth(&values, &tolls);
            let bound = least_cost(worth, dearest(yard, &found));
            let target = (current.objective() * top - 1e-6 * top).ceil();
            if best.as_ref().is_none_or(|b| bound > b.bound) {
                best = Some(Priced { values: values.clone(), tolls: tolls.clone(), bound });
            }
            if best.as_ref().is_some_and(|b| yard.round_up(b.bound) as f64 >= target) {
                break;
            }
            let mut broken = false;
            for (p, value, _) in found {
                if value as f64 / super::price::SCALE > cost(p.stock) * (1.0 + 1e-8) + 1e-9 && !patterns.contains(&p) {
                    let next = solution(current.add_constraint(pattern_row(&p), ComparisonOp::Le, cost(p.stock)));
                    patterns.push(p);
                    broken = true;
                    // Where the library gives up, what was found so far still holds.
                    let Some(next) = next else { break 'rows };
                    current = next;
                }
            }
            for (g, way) in cheapest.into_iter().enumerate() {
                let (Some(way), Some(Some(v))) = (way, worths.get(g)) else { continue };
                let row = way_row(g, &way)?;
                let others: f64 = row.iter().filter(|(x, _)| x != v).map(|(x, by)| -by * current.var_value(*x)).sum();
                if current.var_value(*v) > others + 1e-9 && !ways.contains(&(g, way.clone())) {
                    let next = solution(current.add_constraint(row, ComparisonOp::Le, 0.0));
                    ways.push((g, way));
                    broken = true;
                    let Some(next) = next else { break 'rows };
                    current = next;
                }
            }
            if !broken {
                break;
            }
        }
        let cells = short.len();
        Some((best?, Columns { cell, cells, patterns, ways }))
    }
}

/// Sizes shortened to at most so many, and the cell of each; `None` for what no board is long enough for.
fn cells(sizes: &[u64], longest: u64, most: usize) -> (Vec<u64>, Vec<Option<usize>>) {
    let fit = || sizes.iter().copied().filter(|s| *s <= longest);
    let (Some(high), Some(low)) = (fit().max(), fit().min()) else { return (Vec::new(), vec![None; sizes.len()]) };
    let step = if fit().count() <= most {
        1
    } else {
        (high - low).div_ceil(u64::try_from(most).unwrap_or(2).max(2) - 1).max(1)
    };
    let down = |s: u64| low + (s - low) / step * step;
    let mut short: Vec<u64> = fit().map(down).collect();
    short.sort_unstable_by(|a, b| b.cmp(a));
    short.dedup();
    let of = |s: u64| if s > longest { None } else { short.binary_search_by(|x| down(s).cmp(x)).ok() };
    let cell = sizes.iter().map(|s| of(*s)).collect();
    (short, cell)
}

/// Rounds of choosing by prices that are changed a little, ways that are tried for one stretch, and divisions that are
/// tried in all.
const ROUNDS: u64 = 24;
const WAYS: usize = 48;
const TRIES: usize = 12_000;
/// Whole searches for boards while joints are saved.
const SEARCHES: usize = 60;
/// Stretches up to which single courses are divided anew.
const SMALL: usize = 400;
/// Different stretches up to which the program takes each by itself, and turns of choosing and pricing past that.
const GRAPHS: usize = 120;
const TURNS: usize = 6;
/// Columns up to which they are taken in whole numbers, and branches of that search.
const COLUMNS: usize = 400;
const BRANCHES: u64 = 200;

/// Chooses the joints of all courses.
pub fn choose(yard: &Yard, blocks: &[Block], rules: &Rules, effort: &Effort) -> Choice {
    let problem = Job::new(blocks, rules, yard);
    let given: Vec<Option<Division>> = problem.tasks.iter().map(|t| Some(t.given.clone())).collect();
    let given_cost = {
        let classes = problem.classes(&problem.counts(&given));
        yard.total(&plain::longest_first(yard, &classes))
    };
    let (mut priced, columns) = problem.solve(yard, effort, true);
    // Ways to divide all courses; fewest unstaggered first, then cheapest by a quick look.
    let mut tried: Vec<(usize, Quick, Vec<Option<Division>>)> = Vec::new();
    let mut keep = |divisions: Vec<Option<Division>>| {
        let quick = problem.quick(yard, &problem.counts(&divisions));
        tried.push((problem.not_staggered(&divisions), quick, divisions));
    };
    // A given division that breaks the rules is no answer: none may be as cheap.
    if problem.given_by_rules {
        keep(given.clone());
    }
    if let Some(divisions) = columns.and_then(|c| problem.by_columns(yard, &priced, &c)) {
        keep(divisions);
    }
    let rounds = if problem.tasks.len() <= SMALL { ROUNDS } else { 3 };
    for round in 0..rounds {
        // Of equal prices, each round prefers other lengths; every other one prefers fewer pieces.
        let each = priced.values.iter().copied().max().unwrap_or(0) / 100 * (round % 2);
        let nudge = |i: usize, v: u64| {
            let turn = (i as u64 + 1).wrapping_mul(round.wrapping_mul(0x9E37_79B9)) >> 7 & 0xFF;
            v + v / 1_000 * turn / 256 * round / 4 + each
        };
        let values: Vec<u64> = priced.values.iter().enumerate().map(|(i, v)| nudge(i, *v)).collect();
        keep(problem.by_prices(&values, &priced.tolls));
    }
    tried.sort_by(|a, b| (a.0, &a.1).cmp(&(b.0, &b.1)));
    tried.dedup_by(|a, b| a.2 == b.2);
    tried.truncate(4);
    let floor = |bound: u64| yard.round_up(bound);
    if problem.tasks.len() <= SMALL {
        let mut steps = TRIES;
        for (broken, quick, divisions) in &mut tried {
            if quick.0 <= floor(priced.bound) && *broken == 0 {
                break;
            }
            divide_anew(&problem, yard, &priced, divisions, &mut steps);
            *quick = problem.quick(yard, &problem.counts(divisions));
            *broken = problem.not_staggered(divisions);
        }
    }
    let mut best: Option<(usize, u64, Vec<Option<Division>>)> = None;
    let exact = if problem.tasks.len() <= SMALL { *effort } else { Effort { plan_steps: 0, rows: 60, ..*effort } };
    for (broken, _, divisions) in tried {
        if best.as_ref().is_some_and(|(b, cost, _)| *b == 0 && *cost <= floor(priced.bound)) {
            break;
        }
        let classes = problem.classes(&problem.counts(&divisions));
        let plain = plain::longest_first(yard, &classes);
        let (patterns, _) = super::best_patterns(yard, &classes, plain, &exact);
        let cost = yard.total(&patterns);
        if best.as_ref().is_none_or(|(b, c, _)| (broken, cost) < (*b, *c)) {
            best = Some((broken, cost, divisions));
        }
    }
    let (not_staggered, cost, mut divisions) = best.unwrap_or((0, given_cost, given));
    if problem.tasks.len() <= SMALL {
        fewer_joints(&problem, yard, cost, &exact, &mut divisions);
    }
    if not_staggered > 0 {
        // Limits of lines prove nothing where they could not be kept.
        priced = problem.solve(yard, effort, false).0;
    }
    let joints = problem
        .tasks
        .iter()
        .zip(&divisions)
        .map(|(task, d)| match d {
            Some(d) if task.free && *d != task.given => Chosen::Places(d.nodes.iter().map(|n| n - 1).collect()),
            _ => Chosen::Given,
        })
        .collect();
    let shut = |t: &&Task| !t.laid && problem.graphs.get(t.graph).is_some_and(|g| !g.open);
    let not_by_rules = problem.tasks.iter().filter(shut).count();
    Choice { joints, cost, bound: floor(priced.bound), given_cost, not_staggered, not_by_rules }
}

/// Divides one stretch after the other anew, as long as that is cheaper, or as cheap with its waste in fewer places.
fn divide_anew(problem: &Job, yard: &Yard, priced: &Priced, divisions: &mut [Option<Division>], steps: &mut usize) {
    let mut counts = problem.counts(divisions);
    let mut now = problem.quick(yard, &counts);
    let ways: Vec<Vec<Vec<usize>>> = problem.graphs.iter().map(|g| all_ways(g, &priced.values)).collect();
    let mut changed = true;
    while changed {
        changed = false;
        for (t, task) in problem.tasks.iter().enumerate().filter(|(_, t)| t.free) {
            let taken = problem.taken(task, divisions);
            for way in ways.get(task.graph).into_iter().flatten() {
                let Some(Some(old)) = divisions.get(t) else { break };
                if *way == old.nodes && !old.classes.is_empty() && old.nodes.len() + 1 == old.classes.len() {
                    continue;
                }
                let new = problem.division(task, way);
                let worse = |d: &Division| d.lines.iter().filter(|l| taken.contains(l)).count();
                if worse(&new) > worse(old) {
                    continue;
                }
                if *steps == 0 {
                    return;
                }
                *steps -= 1;
                let mut other = counts.clone();
                for c in &old.classes {
                    other[*c] -= 1;
                }
                for c in &new.classes {
                    other[*c] += 1;
                }
                let then = problem.quick(yard, &other);
                if worse(&new) < worse(old) || then < now {
                    now = then;
                    counts = other;
                    changed = true;
                    if let Some(slot) = divisions.get_mut(t) {
                        *slot = Some(new);
                    }
                }
            }
        }
    }
}

/// Divides one stretch after the other into fewer pieces where the boards cost no more.
fn fewer_joints(problem: &Job, yard: &Yard, cost: u64, effort: &Effort, divisions: &mut [Option<Division>]) {
    let mut counts = problem.counts(divisions);
    let even = vec![1; problem.sizes.len()];
    let ways: Vec<Vec<Vec<usize>>> = problem.graphs.iter().map(|g| all_ways(g, &even)).collect();
    let mut searches = SEARCHES;
    for (t, task) in problem.tasks.iter().enumerate().filter(|(_, t)| t.free) {
        let taken = problem.taken(task, divisions);
        let Some(Some(old)) = divisions.get(t).cloned() else { continue };
        for way in ways.get(task.graph).into_iter().flatten() {
            if way.len() + 1 >= old.classes.len() {
                break;
            }
            let new = problem.division(task, way);
            if new.lines.iter().any(|l| taken.contains(l)) {
                continue;
            }
            let mut other = counts.clone();
            for c in &old.classes {
                other[*c] -= 1;
            }
            for c in &new.classes {
                other[*c] += 1;
            }
            let mut then = problem.quick(yard, &other).0;
            if then > cost && searches > 0 {
                searches -= 1;
                let classes = problem.classes(&other);
                let plain = plain::longest_first(yard, &classes);
                let few = Effort { plan_steps: effort.plan_steps / 20, ..*effort };
                then = yard.total(&super::best_patterns(yard, &classes, plain, &few).0);
            }
            if then <= cost {
                counts = other;
                if let Some(slot) = divisions.get_mut(t) {
                    *slot = Some(new);
                }
                break;
            }
        }
    }
}

/// The ways through a stretch, cheapest at these prices first.
fn all_ways(graph: &Graph, values: &[u64]) -> Vec<Vec<usize>> {
    let mut all: Vec<(u64, Vec<usize>)> = Vec::new();
    let mut looked = 20_000_usize;
    let mut way = Vec::new();
    extend(graph, values, 0, 0, &mut way, &mut all, &mut looked);
    all.sort();
    all.truncate(WAYS);
    all.into_iter().map(|(_, w)| w).collect()
}

fn extend(
    graph: &Graph,
    values: &[u64],
    node: usize,
    paid: u64,
    way: &mut Vec<usize>,
    all: &mut Vec<(u64, Vec<usize>)>,
    looked: &mut usize,
) {
    let from = graph.arcs.partition_point(|a| a.0 < node);
    for (_, to, class) in graph.arcs.iter().skip(from).take_while(|a| a.0 == node) {
        if *looked == 0 {
            return;
        }
        *looked -= 1;
        let paid = paid.saturating_add(values.get(*class).copied().unwrap_or(0));
        if *to + 1 == graph.nodes() {
            all.push((paid, way.clone()));
        } else {
            way.push(*to);
            extend(graph, values, *to, paid, way, all, looked);
            way.pop();
        }
    }
}
