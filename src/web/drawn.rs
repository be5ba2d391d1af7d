//! A drawing as the address of an image: the SVG that stands in the bundle, written with fewer characters. A page
//! holds twenty of them, so that what they take decides how large it is.
//!
//! Lengths are rounded to a hundredth of a millimetre, a twenty-fifth of a pixel of CSS. What a run of elements has in
//! common is written once for all of them, and lines drawn alike and one after the other become one path. What is
//! painted, and in which order, stays the same.

use std::fmt::Write;

/// The address (RFC 2397) by which an `img` element shows a drawing.
pub fn address(svg: &str) -> String {
    let mut address = String::from("data:image/svg+xml,");
    for c in shortened(svg).chars() {
        // The code points that an address may hold as they are (WHATWG URL, section 4.3), but for `&`, which costs
        // more in HTML, and `%`.
        if c.is_ascii_alphanumeric() || "!$'()*+,-./:;=?@_~".contains(c) || c >= '\u{a0}' {
            address.push(c);
        } else {
            // The rest is ASCII: a canvas drops control characters.
            let _ = write!(address, "%{:02X}", u32::from(c));
        }
    }
    address
}

/// The same picture in fewer characters. Lines that are not a canvas's elements are kept as they are.
pub(super) fn shortened(svg: &str) -> String {
    let mut short = String::with_capacity(svg.len() / 2);
    let mut run: Vec<Element> = Vec::new();
    for line in svg.lines() {
        let Some(element) = Element::read(line) else {
            write_run(&mut short, &mut run);
            short.push_str(&line.replacen("<svg ", "<svg fill=\"none\" ", 1));
            continue;
        };
        match run.last_mut() {
            Some(last) if last.style != element.style => {
                write_run(&mut short, &mut run);
                run.push(element);
            }
            Some(last) if last.is_line() && element.is_line() => last.rings.extend(element.rings),
            _ => run.push(element),
        }
    }
    write_run(&mut short, &mut run);
    short
}

/// Elements of one style, within a group that has it where they are several.
fn write_run(short: &mut String, run: &mut Vec<Element>) {
    if let [one] = run.as_slice() {
        one.write(short, &one.style);
    } else if let [first, ..] = run.as_slice() {
        short.push_str("<g");
        write_attributes(short, &first.style);
        short.push('>');
        run.iter().for_each(|element| element.write(short, &[]));
        short.push_str("</g>");
    }
    run.clear();
}

fn write_attributes(short: &mut String, attributes: &[(&str, String)]) {
    for (name, value) in attributes {
        let _ = write!(short, " {name}='{value}'");
    }
}

/// Corners in hundredths of a millimetre, and whether the last is joined to the first.
#[derive(Default)]
struct Ring {
    corners: Vec<(i64, i64)>,
    closed: bool,
}

/// One line of a canvas: a path, a circle or a text.
struct Element<'a> {
    name: &'a str,
    /// Where it is.
    place: Vec<(&'a str, String)>,
    /// Where a path goes, instead.
    rings: Vec<Ring>,
    /// How it is drawn.
    style: Vec<(&'a str, String)>,
    /// What stands between its tags.
    content: Option<&'a str>,
}

impl<'a> Element<'a> {
    /// `None` for what a canvas does not write on a line, which is then left alone.
    fn read(line: &'a str) -> Option<Self> {
        let name = ["path", "circle", "text"]
            .into_iter()
            .find(|name| line.strip_prefix('<').is_some_and(|rest| rest.starts_with(name)))?;
        let mut rest = &line[1 + name.len()..];
        let mut element =
            Self { name, place: Vec::new(), rings: Vec::new(), style: Vec::new(), content: None };
        while let Some(attribute) = rest.strip_prefix(' ') {
            let (attribute_name, after) = attribute.split_once("=\"")?;
            let (value, after) = after.split_once('"')?;
            rest = after;
            if value.contains('\'') {
                return None;
            }
            match attribute_name {
                "d" => element.rings = rings(value)?,
                "x" | "y" | "cx" | "cy" | "r" => {
                    element.place.push((attribute_name, length(hundredths(value)?)));
                }
                "transform" => element.place.push((attribute_name, value.to_string())),
                // The drawing's own element says it for all.
                "fill" if value == "none" => {}
                _ => element.style.push((attribute_name, shorter(value))),
            }
        }
        // A triangle or a quadrilateral is filled alike by either rule, a line not at all.
        let is_plain = matches!(element.rings.as_slice(), [ring] if ring.corners.len() <= 4);
        if is_plain || element.is_line() {
            element.style.retain(|(name, _)| *name != "fill-rule");
        }
        element.content = match rest {
            "/>" => None,
            _ => Some(rest.strip_prefix('>')?.strip_suffix("</text>")?),
        };
        Some(element)
    }

    /// Whether it is a path that is not filled.
    fn is_line(&self) -> bool {
        self.name == "path" && !self.style.iter().any(|(name, _)| *name == "fill")
    }

    fn write(&self, short: &mut String, style: &[(&str, String)]) {
        let name = self.name;
        let _ = write!(short, "<{name}");
        if name == "path" {
            let _ = write!(short, " d='{}'", path(&self.rings));
        }
        write_attributes(short, &self.place);
        write_attributes(short, style);
        match self.content {
            Some(content) => {
                let _ = write!(short, ">{content}</{name}>");
            }
            None => short.push_str("/>"),
        }
    }
}

/// The rings of a path of `M`, `L` and `Z` with absolute places.
fn rings(path: &str) -> Option<Vec<Ring>> {
    let mut rings: Vec<Ring> = Vec::new();
    let mut rest = path;
    while let Some(command) = rest.chars().next() {
        let end = rest[1..].find(['M', 'L', 'Z']).map_or(rest.len(), |at| at + 1);
        let (step, after) = rest.split_at(end);
        rest = after;
        if command == 'Z' {
            rings.last_mut()?.closed = true;
            continue;
        }
        let (x, y) = step.strip_prefix(['M', 'L'])?.split_once(' ')?;
        if command == 'M' {
            rings.push(Ring::default());
        }
        rings.last_mut()?.corners.push((hundredths(x)?, hundredths(y)?));
    }
    Some(rings)
}

/// A path with each corner told from the one before, and each ring from where the last one ended if that is shorter.
fn path(rings: &[Ring]) -> String {
    let mut path = String::new();
    let (mut x, mut y) = (0, 0);
    for ring in rings {
        let Some((first, further)) = ring.corners.split_first() else { continue };
        let absolute = format!("M{}", pair(first.0, first.1));
        let relative = format!("m{}", pair(first.0 - x, first.1 - y));
        path.push_str(if relative.len() < absolute.len() && !path.is_empty() {
            &relative
        } else {
            &absolute
        });
        (x, y) = *first;
        for corner in further {
            let (dx, dy) = (corner.0 - x, corner.1 - y);
            path.push_str(&match (dx, dy) {
                // A line of no length is a dot where its ends are round.
                (_, 0) => format!("h{}", length(dx)),
                (0, _) => format!("v{}", length(dy)),
                _ => format!("l{}", pair(dx, dy)),
            });
            (x, y) = *corner;
        }
        if ring.closed {
            path.push('z');
            (x, y) = *first;
        }
    }
    path
}

/// Two lengths; a minus keeps them apart as well as a comma does.
fn pair(x: i64, y: i64) -> String {
    let comma = if y < 0 { "" } else { "," };
    format!("{}{comma}{}", length(x), length(y))
}

/// A length in millimetres as hundredths.
fn hundredths(mm: &str) -> Option<i64> {
    let mm: f64 = mm.parse().ok()?;
    (mm.abs() < 1e9).then(|| (mm * 100.0).round() as i64)
}

fn length(hundredths: i64) -> String {
    let sign = if hundredths < 0 { "-" } else { "" };
    let (whole, part) = (hundredths.unsigned_abs() / 100, hundredths.unsigned_abs() % 100);
    match (whole, part) {
        (0, 0) => "0".to_string(),
        (_, 0) => format!("{sign}{whole}"),
        _ => {
            let whole = if whole == 0 { String::new() } else { whole.to_string() };
            format!("{sign}{whole}.{}", format!("{part:02}").trim_end_matches('0'))
        }
    }
}

/// A colour or a number as short as it may be.
fn shorter(value: &str) -> String {
    if let Some(colour) = value.strip_prefix('#').map(str::as_bytes)
        && let [a, b, c, d, e, f] = colour
        && (a, c, e) == (b, d, f)
    {
        return ['#', char::from(*a), char::from(*c), char::from(*e)].iter().collect();
    }
    value.strip_prefix("0.").map_or(value.to_string(), |part| format!(".{part}"))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::report::figures;

    #[test]
    fn an_address_holds_only_what_it_may() {
        let svg = "<svg a=\"'b'\">\n<title>1 &amp; 2 % #\u{e9}</title>\n</svg>\n";
        assert_eq!(
            address(svg),
            "data:image/svg+xml,%3Csvg%20fill=%22none%22%20a=%22'b'%22%3E%3Ctitle%3E1%20%26amp;%202%20%25%20%23\u{e9}\
             %3C/title%3E%3C/svg%3E"
        );
    }

    #[test]
    fn what_elements_share_is_written_once() {
        let tick = |x: &str| {
            format!(
                "<path d=\"M{x} 12L{x} 11.204\" fill=\"none\" fill-rule=\"evenodd\" stroke=\"#000000\" stroke-width=\"0.13\"/>\n"
            )
        };
        let svg = format!(
            "{}{}<text x=\"0.5\" y=\"-0.002\" fill=\"#1d4a73\">a</text>\n<text x=\"1\" y=\"2\" fill=\"#1d4a73\">b</text>\n",
            tick("12.167"),
            tick("16.167")
        );
        assert_eq!(
            shortened(&svg),
            "<path d='M12.17,12v-.8m4,.8v-.8' stroke='#000' stroke-width='.13'/>\
             <g fill='#1d4a73'><text x='.5' y='0'>a</text><text x='1' y='2'>b</text></g>"
        );
    }

    #[test]
    fn what_is_filled_is_not_joined_and_keeps_the_rule_of_its_holes() {
        let square = "M0 0L1 0L1 1L0 1Z";
        let filled =
            |d: &str| format!("<path d=\"{d}\" fill=\"#ffffff\" fill-rule=\"evenodd\"/>\n");
        let svg = filled(square) + &filled(square) + &filled(&format!("{square}{square}"));
        assert_eq!(
            shortened(&svg),
            "<g fill='#fff'><path d='M0,0h1v1h-1z'/><path d='M0,0h1v1h-1z'/></g>\
             <path d='M0,0h1v1h-1zM0,0h1v1h-1z' fill='#fff' fill-rule='evenodd'/>"
        );
    }

    #[test]
    fn lines_that_are_none_of_a_canvass_elements_stay() {
        for line in ["<path d=\"M0 0C1 1\"/>", "<text x=\"a\">b</text>", "<g transform=\"x\">"] {
            assert_eq!(shortened(line), line);
        }
    }

    /// What a drawing paints, in its order: how, what, its text, and corners or places in millimetres.
    type Painted = (BTreeMap<String, String>, String, Vec<Vec<(f64, f64)>>);

    fn painted(svg: &str) -> Vec<Painted> {
        let document = roxmltree::Document::parse(svg).expect("well-formed XML");
        let nodes = document.descendants().filter(|node| {
            ["rect", "path", "circle", "text"].iter().any(|name| node.has_tag_name(*name))
        });
        let mut all = Vec::new();
        for node in nodes {
            let mut style = BTreeMap::from([("fill-rule".to_string(), "nonzero".to_string())]);
            let above: Vec<roxmltree::Node> = node.ancestors().collect();
            for attribute in above.iter().rev().flat_map(|node| node.attributes()) {
                style.insert(attribute.name().to_string(), shorter(attribute.value()));
            }
            let mut take = |name: &str| style.remove(name);
            let path = take("d").map(|d| corners(&d)).unwrap_or_default();
            let places: Vec<f64> = ["cx", "cy", "r", "x", "y"]
                .map(&mut take)
                .iter()
                .flatten()
                .map(|at| at.parse().expect("a length"))
                .collect();
            let place = places.into_iter().map(|at| (at, 0.0)).collect();
            let text = format!("{} {}", node.tag_name().name(), node.text().unwrap_or_default());
            if path.iter().all(|ring| ring.len() <= 5) && path.len() <= 1 || style["fill"] == "none"
            {
                style.remove("fill-rule");
            }
            if style["fill"] == "none" && node.has_tag_name("path") {
                all.extend(path.into_iter().map(|ring| (style.clone(), text.clone(), vec![ring])));
            } else {
                all.push((style, text, path.into_iter().chain([place]).collect()));
            }
        }
        all
    }

    /// The corners of a path by SVG 1.1, section 8.3, of the commands that are used here.
    fn corners(path: &str) -> Vec<Vec<(f64, f64)>> {
        let mut rings: Vec<Vec<(f64, f64)>> = Vec::new();
        let mut at = (0.0, 0.0);
        for step in path.split_inclusive(|_| true).fold(Vec::<String>::new(), |mut steps, c| {
            match steps.last_mut() {
                Some(last) if !c.chars().all(char::is_alphabetic) => last.push_str(c),
                _ => steps.push(c.to_string()),
            }
            steps
        }) {
            let numbers: Vec<f64> = step[1..]
                .replace('-', " -")
                .split([' ', ','])
                .filter(|number| !number.is_empty())
                .map(|number| number.parse().expect("a number"))
                .collect();
            at = match (&step[..1], numbers.as_slice()) {
                ("M" | "L", [x, y]) => (*x, *y),
                ("m" | "l", [x, y]) => (at.0 + x, at.1 + y),
                ("h", [x]) => (at.0 + x, at.1),
                ("v", [y]) => (at.0, at.1 + y),
                ("z" | "Z", []) => rings.last().expect("a ring")[0],
                other => panic!("{other:?} in {path}"),
            };
            match &step[..1] {
                "M" | "m" => rings.push(vec![at]),
                _ => rings.last_mut().expect("a ring").push(at),
            }
        }
        rings
    }

    #[test]
    fn the_samples_drawings_paint_the_same_in_two_thirds_of_the_characters() {
        let (mut long, mut brief) = (0, 0);
        for drawing in figures::drawings(&figures::tests::sample()) {
            let short = shortened(&drawing.svg);
            let (before, after) = (painted(&drawing.svg), painted(&short));
            assert_eq!(before.len(), after.len(), "{}", drawing.name);
            for ((style, text, places), (style_now, text_now, places_now)) in
                before.iter().zip(&after)
            {
                assert_eq!((style, text), (style_now, text_now), "{}", drawing.name);
                let flat = |places: &[Vec<(f64, f64)>]| -> Vec<f64> {
                    places.iter().flatten().flat_map(|(x, y)| [*x, *y]).collect()
                };
                let (before, after) = (flat(places), flat(places_now));
                assert_eq!(before.len(), after.len(), "{} {text}", drawing.name);
                let apart =
                    before.iter().zip(&after).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
                assert!(apart < 0.005_001, "{} {text}: {apart} mm", drawing.name);
            }
            long += drawing.svg.len();
            brief += address(&drawing.svg).len();
        }
        assert!(long > 500_000 && brief * 3 < long * 2, "{brief} of {long}");
    }
}
