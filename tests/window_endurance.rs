//! The Endurance view, by the names that a screen reader reads.
#![cfg(feature = "window")]

use egui::{Key, Modifiers, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use hullwire::app::App;
use hullwire::app::commands::Command;
use hullwire::app::tab::Tab;
use hullwire::installation::{Installation, Origin, Part, PartId, Property};
use hullwire::store::list::import;
use std::sync::Arc;

type Window = Harness<'static, App>;

const BOAT: &str = "# system: 120V60Hz\n# condition: At anchor\n\
    tag,kind,label,fed_from,run_w,portable,tank_l,fuel_curve,conductor,length_m,fuel_aboard_l,reserve_l,size_mm,air_gap_mm,exhaust_gap_mm,noise_db,noise_m\n\
    G1,generator,Stern set,,1600,yes,2,0:10.5h/2L|25:9h/2L,,,20,4,512x290x425,50,150,58,7\n\
    Q1,breaker,,G1,,,,,12 AWG,3,,,,,,,\nE1,appliance,Heater,Q1,400,,,,12 AWG,5,,,,,,,\n";

fn window() -> Window {
    let doc: Installation = import(BOAT).unwrap().installation;
    let size = vec2(1440.0, 1500.0);
    let mut window =
        Harness::builder().with_size(size).with_max_steps(30).build_eframe(move |cc| App::new(&cc.egui_ctx, doc, None));
    window.run();
    let ctx = window.ctx.clone();
    window.state_mut().command(&ctx, Command::Show(Tab::Endurance));
    window.run();
    window
}

fn doc(window: &Window) -> Arc<Installation> {
    Arc::clone(window.state().state.installation())
}

fn part(window: &Window, tag: &str) -> (PartId, Arc<Part>) {
    let doc = doc(window);
    let id = doc.part_by_tag(tag).unwrap();
    (id, Arc::clone(&doc.parts[&id]))
}

fn enter(window: &mut Window, field: &str, text: &str) {
    window.get_by_label(field).scroll_to_me();
    window.run();
    window.get_by_label(field).click();
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run();
    window.get_by_label(field).type_text(text);
    window.run();
    window.key_press(Key::Enter);
    window.run();
}

fn click(window: &mut Window, name: &str) {
    window.get_by_label(name).scroll_to_me();
    window.run();
    window.get_by_label(name).click();
    window.run();
}

/// True where a text with these words is on the screen.
fn says(window: &Window, words: &str) -> bool {
    window.query_all_by_label_contains(words).next().is_some()
        || window.query_all_by(|node| node.value().is_some_and(|v| v.contains(words))).next().is_some()
}

#[test]
fn the_claim_and_the_bound_are_said_and_the_plot_has_words() {
    let mut window = window();
    assert!(says(&window, "cannot be right"), "the curve is the display’s");
    assert!(says(&window, "9 h claimed, 6.2 h possible") || says(&window, "claimed, 6."));
    let plot = window.get_by_label("Fuel curve of G1");
    let words = plot.accesskit_node().description().unwrap_or_default();
    assert!(words.contains("Hatched"), "{words}");
    enter(&mut window, "Litres counted on", "4");
    assert!(says(&window, "4 L last"));
    enter(&mut window, "Litres counted on", "some");
    assert!(says(&window, "Not taken; valid: litres from 0"));
}

#[test]
fn hours_are_typed_and_a_day_is_worked_out() {
    let mut window = window();
    enter(&mut window, "Hours of At anchor", "7-9, 18:30-22");
    assert_eq!(hullwire::installation::plan::hours(&doc(&window).conditions[0].hours), 5.5);
    assert!(says(&window, "runs 5.5 h a day"));
    assert!(says(&window, "No condition has the remaining 18.5 h"));
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    assert!(doc(&window).conditions[0].hours.is_empty(), "undo takes the hours back");
}

#[test]
fn a_bar_is_dragged_out_on_the_timeline() {
    let mut window = window();
    let rect = window.query_all_by_label_contains("Timeline of At anchor").next().unwrap().rect();
    let at = |hour: f32| rect.left_center() + vec2(rect.width() * hour / 24.0, 0.0);
    window.drag_at(at(6.0));
    window.run();
    window.hover_at(at(9.0));
    window.run();
    window.drop_at(at(9.0));
    window.run();
    let hours = doc(&window).conditions[0].hours.clone();
    assert_eq!(hours.len(), 1, "{hours:?}");
    assert!((hours[0].from - 6.0).abs() < 0.3 && (hours[0].to - 9.0).abs() < 0.6, "{hours:?}");
    assert_eq!(window.state().state.history.depth(), 1, "a drag is one step");
}

#[test]
fn a_reading_narrows_and_is_taken_over() {
    let mut window = window();
    click(&mut window, "Add a reading");
    assert_eq!(doc(&window).readings.len(), 1);
    enter(&mut window, "Value of reading 1", "520");
    enter(&mut window, "Step of reading 1", "10");
    assert!(says(&window, "400 W in the drawing cannot be true"));
    click(&mut window, "Take over the measured power of E1");
    let (_, e1) = part(&window, "E1");
    assert!(e1.run_w.is_some_and(|w| w > 490.0 && w < 530.0), "{:?}", e1.run_w);
    assert_eq!(e1.origins.get(&Property::RunW), Some(&Origin::Measured));
    assert!(e1.note.contains("measured"));
    click(&mut window, "Remove reading 1");
    assert!(doc(&window).readings.is_empty());
}

#[test]
fn a_tray_is_tried_and_nothing_says_that_the_set_may_run_there() {
    let mut window = window();
    click(&mut window, "Add a tray");
    enter(&mut window, "Inner size of tray 1", "800x500x600");
    assert_eq!(doc(&window).trays[0].inner.sides(), [800.0, 500.0, 600.0]);
    assert!(says(&window, "fits: 44 mm to spare on each side along"), "800 − 512 − 50 − 150");
    assert!(says(&window, "never aboard and never in a closed space"));
    enter(&mut window, "Distance for the sound", "14");
    assert!(says(&window, "52.0 dB(A)"));
    enter(&mut window, "Inner size of tray 1", "800");
    assert!(says(&window, "Not taken; valid: length × width × height"));
}
