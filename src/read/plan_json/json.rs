//! JSON text, in which no object may name a key twice.

use crate::read::problem::cut_off;
use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Number, Value};
use std::fmt;

/// Why a text can't be read, and where.
pub(super) struct Unread {
    pub(super) line: Option<usize>,
    pub(super) column: Option<usize>,
    pub(super) rule: String,
    pub(super) cure: &'static str,
}

/// Begins the message of a key that stands twice, so that it can be told from other faults.
const TWICE: &str = "names the key ";

/// Begins what the parser says of a text that is nested deeper than it reads.
const DEEP: &str = "recursion limit exceeded";

/// Reads the text.
pub(super) fn value(text: &str) -> Result<Value, Unread> {
    let cure = "give a file written by --json";
    if text.trim().is_empty() {
        return Err(Unread { line: None, column: None, rule: "is empty".to_owned(), cure });
    }
    serde_json::from_str::<Once>(text).map(|Once(value)| value).map_err(|error| {
        let said = error.to_string();
        let twice = said.strip_prefix(TWICE).and_then(|s| s.rsplit_once(" at line "));
        let (rule, cure) = if said.starts_with(DEEP) {
            ("is nested deeper than any plan is, from here on".to_owned(), cure)
        } else if error.is_eof() {
            ("ends before the plan does".to_owned(), "write the file anew, whole")
        } else if let Some((key, _)) = twice {
            (format!("{TWICE}{key}"), "keep one of the two")
        } else {
            ("is not JSON from here on".to_owned(), cure)
        };
        Unread { line: Some(error.line()), column: Some(error.column()), rule, cure }
    })
}

/// A value, each key once.
struct Once(Value);

impl<'de> Deserialize<'de> for Once {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(Reads).map(Once)
    }
}

struct Reads;

impl<'de> Visitor<'de> for Reads {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value")
    }

    fn visit_bool<E>(self, value: bool) -> Result<Value, E> {
        Ok(Value::Bool(value))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Value, E> {
        Ok(Value::from(value))
    }

    fn visit_u64<E>(self, value: u64) -> Result<Value, E> {
        Ok(Value::from(value))
    }

    fn visit_f64<E>(self, value: f64) -> Result<Value, E> {
        Ok(Number::from_f64(value).map_or(Value::Null, Value::Number))
    }

    fn visit_str<E>(self, value: &str) -> Result<Value, E> {
        Ok(Value::from(value))
    }

    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Value, A::Error> {
        let mut out = Vec::new();
        while let Some(Once(item)) = items.next_element()? {
            out.push(item);
        }
        Ok(Value::Array(out))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Value, A::Error> {
        let mut out = Map::new();
        while let Some((key, Once(value))) = entries.next_entry::<String, Once>()? {
            if out.contains_key(&key) {
                let key = cut_off(&key, 60);
                return Err(A::Error::custom(format!("{TWICE}{key} twice")));
            }
            out.insert(key, value);
        }
        Ok(Value::Object(out))
    }
}
