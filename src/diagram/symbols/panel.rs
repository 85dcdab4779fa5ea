//! Panel: a heavy upright bar over all that it feeds.

use super::Look;
use crate::diagram::pen::Pen;

pub(super) fn draw(pen: &mut Pen, look: &Look<'_>) {
    pen.rounded(look.foot.outline, 0.4, None, Some(look.ink));
}
