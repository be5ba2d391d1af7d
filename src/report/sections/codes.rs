//! Codes that mean more than one thing: a zone called as blocks or openings begin.

use crate::records::Project;
use crate::text;
use crate::text::{Text, and, id};

/// Which zones share their names with blocks or openings, in a sentence; `None` where none does.
pub(super) fn shared(project: &Project) -> Option<Text> {
    let blocks: Vec<&str> = project.blocks.iter().map(|block| block.id.as_str()).collect();
    let openings: Vec<&str> = project.openings.iter().map(|opening| opening.id.as_str()).collect();
    let (mut zones, mut others): (Vec<&str>, Vec<Text>) = (Vec::new(), Vec::new());
    for zone in &project.zones {
        for (what, ids) in [("block", &blocks), ("opening", &openings)] {
            match alike(&zone.id, ids)[..] {
                [] => continue,
                [only] => others.push(text!("the {} {}", what, id(only))),
                [first, .., last] => {
                    others.push(text!("the {}s {} to {}", what, id(first), id(last)))
                }
            }
            if zones.last() != Some(&zone.id.as_str()) {
                zones.push(&zone.id);
            }
        }
    }
    let (are, what) = if zones.len() == 1 { ("is", "a zone") } else { ("are", "zones") };
    (!zones.is_empty()).then(|| {
        let others = Text::listed(others);
        text!("{} {} {} of the coating; {} only begin alike.", and(&zones), are, what, others)
    })
}

/// The ids that are a zone's name, or its name and a number.
fn alike<'a>(zone: &str, ids: &[&'a str]) -> Vec<&'a str> {
    let is_alike = |of: &&&str| {
        let rest = of.strip_prefix(zone);
        rest.is_some_and(|rest| rest.bytes().all(|byte| byte.is_ascii_digit()))
    };
    ids.iter().filter(is_alike).copied().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::memory;
    use crate::text::System;

    fn told(zones: &[&str], blocks: &[&str]) -> Option<String> {
        let docking = "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n\
                       [period]\nbegan = 2031-04-01\nended = 2031-04-20\noffset = \"+01:00\"\n";
        let zones: String = zones.iter().map(|zone| format!("{zone},side\n")).collect();
        let blocks = blocks.iter().enumerate();
        let blocks: String =
            blocks.map(|(n, block)| format!("{block},keel,{},0,0.4,1\n", 10 + 2 * n)).collect();
        let project = memory::project(&[
            ("docking.toml", docking.to_string()),
            ("coating/zones.csv", format!("zone,kind\n{zones}")),
            ("plan/blocks.csv", format!("block,row,station_m,offset_m,length_m,width_m\n{blocks}")),
        ]);
        shared(&project).map(|text| text.shown(System::Si).replace('\u{a0}', " "))
    }

    #[test]
    fn zones_called_as_blocks_begin_are_named_with_them() {
        assert_eq!(
            told(&["BS", "KL", "K"], &["K1", "K2", "BS1", "KX"]).as_deref(),
            Some(
                "BS and K are zones of the coating; the block BS1 and the blocks K1 to K2 only begin alike."
            )
        );
        assert_eq!(told(&["BS", "KL"], &["K1", "K2", "BSX"]), None);
    }
}
