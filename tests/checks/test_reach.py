"""What comes out after what, by which door, and whether that is soon enough."""

from pathlib import Path

from layout.model.finding import Finding
from tests.builders import plan_of

BIN = {"kind": "bin", "length": "600", "width": "400", "height": "300"}
WIDE = {"kind": "box", "length": "300", "width": "1700", "height": "900"}


def _reach(folder: Path, severity: str, **more: object) -> list[Finding]:
    return [f for f in plan_of(folder, **more).findings if f.rule == "reach" and f.severity == severity]


def test_a_bin_behind_a_wall_of_furniture_never_comes_out(tmp_path: Path) -> None:
    """A fixed box across the whole room, 1600 high under 1800, lets no bin of 300 over: it is held, and the box is named."""
    high = {**WIDE, "height": "1600"}
    said = {
        "things": {"bin": BIN, "wall": high},
        "arrangement": {"bin": {"front": "0", "centre": "0"}, "wall": {"rear": "500", "centre": "0"}},
    }
    [finding] = _reach(tmp_path, "fail", **said)

    assert finding.things == ("bin", "wall")
    assert "held by wall" in finding.text
    assert "with wall elsewhere it comes out" in finding.cure
    assert finding.states == ("drive", "camp", "sleep")


def test_over_a_low_wall_it_is_lifted(tmp_path: Path) -> None:
    """Over a box 900 high there are 900 left under 1800, less than the door's 1700: the bin is lifted over and comes out."""
    said = {
        "things": {"bin": BIN, "wall": WIDE},
        "arrangement": {"bin": {"front": "0", "centre": "0"}, "wall": {"rear": "500", "centre": "0"}},
    }

    assert not _reach(tmp_path, "fail", **said)
    [note] = _reach(tmp_path, "note", **said)
    assert note.text == "by the rear door: bin at once"


ROW = {
    "a": {"at": ["0", "450", "0"]},
    "b": {"at": ["600", "450", "0"]},
    "lid": {"at": ["0", "450", "310"]},
}
LID = {"kind": "box", "length": "1250", "width": "800", "height": "1490"}
BLOCK = {"kind": "box", "length": "1250", "width": "1100", "height": "1800"}


def _row(folder: Path, severity: str, **wish: str) -> list[Finding]:
    """Return what is found of two bins one behind the other, under a high box, with a block beside them."""
    things = {"a": BIN, "b": {**BIN, **wish}, "lid": LID, "block": BLOCK, "front": {**WIDE, "height": "1800"}}
    stood = {**ROW, "block": {"at": ["0", "-300", "0"]}, "front": {"at": ["1250", "0", "0"]}}
    return _reach(folder, severity, things=things, arrangement=stood)


def test_a_wish_is_held_against_the_number_of_others(tmp_path: Path) -> None:
    """The front bin comes out after the rear one: too late for daily, soon enough for weekly; the two may change places."""
    [late] = _row(tmp_path, "fail", reach="daily")

    assert late.things == ("b", "a")
    assert late.states == ("camp",)
    assert "after 1 other things, none allowed: a" in late.text
    assert late.cure == "let it change places with a"
    assert not _row(tmp_path, "fail", reach="weekly")
    assert not _row(tmp_path, "fail", reach="rarely")


def test_the_note_tells_the_order(tmp_path: Path) -> None:
    """Without a wish the order is told, by which door and after what."""
    assert [f.text for f in _row(tmp_path, "note")] == ["by the rear door: a at once; b after a"]


def test_an_owner_allows_more(tmp_path: Path) -> None:
    """A project that allows one before what is wanted daily finds nothing."""
    things = {"a": BIN, "b": {**BIN, "reach": "daily"}, "lid": LID, "block": BLOCK, "front": {**WIDE, "height": "1800"}}
    stood = {**ROW, "block": {"at": ["0", "-300", "0"]}, "front": {"at": ["1250", "0", "0"]}}

    assert not _reach(tmp_path, "fail", things=things, arrangement=stood, rules={"reach": {"daily": "1"}})


def test_a_door_that_is_wished_for_must_do(tmp_path: Path) -> None:
    """A bin that comes out by the side door only fails the wish for the rear door, and the cure says that another does."""
    space = {
        "floor": {"length": "3000", "width": "1700"}, "roof": {"0": "1800", "3000": "1800"},
        "rear_door": {"width": "1500", "height": "1700", "kind": "two leaves"},
        "side_doors": {"side door": {"side": "right", "start": "1800", "width": "1000", "height": "1600", "kind": "sliding"}},
    }  # fmt: skip
    things = {"bin": {**BIN, "doors": ["rear door"]}, "wall": {**WIDE, "height": "1800"}}
    stood = {"bin": {"front": "0", "right": "wall"}, "wall": {"rear": "500", "centre": "0"}}
    [finding] = _reach(tmp_path, "fail", space=space, things=things, arrangement=stood)

    assert "by rear door" in finding.text
    assert "by another door" in finding.cure
    things["bin"] = {**BIN, "doors": ["side door"]}
    assert not _reach(tmp_path, "fail", space=space, things=things, arrangement=stood)


def test_a_bin_under_a_load_waits(tmp_path: Path) -> None:
    """A bin that carries a fixed box stays; one that carries another bin comes out after it."""
    load = {"kind": "box", "length": "600", "width": "400", "height": "900", "mass": "80"}
    stood = {"bin": {"front": "0", "left": "wall"}, "load": {"on": "bin"}}
    [finding] = _reach(tmp_path, "fail", things={"bin": BIN, "load": load}, arrangement=stood)
    [note] = _reach(tmp_path, "note", things={"bin": BIN, "load": {**BIN, "height": "200"}}, arrangement=stood)

    assert finding.things == ("bin", "load")
    assert "bin after load" in note.text


def test_a_wish_for_a_fixed_box_makes_it_come_out(tmp_path: Path) -> None:
    """A box stays where it is unless told; wanted weekly it is looked at like a bin."""
    box = {"kind": "box", "length": "500", "width": "300", "height": "400"}
    stood = {"a": {"rear": "0", "centre": "0"}}

    assert not _reach(tmp_path, "note", things={"a": box}, arrangement=stood)
    assert _reach(tmp_path, "note", things={"a": {**box, "reach": "weekly"}}, arrangement=stood)


def test_a_growing_wish_never_removes_a_failure(tmp_path: Path) -> None:
    """What fails with one other allowed fails with none allowed."""
    fails = [bool(_row(tmp_path, "fail", reach=wish)) for wish in ("rarely", "weekly", "daily")]

    assert fails == sorted(fails)


def test_a_bicycle_in_the_way_is_wheeled_out_first(tmp_path: Path) -> None:
    """A bin behind a bicycle that closes the door comes out after it, and is not held by it for ever."""
    bike = {"use": "bicycles/city-28"}
    space = {
        "floor": {"length": "3000", "width": "700"}, "roof": {"0": "1300", "3000": "1300"},
        "rear_door": {"width": "700", "height": "1200", "kind": "two leaves"},
    }  # fmt: skip
    stood = {"bin": {"front": "0", "centre": "0"}, "bike": {"rear": "100", "centre": "0"}}
    said = {"space": space, "things": {"bin": BIN, "bike": bike}, "arrangement": stood}

    assert not _reach(tmp_path, "fail", **said)
    assert "bin after bike" in _reach(tmp_path, "note", **said)[0].text
