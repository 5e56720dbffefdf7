//! The cut list: every piece by course, with the board that it comes from.

use super::super::{Cell, ColumnKind, Table};
use super::{count, proof, text};
use crate::check::Context;
use crate::lattice::{Boards, End, PieceAt};
use std::collections::BTreeMap;

/// The cut list. Boards are numbered in the order in which the courses need them.
pub fn table(ctx: &Context<'_>, boards: &Boards) -> Table {
    let mut table = Table::new(
        "cut-list",
        "Cut list",
        &[
            ("slope", ColumnKind::Text),
            ("course", ColumnKind::Text),
            ("piece", ColumnKind::Text),
            ("length", ColumnKind::Length),
            ("left end", ColumnKind::Text),
            ("right end", ColumnKind::Text),
            ("board", ColumnKind::Count),
            ("board length", ColumnKind::Length),
            ("begins at", ColumnKind::Length),
            ("takes", ColumnKind::Length),
            ("rest", ColumnKind::Length),
            ("rest is for", ColumnKind::Text),
            ("remark", ColumnKind::Text),
        ],
    );
    let kerf = ctx.design.buying.kerf.metres();
    // Where on which board each piece lies.
    let mut on_board: BTreeMap<PieceAt, (usize, usize)> = BTreeMap::new();
    for (b, board) in boards.boards.iter().enumerate() {
        for (k, sawn) in board.pieces.iter().enumerate() {
            on_board.insert(sawn.piece, (b, k));
        }
    }
    let name = |at: PieceAt| {
        let piece = ctx.lattice.slopes.get(at.0).and_then(|s| s.pieces.get(at.1));
        piece.map_or("", |p| p.name.as_str())
    };
    for (s, on) in ctx.slopes.iter().enumerate() {
        for (p, piece) in on.lattice.pieces.iter().enumerate() {
            let course = on.lattice.courses.get(piece.course as usize).map_or("", |c| c.name.as_str());
            let mut row = vec![
                text(&on.frame.name),
                text(course),
                text(&piece.name),
                Cell::Length(piece.saw_lengths(ctx.design, &on.frame.outline).middle),
                text(end(on.lattice, piece.ends.0)),
                text(end(on.lattice, piece.ends.1)),
            ];
            match on_board.get(&(s, p)).and_then(|(b, k)| Some((*b, *k, boards.boards.get(*b)?))) {
                Some((b, k, board)) => {
                    let Some(sawn) = board.pieces.get(k) else { continue };
                    let after = (board.stock - sawn.at - sawn.length - kerf).max(0.0);
                    let next = match board.pieces.get(k + 1) {
                        Some(next) => name(next.piece).to_owned(),
                        None if after > 0.0 => "offcut".to_owned(),
                        None => String::new(),
                    };
                    row.extend([
                        count(b + 1),
                        Cell::Length(board.stock),
                        Cell::Length(sawn.at),
                        Cell::Length(sawn.length),
                        Cell::Length(after),
                        text(next),
                    ]);
                }
                None => {
                    row.resize(12, Cell::Empty);
                    let why = if piece.laid { "laid" } else { "no stock length is long enough" };
                    row.push(text(why));
                }
            }
            table.push(row);
        }
    }
    table.notes = proof(ctx, boards);
    table.notes.push(format!(
        "Lengths are along the middle of the face that lies on the strips. Angled pieces take their board long point to long point. Saw cut {}; each cut comes after its piece. Measure the course before you cut.",
        ctx.show(kerf)
    ));
    if !boards.too_long.is_empty() {
        table.notes.push(format!("{} pieces are longer than the longest stock length.", boards.too_long.len()));
    }
    table
}

fn end(lattice: &crate::lattice::SlopeLattice, end: End) -> String {
    match end {
        End::Edge { slanted: true, .. } => "cut along the edge".into(),
        End::Edge { .. } => "square at the edge".into(),
        End::Opening => "square at the opening".into(),
        End::Gap => "square at the gap".into(),
        End::Joint { line } => {
            format!("joint on {}", lattice.lines.get(line as usize).map_or("", |l| l.name.as_str()))
        }
        End::JointOverNothing => "joint over nothing".into(),
        End::Free => "square".into(),
    }
}
