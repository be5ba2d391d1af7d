//! What stands around the files: the ship, the dock, people, terms of use, whom to ask, the originals. What nobody recorded
//! has no entity here.

use std::collections::BTreeMap;

use super::entity::Entity;
use crate::records::archive::{Archive, Terms};
use crate::records::docking::Docking;

pub const SHIP: &str = "#ship";
pub const DOCK: &str = "#dock";
pub const OWNER: &str = "#owner";
pub const CONTACT: &str = "#contact";
pub const COLLECTION: &str = "#collection";
pub const ORIGINALS: &str = "#originals";
pub const PLANS: &str = "#plans-cited";
pub const PERSONAL_DATA: &str = "#personal-data";
pub const RETENTION: &str = "#retention";
const TERMS: &str = "#terms-of-use";
const PREPARED_BY: &str = "#prepared-by";
const COORDINATES: &str = "#dock-coordinates";

/// People named in the record, each with the id of the entity.
pub struct People(BTreeMap<String, String>);

impl People {
    pub fn of(docking: &Docking) -> Self {
        let mut ids = BTreeMap::new();
        for (name, _) in &docking.people {
            let next = format!("#person-{}", ids.len() + 1);
            ids.entry(name.clone()).or_insert(next);
        }
        Self(ids)
    }

    /// The id of somebody by name.
    pub fn id(&self, name: &str) -> Option<&str> {
        self.0.get(name).map(String::as_str)
    }

    /// All ids, in the order of the record.
    pub fn ids(&self) -> Vec<&str> {
        let mut ids: Vec<&str> = self.0.values().map(String::as_str).collect();
        ids.sort_by_key(|id| (id.len(), *id));
        ids
    }

    /// Who prepared the record. The record does not say of a name that is not among its people whether it is a person's.
    pub fn preparer<'a>(&'a self, docking: &Docking) -> Option<&'a str> {
        let closeout = docking.closeout.as_ref()?;
        Some(self.id(&closeout.prepared_by).unwrap_or(PREPARED_BY))
    }

    /// Their entities: one for each name, with its roles.
    pub fn entities(&self, docking: &Docking) -> Vec<Entity> {
        let person = |id: &str| {
            let is_them = |name: &str| self.id(name) == Some(id);
            let mut named = docking.people.iter().filter(|(name, _)| is_them(name));
            let name = named.clone().next().map(|(name, _)| name.as_str());
            let roles: Vec<&str> = named.by_ref().map(|(_, role)| role.as_str()).collect();
            Entity::new(id, &["Person"]).with_some("name", name).with("jobTitle", roles.join("; "))
        };
        let mut entities: Vec<Entity> = self.ids().into_iter().map(person).collect();
        if let Some(closeout) = &docking.closeout
            && self.preparer(docking) == Some(PREPARED_BY)
        {
            let about =
                "who prepared the record; it does not say whether that is a person or an office";
            entities.push(
                Entity::new(PREPARED_BY, &["Thing"])
                    .with("name", closeout.prepared_by.as_str())
                    .with("description", about),
            );
        }
        entities
    }
}

/// Ship, owner, dock and whatever `[archive]` says.
pub fn entities(docking: &Docking) -> Vec<Entity> {
    let archive = &docking.archive;
    let mut out = ship_and_dock(docking);
    out.extend(owner(docking));
    out.extend(terms(archive));
    out.extend(contact(archive));
    let said = |id, name: &str, words: &Option<String>| {
        let words = words.as_deref()?;
        let work = Entity::new(id, &["CreativeWork"]).with("name", name);
        Some(work.with("description", words))
    };
    out.extend(said(PERSONAL_DATA, "Personal data in the record", &archive.personal_data));
    out.extend(said(RETENTION, "How long the record is to be kept", &archive.keep_for));
    out.extend(said(ORIGINALS, "Originals of the record", &archive.originals));
    out.extend(said(PLANS, "Plans and reports that the record cites", &archive.plans));
    if let Some(collection) = &archive.collection {
        out.push(Entity::new(COLLECTION, &["Collection"]).with("name", collection.as_str()));
    }
    out
}

/// What lay where.
pub fn ship_and_dock(docking: &Docking) -> Vec<Entity> {
    ship(docking).into_iter().chain(dock(docking)).collect()
}

/// A number by which something is known.
pub fn number(id: impl Into<String>, kind: &str, value: &str) -> Entity {
    Entity::new(id, &["PropertyValue"])
        .with("name", kind)
        .with("propertyID", kind)
        .with("value", value)
}

fn ship(docking: &Docking) -> Vec<Entity> {
    let (ship, archive) = (&docking.ship, &docking.archive);
    let numbers = [
        ("#ship-imo-number", "IMO number", archive.imo_digits()),
        ("#ship-official-number", "official number", archive.official_number.clone()),
        ("#ship-call-sign", "call sign", archive.call_sign.clone()),
        ("#ship-museum-number", "museum number", archive.museum_number.clone()),
    ];
    let numbers: Vec<_> =
        numbers.into_iter().filter_map(|(id, kind, value)| Some((id, kind, value?))).collect();
    let built = ship.built.as_ref().map(|built| format!("Built: {built}"));
    let entity = Entity::new(SHIP, &["Vehicle"])
        .with("name", ship.name.as_str())
        .with_some("description", built)
        .naming("identifier", numbers.iter().map(|(id, ..)| id));
    let numbers = numbers.iter().map(|(id, kind, value)| number(*id, kind, value));
    std::iter::once(entity).chain(numbers).collect()
}

fn owner(docking: &Docking) -> Option<Entity> {
    let owner = docking.ship.owner.as_deref()?;
    let entity = Entity::new(OWNER, &["Organization"]).with("name", owner);
    Some(entity.with("description", "who keeps the ship").naming("owns", [SHIP]))
}

fn dock(docking: &Docking) -> Vec<Entity> {
    let (dock, archive) = (&docking.dock, &docking.archive);
    let place = archive.dock_latitude_deg.zip(archive.dock_longitude_deg);
    let entity = Entity::new(DOCK, &["Place"])
        .with("name", dock.name.as_str())
        .with_some("description", dock.kind.as_deref())
        .with_some("address", dock.location.as_deref())
        .naming("geo", place.map(|_| COORDINATES));
    let mut out = vec![entity];
    if let Some((latitude, longitude)) = place {
        out.push(
            Entity::new(COORDINATES, &["GeoCoordinates"])
                .with("name", format!("Coordinates of {} (WGS 84)", dock.name))
                .with("latitude", latitude)
                .with("longitude", longitude),
        );
    }
    out
}

/// The id of the entity of the terms of use; `None` where no terms are recorded.
pub fn terms_id(archive: &Archive) -> Option<String> {
    archive.terms().map(|terms| terms.address().unwrap_or_else(|| TERMS.to_string()))
}

fn terms(archive: &Archive) -> Option<Entity> {
    let terms = archive.terms()?;
    let work = Entity::new(terms_id(archive)?, &["CreativeWork"]);
    Some(match terms {
        Terms::Spdx(id) => work
            .with("name", id)
            .with("identifier", id)
            .with("description", format!("The licence with the SPDX identifier {id}")),
        Terms::Address(address) => {
            work.with("name", address).with("description", "The terms at this address")
        }
        Terms::Words(words) => work.with("name", "Terms of use").with("description", words),
    })
}

/// Whether anything says whom to ask.
pub fn has_contact(archive: &Archive) -> bool {
    let all = [
        &archive.contact,
        &archive.contact_email,
        &archive.contact_telephone,
        &archive.contact_address,
        &archive.successor,
    ];
    all.iter().any(|said| said.is_some())
}

fn contact(archive: &Archive) -> Option<Entity> {
    let said =
        |what: &str, words: &Option<String>| words.as_ref().map(|words| format!("{what}: {words}"));
    let more: Vec<String> = [
        said("Postal address", &archive.contact_address),
        said("Who takes over when that office comes to an end", &archive.successor),
    ]
    .into_iter()
    .flatten()
    .collect();
    let name = archive.contact.as_deref().unwrap_or("Whom to ask about the record");
    has_contact(archive).then(|| {
        Entity::new(CONTACT, &["ContactPoint"])
            .with("name", name)
            .with("contactType", "questions about the record")
            .with_some("email", archive.contact_email.as_deref())
            .with_some("telephone", archive.contact_telephone.as_deref())
            .with_some("description", (!more.is_empty()).then(|| more.join(". ")))
    })
}
