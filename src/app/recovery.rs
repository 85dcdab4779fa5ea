//! After a crash: the drawings that were in no file, what differs from their files, and the choice.

use super::{theme, widgets};
use crate::installation::{Installation, compare};
use crate::store::{self, Left, Session, path_text};
use egui::{Context, RichText};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// One drawing that was left behind.
struct Found {
    session: Session,
    left: Left,
    /// What differs from the file, in words, one a line.
    differs: Vec<String>,
}

/// What was left behind and not decided on yet.
#[derive(Default)]
pub struct Recovery {
    found: Vec<Found>,
}

/// What the person chose.
pub enum Choice {
    /// To go on with a drawing of this file, or of none.
    Recover(Session, Box<Installation>, Option<PathBuf>),
    /// Nothing more to ask.
    Done,
}

/// Most differences that are listed.
const LISTED: usize = 12;

impl Recovery {
    /// Looks for what other processes left behind. What is in its file already goes away without a question.
    #[must_use]
    pub fn look(dir: &Path) -> Self {
        let mut found = Vec::new();
        for session in Session::left_behind(dir) {
            let Some(left) = session.left() else { continue };
            let differs = match &left.installation {
                Ok(kept) => {
                    let file = left.path.as_ref().map(|path| store::open(path).map(|o| o.installation));
                    if matches!(&file, Some(Ok(file)) if file == kept) && session.discard().is_ok() {
                        continue;
                    }
                    differences(file, kept)
                }
                Err(error) => error.to_string().lines().map(str::to_owned).collect(),
            };
            found.push(Found { session, left, differs });
        }
        Self { found }
    }

    /// True while there is something to decide.
    #[must_use]
    pub fn is_open(&self) -> bool {
        !self.found.is_empty()
    }

    /// Shows the question; gives the choice once there is one. What is left for later stays where it is.
    pub fn show(&mut self, ctx: &Context) -> Option<Choice> {
        if self.found.is_empty() {
            return None;
        }
        let mut chosen = None;
        let modal = egui::Modal::new(egui::Id::unique("recovery")).show(ctx, |ui| {
            ui.set_width(560.0);
            widgets::head(ui, "Work that is in no file");
            ui.label("The program did not end by itself the last time. This was kept:");
            let room = ctx.content_rect().height() * 0.6;
            egui::ScrollArea::vertical().max_height(room).show(ui, |ui| {
                for (i, found) in self.found.iter().enumerate() {
                    ui.add_space(8.0);
                    let name = name_of(&found.left);
                    ui.label(widgets::strong(format!("{name}{}", age(found.left.written))));
                    for line in &found.differs {
                        ui.label(RichText::new(line).font(theme::regular(theme::DATA)));
                    }
                    ui.horizontal(|ui| {
                        if found.left.installation.is_ok() {
                            let button = ui.button("Go on with it").accessible_name(format!("Go on with {name}"));
                            if button.clicked() {
                                chosen = Some((i, true));
                            }
                        } else {
                            let text = format!("It is kept as {}", path_text(found.session.journal()));
                            ui.label(widgets::faint(ui, text));
                        }
                        if ui.button("Throw it away").accessible_name(format!("Throw away {name}")).clicked() {
                            chosen = Some((i, false));
                        }
                    });
                }
            });
            ui.add_space(8.0);
            if ui.button("Decide later").clicked() {
                ui.close();
            }
        });
        match chosen {
            Some((i, true)) => {
                let Found { session, left, .. } = self.found.remove(i);
                // The others are asked about at the next start.
                self.found.clear();
                let installation = left.installation.ok()?;
                return Some(Choice::Recover(session, Box::new(installation), left.path));
            }
            Some((i, false)) => {
                let found = self.found.remove(i);
                // Where it cannot be removed it is offered again, which says enough.
                let _ = found.session.discard();
            }
            None if modal.should_close() => self.found.clear(),
            None => {}
        }
        self.found.is_empty().then_some(Choice::Done)
    }
}

fn name_of(left: &Left) -> String {
    let name = left.installation.as_ref().map_or("", |doc| doc.name.as_str());
    let file = left.path.as_ref().and_then(|p| p.file_name()).map(|f| path_text(Path::new(f)));
    match (name, file) {
        ("", None) => "A new drawing".to_owned(),
        ("", Some(file)) => file,
        (name, None) => format!("{name}, never saved"),
        (name, Some(file)) => format!("{name}, {file}"),
    }
}

/// How long ago, in words that begin with a comma; empty where that is not known.
fn age(written: Option<SystemTime>) -> String {
    let Some(minutes) = written.and_then(|w| w.elapsed().ok()).map(|d| d.as_secs() / 60) else { return String::new() };
    match minutes {
        0 => ", kept just now".to_owned(),
        1 => ", kept a minute ago".to_owned(),
        2..120 => format!(", kept {minutes} minutes ago"),
        120..2880 => format!(", kept {} hours ago", minutes / 60),
        _ => format!(", kept {} days ago", minutes / 1440),
    }
}

/// What was kept against what is in the file, in words.
fn differences(file: Option<Result<Installation, store::OpenError>>, kept: &Installation) -> Vec<String> {
    let size = format!("{} parts, {} cables", kept.parts.len(), kept.cables.len());
    let file = match file {
        None => return vec![format!("It was never saved: {size}.")],
        Some(Err(error)) => return vec![format!("{size}. Its file cannot be compared: {error}")],
        Some(Ok(file)) => file,
    };
    let found = compare(&file, kept);
    let entries = [("added", &found.added), ("removed", &found.removed)].into_iter();
    let cables = [("added", &found.cables_added), ("removed", &found.cables_removed)].into_iter();
    let mut out: Vec<String> = entries
        .chain(cables)
        .flat_map(|(word, list)| list.iter().map(move |e| format!("{word}: {}", e.name)))
        .collect();
    let value = |text: &str| if text.is_empty() { "not stated".to_owned() } else { format!("“{text}”") };
    for change in &found.changed {
        let about = if change.tag.is_empty() { String::new() } else { format!("{}, ", change.tag) };
        let property = change.property.replace('_', " ");
        out.push(format!("changed: {about}{property} from {} to {}", value(&change.old), value(&change.new)));
    }
    out.extend(found.moved.iter().map(|e| format!("moved: {}", e.name)));
    if out.is_empty() {
        out.push("changed: what has no name of its own".to_owned());
    }
    let more = out.len().saturating_sub(LISTED);
    out.truncate(LISTED);
    if more > 0 {
        out.push(format!("… and {more} more"));
    }
    out.insert(0, "Against its file:".to_owned());
    out
}
