//! `data/ro-crate-metadata.json`: the payload described by the RO-Crate Metadata Specification 1.2, which is JSON-LD with
//! the words of schema.org. It claims nothing that is not recorded.

mod around;
mod entity;
mod files;
mod supplement;
mod told;

use serde_json::{Value, json};

use crate::words::cautions;
use around::People;
use entity::{Entity, link};
pub use supplement::SupplementTold;
use told::interval;
pub use told::{Made, Told};

/// Its name, which the specification gives.
const DESCRIPTOR: &str = "ro-crate-metadata.json";
const SPECIFICATION: &str = "https://w3id.org/ro/crate/1.2";
const ROOT: &str = "./";
const IDENTIFIER: &str = "#bundle";
const KEPT_AS: &str = "#identifier";

/// The metadata, UTF-8, two spaces of indentation a level.
pub fn written(told: &Told<'_>) -> Result<Vec<u8>, serde_json::Error> {
    let docking = &told.examined.project.docking;
    let people = People::of(docking);
    let actions = files::actions(told, &people);
    let acted: Vec<String> = actions.iter().map(|(id, _)| id.clone()).collect();
    let mut graph = vec![root(told, &people, acted)];
    graph.extend(files::entities(told, &people));
    graph.push(around::number(IDENTIFIER, "name of the bundle", &told.closeout.bundle_name));
    if let Some(kept_as) = &docking.archive.identifier {
        graph.push(around::number(KEPT_AS, "identifier by its keeper", kept_as));
    }
    graph.extend(around::entities(docking));
    graph.extend(people.entities(docking));
    graph.push(files::program(told.program));
    graph.extend(actions.into_iter().map(|(_, action)| action));
    crated(&told.closeout.bundle_name, graph)
}

/// The metadata of a supplement, likewise.
pub fn written_of_supplement(told: &SupplementTold<'_>) -> Result<Vec<u8>, serde_json::Error> {
    crated(&told.stated.about.name, supplement::entities(told, ROOT, IDENTIFIER))
}

/// A crate's entities as a file, behind the one that says by which specification they are written.
fn crated(name: &str, entities: Vec<Entity>) -> Result<Vec<u8>, serde_json::Error> {
    let descriptor = Entity::new(DESCRIPTOR, &["CreativeWork"])
        .with("name", format!("Description of the files of {name}"))
        .with("about", link(ROOT))
        .with("conformsTo", link(SPECIFICATION));
    let graph = std::iter::once(descriptor).chain(entities);
    let graph: Vec<Value> = graph.map(Entity::into_value).collect();
    let crated = json!({"@context": format!("{SPECIFICATION}/context"), "@graph": graph});
    let mut bytes = serde_json::to_vec_pretty(&crated)?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn root(told: &Told<'_>, people: &People, acted: Vec<String>) -> Entity {
    let docking = &told.examined.project.docking;
    let (ship, dock, archive) = (&docking.ship.name, &docking.dock.name, &docking.archive);
    let on = told.closeout.prepared_on.to_string();
    let mut about = vec![format!(
        "Records of the docking of {ship} in {dock}, with tables, drawings, findings and a report that were worked out from \
         them. start-here.html shows it in a web browser, README.txt says how to read and check it."
    )];
    about.extend(archive.statement().map(str::to_string));
    about.extend(cautions::FIRST.map(str::to_string));
    let license = match around::terms_id(archive) {
        Some(id) => link(&id),
        None => "Not recorded: the record does not say under which terms it may be used.".into(),
    };
    let usage = [
        (around::PERSONAL_DATA, archive.personal_data.is_some()),
        (around::RETENTION, archive.keep_for.is_some()),
    ];
    let usage = usage.into_iter().filter(|(_, is_recorded)| *is_recorded).map(|(id, _)| id);
    let mentioned = people.ids().into_iter().map(str::to_string);
    let kept_as = archive.identifier.as_ref().map(|_| KEPT_AS);
    let plans = archive.plans.as_ref().map(|_| around::PLANS.to_string());
    Entity::new(ROOT, &["Dataset"])
        .with("name", format!("{ship} in {dock}: record of a dry-docking"))
        .with("description", about.join(" "))
        .with("datePublished", on.as_str())
        .with("dateCreated", on.as_str())
        .with("license", license)
        .with_some("temporalCoverage", interval(told.examined.project.days()))
        .with_some("conditionsOfAccess", archive.access.as_deref())
        .naming("identifier", [IDENTIFIER].into_iter().chain(kept_as))
        .naming("about", [around::SHIP])
        .naming("spatialCoverage", [around::DOCK])
        .naming("author", people.preparer(docking))
        .naming("sourceOrganization", docking.ship.owner.as_ref().map(|_| around::OWNER))
        .naming("contactPoint", around::has_contact(archive).then_some(around::CONTACT))
        .naming("isPartOf", archive.collection.as_ref().map(|_| around::COLLECTION))
        .naming("isBasedOn", archive.originals.as_ref().map(|_| around::ORIGINALS))
        .naming("usageInfo", usage)
        .naming("mentions", mentioned.chain(plans).chain(acted))
        .naming("hasPart", files::at_the_top(told))
}
