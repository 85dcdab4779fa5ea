//! Circuit lists: what is exported imports again as the same electrical installation, and nothing makes the reader panic.

mod support;

use hullwire::store::list::{Column, export, import};
use proptest::prelude::*;

fn check_round_trip(installation: &hullwire::installation::Installation) {
    let list = export(installation, 0);
    let again = match import(&list) {
        Ok(again) => again.installation,
        Err(problems) => {
            let problems: Vec<String> = problems.iter().map(ToString::to_string).collect();
            panic!("{}\n{list}", problems.join("\n"));
        }
    };
    assert_eq!(support::electrical(installation), support::electrical(&again), "\n{list}");
    assert_eq!(export(&again, 0), list);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn what_is_exported_imports_again(installation in support::installation()) {
        check_round_trip(&installation);
    }

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,80}|[#a-z:,\"\n\r|0-9 ]{0,200}") {
        let _ = import(&text);
    }

    #[test]
    fn rows_of_anything_are_read_or_refused(
        rows in prop::collection::vec(prop::collection::vec(cell(), 0..8), 0..8),
        head in prop::collection::vec(prop::sample::select(Column::ALL.to_vec()), 1..8),
    ) {
        let mut text = "# system: 120/240V60Hz\ntag,kind,fed_from".to_owned();
        for column in head {
            text += &format!(",{}", column.name());
        }
        for row in rows {
            text += &format!("\n{}", row.join(","));
        }
        if let Err(problems) = import(&text) {
            let last = text.lines().count();
            for problem in problems {
                prop_assert!(problem.line.is_some_and(|l| l >= 1 && l <= last), "{problem}");
                prop_assert!(!problem.found.is_empty() && !problem.valid.is_empty());
            }
        }
    }
}

fn cell() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        "[A-C][1-3]",
        prop::sample::select(vec!["panel", "selector", "breaker", "appliance", "shore-inlet", "inverter", "none"])
            .prop_map(str::to_owned),
        "-?[0-9]{1,4}(\\.[0-9]{1,3})?",
        prop::sample::select(vec![
            "12 AWG",
            "2.5 mm2",
            "yes",
            "no",
            "A1|B2",
            "1|2|3",
            "1e999",
            "NaN",
            "\"q\"\"\"",
            "\""
        ])
        .prop_map(str::to_owned),
        "\\PC{0,6}",
    ]
}

#[test]
fn what_is_copied_is_pasted_with_its_figures() {
    use hullwire::installation::Edit;
    use hullwire::store::list::{from_clipboard, to_clipboard};
    let doc = hullwire::store::sample().unwrap().installation;
    let all = doc.parts.keys().copied().collect();
    let pasted = from_clipboard(&to_clipboard(&doc, 0, &all), &doc).unwrap();
    assert_eq!(pasted.installation.parts.len(), doc.parts.len());
    assert_eq!(pasted.cables().len(), doc.cables.len());
    assert!(pasted.feeds.is_empty());
    let edit = Edit::Paste { parts: pasted.parts(), cables: pasted.cables(), dx: 0.0, dy: 500.0 };
    let twice = doc.apply(&edit).unwrap().installation;
    assert_eq!(twice.parts.len(), 2 * doc.parts.len());
    let watts = |d: &hullwire::installation::Installation| d.parts.values().filter_map(|p| p.run_w).sum::<f64>();
    assert!((watts(&twice) - 2.0 * watts(&doc)).abs() < 1e-6);
}

#[test]
fn alarms_and_petrol_aboard_are_listed_drawn_and_refused_by_their_words() {
    use hullwire::store::{parse, to_text};
    for (heads, alarms, petrol) in [
        ("", "", ""),
        ("# co_alarms: yes\n# petrol: none\n", "yes", "none"),
        ("# co_alarms: no\n# petrol: engine-space|lazarette\n", "no", "engine-space|lazarette"),
    ] {
        let boat = import(&format!("# system: 120V60Hz\n{heads}tag,kind\nG1,generator\n")).unwrap().installation;
        let said =
            |i: &hullwire::installation::Installation| (i.aboard.co_alarms_word().to_owned(), i.aboard.petrol_words());
        let wanted = (alarms.to_owned(), petrol.to_owned());
        assert_eq!(said(&boat), wanted);
        check_round_trip(&boat);
        assert_eq!(said(&import(&export(&boat, 0)).unwrap().installation), wanted);
        let drawn = parse(to_text(&boat).unwrap().as_bytes(), "boat", Some("hullwire")).unwrap();
        assert_eq!(said(&drawn.installation), wanted);
    }
    for (head, valid) in [("# co_alarms: some", "yes | no"), ("# petrol: bilge", "engine-space")] {
        let problems = import(&format!("# system: 120V60Hz\n{head}\ntag,kind\nG1,generator\n")).unwrap_err();
        let said = problems[0].to_string();
        assert!(said.contains("line 2") && said.contains(valid), "{said}");
    }
}
