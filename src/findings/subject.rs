//! What findings are about: one list of all comparisons that the program makes, with the ids by which answers, old
//! bundles and pages know them, and what each weighs where it does not agree.

use std::fmt;

/// What a finding that does not agree means for the ship, her people and the record; the heaviest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weight {
    /// It could sink the ship or hurt someone.
    Danger,
    /// It leaves steel without the protection that was meant for it.
    Steel,
    /// It leaves open which of the records is right, or whether anything was wrong.
    Doubt,
    /// A figure, a side or a time was written down wrongly, and what is right can be told from the rest.
    Slip,
}

impl Weight {
    /// Every weight, the heaviest first.
    pub const ALL: [Weight; 4] = [Weight::Danger, Weight::Steel, Weight::Doubt, Weight::Slip];

    /// The words for each, as data has them.
    pub const WORDS: [&str; 4] = ["danger", "steel", "doubt", "slip"];

    /// Its word.
    pub fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }

    /// What findings of this weight do, as a heading.
    pub fn title(self) -> &'static str {
        match self {
            Weight::Danger => "What could sink her or hurt someone",
            Weight::Steel => "What leaves steel unprotected",
            Weight::Doubt => "What makes the record doubtful",
            Weight::Slip => "Slips of the pen",
        }
    }
}

macro_rules! name {
    ($part:ident) => {
        String
    };
}

macro_rules! last {
    [$first:expr] => {
        $first
    };
    [$first:expr, $last:expr] => {
        $last
    };
}

macro_rules! subjects {
    ($(
        $subject:ident $(($($part:ident),+))? => $id:literal:
        $weight:ident $(, differs $differs:ident)? $(, unknown $unknown:ident)?;
    )*) => {
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

        impl Subject {
            /// The things that it names, each with its kind.
            pub fn names(&self) -> Vec<(&'static str, &str)> {
                match self {
                    $(Subject::$subject $(($($part),+))? => vec![$($((stringify!($part), $part.as_str())),+)?],)*
                }
            }

            /// What a finding on it weighs that is beyond a limit, that differs, and that could not be checked.
            pub fn weights(&self) -> [Weight; 3] {
                match self {
                    $(Subject::$subject { .. } => [
                        Weight::$weight,
                        last![Weight::$weight $(, Weight::$differs)?],
                        last![Weight::Doubt $(, Weight::$unknown)?],
                    ],)*
                }
            }
        }
    };
}

/// A kind of finding that takes one name: of a position, a coat, a strake.
pub type ByName = fn(String) -> Subject;

// Behind each id stands what a finding on it weighs that differs or is beyond a limit; then, where that is something
// else, what it weighs that differs. One that could not be checked is a doubt, unless `unknown` says otherwise.
subjects! {
    CapsApart => "plan.blocks.apart": Doubt;
    BlockHeight(block) => "plan.block.{block}.height": Doubt;
    BlockLayers(block) => "plan.block.{block}.layers": Doubt;
    Frames => "plan.frames": Doubt;
    OpeningFrame(opening) => "plan.opening.{opening}.frame": Slip;
    OpeningSide(opening) => "plan.opening.{opening}.side": Slip;

    Station(position) => "positions.{position}.station": Doubt;
    Offset(position) => "positions.{position}.offset": Doubt;
    Yaw(position) => "positions.{position}.yaw": Doubt;
    Sighting(position, name) => "positions.{position}.sighting.{name}": Slip;
    DiversFit(position, name) => "positions.{position}.divers.{name}": Slip;
    DiversAim(position) => "positions.{position}.divers.plan": Danger, differs Doubt;
    DiversLanded(position) => "positions.{position}.divers.lay": Doubt;
    AsOffered(position) => "positions.{position}.offered": Doubt;
    FromPlan(position) => "positions.{position}.plan": Danger;
    PositionTimes(position) => "positions.{position}.times": Slip;
    PositionOrder => "positions.order": Slip;
    Shift(pair) => "positions.{pair}.shift": Doubt;

    NeverExposed => "exposure.never_exposed": Steel;

    Clearance(opening, position) => "openings.{opening}.{position}.clearance": Danger;
    Drain(opening, position) => "openings.{opening}.{position}.drain": Steel;
    Closed(opening) => "openings.{opening}.closed": Danger, unknown Danger;
    OpeningOrder(opening) => "openings.{opening}.order": Slip;
    Plugs => "openings.plugs": Danger;

    HydrostaticsSmooth => "landing.hydrostatics.smooth": Doubt;
    HydrostaticsSlope => "landing.hydrostatics.slope": Doubt;
    HydrostaticsCentre => "landing.hydrostatics.centre": Doubt;
    HydrostaticsSize => "landing.hydrostatics.size": Doubt;
    Marks(survey, place) => "landing.{survey}.marks.{place}": Slip;
    Displacement(survey) => "landing.{survey}.displacement": Doubt;
    WeightsTotal => "landing.weights.total": Doubt;
    WeightsCentre => "landing.weights.centre": Doubt;
    StiffnessSize => "landing.stiffness.size": Doubt;
    BuoyancyCurve(position) => "landing.{position}.buoyancy": Doubt;
    Trim(position) => "landing.{position}.trim": Danger, differs Doubt;
    List(position) => "landing.{position}.list": Danger, differs Doubt;
    LeastGm(position) => "landing.{position}.gm": Danger, differs Doubt;
    KnuckleLoad(position) => "landing.{position}.knuckle_load": Danger, differs Doubt;
    KnucklePressure(position) => "landing.{position}.knuckle_pressure": Danger, differs Doubt;
    Knuckle(position) => "landing.{position}.knuckle": Doubt;
    SecondTouch(position) => "landing.{position}.second_touch": Doubt;
    NilGm(position) => "landing.{position}.nil_gm": Danger, differs Doubt;
    WaterTouched(position) => "landing.{position}.water_touched": Doubt;
    WaterLanded(position) => "landing.{position}.water_landed": Doubt;
    DewateringRate(position) => "landing.{position}.dewatering_rate": Danger;
    GapRate(position) => "landing.{position}.gap_rate": Danger;
    WaterWay(position) => "landing.{position}.water_way": Slip;
    GapDepths(position) => "landing.{position}.gap_depths": Slip;
    Sill(crossing) => "landing.sill.{crossing}": Danger, differs Doubt;
    WaterEvents(position) => "landing.{position}.water_events": Slip;
    LandingCheck(position, name) => "landing.{position}.check.{name}": Danger;
    LoadsBalance(position) => "landing.{position}.loads.balance": Doubt;
    LoadsPressure(position) => "landing.{position}.loads.pressure": Danger, differs Doubt;
    BendingMoment(position) => "landing.{position}.loads.bending": Danger, differs Doubt;
    ShearForce(position) => "landing.{position}.loads.shear": Danger, differs Doubt;
    FloorLoad(position) => "landing.{position}.loads.floor": Danger, differs Doubt;
    FloorPressure(position) => "landing.{position}.loads.floor_pressure": Danger, differs Doubt;
    Gap(position, name) => "landing.{position}.gap.{name}": Doubt;
    BilgeOrder(position) => "landing.{position}.bilge": Doubt;
    HoldOrder(position) => "landing.{position}.holds.order": Doubt;
    HoldsSigned(position) => "landing.{position}.holds.signed": Doubt;
    HoldPeople => "landing.holds.people": Slip;
    LiftOffAft(position) => "landing.{position}.lift-off.aft": Doubt;
    LiftOffForward(position) => "landing.{position}.lift-off.forward": Doubt;
    LeavingGm(position) => "landing.{position}.lift-off.gm": Danger, differs Doubt;
    LiftOffList(position) => "landing.{position}.lift-off.list": Doubt;

    ZonesCover => "coating.zones.cover": Doubt;
    ZoneArea(zone) => "coating.zone.{zone}.area": Doubt;
    ZoneScheme(zone) => "coating.zone.{zone}.scheme": Doubt;
    ZoneBlasted(zone) => "coating.zone.{zone}.blasted": Steel;
    ZoneComplete(zone) => "coating.zone.{zone}.complete": Steel;
    Stripe(stripe) => "coating.stripe.{stripe}": Slip;
    StripeOwed(zone, coat) => "coating.zone.{zone}.stripe{coat}": Steel;
    CoatingTests(zone, coat, kind) => "coating.test.{zone}.coat{coat}.{kind}": Steel, differs Slip;
    EnteredOnce => "coating.entered_once": Doubt;
    EnteredTwice(coat) => "coating.{coat}.entered_twice": Doubt;
    CoatTimes(coat) => "coating.{coat}.times": Slip;
    Claim(coat) => "coating.{coat}.claim": Doubt;
    CoatOrder(coat) => "coating.{coat}.order": Steel;
    Product(coat) => "coating.{coat}.product": Steel;
    Batch(coat) => "coating.{coat}.batch": Steel;
    Covered(coat) => "coating.{coat}.preparation.covered": Steel;
    Grade(coat) => "coating.{coat}.preparation.grade": Steel;
    Profile(coat) => "coating.{coat}.preparation.profile": Steel;
    Salts(coat) => "coating.{coat}.preparation.salts": Steel;
    Chloride(coat) => "coating.{coat}.preparation.chloride": Steel;
    Conductivity(coat) => "coating.{coat}.preparation.conductivity": Steel;
    Dust(coat) => "coating.{coat}.preparation.dust": Steel;
    PreparationAge(coat) => "coating.{coat}.preparation.age": Steel;
    ClimateMargin(coat) => "coating.{coat}.climate.margin": Steel;
    ClimateHumidity(coat) => "coating.{coat}.climate.humidity": Steel;
    ClimateAge(coat) => "coating.{coat}.climate.age": Steel;
    SteelLimit(coat) => "coating.{coat}.product.steel": Steel;
    AirLimit(coat) => "coating.{coat}.product.air": Steel;
    PotLife(coat) => "coating.{coat}.product.pot_life": Steel;
    Induction(coat) => "coating.{coat}.product.induction": Steel;
    Thinner(coat) => "coating.{coat}.product.thinner": Steel;
    LatestImmersion(coat, position) => "coating.{coat}.latest_immersion.{position}": Steel;
    Recoat(upper, lower) => "coating.{upper}.recoat.{lower}": Steel;
    TieIn(upper, lower) => "coating.{upper}.border.{lower}": Steel;
    Immersion(coat, position) => "coating.{coat}.immersion.{position}": Steel;
    Paint(coat) => "coating.{coat}.paint": Steel;
    WetFilm(coat) => "coating.{coat}.wet_film": Doubt;
    PreparationPlaces(zone) => "preparation.{zone}.place": Slip;
    DewPoints(day) => "climate.{day}.dew_point": Slip;

    Film(zone, coat) => "film.{zone}.coat{coat}": Steel;
    FilmOwed(zone, coat) => "film.{zone}.coat{coat}.owed": Doubt;
    FilmPlaces(zone, coat) => "film.{zone}.coat{coat}.place": Slip;
    FilmTimes(zone, coat) => "film.{zone}.coat{coat}.time": Slip;
    GaugesUnnamed => "film.gauge.unnamed": Doubt;
    GaugeCheck(gauge, day) => "film.gauge.{gauge}.{day}": Doubt;

    PlateLoss(strake) => "plating.{strake}.loss": Danger;
    PlatePits(strake) => "plating.{strake}.pits": Danger, differs Slip;
    InstrumentCheck(instrument, day) => "plating.instrument.{instrument}.{day}": Doubt;
    RepairTimes(repair) => "plating.repair.{repair}.times": Slip;
    RepairCoating(repair) => "plating.repair.{repair}.coating": Steel, differs Slip, unknown Steel;
    PlateOriginal(strake) => "plating.{strake}.original": Slip;
    AnodeLoss(anode) => "anodes.{anode}.loss": Steel, differs Slip;

    Period => "chronology.period": Slip;
    PositionPeriod(position) => "chronology.{position}": Slip;

    PaperFile(file) => "papers.{file}.file": Doubt;
    PaperKind(file) => "papers.{file}.kind": Slip;
    PaperTaken(file) => "papers.{file}.taken": Slip;
    PaperShown(file) => "papers.{file}.shown": Doubt;
    Captions => "papers.captions": Doubt;
    Unlisted => "papers.unlisted": Doubt;

    Doubles => "records.doubles": Slip;
    RowTwice(file, row) => "records.{file}.alike.{row}": Slip;
    Twice(file, name) => "records.{file}.twice.{name}": Doubt;
    Copied(file, name) => "records.{file}.copied.{name}": Doubt;
    Ranges => "records.ranges": Slip;
    Range(file, column) => "records.{file}.range.{column}": Slip;
    Places => "records.places": Slip;
    Misplaced(file, name) => "records.{file}.place.{name}": Slip;

    HistoryNeverExposed => "history.never_exposed": Steel;
    Reached(docking) => "history.{docking}.reached": Steel;
    Seal(docking) => "history.{docking}.seal": Doubt;
}
