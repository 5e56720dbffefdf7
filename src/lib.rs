pub mod check;
pub mod design;
pub mod lattice;
pub mod quantity;
pub mod scene;
pub mod solid;
pub mod structure;
