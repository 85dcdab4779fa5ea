//! The icon of the window, drawn from the same file that packagers take.

use egui::IconData;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};

/// Side in pixels.
const SIDE: u32 = 128;

/// The icon; `None` where its file could not be drawn, which a test rules out.
#[must_use]
pub fn icon() -> Option<IconData> {
    let tree = Tree::from_str(include_str!("../../assets/linux/hullwire.svg"), &Options::default()).ok()?;
    let mut pixels = Pixmap::new(SIDE, SIDE)?;
    let scale = SIDE as f32 / tree.size().width().max(tree.size().height());
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixels.as_mut());
    let rgba = pixels.pixels().iter().flat_map(|p| {
        let plain = p.demultiply();
        [plain.red(), plain.green(), plain.blue(), plain.alpha()]
    });
    Some(IconData { rgba: rgba.collect(), width: SIDE, height: SIDE })
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_icon_is_there_and_is_not_blank() {
        let icon = super::icon().unwrap();
        assert_eq!(icon.rgba.len(), 128 * 128 * 4);
        assert!(icon.rgba.chunks(4).any(|p| p[3] == 255) && icon.rgba.chunks(4).any(|p| p[..3] != icon.rgba[..3]));
    }
}
