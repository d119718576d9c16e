"""The table of kinds: the one place that a new kind is added to."""

from __future__ import annotations

from layout.things.bed_boards import BedBoards
from layout.things.bed_platform import BedPlatform
from layout.things.bench import Bench
from layout.things.bicycle import Bicycle
from layout.things.bike_tray import BikeTray
from layout.things.bin import Bin
from layout.things.bin_rack import BinRack
from layout.things.box import Box
from layout.things.cabinet import Cabinet
from layout.things.drawers import Chest
from layout.things.flat_panel import FlatPanel
from layout.things.floor_panels import FloorPanels
from layout.things.fold_table import FoldTable
from layout.things.lidded_bin import LiddedBin
from layout.things.lining import Lining
from layout.things.mattress import Mattress
from layout.things.partition import Partition
from layout.things.slide_out_bed import SlideOutBed
from layout.things.wheel import Wheel
from layout.things.wheel_well_box import WheelWellBox

AnySpec = (
    Bin
    | Box
    | Bicycle
    | Wheel
    | Mattress
    | BedPlatform
    | SlideOutBed
    | BedBoards
    | BinRack
    | Bench
    | Cabinet
    | Chest
    | LiddedBin
    | BikeTray
    | FoldTable
    | Partition
    | WheelWellBox
    | FloorPanels
    | Lining
    | FlatPanel
)
