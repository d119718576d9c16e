"""The benchmark's data as questions to the program."""

from __future__ import annotations

from typing import Any

from layout.cutting.one_sheet.values import ValuedPiece
from layout.cutting.values import Way
from layout.model.cutting import CutJob, Part, Stock


def packing_job(instance: dict[str, Any], turn: bool) -> CutJob:
    """Return a packing instance as a job without kerf."""
    length, width = instance["sheet"]
    parts = tuple(
        Part(name=f"p{i}", material="m", length=w, width=h, grain="free" if turn else "along")
        for i, (w, h) in enumerate(instance["parts"])
    )
    sheet = Stock(name="s", material="m", length=length, width=width, price=1.0)
    return CutJob(parts=parts, stocks=(sheet,), kerf=0.0, smallest_offcut=0.0)


def workshop_job(job: dict[str, Any]) -> CutJob:
    """Return a workshop job."""
    stocks = tuple(
        Stock(name=f"{s['length']}x{s['width']}", material=m["material"], **s)
        for m in job["materials"]
        for s in m["sheets"]
    )
    parts = tuple(
        Part(name=f"{m['material']}-{i}", material=m["material"], **p)
        for m in job["materials"]
        for i, p in enumerate(m["parts"])
    )
    return CutJob(parts=parts, stocks=stocks, kerf=job["kerf"], trim=job["trim"])


def one_sheet_pieces(instance: dict[str, Any], turn: bool, unlimited: bool) -> list[ValuedPiece]:
    """Return the items of a one-sheet instance."""
    pieces = []
    for i, (length, width, count, value) in enumerate(instance["items"]):
        ways = [Way(length=length, width=width, turned=False)]
        if turn and length != width:
            ways.append(Way(length=width, width=length, turned=True))
        pieces.append(ValuedPiece(name=f"p{i}", ways=tuple(ways), count=None if unlimited else count, value=value))
    return pieces
