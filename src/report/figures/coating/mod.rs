//! The coating, drawn: what the bottom left the dock with, when each coat went on, climate, film.

mod climate;
mod film;
mod map;
mod times;

use super::drawing::Drawing;
use super::ground::Ground;

/// The drawings of the coating. What was not recorded is not drawn.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    let mut drawings = map::drawings(ground);
    drawings.extend(times::drawings(ground.examined));
    drawings.extend(climate::drawings(ground.examined));
    drawings.extend(film::drawings(ground.examined));
    drawings
}

#[cfg(test)]
mod tests;
