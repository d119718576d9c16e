"""Rule ``bed-size``: the bed is long and wide enough for the people named, in the room as it is at the mattress."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from layout.checks.bed_line import Bed, Strip, bed_of, edges_of, longest_strip
from layout.checks.bed_longer import longer, wider
from layout.checks.bed_rescue import rescue
from layout.checks.context import Context
from layout.checks.deck_height import Wish
from layout.model.cure import Cure
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.person import Person
from layout.model.solid import Solid
from layout.space.space import TOUCH

RULE = "bed-size"
# A mattress may touch, by so much, at both ends.
_SLACK = 2 * TOUCH


def check(context: Context) -> Iterator[Finding]:
    """Yield a failing finding for each mattress too short or too narrow for its sleepers."""
    beds = _Beds(context=context)
    for state, things in context.states:
        for placed in things:
            if known_sleepers(context, placed):
                yield from beds.too_short(state, things, placed)
                yield from beds.too_narrow(state, things, placed)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Sleeper:
    """Who lies on which line, and how long it ought to be, mm."""

    person: Person
    line: Strip
    wanted: float

    @property
    def short_by(self) -> float:
        """Return how much is missing, mm; less than nought where there is some to spare."""
        return self.wanted - self.line.length

    def said(self, context: Context) -> str:
        """Return what is so for this person."""
        name = f"{self.person.name} ({context.say(self.person.stature)})"
        if self.short_by <= _SLACK:
            return f"{name} fits"
        lies = context.say(context.down(self.line.length))
        return f"{name} lies on {lies} of {context.say(self.wanted)} wanted"


def known_sleepers(context: Context, placed: Placed) -> tuple[Person, ...]:
    """Return the people who sleep on a thing, as far as they are described."""
    return tuple(p for p in context.layout.people if p.name in placed.thing.sleeps)


def sleepers_on(context: Context, placed: Placed) -> tuple[_Sleeper, ...]:
    """Return the sleepers of a mattress, tallest first.

    Each has an equal share of the width; the tallest takes that with the longest line.
    """
    rule, bed = context.rules[RULE], bed_of(placed)
    people = sorted(known_sleepers(context, placed), key=lambda p: -p.stature)
    edges = edges_of(context.space.common_room(*bed.z), bed.turn_deg)
    lines = [longest_strip(edges, bed, share, rule["breadth"]) for share in bed.shares(len(people))]
    lines.sort(key=lambda line: -line.length)
    return tuple(
        _Sleeper(person=person, line=line, wanted=person.stature + rule["longer"])
        for person, line in zip(people, lines, strict=True)
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Beds:
    """The beds of a layout; what would rescue one is worked out once, since the room is the same in every state."""

    context: Context
    _rescues: dict[tuple[tuple[Solid, ...], Wish], tuple[str, str]] = field(default_factory=dict)

    def too_short(self, state: str, things: Sequence[Placed], placed: Placed) -> Iterator[Finding]:
        """Yield what is found where somebody's line is too short."""
        sleepers, context = sleepers_on(self.context, placed), self.context
        worst = max(sleepers, key=lambda s: s.short_by)
        if worst.short_by <= _SLACK:
            return
        rest, cure, does = self._help(things, placed, tuple(s.wanted for s in sleepers))
        said = "; ".join([*(sleeper.said(context) for sleeper in sleepers), *rest])
        yield Finding(
            rule=RULE, severity="fail", things=(placed.name,), states=(state,), measured=round(worst.line.length, 3),
            wanted=round(worst.wanted, 3), short_by=round(worst.short_by, 3), where=placed.solids[0],
            line=bed_of(placed).line(worst.line) if worst.line.length > TOUCH else (),
            text=f"{placed.name}: {said}", cure=cure, does=does,
        )  # fmt: skip

    def too_narrow(self, state: str, things: Sequence[Placed], placed: Placed) -> Iterator[Finding]:
        """Yield what is found where the shares are too narrow."""
        names, width, context = placed.thing.sleeps, bed_of(placed).width, self.context
        wanted = len(names) * context.rules[RULE]["each"]
        if width >= wanted - TOUCH:
            return
        want = f"{' and '.join(names)} want{'s' if len(names) == 1 else ''}"
        yield Finding(
            rule=RULE, severity="fail", things=(placed.name,), states=(state,), measured=round(width, 3),
            wanted=round(wanted, 3), short_by=round(wanted - width, 3), where=placed.solids[0],
            text=f"{placed.name} is {context.say(width)} wide; {want} {context.say(wanted)}",
            cure=wider(context, things, placed, wanted),
        )  # fmt: skip

    def _help(
        self, things: Sequence[Placed], placed: Placed, wanted: tuple[float, ...]
    ) -> tuple[tuple[str, ...], str, Cure | None]:
        """Return what more there is to say, the cure, and the cure as numbers."""
        cure = longer(self.context, things, placed, wanted[0])
        if cure is not None:
            return (), *cure
        wish = Wish(lengths=wanted, breadth=self.context.rules[RULE]["breadth"], highest=self._highest(bed_of(placed)))
        key = placed.solids, wish
        if key not in self._rescues:
            self._rescues[key] = rescue(self.context, things, placed, wish)
        text, cure_text = self._rescues[key]
        return (text,) if text else (), cure_text, None

    def _highest(self, bed: Bed) -> float:
        """Return the highest deck on which somebody can still turn over, mm; not below where it is."""
        above = bed.thickness + self.context.rules["headroom"]["least"]
        return max(self.context.space.height - above, bed.z[0], 0.0)
