//! Why a set cannot run, in a sentence.

use super::judge::Stopped;
use super::model::Stop;
use super::tick::Standing;
use crate::installation::{Installation, Part, PartId};
use crate::units::{amps, va, volts, watts};

fn title(installation: &Installation, id: PartId) -> &str {
    installation.parts.get(&id).map_or("?", |p| Part::title(p))
}

/// A figure and its limit in the unit of the stop, with as many decimals as tell them apart.
fn pair(stopped: &Stopped) -> (String, String) {
    let show = |value: f64| match stopped.unit {
        "A" => amps(value),
        "V" => volts(value),
        "VA" => va(value),
        _ => watts(value),
    };
    let (figure, limit) = (stopped.figure.map_or_else(|| "not known".to_owned(), show), show(stopped.limit));
    match stopped.figure {
        Some(value) if figure == limit => {
            (format!("{value:.3} {}", stopped.unit), format!("{:.3} {}", stopped.limit, stopped.unit))
        }
        _ => (figure, limit),
    }
}

/// What stops a set, as the second half of a sentence: `G1 would have to give 5,400 W when Air conditioning starts by
/// itself; its starting rating is 5,000 W`.
#[must_use]
pub fn reason(installation: &Installation, stopped: &Stopped) -> String {
    let (figure, limit) = pair(stopped);
    let tag = installation.tag(stopped.part);
    match stopped.by {
        Stop::Running => format!("{tag} would have to give {figure}; it can run at {limit}"),
        Stop::Starting => {
            let who = stopped.starter.map(|id| title(installation, id));
            let how = match (who, stopped.restart) {
                (Some(who), true) => format!("when {who} starts by itself while the rest runs"),
                (Some(who), false) => format!("when {who} starts, even in the best order"),
                (None, _) => "even in the best starting order".to_owned(),
            };
            if stopped.figure.is_none() {
                format!("{tag} would have to give more than its starting rating of {limit} {how}")
            } else {
                format!("{tag} would have to give {figure} {how}; its starting rating is {limit}")
            }
        }
        Stop::SourceBreaker => format!("{tag} would deliver {figure}; its own breaker is rated {limit}"),
        Stop::Inlet => format!("{tag} would carry {figure}; inlet, plug and cord are rated {limit}"),
        Stop::Breaker => {
            let name = installation.parts.get(&stopped.part).map_or_else(|| tag.to_owned(), |p| p.name());
            format!("{name} would carry {figure}; it is rated {limit}")
        }
        Stop::Voltage if stopped.figure.is_none() => {
            format!("{} cannot be supplied at all with the cables as drawn", title(installation, stopped.part))
        }
        Stop::Voltage => {
            format!("{} would get {figure}; {limit} is 90 % of nominal", title(installation, stopped.part))
        }
    }
}

impl Standing {
    /// How an appliance stands, without its name: `may start now`, `only in this order: …`, `no: …`.
    #[must_use]
    pub fn words(&self, installation: &Installation) -> String {
        match self {
            Self::Running => "runs".to_owned(),
            Self::Blocked => "not with all that must run".to_owned(),
            Self::Now => "may start now".to_owned(),
            Self::InOrder(order) => {
                let names: Vec<&str> = order.iter().map(|id| title(installation, *id)).collect();
                format!("only in this order: {}", names.join(", "))
            }
            Self::No(stops) => match stops.first() {
                Some(stop) => format!("no: {}", reason(installation, stop)),
                None => "no".to_owned(),
            },
            Self::NotKnown(why) => format!("not known: {why}"),
            Self::NotFed => "not fed in this condition".to_owned(),
        }
    }

    /// The word of the JSON.
    #[must_use]
    pub const fn slug(&self) -> &'static str {
        match self {
            Self::Running => "running",
            Self::Blocked => "blocked",
            Self::Now => "now",
            Self::InOrder(_) => "in-order",
            Self::No(_) => "no",
            Self::NotKnown(_) => "not-known",
            Self::NotFed => "not-fed",
        }
    }
}
