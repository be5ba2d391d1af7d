//! `lastdock page`: one file that is the same each time, whose links lead somewhere, and in which people's texts are
//! letters.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use crate::common::{NAME, Project, closed, lastdock, run, sample, small, temporary};

fn page(at: &Path) -> String {
    let folder = temporary();
    let out = folder.path().join("page.html");
    lastdock(["page".as_ref(), at.as_os_str(), "--out".as_ref(), out.as_os_str()]).exits(0);
    fs::read_to_string(out).expect("a page in UTF-8")
}

/// The values of an attribute, in order, as they are written.
fn values<'a>(html: &'a str, attribute: &str) -> Vec<&'a str> {
    let begins = format!(" {attribute}=\"");
    html.split(&begins).skip(1).filter_map(|rest| rest.split('"').next()).collect()
}

/// The page without its scripts and its data, in which strings of other languages stand.
fn markup(html: &str) -> &str {
    html.split("<script id=\"record\"").next().expect("a page")
}

fn from_percent(link: &str) -> String {
    let mut bytes = Vec::new();
    let mut rest = link.as_bytes();
    while let [first, after @ ..] = rest {
        match (first, after) {
            (b'%', [a, b, after @ ..]) => {
                let digits = [*a, *b];
                let digits = std::str::from_utf8(&digits).expect("two digits");
                bytes.push(u8::from_str_radix(digits, 16).expect("two digits"));
                rest = after;
            }
            _ => {
                bytes.push(*first);
                rest = after;
            }
        }
    }
    String::from_utf8(bytes).expect("UTF-8")
}

#[test]
fn every_link_leads_somewhere_and_no_two_things_have_one_place() {
    let html = page(&sample());
    let html = markup(&html);
    let ids = values(html, "id");
    let places: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(ids.len(), places.len(), "an id stands twice");
    let links = values(html, "href");
    assert!(links.len() > 500, "{}", links.len());
    for link in links.iter().filter(|link| !link.starts_with("data:image/jpeg;base64,")) {
        let place =
            link.strip_prefix('#').unwrap_or_else(|| panic!("{link} leads out of the page"));
        assert!(places.contains(from_percent(place).as_str()), "{link} leads nowhere");
    }
    for place in
        ["block.K11", "opening.IN2", "position.P2", "zone.KL", "anode.AN17", "plate.F-S.14"]
    {
        assert!(places.contains(place), "no {place}");
    }
    assert!(places.contains("finding.plan.block.K37.height"));
    // An image that names anything else would be asked for.
    let others: Vec<&str> =
        values(html, "src").into_iter().filter(|src| !src.starts_with("data:image/")).collect();
    assert_eq!(others, Vec::<&str>::new());
    assert_eq!(html.matches("src=\"data:image/svg+xml,").count(), 22);
}

/// A picture stands on the card of what it is about, plates, strakes and frames too, and leads to its own.
#[test]
fn a_picture_stands_on_the_cards_of_what_it_is_about() {
    let project = Project::copied();
    let about = "K12;plate:f-s.14;strake:F-S;Frame:57.5";
    project.edit_cell("papers/papers.csv", "keel-block-k12.png", "about", about);
    let html = page(&project.root());
    for id in ["block.K12", "plate.F-S.14", "strake.F-S", "frame.57.5"] {
        let card = html.split(&format!("<article class=\"card\" id=\"{id}\">")).nth(1);
        let card = card.unwrap_or_else(|| panic!("no card {id}")).split("</article>").next();
        let card = card.expect("a card");
        let link = "<a href=\"#paper.keel-block-k12.png\"><svg class=\"preview\"";
        assert!(card.contains(link), "{id}: {card}");
    }
    // And the picture's card leads back.
    let card = html.split("id=\"paper.keel-block-k12.png\">").nth(1).expect("its card");
    let card = card.split("</article>").next().expect("a card");
    for link in ["#block.K12", "#plate.F-S.14", "#strake.F-S", "#frame.57.5"] {
        assert!(card.contains(&format!("href=\"{link}\"")), "{link}: {card}");
    }
}

/// At most 3 MB, its previews included.
#[test]
fn the_samples_page_is_small_enough_to_be_sent() {
    let html = page(&sample());
    assert!(html.len() < 3_000_000, "{}", html.len());
}

/// What a bundle says is what its project says.
#[test]
fn a_bundle_and_its_project_give_the_same_page() {
    let from_project = page(&sample());
    assert_eq!(from_project, page(&sample()));
    assert_eq!(from_project, page(&closed().zip));
    assert_eq!(from_project, page(&closed().folder));
    let beside = closed().zip.with_file_name(format!("{NAME}-start-here.html"));
    for written in [beside, closed().folder.join("data/start-here.html")] {
        assert_eq!(from_project, fs::read_to_string(written).expect("the closeout's page"));
    }
}

/// The commands that a reader is told to check the page with are about the file that stands beside the bundle.
#[test]
fn the_page_says_how_it_is_checked() {
    let html = page(&sample());
    let beside = closed().zip.with_file_name(format!("{NAME}-start-here.html"));
    let asked = format!("<code>sha256sum \"{NAME}-start-here.html\"</code>");
    assert!(html.contains(&asked), "no {asked}");
    let mut sum = std::process::Command::new("sha256sum");
    let printed = run(sum.arg(&beside)).exits(0).out;
    let digits = printed.split_whitespace().next().expect("digits");
    let manifest = fs::read_to_string(closed().folder.join("manifest-sha256.txt")).expect("it");
    assert!(manifest.contains(&format!("{digits}  data/start-here.html\n")), "{printed}");
}

#[test]
fn a_file_that_differs_is_replaced_only_if_asked() {
    let folder = temporary();
    let out = folder.path().join("page.html");
    fs::write(&out, "mine").expect("a file");
    let (page, small) = ("page".as_ref(), small());
    let said = lastdock([page, small.as_os_str(), "--out".as_ref(), out.as_os_str()]).exits(1);
    assert!(said.err.contains("page.html"), "{}", said.err);
    assert_eq!(fs::read_to_string(&out).expect("the file"), "mine");
    lastdock([page, small.as_os_str(), "--out".as_ref(), out.as_os_str(), "--replace".as_ref()])
        .exits(0);
    assert!(fs::read_to_string(&out).expect("the file").starts_with("<!DOCTYPE html>"));
}

/// Texts that would be markup, an attribute's end, a script's end or a link of their own.
#[test]
fn what_people_wrote_is_letters() {
    const NASTY: &str = "</script><script>alert(1)</script><img src=x onerror=alert(2)>\" onload=\"alert(3) javascript:alert(4) &lt;b&gt;";
    let project = Project::copied();
    let toml = NASTY.replace('\\', "\\\\").replace('"', "\\\"");
    let name = "name = \"Calder Wren\"";
    project.edit("docking.toml", name, &format!("name = \"{toml}\""));
    let csv = format!("\"{}\"", NASTY.replace('"', "\"\""));
    project.edit_cell("papers/papers.csv", "afloat.png", "caption", &csv);
    // What a picture is about is read out to those who can't see it, and its name is where it stands.
    let file = "a' onload='alert(5)' javascript;alert(6) &lt;b&gt;.png";
    fs::rename(project.path("papers/hose-down.png"), project.path(&format!("papers/{file}")))
        .expect("to rename it");
    project.edit("papers/papers.csv", "\nhose-down.png,", &format!("\n{file},"));
    let html = page(&project.root());
    for never in ["<script>alert", "<img src=x", "onload=\"alert"] {
        assert!(!html.contains(never), "{never}");
    }
    assert!(!markup(&html).contains(" onerror=alert(2)>"));
    let named = "<h3>a' onload='alert(5)' javascript;alert(6) &amp;lt;b&amp;gt;.png</h3><svg class=\"preview\"";
    assert!(html.contains(named));
    for begins in ["href=\"javascript", "src=\"javascript", " href='", " src='"] {
        assert!(!markup(&html).contains(begins), "{begins}");
    }
    assert!(html.contains("&lt;/script&gt;&lt;script&gt;alert(1)&lt;/script&gt;"));
    assert!(html.contains("&amp;lt;b&amp;gt;"));
    assert_eq!(html.matches("<script").count(), 2, "the data and the script");
    assert_eq!(html.matches("</script>").count(), 2);
}

/// While she is docked there is no bundle; what is open stands first.
#[test]
fn a_record_that_is_not_closed_says_what_is_open() {
    let project = Project::copied();
    let text = project.text("docking.toml");
    let from = text.find("[closeout]").expect("how it was closed");
    let to = text[from + 1..].find("\n[").map_or(text.len(), |to| from + 1 + to + 1);
    project.write("docking.toml", format!("{}{}", &text[..from], &text[to..]));
    let html = page(&project.root());
    assert!(
        html.contains("There is no bundle of it yet")
            || html.contains("there is no bundle of it yet")
    );
    assert!(values(markup(&html), "id").contains(&"open"));
    assert!(!html.contains("id=\"proof-drop\""));
}
