//! Every sheet of the samples and of random installations, by its description and not by pixels: no text outside its box
//! or the sheet, no two labels over each other, no symbol off the sheet, every part and cable there, references both ways.

#[path = "support/random_boats.rs"]
mod random_boats;

use hullwire::diagram::{Ink, Shape, Stroke, Target};
use hullwire::installation::{Installation, Point, Rect};
use hullwire::sheets::{Kind, Mark, NOT_FOR_CONSTRUCTION, Options, Orientation, Pack, Page, Paper, Role, Size, pack};
use hullwire::store;
use proptest::prelude::*;
use random_boats::{grow, seed, seed_of};
use std::collections::BTreeMap;
use std::path::Path;

/// Line weights of technical drawings, in millimetres (ISO 128-20, from memory); the two widest for cables alone.
const WEIGHTS: [f64; 6] = [0.25, 0.35, 0.5, 0.7, 1.0, 1.4];

fn made(installation: &Installation, paper: Paper) -> Pack {
    pack(installation, &Options { paper, ..Options::default() }, &mut |_, _| true).unwrap()
}

fn papers() -> Vec<Paper> {
    Size::ALL
        .into_iter()
        .flat_map(|size| Orientation::ALL.into_iter().map(move |orientation| Paper { size, orientation }))
        .collect()
}

fn holds(outer: Rect, inner: Rect) -> bool {
    outer.grown(0.02).contains(inner.min) && outer.grown(0.02).contains(inner.max)
}

/// Texts of a page with what they cover, descenders left out.
fn texts(page: &Page) -> Vec<(&str, f64, Rect, usize)> {
    page.marks
        .iter()
        .filter_map(|mark| match &mark.shape {
            Shape::Text { text, size, .. } => {
                let mut rect = mark.shape.extent();
                rect.max.y -= 0.28 * size;
                Some((text.as_str(), *size, rect, mark.block))
            }
            _ => None,
        })
        .collect()
}

fn check_page(page: &Page, paper: Paper, kind: Kind) -> Result<(), String> {
    let inside = paper.inside();
    for mark in &page.marks {
        let rect = mark.shape.extent();
        let block = &page.blocks[mark.block];
        if !holds(block.rect, rect) {
            return Err(format!("sheet {}: {:?} leaves its box {:?}", page.number, mark.shape, block.rect));
        }
        let border = block.role == Role::Artifact && holds(paper.whole(), block.rect);
        if !border && !holds(inside, rect) {
            return Err(format!("sheet {}: {:?} leaves the border", page.number, mark.shape));
        }
    }
    for mark in &page.marks {
        let stroke = match &mark.shape {
            Shape::Path { stroke, .. } | Shape::Arc { stroke, .. } | Shape::Box { stroke, .. } => stroke.as_ref(),
            Shape::Hatch { stroke, .. } => Some(stroke),
            Shape::Text { .. } => None,
        };
        let cable = |s: &Stroke| s.ink == Ink::Fed;
        let known = |s: &&Stroke| WEIGHTS.iter().any(|w| (w - s.width).abs() < 1e-9) && (s.width <= 0.7 || cable(s));
        if let Some(stroke) = stroke.filter(|s| !known(s)) {
            return Err(format!("sheet {}: a line of {} mm: {:?}", page.number, stroke.width, mark.shape));
        }
    }
    let mut all = texts(page);
    all.sort_by(|a, b| a.2.min.x.total_cmp(&b.2.min.x));
    for (i, (text, _, rect, _)) in all.iter().enumerate() {
        for (other, _, over, _) in all[i + 1..].iter().take_while(|o| o.2.min.x < rect.max.x) {
            if rect.grown(-0.06).overlaps(over.grown(-0.06)) {
                return Err(format!(
                    "sheet {}: “{text}” {rect:?} and “{other}” {over:?} cover each other",
                    page.number
                ));
            }
        }
    }
    for (text, size, _, block) in &all {
        if page.blocks[*block].role == Role::Figure && *size < 2.5 - 1e-6 && text.chars().count() > 3 {
            return Err(format!("sheet {}: “{text}” is {size} mm high", page.number));
        }
        if kind == Kind::Diagram && text.ends_with('…') {
            return Err(format!("sheet {}: “{text}” is cut", page.number));
        }
    }
    let said: String = all.iter().map(|t| t.0).collect::<Vec<_>>().join(" ");
    for must in ["CAUTIONS", "WARNING:", "sheet", "signed"] {
        if !said.contains(must) {
            return Err(format!("sheet {} does not say “{must}”", page.number));
        }
    }
    Ok(())
}

/// True where a straight stroke enters a rectangle.
fn enters(rect: Rect, a: Point, b: Point) -> bool {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (start, along, min, max) in [(a.x, b.x - a.x, rect.min.x, rect.max.x), (a.y, b.y - a.y, rect.min.y, rect.max.y)]
    {
        if along.abs() < 1e-9 {
            if start <= min || start >= max {
                return false;
            }
            continue;
        }
        let (near, far) = ((min - start) / along, (max - start) / along);
        from = from.max(near.min(far));
        to = to.min(near.max(far));
    }
    from < to
}

/// The straight strokes of a shape; an arc as a chain of short ones.
fn strokes(shape: &Shape) -> Vec<(Point, Point)> {
    let chain = |points: Vec<Point>| points.windows(2).map(|w| (w[0], w[1])).collect::<Vec<_>>();
    match shape {
        Shape::Path { points, closed, .. } => {
            let last = points.first().copied().filter(|_| *closed);
            chain(points.iter().copied().chain(last).collect())
        }
        Shape::Box { rect: r, .. } => {
            let (b, d) = (Point::new(r.max.x, r.min.y), Point::new(r.min.x, r.max.y));
            chain(vec![r.min, b, r.max, d, r.min])
        }
        Shape::Arc { centre, radius, start_deg, sweep_deg, .. } => {
            let at = |k: u32| {
                let angle = (start_deg + sweep_deg * f64::from(k) / 24.0).to_radians();
                centre.moved(radius * angle.cos(), radius * angle.sin())
            };
            chain((0..=24).map(at).collect())
        }
        Shape::Hatch { .. } | Shape::Text { .. } => Vec::new(),
    }
}

/// Words of the drawing that lie on a bar, a stroke of a symbol or a cable, or the edge of a space.
fn words_on_strokes(page: &Page) -> Vec<String> {
    let mut out = Vec::new();
    let drawn = || page.marks.iter().filter(|m| page.blocks[m.block].role == Role::Figure);
    let words: Vec<(&str, Rect, Option<Target>)> = drawn()
        .filter_map(|m| match &m.shape {
            Shape::Text { text, size, .. } => {
                let mut rect = m.shape.extent();
                rect.max.y -= 0.28 * size;
                Some((text.as_str(), rect.grown(-0.15), m.target))
            }
            _ => None,
        })
        .collect();
    for mark in drawn() {
        let filled = match &mark.shape {
            Shape::Box { rect, fill: Some(fill), .. } if !matches!(fill, Ink::Paper | Ink::Space(_)) => {
                // A bar is as black as letters, and stands upright: half a millimetre beside it is kept free.
                Some(if rect.height() > 3.0 * rect.width() { rect.grown(0.65) } else { *rect })
            }
            _ => None,
        };
        let stroked = match &mark.shape {
            Shape::Path { stroke, .. } | Shape::Arc { stroke, .. } | Shape::Box { stroke, .. } => stroke.is_some(),
            Shape::Hatch { .. } | Shape::Text { .. } => false,
        };
        let strokes = if stroked { strokes(&mark.shape) } else { Vec::new() };
        let around = mark.shape.extent().grown(0.7);
        for (text, rect, target) in words.iter().filter(|(_, r, _)| r.grown(0.1).overlaps(around.grown(0.1))) {
            // What is to be removed is crossed out, its name too.
            let crosses = |(a, b): &&(Point, Point)| {
                *target == mark.target && (a.x - b.x).abs() > 1e-6 && (a.y - b.y).abs() > 1e-6
            };
            let on = filled.is_some_and(|f| f.overlaps(*rect))
                || strokes.iter().filter(|s| !crosses(s)).any(|(a, b)| enters(*rect, *a, *b));
            // A cable that finds no way round a symbol crosses the name in it.
            let inside = || {
                let boxed =
                    |m: &&Mark| matches!(&m.shape, Shape::Box { rect: r, stroke: Some(_), .. } if holds(*r, *rect));
                drawn().filter(|m| m.target == *target).any(|m| boxed(&m))
            };
            if on && (mark.target == *target || !inside()) {
                out.push(format!(
                    "sheet {}: “{text}” {rect:?} lies on {:?} {target:?} {:?}",
                    page.number, mark.shape, mark.target
                ));
            }
        }
    }
    out
}

/// Where symbols and cables are drawn, by sheet.
fn homes(pack: &Pack) -> BTreeMap<Target, Vec<usize>> {
    let mut out: BTreeMap<Target, Vec<usize>> = BTreeMap::new();
    for (page, _) in pack.pages.iter().zip(&pack.kinds).filter(|(_, k)| **k == Kind::Diagram) {
        for mark in &page.marks {
            let stroke = !matches!(mark.shape, Shape::Text { .. });
            if let Some(target @ (Target::Part(_) | Target::Cable(_))) = mark.target
                && stroke
            {
                let sheets = out.entry(target).or_default();
                if sheets.last() != Some(&page.number) {
                    sheets.push(page.number);
                }
            }
        }
    }
    out
}

fn check_pack(installation: &Installation, pack: &Pack, paper: Paper) -> Result<(), String> {
    for (n, (page, kind)) in pack.pages.iter().zip(&pack.kinds).enumerate() {
        if page.number != n + 1 {
            return Err(format!("sheet {} comes at place {}", page.number, n + 1));
        }
        check_page(page, paper, *kind)?;
        if let Some(first) = words_on_strokes(page).into_iter().next() {
            return Err(first);
        }
    }
    let homes = homes(pack);
    for (id, part) in &installation.parts {
        match homes.get(&Target::Part(*id)).map(Vec::len) {
            Some(1) => {}
            n => return Err(format!("{} is on {} sheets", part.tag, n.unwrap_or(0))),
        }
    }
    for (id, cable) in installation.cables.iter().filter(|(_, c)| c.from != c.to) {
        let name = || format!("{} to {}", installation.tag(cable.from), installation.tag(cable.to));
        let on = homes.get(&Target::Cable(*id)).cloned().unwrap_or_default();
        let ends = [cable.from, cable.to].map(|p| homes[&Target::Part(p)][0]);
        let wanted = if ends[0] == ends[1] { 1..=1 } else { 1..=2 };
        if !wanted.contains(&on.len()) {
            return Err(format!("the cable {} is on {} sheets", name(), on.len()));
        }
        if on.iter().any(|s| !ends.contains(s)) {
            return Err(format!("the cable {} is on a sheet of neither end", name()));
        }
    }
    check_references(pack)
}

/// Each “sheet n, Z” names a sheet and a field in which there is a reference back.
fn check_references(pack: &Pack) -> Result<(), String> {
    let mut all: Vec<(usize, usize, String)> = Vec::new();
    for (page, _) in pack.pages.iter().zip(&pack.kinds).filter(|(_, k)| **k == Kind::Diagram) {
        // Joined, as a label in the numbered list may be broken into lines.
        let said: String = texts(page).iter().map(|t| t.0).collect::<Vec<_>>().join(" ");
        // What had no room beside its drawing stands on another sheet, under the name of its own.
        let mut on = page.number;
        for (at, _) in said.match_indices("sheet ") {
            let before = &said[..at];
            if before.ends_with("Of ") {
                let number: String = said[at + 6..].chars().take_while(char::is_ascii_digit).collect();
                on = number.parse().unwrap_or(on);
            }
            if !["· ", "continued on ", "(from "].iter().any(|w| before.ends_with(w)) {
                continue;
            }
            let Some((sheet, rest)) = said[at + 6..].split_once(", ") else { continue };
            let Ok(sheet) = sheet.parse::<usize>() else { continue };
            let zone: String = rest.chars().take_while(char::is_ascii_alphanumeric).collect();
            all.push((on, sheet, zone));
        }
    }
    for (on, to, zone) in &all {
        if !all.iter().any(|(from, back, _)| from == to && back == on) {
            return Err(format!("sheet {on} refers to sheet {to}, {zone}, which does not refer back"));
        }
    }
    Ok(())
}

#[test]
fn every_sheet_of_every_sample_in_every_size() {
    for name in ["trawler", "trawler-before", "motor-yacht", "sailing-boat"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples").join(format!("{name}.hullwire"));
        let installation = store::open(&path).unwrap().installation;
        for paper in papers() {
            let pack = made(&installation, paper);
            if let Err(error) = check_pack(&installation, &pack, paper) {
                panic!("{name}, {paper:?}: {error}");
            }
            let first: String = texts(&pack.pages[0]).iter().map(|t| t.0).collect::<Vec<_>>().join(" ");
            let bare = |t: &str| t.split_whitespace().collect::<String>();
            assert!(bare(&first).contains(&bare(NOT_FOR_CONSTRUCTION)), "{name}, {paper:?}");
        }
    }
}

#[test]
fn the_small_sheets_of_the_sample_are_not_many() {
    let installation = store::sample().unwrap().installation;
    for (size, most) in [(Size::A4, 30), (Size::Letter, 34), (Size::A3, 20), (Size::Tabloid, 22)] {
        let sheets = made(&installation, Paper::usual(size)).sheets;
        assert!(sheets <= most, "{size:?}: {sheets} sheets");
    }
}

#[test]
fn only_some_sheets_keep_their_numbers() {
    let installation = store::sample().unwrap().installation;
    let whole = made(&installation, Paper::default());
    let options = Options { only: vec![Kind::Cables], ..Options::default() };
    let some = pack(&installation, &options, &mut |_, _| true).unwrap();
    assert!(!some.pages.is_empty() && some.pages.len() < whole.pages.len());
    assert_eq!(some.sheets, whole.sheets);
    for page in &some.pages {
        assert_eq!(Some(page), whole.pages.get(page.number - 1));
    }
}

#[test]
fn the_work_can_be_stopped_at_each_step() {
    let installation = store::sample().unwrap().installation;
    let mut steps = 0;
    let mut share = -1.0;
    let all = pack(&installation, &Options::default(), &mut |_, done| {
        assert!(done > share && done <= 1.0);
        share = done;
        steps += 1;
        true
    });
    assert!(all.is_some() && steps > 5);
    for last in 0..steps {
        let mut n = 0;
        let stopped = pack(&installation, &Options::default(), &mut |_, _| {
            n += 1;
            n <= last
        });
        assert!(stopped.is_none());
    }
}

#[test]
fn an_empty_drawing_has_a_pack_too() {
    let installation = Installation::new(hullwire::installation::System::TwoWire120);
    for paper in papers() {
        check_pack(&installation, &made(&installation, paper), paper).unwrap();
    }
}

#[test]
fn long_words_in_the_title_block_keep_inside() {
    let mut installation = store::sample().unwrap().installation;
    let long = "A very long text that somebody typed into a field of the title block, with averyveryverylongwordinit";
    installation.title.title = long.to_owned();
    installation.title.legal_owner = long.to_owned();
    installation.title.creator = long.to_owned();
    installation.title.identification_number = long.to_owned();
    for paper in papers() {
        let pack = made(&installation, paper);
        for (page, kind) in pack.pages.iter().zip(&pack.kinds) {
            check_page(page, paper, *kind).unwrap();
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 10, max_shrink_iters: 40, ..ProptestConfig::default() })]

    #[test]
    fn random_boats_of_some_parts(seed in seed(60), paper in prop::sample::select(papers())) {
        let installation = grow(&seed);
        let pack = made(&installation, paper);
        if let Err(error) = check_pack(&installation, &pack, paper) {
            return Err(TestCaseError::fail(format!("{paper:?}: {error}")));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2, max_shrink_iters: 10, ..ProptestConfig::default() })]

    #[test]
    fn random_boats_of_up_to_four_hundred_parts(seed in seed_of(200, 400), paper in prop::sample::select(papers())) {
        let installation = grow(&seed);
        if let Err(error) = check_pack(&installation, &made(&installation, paper), paper) {
            return Err(TestCaseError::fail(format!("{paper:?}: {error}")));
        }
    }
}
