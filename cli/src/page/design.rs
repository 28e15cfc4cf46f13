//! A design: a scenario file and the settings changed in it. It stands whole in the address of the page.
//!
//! `/plant?file=creek.toml&s.drum.screen.hole=3%2F8+in&p.drum.slope=4+deg` is `creek.toml` with another hole, beside a
//! pinned design in which the drum slopes less.

use form_urlencoded::{Serializer, parse};

/// Prefix of a changed setting in an address.
pub(super) const SET: &str = "s.";
/// Prefix of a changed setting of the pinned design.
pub(super) const PINNED: &str = "p.";
/// More changes than a scenario has settings.
const MOST_CHANGES: usize = 600;
/// Longest text of one change; a sieve sheet is the longest.
const LONGEST_CHANGE: usize = 8_000;

/// Changed settings, each a path and what was typed; nothing typed takes the setting out of the scenario.
pub(super) type Changes = Vec<(String, String)>;

/// A design and the design pinned beside it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Design {
    pub file: String,
    pub changes: Changes,
    /// Changes of the pinned design, if there is one.
    pub pin: Option<Changes>,
}

/// A request as asked: the design and what else stands in the address or form.
#[derive(Debug, Clone, Default)]
pub(super) struct Asked {
    pub design: Design,
    others: Vec<(String, String)>,
}

impl Asked {
    /// Reads an address's query or a form.
    pub fn read(query: &[u8]) -> Result<Asked, &'static str> {
        let mut asked = Asked::default();
        let mut pinned = false;
        let mut pin = Changes::new();
        for (key, value) in parse(query) {
            if value.len() > LONGEST_CHANGE || asked.design.changes.len() + pin.len() > MOST_CHANGES {
                return Err("more was sent than a design holds");
            }
            let value = value.replace("\r\n", "\n");
            if let Some(path) = key.strip_prefix(SET) {
                put(&mut asked.design.changes, path, value);
            } else if let Some(path) = key.strip_prefix(PINNED) {
                put(&mut pin, path, value);
            } else if key == "file" {
                asked.design.file = value;
            } else if key == "pinned" {
                pinned = value == "yes";
            } else if asked.others.len() < MOST_CHANGES {
                asked.others.push((key.into_owned(), value));
            }
        }
        asked.design.pin = (pinned || !pin.is_empty()).then_some(pin);
        Ok(asked)
    }

    /// Another field of the form; empty when it is not there.
    pub fn other(&self, name: &str) -> &str {
        self.others.iter().find(|(k, _)| k == name).map_or("", |(_, v)| v)
    }
}

/// The last word on a path counts.
fn put(changes: &mut Changes, path: &str, value: String) {
    match changes.iter_mut().find(|(p, _)| p == path) {
        Some((_, old)) => *old = value,
        None => changes.push((path.to_string(), value)),
    }
}

impl Design {
    /// A scenario as it stands in its file.
    pub fn of_file(file: &str) -> Design {
        Design { file: file.to_string(), ..Design::default() }
    }

    /// Its address under a path of the server.
    pub fn address(&self, path: &str) -> String {
        format!("{path}?{}", self.query())
    }

    /// As the query of an address.
    pub fn query(&self) -> String {
        let mut query = Serializer::new(String::new());
        query.append_pair("file", &self.file);
        for (path, value) in &self.changes {
            query.append_pair(&format!("{SET}{path}"), value);
        }
        if let Some(pin) = &self.pin {
            query.append_pair("pinned", "yes");
            for (path, value) in pin {
                query.append_pair(&format!("{PINNED}{path}"), value);
            }
        }
        query.finish()
    }

    /// The design with this one pinned beside it.
    pub fn with_pin(&self) -> Design {
        Design { pin: Some(self.changes.clone()), ..self.clone() }
    }

    /// The design with nothing pinned beside it.
    pub fn without_pin(&self) -> Design {
        Design { pin: None, ..self.clone() }
    }

    /// The file as it is, beside the same pinned design.
    pub fn unchanged(&self) -> Design {
        Design { changes: Changes::new(), ..self.clone() }
    }

    /// The pinned design on the ground of this one: its own plant, but ground, seed, trials and the rest that is no
    /// plant as they are here, so that both meet the same draws.
    pub fn pinned(&self) -> Option<Design> {
        let pin = self.pin.as_ref()?;
        let changes =
            pin.iter().filter(|(p, _)| !is_common(p)).chain(self.changes.iter().filter(|(p, _)| is_common(p)));
        Some(Design { file: self.file.clone(), changes: changes.cloned().collect(), pin: None })
    }
}

/// Whether a setting is about the ground or the calculation and not about the plant.
fn is_common(path: &str) -> bool {
    path.starts_with("ground.") || path.starts_with("money.") || !path.contains('.')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_a_design_comes_back_from_its_address() {
        let design = Design {
            file: "a b&c.toml".into(),
            changes: vec![
                ("drum.screen.hole".into(), "3/8 in".into()),
                ("ground.clay".into(), "5 % & more=\"x\"".into()),
            ],
            pin: Some(vec![("drum.slope".into(), "4 °".into())]),
        };
        assert_eq!(Asked::read(design.query().as_bytes()).unwrap().design, design);
        let bare = Design { pin: Some(vec![]), ..Design::of_file("a.toml") };
        assert_eq!(Asked::read(bare.query().as_bytes()).unwrap().design, bare);
        let pinned = design.pinned().unwrap();
        assert_eq!(pinned.changes[0].0, "drum.slope");
        assert_eq!(pinned.changes[1], design.changes[1]);
    }

    #[test]
    fn property_an_endless_form_is_refused() {
        let long = "s.a=1&".repeat(10) + &(0..2000).map(|i| format!("s.x{i}=1&")).collect::<String>();
        assert!(Asked::read(long.as_bytes()).is_err());
        assert!(Asked::read(format!("s.a={}", "x".repeat(9000)).as_bytes()).is_err());
    }
}
