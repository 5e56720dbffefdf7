//! Sheets for the roof: a scene drawn on paper.
//!
//! Aim: what is measured, marked and cut on the roof, to a stated scale, from the same solids and with the same names as
//! the model.
//! Reason: nobody carries a 3D viewer up a ladder; and a drawing that is data, not bytes, can be written in any format
//! and measured by a test.
//! Limits: everything is lines, filled shapes and texts in paper millimetres, x to the right and y down from the upper
//! left corner. Patterns are lines too, so that every format shows the same. Black and greys, and one red that prints
//! dark: nothing is told by colour alone. Nothing here knows a file format.
//!
//! | module | what it draws |
//! |---|---|
//! | [`plan`] | a slope from above: outline, framing, tapes, strips, courses, openings, straps, flags, dimension lines |
//! | [`measures`] | running measures: a rod for the lines, a story pole for the courses, and both as tables |
//! | [`section`] | details, cut from the solids by planes |
//! | [`isometric`] | a slope to look at, its hidden parts hidden |
//! | [`picture`] | a small plan round one flag |
//! | [`table`] | lists |

pub mod draw;
pub mod font;
mod frame;
pub mod isometric;
mod kinds;
pub mod measures;
pub mod picture;
pub mod plan;
mod plan_lines;
pub mod scale;
pub mod section;
pub mod table;

use crate::check::Verdict;
use crate::quantity::Units;
use crate::scene::{ReportHeader, Scene, SettingOut, Table};
use draw::{Item, Point};

/// A size of paper; always used lying.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 11 x 8 1/2 in.
    Letter,
    /// 297 x 210 mm.
    A4,
    /// 17 x 11 in.
    Tabloid,
    /// 420 x 297 mm.
    A3,
}

impl Paper {
    /// Width and height, lying, millimetres.
    pub fn size(self) -> (f64, f64) {
        match self {
            Paper::Letter => (279.4, 215.9),
            Paper::A4 => (297.0, 210.0),
            Paper::Tabloid => (431.8, 279.4),
            Paper::A3 => (420.0, 297.0),
        }
    }

    /// The name people ask for it by.
    pub fn name(self) -> &'static str {
        match self {
            Paper::Letter => "letter",
            Paper::A4 => "A4",
            Paper::Tabloid => "tabloid",
            Paper::A3 => "A3",
        }
    }
}

/// What a sheet shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject {
    /// A slope from above.
    Plan,
    /// Running measures.
    Measures,
    /// Details.
    Details,
    /// A picture of a slope.
    Isometric,
    /// A list.
    List,
}

/// A drawing to scale on a sheet: how to get from the model to the paper. What a reader of the file needs to measure.
#[derive(Clone, Debug, PartialEq)]
pub struct View {
    /// What it shows.
    pub name: String,
    /// Its scale; none for a picture that is not to be measured.
    pub scale: Option<scale::Scale>,
    /// Paper x and y (mm) from model coordinates (m): rows of factors for x, y, z and 1. Plans and sections take slope
    /// coordinates, pictures the world's.
    pub rows: [[f64; 4]; 2],
}

/// One sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// File name without its ending.
    pub name: String,
    /// Title.
    pub title: String,
    /// What it shows.
    pub subject: Subject,
    /// The slope that it shows; none for a list of the whole roof.
    pub slope: Option<String>,
    /// Width and height, millimetres.
    pub size: (f64, f64),
    /// Its drawings to scale.
    pub views: Vec<View>,
    /// What is on it, from below to above.
    pub items: Vec<Item>,
}

/// What all sheets of a plan share.
pub struct Set<'a> {
    /// The scene.
    pub scene: &'a Scene<'a>,
    /// How its slopes are set out.
    pub slopes: &'a [SettingOut],
    /// Its lists.
    pub lists: &'a [Table],
    /// The paper.
    pub paper: Paper,
}

impl Set<'_> {
    fn header(&self) -> &ReportHeader {
        &self.scene.header
    }

    fn units(&self) -> Units {
        self.scene.units
    }
}

/// Most parts that are drawn as pictures; a larger roof gets plans, marks, details and lists only.
pub const MOST_PARTS_PICTURED: usize = 120_000;

/// All sheets of a plan, in the order of the slopes, lists last.
///
/// # Errors
/// Those of the scene's walk over its parts.
pub fn sheets(set: &Set<'_>) -> std::io::Result<Vec<Sheet>> {
    let mut all = Vec::new();
    for slope in set.slopes {
        let parts = Parts::of(set.scene, &slope.slope)?;
        all.extend(plan::sheets(set, slope, &parts));
        all.extend(measures::sheets(set, slope));
        all.push(section::sheet(set, slope, &parts));
        if parts.list.len() <= MOST_PARTS_PICTURED {
            all.push(isometric::sheet(set, slope, &parts));
        }
    }
    all.extend(table::sheets(set));
    frame::number(set, &mut all);
    Ok(all)
}

/// Small plans of the findings, in the order of the slopes.
///
/// # Errors
/// Those of the scene's walk over its parts.
pub fn pictures(set: &Set<'_>) -> std::io::Result<Vec<picture::Picture>> {
    let mut all = Vec::new();
    for slope in set.slopes {
        picture::pictures(set, slope, &Parts::of(set.scene, &slope.slope)?, &mut all);
    }
    Ok(all)
}

/// The parts of a slope, and those of the building, as closed meshes in the slope's coordinates.
pub struct Parts {
    /// The parts, from the inside out.
    pub list: Vec<Solid>,
    /// From the slope's coordinates to the world.
    pub pose: crate::solid::Pose,
}

/// Whose a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Owner {
    /// The slope's own.
    Slope,
    /// The building's: ridge board, hip rafters.
    Building,
    /// Another slope's.
    Neighbour,
}

/// One part.
pub struct Solid {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: crate::scene::PartKind,
    /// Whose it is.
    pub owner: Owner,
    /// The closed mesh in the coordinates of the slope; corners that are one place are one corner.
    pub mesh: crate::solid::Mesh,
}

impl Parts {
    /// Gathers the parts round a slope. Of other slopes only what may show in a section through an edge is kept: members,
    /// deck, membrane, battens, strips and vent pieces within half a metre of the slope's outline.
    ///
    /// # Errors
    /// Those of the walk.
    pub fn of(scene: &Scene<'_>, slope: &str) -> std::io::Result<Parts> {
        use crate::scene::{Form, Layer, Texts};
        use crate::solid::Pose;
        let branch = scene.branches.iter().position(|b| b.name == slope);
        let pose = branch.and_then(|b| scene.branches.get(b)).map_or_else(Pose::identity, |b| b.pose);
        let mut list: Vec<Solid> = Vec::new();
        // The reach of the slope's own parts, found on the way: its branch may come after others, so two walks.
        let mut reach: Option<(crate::solid::Point3, crate::solid::Point3)> = None;
        for pass in [true, false] {
            scene.source.walk_parts(Texts::Unwanted, &mut |part| {
                let own = Some(part.branch) == branch;
                if own != pass || part.kind.layer() == Layer::Flags {
                    return Ok(());
                }
                if !own && !kinds::drawn(part.kind).of_neighbours {
                    return Ok(());
                }
                let Some(home) = scene.branches.get(part.branch) else { return Ok(()) };
                let to_slope = if own { part.pose } else { pose.inverse() * home.pose * part.pose };
                let mesh = match part.form {
                    Form::Box(size) => box_mesh(size),
                    Form::Mesh(mesh) => welded(mesh),
                };
                let mesh = mesh.moved(&to_slope);
                let Some((low, high)) = mesh.bounds() else { return Ok(()) };
                if own {
                    reach = Some(reach.map_or((low, high), |(a, b)| (a.inf(&low), b.sup(&high))));
                } else if let Some((a, b)) = reach {
                    let near = (0..3).all(|i| low[i] <= b[i] + 0.5 && high[i] >= a[i] - 0.5);
                    if !near {
                        return Ok(());
                    }
                }
                let owner = match own {
                    true => Owner::Slope,
                    false if home.name == "building" => Owner::Building,
                    false => Owner::Neighbour,
                };
                list.push(Solid { name: part.name.to_owned(), kind: part.kind, owner, mesh });
                Ok(())
            })?;
        }
        list.sort_by_key(|s| s.kind.layer());
        Ok(Parts { list, pose })
    }
}

/// A box about the origin as a mesh.
fn box_mesh(size: &crate::solid::Vector3) -> crate::solid::Mesh {
    crate::solid::Polyhedron::cuboid(size / 2.0).mesh()
}

/// The same mesh with corners at one place made one, so that triangles that meet share their corners.
fn welded(mesh: &crate::solid::Mesh) -> crate::solid::Mesh {
    let mut places = std::collections::BTreeMap::new();
    let mut positions = Vec::new();
    let number: Vec<u32> = mesh
        .positions
        .iter()
        .map(|p| {
            let key = [p.x + 0.0, p.y + 0.0, p.z + 0.0].map(f64::to_bits);
            *places.entry(key).or_insert_with(|| {
                positions.push(*p);
                positions.len() as u32 - 1
            })
        })
        .collect();
    let triangles = mesh
        .triangles
        .iter()
        .filter_map(|t| {
            let at = |i: u32| number.get(i as usize).copied();
            let t = [at(t[0])?, at(t[1])?, at(t[2])?];
            (t[0] != t[1] && t[1] != t[2] && t[2] != t[0]).then_some(t)
        })
        .collect();
    crate::solid::Mesh { positions, triangles }
}

/// The verdict of the whole roof in capitals, as a title block shows it.
fn verdict_words(set: &Set<'_>) -> String {
    let h = set.header();
    let [fail, warn, unconfirmed] = [Verdict::Fail, Verdict::Warn, Verdict::Unconfirmed].map(|v| h.count(v));
    match (fail, warn, unconfirmed) {
        (0, 0, 0) => "no findings among what was checked".to_owned(),
        (_, _, 0) => format!("{fail} fail, {warn} warn"),
        _ => format!("{fail} fail, {warn} warn, {unconfirmed} unconfirmed"),
    }
}

/// A point in slope coordinates, metres, on paper by a view's rows.
fn on_paper(rows: &[[f64; 4]; 2], p: [f64; 3]) -> Point {
    let at = |r: &[f64; 4]| r[0] * p[0] + r[1] * p[1] + r[2] * p[2] + r[3];
    Point { x: at(&rows[0]), y: at(&rows[1]) }
}
