//! The date that a pack carries: that of the last revision, or of the title block. No clock is read, so that the same
//! drawing gives the same bytes.

use crate::installation::Installation;
use crate::units::Date;

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
