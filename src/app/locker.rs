//! The locker: the palette of parts that can be dragged on to the drawing.

use crate::installation::Part;

/// What is dragged from the locker: a part whose tag is still empty. The canvas gives it a place.
#[derive(Clone, Debug)]
pub struct LockerPart {
    /// The part; its place is of no matter yet.
    pub part: Part,
}
