//! CSV files as a person writes them: rounded, in the units of the place.

/// A cell.
#[derive(Debug, Clone)]
pub enum Cell {
    Words(String),
    /// In the column's SI unit.
    Number(f64),
    Nothing,
}

impl From<&str> for Cell {
    fn from(words: &str) -> Self {
        Cell::Words(words.to_string())
    }
}

impl From<String> for Cell {
    fn from(words: String) -> Self {
        Cell::Words(words)
    }
}

impl From<f64> for Cell {
    fn from(number: f64) -> Self {
        Cell::Number(number)
    }
}

impl From<usize> for Cell {
    fn from(number: usize) -> Self {
        Cell::Words(number.to_string())
    }
}

impl<T: Into<Cell>> From<Option<T>> for Cell {
    fn from(cell: Option<T>) -> Self {
        cell.map_or(Cell::Nothing, T::into)
    }
}

/// Makes a row of cells.
macro_rules! row {
    ($($cell:expr),* $(,)?) => { vec![$($crate::sheet::Cell::from($cell)),*] };
}
pub(crate) use row;

/// A column: its name, and for a number its unit and decimals.
struct Column {
    heading: String,
    factor: f64,
    offset: f64,
    decimals: usize,
}

/// One US unit in the SI unit beside it, by definition of the inch, the pound and the gallon.
fn us(si: &str) -> (&'static str, f64) {
    const FT: f64 = 0.3048;
    const LT: f64 = 1.016_046_908_8;
    match si {
        "m" => ("ft", FT),
        "mm" => ("in", 25.4),
        "um" => ("mil", 25.4),
        "m2" => ("ft2", FT * FT),
        "t" => ("lt", LT),
        "kg" => ("lb", 0.453_592_37),
        "l" => ("gal", 3.785_411_784),
        "kpa" => ("psi", 6.894_757_293),
        "t_per_cm" => ("lt_per_in", LT / 2.54),
        "tm_per_cm" => ("ltft_per_in", LT * FT / 2.54),
        "c" => ("f", 5.0 / 9.0),
        other => panic!("no US unit beside {other}"),
    }
}

/// A file of records.
pub struct Sheet {
    columns: Vec<Column>,
    rows: Vec<String>,
}

impl Sheet {
    /// Columns as `block station_m:2/2 note`: a number's SI unit is the end of its name, with the decimals in SI and in US units;
    /// with one figure alone it is written in SI by all.
    pub fn new(is_us: bool, columns: &str) -> Self {
        let column = |word: &str| {
            let Some((heading, decimals)) = word.split_once(':') else {
                let heading = word.to_string();
                return Column { heading, factor: 1.0, offset: 0.0, decimals: 0 };
            };
            let figure = |text: &str| text.parse::<usize>().expect("decimals");
            match decimals.split_once('/') {
                Some((_, decimals)) if is_us => {
                    let units = [
                        "tm_per_cm",
                        "t_per_cm",
                        "kpa",
                        "mm",
                        "um",
                        "m2",
                        "kg",
                        "m",
                        "t",
                        "l",
                        "c",
                    ];
                    let unit =
                        units.into_iter().find(|unit| heading.ends_with(&format!("_{unit}")));
                    let unit = unit.expect("a unit");
                    let (in_us, factor) = us(unit);
                    let named = heading.strip_suffix(unit).expect("its unit");
                    let offset = if unit == "c" { 32.0 } else { 0.0 };
                    let heading = format!("{named}{in_us}");
                    Column { heading, factor, offset, decimals: figure(decimals) }
                }
                split => {
                    let decimals = figure(split.map_or(decimals, |(si, _)| si));
                    Column { heading: heading.to_string(), factor: 1.0, offset: 0.0, decimals }
                }
            }
        };
        Self { columns: columns.split_whitespace().map(column).collect(), rows: Vec::new() }
    }

    pub fn add(&mut self, cells: Vec<Cell>) {
        assert_eq!(cells.len(), self.columns.len(), "cells of a row");
        let cell = |(cell, column): (Cell, &Column)| match cell {
            Cell::Words(words) if words.contains([',', '"']) => format!("\"{words}\""),
            Cell::Words(words) => words,
            Cell::Number(number) => fixed(number / column.factor + column.offset, column.decimals),
            Cell::Nothing => String::new(),
        };
        let cells: Vec<String> = cells.into_iter().zip(&self.columns).map(cell).collect();
        self.rows.push(cells.join(","));
    }

    pub fn text(&self) -> String {
        let headings: Vec<&str> =
            self.columns.iter().map(|column| column.heading.as_str()).collect();
        let mut text = headings.join(",");
        for row in &self.rows {
            text.push('\n');
            text.push_str(row);
        }
        text.push('\n');
        text
    }
}

/// A number with so many decimals, and no minus before nothing.
pub fn fixed(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    let is_nothing = text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.');
    if is_nothing { text.trim_start_matches('-').to_string() } else { text }
}
