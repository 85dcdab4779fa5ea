//! JSON read strictly: a key that stands twice in one object is refused, where most readers silently take the last; and
//! nesting has a stated limit.

use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Number, Value};
use std::fmt;

/// Deepest nesting of lists and objects that is read, the top object counted. Drawings have five levels.
pub const MAX_DEPTH: usize = 127;

/// How a message about a key that stands twice begins.
pub(super) const TWICE: &str = "the key ";

/// Reads one JSON value.
///
/// # Errors
/// Those of the JSON text, a key that stands twice, nesting beyond [`MAX_DEPTH`].
pub(super) fn read(text: &str) -> Result<Value, serde_json::Error> {
    serde_json::from_str::<Strict>(text).map(|strict| strict.0)
}

/// A value in whose objects every key stands once.
struct Strict(Value);

impl<'de> Deserialize<'de> for Strict {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Reader).map(Self)
    }
}

struct Reader;

impl<'de> Visitor<'de> for Reader {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_bool<E>(self, value: bool) -> Result<Value, E> {
        Ok(Value::Bool(value))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_u64<E>(self, value: u64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Value, E> {
        Number::from_f64(value).map(Value::Number).ok_or_else(|| E::custom("a number that is not finite"))
    }

    fn visit_str<E>(self, value: &str) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_string<E>(self, value: String) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Value, A::Error> {
        let mut out = Vec::new();
        while let Some(Strict(value)) = list.next_element()? {
            out.push(value);
        }
        Ok(out.into())
    }

    fn visit_map<A: MapAccess<'de>>(self, mut object: A) -> Result<Value, A::Error> {
        let mut out = Map::new();
        while let Some(key) = object.next_key::<String>()? {
            if out.contains_key(&key) {
                let shown: String = key.chars().take(40).collect();
                return Err(A::Error::custom(format!("{TWICE}“{shown}” a second time in one object")));
            }
            let Strict(value) = object.next_value()?;
            out.insert(key, value);
        }
        Ok(out.into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gives_what_the_usual_reader_gives() {
        let text = r#"{"a": [1, -2, 3.5, 1e300, null, true, "x\n"], "b": {"a": {}}, "": 18446744073709551615}"#;
        assert_eq!(read(text).unwrap(), serde_json::from_str::<Value>(text).unwrap());
    }

    #[test]
    fn a_key_that_stands_twice_is_refused_at_any_depth() {
        for text in [r#"{"a": 1, "a": 1}"#, "[{\"x\": {\"b\": 1,\n\"b\": 2}}]"] {
            let error = read(text).unwrap_err();
            assert!(error.to_string().starts_with(TWICE), "{error}");
            assert_eq!(error.line(), text.lines().count());
        }
    }

    #[test]
    fn nesting_ends_at_the_stated_depth() {
        let nested = |n: usize| format!("{}{}", "[".repeat(n), "]".repeat(n));
        assert!(read(&nested(MAX_DEPTH)).is_ok());
        assert!(read(&nested(MAX_DEPTH + 1)).unwrap_err().to_string().contains("recursion limit"));
    }
}
