//! Days of the calendar, without a clock and without hours.

use std::fmt;

/// A day of the Gregorian calendar, years 1900 to 2999.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

const fn is_leap(year: u16) -> bool {
    year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400))
}

const fn days_in(year: u16, month: u8) -> u8 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if is_leap(year) => 29,
        2 => 28,
        _ => 31,
    }
}

impl Date {
    /// What would be valid, for an error message.
    pub const HINT: &'static str = "a date as year-month-day such as 2027-05-31, years 1900 to 2999";

    /// The day where there is such a day.
    #[must_use]
    pub const fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        let there =
            year >= 1900 && year <= 2999 && month >= 1 && month <= 12 && day >= 1 && day <= days_in(year, month);
        if there { Some(Self { year, month, day }) } else { None }
    }

    /// Reads `2027-05-31`, the form of ISO 8601.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        let digits = |part: &str, n: usize| part.len() == n && part.bytes().all(|b| b.is_ascii_digit());
        match text.split('-').collect::<Vec<_>>().as_slice() {
            &[year, month, day] if digits(year, 4) && digits(month, 2) && digits(day, 2) => {
                Self::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
            }
            _ => None,
        }
    }

    /// The day so many whole days later; `None` beyond 2999.
    #[must_use]
    pub fn plus_days(self, days: u32) -> Option<Self> {
        let mut left = days;
        let Self { mut year, mut month, mut day } = self;
        while left > 0 {
            let rest = u32::from(days_in(year, month) - day);
            if left <= rest {
                day += u8::try_from(left).ok()?;
                break;
            }
            left -= rest + 1;
            day = 1;
            month += 1;
            if month > 12 {
                month = 1;
                year += 1;
            }
            if year > 2999 {
                return None;
            }
        }
        Self::new(year, month, day)
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::Date;

    #[test]
    fn days_are_counted_over_months_years_and_leap_days() {
        let from = |text: &str, days: u32| Date::parse(text).unwrap().plus_days(days).unwrap().to_string();
        assert_eq!(from("2027-05-31", 0), "2027-05-31");
        assert_eq!(from("2027-05-31", 1), "2027-06-01");
        assert_eq!(from("2028-02-28", 1), "2028-02-29");
        assert_eq!(from("2100-02-28", 1), "2100-03-01");
        assert_eq!(from("2027-12-31", 366), "2028-12-31");
        assert_eq!(from("2000-01-01", 146_097), "2400-01-01", "the calendar repeats every 400 years");
        assert_eq!(Date::parse("2999-12-31").unwrap().plus_days(1), None);
        for bad in ["2027-02-29", "2027-13-01", "27-01-01", "2027-1-1", "2027/01/01", "", "2027-00-10"] {
            assert_eq!(Date::parse(bad), None, "{bad}");
        }
    }

    #[test]
    fn every_part_of_a_date_has_its_digits() {
        for bad in ["2027-1-10", "2027-01-1", "+027-01-10", "2027-+1-10", "2027-01-+1", "02027-01-10"] {
            assert_eq!(Date::parse(bad), None, "{bad}");
        }
    }

    #[test]
    fn the_last_year_is_counted_into() {
        let next = Date::parse("2998-12-31").unwrap().plus_days(1).map(|d| d.to_string());
        assert_eq!(next.as_deref(), Some("2999-01-01"));
    }
}
