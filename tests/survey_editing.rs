//! The survey while editing is the full survey: after any edit, whatever was edited before.

mod support;

use hullwire::installation::{
    Edit, Installation, Part, PartId, PartKind, Place, Point, Property, Rect, RuleSet, Selection, SpaceKind, System,
    TitleBlock,
};
use hullwire::network::solve;
use hullwire::survey::{Surveyor, rules, run};
use proptest::prelude::*;
use proptest::sample::Index;

fn sample(name: &str) -> Installation {
    let path = format!("{}/samples/{name}.hullwire", env!("CARGO_MANIFEST_DIR"));
    let bytes = std::fs::read(path).unwrap_or_else(|e| panic!("{name}: {e}"));
    hullwire::store::parse(&bytes, name, None).unwrap_or_else(|e| panic!("{e}")).installation
}

/// What a person may type; most properties take some of it.
const TEXTS: [&str; 24] = [
    "",
    "1",
    "2",
    "3",
    "10",
    "15",
    "20",
    "50",
    "120",
    "230",
    "1500",
    "0.5",
    "yes",
    "no",
    "L1",
    "L2",
    "C",
    "fuse",
    "gfci",
    "motor",
    "diesel",
    "12 AWG",
    "2.5 mm2",
    "engine-space",
];

#[derive(Clone, Debug)]
struct Step {
    what: usize,
    a: Index,
    b: Index,
    c: Index,
    far: f64,
}

fn step() -> impl Strategy<Value = Step> {
    (0_usize..16, any::<Index>(), any::<Index>(), any::<Index>(), -200.0..200.0_f64)
        .prop_map(|(what, a, b, c, far)| Step { what, a, b, c, far })
}

/// An edit of a drawing as it is; `None` where the drawing has nothing for it.
fn edit(now: &Installation, step: &Step) -> Option<Edit> {
    let parts: Vec<PartId> = now.parts.keys().copied().collect();
    let cables: Vec<_> = now.cables.keys().copied().collect();
    let pick = |at: &Index| (!parts.is_empty()).then(|| *at.get(&parts));
    let cable = (!cables.is_empty()).then(|| *step.a.get(&cables));
    let text = (*step.c.get(&TEXTS)).to_owned();
    Some(match step.what {
        0..=3 => {
            let id = pick(&step.a)?;
            let all = now.parts[&id].kind.properties();
            let property = *step.b.get(all);
            Edit::SetPart { parts: vec![id], property, text, origin: None }
        }
        4 | 5 => {
            let property = *step.b.get(Property::OF_CABLE);
            Edit::SetCable { cables: vec![cable?], property, text, origin: None }
        }
        6 => Edit::SetPart { parts: vec![pick(&step.a)?], property: Property::Label, text, origin: None },
        7 | 8 => Edit::Move { what: Selection::part(pick(&step.a)?), dx: step.far, dy: -step.far / 2.0 },
        9 => Edit::Switch { condition: 0, parts: vec![pick(&step.a)?], on: step.far > 0.0 },
        10 => {
            let sources: Vec<PartId> = parts.iter().copied().filter(|p| now.parts[p].kind.is_source()).collect();
            let chosen = (!sources.is_empty() && step.far > -150.0).then(|| *step.b.get(&sources));
            Edit::SetFeeding { condition: 0, feeding: chosen.into_iter().collect() }
        }
        11 if step.far > 0.0 => Edit::Remove(Selection::part(pick(&step.a)?)),
        11 => Edit::Remove(Selection::cable(cable?)),
        12 => Edit::Connect { from: pick(&step.a)?, to: pick(&step.b)? },
        13 => {
            let kind = *step.b.get(PartKind::ALL);
            let part = Part::new(kind, "", Place::At(Point::new(step.far, step.far)));
            match pick(&step.a) {
                Some(id) if step.far > 0.0 => Edit::ReplacePart { id, part: Box::new(part) },
                feed => Edit::AddPart { part: Box::new(part), feed },
            }
        }
        14 => {
            let kind = *step.b.get(SpaceKind::ALL);
            let rect = Rect::between(Point::new(0.0, 0.0), Point::new(60.0 + step.far.abs(), 90.0));
            Edit::AddSpace { name: String::new(), kind, rect }
        }
        _ if step.far > 100.0 => Edit::SetRules(*step.b.get(RuleSet::ALL)),
        _ if step.far > 50.0 => Edit::SetSystem(*step.b.get(System::ALL)),
        _ => Edit::SetTitle(Box::new(TitleBlock { title: text, ..TitleBlock::default() })),
    })
}

/// Edits a drawing step by step and holds the surveyor to the full survey each time.
fn hold(mut now: Installation, steps: &[Step]) -> Result<(usize, usize), TestCaseError> {
    let mut surveyor = Surveyor::default();
    let (mut ran, mut all) = (0, 0);
    for step in std::iter::once(None).chain(steps.iter().map(Some)) {
        if let Some(edited) = step.and_then(|s| edit(&now, s)).and_then(|e| now.apply(&e).ok()) {
            now = edited.installation;
        }
        let solution = solve(&now, 0);
        let found = surveyor.survey(&now, &solution);
        prop_assert_eq!(&found, &run(&now, &solution), "after {:?}", step);
        if step.is_some() {
            ran += surveyor.ran();
            all += rules().len();
        }
    }
    Ok((ran, all))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn after_any_edits_of_a_boat_the_survey_is_whole(
        boat in 0_usize..4, steps in prop::collection::vec(step(), 1..24),
    ) {
        let name = ["trawler", "sailing-boat", "motor-yacht", "trawler-before"][boat];
        let (ran, all) = hold(sample(name), &steps)?;
        prop_assert!(ran <= all);
    }

    #[test]
    fn after_any_edits_of_any_drawing_the_survey_is_whole(
        drawing in support::installation(), steps in prop::collection::vec(step(), 1..12),
    ) {
        hold(drawing, &steps)?;
    }
}

/// How many rules run after one edit of the trawler.
fn ran_after(edit: &dyn Fn(&Installation) -> Edit) -> usize {
    let before = sample("trawler");
    let mut surveyor = Surveyor::default();
    let _ = surveyor.survey(&before, &solve(&before, 0));
    assert_eq!(surveyor.ran(), rules().len(), "the first time all of them");
    let after = before.apply(&edit(&before)).map(|e| e.installation).unwrap_or_else(|e| panic!("{e}"));
    let _ = surveyor.survey(&after, &solve(&after, 0));
    surveyor.ran()
}

#[test]
fn only_what_can_change_runs_again() {
    let tag = |i: &Installation, tag: &str| i.part_by_tag(tag).unwrap_or_else(|| panic!("no {tag}"));
    let nothing = ran_after(&|i| Edit::Move { what: Selection::part(tag(i, "A1")), dx: 0.5, dy: 0.0 });
    assert_eq!(nothing, 0, "a part that stays in its space");
    let name = ran_after(&|_| Edit::SetName("Another name".to_owned()));
    assert_eq!(name, 0);
    let title = ran_after(&|_| {
        Edit::SetTitle(Box::new(TitleBlock { title: "AC installation".to_owned(), ..TitleBlock::default() }))
    });
    assert_eq!(title, 1, "the rule of the title block");
    let indicator = ran_after(&|i| Edit::SetPart {
        parts: vec![tag(i, "P1")],
        property: Property::Label,
        text: "Polarity".to_owned(),
        origin: None,
    });
    assert!(indicator < rules().len() / 3, "{indicator} rules after a label of the polarity indicator");
    let switch = ran_after(&|i| Edit::Switch { condition: 0, parts: vec![tag(i, "E7")], on: false });
    assert!(switch < rules().len() * 2 / 3, "{switch} rules after a switch");
    let cable = ran_after(&|i| {
        let feed = i.feeds_of(tag(i, "E7")).map(|(id, _)| id).collect();
        Edit::SetCable { cables: feed, property: Property::Bundled, text: "2".to_owned(), origin: None }
    });
    assert!(cable < rules().len() * 2 / 3, "{cable} rules after a cable's bundle");
}
