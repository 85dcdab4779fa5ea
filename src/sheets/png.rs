//! Writes a scene as a PNG picture, by way of its SVG and with the bundled fonts alone, so that it looks the same on
//! every machine.

use super::svg;
use crate::diagram::{BOLD, REGULAR, Scene};
use crate::installation::Installation;
use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg;

/// Resolution that is taken where none is asked for, in dots per inch.
pub const USUAL_DPI: u16 = 150;
/// Most pixels of a picture: 400 MB while it is drawn.
const MOST_PIXELS: f64 = 1e8;
/// Millimetres in an inch.
const INCH_MM: f64 = 25.4;

/// The picture's bytes at `dpi` dots per inch, 10 to 1200.
///
/// # Errors
/// In words: where the resolution is out of range or the picture would be too large.
pub fn write(scene: &Scene, installation: &Installation, dpi: u16) -> Result<Vec<u8>, String> {
    if !(10..=1200).contains(&dpi) {
        return Err(format!("{dpi} dots per inch; valid: 10 to 1200"));
    }
    let text = svg::write(scene, installation, svg::paper);
    let mut fonts = usvg::fontdb::Database::new();
    fonts.load_font_data(REGULAR.to_vec());
    fonts.load_font_data(BOLD.to_vec());
    let options = usvg::Options {
        dpi: f32::from(dpi),
        font_family: "B612".to_owned(),
        fontdb: std::sync::Arc::new(fonts),
        ..usvg::Options::default()
    };
    let tree = usvg::Tree::from_str(&text, &options).map_err(|e| format!("the drawing was not read: {e}"))?;
    let (width, height) = (f64::from(tree.size().width()).ceil(), f64::from(tree.size().height()).ceil());
    if width * height > MOST_PIXELS {
        let fitting = (f64::from(dpi) * (MOST_PIXELS / (width * height)).sqrt()).floor();
        let inches = |pixels: f64| crate::units::trimmed(pixels / f64::from(dpi) * INCH_MM, 0);
        return Err(format!(
            "the drawing is {} × {} mm: too large a picture at {dpi} dots per inch; valid: at most {}",
            inches(width),
            inches(height),
            crate::units::trimmed(fitting, 0)
        ));
    }
    let mut picture = Pixmap::new(width as u32, height as u32).ok_or("the drawing has no size")?;
    picture.fill(Color::WHITE);
    resvg::render(&tree, Transform::identity(), &mut picture.as_mut());
    picture.encode_png().map_err(|e| format!("the picture was not written: {e}"))
}

#[cfg(test)]
mod tests {
    use super::write;
    use crate::diagram::{Options, Overlay, Scene, scene};
    use crate::installation::{Installation, Part, PartKind, Place, Point, System};
    use crate::network::Solution;

    fn drawn(installation: &Installation) -> Scene {
        scene(installation, &Solution::default(), &Overlay::default(), &Options::default())
    }

    #[test]
    fn size_follows_the_resolution_and_bytes_repeat() {
        let mut installation = Installation::new(System::TwoWire120);
        installation.add_part(Part::new(PartKind::Appliance, "E1", Place::At(Point::new(50.0, 50.0))));
        let scene = drawn(&installation);
        let first = write(&scene, &installation, 100).unwrap();
        assert_eq!(first, write(&scene, &installation, 100).unwrap());
        // The width stands in bytes 16 to 19 of a PNG.
        let width = |bytes: &[u8]| u32::from_be_bytes(bytes[16..20].try_into().unwrap());
        let mm = scene.bounds.unwrap().width() + 20.0;
        assert_eq!(f64::from(width(&first)), (mm / 25.4 * 100.0).ceil());
        assert!(width(&write(&scene, &installation, 200).unwrap()) >= 2 * width(&first) - 2);
    }

    #[test]
    fn a_resolution_that_is_too_fine_is_refused_with_one_that_is_not() {
        let mut installation = Installation::new(System::TwoWire120);
        for at in [0.0, 3000.0] {
            installation.add_part(Part::new(PartKind::Appliance, "E1", Place::At(Point::new(at, at))));
        }
        let error = write(&drawn(&installation), &installation, 1200).unwrap_err();
        assert!(error.contains("at most"), "{error}");
        assert!(write(&drawn(&installation), &installation, 5).is_err());
    }
}
