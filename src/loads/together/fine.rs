//! Near a limit that the whole of a source's load bears, the sums are worked out once more, closer: what the source gives is
//! then known within a per cent or so, and with it the voltage beyond the feeder and what each load draws there.

use super::estimate::in_check;
use super::judge::Judge;
use super::model::{Check, Model, Of, Set, first, members};
use crate::network::PhasorRange;

/// Room for rounding, as in the coarser sums.
const ROOM: f64 = 1e-8;
/// Widest share by which a load's own current may be open for this to be of use.
const WIDEST: f64 = 0.2;

/// Closer sums for one limit, for sets whose current at the source lies in a window.
#[derive(Debug)]
pub(super) struct Fine {
    /// Real amperes at the source: least and most.
    window: [f64; 2],
    /// The coarse sums' unit in amperes.
    per_amp: f64,
    coarse: (PhasorRange, Vec<PhasorRange>),
    close: (PhasorRange, Vec<PhasorRange>),
}

fn total(of: &(PhasorRange, Vec<PhasorRange>), set: Set) -> PhasorRange {
    let mut sum = of.0;
    for n in members(set) {
        sum = sum.plus(&of.1[n]);
    }
    sum
}

impl Fine {
    /// For a limit of a source or of what all its load goes through. `None` where others share the way, on three wires, or
    /// where loads could push the sum both ways.
    pub(super) fn new(
        judge: &mut Judge<'_, '_>,
        check: &Check,
        base: PhasorRange,
        units: &[Option<PhasorRange>],
    ) -> Option<Self> {
        let model = judge.model;
        if model.installation.system.is_split_phase() || !matches!(check.of, Of::Watts | Of::Amps(_)) {
            return None;
        }
        let root = model.path(check.at).last()?;
        let trunk = trunk(model, root);
        if !trunk.contains(&check.at) {
            return None;
        }
        let volts = model.installation.parts.get(model.walk.order.get(root)?)?.volts(model.installation.system);
        let per_amp = if check.of == Of::Watts { volts } else { 1.0 };
        let units: Vec<PhasorRange> = units.iter().map(|r| r.unwrap_or_default()).collect();
        let (mut open, mut in_step) = (0.0_f64, 1.0_f64);
        for range in units.iter().chain([&base]).filter(|r| r.most() > 0.0) {
            // A load of power factor 1 may lead or lag by a hair, for the voltage turns a little; beyond, sums of amperes
            // could grow less than their parts.
            let turned = range.im[1].max(0.0) > 0.02 * range.re[0];
            if range.re[0] <= 0.0 || turned {
                return None;
            }
            open = open.max(1.0 - range.least() / range.most());
            in_step = in_step.min(range.re[0] / range.re[0].hypot(range.im[0]));
        }
        if open > WIDEST {
            return None;
        }
        let amps = check.limit / per_amp;
        let window = [amps * in_step * (1.0 - open) * (1.0 - 1e-6), amps / (1.0 - open) * (1.0 + 1e-6)];
        let all = first(model.units.len());
        let bounds = judge.enclose_within(&trunk, window, all);
        let close = |at: usize, leg| in_check(model, check, leg, bounds.load(at)).unwrap_or_default();
        let mut close_base = PhasorRange::default();
        for &(at, leg) in model.fixed.iter().filter(|(at, _)| model.is_below(*at, check.at)) {
            close_base = close_base.plus(&close(at, leg));
        }
        let carried = |n: usize| model.under[check.at] & (1 << n) != 0;
        let close_units: Vec<PhasorRange> = model
            .units
            .iter()
            .enumerate()
            .map(|(n, u)| if carried(n) { close(u.at, u.leg) } else { PhasorRange::default() })
            .collect();
        Some(Self { window, per_amp, coarse: (base, units), close: (close_base, close_units) })
    }

    /// Whether a set keeps within the limit: false also for every set that holds it, since sums of one sign only grow. `None`
    /// where it lies too near still, or outside the window.
    pub(super) fn holds(&self, set: Set, limit: f64) -> Option<bool> {
        let coarse = total(&self.coarse, set);
        let amps = coarse.re.map(|re| re / self.per_amp);
        if amps[0] < self.window[0] || amps[1] > self.window[1] {
            return None;
        }
        let close = total(&self.close, set);
        if close.least() > limit * (1.0 + ROOM) {
            Some(false)
        } else if close.most() < limit * (1.0 - ROOM) {
            Some(true)
        } else {
            None
        }
    }
}

/// Positions through which all that a source gives flows.
fn trunk(model: &Model<'_>, root: usize) -> Vec<usize> {
    let all = model.under[root];
    (0..model.walk.order.len())
        .filter(|&at| {
            model.under[at] == all
                && model.is_below(at, root)
                && model.fixed.iter().all(|&(f, _)| !model.is_below(f, root) || model.is_below(f, at))
        })
        .collect()
}
