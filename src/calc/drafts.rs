//! A draught survey: from readings at the marks to displacement, trim, list, hog and centre of gravity.

use super::formula::Formula;
use super::hydrostatics::{Row, Table};

/// How readings become drafts.
pub const CARRY: Formula = Formula {
    name: "drafts at the perpendiculars",
    title: "From the marks to the perpendiculars",
    says: "list: `tan(list) = sum(d (T_port - T_starboard)) / sum(d^2)` over the pairs, T the drafts of a \
           pair and d the distance athwart between them; each reading less `y tan(list)`; `slope = (T_aft - \
           T_forward) / distance of those marks`; each draft carried along the slope to AP, amidships, FP; a \
           reading that does not fit the list of the others is set aside; `trim = A - F`; `hog = (A + F) / 2 \
           - M`; `quarter mean = (F + 6 M + A) / 8`",
    source: "UNECE Code of Uniform Standards and Procedures for the Performance of Draught Surveys, \
             ECE/ENERGY/19 (1992)",
};

/// How drafts become displacement.
pub const DISPLACEMENT: Formula = Formula {
    name: "displacement by draught survey",
    title: "Displacement from the drafts",
    says: "table at the quarter mean + first trim correction `(100 t TPC (x_amidships - x_LCF)) / L` + \
           second trim correction `(50 t^2 D) / L`, D the MCT 0.5 m over that draft less the MCT 0.5 m under \
           it, t less the table's own trim; all times `density of the water / density of the table`; `draft \
           at the LCF = quarter mean + (t (x_amidships - x_LCF)) / L`, which takes three quarters of the hog \
           off the line between the ends",
    source: "UNECE Code of Uniform Standards and Procedures for the Performance of Draught Surveys, \
             ECE/ENERGY/19 (1992)",
};

/// How the centre of gravity follows from the trim.
pub const CENTRE_OF_GRAVITY: Formula = Formula {
    name: "centre of gravity from trim",
    title: "Longitudinal centre of gravity from the trim",
    says: "`x_G = x_LCB - (100 t MCT) / displacement`, LCB and MCT from the table at the displacement, t \
           less the table's own trim",
    source: "moment to change trim, as in Barrass and Derrett, Ship Stability for Masters and Mates",
};

/// The shape that hog or sag gives the keel afloat.
pub const HOGGED_KEEL: Formula = Formula {
    name: "shape of a hogged keel",
    title: "Shape of the keel afloat",
    says: "the keel lies `hog x (1 - (2 (x - x_amidships) / L)^2)` above the straight line through its ends \
           at the perpendiculars, below it with sag; straight where no draft amidships was read",
    source: "a parabola, since three drafts give one bend and no more (our choice)",
};

/// Where the perpendiculars are, x in hull axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Perpendiculars {
    pub aft_x_m: f64,
    /// Forward perpendicular, m; more than the aft one.
    pub forward_x_m: f64,
}

impl Perpendiculars {
    /// Length between them, m.
    pub fn length_m(&self) -> f64 {
        self.forward_x_m - self.aft_x_m
    }

    pub fn amidships_x_m(&self) -> f64 {
        (self.aft_x_m + self.forward_x_m) / 2.0
    }

    /// How far the keel of a ship hogged by `hog_m` (sag negative) lies above the straight line through her
    /// ends at x, m, by [`HOGGED_KEEL`]: 0 at the perpendiculars, the hog amidships.
    pub fn hog_at_m(&self, hog_m: f64, x_m: f64) -> f64 {
        let from_amidships = 2.0 * (x_m - self.amidships_x_m()) / self.length_m();
        hog_m * (1.0 - from_amidships * from_amidships)
    }
}

/// One reading of a draft mark, m, in hull axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    pub x_m: f64,
    pub y_m: f64,
    /// Draft above the underside of the keel.
    pub draft_m: f64,
}

/// What the readings give.
#[derive(Debug, Clone, PartialEq)]
pub struct Drafts {
    pub aft_m: f64,
    pub forward_m: f64,
    /// Draft amidships, m; `None` where no mark stands near amidships.
    pub amidships_m: Option<f64>,
    /// Trim over the perpendiculars, m, + by the stern.
    pub trim_m: f64,
    /// List, degrees, + to port; `None` where no mark was read on both sides.
    pub list_deg: Option<f64>,
    /// How far that may be off where each mark is misread by [`READ_TO_M`], degrees; 0 without a list.
    pub list_sure_to_deg: f64,
    /// Hog, m, sag negative.
    pub hog_m: Option<f64>,
    /// Quarter mean; without a draft amidships the mean of the ends, m.
    pub mean_m: f64,
    /// The places that were read on both sides, from aft to forward; all readings are in them.
    pub pairs: Vec<Pair>,
    /// A reading that was set aside, by its number in the caller's list.
    pub set_aside: Option<usize>,
}

/// Marks at one place along the ship that were read at more than one y.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    pub x_m: f64,
    /// How far apart athwart the outermost marks stand, m.
    pub athwart_m: f64,
    /// Draft at the port end less draft at the starboard end, m.
    pub difference_m: f64,
    /// What that difference would be by the list of the middle one (the median) of all pairs, m;
    /// `None` with fewer than three pairs, which can't tell a slip from a list.
    pub by_list_m: Option<f64>,
    /// How many times the tolerance of a reading that difference may be off before it is a slip: marks that stand close
    /// athwart give the list less exactly. At least 1, to a tenth.
    pub list_spread: f64,
}

impl Drafts {
    /// Draft at a place along the straight line through the drafts at the perpendiculars, m.
    pub fn at_x_m(&self, x_m: f64, perpendiculars: &Perpendiculars) -> f64 {
        self.aft_m - self.trim_m * (x_m - perpendiculars.aft_x_m) / perpendiculars.length_m()
    }
}

/// What a draft mark is read to in still water, m (common practice, no source).
pub const READ_TO_M: f64 = 0.01;
/// Marks closer than this to each other along the ship are read as one place, m.
const SAME_PLACE_M: f64 = 1.0;
/// Marks stand amidships if within this part of the length of it.
const NEAR_AMIDSHIPS: f64 = 0.15;

fn is_amidships(x_m: f64, perpendiculars: &Perpendiculars) -> bool {
    (x_m - perpendiculars.amidships_x_m()).abs() <= NEAR_AMIDSHIPS * perpendiculars.length_m()
}

/// Works out the drafts. `None` without marks both in the aft and the forward third of the length.
///
/// Where at least three places were read on both sides and just one of them does not fit the list by
/// more than `slip_m` times its [`Pair::list_spread`], one of its two readings is a slip: the one is set aside without
/// which the hull is the less hogged or sagged, since a slip of a decimetre makes a hog that no hull has.
pub fn drafts(
    readings: &[Reading],
    perpendiculars: &Perpendiculars,
    slip_m: f64,
) -> Option<Drafts> {
    let all = survey(readings, perpendiculars)?;
    let slips = |drafts: &Drafts| -> Vec<Pair> {
        let off = |pair: &&Pair| {
            let most_m = slip_m * pair.list_spread + 1e-9;
            pair.by_list_m.is_some_and(|by_list| (pair.difference_m - by_list).abs() > most_m)
        };
        drafts.pairs.iter().filter(off).copied().collect()
    };
    let [slip] = slips(&all)[..] else { return Some(all) };
    let without = (0..readings.len())
        .filter(|n| (readings[*n].x_m - slip.x_m).abs() <= SAME_PLACE_M)
        .filter_map(|n| {
            let mut rest = readings.to_vec();
            rest.remove(n);
            Some((n, survey(&rest, perpendiculars)?))
        })
        .filter(|(_, drafts)| drafts.hog_m.is_some())
        .min_by(|a, b| {
            let hog = |d: &Drafts| d.hog_m.unwrap_or(f64::INFINITY).abs();
            hog(&a.1).total_cmp(&hog(&b.1))
        });
    match without {
        Some((n, drafts)) => Some(Drafts { pairs: all.pairs, set_aside: Some(n), ..drafts }),
        None => Some(all),
    }
}

fn survey(readings: &[Reading], perpendiculars: &Perpendiculars) -> Option<Drafts> {
    let length = perpendiculars.length_m();
    if readings.is_empty() || length <= 0.0 {
        return None;
    }
    let places = places(readings);
    let tan = list_tan(&places);
    // Each place's draft on the centreline: the mean of its readings, each less what the list adds.
    let centred: Vec<(f64, f64)> = places
        .iter()
        .map(|place| {
            let count = place.len() as f64;
            let x = place.iter().map(|reading| reading.x_m).sum::<f64>() / count;
            let draft = place
                .iter()
                .map(|r| r.draft_m - r.y_m * tan.map_or(0.0, |(tan, _)| tan))
                .sum::<f64>()
                / count;
            (x, draft)
        })
        .collect();
    let (aft, forward) = (centred.first()?, centred.last()?);
    let third = length / 3.0;
    if aft.0 > perpendiculars.aft_x_m + third || forward.0 < perpendiculars.forward_x_m - third {
        return None;
    }
    let slope = (aft.1 - forward.1) / (forward.0 - aft.0);
    let carry = |from: &(f64, f64), to_x: f64| from.1 - slope * (to_x - from.0);
    let aft_m = carry(aft, perpendiculars.aft_x_m);
    let forward_m = carry(forward, perpendiculars.forward_x_m);
    let middle = perpendiculars.amidships_x_m();
    let amidships_m = centred
        .iter()
        .filter(|place| is_amidships(place.0, perpendiculars))
        .min_by(|a, b| (a.0 - middle).abs().total_cmp(&(b.0 - middle).abs()))
        .map(|place| carry(place, middle));
    Some(Drafts {
        aft_m,
        forward_m,
        amidships_m,
        trim_m: aft_m - forward_m,
        list_deg: tan.map(|(tan, _)| libm::atan(tan).to_degrees()),
        list_sure_to_deg: tan.map_or(0.0, |(_, sure_to)| libm::atan(sure_to).to_degrees()),
        hog_m: amidships_m.map(|m| (aft_m + forward_m) / 2.0 - m),
        mean_m: match amidships_m {
            Some(m) => (forward_m + 6.0 * m + aft_m) / 8.0,
            None => (forward_m + aft_m) / 2.0,
        },
        pairs: pairs(&places),
        set_aside: None,
    })
}

/// The readings by place along the ship, from aft to forward.
fn places(readings: &[Reading]) -> Vec<Vec<Reading>> {
    let mut sorted = readings.to_vec();
    sorted.sort_by(|a, b| a.x_m.total_cmp(&b.x_m).then(a.y_m.total_cmp(&b.y_m)));
    let mut places: Vec<Vec<Reading>> = Vec::new();
    for reading in sorted {
        match places.last_mut() {
            Some(place) if reading.x_m - place[0].x_m <= SAME_PLACE_M => place.push(reading),
            _ => places.push(vec![reading]),
        }
    }
    places
}

fn pairs(places: &[Vec<Reading>]) -> Vec<Pair> {
    let mut pairs: Vec<Pair> = places
        .iter()
        .filter_map(|place| {
            let port = place.iter().max_by(|a, b| a.y_m.total_cmp(&b.y_m))?;
            let starboard = place.iter().min_by(|a, b| a.y_m.total_cmp(&b.y_m))?;
            let athwart_m = port.y_m - starboard.y_m;
            (athwart_m > 0.1).then(|| Pair {
                x_m: place.iter().map(|reading| reading.x_m).sum::<f64>() / place.len() as f64,
                athwart_m,
                difference_m: port.draft_m - starboard.draft_m,
                by_list_m: None,
                list_spread: 1.0,
            })
        })
        .collect();
    let slope = |pair: &Pair| (pair.difference_m / pair.athwart_m, pair.athwart_m);
    let mut slopes: Vec<(f64, f64)> = pairs.iter().map(slope).collect();
    slopes.sort_by(|a, b| a.0.total_cmp(&b.0));
    if slopes.len() >= 3 {
        let middle = slopes.len() / 2;
        let (median, athwart_m) = if slopes.len() % 2 == 1 {
            slopes[middle]
        } else {
            let [(less, a), (more, b)] = [slopes[middle - 1], slopes[middle]];
            ((less + more) / 2.0, f64::min(a, b))
        };
        for pair in &mut pairs {
            pair.by_list_m = Some(median * pair.athwart_m);
            pair.list_spread = f64::max(1.0, (10.0 * pair.athwart_m / athwart_m).round() / 10.0);
        }
    }
    pairs
}

/// Tangent of the list from every place that was read at more than one y, and by how much misread marks can put it off.
fn list_tan(places: &[Vec<Reading>]) -> Option<(f64, f64)> {
    let (mut products, mut squares, mut levers) = (0.0, 0.0, 0.0);
    for place in places {
        let count = place.len() as f64;
        let y = place.iter().map(|reading| reading.y_m).sum::<f64>() / count;
        let draft = place.iter().map(|reading| reading.draft_m).sum::<f64>() / count;
        for reading in place {
            products += (reading.y_m - y) * (reading.draft_m - draft);
            squares += (reading.y_m - y) * (reading.y_m - y);
            levers += (reading.y_m - y).abs();
        }
    }
    (squares > 0.01).then(|| (products / squares, READ_TO_M * levers / squares))
}

/// Displacement and its parts, t, in the water in which she floats unless said otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Displacement {
    /// From the table at the mean draft, in the table's water.
    pub from_table_t: f64,
    /// First trim correction, in the table's water.
    pub first_t: f64,
    /// Second trim correction, in the table's water.
    pub second_t: f64,
    pub displacement_t: f64,
    /// Draft at the centre of flotation, m, three quarters of the hog taken off the line between the ends as the
    /// quarter mean does: that of a straight ship which displaces as much. Reported, not used twice.
    pub draft_at_lcf_m: f64,
    /// The table at the corrected displacement (in the table's water).
    pub row: Row,
    /// Longitudinal centre of gravity, x in hull axes, m.
    pub lcg_x_m: f64,
}

/// Displacement by draught survey in water of a density in t/m3. `None` where the mean draft, or the
/// half metre on each side that the second correction needs, or the corrected displacement lies
/// outside the table.
pub fn displacement(
    drafts: &Drafts,
    perpendiculars: &Perpendiculars,
    table: &Table,
    water_density_t_m3: f64,
) -> Option<Displacement> {
    let at_mean = table.at_draft(drafts.mean_m)?;
    let deeper = table.at_draft(drafts.mean_m + 0.5)?;
    let shallower = table.at_draft(drafts.mean_m - 0.5)?;
    let length = perpendiculars.length_m();
    let trim = drafts.trim_m - table.trim_m;
    let first_t = first_trim_correction_t(
        trim,
        at_mean.tpc_t_per_cm,
        perpendiculars.amidships_x_m() - at_mean.lcf_x_m,
        length,
    );
    let second_t =
        second_trim_correction_t(trim, deeper.mct_tm_per_cm - shallower.mct_tm_per_cm, length);
    let in_table_water = at_mean.displacement_t + first_t + second_t;
    let row = table.at_displacement(in_table_water)?;
    Some(Displacement {
        from_table_t: at_mean.displacement_t,
        first_t,
        second_t,
        displacement_t: in_table_water * water_density_t_m3 / table.water_density_t_m3,
        draft_at_lcf_m: drafts.mean_m
            + drafts.trim_m * (perpendiculars.amidships_x_m() - row.lcf_x_m) / length,
        lcg_x_m: lcg_x_m(row.lcb_x_m, row.mct_tm_per_cm, trim, row.displacement_t),
        row,
    })
}

/// First trim correction, t: trim (m, + by the stern), TPC (t/cm), how far the LCF lies aft of amidships
/// (m), length between perpendiculars (m).
pub fn first_trim_correction_t(
    trim_m: f64,
    tpc: f64,
    lcf_aft_of_amidships_m: f64,
    length_m: f64,
) -> f64 {
    100.0 * trim_m * tpc * lcf_aft_of_amidships_m / length_m
}

/// Second trim correction, t: trim (m), difference of MCT half a metre deeper and half a metre
/// shallower (t m/cm), length between perpendiculars (m).
pub fn second_trim_correction_t(trim_m: f64, mct_difference: f64, length_m: f64) -> f64 {
    50.0 * trim_m * trim_m * mct_difference / length_m
}

/// Longitudinal centre of gravity, x, m, from LCB (x, m), MCT (t m/cm), trim (m, + by the stern) and
/// displacement (t), all in the table's water.
pub fn lcg_x_m(lcb_x_m: f64, mct_tm_per_cm: f64, trim_m: f64, displacement_t: f64) -> f64 {
    lcb_x_m - 100.0 * trim_m * mct_tm_per_cm / displacement_t
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHIP: Perpendiculars = Perpendiculars { aft_x_m: 3.0, forward_x_m: 103.0 };

    /// A ship drawn exactly: draft aft 5.0, forward 4.0, list 1 degree to port, hog 0.04 amidships.
    fn exact() -> Vec<Reading> {
        let tan = libm::tan(1_f64.to_radians());
        [(8.0, 3.0), (54.0, 7.0), (98.0, 2.5)]
            .into_iter()
            .flat_map(|(x, half)| {
                [half, -half].map(|y_m| {
                    let hog = if x == 54.0 { 0.04 } else { 0.0 };
                    let draft_m = 5.0 - (x - 3.0) / 100.0 - hog + y_m * tan;
                    Reading { x_m: x, y_m, draft_m }
                })
            })
            .collect()
    }

    #[test]
    fn an_exact_ship_comes_back() {
        let Some(found) = drafts(&exact(), &SHIP, 0.03) else { panic!("no drafts") };
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} {b}");
        near(found.aft_m, 5.0);
        near(found.forward_m, 4.0);
        near(found.trim_m, 1.0);
        near(found.list_deg.unwrap_or(9.0), 1.0);
        near(found.hog_m.unwrap_or(9.0), 0.04);
        near(found.mean_m, (4.0 + 6.0 * 4.46 + 5.0) / 8.0);
    }

    #[test]
    fn a_mistyped_reading_stands_out() {
        let mut readings = exact();
        readings[4].draft_m -= 0.36;
        let Some(found) = drafts(&readings, &SHIP, 0.03) else { panic!("no drafts") };
        let off: Vec<f64> = found
            .pairs
            .iter()
            .map(|pair| pair.difference_m - pair.by_list_m.unwrap_or(f64::NAN))
            .collect();
        assert!(
            off[0].abs() < 1e-9 && off[1].abs() < 1e-9 && (off[2] + 0.36).abs() < 1e-9,
            "{off:?}"
        );
    }

    /// The marks of a fine run stand closer athwart than those amidships, and a centimetre there is several amidships.
    #[test]
    fn a_list_from_marks_close_athwart_makes_no_slip_of_an_honest_reading() {
        let pair = |x_m: f64, half_m: f64, off_m: f64| {
            let reading = |y_m: f64| Reading { x_m, y_m, draft_m: 4.0 };
            [reading(half_m), Reading { draft_m: 4.0 + off_m, ..reading(-half_m) }]
        };
        let read = |off_m: f64| {
            let readings =
                [pair(2.0, 2.0, 0.015), pair(48.0, 6.9, off_m), pair(95.0, 1.4, 0.02)].concat();
            drafts(&readings, &SHIP, 0.03).expect("drafts").set_aside
        };
        assert_eq!(read(0.0), None, "5 cm off by the list, which is good to 5 cm there");
        assert!(read(0.36).is_some());
    }

    /// By hand: two pairs a metre apart athwart, each mark misread by 10 mm the way that hurts, are off by 20 mm in 1 m.
    #[test]
    fn a_list_is_as_sure_as_its_marks_stand_far_apart() {
        let pair = |x_m: f64, half_m: f64| {
            [half_m, -half_m].map(|y_m| Reading { x_m, y_m, draft_m: 4.0 + 0.01 * y_m.signum() })
        };
        let narrow = [pair(5.0, 0.5), pair(98.0, 0.5)].concat();
        let found = drafts(&narrow, &SHIP, 0.03).expect("drafts");
        let misread = libm::atan(0.02).to_degrees();
        assert!((found.list_sure_to_deg - misread).abs() < 1e-9, "{}", found.list_sure_to_deg);
        // So marks that ought to be alike and are read so show just that list.
        assert!(found.list_deg.is_some_and(|deg| (deg - misread).abs() < 1e-9));
        // Marks on the sides amidships say more than those in the run and the entrance.
        let wide = [pair(5.0, 0.5), pair(53.0, 7.5), pair(98.0, 0.5)].concat();
        let found = drafts(&wide, &SHIP, 0.03).expect("drafts");
        let by_hand = libm::atan(0.01 * 17.0 / (2.0 * (0.25 + 56.25 + 0.25))).to_degrees();
        assert!((found.list_sure_to_deg - by_hand).abs() < 1e-9, "{}", found.list_sure_to_deg);
    }

    #[test]
    fn marks_at_one_end_only_give_nothing() {
        let readings = &exact()[..4];
        assert_eq!(drafts(readings, &SHIP, 0.03), None);
        assert_eq!(drafts(&[], &SHIP, 0.03), None);
    }

    #[test]
    fn one_side_only_is_taken_as_it_is() {
        let port: Vec<Reading> = exact().into_iter().filter(|r| r.y_m > 0.0).collect();
        let Some(found) = drafts(&port, &SHIP, 0.03) else { panic!("no drafts") };
        assert_eq!(found.list_deg, None);
    }

    fn table() -> Table {
        let rows = (0..=40)
            .map(|n| {
                let draft_m = 2.0 + f64::from(n) * 0.1;
                Row {
                    draft_m,
                    displacement_t: 1000.0 * draft_m,
                    lcb_x_m: 53.0,
                    lcf_x_m: 51.0,
                    tpc_t_per_cm: 10.0,
                    mct_tm_per_cm: 40.0 + 8.0 * draft_m,
                    km_m: 7.0,
                }
            })
            .collect();
        match Table::new(rows, 1.025, 0.0) {
            Ok(table) => table,
            Err(wrong) => panic!("{wrong:?}"),
        }
    }

    #[test]
    fn displacement_by_hand() {
        let Some(found) = drafts(&exact(), &SHIP, 0.03) else { panic!("no drafts") };
        let Some(out) = displacement(&found, &SHIP, &table(), 1.0) else {
            panic!("no displacement")
        };
        let mean = (4.0 + 6.0 * 4.46 + 5.0) / 8.0;
        let in_salt = 1000.0 * mean + 100.0 * 10.0 * 2.0 / 100.0 + 50.0 * 8.0 / 100.0;
        assert!((out.displacement_t - in_salt / 1.025).abs() < 1e-6);
        // On the line between the ends 4.52; the hog of 0.04 lifts three quarters of itself out.
        assert!((out.draft_at_lcf_m - (4.52 - 0.03)).abs() < 1e-9);
        let mct = 40.0 + 8.0 * in_salt / 1000.0;
        assert!((out.lcg_x_m - (53.0 - 100.0 * mct / in_salt)).abs() < 1e-9);
    }

    #[test]
    fn outside_the_table_nothing_is_given() {
        let Some(mut found) = drafts(&exact(), &SHIP, 0.03) else { panic!("no drafts") };
        found.mean_m = 5.7;
        assert!(displacement(&found, &SHIP, &table(), 1.0).is_none());
        found.mean_m = 2.3;
        assert!(displacement(&found, &SHIP, &table(), 1.0).is_none());
    }
}
