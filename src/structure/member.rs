//! One member: its name, its section, its solids.

use crate::design::{MemberKind, Origin, Section, SlopeId, Table};
use crate::solid::{Body, Mesh, Plane, Point3, Pose, Profile, Sweep};

/// Index of a member in [`super::Structure::members`], the same in every state.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MemberId(pub u32);

/// Which part of a section a body is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Component {
    /// Solid lumber.
    Whole,
    /// Upper flange of an I-joist: the only part of it that backs anything.
    TopFlange,
    /// Web of an I-joist.
    Web,
    /// Lower flange.
    BottomFlange,
}

/// One member of the framing.
#[derive(Clone, Debug)]
pub struct Member {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: MemberKind,
    /// Its section.
    pub section: Section,
    /// The slope in whose coordinates it is placed; `None` for the world.
    pub home: Option<SlopeId>,
    /// Not there, as found.
    pub missing: bool,
    /// Beyond the drawing: found or added later.
    pub added: bool,
    /// Its line; local y runs along it, local z out of its upper face.
    pub sweep: Sweep,
    /// From the sweep's frame to the home frame.
    pub pose: Pose,
    /// The convex bodies in the home frame.
    pub bodies: Vec<(Component, Body)>,
    /// Whether its bodies could not be built; it then has none, and a diagnostic says so.
    pub unbuilt: bool,
    /// Length of the drawn line, metres.
    pub length: f64,
    /// What says where it is: the design, or what was found.
    pub origin: Origin,
    /// The design's table that asks for it; none for one that follows an edge.
    pub table: Option<Table>,
    planes: Vec<Plane>,
}

impl Member {
    /// Builds the solids. `planes` cut the ends, in the home frame; `sweep` reaches past them.
    #[expect(clippy::too_many_arguments, reason = "a member is just these facts, each from another place")]
    pub fn new(
        name: String,
        kind: MemberKind,
        section: Section,
        home: Option<SlopeId>,
        sweep: Sweep,
        pose: Pose,
        planes: Vec<Plane>,
        length: f64,
    ) -> Member {
        let component = |piece: usize| match (section, piece) {
            (Section::Sawn { .. }, _) => Component::Whole,
            (Section::IJoist { .. }, 0) => Component::TopFlange,
            (Section::IJoist { .. }, 1) => Component::Web,
            (Section::IJoist { .. }, _) => Component::BottomFlange,
        };
        let built = sweep.bodies(&pose, &planes);
        let unbuilt = built.is_err();
        let bodies = built.unwrap_or_default().into_iter().map(|(k, b)| (component(k), b)).collect();
        let origin = Origin::Derived("its field");
        Member {
            name,
            kind,
            section,
            home,
            missing: false,
            added: false,
            sweep,
            pose,
            bodies,
            unbuilt,
            length,
            origin,
            table: None,
            planes,
        }
    }

    /// The member as found: not there.
    pub fn gone(mut self) -> Member {
        self.missing = true;
        self.bodies.clear();
        self
    }

    /// How far to the side of its drawn line the member is at a distance along it, metres; past an end, what the end is.
    pub fn side_at(&self, along: f64) -> f64 {
        let stations = &self.sweep.stations;
        let after = stations.iter().position(|s| s.0 >= along);
        match after.and_then(|k| k.checked_sub(1).and_then(|b| stations.get(b)).zip(stations.get(k))) {
            Some((a, b)) => a.1 + (b.1 - a.1) * (along - a.0) / (b.0 - a.0),
            None if after.is_some() => stations.first().map_or(0.0, |s| s.1),
            None => stations.last().map_or(0.0, |s| s.1),
        }
    }

    /// The profile of a section.
    pub fn profile(section: &Section) -> Profile {
        match section {
            Section::Sawn { width, depth } => Profile::rectangle(width.metres(), depth.metres(), 0.0),
            Section::IJoist { width, depth, flange, web } => {
                Profile::i_shape(width.metres(), depth.metres(), flange.metres(), web.metres())
            }
        }
    }

    /// Lowest and highest corner of its bodies, in the frame of a slope's member or, for one of the building, in its own
    /// frame, so that turning the building changes nothing.
    pub fn bounds(&self) -> (Point3, Point3) {
        let back = if self.home.is_none() { self.pose.inverse() } else { Pose::identity() };
        let each = self.bodies.iter().map(|(_, b)| b.moved(&back).bounds());
        each.reduce(|a, b| (a.0.inf(&b.0), a.1.sup(&b.1))).unwrap_or((Point3::origin(), Point3::origin()))
    }

    /// Length over all, cuts included: the shortest board that it can be cut from, metres.
    pub fn overall(&self) -> f64 {
        let back = self.pose.inverse();
        let each = self.bodies.iter().map(|(_, b)| b.moved(&back).bounds());
        each.map(|(low, high)| (low.y, high.y)).reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))).map_or(0.0, |(a, b)| b - a)
    }

    /// The closed mesh in the member's own frame, and the pose that leads from there to the home frame.
    pub fn mesh(&self) -> (Mesh, Pose) {
        let local: Vec<Plane> = self.planes.iter().map(|p| p.seen_from(&self.pose)).collect();
        (self.sweep.mesh(&local), self.pose)
    }
}
