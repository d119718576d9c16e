"""What an arrangement is like, in figures that people can compare: no total, each wish and cost for itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from layout.arrange.ask import Ask
from layout.arrange.judge import context_of
from layout.checks.removal import Removals
from layout.checks.run import run_checks
from layout.model.finding import Finding
from layout.model.layout import Layout, Placed

Kind = Literal["length", "mass", "count", "volume", "area", "money", "text"]
_AWAY = ("drive", "sleep")
_BINS = ("bin", "lidded bin")
_MM3_IN_LITRE = 1e6
_ELSEWHERE = 1.0  # mm: what stands nearer than this to where it stood has not moved


@dataclass(frozen=True, kw_only=True, slots=True)
class Measure:
    """One figure: mm, kg, a count, litres, m² or money; `better` tells which is; `said` what there is to add to it.

    `value` is None where the arrangement has no such figure.
    """

    name: str
    value: float | None
    kind: Kind
    better: Literal["more", "less", ""] = ""
    said: str = ""


def measures(ask: Ask, layout: Layout) -> tuple[Measure, ...]:
    """Return the figures of a layout, the same ones in the same order for every layout of a question."""
    findings = run_checks(context_of(ask, layout))
    return (*_beds(layout, findings), *_ways(findings), *_reach(ask, layout), *_masses(ask, layout), *_storage(layout),
            _moves(ask, layout), _plywood(layout))  # fmt: skip


def _beds(layout: Layout, findings: Sequence[Finding]) -> Iterator[Measure]:
    beds = [t for t in layout.things if t.sleeps]
    sizes = [(t.box.bounds[2] - t.box.bounds[0], t.box.bounds[3] - t.box.bounds[1]) for t in beds]
    yield Measure(name="bed length", value=min((s[0] for s in sizes), default=None), kind="length", better="more")
    yield Measure(name="bed width", value=min((s[1] for s in sizes), default=None), kind="length", better="more")
    free = [f for f in findings if f.rule == "headroom" and f.measured is not None]
    worst = min(free, key=lambda f: f.measured or 0.0, default=None)
    yield Measure(name="headroom over the bed", value=worst.measured if worst else None, kind="length", better="more")


def _ways(findings: Sequence[Finding]) -> Iterator[Measure]:
    """Yield the narrowest way for people, with where it leads."""
    ways = [f for f in findings if f.rule == "aisle" and f.measured is not None and not f.text.startswith("with ")]
    worst = min(ways, key=lambda f: f.measured or 0.0, default=None)
    said = f"to {worst.things[0]}" if worst else ""
    yield Measure(
        name="narrowest way", value=worst.measured if worst else None, kind="length", better="more", said=said
    )


def _reach(ask: Ask, layout: Layout) -> Iterator[Measure]:
    """Yield after how many others things come out by day: the worst of those wanted often, and all together."""
    rule = ask.rules["reach"]
    state = next((s for s in ask.states if s not in _AWAY), ask.states[-1])
    things = layout.placed[state]
    found = Removals(ask.space, things, hand=rule["hand"], frame=rule["frame"], most=int(rule["most"]))
    first: dict[str, int] = {}
    for p in things:
        if p.thing.take_out is not None and p.thing.kind != "mattress" and ask.space.doors:
            removal = found.of(p.name, frozenset(p.thing.doors) or None)
            first[p.name] = int(rule["most"]) + 1 if removal.gave_up or not removal.possible else len(removal.first)
    often = {p.name: first[p.name] for p in things if p.name in first and p.thing.reach in {"daily", "weekly"}}
    worst = max(often, key=lambda name: often[name], default="")
    yield Measure(
        name="moved first for what is wanted often", value=float(often[worst]) if worst else None, kind="count",
        better="less", said=worst if worst and often[worst] else "",
    )  # fmt: skip
    mean = sum(first.values()) / len(first) if first else None
    yield Measure(name="moved first on average", value=mean, kind="count", better="less")


def _masses(ask: Ask, layout: Layout) -> Iterator[Measure]:
    things = layout.placed[ask.states[0]]
    mass = sum(p.thing.mass_kg for p in things)
    yield Measure(name="mass, people not counted", value=mass, kind="mass", better="less")
    middle = _middle(things) if mass else None
    side = middle[1] if middle else 0.0
    word = "" if abs(side) < _ELSEWHERE else "to the left" if side > 0 else "to the right"
    yield Measure(name="middle of the mass off the centreline", value=abs(side) if middle else None, kind="length",
                  better="less", said=word)  # fmt: skip
    yield Measure(name="middle of the mass from the rear", value=middle[0] if middle else None, kind="length")
    yield Measure(
        name="height of the middle of the mass", value=middle[2] if middle else None, kind="length", better="less"
    )


def _middle(things: Sequence[Placed]) -> tuple[float, float, float]:
    sums, mass = [0.0, 0.0, 0.0], 0.0
    for p in things:
        x0, y0, x1, y1 = p.box.bounds
        mass += p.thing.mass_kg
        for i, v in enumerate(((x0 + x1) / 2, (y0 + y1) / 2, (p.box.z0 + p.box.z1) / 2)):
            sums[i] += p.thing.mass_kg * v
    return (sums[0] / mass, sums[1] / mass, sums[2] / mass)


def _storage(layout: Layout) -> Iterator[Measure]:
    bins = [t for t in layout.things if t.kind in _BINS]
    litres = 0.0
    for t in bins:
        x0, y0, x1, y1 = t.box.bounds
        litres += (x1 - x0) * (y1 - y0) * (t.box.z1 - t.box.z0) / _MM3_IN_LITRE
    yield Measure(name="bins, outside", value=litres if bins else None, kind="volume", better="more")


def _moves(ask: Ask, layout: Layout) -> Measure:
    """Return how many things stand elsewhere, or outside, at night, counted against the road."""
    day, night = ask.states[0], "sleep" if "sleep" in ask.states else ask.states[-1]
    before = {p.name: p for p in layout.placed[day]}
    after = {p.name: p for p in layout.placed[night]}
    moved = [name for name in before if name not in after or _apart(before[name], after[name])]
    moved += [name for name in after if name not in before]
    return Measure(
        name="moved for the night", value=float(len(moved)), kind="count", better="less", said=", ".join(moved)
    )


def _apart(a: Placed, b: Placed) -> bool:
    low = max(abs(p - q) for p, q in zip(a.box.bounds, b.box.bounds, strict=True))
    return max(low, abs(a.box.z0 - b.box.z0)) > _ELSEWHERE


def _plywood(layout: Layout) -> Measure:
    area = sum(panel.length * panel.width for t in layout.things for panel in t.panels) / 1e6
    return Measure(name="plywood in the furniture", value=area or None, kind="area", better="less")
