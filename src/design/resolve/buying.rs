//! Joints that are given; sawing, spares, bundles and prices.

use super::super::file::{DesignFile, JointsFile, Located, PriceFile};
use super::super::model::*;
use super::super::reader::Reader;
use super::framing::each;
use super::once_each;
use crate::quantity::{Length, Percentage};

/// Joints that are given, course by course, as far as they could be judged.
pub fn joints(r: &mut Reader<'_>, file: &DesignFile) -> Vec<PinnedJoints> {
    let all = each(r, "joints", &file.joints, |r, key, t: &Located<JointsFile>| {
        let (f, at) = (t.get(), t.span());
        let course = r.need(&format!("{key}.course"), &f.course, &at, "the name of a course, such as \"S-B03\"");
        let Some(written) = &f.lines else {
            let hint = "the lines of all its joints, such as lines = [\"S-L05\"]; lines = [] for a course of one board";
            r.fault(at.start..at.start, &format!("{key}.lines"), "missing `lines`", hint);
            let span = f.course.as_ref().map_or(at, |w| w.span.clone());
            return Some(PinnedJoints { course: course?.value, lines: Vec::new(), key: key.to_owned(), span });
        };
        let read = |(i, w): (usize, &super::Written<String>)| {
            r.maybe(&format!("{key}.lines[{}]", i + 1), &Some(w.clone())).map(|g| (g.value, w.span.clone()))
        };
        let lines: Vec<_> = written.iter().enumerate().filter_map(read).collect();
        let span = f.course.as_ref().map_or(at, |w| w.span.clone());
        Some(PinnedJoints { course: course?.value, lines, key: key.to_owned(), span })
    });
    let told = all.iter().map(|j| (j.course.as_str(), &j.span, format!("{}.course", j.key)));
    once_each(r, told, |course| format!("the joints of \"{course}\" are given twice"), "one table for each course");
    all
}

/// Sawing, spares, bundles and prices. `stock` are the boards' stock lengths; `None` where these are at fault.
pub fn buying(r: &mut Reader<'_>, file: &DesignFile, stock: Option<&[Length]>) -> Option<Buying> {
    // The lists show these once more, beside what they move.
    let before = r.defaults.len();
    let f = file.buying.as_ref().map(Located::get);
    let kerf = r.length_or(
        "buying.kerf",
        f.map_or(&None, |f| &f.kerf),
        Length::from_inches(0.125),
        "a circular saw's blade; common practice, no source",
    );
    let rate = Percentage::from_hundredths_of_percent(300);
    let miss_rate = r.or(
        "buying.miss_rate",
        f.map_or(&None, |f| &f.miss_rate),
        rate,
        "3 %",
        "common practice, no source: fasteners into members that nobody sees",
    );
    let bundle = r.count_or(
        "buying.bundle",
        f.map_or(&None, |f| &f.bundle),
        6,
        1..=1000,
        "what one person carries up; common practice, no source",
    );
    let defaults = r.defaults.get(before..).unwrap_or_default().to_vec();
    let currency = match f.map_or(&None, |f| &f.currency) {
        None => Some(String::new()),
        written => r.maybe("buying.currency", written).map(|g| g.value),
    };
    let prices = each(r, "price", &file.price, |r, key, t: &Located<PriceFile>| price(r, key, t, stock));
    if let (Some(shortest), Some(kerf)) = (stock.and_then(<[Length]>::first), &kerf)
        && kerf.value.metres() * 4.0 > shortest.metres()
    {
        let span = f.and_then(|f| f.kerf.as_ref()).map_or(0..0, |w| w.span.clone());
        r.fault(span, "buying.kerf", "this is no saw cut", "a saw cut is about 1/8 in or 3 mm wide");
    }
    for (i, p) in prices.iter().enumerate() {
        if prices.iter().take(i).any(|o| o.of == p.of && o.length == p.length) {
            let tables = r.tables("price", &file.price);
            let (key, span) = tables.get(i).map_or((String::new(), 0..0), |(k, t)| (k.clone(), t.span()));
            let message = format!("a {} has two prices", p.of.word());
            r.fault(span, &key, message, "one table for each thing");
        }
    }
    let whole = prices.len() == r.tables("price", &file.price).len();
    let (kerf, miss_rate, bundle) = (kerf?, miss_rate?, bundle?);
    let made = Buying { kerf, miss_rate, bundle, currency: currency?, prices, defaults };
    let missing: Vec<String> =
        stock.unwrap_or_default().iter().filter(|s| made.board_price(**s).is_none()).map(|s| s.show(r.units)).collect();
    if whole && made.price(Priced::Board).is_some() && !missing.is_empty() {
        let first = made.prices.iter().position(|p| p.of == Priced::Board).unwrap_or(0);
        let span = file.price.get(first).map_or(0..0, Located::span);
        let message = format!("no price for boards of {}", missing.join(", "));
        let hint = "price every stock length or none, so that dear and cheap boards can be compared";
        r.fault(span, &format!("price[{}]", first + 1), message, hint);
        return None;
    }
    Some(made)
}

fn price(r: &mut Reader<'_>, key: &str, t: &Located<PriceFile>, stock: Option<&[Length]>) -> Option<Price> {
    let (f, at) = (t.get(), t.span());
    let hint = "write of = \"board\", \"tape roll\", \"strip\", \"vent piece\" or \"fastener\"";
    let of = r.need(&format!("{key}.of"), &f.of, &at, hint);
    let price = r.need(&format!("{key}.price"), &f.price, &at, "what one pays, such as price = \"12.40\"");
    let pack = match &f.pack {
        None => Some(1),
        written => match r.maybe(&format!("{key}.pack"), written).map(|g| g.value) {
            None => None,
            Some(n @ 1..=1_000_000) => u64::try_from(n).ok(),
            Some(n) => {
                let span = f.pack.as_ref().map_or(at.clone(), |w| w.span.clone());
                r.fault(span, &format!("{key}.pack"), format!("{n} is no pack"), "between 1 and 1000000");
                None
            }
        },
    };
    let length = match &f.length {
        None => Some(None),
        Some(_) => r.size(&format!("{key}.length"), &f.length, &at, "").map(|g| Some(g.value)),
    };
    let of = of?.value;
    let span = f.length.as_ref().map_or(at.clone(), |w| w.span.clone());
    let board = of == Priced::Board;
    let known = |l: Length| stock.is_none_or(|all| all.iter().any(|s| (s.metres() - l.metres()).abs() < 1e-6));
    let one_by_one = pack.is_none_or(|n| n == 1) && price.as_ref().is_none_or(|p| p.value.hundredths() != 0);
    if board && !one_by_one {
        r.fault(at, key, "boards are priced one by one, and cost something", "leave `pack` out");
    }
    let length = match length? {
        None if board => {
            r.fault(span, &format!("{key}.length"), "missing length `length`", "which stock length costs this?");
            None
        }
        Some(l) if board && !known(l) => {
            let message = format!("{} is no stock length of the battens", l.show(r.units));
            r.fault(span, &format!("{key}.length"), message, "stock lengths stand in lattice.batten.stock");
            None
        }
        Some(_) if !board => {
            let message = format!("a {} has one length only", of.word());
            r.fault(span, &format!("{key}.length"), message, "leave `length` out");
            None
        }
        length => Some(length),
    };
    let (length, price, pack) = (length?, price?.value, pack?);
    (!board || one_by_one).then_some(Price { of, length, price, pack })
}
