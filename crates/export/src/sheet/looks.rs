//! How the sheet's drawings look.

use bobbinwright_paper::{BLACK, Ink, Look, Pen, Type};

pub(super) const BODY: Look = Look::line(Pen::new(BLACK, 0.45));
pub(super) const STRING: Ink = Ink(0xb0, 0x80, 0x50);
/// The layer that words about the drawing are in.
pub(super) const NOTES: &str = "notes";
pub(super) const SMALL: Type = Type::new(2.5);
