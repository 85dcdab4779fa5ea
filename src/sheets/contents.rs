//! The contents of a sheet before it has its frame: nobody knows yet how many sheets there will be.

use super::frame::Frame;
use super::page::Page;
use super::paper::Paper;
use super::title::Title;

/// The contents of a sheet, already where they go on the page.
#[derive(Clone, Debug, PartialEq)]
pub struct Contents {
    /// The heading.
    pub heading: String,
    /// What stands under it.
    pub under: String,
    /// The name in the list of bookmarks.
    pub bookmark: String,
    /// Blocks and marks.
    pub page: Page,
}

impl Contents {
    /// The sheet with its frame.
    #[must_use]
    pub fn framed(&self, paper: Paper, title: &Title, cautions: &[String], sheet: (usize, usize)) -> Page {
        let frame = Frame { paper, title, cautions, heading: &self.heading, under: &self.under };
        let mut page = frame.sheet(sheet.0, sheet.1);
        page.title.clone_from(&self.bookmark);
        let before = page.blocks.len();
        page.blocks.extend(self.page.blocks.iter().cloned().map(|mut block| {
            block.parent = block.parent.map(|p| p + before);
            block
        }));
        page.marks.extend(self.page.marks.iter().cloned().map(|mut mark| {
            mark.block += before;
            mark
        }));
        page
    }
}
