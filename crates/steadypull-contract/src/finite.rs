//! No number that is not a number leaves the tool.
//!
//! JSON has no NaN: written out, one would turn into `null` and read as
//! "nothing to say". So an answer is searched before anyone sees it. The
//! search is a serialiser that writes nothing and looks at floats alone; it
//! sees every field that is printed, with no list of fields to keep in step.

use std::fmt::Display;

use serde::{Serialize, Serializer, ser};

use crate::answer::Answer;

impl Answer {
    /// The path of every number that is NaN or infinite (`pull.kinetic.slack_m`).
    pub fn non_finite(&self) -> Vec<String> {
        non_finite(self)
    }
}

/// The path of every number in `value` that is NaN or infinite.
pub fn non_finite(value: &impl Serialize) -> Vec<String> {
    let mut search = FloatSearch::default();
    if let Err(error) = value.serialize(&mut search) {
        search.found.push(error.to_string());
    }
    search.found
}

#[derive(Default)]
struct FloatSearch {
    path: Vec<String>,
    found: Vec<String>,
}

impl FloatSearch {
    fn look_at(&mut self, value: f64) {
        if !value.is_finite() {
            self.found.push(self.path.join("."));
        }
    }

    fn within(
        &mut self,
        step: String,
        value: &(impl Serialize + ?Sized),
    ) -> Result<(), SearchError> {
        self.path.push(step);
        let result = value.serialize(&mut *self);
        self.path.pop();
        result
    }
}

/// A type that cannot be searched.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
struct SearchError(String);

impl ser::Error for SearchError {
    fn custom<T: Display>(message: T) -> Self {
        Self(message.to_string())
    }
}

/// The entries of a list or of a struct, counted for their path.
struct Entries<'a> {
    search: &'a mut FloatSearch,
    next: usize,
    key: String,
}

impl<'a> Entries<'a> {
    fn of(search: &'a mut FloatSearch) -> Self {
        Self {
            search,
            next: 0,
            key: String::new(),
        }
    }

    fn element(&mut self, value: &(impl Serialize + ?Sized)) -> Result<(), SearchError> {
        self.next += 1;
        self.search.within((self.next - 1).to_string(), value)
    }
}

macro_rules! nothing_to_look_at {
    ($($method:ident: $type:ty),*) => {
        $(fn $method(self, _: $type) -> Result<(), SearchError> { Ok(()) })*
    };
}

impl<'a> Serializer for &'a mut FloatSearch {
    type Ok = ();
    type Error = SearchError;
    type SerializeSeq = Entries<'a>;
    type SerializeTuple = Entries<'a>;
    type SerializeTupleStruct = Entries<'a>;
    type SerializeTupleVariant = Entries<'a>;
    type SerializeMap = Entries<'a>;
    type SerializeStruct = Entries<'a>;
    type SerializeStructVariant = Entries<'a>;

    nothing_to_look_at! {
        serialize_bool: bool, serialize_char: char, serialize_str: &str, serialize_bytes: &[u8],
        serialize_i8: i8, serialize_i16: i16, serialize_i32: i32, serialize_i64: i64,
        serialize_u8: u8, serialize_u16: u16, serialize_u32: u32, serialize_u64: u64,
        serialize_unit_struct: &'static str
    }

    fn serialize_f32(self, value: f32) -> Result<(), SearchError> {
        self.look_at(value.into());
        Ok(())
    }

    fn serialize_f64(self, value: f64) -> Result<(), SearchError> {
        self.look_at(value);
        Ok(())
    }

    fn serialize_none(self) -> Result<(), SearchError> {
        Ok(())
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), SearchError> {
        value.serialize(self)
    }

    fn serialize_unit(self) -> Result<(), SearchError> {
        Ok(())
    }

    fn serialize_unit_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
    ) -> Result<(), SearchError> {
        Ok(())
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        value: &T,
    ) -> Result<(), SearchError> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        value: &T,
    ) -> Result<(), SearchError> {
        self.within(variant.into(), value)
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<Entries<'a>, SearchError> {
        Ok(Entries::of(self))
    }

    fn serialize_tuple(self, _: usize) -> Result<Entries<'a>, SearchError> {
        Ok(Entries::of(self))
    }

    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Entries<'a>, SearchError> {
        Ok(Entries::of(self))
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Entries<'a>, SearchError> {
        Ok(Entries::of(self))
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Entries<'a>, SearchError> {
        Ok(Entries::of(self))
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Entries<'a>, SearchError> {
        Ok(Entries::of(self))
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Entries<'a>, SearchError> {
        Ok(Entries::of(self))
    }
}

macro_rules! list_of {
    ($($trait:ident::$method:ident),*) => {$(
        impl ser::$trait for Entries<'_> {
            type Ok = ();
            type Error = SearchError;

            fn $method<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), SearchError> {
                self.element(value)
            }

            fn end(self) -> Result<(), SearchError> {
                Ok(())
            }
        }
    )*};
}

list_of! {
    SerializeSeq::serialize_element,
    SerializeTuple::serialize_element,
    SerializeTupleStruct::serialize_field,
    SerializeTupleVariant::serialize_field
}

macro_rules! fields_of {
    ($($trait:ident),*) => {$(
        impl ser::$trait for Entries<'_> {
            type Ok = ();
            type Error = SearchError;

            fn serialize_field<T: Serialize + ?Sized>(
                &mut self,
                name: &'static str,
                value: &T,
            ) -> Result<(), SearchError> {
                self.search.within(name.into(), value)
            }

            fn end(self) -> Result<(), SearchError> {
                Ok(())
            }
        }
    )*};
}

fields_of! { SerializeStruct, SerializeStructVariant }

impl ser::SerializeMap for Entries<'_> {
    type Ok = ();
    type Error = SearchError;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), SearchError> {
        self.key = serde_json::to_string(key).map_err(ser::Error::custom)?;
        Ok(())
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), SearchError> {
        let key = std::mem::take(&mut self.key);
        self.search.within(key, value)
    }

    fn end(self) -> Result<(), SearchError> {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Serialize)]
    struct Sample {
        certain_n: f64,
        maybe_n: Option<f64>,
        row_m: Vec<f64>,
        count: u32,
    }

    #[test]
    fn finds_every_number_that_is_none() {
        let sample = Sample {
            certain_n: f64::NAN,
            maybe_n: Some(f64::INFINITY),
            row_m: vec![1.0, f64::NEG_INFINITY],
            count: 3,
        };
        assert_eq!(
            non_finite(&vec![sample]),
            ["0.certain_n", "0.maybe_n", "0.row_m.1"]
        );
    }

    #[test]
    fn passes_sound_numbers_and_nothing_to_say() {
        let sample = Sample {
            certain_n: -0.0,
            maybe_n: None,
            row_m: vec![f64::MAX, f64::MIN_POSITIVE],
            count: 3,
        };
        assert!(non_finite(&sample).is_empty());
    }
}
