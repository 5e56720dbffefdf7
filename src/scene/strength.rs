//! Strength in the report: what it rests on, the share of every landing and piece, and a look of the model.

use schemars::JsonSchema;
use serde::Serialize;

use super::Look;
use crate::check::Context;
use crate::check::Verdict;
use crate::check::strength::basis::Subject;
use crate::check::strength::path::{Analysis, Landed};
use crate::check::strength::{self, clip_overloaded, combination, each_landing, memory};

/// What strength rests on, and the share of every piece.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct StrengthRecord {
    /// Said with every result.
    pub caution: String,
    /// The rule set.
    pub rules: String,
    /// Whose load combinations.
    pub combinations: String,
    /// What is superseded, if anything is.
    pub superseded: Option<String>,
    /// Sources that are from memory and that the design does not confirm.
    pub unconfirmed: Vec<String>,
    /// Loads that were not computed, and why.
    pub not_checked: Vec<String>,
    /// Landings that carry their share.
    pub carrying: usize,
    /// Every piece whose board was computed, with its share.
    pub pieces: Vec<PieceUseRecord>,
    /// Every clip whose screws were computed, with its share.
    pub clips: Vec<PieceUseRecord>,
}

/// The share of a piece or a clip.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct PieceUseRecord {
    /// The piece or the clip.
    pub name: String,
    /// Demand over capacity.
    pub utilisation: f64,
    /// By the share; `unconfirmed` instead of `pass` where it rests on a value from memory that is not confirmed.
    pub verdict: Verdict,
    /// What decides.
    pub mode: String,
    /// The combination.
    pub combination: String,
}

/// The share of a landing.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct UtilisationRecord {
    /// Demand over capacity of its fasteners.
    pub utilisation: f64,
    /// By the share; `unconfirmed` instead of `pass` where it rests on a value from memory that is not confirmed.
    pub verdict: Verdict,
    /// What decides.
    pub mode: String,
    /// The combination.
    pub combination: String,
    /// Force out of the slope, newtons; below zero where the batten bears.
    pub out: f64,
    /// Force down the slope, newtons.
    pub down: f64,
}

/// The record of the whole; `None` where strength was not checked.
pub fn record(ctx: &Context<'_>) -> Option<StrengthRecord> {
    let a = ctx.strength().ok()?;
    let pieces = ctx.slopes.iter().zip(&a.slopes).flat_map(|(on, pieces)| {
        on.lattice.pieces.iter().zip(pieces).filter_map(|(piece, of)| {
            let used = of.board.as_ref().filter(|u| u.ratio.is_finite())?;
            Some(PieceUseRecord {
                name: piece.name.clone(),
                utilisation: used.ratio,
                verdict: memory::verdict(used.ratio, &a.basis, Subject::Board),
                mode: used.mode.words().to_owned(),
                combination: combination(&a.basis, used.combination),
            })
        })
    });
    let clips = clip_overloaded::each_computed(ctx, a).into_iter().filter(|(.., used)| used.ratio.is_finite());
    let clips = clips.map(|(on, clip, used)| PieceUseRecord {
        name: on.lattice.clip_name(clip),
        utilisation: used.ratio,
        verdict: memory::verdict(used.ratio, &a.basis, Subject::Clip),
        mode: used.mode.words().to_owned(),
        combination: combination(&a.basis, used.combination),
    });
    Some(StrengthRecord {
        caution: strength::SUPPORTS.to_owned(),
        rules: a.basis.rules().to_owned(),
        combinations: a.basis.standard.word().to_owned(),
        superseded: a.basis.superseded.clone(),
        unconfirmed: a.basis.unconfirmed(),
        not_checked: a.basis.left_out.clone(),
        carrying: strength::carrying(ctx, a),
        pieces: pieces.collect(),
        clips: clips.collect(),
    })
}

/// The record of one landing; `None` where it was not computed.
pub fn of_landing(a: &Analysis, landed: &Landed) -> Option<UtilisationRecord> {
    let Landed::Used(used) = landed else { return None };
    used.ratio.is_finite().then(|| UtilisationRecord {
        utilisation: used.ratio,
        verdict: memory::verdict(used.ratio, &a.basis, Subject::Landing),
        mode: used.mode.words().to_owned(),
        combination: combination(&a.basis, used.combination),
        out: used.out,
        down: used.down,
    })
}

/// Upper ends of the bins.
const BINS: [f64; 5] = [0.25, 0.5, 0.75, 1.0, 1.5];

/// The bin of a share.
fn bin(ratio: f64) -> u8 {
    let below = BINS.iter().position(|b| ratio <= *b).unwrap_or(BINS.len());
    u8::try_from(below).unwrap_or(u8::MAX)
}

/// The model by load; none where strength was not checked.
pub fn load_look(ctx: &Context<'_>) -> Option<Look> {
    let a = ctx.strength().ok()?;
    let nothing = u8::try_from(BINS.len() + 1).unwrap_or(u8::MAX);
    let mut look = Look { name: "by load".to_owned(), ..Look::default() };
    let mut low = 0.0;
    for high in BINS {
        look.bins.push(format!("{low} to {high} of what it holds"));
        low = high;
    }
    look.bins.push(format!("above {low} of what it holds"));
    look.bins.push("holds nothing, or not computed".to_owned());
    for (on, landing, _, landed) in each_landing(ctx, a) {
        let bin = if let Landed::Used(used) = landed { bin(used.ratio) } else { nothing };
        look.of.insert(ctx.landing_name(on, landing), bin);
    }
    for (on, pieces) in ctx.slopes.iter().zip(&a.slopes) {
        for (piece, of) in on.lattice.pieces.iter().zip(pieces) {
            let bin = of.board.as_ref().map_or(nothing, |used| bin(used.ratio));
            look.of.insert(piece.name.clone(), bin);
        }
    }
    for (on, clip, used) in clip_overloaded::each_computed(ctx, a) {
        look.of.insert(on.lattice.clip_name(clip), bin(used.ratio));
    }
    Some(look)
}
