//! The fuel curve as a plot: what is claimed, what is least possible, and where the mean load lies.

use crate::app::{theme, widgets};
use crate::installation::{Part, PartId};
use crate::loads::endurance::{Endurance, FuelCurve, Limits};
use crate::units::trimmed;
use egui::Ui;
use egui_plot::{Corner, Legend, Line, LineStyle, MarkerShape, Plot, PlotPoint, PlotPoints, Points, Text};

/// Loads at which the curves are sampled, in per cent.
const STEPS: usize = 50;

/// Claimed and least possible litres per hour at a load.
struct Sample {
    percent: f64,
    claimed: Option<f64>,
    least: Option<f64>,
}

fn samples(curve: &FuelCurve, part: &Part) -> Vec<Sample> {
    let limits = Limits::of(part.fuel);
    let no_load = curve.no_load_rate();
    (0..=STEPS)
        .map(|i| {
            let percent = 100.0 * i as f64 / STEPS as f64;
            let least = part.run_w.map(|w| limits.least_rate(no_load, w * percent / 100.0));
            Sample { percent, claimed: curve.rate(percent).map(|r| r.litres_per_hour), least }
        })
        .collect()
}

/// Shows the plot of a set, with the same in words below.
pub fn show(ui: &mut Ui, id: PartId, part: &Part, answer: &Endurance) {
    let Some(curve) = FuelCurve::of(part).filter(|c| c.points().len() > 1) else { return };
    let t = theme::tokens(ui);
    let samples = samples(&curve, part);
    let stated: Vec<[f64; 2]> = curve.points().iter().map(|(load, rate)| [*load, *rate]).collect();
    let along = |pick: &dyn Fn(&Sample) -> Option<f64>| -> Vec<[f64; 2]> {
        samples.iter().filter_map(|s| pick(s).map(|rate| [s.percent, rate])).collect()
    };
    let (drawn_on, least) = (along(&|s| s.claimed), along(&|s| s.least));
    // Upright strokes between claim and bound, where the claim lies below it: a hatch that needs no colour.
    let impossible: Vec<(f64, f64, f64)> = samples
        .iter()
        .filter_map(|s| Some((s.percent, s.claimed?, s.least?)))
        .filter(|(_, claimed, least)| crate::units::below(*claimed, *least))
        .collect();
    let most = least.iter().chain(&drawn_on).map(|p| p[1]).fold(0.0, f64::max);
    let at = answer.mean_load_percent.zip(answer.litres_per_hour);
    let plot = Plot::new(("fuel curve", id.number()))
        .height(190.0)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .include_x(0.0)
        .include_x(100.0)
        .include_y(0.0)
        .include_y(most * 1.1)
        .x_grid_spacer(egui_plot::uniform_grid_spacer(|_| [25.0, 100.0, 1000.0]))
        .x_axis_label("load, % of its rating")
        .y_axis_label("L/h")
        .legend(Legend::default().position(Corner::RightBottom));
    let shown = plot.show(ui, |plot| {
        for (percent, claimed, least) in &impossible {
            let stroke = Line::new("cannot be right", PlotPoints::from(vec![[*percent, *claimed], [*percent, *least]]));
            plot.line(stroke.color(t.over).width(1.5));
        }
        let beyond = Line::new("claimed, drawn on", PlotPoints::from(drawn_on));
        plot.line(beyond.color(t.fed).width(1.0).style(LineStyle::Dotted { spacing: 5.0 }));
        plot.line(Line::new("claimed", PlotPoints::from(stated.clone())).color(t.fed).width(2.5));
        plot.line(
            Line::new("least possible", PlotPoints::from(least))
                .color(t.ink)
                .width(1.5)
                .style(LineStyle::dashed_loose()),
        );
        plot.points(Points::new("claimed", stated).color(t.fed).radius(4.0));
        if let Some((percent, rate)) = at {
            let point = Points::new("mean load", vec![[percent, rate]]);
            plot.points(point.color(t.ink).radius(7.0).shape(MarkerShape::Diamond));
            let label = Text::new("mean load", PlotPoint::new(percent, rate + most * 0.09), "mean load");
            plot.text(label.color(t.ink));
        }
    });
    let words = words(&curve, answer, &impossible);
    ui.ctx().accesskit_node_builder(shown.response.id, |node| {
        node.set_label(format!("Fuel curve of {}", part.tag));
        node.set_description(words.as_str());
    });
    let text = widgets::small(ui, words);
    ui.label(text);
}

fn words(curve: &FuelCurve, answer: &Endurance, impossible: &[(f64, f64, f64)]) -> String {
    let points: Vec<String> = curve
        .points()
        .iter()
        .map(|(load, rate)| format!("{} % {} L/h", trimmed(*load, 1), trimmed(*rate, 3)))
        .collect();
    let mut text = format!("Claimed: {}.", points.join(", "));
    if let (Some((from, ..)), Some((to, ..))) = (impossible.first(), impossible.last()) {
        let (from, to) = (trimmed(*from, 0), trimmed(*to, 0));
        text += &format!(" Hatched: from {from} to {to} % load less than any set of this fuel can burn.");
    }
    if answer.extrapolated == Some(true) {
        text += " Dotted: drawn on beyond the points.";
    }
    text
}
