//! *Brackwell*: a large paddle steamer on eighty blocks in three rows and in three positions, with long tables and
//! everything recorded, in metres.

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
    name: "Brackwell",
    is_us: false,
    ship: Ship {
        form: Form {
            aft_x_m: 1.0,
            fore_x_m: 116.5,
            run_m: 42.0,
            entrance_m: 38.0,
            breadth_m: 15.8,
            bilge_m: 2.4,
            flat: 0.5,
        },
        aft_perpendicular_x_m: 4.0,
        forward_perpendicular_x_m: 112.0,
        mass_t: 5000.0,
        centre_m: [58.35, 0.006, 5.6],
        hog_m: 0.018,
    },
    length_overall_m: 118.0,
    marks: &[(9.0, 1.6), (58.5, 7.9), (106.5, 1.9)],
    table_m: [2.5, 6.0, 0.05],
    water_t_m3: 1.021,
    floor_m: -8.0,
    sill_m: -6.6,
    full_m: 0.8,
    declivity: 0.0015,
    first_x_m: 9.0,
    spacing_m: 1.8,
    count: 54,
    cap_m: [0.48, 1.36],
    height_m: 1.5,
    bilge: &[Bilge {
        first_x_m: 31.0,
        spacing_m: 5.4,
        count: 11,
        y_m: 4.0,
        cap_m: [0.5, 0.9],
        clearance_m: 0.008,
    }],
    keel_m: &[(6.0, 0.0), (100.0, 0.0), (105.0, 0.008), (108.0, 0.026)],
    flat_keel_m: 0.7,
    flat_keel_x_m: [8.0, 107.0],
    bottom_z_m: 0.4,
    stations_m: &[20.0, 19.4, 18.8],
    moved: &[
        &[
            ("boiler feed water pumped ashore", -42.0, [46.0, 0.0, 2.4]),
            ("anchors and cables ranged on the dock floor", -31.0, [108.0, 0.0, 7.5]),
        ],
        &[
            ("stores for the season", 18.0, [72.0, -0.3, 6.8]),
            ("paddle floats landed", -6.5, [60.0, 0.4, 5.0]),
        ],
        &[
            ("boiler feed water", 40.0, [46.0, 0.0, 2.4]),
            ("anchors and cables hove home", 31.0, [108.0, 0.0, 7.5]),
        ],
    ],
    layers: [
        &[("concrete", 0.7, 0.6, 25.0), ("oak", 0.5, 0.62, 0.35), ("fir", 0.3, 0.62, 0.25)],
        &[("concrete", 0.7, 0.6, 25.0), ("oak", 0.5, 0.45, 0.35), ("fir", 0.3, 0.45, 0.25)],
    ],
    girder: (3.0, 0.28),
    coats: 4,
    log_min: 10,
};

const PLAN: Plan = Plan {
    heights: true,
    tops_of_one_in: 1,
    bearing_limit_kpa: Some(5000.0),
    openings: &[
        Opening { id: "SC1", kind: "sea-chest", x_m: 44.0, y_m: 2.3, size_m: [0.8, 0.6] },
        Opening { id: "SC2", kind: "sea-chest", x_m: 44.0, y_m: -2.3, size_m: [0.8, 0.6] },
        Opening { id: "IN1", kind: "intake", x_m: 52.0, y_m: 1.8, size_m: [0.2, 0.0] },
        Opening { id: "IN2", kind: "intake", x_m: 66.0, y_m: -3.0, size_m: [0.15, 0.0] },
        Opening { id: "OB1", kind: "overboard", x_m: 71.0, y_m: 4.6, size_m: [0.2, 0.0] },
        Opening { id: "OB2", kind: "overboard", x_m: 49.0, y_m: -4.7, size_m: [0.25, 0.0] },
        Opening { id: "DP1", kind: "docking-plug", x_m: 28.0, y_m: 1.3, size_m: [0.06, 0.0] },
        Opening { id: "DP2", kind: "docking-plug", x_m: 82.0, y_m: -1.3, size_m: [0.06, 0.0] },
        Opening { id: "LG1", kind: "speed-log", x_m: 90.0, y_m: 1.2, size_m: [0.1, 0.0] },
    ],
};

const COATING: Coating = Coating {
    coats: &[
        Coat {
            product: "EP1",
            generic_type: "epoxy anticorrosive, grey",
            dft_um: 125.0,
            solids_pct: 72.0,
        },
        Coat {
            product: "EP2",
            generic_type: "epoxy anticorrosive, red",
            dft_um: 125.0,
            solids_pct: 72.0,
        },
        Coat {
            product: "TC3",
            generic_type: "epoxy tie coat, buff",
            dft_um: 75.0,
            solids_pct: 60.0,
        },
        Coat {
            product: "AF4",
            generic_type: "antifouling, black",
            dft_um: 120.0,
            solids_pct: 55.0,
        },
    ],
    keel_m: 0.9,
    sides: true,
    air_c: [14.0, 3.5],
    climate_h: 3,
    readings: 3,
    rule: Rule::Iso19840,
    stripes: true,
    cross_cuts: Some(3),
    holidays: None,
};

const DOCKING: Docking = Docking {
    people: &[
        ("Oswin Tarrabrook", "dockmaster"),
        ("Philippa Gorsedene", "naval architect"),
        ("Esau Linklatter", "diving supervisor"),
        ("Margery Holloe", "foreman of the block gang"),
        ("Cuthbert Annerley", "coating inspector"),
    ],
    frame_m: Some(0.61),
    datum_x_m: 58.0,
    bounds: &[
        ("limits.gm", 0.3, "m"),
        ("limits.trim", 0.9, "m"),
        ("limits.list", 1.0, "deg"),
        ("limits.knuckle_load", 220.0, "t"),
        ("limits.end_gap", 0.06, "m"),
        ("limits.dewatering_rate", 1.8, "m_per_h"),
        ("limits.opening_clearance", 200.0, "mm"),
        ("limits.position_from_plan", 0.08, "m"),
        ("limits.feathering", 30.0, "mm"),
        ("limits.preparation_age", 12.0, "h"),
        ("limits.paint_least", 95.0, "pct"),
        ("limits.paint_greatest", 150.0, "pct"),
        ("limits.anode_loss", 75.0, "pct"),
        ("limits.bearing_pressure", 5000.0, "kpa"),
        ("limits.bending_moment", 60_000.0, "knm"),
        ("limits.shear_force", 12_000.0, "kn"),
        ("limits.floor_load", 160.0, "t_per_m"),
        ("limits.floor_pressure", 5500.0, "kpa"),
        // A hundredth of her displacement, as `bounds.rs` has it for a smaller ship.
        ("tolerances.displacement", 60.0, "t"),
    ],
    rule: Some(Rule::Iso19840),
};

const DOCKMASTER: &str = "Oswin Tarrabrook";
const ARCHITECT: &str = "Philippa Gorsedene";
const DIVERS: &str = "Esau Linklatter";
const FOREMAN: &str = "Margery Holloe";
const INSPECTOR: &str = "Cuthbert Annerley";

const TABLE: &str = "draft_m:2/2 displacement_t:1/1 lcb_m:3/3 lcf_m:3/3 tpc_t_per_cm:3/3 mct_tm_per_cm:2/2 km_m:3/3";

pub fn record(variant: u64) -> Record {
    let truth = Truth::new(&YARD, variant);
    let zones = coating::drawn(&truth, &COATING);
    let people = [ARCHITECT, FOREMAN];
    let files = [
        ("docking.toml", docking::docking(&truth, &DOCKING)),
        ("plan/blocks.csv", plan::blocks(&truth, &PLAN)),
        ("plan/layers.csv", plan::layers(&truth)),
        ("plan/bottom.csv", plan::bottom(&YARD)),
        ("plan/keel.csv", plan::keel(&truth)),
        ("plan/openings.csv", plan::openings(&truth, &PLAN, DOCKING.frame_m, &people)),
        ("plan/positions.csv", plan::offers(&truth)),
        ("positions/positions.csv", plan::positions(&truth, true)),
        ("positions/marks.csv", plan::sightings(&truth, &people)),
        ("positions/divers.csv", plan::divers(&truth, DIVERS)),
        ("landing/hydrostatics.csv", landing::hydrostatics(&truth, TABLE, DOCKING.datum_x_m)),
        ("landing/drafts.csv", landing::drafts(&truth, ARCHITECT)),
        ("landing/water.csv", landing::water(&truth)),
        ("landing/moved.csv", landing::moved(&truth)),
        ("landing/weights.csv", landing::weights(&truth)),
        ("landing/stiffness.csv", landing::stiffness(&truth)),
        ("landing/buoyancy.csv", landing::buoyancy(&truth)),
        ("landing/gaps.csv", landing::gaps(&truth, true, [DIVERS, FOREMAN])),
        ("landing/holds.csv", landing::holds(&truth, [DOCKMASTER, DIVERS, FOREMAN])),
        ("landing/checks.csv", landing::checks(&truth, [DIVERS, FOREMAN])),
        ("landing/stops.csv", landing::stops(&truth)),
        ("coating/zones.csv", coating::zones(&truth, &zones)),
        ("coating/scheme.csv", coating::scheme(&truth, &COATING, &zones)),
        ("coating/products.toml", coating::products(&COATING)),
        ("coating/preparation.csv", coating::preparation(&truth, &zones, [FOREMAN, INSPECTOR])),
        ("coating/coats.csv", coating::coats(&truth, &COATING, &zones, FOREMAN)),
        ("coating/climate.csv", coating::climate(&truth, &COATING, INSPECTOR)),
        ("coating/gauges.csv", coating::gauges(&truth, &COATING, INSPECTOR)),
        ("coating/film.csv", coating::film(&truth, &COATING, &zones, INSPECTOR)),
        ("coating/stripes.csv", coating::stripes(&truth, &COATING, &zones, FOREMAN)),
        ("coating/tests.csv", coating::tests(&truth, 3, &zones, None, INSPECTOR)),
        ("hull/instruments.csv", steel::instruments(&truth, INSPECTOR)),
        ("hull/repairs.csv", steel::repairs(&truth, "SP", FOREMAN)),
        ("hull/plating.csv", steel::plating(&truth, &STRAKES, INSPECTOR)),
        ("hull/anodes.csv", steel::anodes(&truth, 11.0, INSPECTOR)),
    ];
    Record::new(&truth, files)
}

const STRAKES: [(&str, f64); 4] = [("A-P", 0.25), ("A-S", -0.25), ("C-P", 0.6), ("C-S", -0.6)];

pub fn beyond(_: &str) -> bool {
    false
}
