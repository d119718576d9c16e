"""Whether a thing that is shifted is carried as well as before."""

from __future__ import annotations

from layout.checks.context import Context
from layout.checks.moves import Scene, shifted
from layout.checks.support import RULE, balanced, lacks, near_below
from layout.model.cure import Shift3


def how_carried(context: Context, scene: Scene, shift: Shift3) -> tuple[bool, bool]:
    """Return whether the shifted thing is carried, and whether its middle is between what carries it."""
    moved, names = shifted(scene.mover, shift), {placed.name for placed in scene.group}
    [near] = near_below(scene.bodies, [moved], context.rules[RULE]["slack"])
    others = [placed for placed in near if placed.name not in names]
    held = not lacks(context, moved, others)
    return held, held and balanced(context, moved, others)


def stands(context: Context, scene: Scene, shift: Shift3) -> bool:
    """Return whether the shifted thing is carried."""
    return how_carried(context, scene, shift)[0]
