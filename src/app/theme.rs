//! The theme: every colour, text size and font of the window, light (chart paper) and dark (night).
//!
//! No other file names a colour. Colour is spent on meaning: blue is fed, grey is not fed, ochre is close, vermilion is
//! above a limit, red is danger; each has a second sign besides (hatch, dash, shape, word).

use crate::diagram::Ink;
use crate::installation::SpaceKind;
use crate::units::Severity;
use egui::epaint::{CornerRadius, Shadow};
use egui::style::{Selection, WidgetVisuals, Widgets};
use egui::{Color32, FontData, FontDefinitions, FontFamily, FontId, Margin, Stroke, TextStyle, Theme, Visuals, vec2};
use std::sync::Arc;

/// Size of small print: sources of limits, origins, section heads.
pub const SMALL: f32 = 11.0;
/// Size of secondary text.
pub const DATA: f32 = 12.0;
/// Size of the body.
pub const BODY: f32 = 13.0;
/// Size of the heads of panels.
pub const HEAD: f32 = 15.0;
/// Size of the figures that are looked for first.
pub const LARGE: f32 = 18.0;

const fn rgb(hex: u32) -> Color32 {
    Color32::from_rgb((hex >> 16) as u8, (hex >> 8) as u8, hex as u8)
}

/// The colours of one theme, by what they mean.
#[derive(Clone, Copy, Debug)]
pub struct Tokens {
    /// The sheet that is drawn on.
    pub paper: Color32,
    /// Panels beside it.
    pub panel: Color32,
    /// Fields and cards on a panel.
    pub card: Color32,
    /// A card or row under the pointer.
    pub hover: Color32,
    /// Quiet edges between panels and around cards.
    pub edge: Color32,
    /// Edges of things that can be operated.
    pub strong_edge: Color32,
    /// Main text and symbols.
    pub ink: Color32,
    /// Secondary text.
    pub faint: Color32,
    /// Fed; also the one accent of the window.
    pub fed: Color32,
    /// Text on the accent.
    pub on_fed: Color32,
    /// Not fed in this condition.
    pub not_fed: Color32,
    /// Close to a limit.
    pub close: Color32,
    /// Above a limit.
    pub over: Color32,
    /// Danger.
    pub danger: Color32,
    /// A notice.
    pub note: Color32,
    /// What would cure it.
    pub cure: Color32,
    /// Text on a severity sign.
    pub on_sign: Color32,
    /// The quiet track of a bar.
    pub track: Color32,
    /// Ground of what is selected.
    pub selected: Color32,
    /// Ground of a standing caution.
    pub caution: Color32,
    /// Edge of a standing caution.
    pub caution_edge: Color32,
    /// Points of the drawing grid.
    pub grid: Color32,
    /// Dims what lies behind a dialog.
    pub veil: Color32,
    /// Tints of the spaces, in the order of [`SpaceKind::ALL`].
    pub spaces: [Color32; 9],
    /// Edges of the spaces, in the same order.
    pub space_edges: [Color32; 9],
}

/// Chart paper.
pub const LIGHT: Tokens = Tokens {
    paper: rgb(0xFBF8EF),
    panel: rgb(0xF2EDE1),
    card: rgb(0xFFFFFF),
    hover: rgb(0xE8E2D3),
    edge: rgb(0xDDD6C6),
    strong_edge: rgb(0x8A8678),
    ink: rgb(0x1B2736),
    faint: rgb(0x5A616B),
    fed: rgb(0x1C5C86),
    on_fed: rgb(0xFFFFFF),
    not_fed: rgb(0x6B6960),
    close: rgb(0x80_5E_00),
    over: rgb(0xB04000),
    danger: rgb(0xB41F1F),
    note: rgb(0x0A5CA0),
    cure: rgb(0x146C48),
    on_sign: rgb(0xFFFFFF),
    track: rgb(0xE3DDCE),
    selected: rgb(0xDCE8F0),
    caution: rgb(0xFFF1CC),
    caution_edge: rgb(0xA87E10),
    grid: rgb(0xE3DDCF),
    veil: Color32::from_rgba_premultiplied(13, 18, 26, 90),
    spaces: [
        rgb(0xF6E8DC),
        rgb(0xE7F0E9),
        rgb(0xE4EFF1),
        rgb(0xE8EEF1),
        rgb(0xEFEBF2),
        rgb(0xECEFE2),
        rgb(0xF3E9E6),
        rgb(0xEEEADC),
        rgb(0xF0EDE6),
    ],
    space_edges: [
        rgb(0xD9BFA8),
        rgb(0xB5CDBA),
        rgb(0xAECACF),
        rgb(0xB5C4CD),
        rgb(0xC6BCCE),
        rgb(0xC3CBAA),
        rgb(0xD3BAB3),
        rgb(0xCBC19C),
        rgb(0xCDC6B6),
    ],
};

/// Night, for the chart table.
pub const DARK: Tokens = Tokens {
    paper: rgb(0x10161E),
    panel: rgb(0x18202A),
    card: rgb(0x212B37),
    hover: rgb(0x2A3644),
    edge: rgb(0x2E3A48),
    strong_edge: rgb(0x768494),
    ink: rgb(0xE9E4D6),
    faint: rgb(0xA6AEB7),
    fed: rgb(0x6CB6E4),
    on_fed: rgb(0x0B141D),
    not_fed: rgb(0x95948B),
    close: rgb(0xE0B03C),
    over: rgb(0xF58A48),
    danger: rgb(0xFF867E),
    note: rgb(0x86BEF5),
    cure: rgb(0x74D0A2),
    on_sign: rgb(0x10161E),
    track: rgb(0x333E4B),
    selected: rgb(0x1D3A50),
    caution: rgb(0x382E12),
    caution_edge: rgb(0xB8902C),
    grid: rgb(0x242D38),
    veil: Color32::from_rgba_premultiplied(0, 0, 0, 150),
    spaces: [
        rgb(0x2A2018),
        rgb(0x16261E),
        rgb(0x14262A),
        rgb(0x18222B),
        rgb(0x221E2B),
        rgb(0x202516),
        rgb(0x2A1E1C),
        rgb(0x252216),
        rgb(0x1F2022),
    ],
    space_edges: [
        rgb(0x5E4834),
        rgb(0x355644),
        rgb(0x2F545C),
        rgb(0x364C5F),
        rgb(0x4C435E),
        rgb(0x495432),
        rgb(0x5C433E),
        rgb(0x534C30),
        rgb(0x46484C),
    ],
};

impl Tokens {
    /// The tokens of a theme.
    #[must_use]
    pub const fn of(dark: bool) -> &'static Self {
        if dark { &DARK } else { &LIGHT }
    }

    /// The colour of a severity.
    #[must_use]
    pub const fn severity(&self, severity: Severity) -> Color32 {
        match severity {
            Severity::Danger => self.danger,
            Severity::Warning => self.over,
            Severity::Caution => self.close,
            Severity::Notice => self.note,
        }
    }

    fn space(list: &[Color32; 9], kind: SpaceKind) -> Color32 {
        SpaceKind::ALL.iter().position(|k| *k == kind).and_then(|i| list.get(i)).copied().unwrap_or(list[8])
    }

    /// The colour of an ink of the drawing.
    #[must_use]
    pub fn ink(&self, ink: Ink) -> Color32 {
        match ink {
            Ink::Line => self.ink,
            Ink::Faint => self.faint,
            Ink::Fed => self.fed,
            Ink::NotFed => self.not_fed,
            Ink::Close => self.close,
            Ink::Over => self.over,
            Ink::Danger => self.danger,
            Ink::Note => self.note,
            Ink::Paper => self.paper,
            Ink::Track => self.track,
            Ink::Space(kind) => Self::space(&self.spaces, kind),
            Ink::SpaceEdge(kind) => Self::space(&self.space_edges, kind),
        }
    }
}

/// The colour of an ink of the drawing.
#[must_use]
pub fn ink(ink: Ink, dark: bool) -> Color32 {
    Tokens::of(dark).ink(ink)
}

/// The colour of an ink on paper, whatever the theme: a preview looks like the print.
#[must_use]
pub fn print(ink: Ink) -> Color32 {
    let hex = crate::sheets::svg::paper(ink).and_then(|hex| Color32::from_hex(hex).ok());
    hex.unwrap_or(Color32::TRANSPARENT)
}

/// The tokens of the theme that a `Ui` is painted in.
#[must_use]
pub fn tokens(ui: &egui::Ui) -> &'static Tokens {
    Tokens::of(ui.visuals().dark_mode)
}

/// The regular face.
#[must_use]
pub fn regular(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name("regular".into()))
}

/// The bold face.
#[must_use]
pub fn bold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name("bold".into()))
}

/// The bundled fonts, and nothing of the system's.
#[must_use]
pub fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::empty();
    let mut add = |name: &str, bytes: &'static [u8]| {
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
        fonts.families.insert(FontFamily::Name(name.into()), vec![name.to_owned()]);
    };
    add("regular", include_bytes!("../../assets/fonts/B612-Regular.otf"));
    add("bold", include_bytes!("../../assets/fonts/B612-Bold.otf"));
    fonts.families.insert(FontFamily::Proportional, vec!["regular".to_owned()]);
    fonts.families.insert(FontFamily::Monospace, vec!["regular".to_owned()]);
    fonts
}

/// Puts fonts, sizes and colours into a context, both themes.
pub fn install(ctx: &egui::Context) {
    ctx.set_fonts(fonts());
    for theme in [Theme::Light, Theme::Dark] {
        let dark = theme == Theme::Dark;
        ctx.set_visuals_of(theme, visuals(dark));
        ctx.style_mut_of(theme, |style| {
            style.text_styles = [
                (TextStyle::Small, regular(SMALL)),
                (TextStyle::Body, regular(BODY)),
                (TextStyle::Button, regular(BODY)),
                (TextStyle::Monospace, regular(BODY)),
                (TextStyle::Heading, bold(HEAD)),
            ]
            .into();
            style.spacing.item_spacing = vec2(8.0, 5.0);
            style.spacing.button_padding = vec2(8.0, 4.0);
            style.spacing.interact_size.y = 26.0;
            style.spacing.menu_margin = Margin::same(6);
            style.spacing.combo_width = 60.0;
            style.spacing.icon_width = 15.0;
            style.spacing.tooltip_width = 320.0;
            style.spacing.scroll =
                egui::style::ScrollStyle { floating_allocated_width: 4.0, ..egui::style::ScrollStyle::floating() };
            style.interaction.selectable_labels = false;
            style.animation_time = 0.0;
            style.compact_menu_style = true;
        });
    }
    ctx.options_mut(|options| {
        options.zoom_with_keyboard = false;
        options.fallback_theme = Theme::Light;
    });
}

fn visuals(dark: bool) -> Visuals {
    let t = Tokens::of(dark);
    let radius = CornerRadius::same(4);
    let widget = |fill: Color32, edge: Stroke, text: Color32| WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: edge,
        corner_radius: radius,
        fg_stroke: Stroke::new(1.0, text),
        expansion: 0.0,
    };
    let shadow = Shadow { offset: [0, 3], blur: 12, spread: 0, color: t.veil.gamma_multiply(0.5) };
    Visuals {
        dark_mode: dark,
        override_text_color: None,
        weak_text_color: Some(t.faint),
        widgets: Widgets {
            noninteractive: widget(t.panel, Stroke::new(1.0, t.edge), t.ink),
            inactive: widget(t.card, Stroke::new(1.0, t.edge), t.ink),
            hovered: widget(t.hover, Stroke::new(1.0, t.strong_edge), t.ink),
            // Focus from the keyboard is drawn with this too: it must be seen.
            active: widget(t.selected, Stroke::new(2.0, t.fed), t.ink),
            open: widget(t.card, Stroke::new(1.0, t.strong_edge), t.ink),
        },
        selection: Selection { bg_fill: t.selected, stroke: Stroke::new(1.5, t.fed) },
        hyperlink_color: t.fed,
        faint_bg_color: t.hover,
        extreme_bg_color: t.card,
        text_edit_bg_color: Some(t.card),
        code_bg_color: t.card,
        warn_fg_color: t.over,
        error_fg_color: t.danger,
        window_corner_radius: CornerRadius::same(8),
        window_shadow: shadow,
        window_fill: t.panel,
        window_stroke: Stroke::new(1.0, t.strong_edge),
        menu_corner_radius: CornerRadius::same(6),
        panel_fill: t.panel,
        popup_shadow: shadow,
        text_cursor: egui::style::TextCursorStyle {
            stroke: Stroke::new(2.0, t.fed),
            blink: false,
            ..Default::default()
        },
        collapsing_header_frame: false,
        ..if dark { Visuals::dark() } else { Visuals::light() }
    }
}

/// Contrast of two opaque colours by the formula of WCAG 2: from 1 to 21.
#[must_use]
pub fn contrast(a: Color32, b: Color32) -> f64 {
    let luminance = |c: Color32| {
        let linear = |v: u8| {
            let v = f64::from(v) / 255.0;
            if v <= 0.040_45 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * linear(c.r()) + 0.7152 * linear(c.g()) + 0.0722 * linear(c.b())
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn both() -> [(&'static str, &'static Tokens); 2] {
        [("light", &LIGHT), ("dark", &DARK)]
    }

    #[test]
    fn text_can_be_read_on_every_ground() {
        for (name, t) in both() {
            let mut grounds = vec![t.paper, t.panel, t.card, t.hover, t.selected, t.caution];
            grounds.extend(t.spaces);
            for ground in grounds {
                for (what, text) in
                    [("ink", t.ink), ("faint", t.faint), ("fed", t.fed), ("over", t.over), ("danger", t.danger)]
                {
                    let c = contrast(text, ground);
                    assert!(c >= 4.5, "{name}: {what} {text:?} on {ground:?} has {c:.2}");
                }
            }
            for ground in [t.card, t.panel, t.selected] {
                for (what, text) in [("cure", t.cure), ("note", t.note), ("close", t.close)] {
                    let c = contrast(text, ground);
                    assert!(c >= 4.5, "{name}: {what} on {ground:?} has {c:.2}");
                }
            }
            assert!(contrast(t.on_fed, t.fed) >= 4.5, "{name}");
            for severity in Severity::ALL {
                assert!(contrast(t.on_sign, t.severity(severity)) >= 4.5, "{name}: sign {severity}");
            }
        }
    }

    #[test]
    fn graphics_stand_out() {
        for (name, t) in both() {
            let mut grounds = vec![t.paper];
            grounds.extend(t.spaces);
            for ground in grounds {
                for (what, mark) in [("not fed", t.not_fed), ("close", t.close), ("note", t.note)] {
                    let c = contrast(mark, ground);
                    assert!(c >= 3.0, "{name}: {what} on {ground:?} has {c:.2}");
                }
            }
            for ground in [t.panel, t.card] {
                assert!(contrast(t.strong_edge, ground) >= 3.0, "{name}");
            }
        }
    }

    /// Sight without one kind of cone, by the matrices of Viénot, Brettel and Mollon (1999) in linear light.
    fn seen_without(kind: usize, c: Color32) -> [f64; 3] {
        let linear = |v: u8| (f64::from(v) / 255.0).powf(2.2);
        let (r, g, b) = (linear(c.r()), linear(c.g()), linear(c.b()));
        match kind {
            0 => [0.112_38 * r + 0.887_62 * g, 0.112_38 * r + 0.887_62 * g, 0.004_01 * r - 0.004_01 * g + b],
            _ => [0.292_75 * r + 0.707_25 * g, 0.292_75 * r + 0.707_25 * g, -0.022_34 * r + 0.022_34 * g + b],
        }
    }

    #[test]
    fn fed_and_over_differ_without_red_or_green_cones() {
        for (name, t) in both() {
            for kind in 0..2 {
                for (a, b) in [(t.fed, t.over), (t.fed, t.close), (t.fed, t.danger), (t.fed, t.not_fed)] {
                    let (a, b) = (seen_without(kind, a), seen_without(kind, b));
                    let gamma = |v: f64| v.max(0.0).powf(1.0 / 2.2);
                    let distance: f64 = (0..3).map(|i| (gamma(a[i]) - gamma(b[i])).powi(2)).sum::<f64>().sqrt();
                    assert!(distance > 0.15, "{name}: {kind} {distance:.3}");
                }
            }
        }
    }
}
