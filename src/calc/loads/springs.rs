//! Stiffness of a block from the layers that it is built of.

use super::error::LoadsError;
use crate::calc::formula::Formula;

/// How a block's stiffness is found.
pub const STIFFNESS: Formula = Formula {
    name: "stiffness of a block",
    title: "Stiffness of a block",
    says: "`k = 1 / sum(h / (E A))` over its layers from the floor up, h the thickness, E the elastic \
           modulus in the direction of the load, A the area of a layer. The load is taken to spread at once \
           over the whole layer. Timber across the grain is far from linear: it yields early, hardens as it \
           is crushed, creeps and does not spring back, so a load found with one modulus is an estimate",
    source: "springs in series",
};

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// Its thickness in the direction of the load, m.
    pub thickness_m: f64,
    /// Its area across the load, m2.
    pub area_m2: f64,
    /// Its elastic modulus in the direction of the load, kPa.
    pub modulus_kpa: f64,
}

/// Stiffness of a block, kN/m. Every thickness, area and modulus must be a number above 0.
pub fn stiffness_kn_per_m(layers: &[Layer]) -> Result<f64, LoadsError> {
    if layers.is_empty() {
        return Err(LoadsError::NoLayers);
    }
    let mut give_m_per_kn = 0.0;
    for (number, layer) in layers.iter().enumerate() {
        let named = [
            ("thickness", layer.thickness_m),
            ("area", layer.area_m2),
            ("elastic modulus", layer.modulus_kpa),
        ];
        for (quantity, value) in named {
            if !(value > 0.0 && value.is_finite()) {
                return Err(LoadsError::Layer { number, quantity });
            }
        }
        give_m_per_kn += layer.thickness_m / (layer.modulus_kpa * layer.area_m2);
    }
    let stiffness = 1.0 / give_m_per_kn;
    if stiffness > 0.0 && stiffness.is_finite() {
        Ok(stiffness)
    } else {
        Err(LoadsError::NotSettled)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const OAK: Layer = Layer { thickness_m: 0.3, area_m2: 0.84, modulus_kpa: 6e5 };
    const CONCRETE: Layer = Layer { thickness_m: 1.2, area_m2: 1.2, modulus_kpa: 3e7 };

    #[test]
    fn layers_are_springs_in_series() {
        // By hand: 0.3 / (6e5 x 0.84) + 1.2 / (3e7 x 1.2) = 5.952381e-7 + 3.333333e-8 m/kN.
        let found = stiffness_kn_per_m(&[CONCRETE, OAK]).unwrap_or(0.0);
        assert!((found - 1.0 / 6.285_714_285_7e-7).abs() < 1e-3, "{found}");
        // Two halves are the whole.
        let half = Layer { thickness_m: 0.15, ..OAK };
        let (two, one) = (stiffness_kn_per_m(&[half, half]), stiffness_kn_per_m(&[OAK]));
        assert!((two.unwrap_or(0.0) / one.unwrap_or(1.0) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn what_is_no_spring_is_refused() {
        assert_eq!(stiffness_kn_per_m(&[]), Err(LoadsError::NoLayers));
        for (layer, quantity) in [
            (Layer { thickness_m: 0.0, ..OAK }, "thickness"),
            (Layer { area_m2: -1.0, ..OAK }, "area"),
            (Layer { modulus_kpa: f64::NAN, ..OAK }, "elastic modulus"),
            (Layer { modulus_kpa: f64::INFINITY, ..OAK }, "elastic modulus"),
        ] {
            let found = stiffness_kn_per_m(&[CONCRETE, layer]);
            assert_eq!(found, Err(LoadsError::Layer { number: 1, quantity }));
        }
        let tiny = Layer { area_m2: 1e-300, modulus_kpa: 1e-300, ..OAK };
        assert!(stiffness_kn_per_m(&[tiny]).is_err());
    }
}
