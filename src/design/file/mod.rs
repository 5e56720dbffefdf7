//! The design file as it is written: fields may be missing, values are not yet judged.
//!
//! Every key that a design file may hold is a field here, and nowhere else; the JSON Schema and the search for unknown
//! keys come from these types.

mod air;
mod buying;
mod loads;
mod panels;
mod tolerance;

pub use air::*;
pub use buying::{BuyingFile, JointsFile, PriceFile};
pub use loads::*;
pub use panels::PanelsFile;
pub use tolerance::{AimFile, ToleranceFile};

use schemars::JsonSchema;
use serde::Deserialize;
use serde_spanned::Spanned;

use super::model::*;
use super::scalars::Facing;
use super::written::Written;
use crate::quantity::{Angle, Density, Length, Units};

/// A list of tables, each with its place in the file.
pub type Tables<T> = Vec<Located<T>>;

/// A table with its place in the file.
#[derive(Clone, Debug, Deserialize)]
#[serde(transparent)]
pub struct Located<T>(pub Spanned<T>);

impl<T: JsonSchema> JsonSchema for Located<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> std::borrow::Cow<'static, str> {
        T::schema_name()
    }
    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        generator.subschema_for::<T>()
    }
}

/// An Airlath design file.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct DesignFile {
    /// Version of this format: 1.
    #[schemars(required)]
    pub format: Option<Written<i64>>,
    /// Name of the roof.
    #[schemars(required)]
    pub name: Option<Written<String>>,
    /// Anything worth saying about it.
    pub about: Option<Written<String>>,
    /// Units in which results are shown: "inches" or "millimetres".
    #[schemars(required)]
    pub units: Option<Written<Units>>,
    /// Short form for a whole roof.
    pub roof: Option<Located<RoofFile>>,
    /// Slopes one by one, instead of the short form.
    #[serde(default)]
    pub slope: Tables<SlopeFile>,
    /// Settings of single edges.
    #[serde(default)]
    pub edge: Tables<EdgeFile>,
    /// Openings in slopes: skylights, chimneys.
    #[serde(default)]
    pub opening: Tables<OpeningFile>,
    /// Fields of rafters.
    #[serde(default)]
    pub rafters: Tables<RaftersFile>,
    /// Eave tails: short members outside the airtight line that carry the eave overhang, each beside its rafter. The keys are
    /// those of rafters: `first` is x of the first tail's own middle (beside its rafter: that of the rafter and half of both
    /// widths), `high` how far up from the eave they reach.
    #[serde(default)]
    pub tails: Tables<RaftersFile>,
    /// Lookouts that carry a rake overhang.
    #[serde(default)]
    pub lookouts: Tables<LookoutsFile>,
    /// Rows of blocking between members that run up the slope.
    #[serde(default)]
    pub blocking: Tables<BlockingFile>,
    /// Trimmers and headers round an opening; they cut the rafters between.
    #[serde(default)]
    pub trim: Tables<TrimFile>,
    /// Single members.
    #[serde(default)]
    pub member: Tables<MemberFile>,
    /// What can still be done to the framing.
    pub framing: Option<Located<FramingFile>>,
    /// Sheathing under the membrane.
    pub deck: Option<Located<DeckFile>>,
    /// The membrane.
    pub membrane: Option<Located<MembraneFile>>,
    /// Flat steel straps.
    #[serde(default)]
    pub straps: Tables<StrapsFile>,
    /// The lattice.
    #[schemars(required)]
    pub lattice: Option<Located<LatticeFile>>,
    /// Fasteners of the battens.
    #[schemars(required)]
    pub fastening: Option<Located<FasteningFile>>,
    /// Limits that the checks use.
    pub limits: Option<Located<LimitsFile>>,
    /// How well things are known.
    pub tolerance: Option<Located<ToleranceFile>>,
    /// Where fasteners are aimed.
    pub aim: Option<Located<AimFile>>,
    /// What the flow of air depends on.
    pub air: Option<Located<AirFile>>,
    /// Rules that place landings over members which run along the eave.
    #[serde(default)]
    pub landings: Tables<LandingsFile>,
    /// Single landings.
    #[serde(default)]
    pub landing: Tables<LandingFile>,
    /// Gaps left in courses, for the air.
    #[serde(default)]
    pub gap: Tables<GapFile>,
    /// Landings whose fasteners go somewhere else than the rule says.
    #[serde(default, rename = "move")]
    pub moves: Tables<MoveFile>,
    /// Landings that are left without fasteners.
    #[serde(default)]
    pub skip: Tables<SkipFile>,
    /// The roofing: panels that run up the slope, with their clips.
    pub panels: Option<Located<PanelsFile>>,
    /// The roof as measured.
    pub found: Option<Located<FoundFile>>,
    /// What is already on the roof.
    #[serde(default)]
    pub laid: Tables<LaidFile>,
    /// What is needed to compute strength, beside the loads.
    pub strength: Option<Located<StrengthFile>>,
    /// Wind.
    pub wind: Option<Located<WindFile>>,
    /// Snow.
    pub snow: Option<Located<SnowFile>>,
    /// Roof live load.
    pub live: Option<Located<LiveFile>>,
    /// Courses whose joints are given.
    #[serde(default)]
    pub joints: Tables<JointsFile>,
    /// How boards are sawn, fasteners counted and loads bundled.
    pub buying: Option<Located<BuyingFile>>,
    /// What things cost.
    #[serde(default)]
    pub price: Tables<PriceFile>,
}

/// Short form for a whole roof.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct RoofFile {
    /// "shed", "gable" or "hip".
    #[schemars(required)]
    pub shape: Option<Written<RoofShape>>,
    /// Length of the main eave.
    pub eave: Option<Written<Length>>,
    /// Width in plan from eave to eave (gable, hip).
    pub width: Option<Written<Length>>,
    /// Length up the slope (shed).
    pub slope_length: Option<Written<Length>>,
    /// Pitch of every slope.
    pub pitch: Option<Written<Angle>>,
    /// Compass direction that the main slope looks to: "south", "SE", or 0 deg north, 90 deg east.
    pub facing: Option<Written<Facing>>,
    /// Height of the eave above the ground.
    pub eave_height: Option<Written<Length>>,
    /// Ridge board; rafters are cut to its sides.
    pub ridge_board: Option<Located<SectionFile>>,
    /// Hip rafters; jack rafters are cut to their sides.
    pub hip_rafter: Option<Located<SectionFile>>,
}

/// One roof plane.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct SlopeFile {
    /// Short name, such as "S".
    pub name: Option<Written<String>>,
    /// World place (east, north, up) of the lower left corner of the outline's bounding rectangle; up counts from the ground, or
    /// from the lowest eave.
    pub eave_point: Option<Vec<Written<Length>>>,
    /// Compass direction that the slope looks to: "south", "SE", or 0 deg north, 90 deg east.
    pub facing: Option<Written<Facing>>,
    /// Pitch.
    pub pitch: Option<Written<Angle>>,
    /// A rectangle: along the eave, up the slope.
    pub size: Option<Vec<Written<Length>>>,
    /// Any simple polygon, counter-clockwise seen from outside: x along the eave, y up the slope.
    pub outline: Option<Vec<Vec<Written<Length>>>>,
}

/// Settings of one edge of an outline.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct EdgeFile {
    /// Which: slope and number, such as "S.3"; edge 1 runs from corner 1 to corner 2. Of a rectangle: 1 eave, 2 right
    /// rake, 3 top, 4 left rake.
    #[schemars(required)]
    pub edge: Option<Written<String>>,
    /// Kind, where its direction guesses wrong.
    pub kind: Option<Written<EdgeKind>>,
    /// How ends are cut at this edge.
    pub cut: Option<Written<EndCut>>,
    /// Distance that the lattice keeps from the edge.
    pub hold_back: Option<Written<Length>>,
    /// Whether a vent piece lies along it.
    pub vent: Option<Written<bool>>,
    /// Whether air passes over it to the slope that shares it: "open" or "closed" (hips, valleys, tops without vent
    /// pieces); of a rake, whether it is open to the outside through a screened piece.
    pub air: Option<Written<EdgeAir>>,
    /// Thickness of wall insulation that another trade will still put on above this edge.
    pub insulation_to_come: Option<Written<Length>>,
    /// Distance in plan between the edge and the ends of the framing that reaches it.
    pub framing_setback: Option<Written<Length>>,
    /// The edge of another slope that coincides with this one.
    pub shared_with: Option<Written<String>>,
}

/// A rectangular opening in a slope.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct OpeningFile {
    /// Slope; may be left out where there is one.
    pub slope: Option<Written<String>>,
    /// Name.
    pub name: Option<Written<String>>,
    /// Lower left corner: x, y.
    pub at: Option<Vec<Written<Length>>>,
    /// Width along the eave, height up the slope.
    pub size: Option<Vec<Written<Length>>>,
}

/// A cross-section.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct SectionFile {
    /// Nominal lumber size, such as "2x10" (dressed sizes of PS 20).
    pub nominal: Option<Written<String>>,
    /// Width across; of an I-joist the flange's width.
    pub width: Option<Written<Length>>,
    /// Depth.
    pub depth: Option<Written<Length>>,
    /// Thickness of an I-joist's flange; makes the section an I-joist.
    pub flange: Option<Written<Length>>,
    /// Thickness of an I-joist's web.
    pub web: Option<Written<Length>>,
    /// Laid flat: width and depth change places.
    pub flat: Option<Written<bool>>,
}

/// A field of rafters or tails.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct RaftersFile {
    /// Slopes; all where left out.
    pub slopes: Option<Vec<Written<String>>>,
    /// Cross-section.
    pub section: Option<Located<SectionFile>>,
    /// Wood of these members, where it is not that of `strength.members`: a species (NDS) or a strength class (EC5).
    pub wood: Option<Written<String>>,
    /// On-centre spacing.
    #[schemars(required)]
    pub spacing: Option<Written<Length>>,
    /// x of the first centre line.
    pub first: Option<Written<Length>>,
    /// x of the last centre line at the most; the outline's right end where left out.
    pub last: Option<Written<Length>>,
    /// Whether one more stands at `last` itself.
    pub close: Option<Written<bool>>,
    /// y of the lower end or bearing line; the outline where left out.
    pub low: Option<Written<Length>>,
    /// y of the upper end; the outline where left out.
    pub high: Option<Written<Length>>,
    /// How far the rafters run past `low`, down the slope.
    pub cantilever: Option<Written<Length>>,
    /// How far the upper face lies below the plane of the framing.
    pub drop: Option<Written<Length>>,
}

/// Lookouts: members along the eave direction, one above the other.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct LookoutsFile {
    /// Slopes; all where left out.
    pub slopes: Option<Vec<Written<String>>>,
    /// Cross-section.
    pub section: Option<Located<SectionFile>>,
    /// Wood of these members, where it is not that of `strength.members`: a species (NDS) or a strength class (EC5).
    pub wood: Option<Written<String>>,
    /// On-centre spacing up the slope.
    pub spacing: Option<Written<Length>>,
    /// y of the first centre line.
    pub first: Option<Written<Length>>,
    /// y of the last centre line at the most; the outline's top where left out.
    pub last: Option<Written<Length>>,
    /// x of the left end.
    pub from: Option<Written<Length>>,
    /// x of the right end.
    pub to: Option<Written<Length>>,
    /// How far the upper face lies below the plane of the framing.
    pub drop: Option<Written<Length>>,
}

/// Rows of blocks.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct BlockingFile {
    /// Slopes; all where left out.
    pub slopes: Option<Vec<Written<String>>>,
    /// Cross-section.
    pub section: Option<Located<SectionFile>>,
    /// Wood of these members, where it is not that of `strength.members`: a species (NDS) or a strength class (EC5).
    pub wood: Option<Written<String>>,
    /// y of each row.
    pub at: Option<Vec<Written<Length>>>,
    /// Blocks from this x on; the outline's left end where left out.
    pub from: Option<Written<Length>>,
    /// Blocks up to this x; the outline's right end where left out.
    pub to: Option<Written<Length>>,
    /// How far the upper face lies below the plane of the framing.
    pub drop: Option<Written<Length>>,
}

/// Trimmers and headers round an opening.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct TrimFile {
    /// Name of the opening.
    pub opening: Option<Written<String>>,
    /// Cross-section.
    pub section: Option<Located<SectionFile>>,
    /// Wood of these members, where it is not that of `strength.members`: a species (NDS) or a strength class (EC5).
    pub wood: Option<Written<String>>,
    /// Trimmers at each side: 1 or 2.
    pub trimmers: Option<Written<i64>>,
    /// Headers above and below: 1 or 2.
    pub headers: Option<Written<i64>>,
    /// Gap between opening and framing.
    pub clearance: Option<Written<Length>>,
}

/// A single member.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct MemberFile {
    /// Kind.
    pub kind: Option<Written<MemberKind>>,
    /// Slope whose coordinates `from` and `to` use; without it they are world coordinates.
    pub slope: Option<Written<String>>,
    /// Cross-section.
    pub section: Option<Located<SectionFile>>,
    /// Wood of this member, where it is not that of `strength.members`: a species (NDS) or a strength class (EC5).
    pub wood: Option<Written<String>>,
    /// Start of the upper face's centre line: x, y on a slope; east, north, up in the world. An end that reaches the
    /// outline is cut as the edge says.
    pub from: Option<Vec<Written<Length>>>,
    /// Its end.
    pub to: Option<Vec<Written<Length>>>,
    /// How far the upper face lies below the plane of the framing (on a slope).
    pub drop: Option<Written<Length>>,
    /// Turn about its own line, from the upper face facing up (world) or out (slope).
    pub roll: Option<Written<Angle>>,
}

/// What can still be done to the framing.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct FramingFile {
    /// From where it can be reached: "above" (over a closed deck: `airlath fix` puts no new wood inside the airtight line, only
    /// under eave tails and rake overhangs) or "below" (blocks anywhere).
    pub reach: Option<Written<Reach>>,
}

/// Sheathing.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct DeckFile {
    /// Thickness.
    pub thickness: Option<Written<Length>>,
}

/// Membrane.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct MembraneFile {
    /// Thickness.
    pub thickness: Option<Written<Length>>,
}

/// Flat steel straps that tie an added overhang to the main framing.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct StrapsFile {
    /// Slopes; all where left out.
    pub slopes: Option<Vec<Written<String>>>,
    /// Kind of the members along which a strap runs, one strap each.
    pub along: Option<Written<MemberKind>>,
    /// Shift of the strap's middle from the member's centre line.
    pub shift: Option<Written<Length>>,
    /// Which way `shift` counts: to the "right", or toward the "rafter" beside each member, whichever side that is on.
    pub side: Option<Written<StrapSide>>,
    /// Width of the steel.
    pub width: Option<Written<Length>>,
    /// Thickness of the steel.
    pub thickness: Option<Written<Length>>,
    /// y of the lower end.
    pub low: Option<Written<Length>>,
    /// y of the upper end.
    pub high: Option<Written<Length>>,
    /// y of the middle of the stretch without nails, over the seam.
    pub seam: Option<Written<Length>>,
    /// Length of the stretch without nails.
    pub gap: Option<Written<Length>>,
    /// "on tape" or "under tape".
    pub place: Option<Written<StrapPlace>>,
    /// What the strip above does: "notched" or "raised".
    pub strip: Option<Written<StripOverStrap>>,
    /// Its nails.
    pub nails: Option<Located<NailFieldFile>>,
}

/// The nails of a strap.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct NailFieldFile {
    /// Shank diameter.
    pub diameter: Option<Written<Length>>,
    /// Length.
    pub length: Option<Written<Length>>,
    /// Spacing along the strap.
    pub spacing: Option<Written<Length>>,
    /// Distance of the first and last nail from the strap's ends.
    pub end: Option<Written<Length>>,
    /// Distance to left and right of the strap's middle, nail by nail in turn.
    pub stagger: Option<Written<Length>>,
}

/// The lattice.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct LatticeFile {
    /// Butyl tape.
    pub tape: Option<Located<TapeFile>>,
    /// Vent strips.
    pub strip: Option<Located<StripFile>>,
    /// Vent pieces.
    pub vent: Option<Located<VentFile>>,
    /// Battens.
    #[schemars(required)]
    pub batten: Option<Located<BattenFile>>,
    /// How far the lattice keeps from edges, by kind.
    pub hold_back: Option<Located<HoldBackFile>>,
    /// How far tape runs past edges, to be turned down over them; it is cut at the edge where this is left out.
    pub turn_down: Option<Located<TurnDownFile>>,
    /// How openings are framed by battens.
    pub opening: Option<Located<LatticeOpeningFile>>,
}

/// Tape.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct TapeFile {
    /// Width.
    pub width: Option<Written<Length>>,
    /// Thickness.
    pub thickness: Option<Written<Length>>,
    /// "membrane first" (the strip is pressed on later) or "strip first" (tape and strip go on together).
    pub order: Option<Written<TapeOrder>>,
    /// Roll length.
    pub roll: Option<Written<Length>>,
    /// Density.
    pub density: Option<Written<Density>>,
}

/// Strips.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct StripFile {
    /// Width.
    pub width: Option<Written<Length>>,
    /// Height.
    pub height: Option<Written<Length>>,
    /// Width of the wider strip, where one is to be had, for doubled members; without it two lie side by side.
    pub wide: Option<Written<Length>>,
    /// Stock length.
    pub stock: Option<Written<Length>>,
    /// Direction of the flutes: "up" the slope or "across" it.
    pub flutes: Option<Written<Flutes>>,
    /// Gap between a strip's end and a vent piece.
    pub gap: Option<Written<Length>>,
    /// Two strips side by side on the lines nearest a rake.
    pub doubled_at_rake: Option<Written<bool>>,
    /// Members share a line when the gap between them, measured across, is at most this.
    pub join_within: Option<Written<Length>>,
    /// Density of the strip as a body, flutes included.
    pub density: Option<Written<Density>>,
}

/// Vent pieces.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct VentFile {
    /// Width up the slope.
    pub width: Option<Written<Length>>,
    /// Height; the strips' where left out.
    pub height: Option<Written<Length>>,
    /// Stock length.
    pub stock: Option<Written<Length>>,
    /// Direction of the flutes: "up" the slope or "across" it.
    pub flutes: Option<Written<Flutes>>,
    /// Density of the piece as a body.
    pub density: Option<Written<Density>>,
}

/// Battens.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct BattenFile {
    /// Nominal lumber size, such as "1x4" (dressed sizes of PS 20).
    pub nominal: Option<Written<String>>,
    /// Width up the slope.
    pub width: Option<Written<Length>>,
    /// Thickness.
    pub thickness: Option<Written<Length>>,
    /// On-centre spacing: the roofing's fixing pitch.
    pub spacing: Option<Written<Length>>,
    /// Middle of the first course, from the edge that courses start at; likewise from steps of the outline on that side.
    pub first: Option<Written<Length>>,
    /// Middle of the last course, from the opposite edge; likewise from steps of the outline on that side.
    pub last: Option<Written<Length>>,
    /// Edge that courses are counted from: "eave" or "top".
    pub start: Option<Written<StartEdge>>,
    /// Side that boards are laid from: "left" or "right".
    pub boards_from: Option<Written<BoardsFrom>>,
    /// Stock lengths.
    pub stock: Option<Vec<Written<Length>>>,
    /// Least length of a piece.
    pub least_piece: Option<Written<Length>>,
    /// Joints of this many courses below do not stand on the same line.
    pub stagger: Option<Written<i64>>,
    /// How joints are chosen: "far" puts each as far along as the longest board reaches; "fewest boards" chooses all of them
    /// together, so that the fewest boards are bought, and of as many the cheapest. "far" where left out.
    pub joints: Option<Written<JointChoice>>,
    /// "butt", "doubled" or "lap". Where no doubled member is in reach, a joint stands over a single one and the check
    /// `joint-not-doubled` tells it.
    pub joint: Option<Written<JointKind>>,
    /// Length of a lap.
    pub lap: Option<Written<Length>>,
    /// Gap between butting ends.
    pub joint_gap: Option<Written<Length>>,
    /// Density.
    pub density: Option<Written<Density>>,
}

/// Distances that the lattice keeps from edges.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct HoldBackFile {
    /// From an eave.
    pub eave: Option<Written<Length>>,
    /// From a top edge.
    pub top: Option<Written<Length>>,
    /// From a rake.
    pub rake: Option<Written<Length>>,
    /// From a hip.
    pub hip: Option<Written<Length>>,
    /// From a valley.
    pub valley: Option<Written<Length>>,
    /// From a wall.
    pub wall: Option<Written<Length>>,
}

/// Distances by which tape runs past edges.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct TurnDownFile {
    /// Past an eave.
    pub eave: Option<Written<Length>>,
    /// Past a rake, as far as tape over the member beside it is wide enough.
    pub rake: Option<Written<Length>>,
}

/// How openings are framed by battens.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct LatticeOpeningFile {
    /// Gap between an opening and the ends of strips and courses beside it.
    pub clearance: Option<Written<Length>>,
    /// Whether an extra course lies below and above each opening.
    pub frame: Option<Written<bool>>,
    /// Gap between an opening and the framing course, so that the air finds a way round.
    pub way_round: Option<Written<Length>>,
}

/// Fasteners.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct FasteningFile {
    /// "nail", "ring-shank nail", "screw" or "lag screw" (1/4 in or 6 mm and more, in drilled holes).
    pub kind: Option<Written<FastenerKind>>,
    /// Shank diameter.
    #[schemars(required)]
    pub diameter: Option<Written<Length>>,
    /// Length under the head.
    #[schemars(required)]
    pub length: Option<Written<Length>>,
    /// Head diameter.
    pub head: Option<Written<Length>>,
    /// How many in a landing.
    pub per_landing: Option<Written<i64>>,
    /// "up" the slope, "across" it, or "diagonal".
    pub pattern: Option<Written<Pattern>>,
    /// Distance between the first and the last of a landing; by default half the batten's width, or what
    /// their least spacing asks where that is more and the batten has room; 3/4 in across.
    pub spread: Option<Written<Length>>,
    /// Holes drilled before driving.
    pub predrilled: Option<Written<bool>>,
}

/// Limits that the checks use.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct LimitsFile {
    /// Least embedment in a member.
    pub embedment: Option<Written<Length>>,
    /// Least distance from a fastener's axis to the member's side.
    pub edge_distance: Option<Written<Length>>,
    /// Least distance from a fastener's axis to a batten's side.
    pub batten_edge: Option<Written<Length>>,
    /// Least distance from a fastener's axis to a batten's end.
    pub end_distance: Option<Written<Length>>,
    /// Least width of tape beside a shank.
    pub tape_margin: Option<Written<Length>>,
    /// Longest run between backed landings.
    pub run: Option<Written<Length>>,
    /// Longest end run.
    pub end_run: Option<Written<Length>>,
    /// How far a limit of length that is a rule of thumb, and not written here, may be passed before it is told: it stands for
    /// what nobody measures. `tolerance` stands for framing that is not true, and counts for runs whoever set the limit.
    pub hair: Option<Written<Length>>,
    /// Tolerance on runs.
    pub tolerance: Option<Written<Length>>,
    /// Largest gap between a batten and what it should lie on.
    pub gap: Option<Written<Length>>,
}

/// A rule that places landings over members which run along the eave.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct LandingsFile {
    /// Slopes; all where left out.
    pub slopes: Option<Vec<Written<String>>>,
    /// Kinds of members.
    pub over: Option<Vec<Written<MemberKind>>>,
    /// Distance from the member's ends to the first and last landing.
    pub inset: Option<Written<Length>>,
    /// Largest distance between landings on one member; without it there is one, in the middle.
    pub spacing: Option<Written<Length>>,
}

/// A single landing.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct LandingFile {
    /// Name of the course.
    pub course: Option<Written<String>>,
    /// x of its middle.
    pub x: Option<Written<Length>>,
    /// How its fasteners stand: "up" the slope, "across" it, or "diagonal". "across" where left out, whatever
    /// `fastening.pattern` says: most of what a landing is added over runs along the eave.
    pub pattern: Option<Written<Pattern>>,
}

/// A gap left in a course, so that air crosses it or passes over the strips there.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct GapFile {
    /// Name of the course.
    pub course: Option<Written<String>>,
    /// x where it begins.
    pub from: Option<Written<Length>>,
    /// x where it ends.
    pub to: Option<Written<Length>>,
}

/// A landing whose fasteners go somewhere else.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct MoveFile {
    /// Name of the landing.
    pub landing: Option<Written<String>>,
    /// Where the landing lies without the move, x and y on its slope: a landing that another layout gives this name is not
    /// moved.
    pub at: Option<Vec<Written<Length>>>,
    /// To the right.
    pub across: Option<Written<Length>>,
    /// Up the slope.
    pub up: Option<Written<Length>>,
}

/// A landing that is left without fasteners: its batten passes over it. No check and no strength counts on it as a support.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct SkipFile {
    /// Name of the landing.
    pub landing: Option<Written<String>>,
    /// Where the landing lies, x and y on its slope: a landing that another layout gives this name is not skipped.
    pub at: Option<Vec<Written<Length>>>,
}

/// The roof as measured.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct FoundFile {
    /// Members that differ from the drawing.
    #[serde(default)]
    pub member: Tables<FoundMemberFile>,
    /// Members that the drawing does not have, or that were added later.
    #[serde(default)]
    pub added: Tables<MemberFile>,
    /// Slopes whose outline was measured.
    #[serde(default)]
    pub slope: Tables<FoundSlopeFile>,
    /// Openings as measured.
    #[serde(default)]
    pub opening: Tables<OpeningFile>,
}

/// A member as found.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct FoundMemberFile {
    /// Its name.
    pub name: Option<Written<String>>,
    /// It is not there.
    pub missing: Option<Written<bool>>,
    /// Measured offsets of its centre line from the drawn one.
    pub offsets: Option<Vec<OffsetFile>>,
}

/// One measured offset.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct OffsetFile {
    /// Where along the member, from its lower (or left) end.
    pub at: Option<Written<Length>>,
    /// How far its centre is to the right of (or above) the drawn line.
    pub off: Option<Written<Length>>,
}

/// A slope as measured.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct FoundSlopeFile {
    /// Its name.
    pub name: Option<Written<String>>,
    /// A rectangle: along the eave, up the slope.
    pub size: Option<Vec<Written<Length>>>,
    /// The outline, corner for corner as drawn.
    pub outline: Option<Vec<Vec<Written<Length>>>>,
}

/// What is already on the roof, by the drawing.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct LaidFile {
    /// Any of "tape", "strips", "straps", "battens", "fasteners", "vent pieces".
    pub what: Option<Vec<Written<LaidKind>>>,
    /// Slopes; all where left out.
    pub slopes: Option<Vec<Written<String>>>,
    /// Lines (for tape, strips, fasteners); all where left out.
    pub lines: Option<Vec<Written<String>>>,
    /// Courses (for battens, fasteners); all where left out.
    pub courses: Option<Vec<Written<String>>>,
}
