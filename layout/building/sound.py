"""Whether each piece of a unit is sound in itself: its shape, its thickness, its cut size, its share of the whole."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isclose

import shapely

from layout.building.pieces import Piece
from layout.building.prism import HAIR, Prism, of_solid, shared_volume
from layout.model.building import Batten
from layout.model.panel import Panel
from layout.model.solid import Solid
from layout.model.thing import Thing

_SAME_KG = 1e-6


def misshapen(pieces: Sequence[Piece]) -> Iterator[str]:
    """Yield pieces whose outline is none, so that nothing else can be said of them."""
    for piece in pieces:
        face = piece.prism.face
        if not face.exterior.is_simple or face.area <= 0:
            yield f"{piece.name}: its outline crosses itself, or is nothing"
        elif not face.is_valid:
            yield f"{piece.name}: a hole reaches beyond it, or into another"


def sound(thing: Thing, pieces: Sequence[Piece]) -> Iterator[str]:
    """Yield what is wrong with single pieces of a thing, in words."""
    for piece in pieces:
        yield from _panel(piece.made_of) if isinstance(piece.made_of, Panel) else _batten(piece.made_of)
    yield from _materials(thing)
    yield from _counted(thing, pieces)


def _panel(panel: Panel) -> Iterator[str]:
    """Yield a panel that with its edge bands, and when it is cut to fit, is not as large as it should be."""
    sides = [side for side, _ in panel.bands]
    if len(set(sides)) < len(sides) or any(mm <= 0 for _, mm in panel.bands):
        yield f"{panel.name}: an edge has two bands, or one of no thickness"
    us, vs = zip(*panel.outline, strict=True)
    for word, points, ends, cut in (
        ("long", us, ("left", "right"), panel.cut_length), ("wide", vs, ("bottom", "top"), panel.cut_width),
    ):  # fmt: skip
        bands = sum(mm for side, mm in panel.bands if side in ends)
        finished = cut + bands - panel.oversize
        wanted = max(points) - min(points)
        if cut <= 0 or abs(finished - wanted) > HAIR:
            yield f"{panel.name} would be {finished:.2f} {word} with its edge bands, not {wanted:.2f}"


def _materials(thing: Thing) -> Iterator[str]:
    """Yield a panel whose material is as thick elsewhere as it is not here."""
    thick: dict[str, float] = {}
    for panel in thing.panels:
        first = thick.setdefault(panel.sheet.material, panel.sheet.thickness)
        if panel.sheet.thickness != first:
            yield f"{panel.name} is {panel.sheet.thickness:g} thick, others of {panel.sheet.material} {first:g}"


def _batten(batten: Batten) -> Iterator[str]:
    """Yield a batten that is not as thick, as wide and as long as its bar sawn to its length."""
    x0, y0, x1, y1 = batten.solid.bounds
    found = sorted((x1 - x0, y1 - y0, batten.solid.z1 - batten.solid.z0))
    wanted = sorted((*batten.bar.section, batten.length))
    if any(abs(a - b) > HAIR for a, b in zip(found, wanted, strict=True)):
        said, sawn = (" x ".join(f"{mm:.1f}" for mm in sizes) for sizes in (found, wanted))
        yield f"{batten.name} fills {said}, its bar sawn to length {sawn}"


def _counted(thing: Thing, pieces: Sequence[Piece]) -> Iterator[str]:
    """Yield pieces that the thing does not count in its volume or in its mass."""
    there = {_form(solid) for solid in thing.solids}
    whole = [of_solid(solid) for solid in thing.solids]
    for piece in pieces:
        own = piece.made_of.solids if isinstance(piece.made_of, Panel) else (piece.made_of.solid,)
        if not all(_form(solid) in there or _inside(of_solid(solid), whole) for solid in own):
            yield f"{piece.name} is not among what the unit fills"
        if isinstance(piece.made_of, Panel) and not _fills(piece, own):
            yield f"{piece.name} fills other room than its outline and its thickness"
    mass = sum(piece.mass_kg for piece in pieces)
    if thing.mass_kg < mass - _SAME_KG:
        yield f"it weighs {thing.mass_kg:.3f} kg, its pieces {mass:.3f} kg"


def _form(solid: Solid) -> tuple[float, ...]:
    return (*(round(mm, 3) for point in solid.outline for mm in point), round(solid.z0, 3), round(solid.z1, 3))


def _inside(own: Prism, whole: Sequence[Prism]) -> bool:
    """Return whether a solid lies in one that stands for all of the thing, such as a bin and what is in it."""
    return any(isclose(shared_volume(own, other), own.volume, rel_tol=1e-6) for other in whole)


def _fills(piece: Piece, own: Sequence[Solid]) -> bool:
    """Return whether the solids of a panel have the volume of its outline as thick as its sheet, without holes."""
    volume = sum(shapely.Polygon(solid.outline).area * (solid.z1 - solid.z0) for solid in own)
    low, high = piece.prism.low, piece.prism.high
    outline = shapely.Polygon(piece.prism.face.exterior)
    return isclose(volume, outline.area * (high - low), rel_tol=1e-3, abs_tol=1.0)
