//! From an older version of the file format to the one that is read: one step for each version, applied in order.

use super::format::VERSION;
use super::read::Object;
use serde_json::Value;

/// Makes the object of one version that of the next: moves and renames what moved. It leaves what it does not know.
pub(super) type Step = fn(&mut Object);

/// The steps: the first leads from version 1 to 2. Version 1 is the newest, so there is none yet.
pub(super) const STEPS: &[Step] = &[];

const _: () = assert!(STEPS.len() as u64 + 1 == VERSION, "a version and the step to it come together");

/// Takes a file of version `from` through the steps that it has not had. The state that a revision froze is of the same
/// version as its file and goes the same way.
pub(super) fn raise(top: &mut Object, from: u64, steps: &[Step]) {
    let done = usize::try_from(from.saturating_sub(1)).unwrap_or(usize::MAX);
    for step in steps.iter().skip(done) {
        let states = top.get_mut("revisions").and_then(Value::as_array_mut).into_iter().flatten();
        for state in states.filter_map(|revision| revision.get_mut("state").and_then(Value::as_object_mut)) {
            step(state);
        }
        step(top);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A step as a later version could need it: a field gets another name.
    fn rename(top: &mut Object) {
        if let Some(name) = top.shift_remove("name") {
            top.insert("title_of_boat".to_owned(), name);
        }
    }

    fn count(top: &mut Object) {
        let n = top.get("steps").and_then(Value::as_u64).unwrap_or(0);
        top.insert("steps".to_owned(), (n + 1).into());
    }

    fn file() -> Object {
        let text = r#"{"name": "Tern", "odd": 7, "revisions": [{"letter": "A", "state": {"name": "Old Tern"}}]}"#;
        serde_json::from_str(text).unwrap()
    }

    #[test]
    fn a_file_takes_the_steps_that_it_has_not_had_and_keeps_the_rest() {
        let mut old = file();
        raise(&mut old, 1, &[rename, count]);
        assert_eq!(old["title_of_boat"], "Tern");
        assert_eq!((&old["odd"], &old["steps"]), (&7.into(), &1.into()));
        assert_eq!(old["revisions"][0]["state"]["title_of_boat"], "Old Tern", "what was issued goes the same way");
        assert_eq!(old["revisions"][0]["letter"], "A");
        let mut newer = file();
        raise(&mut newer, 2, &[rename, count]);
        assert_eq!((newer.get("title_of_boat"), &newer["steps"]), (None, &1.into()));
        let mut newest = file();
        raise(&mut newest, 3, &[rename, count]);
        assert_eq!(newest, file());
    }
}
