"""The usual cautions, as they stand in the book; they certify nothing and defer to local codes."""

from __future__ import annotations

from layout.checks.cautions import RULE
from layout.jobs.check import CAUTION
from layout.jobs.load import Plan

Section = tuple[str, tuple[str, ...]]

_USUAL: tuple[Section, ...] = (
    (
        "What this is not",
        (
            CAUTION,
            "Where these pages and a local code, a maker's paper or somebody licensed say different things, they are "
            "right and these pages are wrong.",
            "Measure the real space again before you cut: the drawings know only what was typed in.",
        ),
    ),
    (
        "At the saw",
        (
            "Pull the plug or the battery before you touch a blade or set its depth.",
            "Hold both halves of every cut up, so that the cut opens and does not pinch the blade; stand beside the "
            "line of the saw, not behind it.",
            "Guard in place, eyes and ears covered, a mask against dust, no gloves and no sleeves near the blade.",
            "A piece too small to be held is cut from a larger one with a clamp and a stop, never by hand.",
            "Finishes and glues: air, no flame, and oily rags spread out to dry outside, since heaps of them catch "
            "fire by themselves.",
        ),
    ),
    (
        "What is loose flies",
        (
            "In a hard stop everything goes on forward: bins, water, bicycles, batteries, the bed itself. Each needs a "
            "catch, a strap or a wall that bears against it, held to the body and not to the lining.",
            "How strong that must be is not worked out here: local codes and the maker's points for tying down decide.",
            "People ride in seats with belts that came with the vehicle or were approved for it, never on the bed.",
        ),
    ),
    (
        "Loads",
        (
            "Weigh the vehicle on a public scale, loaded as you travel, each axle by itself, and hold it against its "
            "plate. Masses on these pages are only of what the file names.",
            "Heavy things low, near the axles, and as much on the left as on the right.",
            "Lift with two people what the lists say takes two.",
        ),
    ),
    (
        "Gas, flame, batteries",
        (
            "Gas and fuel heaters are fitted and tested by somebody licensed. No flame while anybody sleeps, and never "
            "to heat. An alarm for smoke and one for carbon monoxide.",
            "Air that nobody can shut: high up and low down.",
            "Every battery has its main fuse at the battery, covered poles, and a case that holds it in a crash. "
            "Wiring at mains voltage is for somebody licensed.",
        ),
    ),
    (
        "Ways out in a fire",
        (
            "Two ways out of the bed that open from the inside, in the dark, by everybody who sleeps there. Try both "
            "with the gear loaded.",
            "Keep them free: no bin, bicycle or curtain rod across them at night, and an extinguisher within reach.",
        ),
    ),
)


def cautions(plan: Plan) -> tuple[Section, ...]:
    """Return the cautions under their headings: the usual ones, then what the checks say of this project."""
    own = tuple(f"{f.text}; {f.cure}" if f.cure else f.text for f in plan.findings if f.rule == RULE and not f.accepted)
    return (*_USUAL, ("Of this project", own)) if own else _USUAL
