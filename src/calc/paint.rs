//! Litres of paint for an area, and the film that wet paint leaves.

use super::formula::Formula;

/// How the litres expected are found.
pub const EXPECTED: Formula = Formula {
    name: "paint expected",
    title: "Paint that a coat takes in theory",
    says: "`litres = (area x dry film) / (10 x volume solids)`, the area in m\u{b2}, the dry film in \u{b5}m \
           and the solids in per cent: no losses, and no paint that fills the profile",
    source: "definition of the theoretical spreading rate; volume solids as ISO 3233 measures them",
};

/// How the dry film is found from the wet one.
pub const DRY_FROM_WET: Formula = Formula {
    name: "dry film from wet",
    title: "Dry film that a wet film leaves",
    says: "`dry film = (wet film x volume solids) / 100`, without thinner",
    source: "definition of volume solids, as ISO 3233 measures them",
};

/// Volume solids as a part of one; `None` unless over 0 and up to 100 per cent.
fn solids(volume_solids_pct: f64) -> Option<f64> {
    (volume_solids_pct > 0.0 && volume_solids_pct <= 100.0).then_some(volume_solids_pct / 100.0)
}

/// Litres that an area in m2 takes at a dry film in m. `None` unless the volume solids are over 0 and up to
/// 100 per cent.
pub fn expected_l(area_m2: f64, dry_film_m: f64, volume_solids_pct: f64) -> Option<f64> {
    const LITRES_PER_M3: f64 = 1000.0;
    Some(LITRES_PER_M3 * area_m2 * dry_film_m / solids(volume_solids_pct)?)
}

/// Litres used in per cent of those expected. `None` unless some are expected.
pub fn used_pct(used_l: f64, expected_l: f64) -> Option<f64> {
    (expected_l > 0.0).then_some(100.0 * used_l / expected_l)
}

/// The dry film in m that a wet film in m leaves. `None` unless the volume solids are over 0 and up to 100
/// per cent.
pub fn dry_from_wet_m(wet_film_m: f64, volume_solids_pct: f64) -> Option<f64> {
    Some(wet_film_m * solids(volume_solids_pct)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: Option<f64>, wanted: f64) {
        assert!(
            found.is_some_and(|found| (found - wanted).abs() < 1e-12),
            "{found:?}, not {wanted}"
        );
    }

    #[test]
    fn by_hand() {
        // 250 m2 at 125 um and 80 %: 250 x 125 / 800.
        near(expected_l(250.0, 125e-6, 80.0), 39.0625);
        near(used_pct(50.0, 39.0625), 128.0);
        near(dry_from_wet_m(200e-6, 62.5), 125e-6);
        near(dry_from_wet_m(200e-6, 100.0), 200e-6);
    }

    #[test]
    fn where_nothing_can_be_said() {
        for solids in [0.0, -1.0, 100.1, f64::NAN] {
            assert_eq!(expected_l(250.0, 125e-6, solids), None);
            assert_eq!(dry_from_wet_m(200e-6, solids), None);
        }
        assert_eq!(used_pct(50.0, 0.0), None);
        assert_eq!(used_pct(50.0, f64::NAN), None);
    }
}
