"""The usual cautions are told, once each, and never a verdict."""

import re

import pytest

from layout.model.finding import Finding
from tests.builders import BASE
from tests.checks.one_rule import found

PEOPLE = {"Ilse": {"stature": "1700"}, "Per": {"stature": "1800"}}
MATTRESS = {"kind": "mattress", "length": "1900", "width": "700", "thickness": "120", "sleeps": ["Ilse"]}
STOVE = {"use": "appliances/stove-two-burner"}
BED = {"mattress": {"at": ["1050", "500", "0"]}}


def _room(length: float, width: float, **more: object) -> dict[str, object]:
    roof = {"0": "1800"}
    return {
        "floor": {"length": str(length), "width": str(width)},
        "roof": roof,
        "rear_door": BASE["space"]["rear_door"],
        **more,
    }  # type: ignore[index]


def _air(square: str, **more: object) -> list[Finding]:
    return [f for f in found("cautions", space=_room(float(square) * 1000, 1000), **more) if "air " in f.text]


@pytest.mark.parametrize(
    ("square", "stove", "high", "low"),
    [("5", True, 75, 10), ("5.001", True, 100, 15), ("10", True, 100, 15), ("4", False, 15, 5), ("9", False, 15, 5)],
)
def test_how_much_stays_open(square: str, stove: bool, high: float, low: float) -> None:
    """Up to 5 m² with a flame 75 and 10 cm², up to 10 m² 100 and 15; without a flame 15 and 5 (EN 721, second-hand)."""
    door = {"rear_door": {"width": "900", "height": "1700", "kind": "two leaves"}}
    space = {**_room(float(square) * 1000, 1000), **door}
    things = {"stove": STOVE} if stove else {"mattress": MATTRESS}
    [note] = [
        f for f in found("cautions", space=space, people=PEOPLE, things=things) if "air " in f.text and "high" in f.text
    ]

    assert f"leave {high} cm² open high up and {low} cm² low down" in note.text
    assert "not law" in note.text


def test_a_larger_floor_has_no_figure() -> None:
    """Beyond 10 m² the figures end, and that is what is said."""
    space = {**_room(12000, 1000), "rear_door": {"width": "900", "height": "1700", "kind": "two leaves"}}
    [note] = [f for f in found("cautions", space=space, things={"stove": STOVE}) if "figures" in f.text]

    assert "end at 10.00 m² of floor, this has 12.00 m²" in note.text


def test_in_inches() -> None:
    """In inches 5.1 m² are 54.9 ft², and 100 cm² are 15.5 in² (6.4516 cm² to the square inch)."""
    space = {"floor": {"length": "3000 mm", "width": "1700 mm"}, "roof": {"0": "1800 mm"}}
    [note] = [f for f in found("cautions", units="in", space=space, things={"stove": STOVE}) if "high up" in f.text]

    assert "for 54.9 ft² of floor leave 15.5 in² open high up and 2.3 in² low down" in note.text


HAZARDS = {"gas": "locker", "flame": "carbon monoxide", "heater": "fumes outside", "battery": "fuse"}


@pytest.mark.parametrize("hazard", HAZARDS)
def test_each_hazard_is_told_once(hazard: str) -> None:
    """Three things of a hazard make one note that names them all, in no state, and leaves the rest to codes and licences."""
    box = {"kind": "box", "length": "300", "width": "300", "height": "300", "count": "3", "hazards": [hazard]}
    notes = [f for f in found("cautions", things={"thing": box}) if f.text.startswith("thing 1, thing 2 and thing 3: ")]

    assert [(f.severity, f.things, f.states) for f in notes] == [("note", ("thing 1", "thing 2", "thing 3"), ())]
    assert HAZARDS[hazard] in notes[0].text
    assert re.search("local codes|licensed", notes[0].cure)


def test_sleeping_inside() -> None:
    """Who sleeps inside is named; smoke and carbon monoxide alarms, two ways out and no flame asleep are told of once."""
    things = {"a": {**MATTRESS, "sleeps": ["Ilse", "Per"]}, "b": MATTRESS}
    notes = [f for f in found("cautions", people=PEOPLE, things=things) if "sleep inside" in f.text]

    assert len(notes) == 1
    assert notes[0].text.startswith("Ilse and Per sleep inside")
    for word in ("smoke alarm", "carbon monoxide alarm", "two ways out", "burn"):
        assert word in notes[0].text


def test_nothing_to_be_warned_of() -> None:
    """Bins and boxes bring no caution, and no finding of the rule is ever more than a warning or speaks of being safe."""
    assert not found("cautions", things={"a": {"kind": "box", "length": "300", "width": "300", "height": "300"}})
    everything = {"kind": "box", "length": "300", "width": "300", "height": "300", "hazards": list(HAZARDS)}
    said = found("cautions", people=PEOPLE, things={"a": everything, "mattress": MATTRESS}, arrangement={
        **BED, "a": {"at": ["400", "500", "0"]}})  # fmt: skip

    assert {f.severity for f in said} == {"note", "warn"}
    assert not any(re.search(r"\b(safe|certified|approved|complies)\b", f.text + f.cure) for f in said)


def _warnings(stove_y: float, *, x: float = 400, **space: object) -> list[Finding]:
    """Return the warnings of a stove whose middle is at `stove_y`, the way out running along y 500."""
    stood = {**BED, "stove": {"at": [str(x), str(stove_y), "0"]}}
    said = found("cautions", people=PEOPLE, space=_room(3000, 1700, **space),
                 things={"mattress": MATTRESS, "stove": STOVE}, arrangement=stood)  # fmt: skip
    return [f for f in said if f.severity == "warn"]


@pytest.mark.parametrize(("y", "away"), [(500, 0), (125, 200), (-274, 599), (-275, None), (-600, None)])
def test_a_stove_between_bed_and_the_only_door(y: float, away: float | None) -> None:
    """The stove is 350 wide: at y 125 it reaches to 300, 200 from the way out at y 500; from 600 on nothing is said."""
    said = _warnings(y)

    assert [f.measured for f in said] == ([] if away is None else [pytest.approx(away, abs=0.01)])
    if said:
        assert said[0].states == ("camp", "sleep")
        assert "the only way out, the rear door" in said[0].text
        assert said[0].things == ("stove", "mattress")


def test_beyond_the_bed_it_is_in_nobodys_way() -> None:
    """Behind the bed's middle, at the front, the stove is not between: 2965 - 2000 is 965 from where the way begins."""
    assert not _warnings(-300, x=2350)


def test_a_second_way_out() -> None:
    """A side door beside the bed is a way that the stove is far from; one that opens from outside only is none."""
    side = {"side": "right", "start": "1900", "width": "700", "height": "1600", "kind": "one leaf"}

    assert not _warnings(125, side_doors={"side door": side})
    [warning] = _warnings(125, side_doors={"side door": {**side, "opens_inside": "no"}})
    assert "the only way out, the rear door" in warning.text


def test_two_ways_out_with_a_fire_at_each() -> None:
    """With a stove at the rear door and a gas bottle before the side door, all 2 ways out are near a fire."""
    side = {"side": "right", "start": "1900", "width": "700", "height": "1600", "kind": "one leaf"}
    things = {"mattress": MATTRESS, "stove": STOVE, "bottle": {"use": "appliances/gas-bottle-5"}}
    stood = {**BED, "stove": {"at": ["400", "125", "0"]}, "bottle": {"at": ["2100", "-500", "0"]}}
    said = found("cautions", people=PEOPLE, space=_room(3000, 1700, side_doors={"side door": side}), things=things,
                 arrangement=stood)  # fmt: skip
    [warning] = [f for f in said if f.severity == "warn"]

    assert "all 2 ways out" in warning.text
    assert warning.things == ("stove", "bottle", "mattress")
    # The bottle is 100 ahead of the straight way at x 2000 to the side door, the stove 200 beside the other.
    assert warning.measured == pytest.approx(200)


def test_a_battery_before_the_door_is_no_fire() -> None:
    """Only gas and flames are looked for on the way out."""
    stood = {**BED, "battery": {"at": ["400", "500", "0"]}}
    things = {"mattress": MATTRESS, "battery": {"use": "appliances/battery-100"}}

    assert not [f for f in found("cautions", people=PEOPLE, things=things, arrangement=stood) if f.severity == "warn"]


def test_what_is_stowed_is_no_fire() -> None:
    """With a shelf 500 above it a stove is stowed, at 700 it may be lit: 600 are asked for over a stove in use."""
    shelf = {"kind": "box", "length": "800", "width": "500", "height": "20"}

    def warned(z: float) -> bool:
        stood = {**BED, "stove": {"at": ["400", "125", "0"]}, "shelf": {"at": ["300", "125", str(130 + z)]}}
        things = {"mattress": MATTRESS, "stove": STOVE, "shelf": shelf}
        said = found("cautions", people=PEOPLE, things=things, arrangement=stood)
        return any(f.severity == "warn" for f in said)

    assert (warned(500), warned(700)) == (False, True)
