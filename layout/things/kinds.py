"""The table of kinds: the one place that a new kind is added to."""

from __future__ import annotations

from layout.things.bed_platform import BedPlatform
from layout.things.bicycle import Bicycle
from layout.things.bin import Bin
from layout.things.bin_rack import BinRack
from layout.things.box import Box
from layout.things.mattress import Mattress

AnySpec = Bin | Box | Bicycle | Mattress | BedPlatform | BinRack
