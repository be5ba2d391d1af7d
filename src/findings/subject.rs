//! What findings are about: one list of all comparisons that the program makes, with the ids by which answers, old
//! bundles and pages know them.

use std::fmt;

macro_rules! name {
    ($part:ident) => {
        String
    };
}

macro_rules! subjects {
    ($($subject:ident $(($($part:ident),+))? => $id:literal;)*) => {
        /// What a finding is about. It prints as the finding's id, which is the same for the same comparison
        /// whatever it comes out as.
        #[derive(Debug, Clone, PartialEq, Eq)]
        pub enum Subject {
            $(#[doc = $id] $subject $(($(name!($part)),+))?,)*
        }

        impl fmt::Display for Subject {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                match self {
                    $(Subject::$subject $(($($part),+))? => write!(f, $id),)*
                }
            }
        }
    };
}

/// A kind of finding that takes one name: of a position, a coat, a strake.
pub type ByName = fn(String) -> Subject;

subjects! {
    CapsApart => "plan.blocks.apart";
    BlockHeight(block) => "plan.block.{block}.height";
    BlockLayers(block) => "plan.block.{block}.layers";
    Frames => "plan.frames";
    OpeningFrame(opening) => "plan.opening.{opening}.frame";
    OpeningSide(opening) => "plan.opening.{opening}.side";

    Station(position) => "positions.{position}.station";
    Offset(position) => "positions.{position}.offset";
    Yaw(position) => "positions.{position}.yaw";
    Sighting(position, name) => "positions.{position}.sighting.{name}";
    FromPlan(position) => "positions.{position}.plan";
    PositionTimes(position) => "positions.{position}.times";
    PositionOrder => "positions.order";
    Shift(pair) => "positions.{pair}.shift";

    NeverExposed => "exposure.never_exposed";

    Clearance(opening, position) => "openings.{opening}.{position}.clearance";
    Drain(opening, position) => "openings.{opening}.{position}.drain";
    Closed(opening) => "openings.{opening}.closed";
    OpeningOrder(opening) => "openings.{opening}.order";
    Plugs => "openings.plugs";

    Marks(survey, place) => "landing.{survey}.marks.{place}";
    Displacement(survey) => "landing.{survey}.displacement";
    WeightsTotal => "landing.weights.total";
    WeightsCentre => "landing.weights.centre";
    Trim(position) => "landing.{position}.trim";
    List(position) => "landing.{position}.list";
    LeastGm(position) => "landing.{position}.gm";
    KnuckleLoad(position) => "landing.{position}.knuckle_load";
    KnucklePressure(position) => "landing.{position}.knuckle_pressure";
    Knuckle(position) => "landing.{position}.knuckle";
    SecondTouch(position) => "landing.{position}.second_touch";
    NilGm(position) => "landing.{position}.nil_gm";
    WaterTouched(position) => "landing.{position}.water_touched";
    WaterLanded(position) => "landing.{position}.water_landed";
    DewateringRate(position) => "landing.{position}.dewatering_rate";
    WaterEvents(position) => "landing.{position}.water_events";
    LandingCheck(position, name) => "landing.{position}.check.{name}";
    LoadsBalance(position) => "landing.{position}.loads.balance";
    LoadsPressure(position) => "landing.{position}.loads.pressure";
    Gap(position, name) => "landing.{position}.gap.{name}";
    LiftOffAft(position) => "landing.{position}.lift-off.aft";
    LiftOffForward(position) => "landing.{position}.lift-off.forward";
    LiftOffList(position) => "landing.{position}.lift-off.list";

    ZonesCover => "coating.zones.cover";
    ZoneArea(zone) => "coating.zone.{zone}.area";
    ZoneScheme(zone) => "coating.zone.{zone}.scheme";
    ZoneComplete(zone) => "coating.zone.{zone}.complete";
    CoatTimes(coat) => "coating.{coat}.times";
    Claim(coat) => "coating.{coat}.claim";
    CoatOrder(coat) => "coating.{coat}.order";
    Product(coat) => "coating.{coat}.product";
    Batch(coat) => "coating.{coat}.batch";
    Covered(coat) => "coating.{coat}.preparation.covered";
    Grade(coat) => "coating.{coat}.preparation.grade";
    Profile(coat) => "coating.{coat}.preparation.profile";
    Salts(coat) => "coating.{coat}.preparation.salts";
    Dust(coat) => "coating.{coat}.preparation.dust";
    PreparationAge(coat) => "coating.{coat}.preparation.age";
    ClimateMargin(coat) => "coating.{coat}.climate.margin";
    ClimateHumidity(coat) => "coating.{coat}.climate.humidity";
    ClimateAge(coat) => "coating.{coat}.climate.age";
    Recoat(upper, lower) => "coating.{upper}.recoat.{lower}";
    TieIn(upper, lower) => "coating.{upper}.border.{lower}";
    Immersion(coat, position) => "coating.{coat}.immersion.{position}";
    Paint(coat) => "coating.{coat}.paint";
    WetFilm(coat) => "coating.{coat}.wet_film";
    PreparationPlaces(zone) => "preparation.{zone}.place";
    DewPoints(day) => "climate.{day}.dew_point";

    Film(zone, coat) => "film.{zone}.coat{coat}";
    FilmOwed(zone, coat) => "film.{zone}.coat{coat}.owed";
    FilmPlaces(zone, coat) => "film.{zone}.coat{coat}.place";
    FilmTimes(zone, coat) => "film.{zone}.coat{coat}.time";
    GaugesUnnamed => "film.gauge.unnamed";
    GaugeCheck(gauge, day) => "film.gauge.{gauge}.{day}";

    PlateLoss(strake) => "plating.{strake}.loss";
    PlateOriginal(strake) => "plating.{strake}.original";
    AnodeLoss(anode) => "anodes.{anode}.loss";

    Period => "chronology.period";
    PositionPeriod(position) => "chronology.{position}";

    PaperFile(file) => "papers.{file}.file";
    PaperKind(file) => "papers.{file}.kind";
    PaperTaken(file) => "papers.{file}.taken";
    PaperShown(file) => "papers.{file}.shown";
    Captions => "papers.captions";
    Unlisted => "papers.unlisted";

    HistoryNeverExposed => "history.never_exposed";
    Reached(docking) => "history.{docking}.reached";
    Seal(docking) => "history.{docking}.seal";
}
