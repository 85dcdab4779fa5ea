//! The Loads view, by the names that a screen reader reads and the keys that a hand presses.
#![cfg(feature = "window")]

use egui::{Event, Key, Modifiers, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use hullwire::app::App;
use hullwire::app::tab::Tab;
use hullwire::installation::{Installation, PartId, Usage};
use hullwire::store::list::import;

type Window = Harness<'static, App>;

const LIST: &str = "# name: Reed Warbler\n# system: 120V60Hz\n# condition: At anchor\n# feeding: G1\n\
    tag,kind,label,fed_from,run_w,start_w,load_kind,rating_a,cycles,duty,conductor,length_m\n\
    G1,generator,Set,,3000,4000,,30,,,,\n\
    A1,panel,Panel,G1,,,,,,,10 AWG,2\n\
    M1,appliance,Air conditioner,A1,1000,3600,motor,,,0.5,12 AWG,4\n\
    E1,appliance,Heater,A1,1000,,impedance,,,0.4,12 AWG,4\n\
    E2,appliance,Oven,A1,2500,,impedance,,,,12 AWG,4\n";

fn boat() -> Installation {
    let mut doc = import(LIST).unwrap_or_else(|p| panic!("{p:?}")).installation;
    let mut night = doc.conditions[0].clone();
    night.name = "Night".to_owned();
    doc.conditions.push(night);
    doc
}

fn window() -> Window {
    let mut window = Harness::builder()
        .with_size(vec2(1500.0, 1100.0))
        .with_max_steps(40)
        .build_eframe(|cc| App::new(&cc.egui_ctx, boat(), None));
    window.run();
    window.get_by_label("View: Loads").click();
    window.run();
    window
}

fn doc(window: &Window) -> &Installation {
    window.state().state.installation()
}

fn id(window: &Window, tag: &str) -> PartId {
    doc(window).part_by_tag(tag).unwrap_or_else(|| panic!("there is no {tag}"))
}

fn share(window: &Window, tag: &str, condition: usize) -> Option<f64> {
    doc(window).conditions[condition].usage.get(&id(window, tag)).and_then(|u: &Usage| u.share)
}

fn type_into(window: &mut Window, cell: &str, text: &str) {
    window.get_by_label(cell).click();
    window.run();
    window.event(Event::Text(text.to_owned()));
    window.run();
    window.key_press(Key::Enter);
    window.run();
}

#[test]
fn a_drag_chooses_a_block_of_cells() {
    let mut window = window();
    let middle = |window: &Window, name: &str| window.get_by_label(name).rect().center();
    let from = middle(&window, "E1 Heater, At anchor: 40 %");
    let to = middle(&window, "E2 Oven, Night: 100 %");
    window.event(Event::PointerMoved(from));
    let button = |pos, pressed| Event::PointerButton {
        pos,
        button: egui::PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    };
    window.event(button(from, true));
    window.run();
    for step in 1..=4 {
        window.event(Event::PointerMoved(from + (to - from) * (step as f32 / 4.0)));
        window.run();
    }
    window.event(button(to, false));
    window.run();
    window.event(Event::Text(" ".to_owned()));
    window.run();
    for tag in ["E1", "E2"] {
        for condition in 0..2 {
            assert!(!doc(&window).is_on(id(&window, tag), condition), "{tag} in {condition} was chosen");
        }
    }
    assert!(doc(&window).is_on(id(&window, "M1"), 0), "what was not chosen stays as it was");
    // The button is up: where the pointer goes now is of no matter.
    let other = middle(&window, "M1 Air conditioner, Night: 50 %");
    window.event(Event::PointerMoved(other));
    window.run();
    window.event(Event::Text(" ".to_owned()));
    window.run();
    assert!(doc(&window).is_on(id(&window, "E1"), 1), "the block is switched again");
    assert!(doc(&window).is_on(id(&window, "M1"), 1), "the rest is not");
}

#[test]
fn cells_are_typed_switched_filled_and_taken_back() {
    let mut window = window();
    assert_eq!(window.state().state.tab, Tab::Loads);
    type_into(&mut window, "E1 Heater, At anchor: 40 %", "25 %");
    assert_eq!(share(&window, "E1", 0), Some(0.25));
    assert_eq!(share(&window, "E1", 1), None, "the other condition keeps its own");
    window.get_by_label("E1 Heater, At anchor: 25 %");
    // Enter led on to the row below: Space switches it off.
    window.event(Event::Text(" ".to_owned()));
    window.run();
    assert!(!doc(&window).is_on(id(&window, "E2"), 0), "Space switches");
    window.get_by_label("E2 Oven, At anchor: off");
    window.key_press(Key::ArrowUp);
    window.run();
    window.key_press(Key::ArrowDown);
    window.run();
    window.event(Event::Text(" ".to_owned()));
    window.run();
    assert!(doc(&window).is_on(id(&window, "E2"), 0), "an arrow moves by one cell");
    window.event(Event::Text(" ".to_owned()));
    window.run();
    // Shift and arrows choose more; Ctrl+D fills the first row down.
    window.get_by_label("E1 Heater, At anchor: 25 %").click();
    window.run();
    window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowDown);
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::D);
    window.run();
    assert_eq!((share(&window, "E2", 0), doc(&window).is_on(id(&window, "E2"), 0)), (Some(0.25), true));
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    assert!(!doc(&window).is_on(id(&window, "E2"), 0), "undo takes back the fill as one step");
}

#[test]
fn a_block_from_a_spreadsheet_is_pasted_and_a_wrong_word_refused() {
    let mut window = window();
    window.get_by_label("E1 Heater, At anchor: 40 %").click();
    window.run();
    window.event(Event::Paste("30 %\toff\n0.5\t75\n".to_owned()));
    window.run();
    assert_eq!(
        (share(&window, "E1", 0), share(&window, "E2", 0), share(&window, "E2", 1)),
        (Some(0.3), Some(0.5), Some(0.75))
    );
    assert!(!doc(&window).is_on(id(&window, "E1"), 1));
    let before = doc(&window).clone();
    window.event(Event::Paste("often".to_owned()));
    window.run();
    assert_eq!(doc(&window), &before);
    assert!(window.state().state.message.as_ref().is_some_and(|m| m.refused && m.text.contains("often")));
}

#[test]
fn ticking_says_what_can_start_now_in_which_order_or_why_not() {
    let mut window = window();
    window.get_by_label("M1 Air conditioner: may start now");
    window.get_by_label("Must run: E1 Heater").click();
    window.run();
    window.get_by_label("E1 Heater: runs");
    window.get_by_label("M1 Air conditioner: only in this order: Air conditioner, Heater");
    window.get_by_label_contains("E2 Oven: no: G1 would have to give 3,");
    window.get_by_label("Must run: M1 Air conditioner").click();
    window.run();
    window.get_by_label("1. Air conditioner: peak 3,600 W, then 1,000 W running");
    window.get_by_label("2. Heater: peak 2,000 W, then 2,000 W running");
    window.get_by_label("Starting sequence over time, largest peak 3,600 W");
    window.get_by_label_contains("Switch off Air conditioner before changing source.");
}

#[test]
fn a_candidate_is_kept_with_the_drawing_and_compared() {
    let mut window = window();
    window.get_by_label("Add a candidate for G1").click();
    window.run();
    assert_eq!(doc(&window).candidates.len(), 1);
    window.get_by_label("Offer 1: two in parallel, made for it").click();
    window.run();
    assert!(doc(&window).candidates[0].pair);
    window.get_by_label("Compare the sources").click();
    for _ in 0..200 {
        window.step();
        if window.query_by_label("two of Offer 1 in parallel").is_some() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    window.get_by_label("two of Offer 1 in parallel");
    window.get_by_label("Remove Offer 1").click();
    window.run();
    assert!(doc(&window).candidates.is_empty());
}

#[test]
fn the_heads_choose_the_condition_that_the_drawing_shows() {
    let mut window = window();
    window.get_by_label("Condition Night").click();
    window.run();
    assert_eq!(window.state().state.condition, 1);
    assert!(window.get_by_label("Condition Night").accesskit_node().label().is_some());
    window.get_by_label_contains("Night, on G1.");
}

#[test]
fn conditions_are_added_named_and_removed_from_the_table() {
    let mut window = window();
    window.get_by_label("Add a condition").click();
    window.run();
    assert_eq!((doc(&window).conditions.len(), window.state().state.condition), (3, 2));
    let name = |window: &mut Window, text: &str, key: Key| {
        window.key_press_modifiers(Modifiers::COMMAND, Key::A);
        window.run();
        window.get_by_label("Name of the condition").type_text(text);
        window.run();
        window.key_press(key);
        window.run();
    };
    name(&mut window, "Under way", Key::Enter);
    assert_eq!(doc(&window).conditions[2].name, "Under way");
    window.get_by_label("Rename Under way").click();
    window.run();
    name(&mut window, "Passage", Key::Escape);
    assert_eq!(doc(&window).conditions[2].name, "Under way", "Escape leaves the name as it was");
    window.get_by_label("Rename Under way").click();
    window.run();
    name(&mut window, "Passage", Key::Enter);
    assert_eq!(doc(&window).conditions[2].name, "Passage");
    window.get_by_label("Remove Passage").click();
    window.run();
    assert_eq!(doc(&window).conditions.iter().map(|c| c.name.as_str()).collect::<Vec<_>>(), ["At anchor", "Night"]);
    window.get_by_label("Remove Night").click();
    window.run();
    window.get_by_label("Remove At anchor").click();
    window.run();
    assert_eq!(doc(&window).conditions.len(), 1, "the only condition stays");
}

#[test]
fn the_table_is_edited_as_a_spreadsheet_is() {
    let mut window = window();
    window.get_by_label("E1 Heater, At anchor: 40 %").click();
    window.run();
    // Typing takes the place of what was there; F2 goes on with it; Tab takes it and goes to the next cell.
    window.event(Event::Text("5".to_owned()));
    window.run();
    window.get_by_label("Use of the appliance").type_text("5");
    window.run();
    window.key_press(Key::Enter);
    window.run();
    assert_eq!(share(&window, "E1", 0), Some(0.55));
    window.key_press(Key::F2);
    window.run();
    window.get_by_label("Use of the appliance");
    window.key_press(Key::Escape);
    window.run();
    window.key_press(Key::ArrowUp);
    window.run();
    window.key_press(Key::ArrowRight);
    window.run();
    window.event(Event::Text("off".to_owned()));
    window.run();
    window.key_press(Key::Enter);
    window.run();
    assert!(!doc(&window).is_on(id(&window, "E1"), 1), "the arrows went to the night’s column");
    // Shift widens; Ctrl+D fills the first row down; one undo takes it back.
    window.get_by_label("E1 Heater, At anchor: 55 %").click();
    window.run();
    window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowDown);
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::D);
    window.run();
    assert_eq!(share(&window, "E2", 0), Some(0.55));
    window.event(Event::Copy);
    window.run();
    window.event(Event::Cut);
    window.run();
    assert_eq!((share(&window, "E1", 0), share(&window, "E2", 0)), (None, None), "cut leaves the usual");
    window.event(Event::Paste("25 %".to_owned()));
    window.run();
    assert_eq!(
        (share(&window, "E1", 0), share(&window, "E2", 0)),
        (Some(0.25), Some(0.25)),
        "one value into all chosen"
    );
}

#[test]
fn the_totals_have_each_source_panel_and_breaker_and_the_cautions_stand_above() {
    let mut window = window();
    assert!(window.query_all_by_label("G1 Set").count() > 1, "in the totals and in the strip");
    window.get_by_label("A1 Panel");
    for head in ["Connected", "Apparent", "Mean", "Rating", "Reserve"] {
        window.get_by_label(head);
    }
    window.get_by_label_contains("Largest start on G1: Air conditioner");
    let first = window.get_all_by_label_contains("DANGER").next().is_some();
    assert!(first, "the cautions of the drawing stand over the loads as well");
    window.get_by_label("I have read this").click();
    window.run();
}
