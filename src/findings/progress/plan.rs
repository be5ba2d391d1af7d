//! Ship, dock, blocks and bottom: all of it is needed before she lands.

use super::Section::{Plan, Ship};
use super::Stage::BeforeLanding;
use super::{List, Section, Stage};
use crate::records::layers::LayerOwner;
use crate::records::{blocks, bottom, docking, hydrostatics, keel, layers, weights};

const SHIP: (Section, Stage, Option<usize>) = (Ship, BeforeLanding, None);
const PLAN: (Section, Stage, Option<usize>) = (Plan, BeforeLanding, None);

impl List<'_> {
    pub(super) fn ship(&mut self) {
        let project = self.project;
        let (ship, dock) = (&project.docking.ship, &project.docking.dock);
        let name = str::to_string;
        self.ask(
            SHIP,
            docking::SPEC.path,
            "what the drafts are carried to: both perpendiculars and the datum of the marks",
            [
                (name("aft_perpendicular_x"), ship.aft_perpendicular_x_m.is_some()),
                (name("forward_perpendicular_x"), ship.forward_perpendicular_x_m.is_some()),
                (name("draft_marks_datum"), ship.draft_marks_datum.is_some()),
            ],
        );
        self.ask(
            SHIP,
            docking::SPEC.path,
            "what levels and stations in the dock are counted from",
            [
                (name("datum"), dock.datum.is_some()),
                (name("level_datum"), dock.level_datum.is_some()),
                (name("floor_level"), dock.floor_level_m.is_some()),
                (name("declivity"), dock.declivity_pct.is_some()),
                (name("sill_level"), dock.sill_level_m.is_some()),
            ],
        );
        let stability = project.docking.stability.as_ref();
        let known = stability.is_some_and(|known| known.kg_m.is_some() || known.gm_m.is_some());
        let own =
            !project.positions.is_empty() && project.positions.iter().all(|p| p.kg_m.is_some());
        self.ask(
            SHIP,
            docking::SPEC.path,
            "her stability as docked",
            [(name("KG or GM"), known || own)],
        );
        self.ask(
            SHIP,
            hydrostatics::SPEC.path,
            "the hydrostatic table and what it holds for",
            [
                (name("the table"), !project.hydrostatics.is_empty()),
                (name("[hydrostatics] in docking.toml"), project.docking.hydrostatics.is_some()),
            ],
        );
        self.ask(
            SHIP,
            weights::SPEC.path,
            "her weight curve",
            [(name("the curve"), !project.weights.is_empty())],
        );
        self.ask(
            SHIP,
            weights::STIFFNESS_SPEC.path,
            "the stiffness of the hull girder",
            [(name("the girder"), !project.stiffness.is_empty())],
        );
    }

    pub(super) fn plan(&mut self) {
        let project = self.project;
        if project.blocks.is_empty() {
            self.ask(
                PLAN,
                blocks::SPEC.path,
                "the blocks that she is to stand on",
                [("a block".to_string(), false)],
            );
        }
        let only = self.only.and_then(|number| project.positions.get(number));
        let stands = |block: &&blocks::Block| match only {
            Some(position) => block.stands_in(&position.id),
            None => block.positions.as_ref().is_none_or(|positions| !positions.is_empty()),
        };
        let standing: Vec<&blocks::Block> = project.blocks.iter().filter(stands).collect();
        let every_block = |has: &dyn Fn(&blocks::Block) -> bool| {
            standing.iter().map(|block| (block.id.clone(), has(block))).collect::<Vec<_>>()
        };
        let layered = |block: &blocks::Block| {
            let its = |of: &LayerOwner| {
                *of == LayerOwner::Block(block.id.clone()) || *of == LayerOwner::Row(block.row)
            };
            project.layers.iter().any(|layer| its(&layer.owner))
        };
        let limit = project.docking.bounds.limit("bearing_pressure").is_some();
        let tops = every_block(&|block| block.top_level_m.is_some());
        let layers = every_block(&layered);
        let limits = every_block(&|block| limit || block.bearing_limit_kpa.is_some());
        self.ask(PLAN, blocks::SPEC.path, "the measured top of every block that stands", tops);
        self.ask(
            PLAN,
            layers::SPEC.path,
            "the layers of every block that stands, its own or its row's",
            layers,
        );
        self.ask(
            PLAN,
            blocks::SPEC.path,
            "the greatest bearing pressure of every block that stands, its own or the general limit",
            limits,
        );
        self.ask(
            PLAN,
            bottom::SPEC.path,
            "outlines in plan of the steel that blocks can hide and can bear on",
            [
                ("bottom".to_string(), project.bottom.bottom.is_some()),
                ("flat keel".to_string(), project.bottom.flat_keel.is_some()),
            ],
        );
        self.ask(
            PLAN,
            keel::SPEC.path,
            "the keel's own line",
            [("the line".to_string(), project.keel.is_recorded())],
        );
    }
}
