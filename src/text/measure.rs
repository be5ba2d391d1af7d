//! Figures that know what they measure, and print themselves in the units of whoever reads.

use std::fmt;

pub use crate::units::System;
use crate::units::{self, Quantity, STANDARD_GRAVITY_M_PER_S2, Unit};

/// The minus sign, which is not overlooked as easily as a hyphen.
const MINUS: char = '\u{2212}';

/// Decimals beyond the usual ones that a figure gets so that it is not printed like its bound.
const MOST_MORE: usize = 4;

/// One step of the last digit in another system is at most so many in SI units: a tenth of a foot is 3 cm, an inch and
/// a mil are 2.54 of what they stand for.
const COARSER: f64 = 2.5;

macro_rules! forms {
    ($(
        $(#[$about:meta])*
        $form:ident: $quantity:ident,
        $si:literal to $si_decimals:literal,
        $us:literal to $us_decimals:literal;
    )*) => {
        /// What is measured, and hence in which unit and how finely it is shown.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Form {
            $($(#[$about])* $form,)*
        }

        impl Form {
            const ALL: &[Form] = &[$(Form::$form),*];

            /// What it measures.
            pub fn quantity(self) -> Quantity {
                match self {
                    $(Form::$form => Quantity::$quantity,)*
                }
            }

            fn shown(self, system: System) -> Shown {
                let (suffix, decimals) = match (self, system) {
                    $(
                        (Form::$form, System::Si) => ($si, $si_decimals),
                        (Form::$form, System::Us) => ($us, $us_decimals),
                    )*
                };
                Shown { suffix, decimals }
            }
        }
    };
}

// The unit in each system with its decimals: about a tenth of what each can be read to. The form in which a quantity
// is shown where nothing more is known of it stands first of its quantity.
forms! {
    /// A distance or coordinate.
    Length: Length, "m" to 3, "ft" to 2;
    /// A shift of the ship, and by how much it may be missed.
    Shift: Length, "m" to 2, "ft" to 3;
    /// A draft or water level on a mark, in feet and inches.
    Draft: Length, "m" to 3, "in" to 1;
    /// A small length, as gaps and residuals are.
    Small: Length, "mm" to 0, "in" to 2;
    /// A film or surface profile: whole where it is whole, else to the tenth, as means and readings in mils want it.
    Film: Length, "um" to 1, "mil" to 1;
    /// The thickness of a plate.
    Plate: Length, "mm" to 2, "in" to 4;
    /// What a plate loses in a year.
    Wastage: Length, "mm" to 3, "mil" to 2;
    /// An area.
    Area: Area, "m2" to 3, "ft2" to 2;
    /// A second moment of area.
    SecondMoment: SecondMoment, "m4" to 6, "ft4" to 4;
    /// A volume of paint.
    Volume: Volume, "l" to 1, "gal" to 2;
    /// A ship's weights.
    Mass: Mass, "t" to 2, "lt" to 2;
    /// An anode's mass.
    Kilograms: Mass, "kg" to 2, "lb" to 2;
    /// A force.
    Force: Force, "kn" to 1, "lbf" to 0;
    /// A pressure or stress.
    Pressure: Pressure, "kpa" to 1, "psi" to 1;
    /// The stress that tears a coating off.
    Adhesion: Pressure, "mpa" to 1, "psi" to 0;
    /// A temperature.
    Temperature: Temperature, "c" to 1, "f" to 1;
    /// A difference of temperatures.
    TemperatureDifference: TemperatureDifference, "k" to 1, "f" to 1;
    /// A ratio.
    Ratio: Ratio, "pct" to 1, "pct" to 1;
    /// An angle.
    Angle: Angle, "deg" to 3, "deg" to 3;
    /// A length of time.
    Duration: Duration, "h" to 2, "h" to 2;
    /// The density of water.
    Density: Density, "t_m3" to 4, "lb_ft3" to 2;
    /// Salts on steel.
    SurfaceDensity: SurfaceDensity, "mg_m2" to 1, "ug_cm2" to 2;
    /// The voltage of a holiday test.
    Voltage: Voltage, "v" to 0, "v" to 0;
    /// Conductivity of a sample of salts.
    Conductivity: Conductivity, "us_cm" to 1, "us_cm" to 1;
    /// Mass that sinks a ship by a unit of draft.
    Immersion: Immersion, "t_per_cm" to 2, "lt_per_in" to 2;
    /// Moment that trims a ship by a unit of trim.
    TrimMoment: TrimMoment, "tm_per_cm" to 2, "ltft_per_in" to 1;
    /// Mass times a lever.
    Moment: Moment, "tm" to 1, "ltft" to 0;
    /// A bending moment.
    Bending: Moment, "knm" to 0, "ltft" to 0;
    /// A rate at which water rises or falls.
    LevelRate: LevelRate, "m_per_h" to 2, "ft_per_h" to 2;
    /// A load on a length.
    LineLoad: LineLoad, "t_per_m" to 1, "lt_per_ft" to 1;
}

/// How a form is shown in one system.
struct Shown {
    suffix: &'static str,
    decimals: usize,
}

impl Form {
    /// The form of a quantity that is shown in a unit: `mm` of a length makes it a small one.
    pub fn in_unit(unit: &Unit) -> Self {
        match (unit.quantity, unit.suffix) {
            (Quantity::Length, "mm") => Form::Small,
            (Quantity::Length, "um") => Form::Film,
            (Quantity::Mass, "kg") => Form::Kilograms,
            (Quantity::Moment, "knm") => Form::Bending,
            (quantity, _) => {
                let usual = Form::ALL.iter().find(|form| form.quantity() == quantity);
                usual.copied().unwrap_or(Form::Length)
            }
        }
    }

    /// A number of it in the kept unit (m, m², t, kPa, °C, h, ...).
    pub fn measure(self, kept: f64) -> Measure {
        Measure::new(kept, self)
    }

    /// The unit in which it is shown. A draft in feet and inches counts its inches.
    pub fn unit(self, system: System) -> &'static Unit {
        let quantity = self.quantity();
        quantity.unit(self.shown(system).suffix).unwrap_or(quantity.kept())
    }

    /// The unit as the head of a column names it; `None` where every cell has to name its own.
    pub fn head(self, system: System) -> Option<&'static str> {
        (!self.is_in_feet_and_inches(system)).then(|| units::printed(self.unit(system).suffix))
    }

    fn is_in_feet_and_inches(self, system: System) -> bool {
        self == Form::Draft && system == System::Us
    }
}

/// How many decimals a measure is shown with.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Decimals {
    /// Those of its form.
    Usual,
    /// So many more or fewer than those of its form.
    Shifted(i32),
    /// So many more or fewer than those of its form, and up to three more as its value was stated with.
    Stated(i32),
    /// So many that it isn't printed like these others, a least and a greatest, from which it differs.
    ApartFrom([Option<f64>; 2]),
}

/// By which a figure is known wherever it stands: what it is, and of what. Where a derived table has it, these are
/// the column's name and the row's key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Key {
    /// What it is, as `clear_distance`.
    pub quantity: &'static str,
    /// Of what: a digest of the names, so that a measure stays as easy to copy as a number.
    pub names: u64,
}

/// Tells the keys of what was planned from those of what was done.
const PLANNED: u64 = 0x706c_616e_6e65_6400;

impl Key {
    /// The digest of names: FNV-1a, 64 bits, with the end of each name counted.
    pub fn digest<'a>(names: impl IntoIterator<Item = &'a str>) -> u64 {
        let bytes = names.into_iter().flat_map(|name| name.bytes().chain([0]));
        bytes.fold(0xcbf2_9ce4_8422_2325, |digest, byte| {
            (digest ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
        })
    }
}

/// A number in the kept unit of its quantity, and how it is shown. Two are equal that say the same, however many
/// decimals they are shown with.
#[derive(Debug, Clone, Copy)]
pub struct Measure {
    /// The number in the kept unit.
    pub kept: f64,
    /// What it measures.
    pub form: Form,
    /// By which it is known, where it stands in more than one place.
    pub key: Option<Key>,
    decimals: Decimals,
    /// Whether a plus stands before it where it is more than nothing.
    signed: bool,
    rounding: Rounding,
}

/// How a number is cut to its decimals.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Rounding {
    Nearest,
    Down,
    Up,
}

impl Rounding {
    /// Computed numbers are sure to this part of their last decimal.
    const SURE: f64 = 1e-4;

    fn cut(self, value: f64, decimals: usize) -> f64 {
        let steps = value * 10_f64.powi(i32::try_from(decimals).unwrap_or(0));
        let whole = match self {
            Self::Nearest => return value,
            Self::Down => (steps + Self::SURE).floor(),
            Self::Up => (steps - Self::SURE).ceil(),
        };
        whole / 10_f64.powi(i32::try_from(decimals).unwrap_or(0))
    }
}

impl PartialEq for Measure {
    fn eq(&self, other: &Self) -> bool {
        self.kept == other.kept && self.form == other.form
    }
}

impl Measure {
    /// What a block bears, kN, as it is told to people: as the mass that weighs so much.
    pub fn load(load_kn: f64) -> Self {
        Form::Mass.measure(load_kn / STANDARD_GRAVITY_M_PER_S2).decimals(1)
    }

    /// A number in the kept unit of its quantity (m, t, kPa, h, ...).
    pub fn new(kept: f64, form: Form) -> Self {
        Self {
            kept,
            form,
            key: None,
            decimals: Decimals::Usual,
            signed: false,
            rounding: Rounding::Nearest,
        }
    }

    /// The same, known by what it is and of what.
    pub fn key(self, quantity: &'static str, names: &[&str]) -> Self {
        let names = Key::digest(names.iter().copied());
        Self { key: Some(Key { quantity, names }), ..self }
    }

    /// The same of what was planned, which is another figure than the one of what was done.
    pub fn as_planned(self) -> Self {
        let planned = |key: Key| Key { names: key.names.rotate_left(32) ^ PLANNED, ..key };
        Self { key: self.key.map(planned), ..self }
    }

    /// The same with so many decimals in SI units, and as much finer or coarser in others.
    pub fn decimals(self, decimals: usize) -> Self {
        let usual = self.form.shown(System::Si).decimals;
        let shift = i32::try_from(decimals).unwrap_or(0) - i32::try_from(usual).unwrap_or(0);
        Self { decimals: Decimals::Shifted(shift), ..self }
    }

    /// The same with as many decimals more, up to three, as its value was stated with.
    pub fn as_stated(self) -> Self {
        let shift = match self.decimals {
            Decimals::Shifted(shift) | Decimals::Stated(shift) => shift,
            Decimals::Usual | Decimals::ApartFrom(_) => 0,
        };
        Self { decimals: Decimals::Stated(shift), ..self }
    }

    /// The same with so many decimals that it isn't printed like another from which it differs: a margin of
    /// 2.98 K is not 3.0 K where 3.0 K is the limit.
    pub fn apart_from(self, other: &Measure) -> Self {
        let comparable = self.form.unit(System::Si) == other.form.unit(System::Si)
            && (self.in_unit(System::Si) - other.in_unit(System::Si)).abs() > 1e-9;
        let others = match self.decimals {
            Decimals::ApartFrom([first, _]) if first != Some(other.kept) => {
                [first, Some(other.kept)]
            }
            _ => [Some(other.kept), None],
        };
        if comparable { Self { decimals: Decimals::ApartFrom(others), ..self } } else { self }
    }

    /// The same with a plus before it where it is more than nothing.
    pub fn signed(self) -> Self {
        Self { signed: true, ..self }
    }

    /// The same, never written greater than it is.
    pub fn rounded_down(self) -> Self {
        Self { rounding: Rounding::Down, ..self }
    }

    /// The same, never written less than it is.
    pub fn rounded_up(self) -> Self {
        Self { rounding: Rounding::Up, ..self }
    }

    /// How far apart two measures of one kind are.
    pub fn distance_to(&self, other: &Measure) -> Self {
        let form = match self.form {
            Form::Temperature => Form::TemperatureDifference,
            form => form,
        };
        let kept = (self.kept - other.kept).abs();
        Self { kept, form, key: None, signed: false, ..*self }
    }

    /// The number in the unit in which it is shown.
    pub fn in_unit(&self, system: System) -> f64 {
        self.form.unit(system).from_kept(self.kept)
    }

    /// The number in SI units without its unit and with a hyphen for a minus, as data has it.
    pub fn plain(&self) -> String {
        self.fixed(self.decimals_in(System::Si), System::Si)
    }

    /// The number without its unit, as a column has it whose head names the unit.
    pub fn number(&self, system: System) -> String {
        self.number_to(self.decimals_in(system), system)
    }

    /// The number without its unit, with so many decimals.
    pub fn number_to(&self, decimals: usize, system: System) -> String {
        let text = if self.form.is_in_feet_and_inches(system) {
            feet_and_inches(self.in_unit(system), decimals)
        } else {
            self.fixed(decimals, system)
        };
        let is_more = self.signed && self.kept > 0.0 && text.contains(|c| matches!(c, '1'..='9'));
        match text.strip_prefix('-') {
            Some(size) => format!("{MINUS}{size}"),
            None if is_more => format!("+{text}"),
            None => text,
        }
    }

    /// The number with its unit.
    pub fn with_unit(&self, system: System) -> String {
        if self.form.is_in_feet_and_inches(system) {
            return self.number(system);
        }
        format!("{}{}", self.number(system), self.form.unit(system).after_number())
    }

    fn fixed(&self, decimals: usize, system: System) -> String {
        units::fixed(self.rounding.cut(self.in_unit(system), decimals), decimals)
    }

    /// With how many decimals it is shown where no column asks for more.
    pub fn decimals_in(&self, system: System) -> usize {
        let value = self.in_unit(system);
        let of_form = self.form.shown(system).decimals;
        let usual = match self.form {
            Form::Film => units::decimals_of(value, 0, of_form),
            _ => of_form,
        };
        let shifted = |from: usize, shift: i32| {
            usize::try_from(i32::try_from(from).unwrap_or(0) + shift).unwrap_or(0)
        };
        match self.decimals {
            Decimals::Usual => usual,
            Decimals::Shifted(shift) => shifted(of_form, self.no_coarser(shift, system)),
            Decimals::Stated(shift) => {
                let least = shifted(usual, shift);
                let decimals = units::decimals_of(value, least, least + 3);
                // What was stated in SI units has no end in others, and no more sense in its last digits.
                let is_endless = system == System::Us && decimals == least + 3;
                if is_endless { least + 1 } else { decimals }
            }
            Decimals::ApartFrom(others) => {
                let unit = self.form.unit(system);
                let apart = |decimals: &usize| {
                    let printed = units::fixed(value, *decimals);
                    let others = others.iter().flatten().map(|other| unit.from_kept(*other));
                    others.map(|other| units::fixed(other, *decimals)).all(|other| other != printed)
                };
                (usual..=usual + MOST_MORE).find(apart).unwrap_or(usual)
            }
        }
    }
}

impl Measure {
    /// By how many decimals fewer a system may show what SI units show with so many fewer than is usual: where one step
    /// of its last digit would be more than [`COARSER`] steps in SI units, one more is kept, up to the usual ones.
    fn no_coarser(&self, shift: i32, system: System) -> i32 {
        let step = |system: System, shift: i32| {
            let decimals = i32::try_from(self.form.shown(system).decimals).unwrap_or(0);
            let unit = self.form.unit(system);
            (unit.to_kept(1.0) - unit.to_kept(0.0)) * 10_f64.powi(-(decimals + shift).max(0))
        };
        let si = step(System::Si, shift);
        (shift..0).find(|fewer| step(system, *fewer) <= COARSER * si).unwrap_or(shift.max(0))
    }
}

/// As findings and derived tables have it: SI units, a hyphen for a minus.
impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.plain(), self.form.unit(System::Si).after_number())
    }
}

/// Inches as feet and inches: `17 ft 6.3 in`.
fn feet_and_inches(inches: f64, decimals: usize) -> String {
    let size = units::fixed(inches.abs(), decimals).parse::<f64>().unwrap_or(inches.abs());
    let sign = if inches < 0.0 && size > 0.0 { "-" } else { "" };
    let feet = (size / 12.0).floor();
    let rest = size - 12.0 * feet;
    format!("{sign}{feet:.0}\u{a0}ft\u{a0}{}\u{a0}in", units::fixed(rest, decimals))
}

#[cfg(test)]
mod tests {
    use super::*;

    // Factors of NIST SP 811 (2008), appendix B: 1 ft = 0.3048 m, 1 in = 25.4 mm, 1 psi = 6.894757 kPa,
    // 1 long ton = 1016.047 kg, 1 US gallon = 3.785412 l.
    #[test]
    fn the_same_measure_in_both_systems() {
        let both = |measure: Measure| {
            [System::Si, System::Us].map(|system| measure.with_unit(system).replace('\u{a0}', " "))
        };
        assert_eq!(both(Measure::new(30.48, Form::Length)), ["30.480 m", "100.00 ft"]);
        assert_eq!(both(Measure::new(5.334, Form::Draft)), ["5.334 m", "17 ft 6.0 in"]);
        assert_eq!(both(Measure::new(-0.0127, Form::Small)), ["\u{2212}13 mm", "\u{2212}0.50 in"]);
        assert_eq!(both(Measure::new(254e-6, Form::Film)), ["254 \u{b5}m", "10 mil"]);
        assert_eq!(both(Measure::new(1.016_047, Form::Mass)), ["1.02 t", "1.00 lt"]);
        assert_eq!(both(Measure::new(689.4757, Form::Pressure)), ["689.5 kPa", "100.0 psi"]);
        assert_eq!(both(Measure::new(10.0, Form::Temperature)), ["10.0 \u{b0}C", "50.0 \u{b0}F"]);
        assert_eq!(both(Measure::new(3.0, Form::TemperatureDifference)), ["3.0 K", "5.4 \u{b0}F"]);
        assert_eq!(both(Measure::new(37.854_12, Form::Volume)), ["37.9 l", "10.00 gal"]);
        assert_eq!(both(Measure::new(9.290_304, Form::Area)), ["9.290 m\u{b2}", "100.00 ft\u{b2}"]);
    }

    // A tenth of a foot is 30.48 mm, an inch 25.4 mm, a mil 25.4 \u{b5}m; a square foot is 0.0929 m\u{b2}.
    #[test]
    fn fewer_decimals_are_not_much_coarser_in_other_units() {
        let us = |measure: Measure| measure.with_unit(System::Us).replace('\u{a0}', " ");
        assert_eq!(us(Form::Length.measure(30.0).decimals(2)), "98.43 ft");
        assert_eq!(us(Form::Length.measure(30.0).decimals(1)), "98.4 ft");
        assert_eq!(us(Form::Length.measure(30.0).decimals(0)), "98 ft");
        assert_eq!(us(Form::Draft.measure(4.23).decimals(2)), "13 ft 10.5 in");
        assert_eq!(us(Form::Film.measure(125e-6).decimals(0)), "4.9 mil");
        assert_eq!(us(Form::Pressure.measure(1500.0).decimals(0)), "217.6 psi");
        assert_eq!(us(Form::Area.measure(586.7).decimals(1)), "6315 ft\u{b2}");
        assert_eq!(us(Form::Mass.measure(110.1).decimals(1)), "108.4 lt");
        assert_eq!(Form::Film.measure(125.4e-6).decimals(0).number(System::Si), "125");
    }

    #[test]
    fn every_unit_has_a_form_of_its_quantity() {
        for unit in units::UNITS {
            assert_eq!(Form::in_unit(unit).quantity(), unit.quantity, "{}", unit.suffix);
        }
        for form in Form::ALL {
            for system in [System::Si, System::Us] {
                assert_eq!(form.unit(system).suffix, form.shown(system).suffix, "{form:?}");
            }
        }
    }

    #[test]
    fn inches_that_round_to_a_foot_are_one() {
        assert_eq!(feet_and_inches(215.98, 1), "18\u{a0}ft\u{a0}0.0\u{a0}in");
        assert_eq!(feet_and_inches(-0.01, 1), "0\u{a0}ft\u{a0}0.0\u{a0}in");
        assert_eq!(feet_and_inches(-3.25, 2), "-0\u{a0}ft\u{a0}3.25\u{a0}in");
    }

    #[test]
    fn what_differs_is_not_printed_alike_in_any_system() {
        let limit = Measure::new(3.0, Form::TemperatureDifference);
        let margin = Measure::new(2.98, Form::TemperatureDifference).apart_from(&limit);
        assert_eq!(margin.with_unit(System::Si), "2.98 K");
        assert_eq!(margin.with_unit(System::Us), "5.36 \u{b0}F");
        let same = Measure::new(3.0, Form::TemperatureDifference).apart_from(&limit);
        assert_eq!(same.with_unit(System::Si), "3.0 K");
    }

    #[test]
    fn what_is_rounded_one_way_never_promises_more() {
        let shift = |kept| Measure::new(kept, Form::Shift);
        let both = |measure: Measure| [System::Si, System::Us].map(|s| measure.number(s));
        // 0.07 m = 0.22966 ft, 0.6 m = 1.96850 ft.
        assert_eq!(both(shift(0.07).rounded_down()), ["0.07", "0.229"]);
        assert_eq!(both(shift(0.6).rounded_up()), ["0.60", "1.969"]);
    }

    #[test]
    fn signs_and_digits_that_were_stated() {
        let shift = |kept| Measure::new(kept, Form::Small).signed().number(System::Si);
        assert_eq!((shift(0.0031), shift(-0.0001)), ("+3".to_string(), "0".to_string()));
        assert_eq!(Measure::new(0.0125, Form::Length).as_stated().to_string(), "0.0125 m");
        let stated = |kept_m| Measure::new(kept_m, Form::Length).as_stated().number(System::Us);
        assert_eq!([stated(0.04), stated(0.1524)], ["0.131", "0.50"]);
        let hours = |kept| Measure::new(kept, Form::Duration).decimals(0).as_stated().to_string();
        assert_eq!((hours(16.0), hours(7.5)), ("16 h".to_string(), "7.5 h".to_string()));
        assert_eq!(Measure::new(12.3456, Form::Length).decimals(2).to_string(), "12.35 m");
        assert_eq!(Measure::new(30.48, Form::Length).decimals(2).number(System::Us), "100.00");
        assert_eq!(Measure::new(125.4e-6, Form::Film).to_string(), "125.4 \u{b5}m");
    }
}
