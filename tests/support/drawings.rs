//! Installations that the tests of the drawing look at: the samples, a long list, and one with everything wrong.

use hullwire::diagram::{Ink, Options, Overlay, Peak, Scene, lay_out, scene};
use hullwire::installation::{Installation, PartKind, SpaceKind};
use hullwire::network::{Rated, Solution, solve};
use hullwire::store::list::import;
use hullwire::units::Severity;
use std::fmt::Write as _;

/// A drawing with what it was made from.
pub struct Drawing {
    pub name: &'static str,
    pub installation: Installation,
    pub scene: Scene,
}

/// A list of thirty circuits, in the order in which an owner walks through the boat, with spaces mixed.
pub fn thirty() -> String {
    circuits(30)
}

/// A list of this many circuits.
pub fn circuits(count: usize) -> String {
    let mut text = String::from("# name: Thirty circuits\n# system: 120V60Hz\n# feeding: G1\n");
    text.push_str(
        "tag,kind,label,fed_from,space,run_w,start_w,load_kind,rating_a,protection,portable,conductor,length_m,on\n",
    );
    text.push_str("X1,shore-inlet,Shore inlet,,weather-deck,,,,50,,,6 AWG,12,\n");
    text.push_str("G1,generator,Portable set,,lazarette,5000,6500,,30,,yes,none,,\n");
    text.push_str("Q10,selector,Source,X1|G1,engine-space,,,,60,,,6 AWG|10 AWG,4|3.5,\n");
    text.push_str("A1,panel,Main panel,Q10,accommodation,,,,,,,6 AWG,2,\n");
    let spaces = ["galley", "accommodation", "galley", "head", "engine-space", "accommodation"];
    let kinds = ["power", "impedance", "motor"];
    for n in 0..count {
        let (space, kind) = (spaces[n % spaces.len()], kinds[n % 3]);
        let watts = 40 + 73 * n;
        let on = if n % 4 == 1 { "no" } else { "yes" };
        let _ = writeln!(
            text,
            "Q{},breaker,Circuit {},A1,,,,,15,,,none,,{}",
            n + 20,
            n + 1,
            if n == 7 { "no" } else { "yes" }
        );
        let (from, size) = if n % 3 == 0 {
            let gfci = if space == "galley" { "gfci" } else { "none" };
            let _ = writeln!(text, "X{},outlet,,Q{},{space},,,,15,{gfci},,14 AWG,{},", n + 20, n + 20, 3 + n % 7);
            (format!("X{}", n + 20), "none,")
        } else if n == 11 {
            (format!("Q{}", n + 20), ",")
        } else {
            (format!("Q{}", n + 20), "12 AWG,5.5")
        };
        let _ = writeln!(
            text,
            "E{},appliance,Appliance number {},{from},{space},{watts},{},{kind},,,,{size},{on}",
            n + 20,
            n + 1,
            watts * 2
        );
    }
    text
}

/// A list as an installation, laid out.
pub fn laid_out(list: &str) -> Installation {
    let mut installation = match import(list) {
        Ok(imported) => imported.installation,
        Err(problems) => panic!("the list is not read: {problems:?}"),
    };
    lay_out(&mut installation);
    installation
}

/// Findings as a survey would have them, on parts picked by what they are.
pub fn overlay(installation: &Installation, solution: &Solution) -> Overlay {
    let mut overlay = Overlay::default();
    for (id, part) in &installation.parts {
        let amps = solution.parts.get(id).and_then(|f| f.amps);
        if let (PartKind::Breaker, Some(amps), Some(rating)) = (part.kind, amps, part.rating_a) {
            if amps > rating {
                overlay.over_parts.insert(*id);
                overlay.worst.insert(*id, Severity::Warning);
            } else if amps > 0.8 * rating {
                overlay.close_parts.insert(*id);
                overlay.worst.insert(*id, Severity::Caution);
            }
        }
        if part.kind == PartKind::Generator && part.portable && installation.space_of(*id) != SpaceKind::Ashore {
            overlay.worst.insert(*id, Severity::Danger);
        }
        if part.kind == PartKind::Appliance && part.run_w.is_none() {
            overlay.worst.insert(*id, Severity::Notice);
        }
    }
    for (id, flow) in &solution.sources {
        let Some(part) = installation.parts.get(id) else { continue };
        let peak = Peak {
            running: Rated::of(part, installation.system, Some(flow)),
            peak_w: flow.watts.map(|w| w * 1.4),
            peak_rating_w: part.start_w,
        };
        overlay.peaks.insert(*id, peak);
    }
    if let Some((id, _)) = installation.cables.iter().find(|(_, c)| c.data.is_fitted()) {
        overlay.worst_cables.insert(*id, Severity::Notice);
    }
    if let Some((id, _)) =
        solution.cables.iter().rfind(|(_, f)| f.amps.is_some_and(|a| a > 1.0) && f.drop_volts.is_some_and(|v| v > 0.1))
    {
        overlay.over_cables.insert(*id);
        overlay.worst_cables.insert(*id, Severity::Warning);
    }
    overlay
}

/// An installation as it is drawn.
pub fn draw(name: &'static str, installation: Installation) -> Drawing {
    let solution = solve(&installation, 0);
    let scene = scene(&installation, &solution, &overlay(&installation, &solution), &Options::default());
    Drawing { name, installation, scene }
}

/// All of them.
pub fn all() -> Vec<Drawing> {
    let thirty = thirty();
    [
        ("trawler", include_str!("../../samples/trawler.csv")),
        ("trawler-before", include_str!("../../samples/trawler-before.csv")),
        ("sailing-boat", include_str!("../../samples/sailing-boat.csv")),
        ("motor-yacht", include_str!("../../samples/motor-yacht.csv")),
        ("thirty", thirty.as_str()),
    ]
    .map(|(name, list)| draw(name, laid_out(list)))
    .into_iter()
    .chain(BY_HAND.iter().map(|(name, file)| draw(name, by_hand(file))))
    .collect()
}

/// The samples that were laid out by hand.
const BY_HAND: &[(&str, &str)] = &[
    ("trawler-by-hand", include_str!("../../samples/trawler.hullwire")),
    ("trawler-before-by-hand", include_str!("../../samples/trawler-before.hullwire")),
    ("sailing-boat-by-hand", include_str!("../../samples/sailing-boat.hullwire")),
    ("motor-yacht-by-hand", include_str!("../../samples/motor-yacht.hullwire")),
];

/// A drawing as an installation.
fn by_hand(file: &str) -> Installation {
    match hullwire::store::parse(file.as_bytes(), "a sample", None) {
        Ok(opened) => opened.installation,
        Err(error) => panic!("the sample is not read: {error}"),
    }
}

/// Colours near those of a screen, to judge a drawing by eye.
pub fn screen(ink: Ink) -> Option<&'static str> {
    Some(match ink {
        Ink::Line => "#1b2733",
        Ink::Faint => "#5d6470",
        Ink::Fed => "#1f5f8b",
        Ink::NotFed => "#8a8577",
        Ink::Close => "#8a6500",
        Ink::Over => "#b54708",
        Ink::Danger => "#b3261e",
        Ink::Note => "#0b63a5",
        Ink::Paper => "#ffffff",
        Ink::Track => "#cfc8b8",
        Ink::Space(SpaceKind::EngineSpace) => "#f6e8dc",
        Ink::Space(SpaceKind::Galley) => "#e9f2ea",
        Ink::Space(SpaceKind::Head) => "#e6f0f4",
        Ink::Space(SpaceKind::Accommodation) => "#f0edf4",
        Ink::Space(_) => "#ecf0f3",
        Ink::SpaceEdge(_) => "#b9b4a6",
    })
}
