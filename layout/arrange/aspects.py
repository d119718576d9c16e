"""What may be said of where things are in an arrangement, in few words, each under a heading that all share."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from layout.arrange.features import Words, middle_of
from layout.model.layout import Layout, Placed
from layout.model.thing import Thing
from layout.units.length import Unit, format_length

#: How much a difference is worth in a name, by its kind: what people see first comes first.
WORTH = {"lies": 1.0, "end": 1.0, "side": 0.95, "out": 1.0, "moves": 0.9, "high": 0.6, "size": 0.8, "exact": 0.1}
#: A thing counts as big, or as small, from these shares of the floor on.
_BIG, _SMALL = 0.06, 0.02
_SQUARE = 1.15  # a thing that is less longer than wide lies neither along nor across
_MOVED = 50.0  # mm: what moves by less is nudged, not moved
_BICYCLE, _MATTRESS = "bicycle", "mattress"
_BINS = ("bin", "lidded bin")  # which way these lie nobody looks at
_BEDS = ("bed platform", "slide-out bed")
_FEW = 2
#: What is under the bed is told by side and end, and which way a small thing lies, only where little else differs.
_AGAIN, _SEEN = 0.5, 0.85
_STATES = {"drive": "on the road", "camp": "in camp", "sleep": "at night"}
_ENDS = ("rear", "amidships", "front")
_CENTRED, _MIDDLE = "centred", "middle"  # of the side, to people and to the search
_SIDES = ("right", _CENTRED, "left")
Box = tuple[float, float, float, float]


@dataclass(frozen=True, kw_only=True, slots=True)
class Subject:
    """What is told as one: a thing, or all equal things of a group. `worth` is how soon people look at it, up to 1."""

    said: str
    names: tuple[str, ...]
    worth: float
    is_bed: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Aspect:
    """A heading under which something is said of a subject in every arrangement."""

    subject: Subject
    kind: str

    @property
    def worth(self) -> float:
        """Return how much the difference is worth in a name."""
        less = _AGAIN if self.kind.endswith(" too") or (self.kind == "lies" and self.subject.worth < _SEEN) else 1.0
        return self.subject.worth * WORTH[self.kind.partition(" ")[0]] * less


@dataclass(frozen=True, kw_only=True, slots=True)
class Case:
    """An arrangement to be named: where all stands, and sizes that are not as in the file, mm, by group and key.

    `said` are the words that the search told apart by, by thing or group: they hold where polishing has moved a thing
    over the border between two words by less than can be seen.
    """

    layout: Layout
    sizes: Mapping[str, Mapping[str, float]]
    said: Mapping[str, Words] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True, slots=True)
class Setting:
    """What all arrangements share: the names of the states, the room's low and high corner in plan, mm, the units."""

    states: tuple[str, ...]
    room: Box
    units: Unit = "mm"

    def length(self, mm: float) -> str:
        """Return a length as people write it."""
        return format_length(round(mm), self.units, unit_sign=True)


def subjects(layout: Layout, room: Box) -> tuple[Subject, ...]:
    """Return what is worth telling of a layout, beds first, then bicycles, then the larger before the smaller."""
    groups: dict[str, list[Thing]] = {}
    for thing in layout.things:
        if not thing.in_build_up:
            groups.setdefault(thing.group, []).append(thing)
    has_bed = any(thing.kind in _BEDS for thing in layout.things)
    made = [
        _subject(group, things, groups, room)
        for group, things in groups.items() if not (has_bed and things[0].kind == _MATTRESS)
    ]  # fmt: skip
    return tuple(sorted(made, key=lambda subject: -subject.worth))


def _subject(group: str, things: Sequence[Thing], groups: Mapping[str, Sequence[Thing]], room: Box) -> Subject:
    kind = things[0].kind
    x0, y0, x1, y1 = things[0].box.bounds
    share = (x1 - x0) * (y1 - y0) / ((room[2] - room[0]) * (room[3] - room[1]))
    # Bins are where there was room for them.
    size = 0.3 if share < _SMALL else 0.5 if kind in _BINS else 0.9 if share >= _BIG else 0.6
    is_bed = kind in _BEDS or kind == _MATTRESS
    worth = 1.0 if is_bed else 0.95 if kind == _BICYCLE else 0.9 if things[0].panels else size
    only = sum(other[0].kind == kind for other in groups.values()) == 1
    # Names are the person's own, in whatever language, so that no plural is made of them.
    said = "bicycles" if kind == _BICYCLE and len(things) > 1 and only else group
    return Subject(said=said, names=tuple(t.name for t in things), worth=worth, is_bed=is_bed)


def aspects(case: Case, told: Sequence[Subject], setting: Setting) -> Mapping[Aspect, str]:
    """Return what is said of the subjects under each heading that applies, the most telling first."""
    found: dict[Aspect, str] = {}
    beds = [subject for subject in told if subject.is_bed]
    for subject in told:
        stood = _standing(case.layout, subject, setting.states)
        if stood:
            under = _under(case.layout, subject, stood, beds)
            said = [*_where(subject, case, stood, under, setting), *_sizes(case, stood, setting)]
            said += [*_by_states(case.layout, subject, setting.states), *_exactly(stood, setting)]
            found |= {Aspect(subject=subject, kind=kind): text for kind, text in said}
    return found


def _standing(layout: Layout, subject: Subject, states: Sequence[str]) -> tuple[Placed, ...]:
    """Return the subject's things where they first are inside."""
    for state in states:
        things = tuple(p for p in layout.placed[state] if p.name in subject.names)
        if things:
            return things
    return ()


def _where(
    subject: Subject, case: Case, stood: Sequence[Placed], under: str, setting: Setting
) -> Iterator[tuple[str, str]]:  # fmt: skip
    """Yield how the things lie and where; of what is under the bed that instead of its end and side."""
    if stood[0].thing.kind not in _BINS:
        yield "lies", _together([_direction(p) for p in stood])
    for kind, axis, words in (("end", 0, _ENDS), ("side", 1, _SIDES)):
        where = _together([_told(p, case, words) or _third(p, axis, setting.room, words) for p in stood])
        yield kind, under if under and len(stood) == len(subject.names) else where
        yield f"{kind} too", where


def _sizes(case: Case, stood: Sequence[Placed], setting: Setting) -> Iterator[tuple[str, str]]:
    """Yield whether equal bins stand on each other, and the sizes that were free."""
    if len(stood) > 1 and any(p.thing.stack_step for p in stood):
        low = min(p.box.z0 for p in stood)
        yield "high", "stacked" if any(p.box.z0 > low + 1 for p in stood) else "side by side"
    for key, mm in case.sizes.get(stood[0].thing.group, {}).items():
        yield f"size {key}", f"{key} {setting.length(mm)}"


def _exactly(stood: Sequence[Placed], setting: Setting) -> Iterator[tuple[str, str]]:
    x0, y0 = min(p.box.bounds[0] for p in stood), min(p.box.bounds[1] for p in stood)
    yield "exact x", f"{setting.length(x0 - setting.room[0])} from the rear"
    yield "exact y", f"{setting.length(y0 - setting.room[1])} from the right"


def _together(words: Sequence[str]) -> str:
    """Return one text for the words of equal things, whichever of them is which."""
    told = sorted(set(words))
    if len(told) == 1:
        return told[0]
    return " and ".join(told) if len(told) == len(words) == _FEW and "" not in told else ""


def _direction(placed: Placed) -> str:
    x0, y0, x1, y1 = placed.box.bounds
    long, wide = x1 - x0, y1 - y0
    return "along" if long > wide * _SQUARE else "across" if wide > long * _SQUARE else ""


def _told(placed: Placed, case: Case, words: Sequence[str]) -> str | None:
    """Return the word that the search told a thing by, if it is one of those."""
    told = case.said.get(placed.name, case.said.get(placed.thing.group, ()))
    return next((word for word in words if (_MIDDLE if word == _CENTRED else word) in told), None)


def _third(placed: Placed, axis: int, room: Box, words: Sequence[str]) -> str:
    bounds = placed.box.bounds
    low, high = middle_of((room[axis], room[axis + 2]))
    middle = (bounds[axis] + bounds[axis + 2]) / 2
    return words[0] if middle < low else words[2] if middle > high else words[1]


def _under(layout: Layout, subject: Subject, stood: Sequence[Placed], beds: Sequence[Subject]) -> str:
    """Return that the things, or some of them, are under a bed, in words; nothing where none is."""
    if subject.is_bed:
        return ""
    for bed in beds:
        tops = [p for placed in layout.placed.values() for p in placed if p.name in bed.names]
        count = sum(any(is_under(p, top) for top in tops) for p in stood)
        if count:
            return f"{'' if count == len(stood) else 'partly '}under the {bed.said}"
    return ""


def is_under(lower: Placed, upper: Placed) -> bool:
    """Return whether most of the lower thing is below the upper one's top, within its outline."""
    ax0, ay0, ax1, ay1 = upper.box.bounds
    bx0, by0, bx1, by1 = lower.box.bounds
    dx, dy = min(ax1, bx1) - max(ax0, bx0), min(ay1, by1) - max(ay0, by0)
    most = dx > 0 and dy > 0 and dx * dy > (bx1 - bx0) * (by1 - by0) / 2
    return most and lower.box.z1 <= upper.box.z1 and lower.box.z0 < upper.box.z1


def _by_states(layout: Layout, subject: Subject, states: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Yield in which states the things are outside, and in which elsewhere."""
    out = {state: sum(p.name in subject.names for p in layout.placed[state]) for state in states}
    away = tuple(state for state in states if out[state] < len(subject.names))
    yield "out", f"outside {when(away, states)}" if away else "kept inside"
    first = {p.name: p for p in layout.placed[states[0]]}
    moved = tuple(
        state for state in states
        if any(p.name in subject.names and p.name in first and _moves(p, first[p.name]) for p in layout.placed[state])
    )  # fmt: skip
    yield "moves", f"moved {when(moved, states)}" if moved else "never moved"


def _moves(a: Placed, b: Placed) -> bool:
    return max(abs(p - q) for p, q in zip(a.box.bounds, b.box.bounds, strict=True)) > _MOVED


def when(some: Sequence[str], states: Sequence[str]) -> str:
    """Return words for some of the states: 'at night', 'when parked', 'always'."""
    if len(some) == len(states):
        return "always"
    if "drive" in states and set(some) == set(states) - {"drive"} and len(some) > 1:
        return "when parked"
    said = [_STATES.get(state, f"in {state}") for state in some]
    return " and ".join(said)
