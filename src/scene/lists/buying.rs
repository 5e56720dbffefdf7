//! The buying list: what is not on the roof yet, in the sizes in which it is sold.

use std::collections::BTreeMap;

use super::super::{Cell, ColumnKind, Table};
use super::{proof, text};
use crate::check::{Context, OnSlope};
use crate::cutting::{self, Effort, Stock, Yard};
use crate::design::{LaidKind, Priced};
use crate::lattice::{Boards, CutBoard, Landing, is_laid, path_length};
use crate::parts::{Amount, Kind, fastener_mass};
use crate::quantity::{Length, show_total_length};

/// One thing to buy.
struct Row {
    item: &'static str,
    size: String,
    length: Option<f64>,
    place: String,
    needed: u64,
    spares: u64,
    /// Mass of one, kilograms, where it is known.
    mass: Option<f64>,
    bundle: Option<u64>,
    price: Option<(u64, u64)>,
}

/// The buying list.
pub fn table(ctx: &Context<'_>, boards: &Boards) -> Table {
    let mut table = Table::new(
        "buying-list",
        "Buying list",
        &[
            ("item", ColumnKind::Text),
            ("size", ColumnKind::Text),
            ("length", ColumnKind::Length),
            ("for", ColumnKind::Text),
            ("needed", ColumnKind::Count),
            ("spares", ColumnKind::Count),
            ("buy", ColumnKind::Count),
            ("mass of one", ColumnKind::Mass),
            ("mass of all", ColumnKind::Mass),
            ("in a bundle", ColumnKind::Count),
            ("bundles", ColumnKind::Count),
            ("mass of a bundle", ColumnKind::Mass),
            ("pack", ColumnKind::Count),
            ("packs", ColumnKind::Count),
            ("price of a pack", ColumnKind::Money),
            ("price of all", ColumnKind::Money),
        ],
    );
    let buying = &ctx.design.buying;
    let rows = rows(ctx, boards);
    let mut total: u64 = 0;
    let mut unpriced: Vec<&str> = Vec::new();
    let mut mass_of_all = 0.0;
    let mut unweighed: Vec<&str> = Vec::new();
    for r in &rows {
        let buy = r.needed + r.spares;
        let mass = |count: u64| r.mass.map_or(Cell::Empty, |one| Cell::Mass(one * count as f64));
        mass_of_all += r.mass.unwrap_or_default() * buy as f64;
        if r.mass.is_none() {
            unweighed.push(r.item);
        }
        let mut cells = vec![
            text(r.item),
            text(&r.size),
            r.length.map_or(Cell::Empty, Cell::Length),
            text(&r.place),
            Cell::Count(r.needed),
            Cell::Count(r.spares),
            Cell::Count(buy),
            mass(1),
            mass(buy),
        ];
        match r.bundle {
            Some(n) => {
                let bundles = buy.div_ceil(n);
                cells.extend([Cell::Count(n), Cell::Count(bundles), mass(n.min(buy))]);
            }
            None => cells.extend([Cell::Empty, Cell::Empty, Cell::Empty]),
        }
        match r.price {
            Some((price, pack)) => {
                let packs = buy.div_ceil(pack);
                let paid = packs.saturating_mul(price);
                total = total.saturating_add(paid);
                cells.extend([Cell::Count(pack), Cell::Count(packs), money(price), money(paid)]);
            }
            None if buy > 0 && !unpriced.contains(&r.item) => unpriced.push(r.item),
            None => {}
        }
        table.push(cells);
    }
    let mut last = vec![Cell::Empty; table.columns.len()];
    for (at, cell) in [(0, text("total")), (8, Cell::Mass(mass_of_all))] {
        if let Some(slot) = last.get_mut(at) {
            *slot = cell;
        }
    }
    if !buying.prices.is_empty()
        && let Some(slot) = last.last_mut()
    {
        *slot = money(total);
    }
    table.push(last);
    table.notes = proof(ctx, boards);
    table.notes.push(format!(
        "Spare fasteners cover {} misses; that is enough 97 times in 100. Never pull out a fastener that missed.",
        buying.miss_rate.value.show()
    ));
    table.notes.push("Net of the plan: no waste allowance. Tape is bought by the roll, and a length of tape may run from one roll onto the next. Offcuts of strip are used on other lines; offcuts of vent pieces only along their own edge.".into());
    if !unweighed.is_empty() {
        table
            .notes
            .push(format!("The total mass is without what the design does not weigh: {}.", unweighed.join(", ")));
    }
    if !buying.prices.is_empty() {
        let currency = if buying.currency.is_empty() { String::new() } else { format!(" in {}", buying.currency) };
        let missing = if unpriced.is_empty() {
            "everything on the list is priced".to_owned()
        } else {
            format!("the design gives no price for: {}", unpriced.join(", "))
        };
        table.notes.push(format!("Prices{currency} are those of the design; {missing}."));
    }
    for d in &buying.defaults {
        table.notes.push(format!("{} = {} ({})", d.key, d.value, d.why));
    }
    table
}

fn money(hundredths: u64) -> Cell {
    Cell::Money(i64::try_from(hundredths).unwrap_or(i64::MAX))
}

fn rows(ctx: &Context<'_>, boards: &Boards) -> Vec<Row> {
    // Boards stand first: they are most of the load.
    let others = Kind::ALL.into_iter().filter(|k| *k != Kind::Batten);
    let rows = std::iter::once(Kind::Batten).chain(others).flat_map(|kind| match kind {
        Kind::Batten => board_rows(ctx, boards),
        Kind::Tape => tape_rows(ctx),
        Kind::Strip => strip_rows(ctx),
        Kind::VentPiece => vent_rows(ctx),
        Kind::Fasteners => vec![fastener_row(ctx)],
        Kind::Clip => clip_rows(ctx),
        // There already, or another trade's; fasteners still to be driven are counted with the others.
        Kind::Member | Kind::Deck | Kind::Membrane | Kind::Strap | Kind::LeftIn | Kind::ToDrive | Kind::Insulation => {
            Vec::new()
        }
    });
    rows.collect()
}

/// The price of a thing in hundredths, and how many are in a pack.
fn price(ctx: &Context<'_>, of: Priced) -> Option<(u64, u64)> {
    ctx.design.buying.price(of).map(|p| (p.price.hundredths(), p.pack))
}

fn board_rows(ctx: &Context<'_>, boards: &Boards) -> Vec<Row> {
    let (spec, buying) = (&ctx.design.lattice.batten, &ctx.design.buying);
    let (thick, wide) = (spec.thickness.metres(), spec.width.metres());
    let row = |stock: &Length| {
        let alike = |b: &&CutBoard| (b.stock - stock.metres()).abs() < 1e-6;
        let needed = boards.boards.iter().filter(alike).count() as u64;
        // A length that no piece asks for is not on the list.
        (needed > 0).then(|| Row {
            item: "batten board",
            size: format!("{} x {}", ctx.show(thick), ctx.show(wide)),
            length: Some(stock.metres()),
            place: "all slopes".into(),
            needed,
            spares: 0,
            mass: Some(stock.metres() * (wide * thick) * spec.density.value.kg_per_m3()),
            bundle: u64::try_from(buying.bundle.value).ok(),
            price: buying.board_price(*stock).map(|p| (p.price.hundredths(), p.pack)),
        })
    };
    spec.stock.value.iter().filter_map(row).collect()
}

fn tape_rows(ctx: &Context<'_>) -> Vec<Row> {
    let spec = &ctx.design.lattice.tape;
    let roll = spec.roll.metres();
    let mut lengths: BTreeMap<i64, f64> = BTreeMap::new();
    for on in &ctx.slopes {
        for t in on.lattice.tapes.iter().filter(|t| !line_laid(ctx, on, t.line, LaidKind::Tape)) {
            *lengths.entry(nanometres(t.roll_width)).or_default() += path_length(&t.path);
        }
    }
    let row = |(width, length): (i64, f64)| {
        let width = width as f64 * 1e-9;
        Row {
            item: "tape roll",
            size: format!("{} wide", ctx.show(width)),
            length: Some(roll),
            place: format!("{} of tape", show_total_length(Length::from_metres(length), ctx.design.units)),
            needed: (length / roll - 1e-9).ceil().max(0.0) as u64,
            spares: 0,
            mass: Some(roll * width * spec.thickness.metres() * spec.density.value.kg_per_m3()),
            bundle: None,
            price: price(ctx, Priced::TapeRoll),
        }
    };
    lengths.into_iter().map(row).collect()
}

fn strip_rows(ctx: &Context<'_>) -> Vec<Row> {
    let spec = &ctx.design.lattice.strip;
    let mut by_size: BTreeMap<(i64, i64), Vec<f64>> = BTreeMap::new();
    for on in &ctx.slopes {
        for s in on.lattice.strips.iter().filter(|s| !line_laid(ctx, on, s.line, LaidKind::Strips)) {
            let key = (nanometres(s.stock_width), nanometres(s.top - s.bottom));
            by_size.entry(key).or_default().push(path_length(&s.path));
        }
    }
    let row = |((width, height), lengths): ((i64, i64), Vec<f64>)| {
        let (width, height) = (width as f64 * 1e-9, height as f64 * 1e-9);
        let stock = spec.stock.metres();
        Row {
            item: "strip",
            size: format!("{} x {}", ctx.show(width), ctx.show(height)),
            length: Some(stock),
            place: format!("{} pieces on lines", lengths.len()),
            needed: whole(stock, &lengths),
            spares: 0,
            mass: Some(stock * width * height * spec.density.value.kg_per_m3()),
            bundle: None,
            price: price(ctx, Priced::Strip),
        }
    };
    by_size.into_iter().map(row).collect()
}

fn vent_rows(ctx: &Context<'_>) -> Vec<Row> {
    let spec = &ctx.design.lattice.vent;
    let (stock, width, height) = (spec.stock.metres(), spec.width.metres(), spec.height.metres());
    let mut rows = Vec::new();
    for on in ctx.slopes.iter().filter(|on| !is_laid(ctx.design, on.id, LaidKind::VentPieces, None, None)) {
        // By edge: the name of a vent piece is its edge and its number.
        let mut edges: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
        for v in &on.lattice.vents {
            let edge = v.name.rsplit_once('.').map_or(v.name.as_str(), |(edge, _)| edge);
            edges.entry(edge).or_default().push(v.x.1 - v.x.0);
        }
        rows.extend(edges.into_iter().map(|(edge, lengths)| Row {
            item: "vent piece",
            size: format!("{} x {}", ctx.show(width), ctx.show(height)),
            length: Some(stock),
            place: format!("{edge}.01 to {edge}.{:02}", lengths.len()),
            needed: whole(stock, &lengths),
            spares: 0,
            mass: Some(stock * width * height * spec.density.value.kg_per_m3()),
            bundle: None,
            price: price(ctx, Priced::VentPiece),
        }));
    }
    rows
}

fn fastener_row(ctx: &Context<'_>) -> Row {
    let f = &ctx.design.fastening;
    Row {
        item: f.kind.value.word(),
        size: ctx.parts().fastener_size(),
        length: None,
        place: "all slopes".into(),
        needed: ctx.slopes.iter().map(|on| fasteners_to_drive(ctx, on)).sum(),
        spares: spares_by_slope(ctx).iter().sum(),
        mass: Some(fastener_mass(f)),
        bundle: None,
        price: price(ctx, Priced::Fastener),
    }
}

/// Clips of the panels and their screws, as quantities count them.
fn clip_rows(ctx: &Context<'_>) -> Vec<Row> {
    let parts = ctx.parts();
    let mut all: BTreeMap<(&str, String), u64> = BTreeMap::new();
    for Amount { what, size, count, .. } in
        parts.homes().flat_map(|home| parts.ids(Kind::Clip, home)).flat_map(|id| parts.amounts(id))
    {
        *all.entry((what, size)).or_default() += count as u64;
    }
    let row = |((item, size), needed)| Row {
        item,
        size,
        length: None,
        place: "the roofing's panels".into(),
        needed,
        spares: 0,
        mass: None,
        bundle: None,
        price: None,
    };
    all.into_iter().map(row).collect()
}

fn nanometres(metres: f64) -> i64 {
    (metres * 1e9).round() as i64
}

/// How many stock lengths hold these pieces.
fn whole(stock: f64, lengths: &[f64]) -> u64 {
    let unsigned = |v: f64| u64::try_from(nanometres(v)).unwrap_or(0);
    let yard = Yard { stock: vec![Stock { length: unsigned(stock), cost: 1 }], kerf: 0 };
    // A piece is never longer than what it is cut from; a last digit must not make it so.
    let lengths: Vec<u64> = lengths.iter().map(|l| unsigned(*l).min(unsigned(stock))).collect();
    cutting::cut(&yard, &lengths, &Effort::FULL).cost
}

fn line_laid(ctx: &Context<'_>, on: &OnSlope<'_>, line: Option<u32>, what: LaidKind) -> bool {
    let line = line.and_then(|l| on.lattice.lines.get(l as usize));
    match (line, what) {
        (Some(l), LaidKind::Tape) => l.tape_laid,
        (Some(l), _) => l.strips_laid,
        (None, _) => is_laid(ctx.design, on.id, what, None, None),
    }
}

/// Fasteners of a slope that are not driven yet.
pub fn fasteners_to_drive(ctx: &Context<'_>, on: &OnSlope<'_>) -> u64 {
    let free = |l: &&Landing| !on.lattice.is_driven(ctx.design, on.id, l);
    on.lattice.landings.iter().filter(free).map(|l| u64::from(l.count)).sum()
}

/// The spares of the whole roof, shared out to its slopes by what is to be driven on each.
pub fn spares_by_slope(ctx: &Context<'_>) -> Vec<u64> {
    let drive: Vec<u64> = ctx.slopes.iter().map(|on| fasteners_to_drive(ctx, on)).collect();
    let needed: u64 = drive.iter().sum();
    let spares = spares(needed, ctx.design.buying.miss_rate.value.fraction());
    // What is rounded off one slope comes to a later one: the shares add up to the whole.
    let mut driven = 0;
    let share = |n: &u64| {
        let before = driven;
        driven += n;
        spares * driven / needed.max(1) - spares * before / needed.max(1)
    };
    drive.iter().map(share).collect()
}

/// Spares so that fasteners last: of `n / (1 - p)` that are driven on average until `n` hold, and two standard deviations,
/// `sqrt(n p) / (1 - p)` each (negative binomial distribution), what goes beyond `n`, rounded up.
fn spares(needed: u64, miss_rate: f64) -> u64 {
    let (n, p) = (needed as f64, miss_rate.clamp(0.0, 0.99));
    ((n * p + 2.0 * (n * p).sqrt()) / (1.0 - p) - 1e-9).ceil().max(0.0) as u64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spares_follow_the_negative_binomial_distribution() {
        // 900 at 3 %: 27 / 0.97 = 27.835 missed, sqrt(27) / 0.97 = 5.357; 27.835 + 10.714 = 38.549.
        assert_eq!(spares(900, 0.03), 39);
        assert_eq!(spares(0, 0.03), 0);
        assert_eq!(spares(900, 0.0), 0);
        // 100 at 50 %: 100 + 2 * 7.0711 / 0.5 = 128.28.
        assert_eq!(spares(100, 0.5), 129);
    }

    #[test]
    fn stock_lengths_are_shared() {
        assert_eq!(whole(1.2, &[1.2, 0.6, 0.6, 0.3]), 3);
        assert_eq!(whole(1.2, &[1.200_000_000_4, 1.2]), 2);
        assert_eq!(whole(1.2, &[]), 0);
    }
}
