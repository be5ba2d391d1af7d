//! The hydrostatic table against itself, and against the ship's length and breadth.

use super::finding::{Against, Figure, Finding};
use super::judge::{agrees, differs, unchecked};
use super::naming::count;
use super::recomputed::Recomputed;
use crate::calc::hydrostatics::Row;
use crate::calc::hydrostatics::sizes::{SIZES, Size, Sized};
use crate::calc::hydrostatics::slopes::{Growth, SLOPE, slopes};
use crate::calc::smooth::{FEWEST_ROWS, Misfit, SMOOTH, misfits};
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::bounds::Sort;
use crate::records::hydrostatics::SPEC;
use crate::records::place::Place;
use crate::text;
use crate::text::{Form, Measure, Text};

/// A column of the table.
struct Column {
    name: &'static str,
    form: Form,
    of: fn(&Row) -> f64,
    set: fn(&mut Row, f64),
    /// A value off the curve by no more than this part of itself is left to whoever drew the curve, as is one off by no more
    /// than this much, in the kept unit.
    least: (f64, f64),
}

/// The columns beside the draft, in the order of the file.
const COLUMNS: &[Column] = &[
    Column {
        name: "displacement",
        form: Form::Mass,
        of: |row| row.displacement_t,
        set: |row, value| row.displacement_t = value,
        least: (0.001, 0.0),
    },
    Column {
        name: "LCB",
        form: Form::Length,
        of: |row| row.lcb_x_m,
        set: |row, value| row.lcb_x_m = value,
        least: (0.0, 0.03),
    },
    Column {
        name: "LCF",
        form: Form::Length,
        of: |row| row.lcf_x_m,
        set: |row, value| row.lcf_x_m = value,
        least: (0.0, 0.05),
    },
    Column {
        name: "TPC",
        form: Form::Immersion,
        of: |row| row.tpc_t_per_cm,
        set: |row, value| row.tpc_t_per_cm = value,
        least: (0.005, 0.0),
    },
    Column {
        name: "MCT",
        form: Form::TrimMoment,
        of: |row| row.mct_tm_per_cm,
        set: |row, value| row.mct_tm_per_cm = value,
        least: (0.01, 0.0),
    },
    Column {
        name: "KM",
        form: Form::Length,
        of: |row| row.km_m,
        set: |row, value| row.km_m = value,
        least: (0.002, 0.03),
    },
];

/// Every finding of the hydrostatic table.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let Some(table) = &recomputed.ship.table else { return Vec::new() };
    let rows = table.rows();
    let wrong: Vec<Vec<Misfit>> = COLUMNS.iter().map(|column| off(column, rows)).collect();
    // What is off by itself is told once, and what follows is held against the curve in its place.
    let mut smooth = rows.to_vec();
    for (column, misfits) in COLUMNS.iter().zip(&wrong) {
        for misfit in misfits {
            (column.set)(&mut smooth[misfit.row], misfit.smooth);
        }
    }
    let mut found: Vec<Finding> = smoothness(project, rows, &wrong).into_iter().collect();
    found.extend(growth(project, recomputed, &smooth));
    found.push(sizes(project, recomputed, &smooth));
    // How it was judged is told where it does not agree.
    for finding in found.iter_mut().filter(|finding| !finding.is_troubled()) {
        finding.formula = None;
    }
    found
}

/// Whether the table fits itself and the ship, as far as that can be told.
pub(super) fn is_sound(project: &Project, recomputed: &Recomputed) -> bool {
    !findings(project, recomputed).iter().any(Finding::is_troubled)
}

fn off(column: &Column, rows: &[Row]) -> Vec<Misfit> {
    let drafts: Vec<f64> = rows.iter().map(|row| row.draft_m).collect();
    let values: Vec<f64> = rows.iter().map(column.of).collect();
    let (part, least) = column.least;
    misfits(&drafts, &values, |smooth| (part * smooth.abs()).max(least))
}

fn place(project: &Project, row: usize) -> Place {
    project.hydrostatics.get(row).map_or_else(|| Place::file(SPEC.path), |row| row.place.clone())
}

fn draft(row: &Row) -> Measure {
    Form::Draft.measure(row.draft_m)
}

/// A value of a column; LCB and LCF are told from the table's datum, as they stand there.
fn value(project: &Project, column: &Column, kept: f64) -> Measure {
    let datum_m = project.docking.hydrostatics.as_ref().map_or(0.0, |datum| datum.lcb_lcf_from_x_m);
    let kept = if matches!(column.name, "LCB" | "LCF") { kept - datum_m } else { kept };
    column.form.measure(kept)
}

/// Each row on the curve through its neighbours. `None` where the table has too few rows to tell.
fn smoothness(project: &Project, rows: &[Row], wrong: &[Vec<Misfit>]) -> Option<Finding> {
    const MOST_TOLD: usize = 4;
    if rows.len() < FEWEST_ROWS {
        return None;
    }
    let each = || {
        COLUMNS.iter().zip(wrong).flat_map(|(column, all)| all.iter().map(move |one| (column, one)))
    };
    let mut of_rows: Vec<usize> = each().map(|(_, misfit)| misfit.row).collect();
    of_rows.sort_unstable();
    of_rows.dedup();
    // The row that misfits in most columns first, then in order of draft.
    let columns = |row: usize| each().filter(|(_, misfit)| misfit.row == row).count();
    of_rows.sort_by_key(|row| std::cmp::Reverse(columns(*row)));
    let about = Subject::HydrostaticsSmooth;
    let against = Against {
        sort: Sort::Tolerance,
        name: "smooth".to_string(),
        value: Figure::words("the rows near it, each without it"),
        source: "a hull's curves have no spikes; bends and steps are let pass (our choice)"
            .to_string(),
    };
    let Some(worst) = of_rows.first().copied() else {
        let sentence = text!(
            "The {} of the hydrostatic table lie on smooth curves in all six columns beside the draft.",
            count(rows.len(), "row")
        );
        let found = agrees(sentence).finding(about).against(against).by(&SMOOTH);
        return Some(found.from(project.hydrostatics.first().map(|row| &row.place)));
    };
    let told = |row: &usize| -> Text {
        let own: Vec<(&Column, &Misfit)> =
            each().filter(|(_, misfit)| misfit.row == *row).collect();
        let at = draft(&rows[*row]);
        if own.len() >= 3 {
            let names = Text::listed(own.iter().map(|(column, _)| column.name.into()));
            return text!(
                "at {} {} are all off the curves through the neighbouring rows, as if the draft were wrong",
                at,
                names
            );
        }
        let each = own.iter().map(|(column, misfit)| {
            text!(
                "{} is {}, and the curve through its neighbours gives {}",
                column.name,
                value(project, column, misfit.found),
                value(project, column, misfit.smooth)
            )
        });
        text!("at {} {}", at, Text::joined(each, "; "))
    };
    let mut faults = Text::joined(of_rows.iter().take(MOST_TOLD).map(told), "; ");
    if let Some(more) = of_rows.len().checked_sub(MOST_TOLD).filter(|more| *more > 0) {
        faults.extend(text!("; likewise {} more", count(more, "row")));
    }
    let first = each().find(|(_, misfit)| misfit.row == worst);
    let of = |kept: fn(&Misfit) -> f64| {
        first.map(|(column, misfit)| Figure::Measure(value(project, column, kept(misfit))))
    };
    let sentence = text!(
        "The hydrostatic table has {} beside the curves of the others: {}.",
        count(of_rows.len(), "row"),
        faults
    );
    let places: Vec<Place> = of_rows.iter().map(|row| place(project, *row)).collect();
    let found = differs(sentence).finding(about);
    let found = found.recorded(of(|misfit| misfit.found)).recomputed(of(|misfit| misfit.smooth));
    Some(found.against(against).by(&SMOOTH).doubting_all(&places))
}

/// Displacement against TPC, and its moment against LCF.
fn growth(project: &Project, recomputed: &Recomputed, rows: &[Row]) -> Vec<Finding> {
    let drafts: Vec<f64> = rows.iter().map(|row| row.draft_m).collect();
    let run_m = drafts.last().zip(drafts.first()).map_or(0.0, |(last, first)| last - first);
    let perpendiculars = recomputed.ship.perpendiculars;
    let length_m = project.docking.ship.length_between_perpendiculars_m;
    let length_m = length_m.or(perpendiculars.map(|ends| ends.length_m()));
    // Without a length, that of a ship thirty times as long as the table is deep.
    let Some(slopes) = slopes(rows, length_m.unwrap_or(30.0 * run_m)) else { return Vec::new() };
    let whole_table = || project.hydrostatics.iter().map(|row| &row.place);
    let tolerance = |growth: &Growth, form: Form| Against {
        sort: Sort::Tolerance,
        name: "slope".to_string(),
        value: Figure::Measure(form.measure(growth.allowed)),
        source:
            "the last digits written, and what curves lifted from a plan may be off (our choice)"
                .to_string(),
    };
    let (whole, worst) = (&slopes.whole, &slopes.worst);
    let between = |growth: &Growth| {
        text!("From {} to {}", draft(&rows[growth.from]), draft(&rows[growth.to]))
    };
    let grown = |growth: &Growth| {
        text!(
            "{} the table's displacement grows by {}, and its TPC gives {}",
            between(growth),
            Figure::mass(growth.found),
            Figure::mass(growth.by_other)
        )
    };
    let (judgement, shown) = if !whole.fits() {
        (
            differs(text!(
                "{}{}: one of the two columns is of another unit, or of another ship.",
                grown(whole),
                inch(whole)
            )),
            whole,
        )
    } else if !worst.fits() {
        (
            differs(text!(
                "{}: in one of these two rows, or from there on, one of the two columns is wrong.",
                grown(worst)
            )),
            worst,
        )
    } else {
        let sentence = text!(
            "In the {} of the hydrostatic table displacement grows as TPC says, row by row and over all.",
            count(rows.len(), "row")
        );
        (agrees(sentence), whole)
    };
    let slope = judgement
        .finding(Subject::HydrostaticsSlope)
        .recorded(Figure::mass(shown.found))
        .recomputed(Figure::mass(shown.by_other))
        .against(tolerance(shown, Form::Mass))
        .by(&SLOPE);
    let slope = match (whole.fits(), worst.fits()) {
        (true, true) => slope.from(whole_table().take(1)),
        (true, false) => slope.doubting(&place(project, worst.to)),
        (false, _) => slope.doubting_all(whole_table()),
    };
    let centre = &slopes.centre;
    let datum_m = project.docking.hydrostatics.as_ref().map_or(0.0, |datum| datum.lcb_lcf_from_x_m);
    let at = |x_m: f64| Figure::length(x_m - datum_m);
    let judgement = if centre.fits() {
        agrees(text!(
            "LCB and LCF of the {} of the hydrostatic table fit each other: what displacement grows by lies at the LCF.",
            count(rows.len(), "row")
        ))
    } else {
        let mirrored =
            (centre.found - datum_m + (centre.by_other - datum_m)).abs() <= centre.allowed;
        let sign = if mirrored { ", as if one of the two were counted + aft" } else { "" };
        differs(text!(
            "{} the table's LCB moves as if the LCF were {} from its datum on the mean, and the column of LCF gives {}{}.",
            between(centre),
            at(centre.found),
            at(centre.by_other),
            sign
        ))
    };
    let centre_fits = centre.fits();
    let centre = judgement
        .finding(Subject::HydrostaticsCentre)
        .recorded(at(centre.by_other))
        .recomputed(at(centre.found))
        .against(tolerance(centre, Form::Length))
        .by(&SLOPE);
    let centre = match centre_fits {
        true => centre.from(whole_table().take(1)),
        false => centre.doubting_all(whole_table()),
    };
    vec![slope, centre]
}

/// A hint where one column is 2.54 times what the other gives, or a tenth, or ten times.
fn inch(growth: &Growth) -> Text {
    let ratio = growth.by_other / growth.found;
    let near = |wanted: f64| (ratio / wanted - 1.0).abs() <= 0.06;
    match () {
        () if near(2.54) => text!(", 2.54 times as much, as if it were for each inch"),
        () if near(10.0) => text!(", ten times as much"),
        () if near(0.1) => text!(", a tenth of it"),
        () if near(100.0) => text!(", a hundred times as much, as if it were for each metre"),
        () => Text::new(),
    }
}

/// The columns against what a ship of this length and breadth can have.
fn sizes(project: &Project, recomputed: &Recomputed, rows: &[Row]) -> Finding {
    let about = Subject::HydrostaticsSize;
    let ship = &project.docking.ship;
    let ends = recomputed.ship.perpendiculars;
    let length_m = ends.map(|ends| ends.length_m()).or(ship.length_between_perpendiculars_m);
    let size = ends.zip(length_m).zip(ship.breadth_m).map(|((ends, length_m), breadth_m)| Size {
        length_m,
        overall_m: ship.length_overall_m.unwrap_or(length_m * 1.1),
        breadth_m,
        amidships_x_m: ends.amidships_x_m(),
        water_density_t_m3: project
            .docking
            .hydrostatics
            .as_ref()
            .map_or(1.025, |datum| datum.water_density_t_m3),
    });
    let Some(size) = size else {
        let why = "the perpendiculars or the breadth of the ship were not recorded";
        let found =
            unchecked("the size of what stands in the hydrostatic table", why).finding(about);
        return found.by(&SIZES).from(project.hydrostatics.first().map(|row| &row.place));
    };
    let middle = &rows[rows.len() / 2];
    let wrong: Vec<(Sized, &Column)> = Sized::ALL
        .into_iter()
        .filter(|sized| !size.holds(*sized, rows))
        .filter_map(|sized| Some((sized, column(sized)?)))
        .collect();
    let told = |(sized, column): &(Sized, &Column)| {
        let (least, greatest) = size.range(*sized, middle);
        text!(
            "{} is {} at {}, and a ship of her length and breadth has between {} and {} there",
            column.name,
            value(project, column, sized.of(middle)),
            draft(middle),
            value(project, column, least),
            value(project, column, greatest)
        )
    };
    let judgement = match wrong.first() {
        None => agrees(text!(
            "The hydrostatic table's columns are of the size that a ship of {} by {} can have.",
            Figure::length(size.length_m),
            Figure::length(size.breadth_m)
        )),
        Some(_) => differs(text!(
            "The hydrostatic table is not of this ship's size, or a column is in another unit than its head says: {}.",
            Text::joined(wrong.iter().map(told), "; ")
        )),
    };
    let found = judgement.finding(about).by(&SIZES);
    let rows = project.hydrostatics.iter().map(|row| &row.place);
    match wrong.first() {
        Some((sized, column)) => {
            let found = found.recorded(Figure::Measure(value(project, column, sized.of(middle))));
            found.doubting_all(rows)
        }
        None => found.from(rows.take(1)),
    }
}

/// The column of what is held against the ship's size.
fn column(sized: Sized) -> Option<&'static Column> {
    let name = match sized {
        Sized::Displacement => "displacement",
        Sized::Tpc => "TPC",
        Sized::Mct => "MCT",
        Sized::Km => "KM",
        Sized::Lcb => "LCB",
        Sized::Lcf => "LCF",
    };
    COLUMNS.iter().find(|column| column.name == name)
}
