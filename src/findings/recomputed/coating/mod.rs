//! The coating: what each zone's steel really received, and every interval that the logs give.

pub mod applied;
pub mod film;
pub mod graded;
pub mod limited;
pub mod short;
pub mod tested;
pub mod windows;
mod zone;

use crate::calc::exposure::{Bottom, Hidden};
use crate::hull::Lie;
use crate::records::Project;
use applied::Applied;
use film::Film;
use short::{Shortfall, shortfall};
use tested::Tested;
use windows::Windows;

pub(super) use zone::histories;
pub use zone::{Completeness, Part, What, ZoneHistory, feathering_m, hours, nominal_dft_m, span_h};

/// What comes out of the coating's records.
#[derive(Debug)]
pub struct Coating {
    /// The zones in the order of the project's list.
    pub zones: Vec<ZoneHistory>,
    /// What of the bottom is short of its scheme.
    pub short: Shortfall,
    /// Each application, in the order of the project's list.
    pub applied: Vec<Applied>,
    /// Film readings by zone and coat.
    pub film: Vec<Film>,
    /// Tests by zone, coat and kind.
    pub tested: Vec<Tested>,
}

impl Coating {
    /// Recomputes the coating. `hidden` and `lies` are empty where a position can't be placed.
    pub fn new(project: &Project, hidden: &[Hidden], lies: &[Lie], bottom: &Bottom) -> Self {
        let placed = hidden.len() == project.positions.len();
        let zones = histories(project, placed.then_some(hidden), lies, bottom);
        let (windows, (applied, film, short)) = rayon::join(
            || Windows::new(project, &zones, hidden),
            || {
                (
                    applied::applied(project, &zones, hidden),
                    film::film(project, &zones, hidden),
                    shortfall(project, &zones),
                )
            },
        );
        let tested = tested::tested(project, &zones, hidden);
        Self { tested, short, applied: applied::with_windows(applied, windows), film, zones }
    }
}
