//! Units as files write them: suffixes, factors, and quantities as text.
//!
//! Every numeric column or key of a project carries its unit as the last part of its name
//! (`length_mm`, `mass_lt`). Reading converts to one *kept* unit per quantity, named in
//! [`Quantity::kept`]; every figure inside the program is in that unit and its name says so.
//!
//! Factors follow NIST SP 811 (2008), appendix B. Between mass and force the standard acceleration
//! of gravity 9.80665 m/s2 is used, as that appendix does.

/// Standard acceleration of gravity in m/s2 (NIST SP 811, section 8.3 and appendix B).
pub const STANDARD_GRAVITY_M_PER_S2: f64 = 9.80665;

const METRES_PER_FOOT: f64 = 0.3048;
const METRES_PER_INCH: f64 = 0.0254;
const KILOGRAMS_PER_POUND: f64 = 0.453_592_37;
const KILOGRAMS_PER_LONG_TON: f64 = 2240.0 * KILOGRAMS_PER_POUND;
const KILOGRAMS_PER_SHORT_TON: f64 = 2000.0 * KILOGRAMS_PER_POUND;
const LITRES_PER_US_GALLON: f64 = 3.785_411_784;
const NEWTONS_PER_POUND_FORCE: f64 = KILOGRAMS_PER_POUND * STANDARD_GRAVITY_M_PER_S2;

/// What kind of thing a number measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Quantity {
    /// A length or a distance, kept in metres.
    Length,
    /// An area, kept in square metres.
    Area,
    /// A second moment of area, kept in metres to the fourth.
    SecondMoment,
    /// A volume, kept in litres.
    Volume,
    /// A mass, kept in tonnes (accepted for use with the SI, NIST SP 811 table 6).
    Mass,
    /// A force, kept in kilonewtons.
    Force,
    /// A pressure, a stress or a modulus, kept in kilopascals.
    Pressure,
    /// A temperature, kept in degrees Celsius.
    Temperature,
    /// A difference of temperatures, kept in kelvins.
    TemperatureDifference,
    /// A ratio, kept in per cent.
    Ratio,
    /// A plane angle, kept in degrees (accepted for use with the SI, NIST SP 811 table 6).
    Angle,
    /// A length of time, kept in hours (accepted for use with the SI, NIST SP 811 table 6).
    Duration,
    /// A mass per volume, kept in tonnes per cubic metre.
    Density,
    /// A mass per area, kept in milligrams per square metre.
    SurfaceDensity,
    /// An electric conductivity, kept in microsiemens per centimetre.
    Conductivity,
    /// An electric voltage, kept in volts.
    Voltage,
    /// Mass that sinks a ship by a unit of draft, kept in tonnes per centimetre.
    Immersion,
    /// Moment that trims a ship by a unit of trim, kept in tonne-metres per centimetre.
    TrimMoment,
    /// Mass times a lever, kept in tonne-metres.
    Moment,
    /// Rise or fall per time, kept in metres per hour.
    LevelRate,
    /// Load on a length, kept in tonnes per metre.
    LineLoad,
}

/// In which units figures are shown to people. Records and derived tables keep theirs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum System {
    /// Metres, tonnes, kilopascals, degrees Celsius.
    #[default]
    Si,
    /// US customary: feet and inches, long tons, mils, psi, degrees Fahrenheit.
    Us,
}

/// One accepted unit: `kept = written * factor + offset`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// The last part of a column's name, such as `mm`.
    pub suffix: &'static str,
    /// What it measures.
    pub quantity: Quantity,
    /// Multiplies the number as written.
    pub factor: f64,
    /// Added afterwards; not zero for degrees Fahrenheit only.
    pub offset: f64,
}

const fn unit(suffix: &'static str, quantity: Quantity, factor: f64) -> Unit {
    Unit { suffix, quantity, factor, offset: 0.0 }
}

/// Every accepted unit. The kept unit of each quantity stands first among its fellows.
pub const UNITS: &[Unit] = &[
    unit("m", Quantity::Length, 1.0),
    unit("cm", Quantity::Length, 0.01),
    unit("mm", Quantity::Length, 0.001),
    unit("um", Quantity::Length, 1e-6),
    unit("ft", Quantity::Length, METRES_PER_FOOT),
    unit("in", Quantity::Length, METRES_PER_INCH),
    unit("mil", Quantity::Length, METRES_PER_INCH / 1000.0),
    unit("m2", Quantity::Area, 1.0),
    unit("cm2", Quantity::Area, 1e-4),
    unit("mm2", Quantity::Area, 1e-6),
    unit("ft2", Quantity::Area, METRES_PER_FOOT * METRES_PER_FOOT),
    unit("in2", Quantity::Area, METRES_PER_INCH * METRES_PER_INCH),
    unit("m4", Quantity::SecondMoment, 1.0),
    unit("cm4", Quantity::SecondMoment, 1e-8),
    unit("mm4", Quantity::SecondMoment, 1e-12),
    unit(
        "ft4",
        Quantity::SecondMoment,
        METRES_PER_FOOT * METRES_PER_FOOT * METRES_PER_FOOT * METRES_PER_FOOT,
    ),
    unit(
        "in4",
        Quantity::SecondMoment,
        METRES_PER_INCH * METRES_PER_INCH * METRES_PER_INCH * METRES_PER_INCH,
    ),
    unit("l", Quantity::Volume, 1.0),
    unit("gal", Quantity::Volume, LITRES_PER_US_GALLON),
    unit("ft3", Quantity::Volume, METRES_PER_FOOT * METRES_PER_FOOT * METRES_PER_FOOT * 1000.0),
    unit("t", Quantity::Mass, 1.0),
    unit("kg", Quantity::Mass, 0.001),
    unit("lb", Quantity::Mass, KILOGRAMS_PER_POUND / 1000.0),
    unit("lt", Quantity::Mass, KILOGRAMS_PER_LONG_TON / 1000.0),
    unit("st", Quantity::Mass, KILOGRAMS_PER_SHORT_TON / 1000.0),
    unit("kn", Quantity::Force, 1.0),
    unit("n", Quantity::Force, 0.001),
    unit("tf", Quantity::Force, STANDARD_GRAVITY_M_PER_S2),
    unit("lbf", Quantity::Force, NEWTONS_PER_POUND_FORCE / 1000.0),
    unit("kpa", Quantity::Pressure, 1.0),
    unit("mpa", Quantity::Pressure, 1000.0),
    unit("gpa", Quantity::Pressure, 1e6),
    unit(
        "psi",
        Quantity::Pressure,
        NEWTONS_PER_POUND_FORCE / (METRES_PER_INCH * METRES_PER_INCH) / 1000.0,
    ),
    unit("ksi", Quantity::Pressure, NEWTONS_PER_POUND_FORCE / (METRES_PER_INCH * METRES_PER_INCH)),
    unit("t_m2", Quantity::Pressure, STANDARD_GRAVITY_M_PER_S2),
    unit(
        "lt_ft2",
        Quantity::Pressure,
        KILOGRAMS_PER_LONG_TON * STANDARD_GRAVITY_M_PER_S2
            / (METRES_PER_FOOT * METRES_PER_FOOT)
            / 1000.0,
    ),
    unit("c", Quantity::Temperature, 1.0),
    Unit { suffix: "f", quantity: Quantity::Temperature, factor: 5.0 / 9.0, offset: -160.0 / 9.0 },
    unit("k", Quantity::TemperatureDifference, 1.0),
    unit("c", Quantity::TemperatureDifference, 1.0),
    unit("f", Quantity::TemperatureDifference, 5.0 / 9.0),
    unit("pct", Quantity::Ratio, 1.0),
    unit("deg", Quantity::Angle, 1.0),
    unit("h", Quantity::Duration, 1.0),
    unit("min", Quantity::Duration, 1.0 / 60.0),
    unit("d", Quantity::Duration, 24.0),
    unit("t_m3", Quantity::Density, 1.0),
    unit("kg_m3", Quantity::Density, 0.001),
    unit(
        "lb_ft3",
        Quantity::Density,
        KILOGRAMS_PER_POUND / (METRES_PER_FOOT * METRES_PER_FOOT * METRES_PER_FOOT) / 1000.0,
    ),
    unit("mg_m2", Quantity::SurfaceDensity, 1.0),
    unit("ug_cm2", Quantity::SurfaceDensity, 10.0),
    unit("us_cm", Quantity::Conductivity, 1.0),
    unit("ms_m", Quantity::Conductivity, 10.0),
    unit("v", Quantity::Voltage, 1.0),
    unit("kv", Quantity::Voltage, 1000.0),
    unit("t_per_cm", Quantity::Immersion, 1.0),
    unit(
        "lt_per_in",
        Quantity::Immersion,
        KILOGRAMS_PER_LONG_TON / 1000.0 / (METRES_PER_INCH * 100.0),
    ),
    unit("tm_per_cm", Quantity::TrimMoment, 1.0),
    unit(
        "ltft_per_in",
        Quantity::TrimMoment,
        KILOGRAMS_PER_LONG_TON / 1000.0 * METRES_PER_FOOT / (METRES_PER_INCH * 100.0),
    ),
    unit("tm", Quantity::Moment, 1.0),
    unit("knm", Quantity::Moment, 1.0 / STANDARD_GRAVITY_M_PER_S2),
    unit("ltft", Quantity::Moment, KILOGRAMS_PER_LONG_TON / 1000.0 * METRES_PER_FOOT),
    unit("m_per_h", Quantity::LevelRate, 1.0),
    unit("ft_per_h", Quantity::LevelRate, METRES_PER_FOOT),
    unit("t_per_m", Quantity::LineLoad, 1.0),
    unit("kn_per_m", Quantity::LineLoad, 1.0 / STANDARD_GRAVITY_M_PER_S2),
    unit("lt_per_ft", Quantity::LineLoad, KILOGRAMS_PER_LONG_TON / 1000.0 / METRES_PER_FOOT),
];

/// Other words for a unit, as yards write them, each with its suffix. The specific gravity of water is read as its
/// density in tonnes per cubic metre, that is, against water of 1 t/m3.
pub const ALSO: &[(&str, &str)] = &[
    ("feet", "ft"),
    ("foot", "ft"),
    ("inches", "in"),
    ("inch", "in"),
    ("mils", "mil"),
    ("microns", "um"),
    ("sq_ft", "ft2"),
    ("sq_in", "in2"),
    ("cu_ft", "ft3"),
    ("gals", "gal"),
    ("lbs", "lb"),
    ("long_tons", "lt"),
    ("short_tons", "st"),
    ("sg", "t_m3"),
    ("tpi", "lt_per_in"),
    ("mti", "ltft_per_in"),
];

/// The unit of a column that is called by its unit alone, as hydrostatic tables and hydrometers do.
pub fn heading(name: &str) -> Option<&'static Unit> {
    let alone = ["tpi", "mti", "sg"].contains(&name);
    UNITS.iter().find(|unit| alone && unit.is_called(name))
}

impl Unit {
    /// Whether a word is another name of this unit.
    pub fn is_called(&self, word: &str) -> bool {
        ALSO.iter().any(|(also, suffix)| word == *also && self.suffix == *suffix)
    }

    /// The number in the kept unit of this unit's quantity.
    pub fn to_kept(&self, written: f64) -> f64 {
        written * self.factor + self.offset
    }

    /// The unit as it follows a number: with a space, but for the degree of an angle.
    pub fn after_number(&self) -> String {
        let printed = printed(self.suffix);
        if self.quantity == Quantity::Angle { printed.to_string() } else { format!(" {printed}") }
    }

    /// The unit in which those who go by a system write what others write in this one: mm and in, µm and mil.
    pub fn in_system(&'static self, system: System) -> &'static Unit {
        let us = match self.suffix {
            "m" => "ft",
            "cm" | "mm" => "in",
            "um" => "mil",
            "m2" => "ft2",
            "cm2" | "mm2" => "in2",
            "m4" => "ft4",
            "cm4" | "mm4" => "in4",
            "l" => "gal",
            "t" => "lt",
            "kg" => "lb",
            "kn" | "n" | "tf" => "lbf",
            "kpa" | "mpa" | "gpa" | "t_m2" => "psi",
            "c" | "k" => "f",
            "t_m3" | "kg_m3" => "lb_ft3",
            "mg_m2" => "ug_cm2",
            "t_per_cm" => "lt_per_in",
            "tm_per_cm" => "ltft_per_in",
            "tm" | "knm" => "ltft",
            "t_per_m" | "kn_per_m" => "lt_per_ft",
            "m_per_h" => "ft_per_h",
            other => other,
        };
        match system {
            System::Si => self,
            System::Us => self.quantity.unit(us).unwrap_or(self),
        }
    }

    /// A heading that this unit ends, with the one that those write who go by a system.
    pub fn ending_in(&'static self, heading: &str, system: System) -> String {
        let named = heading.strip_suffix(self.suffix).unwrap_or(heading);
        format!("{named}{}", self.in_system(system).suffix)
    }

    /// The number in this unit of one in the kept unit.
    pub fn from_kept(&self, kept: f64) -> f64 {
        (kept - self.offset) / self.factor
    }
}

impl Quantity {
    /// The unit in which the program keeps this quantity.
    pub fn kept(self) -> &'static Unit {
        self.accepted().next().unwrap_or(&UNITS[0])
    }

    /// Every unit in which a file may give this quantity, the kept one first.
    pub fn accepted(self) -> impl Iterator<Item = &'static Unit> {
        UNITS.iter().filter(move |unit| unit.quantity == self)
    }

    /// The unit of this quantity with that suffix.
    pub fn unit(self, suffix: &str) -> Option<&'static Unit> {
        self.accepted().find(|unit| unit.suffix == suffix || unit.is_called(suffix))
    }

    /// What the quantity is called in a message.
    pub fn name(self) -> &'static str {
        match self {
            Quantity::Length => "a length",
            Quantity::Area => "an area",
            Quantity::SecondMoment => "a second moment of area",
            Quantity::Volume => "a volume",
            Quantity::Mass => "a mass",
            Quantity::Force => "a force",
            Quantity::Pressure => "a pressure",
            Quantity::Temperature => "a temperature",
            Quantity::TemperatureDifference => "a temperature difference",
            Quantity::Ratio => "a ratio",
            Quantity::Angle => "an angle",
            Quantity::Duration => "a length of time",
            Quantity::Density => "a density",
            Quantity::SurfaceDensity => "a mass per area",
            Quantity::Conductivity => "a conductivity",
            Quantity::Voltage => "a voltage",
            Quantity::Immersion => "a mass per immersion",
            Quantity::TrimMoment => "a moment per trim",
            Quantity::Moment => "a moment",
            Quantity::LevelRate => "a rate of level",
            Quantity::LineLoad => "a load per length",
        }
    }

    /// The accepted suffixes as a sentence part: `m, cm, mm, um, ft, in or mil`.
    pub fn accepted_as_text(self) -> String {
        let suffixes: Vec<&str> = self.accepted().map(|unit| unit.suffix).collect();
        one_of(&suffixes)
    }
}

/// Joins words as a person would: `a`, `a or b`, `a, b or c`.
pub fn one_of(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [only] => (*only).to_string(),
        [head @ .., last] => format!("{} or {last}", head.join(", ")),
    }
}

/// Splits a column's name into what is measured and the suffix of its unit. The longest suffix
/// wins, so that `mct_tm_per_cm` is `mct` in `tm_per_cm`. `None` if no known suffix ends the name.
pub fn split_suffix(name: &str) -> Option<(&str, &'static str)> {
    UNITS
        .iter()
        .filter_map(|unit| {
            let base = name.strip_suffix(unit.suffix)?.strip_suffix('_')?;
            (!base.is_empty()).then_some((base, unit.suffix))
        })
        .max_by_key(|(_, suffix)| suffix.len())
}

/// A unit's suffix as it is printed beside a number: `t_m2` becomes `t/m2`.
pub fn printed(suffix: &str) -> &str {
    match suffix {
        "um" => "\u{b5}m",
        "m2" => "m\u{b2}",
        "cm2" => "cm\u{b2}",
        "mm2" => "mm\u{b2}",
        "ft2" => "ft\u{b2}",
        "ft3" => "ft\u{b3}",
        "in2" => "in\u{b2}",
        "m4" => "m\u{2074}",
        "cm4" => "cm\u{2074}",
        "mm4" => "mm\u{2074}",
        "ft4" => "ft\u{2074}",
        "in4" => "in\u{2074}",
        "kn" => "kN",
        "n" => "N",
        "kpa" => "kPa",
        "mpa" => "MPa",
        "gpa" => "GPa",
        "t_m2" => "t/m\u{b2}",
        "lt_ft2" => "lt/ft\u{b2}",
        "c" => "\u{b0}C",
        "f" => "\u{b0}F",
        "k" => "K",
        "pct" => "%",
        "deg" => "\u{b0}",
        "t_m3" => "t/m\u{b3}",
        "kg_m3" => "kg/m\u{b3}",
        "lb_ft3" => "lb/ft\u{b3}",
        "mg_m2" => "mg/m\u{b2}",
        "ug_cm2" => "\u{b5}g/cm\u{b2}",
        "us_cm" => "\u{b5}S/cm",
        "ms_m" => "mS/m",
        "v" => "V",
        "kv" => "kV",
        "t_per_cm" => "t/cm",
        "lt_per_in" => "lt/in",
        "tm_per_cm" => "t m/cm",
        "ltft_per_in" => "lt ft/in",
        "tm" => "t m",
        "knm" => "kN m",
        "ltft" => "lt ft",
        "t_per_m" => "t/m",
        "kn_per_m" => "kN/m",
        "lt_per_ft" => "lt/ft",
        "m_per_h" => "m/h",
        "ft_per_h" => "ft/h",
        other => other,
    }
}

/// The kept unit of a quantity in UCUM, the Unified Code for Units of Measure, case sensitive.
pub fn ucum(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Length => "m",
        Quantity::Area => "m2",
        Quantity::SecondMoment => "m4",
        Quantity::Volume => "L",
        Quantity::Mass => "t",
        Quantity::Force => "kN",
        Quantity::Pressure => "kPa",
        Quantity::Temperature => "Cel",
        Quantity::TemperatureDifference => "K",
        Quantity::Ratio => "%",
        Quantity::Angle => "deg",
        Quantity::Duration => "h",
        Quantity::Density => "t/m3",
        Quantity::SurfaceDensity => "mg/m2",
        Quantity::Conductivity => "uS/cm",
        Quantity::Voltage => "V",
        Quantity::Immersion => "t/cm",
        Quantity::TrimMoment => "t.m/cm",
        Quantity::Moment => "t.m",
        Quantity::LevelRate => "m/h",
        Quantity::LineLoad => "t/m",
    }
}

/// A number with a fixed count of decimals, without a negative zero.
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| b == b'0' || b == b'.') => rest.to_string(),
        _ => text,
    }
}

/// The decimals that a number has, of its nine significant digits, but no fewer than `least` and no more than
/// `most`.
pub fn decimals_of(value: f64, least: usize, most: usize) -> usize {
    let text = nine_digits(value);
    let has = text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    // Parts of a printed digit that computing leaves are no decimals.
    let whole = |decimals: &usize| {
        let printed = fixed(value, *decimals).parse::<f64>().unwrap_or(value);
        (printed - value).abs() <= 1e-7 * value.abs().max(1e-3)
    };
    (least..has.min(most)).find(whole).unwrap_or(has.clamp(least, most))
}

/// A number with nine significant digits and no trailing zeros, as the tables write it: enough for
/// every reading, and short of the digits in which machines may differ.
pub fn nine_digits(value: f64) -> String {
    if value == 0.0 {
        return "0".to_string();
    }
    let scientific = format!("{value:.8e}");
    let exponent = scientific
        .split_once('e')
        .and_then(|(_, exponent)| exponent.parse::<i32>().ok())
        .unwrap_or(0);
    if !(-7..=15).contains(&exponent) {
        return scientific;
    }
    let decimals = usize::try_from(8 - exponent).unwrap_or(0);
    let rounded: f64 = scientific.parse().unwrap_or(value);
    let text = format!("{rounded:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_string()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_longest_suffix_wins() {
        assert_eq!(split_suffix("mct_tm_per_cm"), Some(("mct", "tm_per_cm")));
        assert_eq!(split_suffix("tpc_t_per_cm"), Some(("tpc", "t_per_cm")));
        assert_eq!(split_suffix("area_m2"), Some(("area", "m2")));
        assert_eq!(split_suffix("limit_lt_ft2"), Some(("limit", "lt_ft2")));
        assert_eq!(split_suffix("m"), None);
        assert_eq!(split_suffix("block"), None);
    }

    #[test]
    fn the_kept_unit_of_each_quantity_has_factor_one() {
        for unit in UNITS {
            assert_eq!(unit.quantity.kept().factor, 1.0, "{}", unit.suffix);
            assert_eq!(unit.quantity.kept().offset, 0.0, "{}", unit.suffix);
        }
    }

    #[test]
    fn numbers_as_text() {
        assert_eq!(fixed(-0.0004, 2), "0.00");
        assert_eq!(fixed(-1.5, 1), "-1.5");
        assert_eq!(nine_digits(0.1 + 0.2), "0.3");
        assert_eq!(nine_digits(-0.7), "-0.7");
        assert_eq!(nine_digits(3180.0), "3180");
        assert_eq!(nine_digits(1.0e-9), "1.00000000e-9");
        assert_eq!(nine_digits(123_456_789.4), "123456789");
        assert_eq!(nine_digits(0.0), "0");
    }
}
