//! The doors of the rooms: a fault inside one of them is caught here, named, and told with what to send. The drawing and
//! its journal are not touched by it.

use std::any::Any;
use std::cell::RefCell;
use std::panic::{AssertUnwindSafe, Location, catch_unwind, set_hook, take_hook};
use std::sync::Once;

/// A fault inside the program, caught.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caught {
    /// The room or view, as in "the survey".
    pub room: &'static str,
    /// What the program said.
    pub message: String,
    /// File and line in the program.
    pub place: String,
}

impl Caught {
    /// One line for the person.
    #[must_use]
    pub fn line(&self) -> String {
        format!("An error inside the program stopped {}. Your drawing is untouched and kept in the journal.", self.room)
    }

    /// What to send to those who can mend it.
    #[must_use]
    pub fn to_send(&self) -> String {
        let version = env!("CARGO_PKG_VERSION");
        let system = format!("{} {}", std::env::consts::OS, std::env::consts::ARCH);
        format!("Hullwire {version}, {system}\n{}: {}\nat {}", self.room, self.message, self.place)
    }
}

thread_local! {
    /// How many doors this thread is behind, and where the last fault was.
    static BEHIND: RefCell<(u32, String)> = const { RefCell::new((0, String::new())) };
}

/// Notes where a fault behind a door happened, in place of the usual print.
fn install() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let usual = take_hook();
        set_hook(Box::new(move |info| {
            let caught = BEHIND.with(|b| {
                let mut b = b.borrow_mut();
                b.1 = info.location().map_or_else(String::new, Location::to_string);
                b.0 > 0
            });
            if !caught {
                usual(info);
            }
        }));
    });
}

fn words(payload: &(dyn Any + Send)) -> String {
    let text = payload.downcast_ref::<&str>().map(|s| (*s).to_owned());
    text.or_else(|| payload.downcast_ref::<String>().cloned()).unwrap_or_else(|| "no words".to_owned())
}

/// Does something behind a door.
///
/// # Errors
/// The fault that stopped it.
pub fn behind<T>(room: &'static str, work: impl FnOnce() -> T) -> Result<T, Caught> {
    install();
    BEHIND.with(|b| b.borrow_mut().0 += 1);
    let outcome = catch_unwind(AssertUnwindSafe(work));
    let place = BEHIND.with(|b| {
        let mut b = b.borrow_mut();
        b.0 -= 1;
        std::mem::take(&mut b.1)
    });
    outcome.map_err(|payload| Caught { room, message: words(payload.as_ref()), place })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_is_caught_with_its_place_and_the_next_work_goes_on() {
        let caught = behind("the survey", || -> u32 { panic!("planted {}", 7) }).unwrap_err();
        assert_eq!(caught.message, "planted 7");
        assert!(caught.place.contains("door.rs:"), "{}", caught.place);
        let sent = caught.to_send();
        assert!(sent.contains("Hullwire") && sent.contains("the survey: planted 7"), "{sent}");
        assert_eq!(behind("the survey", || 5), Ok(5));
    }

    #[test]
    fn a_door_behind_a_door_keeps_its_own() {
        let outer = behind("outside", || behind("inside", || panic!("x")).map_err(|c: Caught| c.room));
        assert_eq!(outer, Ok(Err::<(), _>("inside")));
    }
}
