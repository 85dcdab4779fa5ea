//! Reading what the file says of use: the hours of a condition, trays, readings of the sea trial.

use super::read::{Object, Reader, shown};
use crate::installation::{BoxSize, Installation, ReadQuantity, Reading, Rounding, Span, Tray, plan};
use serde_json::Value;

impl Reader {
    pub(super) fn hours(&mut self, object: &mut Object, prefix: &str) -> Vec<Span> {
        const VALID: &str = "a list of [from, to], hours of the day from 0 to 24, each later than the one before";
        let place = format!("{prefix}hours");
        let mut out = Vec::new();
        match object.shift_remove("hours") {
            None => {}
            Some(Value::Array(list)) => {
                for value in list {
                    let Some([from, to]) = self.figures::<2>(&value, &place, VALID) else { continue };
                    match Span::new(from, to) {
                        Some(span) => out.push(span),
                        None => self.problem(&place, format!("[{from}, {to}]"), VALID),
                    }
                }
            }
            Some(other) => self.problem(place, shown(&other), VALID),
        }
        plan::joined(&out)
    }

    pub(super) fn trays(&mut self, top: &mut Object, out: &mut Installation) {
        for (entry, mut object) in self.objects(top, "trays") {
            let prefix = format!("trays, entry {entry}, ");
            let name = self.text(&mut object, &prefix, "name");
            let inner = self.text(&mut object, &prefix, "inner_mm");
            let open_above = match object.shift_remove("open_above") {
                None => false,
                Some(Value::Bool(open)) => open,
                Some(other) => {
                    self.problem(format!("{prefix}open_above"), shown(&other), "true or false");
                    false
                }
            };
            match BoxSize::parse(&inner) {
                Some(inner) => out.trays.push(Tray { name, inner, open_above }),
                None => self.problem(
                    format!("{prefix}inner_mm"),
                    super::problem::quoted(&inner),
                    format!("a text, {}", BoxSize::HINT),
                ),
            }
        }
    }

    fn not_negative(&mut self, object: &mut Object, prefix: &str, name: &str, default: Option<f64>) -> Option<f64> {
        match object.shift_remove(name) {
            None if default.is_some() => default,
            None => {
                self.problem(format!("{prefix}{name}"), "nothing", "a number from 0");
                None
            }
            Some(value) => {
                let figure = value.as_f64().filter(|v| v.is_finite() && *v >= 0.0);
                if figure.is_none() {
                    self.problem(format!("{prefix}{name}"), shown(&value), "a number from 0");
                }
                figure
            }
        }
    }

    pub(super) fn readings(&mut self, top: &mut Object, out: &mut Installation) {
        for (entry, mut object) in self.objects(top, "readings") {
            let prefix = format!("readings, entry {entry}, ");
            let on = self.ids(&mut object, &prefix, "on", out);
            let at = object.shift_remove("at");
            let at = self.part_ref(at.as_ref(), &format!("{prefix}at"), out);
            let quantity = self.word(&mut object, &prefix, "quantity", (ReadQuantity::ALL, ReadQuantity::slug), true);
            let rounding = self.word(&mut object, &prefix, "rounding", (Rounding::ALL, Rounding::slug), false);
            let value = self.not_negative(&mut object, &prefix, "value", None);
            let step = self.not_negative(&mut object, &prefix, "step", Some(0.0));
            let rated_w = if object.contains_key("rated_w") {
                self.not_negative(&mut object, &prefix, "rated_w", None).filter(|w| *w > 0.0)
            } else {
                None
            };
            let (Some(at), Some(quantity), Some(value), Some(step)) = (at, quantity, value, step) else { continue };
            let rounding = rounding.unwrap_or_default();
            out.readings.push(Reading { on, at, quantity, value, step, rounding, rated_w });
        }
    }
}
