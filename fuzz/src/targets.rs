//! The doors, and what holds behind each.

use hullwire::installation::{Installation, Part, PartKind, Place, Point, Property, System};
use hullwire::store::{list, parse, to_text};
use hullwire::{diagram, network, survey, units};

/// A door.
pub struct Target {
    pub name: &'static str,
    /// Pieces of its language.
    pub words: &'static [&'static str],
    /// Runs one input; gives the kind of its behaviour, or what did not hold.
    pub run: fn(&[u8]) -> Result<u64, String>,
}

const TARGETS: [Target; 4] = [
    Target { name: "file", words: FILE, run: file },
    Target { name: "list", words: LIST, run: circuit_list },
    Target { name: "quantity", words: QUANTITY, run: quantity },
    Target { name: "pdf", words: PDF, run: pdf },
];

pub fn by_name(name: &str) -> Option<&'static Target> {
    TARGETS.iter().find(|t| t.name == name)
}

#[rustfmt::skip]
const FILE: &[&str] = &[
    "{", "}", "[", "]", ",", ":", "\"", "\"version\": 1", "\"system\": \"120V60Hz\"", "\"parts\": [", "\"cables\": [",
    "\"spaces\": [", "\"conditions\": [", "\"id\": 1", "\"tag\": \"Q1\"", "\"kind\": \"breaker\"", "\"at\": [0, 0]",
    "\"rating_a\": 15", "\"from\": 1", "\"to\": 2", "\"conductor\": \"12 AWG\"", "\"length_m\": 5", "null", "true",
    "-1", "1e308", "1e-320", "4294967295", "2147483647", "0.1", "\\u0000", "\\ud800", "\"next_id\": 9",
    "\"rect\": [0, 0, 1, 1]", "\"off\": [1]", "\"feeding\": [1]", "\"cord\": {", "\"origins\": {", "\"in\": \"head\"",
    "\"selector\"", "\"inverter\"", "\"generator\"", "\"panel\"", "\"appliance\"", "\"fuel_curve\": [[0, 1]]",
    "\"revisions\": [", "\"accepted\": [", "\"status\": \"existing\"",
];

#[rustfmt::skip]
const LIST: &[&str] = &[
    ",", "\"", "\n", "\r\n", "|", ";", "\t", "#", "# system: 120V60Hz", "# system: 120/240V60Hz", "# feeding: G1|X1",
    "# feeding: off", "# rules: us", "# condition: x", "\u{FEFF}", "tag,kind", "fed_from", "shore-inlet", "generator",
    "inverter", "selector", "panel", "breaker", "outlet", "appliance", "isolation-transformer", "junction", "12 AWG",
    "2.5 mm2", "none", "unknown", "yes", "no", "L1-L2-N", "L1", "0:0.1|100:1", "1e308", "-1", "0", "NaN", "inf", "1,5",
    "G1", "A1", "Q1", "E1", "X1", "motor", "impedance", "elci", "engine-space", "105",
];

#[rustfmt::skip]
const QUANTITY: &[&str] = &[
    "12 AWG", "2.5 mm2", "2.5 mm²", "20 ft", "6 m", "6'", "1.5 kW", "10 A", "1,500", "1.500,5", "0:0.19|100:0.9", "%",
    " ", "e", "-", "+", ".", ",", "inf", "NaN", "kVA", "VA", "W", "V", "mA", "yes", "no", "L1-L2", "°C", "F", "Ω",
    "10^3", "½", "l", "gal", "00", "4/0", "1e309",
];

#[rustfmt::skip]
const PDF: &[&str] = &[
    "%PDF-1.7\n", "obj\n", "endobj\n", "1 0 R", "4 0 R", "5 0 R", "<<", ">>", "[", "]", "(boat.hullwire)", "stream\n", "\nendstream",
    "/Length 9", "/Length 99999999", "/Filter /FlateDecode", "/Filter [/ASCIIHexDecode /FlateDecode]", "/Filter /LZWDecode",
    "/DecodeParms << /Predictor 12 /Columns 4 >>", "/Names", "/Kids [4 0 R]", "/Kids [6 0 R 6 0 R]", "/EmbeddedFiles", "/AF", "/EF",
    "/F", "/UF", "/Root 1 0 R", "/Encrypt 4 0 R", "/Prev 9", "/Size 2147483647", "/Type /ObjStm", "/Type /XRef", "/W [1 2 1]",
    "/Index [0 9]", "xref\n", "trailer\n", "startxref\n0\n%%EOF", "<FEFF0041>", "null", "true", "-1", "0.0.1", "R", "\\777",
];

/// A hash of the words of an answer, figures and quotations left out.
fn kind_of(text: &str) -> u64 {
    let (mut quoted, mut hash) = (false, 0xcbf2_9ce4_8422_2325_u64);
    for c in text.chars() {
        match c {
            '“' => quoted = true,
            '”' => quoted = false,
            c if quoted || c.is_ascii_digit() => {}
            c => hash = (hash ^ c as u64).wrapping_mul(0x0000_0100_0000_01b3),
        }
    }
    hash
}

/// What a document is like, coarsely.
fn shape_of(doc: &Installation) -> u64 {
    let kinds = doc.parts.values().fold(0_u64, |set, p| set | 1 << (p.kind as u64 % 32));
    let sizes = (doc.parts.len().min(15) as u64) << 32 | (doc.cables.len().min(15) as u64) << 36;
    kinds | sizes | (doc.conditions.len().min(7) as u64) << 40 | (doc.spaces.len().min(7) as u64) << 44
}

/// What holds of every document that was read: it is written and read as it is, and solved, surveyed and drawn.
fn holds(doc: &Installation, every: bool) -> Result<u64, String> {
    let text = to_text(doc).map_err(|why| format!("it cannot be written: {why}"))?;
    match parse(text.as_bytes(), "again", Some("hullwire")) {
        Ok(again) if again.installation == *doc => {}
        Ok(_) => return Err(format!("it is read as another drawing:\n{text}")),
        Err(error) => return Err(format!("what was written is not read: {error}\n{text}")),
    }
    if every && doc.parts.len() < 60 {
        let mut drawn = doc.clone();
        diagram::lay_out(&mut drawn);
        let solution = network::solve(&drawn, 0);
        let found = survey::run(&drawn, &solution);
        let scene = diagram::scene(&drawn, &solution, &diagram::Overlay::default(), &diagram::Options::default());
        return Ok(shape_of(doc) ^ (found.findings.len() as u64) << 50 ^ u64::from(scene.items.is_empty()) << 63);
    }
    Ok(shape_of(doc))
}

fn file(input: &[u8]) -> Result<u64, String> {
    match parse(input, "boat.hullwire", Some("hullwire")) {
        Ok(opened) => holds(&opened.installation, input.len().is_multiple_of(4)),
        Err(error) => Ok(kind_of(&error.to_string())),
    }
}

fn pdf(input: &[u8]) -> Result<u64, String> {
    match parse(input, "pack.pdf", Some("pdf")) {
        Ok(opened) => Ok(holds(&opened.installation, false)? ^ opened.form as u64),
        Err(error) => Ok(kind_of(&error.to_string())),
    }
}

fn circuit_list(input: &[u8]) -> Result<u64, String> {
    match parse(input, "boat.csv", Some("csv")) {
        Ok(opened) => {
            let kind = holds(&opened.installation, input.len().is_multiple_of(4))?;
            let text = list::export(&opened.installation, 0);
            match list::import(&text) {
                Ok(again) if again.installation.parts.len() == opened.installation.parts.len() => Ok(kind),
                Ok(_) => Err(format!("the exported list has other parts:\n{text}")),
                // A drawing, which the bytes may be too, can hold what a list cannot.
                Err(_) if opened.form == hullwire::store::Form::Drawing => Ok(kind),
                Err(problems) => Err(format!("the exported list is not read: {problems:?}\n{text}")),
            }
        }
        Err(error) => Ok(kind_of(&error.to_string())),
    }
}

fn quantity(input: &[u8]) -> Result<u64, String> {
    let Ok(text) = std::str::from_utf8(input) else { return Ok(0) };
    let mut kind = u64::from(units::parse_number(text).is_ok());
    let number = input.iter().map(|&b| usize::from(b)).sum::<usize>();
    let property = Property::ALL[number % Property::ALL.len()];
    let part_kind = PartKind::ALL[number / 7 % PartKind::ALL.len()];
    for &system in System::ALL {
        let mut part = Part::new(part_kind, "T1", Place::At(Point::default()));
        match part.set_any(property, text, system) {
            Ok(()) => {
                let shown = part.get(property);
                let mut again = Part::new(part_kind, "T1", Place::At(Point::default()));
                let taken = again.set_any(property, &shown, system);
                if !shown.is_empty() && (taken.is_err() || again.get(property) != shown) {
                    return Err(format!("{property:?}: {text:?} is shown as {shown:?}, which is read as {taken:?}"));
                }
                kind ^= kind_of(&format!("{property:?} {}", shown.len()));
            }
            Err(error) => kind ^= kind_of(&error.to_string()).rotate_left(7),
        }
    }
    Ok(kind)
}
