//! Entities of a flattened JSON-LD graph: each has an id and a type, its properties in the order of their names, and names
//! others by their ids.

use std::collections::BTreeMap;

use serde_json::{Value, json};

/// One entity.
pub struct Entity(BTreeMap<&'static str, Value>);

impl Entity {
    /// An entity of one type or several.
    pub fn new(id: impl Into<String>, types: &[&str]) -> Self {
        let types = match types {
            [one] => json!(one),
            several => json!(several),
        };
        Self(BTreeMap::from([("@id", id.into().into()), ("@type", types)]))
    }

    pub fn with(mut self, property: &'static str, value: impl Into<Value>) -> Self {
        self.0.insert(property, value.into());
        self
    }

    /// The same, if there is a value.
    pub fn with_some(self, property: &'static str, value: Option<impl Into<Value>>) -> Self {
        match value {
            Some(value) => self.with(property, value),
            None => self,
        }
    }

    /// The same with what it names, if it names anything.
    pub fn naming<T: AsRef<str>>(
        self,
        property: &'static str,
        ids: impl IntoIterator<Item = T>,
    ) -> Self {
        let mut links: Vec<Value> = ids.into_iter().map(|id| link(id.as_ref())).collect();
        match links.len() {
            0 => self,
            1 => self.with(property, links.remove(0)),
            _ => self.with(property, links),
        }
    }

    pub fn into_value(self) -> Value {
        Value::Object(self.0.into_iter().map(|(key, value)| (key.to_string(), value)).collect())
    }
}

/// The name of another entity.
pub fn link(id: &str) -> Value {
    json!({ "@id": id })
}

/// A path as a reference by RFC 3987: characters that it does not allow are in per cent encoding, letters of any language
/// stay as they are.
pub fn address(path: &str) -> String {
    let mut out = String::with_capacity(path.len());
    for c in path.chars() {
        if c.is_ascii_control() || " \"#%<>?[\\]^`{|}".contains(c) {
            out.push_str(&format!("%{:02X}", u32::from(c)));
        } else {
            out.push(c);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_keep_letters_and_encode_signs() {
        assert_eq!(address("papers/50 % sure?.png"), "papers/50%20%25%20sure%3F.png");
        assert_eq!(address("papers/Größe 面.txt"), "papers/Größe%20面.txt");
    }

    #[test]
    fn properties_stand_in_the_order_of_their_names() {
        let entity = Entity::new("#a", &["Thing"])
            .with("name", "A")
            .naming("about", ["#b"])
            .naming("hasPart", [""; 0])
            .naming("mentions", ["#b", "#c"])
            .with_some("description", None::<String>);
        assert_eq!(
            entity.into_value().to_string(),
            r##"{"@id":"#a","@type":"Thing","about":{"@id":"#b"},"mentions":[{"@id":"#b"},{"@id":"#c"}],"name":"A"}"##
        );
    }
}
