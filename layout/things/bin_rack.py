"""Bin rack: an open carcass, sized from the bins that it takes."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate
from typing import Annotated, Literal

from layout.model.panel import Panel, Sheet
from layout.model.thing import Thing
from layout.things.base import Described, Shop, board, need
from layout.things.bin import Bin
from layout.units.fields import Gap, Name, whole

Few = Annotated[int, whole("number of columns or rows", 1, 12)]


@dataclass(frozen=True, kw_only=True, slots=True)
class BinRack(Described):
    """A rack of `columns` x `rows` openings, one bin each, open at its front (its +x side).

    `takes` names the bins in the project. An opening is wider than the bin by `side_gap` on each side and
    higher by `top_gap`; the rack is deeper by `depth_gap`.
    """

    kind: Literal["bin rack"]
    takes: Name
    columns: Few
    rows: Few
    sheet: Name
    side_gap: Gap = 5.0
    top_gap: Gap = 30.0
    depth_gap: Gap = 10.0

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the rack as its panels, each a solid, and the places of its bins.

        Raises
        ------
        ValueFaultError
            When `takes` is not a bin of the project, or the sheet is not in the workshop.
        """
        sheet = shop.sheet(group, self.sheet)
        takes = shop.specs.get(self.takes)
        need(takes is not None, group, "takes", f"there is no thing called {self.takes!r}")
        need(isinstance(takes, Bin), group, "takes", f"{self.takes!r} is not a bin")
        return self._made(name, group, sheet, takes)  # type: ignore[arg-type]  # the line above refuses others

    def _made(self, name: str, group: str, sheet: Sheet, takes: Bin) -> Thing:
        panels = self._panels(sheet, takes)
        t, pitch_y, pitch_z = sheet.thickness, *self._pitches(sheet, takes)
        low = -self._width(sheet, takes) / 2 + t + (pitch_y - t) / 2
        slots = tuple(
            (t, low + column * pitch_y, t + row * pitch_z) for row in range(self.rows) for column in range(self.columns)
        )
        return Thing(
            name=name, group=group, kind=self.kind, solids=tuple(panel.solid for panel in panels),
            mass_kg=sum(panel.mass_kg for panel in panels), panels=panels, slots=slots,
        )  # fmt: skip

    def _pitches(self, sheet: Sheet, takes: Bin) -> tuple[float, float]:
        t = sheet.thickness
        return takes.width + 2 * self.side_gap + t, takes.height + self.top_gap + t

    def _width(self, sheet: Sheet, takes: Bin) -> float:
        return self.columns * self._pitches(sheet, takes)[0] + sheet.thickness

    def _panels(self, sheet: Sheet, takes: Bin) -> tuple[Panel, ...]:
        t, (pitch_y, pitch_z) = sheet.thickness, self._pitches(sheet, takes)
        half, height = self._width(sheet, takes) / 2, self.rows * pitch_z + t
        x = (t, t + takes.length + self.depth_gap)
        walls = list(accumulate([pitch_y] * self.columns, initial=-half))
        back = board("back", sheet, (0.0, t), (-half, half), (0.0, height))
        sides = [board("side", sheet, x, (y, y + t), (0.0, height)) for y in (walls[0], walls[-1])]
        dividers = [board("divider", sheet, x, (y, y + t), (t, height - t)) for y in walls[1:-1]]
        ends = [board(word, sheet, x, (t - half, half - t), (z, z + t))
                for word, z in (("bottom", 0.0), ("top", height - t))]  # fmt: skip
        shelves = [
            board("shelf", sheet, x, (y + t, y + pitch_y), (row * pitch_z, row * pitch_z + t))
            for row in range(1, self.rows)
            for y in walls[:-1]
        ]
        return back, *sides, *dividers, *ends, *shelves
