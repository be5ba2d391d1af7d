//! `docking.toml` as it is written.

use std::fmt::Write as _;

use crate::coating::Rule;
use crate::landing::{SALT_T_M3, last_day};
use crate::plan::date;
use crate::sheet::fixed;
use crate::yard::Truth;

/// What only this file says.
pub struct Docking {
    /// The ship's and the dock's people: name and role.
    pub people: &'static [(&'static str, &'static str)],
    /// Frame space, m, of frames from the stern reference point on.
    pub frame_m: Option<f64>,
    /// x of the datum of LCB and LCF.
    pub datum_x_m: f64,
    /// Bounds: whole name, value, unit.
    pub bounds: &'static [(&'static str, f64, &'static str)],
    pub rule: Option<Rule>,
}

pub fn docking(truth: &Truth, docking: &Docking) -> String {
    let yard = truth.yard;
    let ship = &truth.positions[0].ship;
    let mut scatter = truth.scatter("docking.toml");
    let metres = |key: &str, m: f64, decimals: [usize; 2]| match yard.is_us {
        true => format!("{key}_ft = {}\n", fixed(m / 0.3048, decimals[1])),
        false => format!("{key}_m = {}\n", fixed(m, decimals[0])),
    };
    let mut text = "format = 1\n".to_string();
    if yard.is_us {
        text += "units = \"us\"\n";
    }
    let _ = write!(text, "\n[ship]\nname = \"{}\"\n", yard.name);
    text += &metres("length_overall", yard.length_overall_m, [2, 2]);
    text += &metres("length_between_perpendiculars", ship.length_m(), [2, 2]);
    text += &metres("breadth", ship.form.breadth_m, [2, 2]);
    text += &metres("aft_perpendicular_x", ship.aft_perpendicular_x_m, [2, 2]);
    text += &metres("forward_perpendicular_x", ship.forward_perpendicular_x_m, [2, 2]);
    text += &metres("foremost_x", yard.length_overall_m, [2, 2]);
    text += "stern_reference_point = \"aftermost point of the stern, on the centreline\"\nframes_from = \"aft\"\n";
    if let Some(space) = docking.frame_m {
        let _ = write!(
            text,
            "\n[[frames]]\nfrom_frame = 0\nx_m = 0.0\nspacing_mm = {}\n",
            space * 1000.0
        );
    }
    text += "\n[stability]\n";
    text += &metres("kg", ship.centre_m[2] + scatter.within(0.01), [2, 2]);
    text += "source = \"inclining experiment, brought up to date\"\n\n[hydrostatics]\n";
    text += &metres("lcb_lcf_from_x", docking.datum_x_m, [2, 2]);
    let _ = write!(
        text,
        "water_density_t_m3 = {SALT_T_M3}\n\n[dock]\nname = \"the long dock\"\nkind = \"graving dock\"\n"
    );
    text += &metres("floor_level", yard.floor_m, [2, 2]);
    let _ = writeln!(text, "declivity_pct = {}", yard.declivity * 100.0);
    text += &metres("sill_level", yard.sill_m, [2, 2]);
    let _ = write!(
        text,
        "\n[period]\nbegan = {}\nended = {}\noffset = \"+00:00\"\n",
        date(0),
        date(last_day(truth))
    );
    for (name, role) in docking.people {
        let _ = write!(text, "\n[[people]]\nname = \"{name}\"\nrole = \"{role}\"\n");
    }
    let limit = |name: &str, value: f64, unit: &str| {
        format!(
            "\n[{name}]\nvalue = {value}\nunit = \"{unit}\"\nsource = \"docking specification\"\n"
        )
    };
    for (name, value, unit) in docking.bounds {
        text += &limit(name, *value, unit);
    }
    text += match docking.rule {
        None => "",
        Some(Rule::Iso19840) => "\n[film]\nrule = \"iso-19840\"\n",
        Some(Rule::SspcPa2) => {
            "\n[film]\nrule = \"sspc-pa-2\"\nareas = \"us\"\nrestriction_level = 3\n"
        }
        Some(Rule::NinetyTen) => "\n[film]\nrule = \"90-10\"\n",
    };
    text
}
