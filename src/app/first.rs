//! A first drawing from a few answers. What was not asked stays not known: the survey says what is missing.

use crate::diagram;
use crate::installation::{Cable, Installation, Part, PartKind, Place, SpaceKind, System};

/// A source of the boat's own.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum OwnSource {
    /// Shore supply alone.
    #[default]
    None,
    /// A generating set.
    Generator,
    /// An inverter that makes AC of a battery.
    Inverter,
}

impl OwnSource {
    /// All, as they are offered.
    pub const ALL: [Self; 3] = [Self::None, Self::Generator, Self::Inverter];

    /// The word on the button.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Generator => "generator",
            Self::Inverter => "inverter",
        }
    }
}

/// The answers.
#[derive(Clone, Debug, Default)]
pub struct Answers {
    /// Name of the boat.
    pub name: String,
    /// The supply system.
    pub system: System,
    /// There is a shore inlet.
    pub inlet: bool,
    /// The boat's own source.
    pub own: OwnSource,
    /// Appliances as the locker has them.
    pub appliances: Vec<Part>,
}

/// Lays a first drawing out: sources, a selector where there are two, a main breaker, a panel, a breaker for each
/// appliance.
#[must_use]
pub fn drawing(answers: &Answers) -> Installation {
    let mut doc = Installation::new(answers.system);
    doc.name = answers.name.trim().to_owned();
    let add = |doc: &mut Installation, part: Part, feed: &[_]| {
        let tag = doc.free_tag(part.kind, part.load_kind);
        let id = doc.add_part(Part { tag, place: Place::In(SpaceKind::Other), ..part });
        for from in feed {
            let kind = |id| doc.parts.get(&id).map_or(PartKind::Junction, |p| p.kind);
            let usual = Installation::usual_conductor(kind(*from), kind(id));
            let mut cable = Cable::between(*from, id);
            cable.data.conductor = usual;
            doc.add_cable(cable);
        }
        id
    };
    let blank = |kind, label: &str| {
        let mut part = Part::new(kind, "", Place::In(SpaceKind::Other));
        label.clone_into(&mut part.label);
        part
    };
    let mut sources = Vec::new();
    if answers.inlet {
        let mut inlet = blank(PartKind::ShoreInlet, "Shore inlet");
        inlet.cord = crate::installation::CableData::unknown();
        sources.push(add(&mut doc, inlet, &[]));
    }
    match answers.own {
        OwnSource::None => {}
        OwnSource::Generator => sources.push(add(&mut doc, blank(PartKind::Generator, "Generator"), &[])),
        OwnSource::Inverter => sources.push(add(&mut doc, blank(PartKind::Inverter, "Inverter"), &[])),
    }
    let head = match sources.as_slice() {
        [_, _] => vec![add(&mut doc, blank(PartKind::Selector, "Source selector"), &sources)],
        _ => sources.clone(),
    };
    let main = add(&mut doc, blank(PartKind::Breaker, "Main"), &head);
    let panel = add(&mut doc, blank(PartKind::Panel, "Main panel"), &[main]);
    for appliance in &answers.appliances {
        let breaker = add(&mut doc, blank(PartKind::Breaker, &appliance.label), &[panel]);
        add(&mut doc, appliance.clone(), &[breaker]);
    }
    doc.conditions[0].feeding = sources.first().copied().into_iter().collect();
    if let [_, second] = sources.as_slice() {
        let own = if answers.own == OwnSource::Generator { "On the generator" } else { "On the inverter" };
        "On shore supply".clone_into(&mut doc.conditions[0].name);
        let mut other = doc.conditions[0].clone();
        (other.name, other.feeding) = (own.to_owned(), vec![*second]);
        doc.conditions.push(other);
    }
    diagram::lay_out(&mut doc);
    doc
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network;

    #[test]
    fn any_answers_give_a_drawing_that_is_fed_and_saved() {
        for &system in System::ALL {
            for inlet in [false, true] {
                for own in OwnSource::ALL {
                    let mut kettle = Part::new(PartKind::Appliance, "", Place::In(SpaceKind::Other));
                    (kettle.label, kettle.run_w) = ("Kettle".to_owned(), Some(1200.0));
                    let answers =
                        Answers { name: " Tern ".into(), system, inlet, own, appliances: vec![kettle.clone(), kettle] };
                    let doc = drawing(&answers);
                    assert_eq!(doc.name, "Tern");
                    let text = crate::store::to_text(&doc).unwrap();
                    assert_eq!(crate::store::parse(text.as_bytes(), "x", None).unwrap().installation, doc);
                    let sources = usize::from(inlet) + usize::from(own != OwnSource::None);
                    assert_eq!(doc.conditions.len(), sources.max(1));
                    for condition in 0..sources {
                        let solution = network::solve(&doc, condition);
                        let fed = doc.parts.iter().filter(|(_, p)| p.kind == PartKind::Appliance);
                        assert!(fed.clone().all(|(id, _)| solution.walk.is_fed(*id)), "{system:?} {inlet} {own:?}");
                        assert_eq!(fed.count(), 2);
                    }
                }
            }
        }
    }
}
