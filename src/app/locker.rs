//! The locker: the palette of parts that can be dragged on to the drawing.

use super::commands::Command;
use super::glyphs::{self, Glyph};
use super::state::State;
use super::{canvas, theme, widgets};
use crate::installation::{CableData, LoadKind, Origin, Part, PartKind, Place, Point, Property, Protection, blank};
use crate::tables;
use crate::units;
use egui::accesskit::Role;
use egui::{Align2, Sense, Ui, WidgetInfo, vec2};

/// What is dragged from the locker: a part whose tag is still empty. The canvas gives it a place.
#[derive(Clone, Debug)]
pub struct LockerPart {
    /// The part; its place is of no matter yet.
    pub part: Part,
}

/// A row of the locker.
struct Entry {
    name: String,
    /// At the right end: typical watts.
    figure: String,
    glyph: Glyph,
    /// `None`: a space, which is drawn and not dropped.
    part: Option<Part>,
    tip: String,
}

/// The groups of the locker, from top to bottom.
const GROUPS: [&str; 6] = ["Sources", "Distribution", "Protection", "Outlets", "Appliances", "Areas"];

/// The panel at the left.
pub struct Locker {
    search: String,
    groups: Vec<(&'static str, Vec<Entry>)>,
}

impl Default for Locker {
    fn default() -> Self {
        Self { search: String::new(), groups: GROUPS.into_iter().map(|g| (g, entries(g))).collect() }
    }
}

fn plain(kind: PartKind, tip: &str) -> Entry {
    made(kind, &widgets::sentence(kind.name()), Glyph::Kind(kind), tip, |_| {})
}

fn made(kind: PartKind, name: &str, glyph: Glyph, tip: &str, change: impl FnOnce(&mut Part)) -> Entry {
    let mut part = blank(kind, Point::default());
    change(&mut part);
    Entry { name: name.to_owned(), figure: String::new(), glyph, part: Some(part), tip: tip.to_owned() }
}

fn entries(group: &str) -> Vec<Entry> {
    match group {
        "Sources" => vec![
            made(
                PartKind::ShoreInlet,
                "Shore inlet",
                Glyph::Kind(PartKind::ShoreInlet),
                "Where the shore cord comes aboard. Its cord is among its particulars.",
                |p| p.cord = CableData::unknown(),
            ),
            plain(PartKind::Generator, "A generating set, built in or portable."),
            plain(PartKind::Inverter, "Makes AC of a battery. With a feed of its own it is an inverter-charger."),
        ],
        "Distribution" => vec![
            plain(PartKind::Selector, "Chooses one of several sources; never two at once."),
            plain(PartKind::Panel, "A distribution panel: breakers hang on its bar."),
            plain(PartKind::Junction, "A joint from which several cables lead on."),
            plain(PartKind::IsolationTransformer, "Separates the boat from the shore; may change the voltage."),
        ],
        "Protection" => vec![
            plain(PartKind::Breaker, "Opens on overload. Drop it on a cable to put it in there."),
            made(
                PartKind::Breaker,
                "Leakage breaker",
                Glyph::LeakageBreaker,
                "A breaker that trips on leakage too, 30 mA; change it in the particulars.",
                |p| {
                    p.protection = Protection::Elci;
                    p.origins.insert(Property::Protection, Origin::Assumed);
                },
            ),
            plain(PartKind::GalvanicIsolator, "Blocks galvanic current in the earth conductor of the shore feed."),
            plain(PartKind::PolarityIndicator, "Shows when line and neutral of the shore feed are swapped."),
        ],
        "Outlets" => vec![
            plain(PartKind::Outlet, "A socket; appliances plug into it."),
            made(
                PartKind::Outlet,
                "Protected outlet",
                Glyph::ProtectedOutlet,
                "An outlet that trips on leakage at 5 mA; change it in the particulars.",
                |p| {
                    p.protection = Protection::Gfci;
                    p.origins.insert(Property::Protection, Origin::Assumed);
                },
            ),
        ],
        "Appliances" => appliances(),
        _ => vec![Entry {
            name: "Space".to_owned(),
            figure: String::new(),
            glyph: Glyph::Space,
            part: None,
            tip: "An area of the boat. Click, then drag its rectangle over the drawing.".to_owned(),
        }],
    }
}

fn appliances() -> Vec<Entry> {
    let mut list = vec![made(
        PartKind::Appliance,
        "Any appliance",
        Glyph::Box,
        "An appliance of which nothing is known yet. Read its name plate.",
        |_| {},
    )];
    list.extend(tables::get().appliances().iter().map(typical));
    list
}

/// A generic appliance with typical figures, each marked as such until the person changes it.
pub fn typical_part(a: &tables::Appliance) -> Part {
    let mut part = Part::new(PartKind::Appliance, "", Place::At(Point::default()));
    part.label = widgets::sentence(&a.name);
    part.run_w = Some(a.run_w);
    part.start_w = (a.start_w > a.run_w).then_some(a.start_w);
    part.pf = Some(a.pf);
    part.duty = a.duty;
    part.load_kind = LoadKind::from_slug(&a.load_kind).unwrap_or_default();
    part.cycles = a.cycles;
    let lamp = a.name.contains("LED") || a.name.contains("light");
    part.lighting = lamp;
    let marked = [Property::RunW, Property::StartW, Property::Pf, Property::Duty, Property::LoadKind, Property::Cycles];
    part.origins.extend(marked.into_iter().map(|p| (p, Origin::Typical)));
    part
}

/// The glyph of an appliance.
fn glyph_of(part: &Part) -> Glyph {
    match part.load_kind {
        _ if part.lighting => Glyph::Lamp,
        LoadKind::Motor => Glyph::Motor,
        LoadKind::Impedance => Glyph::Heater,
        LoadKind::Power => Glyph::Box,
    }
}

/// An appliance that was kept from another drawing.
fn own(part: &Part) -> Entry {
    let figure = part.run_w.map_or_else(String::new, units::watts);
    Entry {
        name: if part.label.is_empty() { "Appliance without a name".to_owned() } else { part.label.clone() },
        figure,
        glyph: glyph_of(part),
        part: Some(part.clone()),
        tip: "An appliance of your own, with the figures that it was kept with.".to_owned(),
    }
}

fn typical(a: &tables::Appliance) -> Entry {
    let part = typical_part(a);
    let glyph = glyph_of(&part);
    let range = if a.run_w_min < a.run_w_max {
        format!("{} to {}, here {}", units::watts(a.run_w_min), units::watts(a.run_w_max), units::watts(a.run_w))
    } else {
        units::watts(a.run_w)
    };
    let note = if a.note.is_empty() { String::new() } else { format!("\n{}", widgets::sentence(&a.note)) };
    Entry {
        name: part.label.clone(),
        figure: units::watts(a.run_w),
        glyph,
        part: Some(part),
        tip: format!("Typical: {range}. Read the name plate.{note}\nSource: {} ({})", a.source, a.mark.words()),
    }
}

impl Locker {
    /// Shows the panel.
    pub fn show(&mut self, ui: &mut Ui, state: &mut State) {
        widgets::head(ui, "Locker");
        let field = egui::TextEdit::singleline(&mut self.search).hint_text("find a part").desired_width(f32::INFINITY);
        ui.add(field.margin(vec2(8.0, 5.0))).accessible_name("Find in the locker");
        let wanted = self.search.trim().to_lowercase();
        egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            let mut any = false;
            let own: Vec<Entry> = state.own.iter().map(own).collect();
            let mut groups: Vec<(&str, &[Entry])> = self.groups.iter().map(|(g, e)| (*g, e.as_slice())).collect();
            if !own.is_empty() {
                groups.insert(groups.len().saturating_sub(1), ("My appliances", &own));
            }
            for (group, entries) in groups {
                let found: Vec<&Entry> =
                    entries.iter().filter(|e| wanted.is_empty() || e.name.to_lowercase().contains(&wanted)).collect();
                if found.is_empty() {
                    continue;
                }
                any = true;
                widgets::section(ui, group);
                ui.add_space(3.0);
                for entry in found {
                    row(ui, entry, state);
                }
            }
            if !any {
                ui.add_space(8.0);
                let text = widgets::faint(ui, "Nothing of that name. Take “Any appliance” and name it.");
                ui.label(text);
                if widgets::link(ui, "Show all").clicked() {
                    self.search.clear();
                }
            }
            ui.add_space(8.0);
            widgets::keep_focus_in_sight(ui);
        });
    }
}

fn row(ui: &mut Ui, entry: &Entry, state: &mut State) {
    let t = theme::tokens(ui);
    let name_font = theme::regular(theme::DATA);
    let figure_font = theme::regular(theme::SMALL);
    let width = ui.available_width();
    let measure = |text: &str, font| ui.painter().layout_no_wrap(text.to_owned(), font, t.ink);
    let figure = measure(&entry.figure, figure_font);
    let room = width - 32.0 - 2.0;
    let beside = room - figure.size().x - 4.0;
    let one_line = measure(&entry.name, name_font.clone());
    let galley = if one_line.size().x <= beside {
        one_line
    } else {
        ui.painter().layout(entry.name.clone(), name_font, t.ink, beside.max(70.0))
    };
    let height = galley.size().y.max(16.0) + 7.0;
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Locker: {}", entry.name)));
    if ui.is_rect_visible(rect) {
        if response.hovered() || response.has_focus() {
            ui.painter().rect_filled(rect, 4.0, t.hover);
        }
        glyphs::paint(ui.painter(), rect.left_center() + vec2(15.0, 0.0), entry.glyph, t);
        let at = egui::pos2(rect.left() + 32.0, rect.center().y - galley.size().y / 2.0);
        ui.painter().galley(at, galley, t.ink);
        let right = rect.right_center() - vec2(2.0, 0.0);
        ui.painter().text(right, Align2::RIGHT_CENTER, &entry.figure, theme::regular(theme::SMALL), t.faint);
        widgets::focus_ring(ui, &response, 4.0);
    }
    let response = response.on_hover_text(&entry.tip).on_hover_cursor(egui::CursorIcon::Grab);
    match &entry.part {
        Some(part) => {
            response.dnd_set_drag_payload(LockerPart { part: part.clone() });
            if response.clicked() {
                canvas::add_part(state, part, state.view_centre);
            }
        }
        None if response.clicked() => {
            state.command(Command::DrawSpace);
        }
        None => {}
    }
}
