pub mod check;
pub mod design;
pub mod quantity;
pub mod scene;
pub mod solid;
