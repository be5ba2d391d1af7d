//! The hydrostatic table: read between its rows, never beyond them.

pub mod sizes;
pub mod slopes;

use super::formula::Formula;

/// How the table is read.
pub const TABLE: Formula = Formula {
    name: "hydrostatic table",
    title: "Reading the hydrostatic table",
    says: "linear between the two rows that bracket the draft or the displacement; outside the table \
           nothing is given",
    source: "linear interpolation",
};

/// One row of the table, for the table's own trim and water density.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Draft above the underside of the keel, m.
    pub draft_m: f64,
    pub displacement_t: f64,
    /// Longitudinal centre of buoyancy, x in hull axes, m.
    pub lcb_x_m: f64,
    /// Longitudinal centre of flotation, x in hull axes, m.
    pub lcf_x_m: f64,
    /// Tonnes per centimetre of immersion, t/cm.
    pub tpc_t_per_cm: f64,
    /// Moment to change trim by one centimetre, t m/cm.
    pub mct_tm_per_cm: f64,
    /// Transverse metacentre above the underside of the keel, m.
    pub km_m: f64,
}

/// The table and what it holds for.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    rows: Vec<Row>,
    pub water_density_t_m3: f64,
    /// Trim over the perpendiculars, m, + by the stern.
    pub trim_m: f64,
}

/// Why rows make no table: the number of the row (from 0) and what is wrong with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotATable {
    /// The row, from 0.
    pub row: usize,
    /// What is wrong, to follow the row's name.
    pub wrong: &'static str,
}

impl Table {
    /// Makes a table. There must be at least two rows, draft and displacement growing from each to the
    /// next, everything finite, TPC, MCT and displacement more than 0.
    pub fn new(rows: Vec<Row>, water_density_t_m3: f64, trim_m: f64) -> Result<Self, NotATable> {
        if rows.len() < 2 {
            return Err(NotATable { row: 0, wrong: "is alone; a table has at least two rows" });
        }
        for (row, values) in rows.iter().enumerate() {
            let positive = values.displacement_t > 0.0
                && values.tpc_t_per_cm > 0.0
                && values.mct_tm_per_cm > 0.0
                && values.km_m > 0.0;
            if !positive {
                return Err(NotATable {
                    row,
                    wrong: "has a displacement, TPC, MCT or KM that is not more than 0",
                });
            }
        }
        for (row, pair) in rows.windows(2).enumerate() {
            if pair[1].draft_m <= pair[0].draft_m {
                return Err(NotATable {
                    row: row + 1,
                    wrong: "has no greater draft than the row before",
                });
            }
            if pair[1].displacement_t <= pair[0].displacement_t {
                return Err(NotATable {
                    row: row + 1,
                    wrong: "has no greater displacement than the row before",
                });
            }
        }
        Ok(Self { rows, water_density_t_m3, trim_m })
    }

    /// Its rows, in order of draft.
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    pub fn drafts_m(&self) -> (f64, f64) {
        (self.rows[0].draft_m, self.rows[self.rows.len() - 1].draft_m)
    }

    /// The row at a draft; `None` outside the table.
    pub fn at_draft(&self, draft_m: f64) -> Option<Row> {
        self.at(draft_m, |row| row.draft_m)
    }

    /// The row at a displacement in the table's own water; `None` outside the table.
    pub fn at_displacement(&self, displacement_t: f64) -> Option<Row> {
        self.at(displacement_t, |row| row.displacement_t)
    }

    fn at(&self, value: f64, of: impl Fn(&Row) -> f64) -> Option<Row> {
        let next = self.rows.iter().position(|row| of(row) >= value)?;
        if next == 0 {
            return (of(&self.rows[0]) <= value).then(|| self.rows[0]);
        }
        let (a, b) = (&self.rows[next - 1], &self.rows[next]);
        let part = (value - of(a)) / (of(b) - of(a));
        let between = |f: fn(&Row) -> f64| f(a) + part * (f(b) - f(a));
        Some(Row {
            draft_m: between(|row| row.draft_m),
            displacement_t: between(|row| row.displacement_t),
            lcb_x_m: between(|row| row.lcb_x_m),
            lcf_x_m: between(|row| row.lcf_x_m),
            tpc_t_per_cm: between(|row| row.tpc_t_per_cm),
            mct_tm_per_cm: between(|row| row.mct_tm_per_cm),
            km_m: between(|row| row.km_m),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(draft_m: f64, displacement_t: f64) -> Row {
        Row {
            draft_m,
            displacement_t,
            lcb_x_m: 48.0 - draft_m,
            lcf_x_m: 46.0,
            tpc_t_per_cm: 11.0,
            mct_tm_per_cm: 45.0,
            km_m: 7.0,
        }
    }

    #[test]
    fn between_rows_and_never_beyond() -> Result<(), NotATable> {
        let table =
            Table::new(vec![row(3.0, 2000.0), row(4.0, 3100.0), row(5.0, 4300.0)], 1.025, 0.0)?;
        assert_eq!(table.at_draft(3.5).map(|r| r.displacement_t), Some(2550.0));
        assert_eq!(table.at_displacement(3700.0).map(|r| r.draft_m), Some(4.5));
        assert_eq!(table.at_draft(3.0).map(|r| r.displacement_t), Some(2000.0));
        assert_eq!(table.at_draft(5.0).map(|r| r.displacement_t), Some(4300.0));
        assert_eq!(table.at_draft(2.999), None);
        assert_eq!(table.at_draft(5.001), None);
        assert_eq!(table.at_draft(f64::NAN), None);
        Ok(())
    }

    #[test]
    fn rows_that_make_no_table() {
        let wrong = |rows: Vec<Row>| Table::new(rows, 1.025, 0.0).err().map(|e| e.row);
        assert_eq!(wrong(vec![row(3.0, 2000.0)]), Some(0));
        assert_eq!(wrong(vec![row(3.0, 2000.0), row(3.0, 2100.0)]), Some(1));
        assert_eq!(wrong(vec![row(3.0, 2000.0), row(3.1, 2000.0)]), Some(1));
        assert_eq!(wrong(vec![row(3.0, 2000.0), row(3.1, 2100.0), row(3.05, 2200.0)]), Some(2));
        assert_eq!(wrong(vec![row(3.0, -1.0), row(3.1, 2100.0)]), Some(0));
    }
}
