"""A scene from above, on paper: the floor, things shaded by what they are, people lying, what is gone dashed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.drawing.lines import arrow, line, polygon
from layout.drawing.model import MEDIUM, NARROW, SMALL_TEXT, WIDE, Mark, Pen, Text
from layout.drawing.text_width import Box, text_width
from layout.space.parts import Door
from layout.space.space import Space
from layout.views.comparison.look import BED, ROOM, hatch_marks, look_of
from layout.views.comparison.pictures import filled, on_paper, short_name
from layout.views.comparison.tags import Tags, Wanted
from layout.views.comparison.values import Scene
from layout.views.figure import Window
from layout.views.fixed import within
from layout.views.people import Figure, people_marks, trunk
from layout.views.shapes import ABOVE, Seen, seen, shape_marks

_DASHED = Pen(width=NARROW, dash="dashed")
_GONE = Pen(width=NARROW, dash="chain")
_SHOWN = 0.3  # of a thing seen from above: of what shows less its name may be left away
_BESIDE = 1.2  # mm between a wall and the words beside it


def plan_margins(height: float = SMALL_TEXT) -> float:
    """Return the room in mm that words beside the plan take on each side."""
    return height * 1.35 + 2 * _BESIDE


def plan_marks(space: Space, scene: Scene, window: Window) -> Iterator[Mark]:
    """Yield the plan without names."""
    for obstacle in space.obstacles:
        ring = window.ring(within(space, obstacle))
        yield polygon("floor", ring, pen=Pen(width=NARROW), fill=ROOM.greys[2], id=obstacle.name)
    for hole in space.holes:
        yield polygon("floor", window.ring(hole.outline), pen=_DASHED, id=hole.name)
    yield from shape_marks("floor", space.shell(0.0), window, pen=Pen(width=WIDE))
    for door in space.doors:
        yield line("floor", *window.ring(_opening(space, door)), pen=Pen(width=1.0, grey=1.0))
        yield line("floor", *window.ring(_opening(space, door)), pen=Pen(width=NARROW))
    yield from _things(seen(scene.placed, ABOVE), window)
    for one in scene.gone:
        yield polygon("gone", window.ring(one.box.outline), pen=_GONE, id=one.name)
    yield from people_marks([p for p in scene.people if p.does == "lie"], "z", window)


def _things(things: Sequence[Seen], window: Window) -> Iterator[Mark]:
    for one in things:
        look = look_of(one.placed.thing)
        shape = on_paper(one.shown, window)
        yield from filled(shape, "things", look.greys[0], one.placed.name)
        if look.hatched:
            yield from hatch_marks(shape, "things", 0, one.placed.name)
        yield from shape_marks("things", one.shown, window, pen=Pen(width=MEDIUM), id=one.placed.name)
    for one in things:
        yield from shape_marks("under", one.hidden, window, pen=_DASHED, id=one.placed.name)


def _opening(space: Space, door: Door) -> tuple[tuple[float, float], tuple[float, float]]:
    x0, y0, _, y1 = space.shell(0.0).bounds
    if door.side == "rear":
        return (x0, door.low), (x0, door.high)
    y = y1 if door.side == "left" else y0
    return (door.low, y), (door.high, y)


def plan_names(space: Space, scene: Scene, window: Window, bounds: Box) -> Tags:
    """Return the names of the things, the people and the doors of a plan."""
    x0, y0, x1, y1 = window.box(space.shell(0.0).bounds)
    tags = Tags(bounds=bounds, picture=shapely.box(x0, y0, x1, y1))
    tags.marks += [tags.keep_free(text) for text in _door_words(space, window)]
    tags.marks += _front(tags, (x0, y0, x1, y1))
    lying = [p for p in scene.people if p.does == "lie"]
    bodies = [on_paper(p.seen("z")[0], window) for p in lying]
    people = [
        Wanted(text=p.name, areas=(_room_on(p, window),), group=f"person {p.name}", patch=1.0) for p in lying
    ]  # fmt: skip
    tags.write(people)
    tags.write([*_things_wanted(scene, window, bodies), *_gone_wanted(scene, window)])
    return tags


def _room_on(person: Figure, window: Window) -> BaseGeometry:
    return shapely.box(*window.box(trunk(person.seen("z")[0]).bounds))


def _things_wanted(scene: Scene, window: Window, bodies: Sequence[BaseGeometry]) -> Iterator[Wanted]:
    covered = shapely.union_all(bodies)
    for one in seen(scene.placed, ABOVE):
        look, group = look_of(one.placed.thing), short_name(one.placed, scene.placed)
        free = on_paper(one.shown, window).difference(covered)
        # On a bed on which somebody lies, and of what is mostly under something else, there may be no room.
        needed = one.shown.area > _SHOWN * one.whole.area and not (look is BED and bodies)
        patch = look.patch or look.greys[0]
        yield Wanted(text=group, areas=(free,), group=group, patch=patch, needed=needed, turned=True)


def _gone_wanted(scene: Scene, window: Window) -> Iterator[Wanted]:
    for one in scene.gone:
        inside = any(p.name == one.name for p in scene.placed)
        text = f"{one.thing.group}: {'moved' if inside else 'outside'}"
        yield Wanted(text=text, areas=(on_paper(Polygon(one.box.outline), window),), group=text, patch=1.0, turned=True)


def _door_words(space: Space, window: Window) -> Iterator[Text]:
    """Yield the doors' names beside their openings, outside."""
    for door in space.doors:
        (ax, ay), (bx, by) = window.ring(_opening(space, door))
        x, y = (ax + bx) / 2, (ay + by) / 2
        height = SMALL_TEXT
        if door.side == "rear":
            at, angle = (x - _BESIDE - 0.3 * height, y), 90.0
        else:
            below = door.side == "right"
            at, angle = (x, y - _BESIDE - 1.05 * height if below else y + _BESIDE + 0.3 * height), 0.0
        yield Text(layer="doors", at=at, text=door.name, height=height, anchor="middle", angle=angle)


def _front(tags: Tags, box: Box) -> list[Mark]:
    """Return the word front at the right end, reading up, with an arrow, clear of the picture."""
    x, y = box[2] + _BESIDE + 1.05 * SMALL_TEXT, (box[1] + box[3]) / 2
    word = Text(layer="front", at=(x, y), text="front", height=SMALL_TEXT, anchor="middle", angle=90.0)
    tags.keep_free(word)
    low = y + text_width("front", SMALL_TEXT) / 2 + 3
    middle = x - 0.4 * SMALL_TEXT
    marks = arrow("front", (middle - 2.2, low), (middle + 2.2, low)) if low < box[3] else ()
    return [word, *marks]
