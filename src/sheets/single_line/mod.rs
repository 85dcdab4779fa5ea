//! The sheets of the single-line diagram: on one sheet as it was drawn where that is legible, else laid out anew, else
//! divided at panels with references both ways.

mod fragment;
mod legend;
mod room;
mod sheet;
mod sign;
mod split;
mod stack;

use super::contents::Contents;
use super::page::{Page, Role, letter};
use super::paper::Paper;
use super::schedules::Subject;
use crate::diagram::{self, Align, Footprint, Geometry, Ink, Overlay, Target, Weight};
use crate::installation::{Installation, PartId, Place, Point, Rect};
use crate::network::Solution;
use fragment::{Division, End, Fragment, Joint, Share, Whole};
use legend::Legend;
use sheet::{Drawn, Extra, Extras};
use stack::Sheet;
use std::collections::BTreeMap;

/// A drawing as the person laid it out is kept down to this scale of its own millimetres.
const LEAST_DRAWN: f64 = 0.88;
/// Sheets of a divided drawing are filled down to this scale.
const LEAST_DIVIDED: f64 = 0.95;
/// Where words make a sheet of a divided drawing smaller, it is kept down to this scale.
const LEAST_WORDED: f64 = 0.72;
/// No more parts than this leave a sheet nearly empty.
const SMALL: usize = 12;
/// So many times as far apart columns may stand, one after the other.
const WIDER: [f64; 3] = [1.2, 1.4, 1.7];
/// As long as the drawing stays so large a share of what it was.
const AS_LARGE: f64 = 0.97;
/// Width of the words at a flag.
const FLAG: f64 = 38.0;
/// What stands at a flag as long as nobody knows where it leads.
const LONGEST: &str = "from A10 · sheet 88, A8";
/// Rounds in which references to other sheets settle.
const ROUNDS: usize = 4;
/// The longest line that says where blocks stand, for which a diagram sheet keeps room under its heading.
pub const LONGEST_POINTER: &str = " · symbols, revisions: sheet 88 · labels by number: sheet 88";
/// Room for the name of a sheet over a block that stands on another.
const NAME: f64 = 6.5;

/// What the diagram sheets are made from.
#[derive(Clone, Copy, Debug)]
pub struct Wish<'a> {
    /// Installation, condition, solution, survey.
    pub subject: &'a Subject<'a>,
    /// Findings and gauges.
    pub overlay: &'a Overlay,
    /// The sheet of paper.
    pub paper: Paper,
    /// Room for the drawing.
    pub body: Rect,
    /// Lengths in feet.
    pub feet: bool,
    /// What was changed, with the letter of the revision.
    pub revised: &'a [(Target, String)],
}

/// The diagram sheets, the first of which is sheet 1 of the pack.
#[must_use]
pub fn contents(wish: &Wish<'_>) -> Vec<Contents> {
    let mut whole = wish.subject.installation.clone();
    whole.revisions.clear();
    if whole.parts.values().any(|p| matches!(p.place, Place::In(_))) {
        diagram::lay_out(&mut whole);
    }
    let solution = &wish.subject.solution;
    let extras = Extras { overlay: wish.overlay, feet: wish.feet, revised: wish.revised, revisions: &[] };
    let sheets = on_one_sheet(&whole, solution, &extras, wish.body)
        .map(|fragment| vec![Sheet::new(vec![fragment])])
        .unwrap_or_else(|| divided(&whole, solution, &extras, wish));
    let count = sheets.len();
    let mut out = Vec::new();
    let mut left: Vec<(usize, Extra)> = Vec::new();
    for (n, mut sheet) in sheets.into_iter().enumerate() {
        let first = if n == 0 { wish.subject.installation.revisions.as_slice() } else { &[] };
        if !first.is_empty() {
            // The table of revisions wants room of its own.
            sheet.forget();
        }
        let extras = Extras { revisions: first, ..extras };
        let (page, without) = sheet.compose(&extras, wish.body);
        left.extend(without.into_iter().map(|block| (n + 1, block)));
        let of = if count > 1 { format!(" {} of {count}", n + 1) } else { String::new() };
        let panels = sheet.panels();
        let title = if panels.is_empty() || count == 1 { String::new() } else { format!(": {panels}") };
        out.push(Contents {
            heading: format!("Single-line diagram{of}"),
            under: under(wish.subject),
            bookmark: format!("Single-line diagram{of}{title}"),
            page,
        });
    }
    let (asides, pointers) = aside(left, wish, count);
    for (sheet, pointer) in pointers {
        if let Some(contents) = out.get_mut(sheet - 1) {
            contents.under = format!("{} · {pointer}", contents.under);
        }
    }
    out.extend(asides);
    out
}

/// The line under the heading.
fn under(subject: &Subject<'_>) -> String {
    let system = subject.installation.system.name();
    format!("{system} · condition: {} · fed from {}", subject.condition_name(), subject.feeding())
}

/// True where a sheet is not made too small by its words, and few of these have no room.
fn is_legible(fragment: &Fragment, extras: &Extras<'_>, body: Rect, least: f64) -> bool {
    let drawn = Drawn::of(fragment, extras, body, 0);
    let few = drawn.scene.notes.len() <= 2 + fragment.installation.parts.len() / 12;
    drawn.scale >= least && few && drawn.is_clear()
}

/// The whole drawing on one sheet, as it was drawn or laid out anew; `None` where neither is legible.
fn on_one_sheet(whole: &Installation, solution: &Solution, extras: &Extras<'_>, body: Rect) -> Option<Fragment> {
    // Tells quickly where there is no room even without words.
    let fits = |fragment: &Fragment| {
        let bare = Geometry::of(&fragment.installation).parts.into_values().map(|f| f.body()).reduce(Rect::union);
        bare.is_none_or(|r| r.width() * LEAST_DRAWN <= body.width() && r.height() * LEAST_DRAWN <= body.height())
    };
    let legible = |fragment: &Fragment| fits(fragment) && is_legible(fragment, extras, body, LEAST_DRAWN);
    let drawn = Fragment::whole(whole, solution);
    if legible(&drawn) {
        return Some(drawn);
    }
    let mut close = drawn.clone();
    diagram::lay_out(&mut close.installation);
    let anew = fits(&close).then(|| laid_out(drawn, extras, body))?;
    legible(&anew).then_some(anew)
}

/// Lays a drawing out anew; where words find no room and the sheet has some at the sides, with columns further apart.
fn laid_out(fragment: Fragment, extras: &Extras<'_>, body: Rect) -> Fragment {
    let wide = |times: f64| {
        let mut wide = fragment.clone();
        diagram::lay_out_wide(&mut wide.installation, times);
        let drawn = Drawn::of(&wide, extras, body, 0);
        (wide, drawn)
    };
    let left_over = |(fragment, drawn): &(Fragment, Drawn)| stack::left_over(fragment, drawn, extras, body);
    let close = wide(1.0);
    let notes = |(_, drawn): &(Fragment, Drawn)| drawn.scene.notes.len();
    let mut best: Option<(Fragment, Drawn)> = None;
    for times in WIDER {
        let fewest = notes(best.as_ref().unwrap_or(&close));
        if fewest == 0 {
            break;
        }
        let other = wide(times);
        if other.1.scale < AS_LARGE * close.1.scale {
            break;
        }
        if notes(&other) < fewest && left_over(&other) <= left_over(&close) {
            best = Some(other);
        }
    }
    best.unwrap_or(close).0
}

/// The drawing divided over sheets, each share of it laid out anew.
fn divided(whole: &Installation, solution: &Solution, extras: &Extras<'_>, wish: &Wish<'_>) -> Vec<Sheet> {
    let body = wish.body;
    let all = Whole::new(whole, solution);
    let fits = |share: &Share| {
        let division = Division::new(vec![share.clone()]);
        let mut fragment = Fragment::of(&all, &division, 0, &|_, _| LONGEST.to_owned());
        diagram::lay_out(&mut fragment.installation);
        // A flag with its words, which stand over it.
        let room = |wide: f64| {
            let room = |(id, foot): (&PartId, &Footprint)| {
                if fragment.is_flag(*id) { Rect::around(foot.at, wide, 10.0) } else { foot.body().grown(4.0) }
            };
            Geometry::of(&fragment.installation).parts.iter().map(room).reduce(Rect::union)
        };
        let fits =
            |r: Rect| r.width() * LEAST_DIVIDED <= body.width() && (r.height() + 6.0) * LEAST_DIVIDED <= body.height();
        // Where there is not ample room for words, only drawing it tells: worth the time where sheets would be nearly empty.
        let small = share.parts.len() <= SMALL;
        room(FLAG).is_none_or(fits)
            && (room(2.0 * FLAG).is_none_or(fits) || small && is_legible(&fragment, extras, body, LEAST_WORDED))
    };
    let division = split::divide(&all, &fits);
    let mut places: BTreeMap<(Joint, End), (usize, String)> = BTreeMap::new();
    let first = |n: usize| {
        let words = |joint: Joint, end: End| said(whole, &BTreeMap::new(), joint, end);
        laid_out(Fragment::of(&all, &division, n, &words), extras, body)
    };
    let mut sheets = stack::stacked((0..division.count()).map(first).collect(), extras, body);
    for _ in 0..ROUNDS {
        let mut found = BTreeMap::new();
        for (n, sheet) in sheets.iter_mut().enumerate() {
            for (fragment, drawn) in sheet.drawn(extras, body) {
                for area in &drawn.scene.parts {
                    if let Some(what) = fragment.stand_ins.get(&area.part) {
                        let zone = wish.paper.zone(drawn.on_page(area.symbol.centre()));
                        found.insert((what.joint, what.end), (n + 1, zone));
                    }
                }
            }
        }
        if found == places {
            break;
        }
        places = found;
        let words = |joint: Joint, end: End| said(whole, &places, joint, end);
        sheets.iter_mut().for_each(|sheet| sheet.reword(whole, &words));
    }
    sheets
}

/// What a stand-in says: where the other end is.
fn said(whole: &Installation, places: &BTreeMap<(Joint, End), (usize, String)>, joint: Joint, end: End) -> String {
    let other = if end == End::Onward { End::From } else { End::Onward };
    let place = places.get(&(joint, other));
    let place = place.map_or_else(|| "sheet 0, A0".to_owned(), |(sheet, zone)| format!("sheet {sheet}, {zone}"));
    let tag = |f: fn(&crate::installation::Cable) -> crate::installation::PartId, id| {
        whole.cables.get(&id).map_or("?", |c| whole.tag(f(c)))
    };
    match (joint, end) {
        (Joint::Cable(id), End::Onward) => format!("to {} · {place}", tag(|c| c.to, id)),
        (Joint::Cable(id), End::From) => format!("from {} · {place}", tag(|c| c.from, id)),
        (Joint::Panel(..), End::Onward) => format!("continued on {place}"),
        (Joint::Panel(..), End::From) => format!("from {place}"),
    }
}

/// Sheets for the blocks that found no room beside the drawings on the first `count` sheets, and what the line under the
/// heading of each of those says of where they stand.
fn aside(blocks: Vec<(usize, Extra)>, wish: &Wish<'_>, count: usize) -> (Vec<Contents>, BTreeMap<usize, String>) {
    let mut out: Vec<Contents> = Vec::new();
    let mut y = f64::INFINITY;
    let (mut of, mut legends, mut all) = (Vec::new(), Vec::new(), Vec::new());
    for (sheet, block) in blocks {
        match block {
            Extra::Legend(legend) => {
                of.push(sheet);
                legends.push(legend);
            }
            other => all.push((format!("Of sheet {sheet}"), vec![sheet], other)),
        }
    }
    if !legends.is_empty() {
        let numbers: Vec<String> = of.iter().map(usize::to_string).collect();
        let name = match numbers.as_slice() {
            [one] => format!("Of sheet {one}"),
            few if few.len() < 7 => format!("Of sheets {}", few.join(", ")),
            _ => "Of the sheets that have no block of symbols".to_owned(),
        };
        all.insert(0, (name, of, Extra::Legend(Legend::merged(legends))));
    }
    // What is higher than a sheet is set in pieces.
    let (wide, high) = (wish.body.width(), wish.body.height() - NAME);
    let pieces = all.into_iter().flat_map(|(name, of, block)| {
        block.in_pieces(wide, high).into_iter().enumerate().map(move |(n, piece)| {
            if n == 0 { (name.clone(), of.clone(), piece) } else { (format!("{name}, continued"), Vec::new(), piece) }
        })
    });
    let mut where_it_is: BTreeMap<usize, Vec<(&str, usize)>> = BTreeMap::new();
    for (name, of, block) in pieces {
        let best = block.lowest(wide);
        if y + NAME + best.1 > wish.body.max.y || out.is_empty() {
            out.push(Contents {
                heading: "Symbols and labels of the diagram".to_owned(),
                under: under(wish.subject),
                bookmark: "Symbols and labels of the diagram".to_owned(),
                page: Page::default(),
            });
            y = wish.body.min.y;
        }
        for sheet in of {
            where_it_is.entry(sheet).or_default().push((block.name(), count + out.len()));
        }
        if let Some(last) = out.last_mut() {
            let head = last.page.open(Role::Heading(2), None, wish.body);
            let at = Point::new(wish.body.min.x, y + letter::LARGE);
            let style = (letter::LARGE, Weight::Bold, Ink::Line);
            last.page.text(head, at, &name, style, Align::Left);
            let min = Point::new(wish.body.min.x, y + NAME);
            block.draw(&mut last.page, Rect::between(min, min.moved(best.0, best.1)));
            y += NAME + best.1 + 5.0;
        }
    }
    let pointers = where_it_is.into_iter().map(|(sheet, blocks)| (sheet, pointer(&blocks)));
    (out, pointers.collect())
}

/// Says on which sheets blocks stand: `symbols, labels by number: sheet 4`.
fn pointer(blocks: &[(&str, usize)]) -> String {
    let mut words: Vec<(Vec<&str>, usize)> = Vec::new();
    for &(name, on) in blocks {
        match words.iter_mut().find(|(_, sheet)| *sheet == on) {
            Some((names, _)) => names.push(name),
            None => words.push((vec![name], on)),
        }
    }
    let said: Vec<String> = words.iter().map(|(names, on)| format!("{}: sheet {on}", names.join(", "))).collect();
    said.join(" · ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network;

    #[test]
    fn a_sheet_says_on_which_other_its_blocks_stand() {
        assert_eq!(pointer(&[("symbols", 4), ("labels by number", 4)]), "symbols, labels by number: sheet 4");
        assert_eq!(pointer(&[("symbols", 4), ("labels by number", 5)]), "symbols: sheet 4 · labels by number: sheet 5");
    }

    #[test]
    fn columns_go_apart_where_that_gives_words_room_and_costs_nothing_else() {
        let yacht = crate::store::SAMPLES.iter().find(|s| s.name.starts_with("Motor yacht")).unwrap();
        let boat = yacht.open().unwrap().installation;
        let solution = network::solve(&boat, 0);
        let overlay = Overlay::default();
        let extras = Extras { overlay: &overlay, feet: false, revised: &[], revisions: &[] };
        let drawn = |high: f64, wide: bool| {
            let body = Rect::between(Point::default(), Point::new(375.0, high));
            let mut fragment = Fragment::whole(&boat, &solution);
            if wide {
                fragment = laid_out(fragment, &extras, body);
            } else {
                diagram::lay_out(&mut fragment.installation);
            }
            Drawn::of(&fragment, &extras, body, 0)
        };
        let (close, wide) = (drawn(195.0, false), drawn(195.0, true));
        assert!(wide.scene.notes.len() < close.scene.notes.len(), "{} notes", wide.scene.notes.len());
        assert!(wide.scale >= AS_LARGE * close.scale);
        // On a sheet that is narrow for its height they would only make the drawing smaller.
        let (close, wide) = (drawn(900.0, false), drawn(900.0, true));
        assert!((wide.scale - close.scale).abs() < 1e-9, "{} to {}", close.scale, wide.scale);
    }
}
