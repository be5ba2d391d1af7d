//! *Quillmere*: a small sailing ship of iron on twelve keel blocks and a few shores, in one position; sparse records in US
//! units, and a table of hydrostatics from an old book, rounded coarsely.

use crate::afloat::Ship;
use crate::coating::{self, Coat, Coating, Rule};
use crate::docking::{self, Docking};
use crate::hull::Form;
use crate::judge::Record;
use crate::landing;
use crate::plan::{self, Opening, Plan};
use crate::steel;
use crate::yard::{Truth, Yard};

static YARD: Yard = Yard {
    name: "Quillmere",
    is_us: true,
    ship: Ship {
        form: Form {
            aft_x_m: 0.6,
            fore_x_m: 33.2,
            run_m: 15.0,
            entrance_m: 12.0,
            breadth_m: 6.9,
            bilge_m: 2.6,
            flat: 0.06,
        },
        aft_perpendicular_x_m: 1.5,
        forward_perpendicular_x_m: 32.5,
        mass_t: 262.0,
        centre_m: [17.15, 0.002, 2.55],
        hog_m: 0.0,
    },
    length_overall_m: 33.8,
    marks: &[(2.4, 0.5), (31.2, 0.5)],
    table_m: [1.8288, 3.6576, 0.1524],
    water_t_m3: 1.018,
    floor_m: -4.2,
    sill_m: -3.6,
    full_m: 1.2,
    declivity: 0.0,
    first_x_m: 3.4,
    spacing_m: 2.3,
    count: 12,
    cap_m: [0.305, 0.61],
    height_m: 1.22,
    bilge: &[],
    keel_m: &[(2.0, 0.0), (26.0, 0.0), (31.0, 0.015)],
    flat_keel_m: 0.15,
    flat_keel_x_m: [2.6, 31.0],
    bottom_z_m: 0.9,
    stations_m: &[8.2],
    moved: &[&[
        ("spare yards and sails landed", -4.1, [16.0, 0.2, 4.2]),
        ("pig ballast restowed, put in", 3.0, [14.0, 0.0, 0.6]),
    ]],
    layers: [
        &[("oak", 0.9, 0.18, 0.4), ("pine", 0.32, 0.18, 0.3)],
        &[("oak", 0.9, 0.18, 0.4), ("pine", 0.32, 0.18, 0.3)],
    ],
    girder: (0.05, 0.03),
    coats: 3,
    log_min: 20,
};

const PLAN: Plan = Plan {
    heights: false,
    tops_of_one_in: 1,
    bearing_limit_kpa: None,
    openings: &[
        Opening { id: "SC1", kind: "sea-chest", x_m: 12.0, y_m: 1.1, size_m: [0.3, 0.25] },
        Opening { id: "OB1", kind: "overboard", x_m: 20.0, y_m: -1.6, size_m: [0.1, 0.0] },
        Opening { id: "RD1", kind: "rudder", x_m: 1.6, y_m: 0.0, size_m: [0.2, 0.0] },
    ],
};

const COATING: Coating = Coating {
    coats: &[
        Coat {
            product: "RED",
            generic_type: "epoxy anticorrosive, red",
            dft_um: 150.0,
            solids_pct: 70.0,
        },
        Coat {
            product: "GREY",
            generic_type: "epoxy anticorrosive, grey",
            dft_um: 150.0,
            solids_pct: 70.0,
        },
        Coat {
            product: "BROWN",
            generic_type: "antifouling, brown",
            dft_um: 100.0,
            solids_pct: 50.0,
        },
    ],
    keel_m: 0.61,
    sides: false,
    air_c: [17.0, 4.0],
    climate_h: 4,
    readings: 3,
    rule: Rule::SspcPa2,
    stripes: false,
    cross_cuts: None,
    holidays: None,
};

const DOCKING: Docking = Docking {
    people: &[
        ("Abel Thornquist", "dockmaster"),
        ("Ines Marrowby", "shipwright"),
        ("Tobit Swale", "paint inspector"),
    ],
    frame_m: None,
    datum_x_m: 17.0,
    bounds: &[
        ("limits.gm", 0.5, "ft"),
        ("limits.trim", 3.0, "ft"),
        ("limits.list", 1.5, "deg"),
        ("limits.knuckle_load", 40.0, "lt"),
        ("limits.dewatering_rate", 6.0, "ft_per_h"),
        ("limits.opening_clearance", 6.0, "in"),
        ("limits.feathering", 1.0, "in"),
        ("limits.never_exposed", 40.0, "ft2"),
    ],
    rule: Some(Rule::SspcPa2),
};

const INSPECTOR: &str = "Tobit Swale";
const SHIPWRIGHT: &str = "Ines Marrowby";

/// As books of the time have it: half a foot from row to row, whole tons, tenths of a foot.
const TABLE: &str = "draft_m:2/2 displacement_t:0/0 lcb_m:2/1 lcf_m:2/1 tpc_t_per_cm:2/1 mct_tm_per_cm:2/0 km_m:2/1";

pub fn record(variant: u64) -> Record {
    let truth = Truth::new(&YARD, variant);
    let zones = coating::drawn(&truth, &COATING);
    let files = [
        ("docking.toml", docking::docking(&truth, &DOCKING)),
        ("plan/blocks.csv", plan::blocks(&truth, &PLAN)),
        ("plan/bottom.csv", plan::bottom(&YARD)),
        ("plan/keel.csv", plan::keel(&truth)),
        ("plan/openings.csv", plan::openings(&truth, &PLAN, None, &[SHIPWRIGHT])),
        ("positions/positions.csv", plan::positions(&truth, false)),
        ("positions/marks.csv", plan::sightings(&truth, &[SHIPWRIGHT])),
        ("landing/hydrostatics.csv", landing::hydrostatics(&truth, TABLE, DOCKING.datum_x_m)),
        ("landing/drafts.csv", landing::drafts(&truth, SHIPWRIGHT)),
        ("landing/water.csv", landing::water(&truth)),
        ("landing/moved.csv", landing::moved(&truth)),
        ("coating/zones.csv", coating::zones(&truth, &zones)),
        ("coating/scheme.csv", coating::scheme(&truth, &COATING, &zones)),
        ("coating/products.toml", coating::products(&COATING)),
        ("coating/preparation.csv", coating::preparation(&truth, &zones, [SHIPWRIGHT, INSPECTOR])),
        ("coating/coats.csv", coating::coats(&truth, &COATING, &zones, SHIPWRIGHT)),
        ("coating/climate.csv", coating::climate(&truth, &COATING, INSPECTOR)),
        ("coating/gauges.csv", coating::gauges(&truth, &COATING, INSPECTOR)),
        ("coating/film.csv", coating::film(&truth, &COATING, &zones, INSPECTOR)),
        ("hull/instruments.csv", steel::instruments(&truth, INSPECTOR)),
        ("hull/plating.csv", steel::plating(&truth, &[("A-P", 0.4), ("A-S", -0.4)], INSPECTOR)),
    ];
    Record::new(&truth, files)
}

/// What stands on blocks in the only position gets no paint.
pub fn beyond(finding: &str) -> bool {
    finding.starts_with("coating.zone.") && finding.ends_with(".complete")
}
