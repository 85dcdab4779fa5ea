//! Widths of text in B612, from the advance widths of the bundled fonts, so that labels can be measured in millimetres.

use super::scene::Weight;
use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};
use std::sync::OnceLock;

/// The regular face, as bundled.
pub const REGULAR: &[u8] = include_bytes!("../../assets/fonts/B612-Regular.otf");
/// The bold face, as bundled.
pub const BOLD: &[u8] = include_bytes!("../../assets/fonts/B612-Bold.otf");
/// Room below a base line for descenders, against the height of capitals.
pub const DESCENT: f64 = 0.28;

/// Characters whose widths are kept in the table; all others are asked of the font.
const TABLE: usize = 0x180;

/// Widths of one face, in heights of a capital.
struct Face {
    widths: Vec<f64>,
    missing: f64,
    em: f64,
    font: Option<FontRef<'static>>,
}

impl Face {
    fn read(data: &'static [u8]) -> Self {
        // A face that cannot be read still measures: wide enough for any Latin text.
        let unread = Self { widths: vec![0.95; TABLE], missing: 0.95, em: 1.4, font: None };
        let Ok(font) = FontRef::new(data) else { return unread };
        let metrics = font.metrics(Size::unscaled(), LocationRef::default());
        let capital = metrics.cap_height.map_or(f64::from(metrics.units_per_em) * 0.7, f64::from);
        if capital <= 0.0 {
            return unread;
        }
        let mut face = Self {
            widths: Vec::with_capacity(TABLE),
            missing: 0.95,
            em: f64::from(metrics.units_per_em) / capital,
            font: Some(font),
        };
        for code in 0..TABLE as u32 {
            let width = char::from_u32(code).and_then(|c| face.ask(c, capital)).unwrap_or(face.missing);
            face.widths.push(width);
        }
        face
    }

    fn ask(&self, c: char, capital: f64) -> Option<f64> {
        let font = self.font.as_ref()?;
        let glyph = font.charmap().map(c)?;
        let width = font.glyph_metrics(Size::unscaled(), LocationRef::default()).advance_width(glyph)?;
        Some(f64::from(width) / capital)
    }

    fn width(&self, c: char) -> f64 {
        match self.widths.get(c as usize) {
            Some(&width) => width,
            None => {
                let capital = f64::from(
                    self.font
                        .as_ref()
                        .map_or(1.0, |f| f32::from(f.metrics(Size::unscaled(), LocationRef::default()).units_per_em)),
                ) / self.em;
                self.ask(c, capital).unwrap_or(self.missing)
            }
        }
    }
}

fn face(weight: Weight) -> &'static Face {
    static REGULAR_FACE: OnceLock<Face> = OnceLock::new();
    static BOLD_FACE: OnceLock<Face> = OnceLock::new();
    match weight {
        Weight::Regular => REGULAR_FACE.get_or_init(|| Face::read(REGULAR)),
        Weight::Bold => BOLD_FACE.get_or_init(|| Face::read(BOLD)),
    }
}

/// Width in millimetres of one line of text whose capitals are `size` millimetres high.
#[must_use]
pub fn text_width(text: &str, size: f64, weight: Weight) -> f64 {
    let face = face(weight);
    text.chars().map(|c| face.width(c)).sum::<f64>() * size
}

/// The em of a face in heights of a capital: what a writer that asks for a font size multiplies `size` by.
#[must_use]
pub fn em_per_capital(weight: Weight) -> f64 {
    face(weight).em
}

/// The text, cut with "…" where it would be wider than `room` millimetres.
#[must_use]
pub fn fitted(text: &str, size: f64, weight: Weight, room: f64) -> String {
    if text_width(text, size, weight) <= room {
        return text.to_owned();
    }
    let face = face(weight);
    let mut left = room - face.width('…') * size;
    let mut out = String::new();
    for c in text.chars() {
        left -= face.width(c) * size;
        if left < 0.0 {
            break;
        }
        out.push(c);
    }
    let kept = out.trim_end().len();
    out.truncate(kept);
    out.push('…');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_are_equally_wide_so_that_figures_do_not_jitter() {
        for weight in [Weight::Regular, Weight::Bold] {
            let zero = text_width("0", 1.0, weight);
            assert!(zero > 0.4 && zero < 1.2, "{zero}");
            for digit in "123456789".chars() {
                assert!((text_width(&digit.to_string(), 1.0, weight) - zero).abs() < 1e-9, "{digit}");
            }
        }
    }

    #[test]
    fn widths_follow_the_size() {
        let one = text_width("14 AWG · 6.0 m", 1.0, Weight::Regular);
        assert!((text_width("14 AWG · 6.0 m", 2.0, Weight::Regular) - 2.0 * one).abs() < 1e-9);
        assert!(text_width("W", 1.0, Weight::Bold) > text_width("i", 1.0, Weight::Bold));
        assert!(em_per_capital(Weight::Regular) > 1.2 && em_per_capital(Weight::Regular) < 1.7);
    }

    #[test]
    fn long_text_is_cut_to_its_room() {
        let cut = fitted("Galley outlets, starboard side", 2.0, Weight::Regular, 20.0);
        assert!(cut.ends_with('…') && text_width(&cut, 2.0, Weight::Regular) <= 20.0, "{cut}");
        assert_eq!(fitted("Galley", 2.0, Weight::Regular, 20.0), "Galley");
    }
}
