//! Unit factors against NIST Special Publication 811 (2008 edition), appendix B.8, as printed there: to
//! seven digits, or exact where the appendix prints the factor in bold.

use std::collections::BTreeSet;

use lastdock::units::{Quantity, STANDARD_GRAVITY_M_PER_S2, UNITS, Unit};

/// How the source gives a factor.
#[derive(Clone, Copy)]
enum Given {
    /// Exactly.
    Exact(f64),
    /// Rounded to seven digits.
    Seven(f64),
}
use Given::{Exact, Seven};

/// Appendix B.8 and what it says, converted by powers of ten only to the unit that is kept.
const APPENDIX_B8: &[(&str, Quantity, Given, &str)] = &[
    ("ft", Quantity::Length, Exact(3.048e-1), "foot (ft) to meter"),
    ("in", Quantity::Length, Exact(2.54e-2), "inch (in) to meter"),
    ("mil", Quantity::Length, Exact(2.54e-5), "mil (0.001 in) to meter"),
    ("ft2", Quantity::Area, Exact(9.290304e-2), "square foot to square meter"),
    ("in2", Quantity::Area, Exact(6.4516e-4), "square inch to square meter"),
    (
        "ft4",
        Quantity::SecondMoment,
        Seven(8.630975e-3),
        "foot to the fourth power to meter to the fourth power",
    ),
    (
        "in4",
        Quantity::SecondMoment,
        Seven(4.162314e-7),
        "inch to the fourth power to meter to the fourth power",
    ),
    ("ft3", Quantity::Volume, Seven(2.831685e1), "cubic foot to cubic meter, 2.831 685 E-02"),
    ("gal", Quantity::Volume, Seven(3.785412), "gallon (U.S.) to liter"),
    ("lb", Quantity::Mass, Seven(4.535924e-4), "pound (avoirdupois) to kilogram, 4.535 924 E-01"),
    ("lt", Quantity::Mass, Seven(1.016047), "ton, long (2240 lb) to kilogram, 1.016 047 E+03"),
    ("st", Quantity::Mass, Seven(9.071847e-1), "ton, short (2000 lb) to kilogram, 9.071 847 E+02"),
    ("kg", Quantity::Mass, Exact(1e-3), "tonne to kilogram, 1.0 E+03"),
    ("lbf", Quantity::Force, Seven(4.448222e-3), "pound-force to newton, 4.448 222 E+00"),
    ("tf", Quantity::Force, Exact(9.80665), "kilogram-force to newton, 9.806 65 E+00"),
    ("psi", Quantity::Pressure, Seven(6.894757), "psi to kilopascal"),
    ("ksi", Quantity::Pressure, Seven(6.894757e3), "ksi (kip/in2) to kilopascal"),
    (
        "t_m2",
        Quantity::Pressure,
        Exact(9.80665),
        "kilogram-force per square meter to pascal, 9.806 65 E+00",
    ),
    (
        "f",
        Quantity::TemperatureDifference,
        Seven(5.555556e-1),
        "degree Fahrenheit (interval) to kelvin",
    ),
    (
        "lb_ft3",
        Quantity::Density,
        Seven(1.601846e-2),
        "pound per cubic foot to kilogram per cubic meter, 1.601 846 E+01",
    ),
];

/// What follows from figures of the appendix by one multiplication or division of rounded figures.
const BY_ARITHMETIC: &[(&str, Quantity, f64, &str)] = &[
    // 2240 lbf/ft2, each 4.788 026 E+01 Pa.
    ("lt_ft2", Quantity::Pressure, 2240.0 * 4.788026e-2, "pound-force per square foot to pascal"),
    // 1.016 047 E+03 kg for 2.54 E-02 m.
    ("lt_per_in", Quantity::Immersion, 1.016047 / 2.54, "ton, long, and inch"),
    ("ltft_per_in", Quantity::TrimMoment, 1.016047 * 0.3048 / 2.54, "ton, long, foot and inch"),
    ("ltft", Quantity::Moment, 1.016047 * 0.3048, "ton, long, and foot"),
    ("knm", Quantity::Moment, 1.0 / 9.80665, "kilogram-force to newton"),
    ("kn_per_m", Quantity::LineLoad, 1.0 / 9.80665, "kilogram-force to newton"),
    ("lt_per_ft", Quantity::LineLoad, 1.016047 / 0.3048, "ton, long, and foot"),
    // The appendix gives 8.466 667 E-05 m/s.
    ("ft_per_h", Quantity::LevelRate, 8.466667e-5 * 3600.0, "foot per hour to meter per second"),
];

/// SI prefixes (SP 811 table 5) and units accepted for use with the SI (table 6): exact.
const SI: &[(&str, Quantity, f64)] = &[
    ("cm", Quantity::Length, 1e-2),
    ("mm", Quantity::Length, 1e-3),
    ("um", Quantity::Length, 1e-6),
    ("cm2", Quantity::Area, 1e-4),
    ("mm2", Quantity::Area, 1e-6),
    ("cm4", Quantity::SecondMoment, 1e-8),
    ("mm4", Quantity::SecondMoment, 1e-12),
    ("n", Quantity::Force, 1e-3),
    ("mpa", Quantity::Pressure, 1e3),
    ("gpa", Quantity::Pressure, 1e6),
    ("c", Quantity::TemperatureDifference, 1.0),
    ("min", Quantity::Duration, 1.0 / 60.0),
    ("d", Quantity::Duration, 24.0),
    ("kg_m3", Quantity::Density, 1e-3),
    // 1 ug/cm2 = 1e-3 mg / 1e-4 m2.
    ("ug_cm2", Quantity::SurfaceDensity, 10.0),
    // 1 mS/m = 1e3 uS / 1e2 cm.
    ("ms_m", Quantity::Conductivity, 10.0),
    ("kv", Quantity::Voltage, 1e3),
];

/// Units in which a quantity is kept, and the one that is not a factor alone.
const KEPT: &[(&str, Quantity)] = &[
    ("m", Quantity::Length),
    ("m2", Quantity::Area),
    ("m4", Quantity::SecondMoment),
    ("l", Quantity::Volume),
    ("t", Quantity::Mass),
    ("kn", Quantity::Force),
    ("kpa", Quantity::Pressure),
    ("c", Quantity::Temperature),
    ("k", Quantity::TemperatureDifference),
    ("pct", Quantity::Ratio),
    ("deg", Quantity::Angle),
    ("h", Quantity::Duration),
    ("t_m3", Quantity::Density),
    ("mg_m2", Quantity::SurfaceDensity),
    ("us_cm", Quantity::Conductivity),
    ("v", Quantity::Voltage),
    ("t_per_cm", Quantity::Immersion),
    ("tm_per_cm", Quantity::TrimMoment),
    ("tm", Quantity::Moment),
    ("m_per_h", Quantity::LevelRate),
    ("t_per_m", Quantity::LineLoad),
];

fn unit(suffix: &str, quantity: Quantity) -> &'static Unit {
    quantity.unit(suffix).unwrap_or_else(|| panic!("no unit {suffix} for {}", quantity.name()))
}

#[track_caller]
fn close(suffix: &str, found: f64, wanted: f64, relative: f64, source: &str) {
    let off = (found / wanted - 1.0).abs();
    assert!(off <= relative, "{suffix}: {found:e}, and {source} gives {wanted:e}");
}

#[test]
fn factors_are_those_of_appendix_b8() {
    for (suffix, quantity, given, source) in APPENDIX_B8 {
        let found = unit(suffix, *quantity).factor;
        match given {
            Exact(wanted) => close(suffix, found, *wanted, 4.0 * f64::EPSILON, source),
            // Half a unit of the seventh digit, which is the most at a leading 1.
            Seven(wanted) => close(suffix, found, *wanted, seven_digits(*wanted), source),
        }
    }
    assert_eq!(STANDARD_GRAVITY_M_PER_S2, 9.80665, "acceleration of free fall, standard");
}

/// The relative error that rounding to seven digits may leave.
fn seven_digits(value: f64) -> f64 {
    let digits = format!("{value:e}");
    let leading: f64 = digits.split('e').next().and_then(|text| text.parse().ok()).expect("digits");
    0.5e-6 / leading
}

#[test]
fn factors_follow_from_figures_of_appendix_b8() {
    for (suffix, quantity, wanted, source) in BY_ARITHMETIC {
        close(suffix, unit(suffix, *quantity).factor, *wanted, 5e-7, source);
    }
}

#[test]
fn si_units_are_powers_of_ten() {
    for (suffix, quantity, wanted) in SI {
        let found = unit(suffix, *quantity).factor;
        close(suffix, found, *wanted, 4.0 * f64::EPSILON, "SP 811 tables 5 and 6");
    }
    for (suffix, quantity) in KEPT {
        assert_eq!(quantity.kept().suffix, *suffix);
    }
}

/// Appendix B.8: t/C = (t/F - 32)/1.8.
#[test]
fn degrees_fahrenheit() {
    let f = unit("f", Quantity::Temperature);
    for (fahrenheit, celsius) in [(32.0, 0.0), (212.0, 100.0), (-40.0, -40.0), (68.0, 20.0)] {
        assert!((f.to_kept(fahrenheit) - celsius).abs() < 1e-12, "{fahrenheit} F");
    }
}

#[test]
fn no_unit_lacks_a_check() {
    let checked: BTreeSet<(&str, Quantity)> = APPENDIX_B8
        .iter()
        .map(|(suffix, quantity, ..)| (*suffix, *quantity))
        .chain(BY_ARITHMETIC.iter().map(|(suffix, quantity, ..)| (*suffix, *quantity)))
        .chain(SI.iter().map(|(suffix, quantity, _)| (*suffix, *quantity)))
        .chain(KEPT.iter().copied())
        .chain([("f", Quantity::Temperature)])
        .collect();
    let all: BTreeSet<(&str, Quantity)> =
        UNITS.iter().map(|unit| (unit.suffix, unit.quantity)).collect();
    assert_eq!(all.len(), UNITS.len(), "a unit stands twice");
    let lacking: Vec<_> = all.difference(&checked).collect();
    assert!(lacking.is_empty(), "{lacking:?}");
}
