//! Colours of conductors by the practice of a system.

use super::Tables;
use super::parse::Row;
use crate::units::Mark;

/// Whose colours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Practice {
    /// North American, 60 Hz.
    Us,
    /// IEC, 50 Hz.
    Iec,
}

/// What a conductor is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Line 1, or the line of a two-wire system.
    L1,
    /// Line 2.
    L2,
    /// Neutral.
    N,
    /// Protective earth.
    Pe,
}

impl Role {
    /// The letters on a drawing.
    #[must_use]
    pub const fn letters(self) -> &'static str {
        match self {
            Self::L1 => "L1",
            Self::L2 => "L2",
            Self::N => "N",
            Self::Pe => "PE",
        }
    }
}

/// The colour of a conductor as published.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ConductorColour {
    /// Whose.
    pub practice: Practice,
    /// What the conductor is for.
    pub role: Role,
    /// The colour, or colours to choose from, in words.
    pub colour: String,
    /// Standard and clause.
    pub source: String,
    /// How it was come by.
    pub mark: Mark,
}

impl ConductorColour {
    /// Reads a row.
    pub(super) fn read(row: &Row<'_>) -> Result<Self, String> {
        let practice = match row.text("practice")? {
            "us" => Practice::Us,
            "iec" => Practice::Iec,
            other => return Err(row.fault(&format!("“{other}” is no practice"))),
        };
        let role = [Role::L1, Role::L2, Role::N, Role::Pe].into_iter().find(|r| row.text("role") == Ok(r.letters()));
        let role = role.ok_or_else(|| row.fault("no role of a conductor"))?;
        let colour = row.text("colour")?.to_owned();
        Ok(Self { practice, role, colour, source: row.source()?, mark: row.mark("mark")? })
    }
}

impl Tables {
    /// The colour of a conductor by a practice.
    #[must_use]
    pub fn conductor_colour(&self, practice: Practice, role: Role) -> Option<&ConductorColour> {
        self.colours.iter().find(|c| c.practice == practice && c.role == role)
    }
}

#[cfg(test)]
mod tests {
    use super::{Practice, Role};

    #[test]
    fn every_conductor_of_both_practices_has_a_colour() {
        for practice in [Practice::Us, Practice::Iec] {
            for role in [Role::L1, Role::L2, Role::N, Role::Pe] {
                let colour = crate::tables::get().conductor_colour(practice, role);
                assert!(colour.is_some_and(|c| !c.colour.is_empty()), "{practice:?} {role:?}");
            }
        }
        let neutral = |practice| crate::tables::get().conductor_colour(practice, Role::N).map(|c| c.colour.as_str());
        assert_eq!((neutral(Practice::Us), neutral(Practice::Iec)), (Some("white or grey"), Some("blue")));
    }
}
