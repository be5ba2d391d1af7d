//! Bags that another program made (RFC 8493): whether one is sound by its own manifests, and whether a bundle is in it.
//!
//! An archive that receives a bundle often puts it into a bag of its own, with the zip or the unpacked folder as the
//! payload. Such a bag is judged, and the digests used are reported; nothing is ever fetched.

use std::collections::BTreeMap;

use encoding_rs::{Encoding, UTF_8};

use super::bag;
use super::error::{BundleError, first_few};
use super::layout;
use super::manifests::{self, Algorithm, FETCH, Fetch, Found, Listing, Listings, State};
use super::open::Bundle;
use super::version;
use crate::records::{docking, plain, supplement};

/// Zips in a bag that are looked into, at most.
const MOST_LOOKED_INTO: usize = 16;

/// What the bag's metadata was called before version 0.96.
const FORMER_INFO: &str = "package-info.txt";

/// Versions of BagIt before 1.0 that were published.
const FORMER: [&str; 5] = ["0.93", "0.94", "0.95", "0.96", "0.97"];

/// Whether a bag is a bundle of this program, or what is left of one: it states the format, or holds or lists what
/// every bundle has.
pub fn holds_record(bundle: &Bundle) -> bool {
    let docking = format!("{}{}", layout::RECORDS, docking::SPEC.path);
    let text = |path: &str| bundle.text(path).unwrap_or_default();
    bag::info_value(&text(layout::BAG_INFO), version::LABEL).is_some()
        || [docking.as_str(), layout::FINDINGS_JSON].iter().any(|path| bundle.has(path))
        || layout::MANIFESTS.iter().any(|manifest| text(manifest).contains(&docking))
}

/// Whether a bag is a supplement, or what is left of one.
pub fn is_supplement(bundle: &Bundle) -> bool {
    let info = bundle.text(layout::BAG_INFO).unwrap_or_default();
    bag::info_value(&info, version::SUPPLEMENT_LABEL).is_some()
        || bundle.has(&format!("{}{}", layout::RECORDS, supplement::PATH))
}

/// Refuses what is no supplement.
pub fn refuse_no_supplement(bundle: &Bundle) -> Result<(), BundleError> {
    if is_supplement(bundle) {
        return Ok(());
    }
    let advice =
        "name a supplement that lastdock supplement wrote, and the bundle where the bundle belongs";
    Err(BundleError::new(&bundle.at, "is no supplement", advice))
}

/// Bundles in the payload of a bag, by their paths: zips, and folders that they were unpacked to. A zip is looked
/// into where the bag is a folder; in a zip it is taken for one if its seal stands beside it.
pub fn bundles_in(bundle: &Bundle) -> Vec<String> {
    let docking = format!("{}{}", layout::RECORDS, docking::SPEC.path);
    let payload =
        || bundle.sizes().map(|(path, _)| path).filter(|path| path.starts_with(layout::DATA));
    let folder = |path: &str| {
        let at = path.strip_suffix(layout::BAGIT)?;
        let holds = [docking.as_str(), layout::FINDINGS_JSON];
        let is_bundle = holds.iter().any(|inside| bundle.has(&format!("{at}{inside}")));
        (is_bundle && at.ends_with('/')).then(|| at.trim_end_matches('/').to_string())
    };
    let folders: Vec<String> = payload().filter_map(folder).collect();
    let outside = |path: &&str| !folders.iter().any(|at| path.starts_with(&format!("{at}/")));
    let zips = payload().filter(|path| path.to_ascii_lowercase().ends_with(".zip"));
    let is_bundle = |path: &&str| {
        let stem = path.get(..path.len() - ".zip".len()).unwrap_or_default();
        let at = bundle.at.join(path);
        bundle.has(&format!("{stem}-seal.txt"))
            || bundle.at.is_dir() && Bundle::open(&at).is_ok_and(|inner| holds_record(&inner))
    };
    let zips = zips.filter(outside).take(MOST_LOOKED_INTO).filter(is_bundle).map(String::from);
    folders.iter().cloned().chain(zips).collect()
}

/// Refuses a bag that holds no docking record of its own, and says where in it a bundle is.
pub fn refuse(bundle: &Bundle) -> Result<(), BundleError> {
    if holds_record(bundle) {
        return Ok(());
    }
    if is_supplement(bundle) {
        return Err(BundleError::new(
            &bundle.at,
            "is a supplement, and holds no docking record of its own",
            "name the bundle that it supplements; its data/records/supplement.toml says which",
        ));
    }
    let inside = bundles_in(bundle);
    let wrong = "is a bag that holds no docking record of its own";
    let Some(first) = inside.first() else {
        let advice = "name a bundle that lastdock closeout wrote; lastdock verify says whether this bag is sound";
        return Err(BundleError::new(&bundle.at, wrong, advice));
    };
    let wrong = format!("{wrong}; inside it there is {}", inside.join(", "));
    let advice = if bundle.at.is_dir() {
        format!("name that one: {}", bundle.at.join(first).display())
    } else {
        format!(
            "unpack it with any zip tool, then name {first} in the folder that it was unpacked to"
        )
    };
    Err(BundleError::new(&bundle.at, wrong, advice))
}

/// What is found about a bag that another program made.
#[derive(Debug)]
pub struct Judged {
    /// The version of BagIt that it states, as it stands there.
    pub version: String,
    /// The algorithms of the payload manifests that every file of the payload was compared with.
    pub algorithms: Vec<Algorithm>,
    /// Each file and how it was found, by path. Tag files need not be listed.
    pub files: BTreeMap<String, State>,
    /// How many missing files `fetch.txt` lists.
    pub to_be_fetched: usize,
    /// What is wrong beside single files, in sentences.
    pub wrong: Vec<String>,
    /// What was not checked, in sentences.
    pub unchecked: Vec<String>,
    /// Why files could not be read though nothing is known to be wrong with them, by path.
    pub unread: BTreeMap<String, String>,
    /// That tag files are listed by no tag manifest, which the standard allows, in a sentence.
    pub unlisted: Option<String>,
    /// Bytes read.
    pub bytes: u64,
}

impl Judged {
    /// Whether every file of the payload is what the manifests say, and nothing else is wrong.
    pub fn is_sound(&self) -> bool {
        self.wrong.is_empty() && !self.algorithms.is_empty() && self.not_well().next().is_none()
    }

    /// Whether something was found to be wrong, apart from files that the system did not let be read.
    pub fn is_damaged(&self) -> bool {
        let damaged = |(_, state): (&str, State)| state != State::Unchecked;
        !self.wrong.is_empty() || self.not_well().any(damaged)
    }

    /// The files that are not whole. Tag files need not be listed.
    pub fn not_well(&self) -> impl Iterator<Item = (&str, State)> {
        self.files.iter().map(|(path, state)| (path.as_str(), *state)).filter(|(path, state)| {
            let may_be = *state == State::NotListed && !path.starts_with(layout::DATA);
            *state != State::Whole && !may_be
        })
    }

    /// Whether every algorithm used is weak against deliberate change.
    pub fn is_weak(&self) -> bool {
        self.algorithms.iter().all(|algorithm| algorithm.is_weak())
    }
}

/// Reads every byte of a bag once and judges it by its own manifests. `progress` is called with the bytes read.
pub fn judge(bundle: &Bundle, progress: &(dyn Fn(u64) + Sync)) -> Judged {
    let mut wrong = bundle.odd.clone();
    let declared = Declared::read(bundle, &mut wrong);
    let text = |path: &str| declared.text(bundle, path);
    let mut listings = Listings::read(bundle, &[], text);
    wrong.append(&mut listings.wrong);
    let (paths, too_much) = manifests::within_oxum(bundle);
    let found = manifests::digest_all(bundle, &paths, &listings.algorithms(), progress);
    let mut files: BTreeMap<String, State> = found
        .iter()
        .map(|(path, found)| (path.clone(), state_of(path, found, &listings, &declared)))
        .collect();
    files.extend(too_much.iter().map(|path| (path.to_string(), State::TooMuch)));
    for path in listings.known.iter().flat_map(|listing| listing.manifest.digests.keys()) {
        files.entry(path.clone()).or_insert(State::Missing);
    }
    if listings.listing(false).next().is_none() {
        wrong.push(match listings.unknown.is_empty() {
            true => "it has no manifest of its payload".to_string(),
            false => "it has no manifest of its payload that this program can check".to_string(),
        });
    }
    if bundle.at.is_dir() && !bundle.at.join(layout::DATA).is_dir() {
        wrong.push("it has no data folder".to_string());
    }
    wrong.extend(manifests_unlisted(&files, &listings));
    let to_be_fetched = fetched(bundle, &listings, text, &mut wrong);
    check_info(bundle, &declared, to_be_fetched > 0, &mut wrong);

    let unchecked = listings.unknown.iter().map(|name| not_computed(name)).collect();
    let not_listed = |(path, state): &(&String, &State)| {
        **state == State::NotListed && !path.starts_with(layout::DATA)
    };
    let unlisted: Vec<&str> =
        files.iter().filter(not_listed).map(|(path, _)| path.as_str()).collect();
    let unlisted = (!unlisted.is_empty()).then(|| {
        format!(
            "no tag manifest lists {}, which the standard allows: whether that is whole is not known",
            first_few(unlisted.iter().map(|path| path.escape_debug().to_string()), ", ")
        )
    });
    let algorithms = listings.listing(false).map(|listing| listing.algorithm).collect();
    let bytes = found.values().flatten().map(manifests::FileDigests::size).sum();
    let version = declared.version;
    let unread = unread(&found);
    if unread.keys().any(|path| !path.starts_with(layout::DATA)) {
        // Without a tag file nothing is known of what it lists or declares.
        wrong.clear();
        for state in files.values_mut().filter(|state| **state != State::Changed) {
            *state = State::Unchecked;
        }
    }
    Judged { version, algorithms, files, to_be_fetched, wrong, unchecked, unread, unlisted, bytes }
}

/// Files that the system did not let be read, and why.
fn unread(found: &BTreeMap<String, Found>) -> BTreeMap<String, String> {
    let of_the_system = found.iter().filter_map(|(path, found)| {
        let error = found.as_ref().err().filter(|error| plain::is_of_the_system(error))?;
        Some((path.clone(), error.to_string()))
    });
    of_the_system.collect()
}

/// That a manifest could not be checked.
fn not_computed(name: &str) -> String {
    format!("{name} was not checked: this program does not compute its digest")
}

/// Compares the files of a bundle with additional manifests, such as an archive may have added, and adds to `wrong` what
/// is wrong with `fetch.txt`. Returns the names of manifests that could not be checked.
pub fn check_more_manifests(
    bundle: &Bundle,
    files: &mut BTreeMap<String, State>,
    unchecked: &mut BTreeMap<String, String>,
    wrong: &mut Vec<String>,
) -> Vec<String> {
    let own: Vec<&str> = layout::MANIFESTS.into_iter().chain(layout::TAG_MANIFESTS).collect();
    let text = |path: &str| bundle.text(path).map_err(|error| format!("can't be read: {error}"));
    let mut more = Listings::read(bundle, &own, text);
    wrong.append(&mut more.wrong);
    if bundle.has(FETCH) {
        let all = Listings::read(bundle, &[], text);
        let lacking = fetched(bundle, &all, text, wrong);
        if lacking > 0 {
            wrong.push(format!(
                "{FETCH} lists where {lacking} of the missing files could be fetched; nothing is fetched"
            ));
        }
    }
    if !more.known.is_empty() {
        let (paths, _) = manifests::within_oxum(bundle);
        let found = manifests::digest_all(bundle, &paths, &more.algorithms(), &|_| {});
        unchecked.extend(unread(&found));
        let declared = Declared { version: NOW.to_string(), encoding: UTF_8 };
        for (path, found) in &found {
            let is_payload = path.starts_with(layout::DATA);
            if let Some(state) = files.get_mut(path).filter(|state| **state == State::Whole) {
                match state_of(path, found, &more, &declared) {
                    State::NotListed if !is_payload || more.listing(false).next().is_none() => {}
                    other => *state = other,
                }
            }
        }
        for path in more.known.iter().flat_map(|listing| listing.manifest.digests.keys()) {
            files.entry(path.clone()).or_insert(State::Missing);
        }
    }
    more.unknown.iter().map(|name| not_computed(name)).collect()
}

/// How a file was found. Every manifest of the payload must list every file of it, before version 1.0 one of them
/// (sections 2.1.3 and 6); where a tag file is listed it must be what is listed.
fn state_of(path: &str, found: &Found, listings: &Listings, declared: &Declared) -> State {
    let digests = match found {
        Ok(digests) => digests,
        Err(error) if plain::is_of_the_system(error) => return State::Unchecked,
        Err(_) => return State::Unreadable,
    };
    if manifests::is_tag_manifest(path) {
        return State::Whole;
    }
    let is_tag = !path.starts_with(layout::DATA);
    let (mut listed, mut not_listed) = (false, false);
    for Listing { algorithm, manifest, .. } in listings.listing(is_tag) {
        match manifest.digests.get(path) {
            Some(digest) if digests.by(*algorithm) == Some(digest.as_str()) => listed = true,
            Some(_) => return State::Changed,
            None => not_listed = true,
        }
    }
    let one_is_enough = is_tag || declared.is_former();
    if listed && (one_is_enough || !not_listed) { State::Whole } else { State::NotListed }
}

/// Every tag manifest must list every manifest of the payload (section 2.2.1).
fn manifests_unlisted(files: &BTreeMap<String, State>, listings: &Listings) -> Vec<String> {
    let mut wrong = Vec::new();
    for tags in listings.listing(true) {
        let payload = files.keys().filter(|path| manifests::is_payload_manifest(path));
        for path in payload.filter(|path| !tags.manifest.digests.contains_key(*path)) {
            wrong.push(format!("{} does not list {path}, as every tag manifest must", tags.name));
        }
    }
    wrong
}

/// How many files are missing that `fetch.txt` names; what is wrong with it is added.
fn fetched(
    bundle: &Bundle,
    listings: &Listings,
    text: impl Fn(&str) -> Result<String, String>,
    wrong: &mut Vec<String>,
) -> usize {
    if !bundle.has(FETCH) {
        return 0;
    }
    match text(FETCH) {
        Err(why) => {
            wrong.push(format!("{FETCH} {why}"));
            0
        }
        Ok(text) => {
            let lists: Vec<_> = listings.listing(false).map(|listing| &listing.manifest).collect();
            let mut fetch = Fetch::read(&text, &lists);
            wrong.append(&mut fetch.wrong);
            fetch.lacking(bundle)
        }
    }
}

/// The version of RFC 8493.
const NOW: &str = "1.0";

/// What `bagit.txt` declares.
struct Declared {
    version: String,
    encoding: &'static Encoding,
}

impl Declared {
    /// Reads the two lines; what is wrong with them is added (section 2.1.1).
    fn read(bundle: &Bundle, wrong: &mut Vec<String>) -> Self {
        const LABELS: [&str; 2] = ["BagIt-Version", "Tag-File-Character-Encoding"];
        let mut declared = Self { version: NOW.to_string(), encoding: UTF_8 };
        let name = layout::BAGIT;
        let text = match bundle.text(name) {
            Ok(text) => text,
            Err(error) => {
                wrong.push(format!("{name} is not there or can't be read: {error}"));
                return declared;
            }
        };
        let lines: Vec<&str> = text.lines().filter(|line| !line.trim().is_empty()).collect();
        let value = |number: usize| {
            let (label, value) = lines.get(number)?.split_once(':')?;
            (label.trim() == LABELS[number]).then(|| value.trim().to_string())
        };
        let (Some(version), Some(encoding), 2) = (value(0), value(1), lines.len()) else {
            wrong.push(format!(
                "{name} is not the two lines {} and {}, in this order",
                LABELS[0], LABELS[1]
            ));
            return declared;
        };
        declared.version = version;
        if declared.version == NOW {
            let exact = format!("{}: {NOW}\n{}: {encoding}", LABELS[0], LABELS[1]);
            if lines.join("\n") != exact {
                wrong.push(format!("{name} has other blanks than BagIt {NOW} allows"));
            }
        } else if !declared.is_former() {
            let version = declared.version.escape_debug();
            wrong
                .push(format!("{name} states version {version}, which this program does not know"));
        }
        match Encoding::for_label(encoding.as_bytes()) {
            Some(known) => declared.encoding = known,
            None => wrong.push(format!(
                "{name} states the encoding {}, which this program does not know: tag files were read as UTF-8",
                encoding.escape_debug()
            )),
        }
        declared
    }

    /// Whether it is a version before 1.0.
    fn is_former(&self) -> bool {
        FORMER.contains(&self.version.as_str())
    }

    /// A tag file's text; or why there is none.
    fn text(&self, bundle: &Bundle, path: &str) -> Result<String, String> {
        let bytes = bundle.read(path).map_err(|error| format!("can't be read: {error}"))?;
        let (text, malformed) = if self.encoding == UTF_8 {
            self.encoding.decode_without_bom_handling(&bytes)
        } else {
            let (text, _, malformed) = self.encoding.decode(&bytes);
            (text, malformed)
        };
        match malformed {
            true => Err(format!("is not {} text", self.encoding.name())),
            false => Ok(text.into_owned()),
        }
    }
}

/// The metadata: lines of a label and a value, and a Payload-Oxum that fits (section 2.2.2). It may be lacking.
fn check_info(bundle: &Bundle, declared: &Declared, incomplete: bool, wrong: &mut Vec<String>) {
    let name = match bundle.has(layout::BAG_INFO) {
        false if declared.is_former() && bundle.has(FORMER_INFO) => FORMER_INFO,
        false => return,
        true => layout::BAG_INFO,
    };
    let text = match declared.text(bundle, name) {
        Ok(text) => text,
        Err(why) => return wrong.push(format!("{name} {why}")),
    };
    let lines = || text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty());
    let label =
        |line: &str| line.split_once(':').map(|(label, _)| label.trim().to_ascii_lowercase());
    for (number, line) in lines() {
        let goes_on = number > 0 && line.starts_with([' ', '\t']);
        if !goes_on && label(line).is_none_or(|label| label.is_empty()) {
            wrong.push(format!("{name}:{} is not a label, a colon and a value", number + 1));
            break;
        }
    }
    let oxums = lines().filter(|(_, line)| label(line).as_deref() == Some("payload-oxum")).count();
    if oxums > 1 {
        wrong.push(format!("{name} states the Payload-Oxum {oxums} times"));
    }
    let Some(stated) = bag::info_value(&text, "Payload-Oxum").filter(|_| !incomplete) else {
        return;
    };
    let payload = || bundle.sizes().filter(|(path, _)| path.starts_with(layout::DATA));
    let bytes = payload().fold(0_u64, |sum, (_, size)| sum.saturating_add(size));
    let files = payload().count() as u64;
    if manifests::oxum(stated) != Some((bytes, files)) {
        let stated = stated.escape_debug();
        wrong.push(format!(
            "Payload-Oxum states {stated} (bytes.files), but there are {bytes}.{files}"
        ));
    }
}
