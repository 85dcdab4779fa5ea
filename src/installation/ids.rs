//! Ids: newtypes without arithmetic, given once and never reused.

use serde::{Deserialize, Serialize};
use std::fmt;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(u32);

        impl $name {
            /// The id with this number, as read from a file or given out by [`super::Installation`].
            #[must_use]
            pub const fn new(number: u32) -> Self {
                Self(number)
            }

            /// The number, for files and for stable widget names.
            #[must_use]
            pub const fn number(self) -> u32 {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{}", self.0)
            }
        }
    };
}

id! {
    /// Identity of a part.
    PartId
}
id! {
    /// Identity of a cable.
    CableId
}
id! {
    /// Identity of a space.
    SpaceId
}
