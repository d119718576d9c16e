"""Old panels used again: by hand on small units, and at random that every use is a true one."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import permutations

import pytest

from layout.building.reuse import Again, Reuse, reuse
from layout.model.building import Bar, Batten
from layout.model.cutting import Grain
from layout.model.panel import Panel, Sheet
from layout.model.solid import box
from layout.model.thing import Thing
from tests.building.kinds import units
from tests.building.made import PLY, flat, shelf_unit, spoilt, whole, wider

_KERF = 3.0
_TURNED = {"along": "across", "across": "along", "free": "unknown"}


def _unit(name: str, *panels: Panel, battens: tuple[Batten, ...] = ()) -> Thing:
    return replace(whole(panels, battens, None), name=name, group=name, hardware=())


def _rect(name: str, length: float, width: float, grain: Grain = "free", **more: object) -> Panel:
    return flat(name, "xy", (0, 0, 0), (length, width), grain=grain, **more)


def _told(made: Reuse) -> list[tuple[str, str, str]]:
    return sorted((again.new.name, again.old.name, again.how) for again in made.panels)


def test_what_stays_is_left_alone() -> None:
    """A unit that is the same in both stays, though another unit could use its panels."""
    unit = shelf_unit()
    other = _unit("other", _rect("lid", 500, 300))
    made = reuse([unit], [unit, other], _KERF)

    assert made.stays == ("unit",)
    assert made.panels == ()
    assert [wood.name for wood in made.to_cut] == ["lid"]


def test_a_unit_taken_apart_yields_another_by_hand() -> None:
    """A lid 600 x 400 stays one; a shelf 500 x 300 is cut from a side 800 x 310, the smallest that does; a door is cut new.

    Grain along the door 700 x 390: the side 800 x 310 is too narrow, the old lid is taken, a back 900 x 500 was cut
    without regard to its grain.
    """
    old = _unit("old", _rect("lid", 600, 400, "along"), _rect("side", 800, 310, "along"), _rect("back", 900, 500))
    new = _unit("new", _rect("lid", 600, 400, "along"), _rect("shelf", 500, 300), _rect("door", 700, 390, "along"))
    made = reuse([old], [new], _KERF)

    assert _told(made) == [("lid", "lid", "as it is"), ("shelf", "side", "cut down")]
    assert [wood.name for wood in made.to_cut] == ["door"]
    # Beside 500 x 300 of 800 x 310 there are 297 x 310 and 500 x 7; the back is left whole.
    assert [(p.wood.name, p.length, p.width) for p in made.left] == [
        ("back", 900, 500),
        ("side", 297, 310),
        ("side", 500, 7),
    ]


def test_grain_is_kept() -> None:
    """A part with its grain along 500 comes out of a panel with its grain along, or turned out of one with it across."""
    wanted = _unit("new", _rect("part", 500, 300, "along"))
    along, across = _rect("old", 520, 320, "along"), _rect("old", 320, 520, "across")
    wrong, unknown = _rect("old", 520, 520, "across"), _rect("old", 900, 900, "free")

    made = [reuse([_unit("old", panel)], [wanted], _KERF) for panel in (along, across, wrong, unknown)]
    assert [[(a.how, a.turned) for a in one.panels] for one in made] == [
        [("cut down", False)], [("cut down", True)], [("cut down", True)], [],
    ]  # fmt: skip


def test_another_sheet_or_thickness_does_not_do() -> None:
    """A panel of another material, or of the same one measured half a millimetre thinner, is not the same wood."""
    wanted = _unit("new", _rect("part", 500, 300))
    oak = _rect("old", 500, 300, sheet=replace(PLY, material="oak"))
    thin = _rect("old", 500, 300, sheet=replace(PLY, thickness=17.5))

    for panel in (oak, thin):
        assert reuse([_unit("old", panel)], [wanted], _KERF).panels == ()


def test_largest_savings_come_first_and_as_many_as_can_be() -> None:
    """One old panel and two new ones that fit in it: the larger is served. Of two old ones both new ones are served."""
    small, large = _rect("small", 300, 200), _rect("large", 600, 400)
    new = _unit("new", small, large)

    assert _told(reuse([_unit("old", _rect("a", 700, 500))], [new], _KERF)) == [("large", "a", "cut down")]
    both = reuse([_unit("old", _rect("a", 700, 500), _rect("b", 400, 300))], [new], _KERF)
    assert _told(both) == [("large", "a", "cut down"), ("small", "b", "cut down")]


def test_other_grooves_are_told() -> None:
    """A panel of the same size whose grooves differ is not used as it is; one without grooves gets the new ones."""
    unit = shelf_unit()
    plain = flat("side", "zx", (0, -300, 0), (800, 400), outline=unit.panels[0].outline)
    made = reuse([_unit("old", plain)], [replace(unit, name="new", group="new")], _KERF)
    back = reuse([replace(unit, name="old", group="old")], [_unit("new", plain)], _KERF)

    # Without the notch for toes the clear part is 720 x 400, so that the side itself does not come out of it.
    assert ("side", "side", "as it is") not in _told(made)
    assert ("side", "side", "as it is") not in _told(back)
    square = _unit("old", _rect("side", 564, 80, "along"))
    holed = _unit("new", _rect("kick", 564, 80, "along", holes=(((10, 10), (50, 10), (50, 40), (10, 40)),)))
    assert _told(reuse([square], [holed], _KERF)) == [("kick", "side", "same size, other holes or grooves")]
    assert reuse([holed], [square], _KERF).panels == ()


def test_a_changed_shelf_leaves_the_rest_as_it_is() -> None:
    """A unit whose shelf is narrower keeps its other eight pieces; the shelf is cut down from itself."""
    unit = shelf_unit()
    changed = spoilt(unit, "shelf", wider(-20))
    made = reuse([unit], [changed], _KERF)

    assert [name for name, _, how in _told(made) if how == "as it is"] == [
        "back", "bottom", "kick", "top",
    ]  # fmt: skip
    # The sides' housings for the shelf end 20 further back, so they are other sides.
    assert ("shelf", "shelf", "cut down") in _told(made)
    assert sorted(wood.name for wood in made.to_cut) == ["side", "side"]
    assert [again.how for again in made.sticks] == ["as it is", "as it is"]


def test_battens_are_cut_down_from_longer_ones() -> None:
    """Of battens 900, 500 and 400 a new 500 takes the 500, a 450 the 900, and the 400 is left; other bars do not do."""
    bar, other = (
        Bar(material="bar", section=(20, 30), density_kg_m3=480),
        Bar(material="bar", section=(20, 40), density_kg_m3=480),
    )

    def stick(name: str, length: float, of: Bar = bar) -> Batten:
        return Batten(name=name, bar=of, length=length, solid=box(name, (0, length), (0, 20), (0, of.section[1])))

    panel = _rect("p", 100, 100)
    old = _unit("old", panel, battens=(stick("a", 900), stick("b", 500), stick("c", 400), stick("d", 950, other)))
    new = _unit("new", panel, battens=(stick("x", 450), stick("y", 500), stick("z", 850)))
    made = reuse([old], [new], _KERF)

    assert sorted((a.new.name, a.old.name, a.how) for a in made.sticks) == [
        ("y", "b", "as it is"),
        ("z", "a", "cut down"),
    ]
    assert [s.name for s in made.sticks_to_cut] == ["x"]
    assert [s.name for s in made.sticks_left] == ["c", "d"]


def _random_units(rng: random.Random, name: str, most: int) -> Thing:
    sheets = [PLY, Sheet(material="ply12", thickness=12, density_kg_m3=700)]
    grains: list[Grain] = ["along", "across", "free"]
    panels = [
        _rect(f"{name}{i}", rng.choice([200, 300, 400, 500]), rng.choice([200, 300, 400, 500]), rng.choice(grains),
              sheet=rng.choice(sheets), bands=rng.choice([(), (("left", 2.0),), (("top", 2.0), ("bottom", 2.0))]))
        for i in range(rng.randint(1, most))
    ]  # fmt: skip
    return _unit(name, *panels)


def _true(again: Again) -> bool:
    """Return whether a use is a true one, by plain arithmetic on the panels alone."""
    new, old = again.new.panel, again.old.panel
    if (new.sheet.material, new.sheet.thickness) != (old.sheet.material, old.sheet.thickness):
        return False
    ran: str = _TURNED[old.grain] if again.turned else old.grain
    if again.how == "as it is":
        # Turned pieces are allowed, so that only the two sizes and the count of bands are compared here.
        same = sorted((new.length, new.width)) == sorted((old.length, old.width)) and len(new.bands) == len(old.bands)
        straight = (new.length, new.width) == (old.length, old.width) and new.grain in ("free", old.grain)
        turned = (new.width, new.length) == (old.length, old.width) and new.grain in ("free", _TURNED[old.grain])
        return same and (straight or turned)
    if new.grain not in ("free", ran):
        return False
    ends = sum(mm for side, mm in old.bands if side in ("left", "right"))
    sides = sum(mm for side, mm in old.bands if side in ("bottom", "top"))
    room = (old.length - ends, old.width - sides)
    length, width = room[::-1] if again.turned else room
    return new.cut_length <= length and new.cut_width <= width


def _most(new: Thing, old: Thing) -> int:
    """Return how many new panels can be served at most, by trying out all ways."""

    def does(one: Panel, other: Panel) -> bool:
        made = reuse([_unit("a", other)], [_unit("b", one)], _KERF)
        return bool(made.panels)

    table = [[does(one, other) for other in old.panels] for one in new.panels]
    few = [*range(len(old.panels)), *[None] * len(new.panels)]
    return max(
        sum(j is not None for j in way)
        for way in permutations(few, len(new.panels))
        if all(j is None or table[i][j] for i, j in enumerate(way))
    )


@pytest.mark.parametrize("seed", range(120))
def test_every_use_is_a_true_one(seed: int) -> None:
    """Whatever the panels, each use fits in wood and grain, none is used twice, and nothing is lost or made up."""
    rng = random.Random(seed)
    old, new = _random_units(rng, "old", 12), _random_units(rng, "new", 12)
    made = reuse([old], [new], _KERF)
    used = [id(again.old.panel) for again in made.panels]

    assert all(_true(again) for again in made.panels)
    assert len(set(used)) == len(used)
    served = [again.new.name for again in made.panels] + [wood.name for wood in made.to_cut]
    assert sorted(served) == sorted(panel.name for panel in new.panels)
    assert {id(piece.wood.panel) for piece in made.left if piece.length * piece.width > 0} >= {
        id(panel) for panel in old.panels if id(panel) not in used
    }
    for again in made.panels:
        if again.how == "cut down":
            beside = sum(p.length * p.width for p in made.left if p.wood.panel is again.old.panel)
            assert beside + again.new.sawn[0] * again.new.sawn[1] <= again.old.clear[0] * again.old.clear[1] + 1e-6
    assert reuse([old], [new], _KERF) == made


@pytest.mark.parametrize("seed", range(30))
def test_no_way_serves_more(seed: int) -> None:
    """Of all ways to hand out a few old panels, none serves more new ones."""
    rng = random.Random(1000 + seed)
    old, new = _random_units(rng, "old", 4), _random_units(rng, "new", 4)

    assert len(reuse([old], [new], _KERF).panels) == _most(new, old)


@pytest.mark.parametrize("name", units())
def test_a_unit_under_another_name_is_built_of_its_own_panels(name: str) -> None:
    """Whatever the kind, a unit that only gets another name needs nothing new, but what is cut to fit at its place."""
    unit = units()[name]
    made = reuse([unit], [replace(unit, name="other", group="other")], _KERF)
    fitted = [panel for panel in unit.panels if panel.oversize]

    assert made.stays == ()
    assert len(made.to_cut) <= len(fitted)
    assert {again.how for again in (*made.panels, *made.sticks)} <= (
        {"as it is", "cut down"} if fitted else {"as it is"}
    )
    assert len(made.panels) + len(made.to_cut) == len(unit.panels)
    assert len(made.sticks) == len(unit.battens)
