"""Dirt keeps away from beds, and what is wet is near a door."""

from math import hypot, inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layout.model.finding import Finding
from tests.builders import BASE
from tests.checks.one_rule import found

PEOPLE = {"Sietske": {"stature": "1700"}}
# From x 1000 to 2900 and y 150 to 850, from z 0 to 120 unless it is put higher.
MATTRESS = {"kind": "mattress", "length": "1900", "width": "700", "thickness": "120", "sleeps": ["Sietske"]}
BOOTS = {"kind": "box", "length": "300", "width": "300", "height": "250", "dirt": "dirty"}


def _dirt(
    at: tuple[float, float, float], bed_z: float = 0.0, more: dict[str, object] | None = None, **boots: object
) -> list[Finding]:
    """Return what is found of boots whose rear middle is `at`, beside a bed whose underside is at `bed_z`."""
    extra = more or {}
    stood = {
        "mattress": {"at": ["1000", "500", str(bed_z)]},
        "boots": {"at": [str(value) for value in at]},
        **{name: spec.pop("at") for name, spec in extra.items()},  # type: ignore[attr-defined]  # groups of the file
    }
    things = {"mattress": MATTRESS, "boots": {**BOOTS, **boots}, **extra}
    return found("dirt", people=PEOPLE, things=things, arrangement=stood)


def test_boots_beside_the_bed() -> None:
    """Boots up to y 30 are 120 beside a mattress from y 150, 300 are wanted; up to y -150 they are as far as wanted."""
    [note] = _dirt((1500, -120, 0))

    assert (note.severity, note.states, note.things) == ("note", ("sleep",), ("boots", "mattress"))
    assert (note.measured, note.wanted, note.short_by) == (pytest.approx(120), 300, pytest.approx(180))
    assert note.text == "boots (dirty): 120 mm beside mattress, 300 mm wanted"
    assert not _dirt((1500, -300, 0))


def test_clean_ones_and_other_states_are_no_matter() -> None:
    """Clean boots may stand there, and any may while nobody sleeps; where all states are days, nights are meant."""
    assert not _dirt((1500, -120, 0), dirt="clean")
    stood = {"mattress": {"at": ["1000", "500", "0"]}, "boots": {"at": ["1500", "-120", "0"], "outside": ["sleep"]}}
    things = {"mattress": MATTRESS, "boots": BOOTS}
    assert not found("dirt", people=PEOPLE, things=things, arrangement=stood)
    night = {**stood, "boots": {"at": ["1500", "-120", "0"]}}
    [note] = found("dirt", people=PEOPLE, things=things, arrangement=night, states=["drive", "night"])
    assert note.states == ("night",)


@pytest.mark.parametrize(("bed_z", "found_it"), [(0, True), (249, True), (250, False), (600, False)])
def test_what_stays_below_the_mattress_is_not_beside_it(bed_z: float, found_it: bool) -> None:
    """Boots 250 high are beside a mattress that begins at 249, and below one that begins at 250."""
    assert bool(_dirt((1500, -120, 0), bed_z=bed_z)) == found_it


def _panel(z0: float, z1: float, x: float = 1400, length: float = 500) -> dict[str, object]:
    """Return a panel 20 thick between boots and bed, its middle at y 90."""
    spec = {"kind": "box", "length": str(length), "width": "20", "height": str(z1 - z0)}
    return {**spec, "at": {"at": [str(x), "90", str(z0)]}}


@pytest.mark.parametrize(
    ("panel", "gap"),
    [
        (_panel(0, 200), None),
        (_panel(0, 120), None),
        (_panel(0, 119), 120),  # one millimetre of the mattress looks over it
        (_panel(1, 200), 120),  # or under it
        (_panel(0, 200, x=1400, length=300), 120),  # it ends at 1700, 100 short of the boots' end
        (_panel(0, 200, x=1400, length=399), 120),  # a millimetre short
        (_panel(0, 200, x=1500, length=300), None),
    ],
)
def test_a_panel_between(panel: dict[str, object], gap: float | None) -> None:
    """A wall between helps when it is as high as the mattress over all of its height, and as long as what is beside."""
    notes = _dirt((1500, -120, 0), more={"panel": dict(panel)})

    assert [n.measured for n in notes] == ([] if gap is None else [pytest.approx(gap, abs=0.1)])


def test_two_boards_one_above_the_other_are_a_wall() -> None:
    """What stands between by height in two pieces, 0 to 60 and 60 to 130, is between all the same."""
    boards: dict[str, object] = {"low": _panel(0, 60), "high": _panel(60, 130)}

    assert not _dirt((1500, -120, 0), more=boards)


def test_dirt_is_no_wall() -> None:
    """A muddy bicycle between boots and bed shields nothing: both are told of."""
    bike = {
        "kind": "box",
        "length": "500",
        "width": "20",
        "height": "900",
        "dirt": "dirty",
        "at": {"at": ["1400", "90", "0"]},
    }

    assert {note.things[0] for note in _dirt((1500, -120, 0), more={"crate": bike})} == {"boots", "crate"}


def test_above_the_bed() -> None:
    """What hangs above the mattress is warned of, a shelf that covers all of it helps, one that covers half does not."""
    shelf = {"kind": "box", "length": "300", "width": "300", "height": "20"}
    [warning] = _dirt((1500, 400, 800))

    assert (warning.severity, warning.text) == ("warn", "boots (dirty): above mattress, with nothing between")
    assert not _dirt((1500, 400, 800), more={"shelf": {**shelf, "at": {"at": ["1500", "400", "780"]}}})
    [half] = _dirt((1500, 400, 800), more={"shelf": {**shelf, "at": {"at": ["1650", "400", "780"]}}})
    assert half.severity == "warn"


def test_below_the_bed_is_fine() -> None:
    """Under a high bed boots stand as they like."""
    assert not _dirt((1500, 400, 0), bed_z=600)


def test_a_bicycle_counts_as_dirty() -> None:
    """Its bars, 740 to 822 high with the wheel off, are beside a bed at 700 and over none at 900; a clean one is not told."""
    bike = {"use": "bicycles/flat-bar-29", "front_wheel": "removed", "saddle": "dropped"}

    def told(bed_z: float, **more: str) -> list[float | None]:
        stood = {"mattress": {"at": ["1000", "500", str(bed_z)]}, "bike": {"at": ["800", "-350", "0"]}}
        things = {"mattress": MATTRESS, "bike": {**bike, **more}}
        return [n.measured for n in found("dirt", people=PEOPLE, things=things, arrangement=stood)]

    # The bars reach from y -350 by 380 to y 30.
    assert told(700) == [pytest.approx(120)]
    assert told(900) == told(700, dirt="clean") == []


@settings(max_examples=40)
@given(x=st.integers(0, 2700), y=st.integers(-700, 700))
def test_without_anything_between_it_is_the_distance(x: int, y: int) -> None:
    """The figure is that of two rectangles in plan, by arithmetic; as far as wanted, or where they overlap, none."""
    dx, dy = max(1000 - (x + 300), x - 2900, 0), max(150 - (y + 150), (y - 150) - 850, 0)
    away = inf if 700 < x < 2900 and 0 < y < 1000 else hypot(dx, dy)
    told = [n.measured for n in _dirt((x, y, 0))]

    assert told == ([pytest.approx(away, abs=0.01)] if away < 300 else [])


ROOM = {**BASE["space"], "side_doors": {"side door": {"side": "right", "start": "2000", "width": "800", "height": "1600",
        "kind": "one leaf"}}}  # type: ignore[dict-item]  # a group of the file  # fmt: skip


@pytest.mark.parametrize(
    ("at", "dirt", "away"),
    [
        ((1100, 0), "wet", 1100),  # from the rear door at x 0; the side door is hypot(600, 700) = 922 away: nearer
        ((1100, 700), "wet", 1100),
        ((1100, 700), "dirty", None),
        ((900, 700), "wet", None),
        ((2100, -700), "wet", None),
    ],
)
def test_wet_things_are_near_a_door(at: tuple[int, int], dirt: str, away: float | None) -> None:
    """A wet box is told of when it is more than 1000 from every door opening, in every state in which it is inside."""
    things = {"jacket": {**BOOTS, "dirt": dirt}}
    stood = {"jacket": {"at": [str(at[0]), str(at[1]), "0"]}}
    side = 850 - (150 - at[1]) if at[0] + 300 >= 2000 else hypot(2000 - at[0] - 300, 850 + at[1] - 150)
    expected = [] if away is None or min(away, side) <= 1000 else [pytest.approx(min(away, side))]

    assert [n.measured for n in found("dirt", space=ROOM, things=things, arrangement=stood)] == expected


def test_nearer_is_enough() -> None:
    """Doing what is said of a wet thing too far in, 100 mm and no more, is enough; without a door nothing is asked."""
    things = {"jacket": {**BOOTS, "dirt": "wet"}}
    stood = {"jacket": {"at": ["1100", "700", "0"]}}
    [note] = found("dirt", things=things, arrangement=stood)
    walled = {key: value for key, value in BASE["space"].items() if key != "rear_door"}  # type: ignore[attr-defined]

    assert note.cure == "stow it 100 mm nearer to the rear door"
    assert note.states == ("drive", "camp", "sleep")
    assert not found("dirt", things=things, arrangement={"jacket": {"at": ["1000", "700", "0"]}})
    assert not found("dirt", space=walled, things=things, arrangement=stood)
