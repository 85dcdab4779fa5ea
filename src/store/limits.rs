//! How much one file may hold. More than that is no small vessel, and a window could not show it.

use super::problem::Problem;
use crate::installation::Installation;

/// Most parts of one file.
pub const MAX_PARTS: usize = 250_000;
/// Most cables of one file.
pub const MAX_CABLES: usize = 500_000;
/// Most spaces of one file.
pub const MAX_SPACES: usize = 10_000;
/// Most operating conditions of one file.
pub const MAX_CONDITIONS: usize = 1_000;

/// The installation, if it keeps within the limits.
pub(super) fn hold(installation: Installation) -> Result<Installation, Vec<Problem>> {
    let counts = [
        ("parts", installation.parts.len(), MAX_PARTS),
        ("cables", installation.cables.len(), MAX_CABLES),
        ("spaces", installation.spaces.len(), MAX_SPACES),
        ("conditions", installation.conditions.len(), MAX_CONDITIONS),
    ];
    let beyond: Vec<Problem> = counts
        .into_iter()
        .filter(|(_, count, most)| count > most)
        .map(|(what, count, most)| Problem::at(what, format!("{count} of them"), format!("at most {most} in a file")))
        .collect();
    if beyond.is_empty() { Ok(installation) } else { Err(beyond) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{Part, PartId, PartKind, Place, Point, System};
    use std::sync::Arc;

    #[test]
    fn as_many_parts_as_the_limit_and_no_more() {
        let mut doc = Installation::new(System::TwoWire120);
        let part = Arc::new(Part::new(PartKind::Panel, "A1", Place::At(Point::default())));
        doc.parts = (1..=MAX_PARTS as u32).map(|n| (PartId::new(n), Arc::clone(&part))).collect();
        let mut doc = hold(doc).unwrap();
        doc.add_part(Part::clone(&part));
        doc.parts.insert(PartId::new(u32::MAX), part);
        let problem = hold(doc).unwrap_err()[0].to_string();
        assert!(problem.contains("valid: at most 250000 in a file"), "{problem}");
    }
}
