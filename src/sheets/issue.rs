//! The date that a pack carries: that of the last revision, or of the title block. No clock is read, so that the same
//! drawing gives the same bytes.

use super::cautions::NOT_FOR_CONSTRUCTION;
use crate::installation::{Installation, since_last_revision};
use crate::units::Date;

/// Stands for the date of a drawing that was not issued.
pub const NOT_ISSUED: &str = "not issued";

/// The day of issue, where one is stated as year-month-day.
#[must_use]
pub fn date(installation: &Installation) -> Option<Date> {
    let last = installation.revisions.last().and_then(|r| Date::parse(&r.date));
    last.or_else(|| Date::parse(&installation.title.date_of_issue))
}

/// Year, month and day for file headers that must hold some date: 2000-01-01 where none is stated.
#[must_use]
pub fn header_date(installation: &Installation) -> (u16, u8, u8) {
    let text = date(installation).map(|d| d.to_string()).unwrap_or_default();
    let mut parts = text.split('-');
    let mut next = || parts.next().and_then(|p| p.parse::<u16>().ok());
    match (next(), next().and_then(|m| u8::try_from(m).ok()), next().and_then(|d| u8::try_from(d).ok())) {
        (Some(year), Some(month), Some(day)) => (year, month, day),
        _ => (2000, 1, 1),
    }
}

/// Index of revision and date of issue as they are to be printed. A drawing that was changed since its last revision is
/// not that revision: its index carries a `+`, and it is not issued.
#[must_use]
pub fn revision(installation: &Installation) -> (String, String) {
    match installation.revisions.last() {
        Some(last) if since_last_revision(installation).is_some_and(|c| !c.is_empty()) => {
            (format!("{}+", last.letter.trim()), NOT_ISSUED.to_owned())
        }
        Some(last) => (last.letter.trim().to_owned(), last.date.trim().to_owned()),
        None => {
            let title = &installation.title;
            (title.revision_index.trim().to_owned(), title.date_of_issue.trim().to_owned())
        }
    }
}

/// What stands below a diagram on one piece, which has no title block: name, system, revision, and who has to sign.
#[must_use]
pub fn lines(installation: &Installation) -> Vec<String> {
    let mut lines = vec![name(installation).to_owned(), installation.system.name().to_owned()];
    let (index, date) = revision(installation);
    if !(index.is_empty() && date.is_empty()) {
        lines.push(format!("Revision {index} {date}").trim_end().to_owned());
    }
    lines.push(NOT_FOR_CONSTRUCTION.to_owned());
    lines
}

/// The name of the drawing for people.
#[must_use]
pub fn name(installation: &Installation) -> &str {
    [&installation.title.title, &installation.name]
        .into_iter()
        .find(|n| !n.is_empty())
        .map_or("Unnamed installation", |n| n)
}

#[cfg(test)]
mod tests {
    use super::{date, header_date};
    use crate::installation::{Installation, System};

    #[test]
    fn the_date_is_the_stated_one_and_never_a_clock() {
        let mut installation = Installation::new(System::TwoWire120);
        assert_eq!((date(&installation), header_date(&installation)), (None, (2000, 1, 1)));
        installation.title.date_of_issue = "2027-05-31".to_owned();
        assert_eq!(header_date(&installation), (2027, 5, 31));
        installation.title.date_of_issue = "spring".to_owned();
        assert_eq!(header_date(&installation), (2000, 1, 1));
    }
}
