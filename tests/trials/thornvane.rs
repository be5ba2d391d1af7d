//! *Thornvane*: a flat-bottomed lightship, trimmed and listed, in two positions on a plan of which only a part is recorded:
//! half the tops were levelled, the keel line not at all, and nobody reckoned her buoyancy along her length.

use crate::afloat::Ship;
use crate::coating::{self, Coat, Coating, Rule};
use crate::docking::{self, Docking};
use crate::hull::Form;
use crate::judge::Record;
use crate::landing;
use crate::plan::{self, Opening, Plan};
use crate::steel;
use crate::yard::{Bilge, Truth, Yard};

static YARD: Yard = Yard {
    name: "Thornvane",
    is_us: false,
    ship: Ship {
        form: Form {
            aft_x_m: 0.3,
            fore_x_m: 37.6,
            run_m: 8.0,
            entrance_m: 9.0,
            breadth_m: 8.4,
            bilge_m: 0.9,
            flat: 0.82,
        },
        aft_perpendicular_x_m: 0.8,
        forward_perpendicular_x_m: 36.8,
        mass_t: 600.0,
        centre_m: [18.42, 0.019, 2.6],
        hog_m: 0.0,
    },
    length_overall_m: 38.2,
    marks: &[(2.2, 2.4), (18.8, 4.2), (35.0, 2.2)],
    table_m: [1.2, 3.4, 0.1],
    water_t_m3: 1.012,
    floor_m: -5.0,
    sill_m: -4.1,
    full_m: 0.6,
    declivity: 0.002,
    first_x_m: 3.0,
    spacing_m: 1.5,
    count: 21,
    cap_m: [0.6, 1.0],
    height_m: 1.1,
    bilge: &[Bilge {
        first_x_m: 9.5,
        spacing_m: 3.0,
        count: 7,
        y_m: 2.6,
        cap_m: [0.55, 0.7],
        clearance_m: 0.006,
    }],
    keel_m: &[],
    flat_keel_m: 1.0,
    flat_keel_x_m: [2.2, 35.2],
    bottom_z_m: 0.06,
    stations_m: &[6.0, 5.25],
    moved: &[
        &[("fresh water pumped ashore", -14.0, [12.0, 0.4, 1.0])],
        &[
            ("fresh water", 13.0, [12.0, 0.4, 1.0]),
            ("lantern landed for repair", -1.8, [19.0, 0.0, 11.0]),
        ],
    ],
    layers: [
        &[("oak", 0.8, 0.5, 0.3), ("pine", 0.3, 0.5, 0.2)],
        &[("oak", 0.8, 0.36, 0.3), ("pine", 0.3, 0.36, 0.2)],
    ],
    girder: (0.14, 0.06),
    coats: 2,
    log_min: 15,
};

const PLAN: Plan = Plan {
    heights: true,
    tops_of_one_in: 2,
    bearing_limit_kpa: None,
    openings: &[
        Opening { id: "SC1", kind: "sea-chest", x_m: 13.0, y_m: 1.6, size_m: [0.4, 0.4] },
        Opening { id: "OB1", kind: "overboard", x_m: 21.0, y_m: -3.3, size_m: [0.15, 0.0] },
        Opening { id: "DP1", kind: "docking-plug", x_m: 24.5, y_m: 1.7, size_m: [0.05, 0.0] },
    ],
};

const COATING: Coating = Coating {
    coats: &[
        Coat {
            product: "ONE",
            generic_type: "glass-flake epoxy, black",
            dft_um: 300.0,
            solids_pct: 85.0,
        },
        Coat { product: "TWO", generic_type: "antifouling, red", dft_um: 125.0, solids_pct: 52.0 },
    ],
    keel_m: 1.1,
    sides: false,
    air_c: [21.0, 5.0],
    climate_h: 4,
    readings: 1,
    rule: Rule::NinetyTen,
    stripes: false,
    cross_cuts: None,
    holidays: Some((1, 90.0)),
};

const DOCKING: Docking = Docking {
    people: &[
        ("Ruth Pellinger", "yard manager"),
        ("Amos Dunketh", "foreman"),
        ("Saul Withybrook", "coating inspector"),
        ("Ebba Karslake", "diver"),
    ],
    frame_m: Some(0.5),
    datum_x_m: 18.8,
    bounds: &[
        ("limits.gm", 0.3, "m"),
        ("limits.trim", 0.8, "m"),
        ("limits.list", 2.5, "deg"),
        ("limits.knuckle_load", 60.0, "t"),
        ("limits.dewatering_rate", 1.8, "m_per_h"),
        ("limits.opening_clearance", 150.0, "mm"),
        ("limits.feathering", 30.0, "mm"),
        ("limits.bearing_pressure", 3000.0, "kpa"),
    ],
    rule: Some(Rule::NinetyTen),
};

const MANAGER: &str = "Ruth Pellinger";
const FOREMAN: &str = "Amos Dunketh";
const DIVER: &str = "Ebba Karslake";
const INSPECTOR: &str = "Saul Withybrook";

const TABLE: &str = "draft_m:1/1 displacement_t:0/0 lcb_m:2/2 lcf_m:2/2 tpc_t_per_cm:2/2 mct_tm_per_cm:2/2 km_m:2/2";

pub fn record(variant: u64) -> Record {
    let truth = Truth::new(&YARD, variant);
    let zones = coating::drawn(&truth, &COATING);
    let files = [
        ("docking.toml", docking::docking(&truth, &DOCKING)),
        ("plan/blocks.csv", plan::blocks(&truth, &PLAN)),
        ("plan/layers.csv", plan::layers(&truth)),
        ("plan/bottom.csv", plan::bottom(&YARD)),
        ("plan/openings.csv", plan::openings(&truth, &PLAN, DOCKING.frame_m, &[FOREMAN])),
        ("positions/positions.csv", plan::positions(&truth, false)),
        ("positions/marks.csv", plan::sightings(&truth, &[FOREMAN])),
        ("landing/hydrostatics.csv", landing::hydrostatics(&truth, TABLE, DOCKING.datum_x_m)),
        ("landing/drafts.csv", landing::drafts(&truth, FOREMAN)),
        ("landing/water.csv", landing::water(&truth)),
        ("landing/moved.csv", landing::moved(&truth)),
        ("landing/weights.csv", landing::weights(&truth)),
        ("landing/stiffness.csv", landing::stiffness(&truth)),
        ("landing/checks.csv", landing::checks(&truth, [DIVER, FOREMAN])),
        ("landing/holds.csv", landing::holds(&truth, [MANAGER, DIVER, FOREMAN])),
        ("landing/gaps.csv", landing::gaps(&truth, true, [DIVER, FOREMAN])),
        ("coating/zones.csv", coating::zones(&truth, &zones)),
        ("coating/scheme.csv", coating::scheme(&truth, &COATING, &zones)),
        ("coating/products.toml", coating::products(&COATING)),
        ("coating/preparation.csv", coating::preparation(&truth, &zones, [FOREMAN, INSPECTOR])),
        ("coating/coats.csv", coating::coats(&truth, &COATING, &zones, FOREMAN)),
        ("coating/climate.csv", coating::climate(&truth, &COATING, INSPECTOR)),
        ("coating/gauges.csv", coating::gauges(&truth, &COATING, INSPECTOR)),
        ("coating/film.csv", coating::film(&truth, &COATING, &zones, INSPECTOR)),
        ("coating/tests.csv", coating::tests(&truth, 1, &zones, Some(90.0), INSPECTOR)),
        ("hull/anodes.csv", steel::anodes(&truth, 6.0, INSPECTOR)),
    ];
    Record::new(&truth, files)
}

pub fn beyond(_: &str) -> bool {
    false
}
