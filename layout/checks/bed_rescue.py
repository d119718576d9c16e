"""What helps a bed that the room itself is too short for: another deck height, another place, lying the other way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layout.checks.bed_line import Bed, bed_of, edges_of, longest_body, longest_strip
from layout.checks.bed_longer import others_of
from layout.checks.context import Context, meets
from layout.checks.deck_height import DeckSearch, Wish, anywhere, endless, search, whole_fits
from layout.checks.moves import shifted
from layout.checks.stack import heads, overhead
from layout.checks.under_bed import beneath
from layout.model.layout import Placed
from layout.space.space import TOUCH

RULE = "bed-size"
_WAYS = {0: "crosswise", 90: "lengthwise"}


def rescue(context: Context, things: Sequence[Placed], placed: Placed, wish: Wish) -> tuple[str, str]:
    """Return what there is to say of a bed too short for `wish`, and what would help."""
    bed = bed_of(placed)
    found = search(context.space, bed, wish, context.grain)
    lines = _lines(context, bed, wish)
    # Where the bed as drawn already fills the room, its own length says it.
    text = [f"the room is {context.say(context.down(max(lines)))} long there"] if max(lines) > bed.length else []
    if found.nearest is not None:
        return "; ".join(text), _higher_or_lower(context, things, placed, wish, found.nearest)
    text += [*_no_deck(context, bed, wish, found), _aslant(context, bed)]
    helps = (_other_way(context, bed, wish), _who_fits(context, lines))
    return "; ".join(text), "; ".join(word for word in helps if word)


def _lines(context: Context, bed: Bed, wish: Wish) -> list[float]:
    """Return the longest free line of each sleeper's share, beyond the mattress's ends too, mm."""
    edges = edges_of(context.space.common_room(*bed.z), bed.turn_deg)
    shares = bed.shares(len(wish.lengths))
    return [longest_strip(edges, bed, share, wish.breadth, beyond=True).length for share in shares]


def _no_deck(context: Context, bed: Bed, wish: Wish, found: DeckSearch) -> Iterator[str]:
    say = context.say
    yield (
        f"no deck height rescues it: the widest is {say(context.down(found.widest))} at height {say(found.widest_at)}, "
        f"and over the mattress's thickness {say(context.down(found.clear))}, on a deck at {say(found.at)}"
    )
    at, length = anywhere(context.space, bed, wish)
    if length >= wish.lengths[0] - TOUCH:
        yield f"elsewhere beside it, on a deck at {say(at)}, there are {say(context.down(length))}"


def _aslant(context: Context, bed: Bed) -> str:
    """Say what lying at an angle would give: told, never credited."""
    edges = edges_of(context.space.common_room(*bed.z), bed.turn_deg)
    straight = longest_strip(edges, bed, bed.across, bed.width, beyond=True).length
    best, _ = longest_body(straight, bed.width, context.rules[RULE]["breadth"])
    if best > straight + TOUCH:
        return f"one alone, lying at an angle, would find {context.say(context.down(best))}, which is not counted"
    return f"nor does lying at an angle: {context.say(context.down(best))}"


def _higher_or_lower(context: Context, things: Sequence[Placed], placed: Placed, wish: Wish, nearest: float) -> str:
    """Say the deck height that gives the length, and what speaks against it: little above it, or what is there now."""
    bed = bed_of(placed)
    if abs(nearest - bed.z[0]) <= context.grain:
        return "a longer mattress, cut to fit what is round it, is long enough there"
    whole = whole_fits(context.space, bed, wish, context.grain)
    if whole is None:
        return f"at deck height {context.say(nearest)} a mattress cut to fit the walls is long enough"
    above = overhead(context, (), heads(context, placed), whole + bed.thickness).z - whole - bed.thickness
    least = context.rules["headroom"]["least"]
    low = f", but with only {context.say(above)} above it" if above < least - TOUCH else ""
    missing = max(wish.lengths[0] - bed.length, 0.0)
    more = f", made {context.say(context.up(missing))} longer" if missing > 0 else ""
    return f"at deck height {context.say(whole)} it fits{more}{low}{_hit(context, things, placed, whole)}"


def _hit(context: Context, things: Sequence[Placed], placed: Placed, deck: float) -> str:
    """Say what, other than what carries the bed, it would meet at that height."""
    bed = shifted(placed, (0.0, 0.0, deck - placed.box.z0))
    carriers = {p.name for p in beneath(things, placed).carriers}
    met = [
        name
        for name, solid in others_of(context, things, placed)
        if name not in carriers and meets(bed.solids, [solid])
    ]
    return f", once {', '.join(dict.fromkeys(met))} made room for it" if met else ""


def _other_way(context: Context, bed: Bed, wish: Wish) -> str:
    """Say whether the room holds the mattress turned by a right angle, at the same height."""
    turned = endless(context.space, bed.quarter())
    edges = edges_of(context.space.common_room(*bed.z), turned.turn_deg)
    length, wanted = longest_strip(edges, turned, turned.across, bed.width, beyond=True).length, wish.lengths[0]
    way = _WAYS.get(round(bed.turn_deg) % 180)
    if way is None or length < wanted - TOUCH:
        return ""
    size = f"{context.say(wanted)} × {context.say(bed.width)}"
    return f"lay it {way}: at this height the room holds {size} so, other things aside"


def _who_fits(context: Context, lines: list[float]) -> str:
    tall = min(lines) - context.rules[RULE]["longer"]
    if tall <= 0:
        return ""
    return f"as it lies, the room is long enough for people up to {context.say(context.down(tall))} tall"
