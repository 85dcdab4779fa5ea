//! Text as glyphs of the bundled faces. No shaping: B612 has one glyph for each character that it knows.

use crate::diagram::{BOLD, REGULAR, Weight, em_per_capital};
use krilla::geom::Point;
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};

/// Stands for a character that the face does not have.
const REPLACEMENT: char = '?';

/// One face: for drawing, and for asking.
struct Face {
    font: Font,
    parsed: FontRef<'static>,
    em: f32,
}

impl Face {
    fn new(data: &'static [u8]) -> Option<Self> {
        let parsed = FontRef::new(data).ok()?;
        let em = f32::from(parsed.metrics(Size::unscaled(), LocationRef::default()).units_per_em);
        Some(Self { font: Font::new(data.into(), 0)?, parsed, em })
    }

    /// Glyph and advance (in ems) of a character; of the replacement where the face does not have it.
    fn glyph(&self, c: char) -> (u32, f32) {
        let map = self.parsed.charmap();
        let white = c.is_whitespace() || c.is_control();
        let glyph = map.map(if white { ' ' } else { c }).or_else(|| map.map(REPLACEMENT)).unwrap_or_default();
        let metrics = self.parsed.glyph_metrics(Size::unscaled(), LocationRef::default());
        (glyph.to_u32(), metrics.advance_width(glyph).unwrap_or(0.0) / self.em)
    }
}

/// The two faces.
pub struct Faces {
    regular: Face,
    bold: Face,
}

impl Faces {
    /// Reads the bundled faces; `None` where they cannot be read.
    pub fn new() -> Option<Self> {
        Some(Self { regular: Face::new(REGULAR)?, bold: Face::new(BOLD)? })
    }

    /// Draws one line of text from its left end on, its capitals `size` millimetres high.
    pub fn draw(&self, surface: &mut Surface<'_>, at: Point, text: &str, size: f64, weight: Weight) {
        let face = if weight == Weight::Bold { &self.bold } else { &self.regular };
        // A space at the end parts the words of this line from those of the next for a reader of the text.
        let mut clean: String = text.chars().filter(|c| !is_forbidden(*c)).collect();
        clean.push(' ');
        let glyphs: Vec<KrillaGlyph> = clean
            .char_indices()
            .map(|(i, c)| {
                let (glyph, advance) = face.glyph(c);
                KrillaGlyph::new(GlyphId::new(glyph), advance, 0.0, 0.0, 0.0, i..i + c.len_utf8(), None)
            })
            .collect();
        let em = (size * em_per_capital(weight) * super::PT) as f32;
        surface.draw_glyphs(at, &glyphs, face.font.clone(), &clean, em, false);
    }
}

/// Characters that a text of PDF/A must not hold: control characters, byte-order marks, non-characters and those for
/// private use.
fn is_forbidden(c: char) -> bool {
    let code = c as u32;
    c.is_control()
        || matches!(code, 0xfeff | 0xfdd0..=0xfdef | 0xe000..=0xf8ff | 0xf0000..)
        || matches!(code & 0xffff, 0xfffe | 0xffff)
}
