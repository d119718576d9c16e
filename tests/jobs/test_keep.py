"""Keeping an arrangement: the file says what was found, in its own units, and everything else in it stays."""

from __future__ import annotations

import os
import stat
from functools import cache
from pathlib import Path

import pytest
import yaml

from layout.errors import InputError, LayoutError, OutputError
from layout.jobs.arrange import Options, Tried, try_file, try_project
from layout.jobs.keep import as_said, keep_in_file, kept
from layout.jobs.load import load
from layout.placing.position import Position
from tests.builders import read

ROOM = """\
space:
  floor: {{length: {length}, width: {width}}}   # by tape
  roof: {{0: {height}, {length}: {height}}}
  rear_door: {{width: {door}, height: {door_height}, kind: two leaves}}
"""
MM = ROOM.format(length=3000, width=1700, height=1800, door=1500, door_height=1700)

#: Files with all that a file may have: comments, groups, states, sizes, entries of the catalogue, quotes.
FILES = {
    "comments": f"""\
# First line, to stay.
layout: 1
title: Comments everywhere   # behind a value
units: mm
{MM}
things:
  # the chest
  chest: {{kind: box, length: 900, width: 500, height: 400, mass: 20}}   # heavy
  crate: {{kind: box, length: 400, width: 300, height: 300, mass: 5}}

# what has its place
arrangement:
  # the crate was measured twice
  crate: {{rear: 0, left: wall}}    # stays
  # nothing else yet
# the end
""",
    "inches": """\
layout: 1
title: All in inches
units: in
space:
  floor: {length: 118 1/8, width: 66 15/16}
  roof: {0: 70 7/8, 118 1/8: 70 7/8}
  rear_door: {width: 59, height: 67, kind: two leaves}
things:
  chest: {kind: box, length: 35 7/16, width: 1' 7 11/16", height: 15 3/4, mass: 44 lb}
""",
    "centimetres, windows line ends": f"""\
layout: 1
title: Of centimetres
units: cm
{ROOM.format(length=300, width=170, height=180, door=150, door_height=170)}
things:
  kit: {{use: bins/euro-600x400x280, count: 4, mass: 11}}   # four of them
free:
  kit: {{grid: [[2, 1, 2], [4, 1, 1]], gap: 1}}
arrangement:
  kit: {{outside: [camp]}}   # they stand in the meadow by day
""".replace("\n", "\r\n"),
    "states": f"""\
layout: 1
title: Out at night
units: mm
{MM}
states: [road, night]
things:
  bike: {{kind: box, length: 1600, width: 500, height: 900, mass: 15}}
  cot: {{kind: box, length: 1900, width: 800, height: 400, mass: 15}}
free:
  bike: {{outside: [night]}}
arrangement:
  cot: {{outside: [road]}}
""",
    "sizes": f"""\
layout: 1
title: A chest of a size that is free
units: mm
{MM}
things:
  chest:
    kind: box
    length: 90 cm     # 900 or 1000 will do
    width: 500
    height: 400
    mass: 20
  pad:   # lies on it
    {{kind: box, length: 900, width: 500, height: 60, mass: 3}}
arrangement:
  pad: {{on: chest}}
free:
  chest: {{sizes: {{length: [900, 1000]}}, follow: {{pad: {{length: 0}}}}}}
""",
    "a size of a catalogue entry": f"""\
layout: 1
title: A cool box of another length
units: cm
{ROOM.format(length=300, width=170, height=180, door=150, door_height=170)}
things:
  cooler: {{use: appliances/cool-box-40}}   # ours is another
free:
  cooler: {{sizes: {{length: [64, 66]}}}}
""",
    "one by one": f"""\
layout: 1
title: Boxes and a name: "quoted"
units: mm
{MM}
things:
  "box: #1": {{kind: box, length: 700, width: 500, height: 400, mass: 20}}
  'tub': {{kind: box, length: 500, width: 400, height: 300, count: 2}}
arrangement: {{tub 2: {{rear: 0, right: wall}}}}
""".replace('Boxes and a name: "quoted"', "'Boxes and a name: \"quoted\"'"),
}


@cache
def tried(name: str) -> Tried:
    """Return what a small search finds."""
    return try_project(read(FILES[name]), Options(count=2, effort="quick"))


@pytest.fixture(params=FILES)
def kept_file(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[str, Path]:
    """Return the name of a file, and the file with its first arrangement kept in it."""
    path = tmp_path / "van.yaml"
    path.write_bytes(FILES[request.param].encode())
    keep_in_file(str(path), tried(request.param), "1")
    return request.param, path


def test_what_is_kept_reads_back_as_what_was_found_and_passes(kept_file: tuple[str, Path]) -> None:
    """Every thing stands where the search found it, in every state, to a tenth of a millimetre, and no check fails."""
    name, path = kept_file
    plan, found = load(str(path)), tried(name).found.arrangements[0]

    assert not [f for f in plan.findings if f.severity == "fail"]
    for state, things in found.layout.placed.items():
        there = {p.name: p.box for p in plan.layout.placed[state]}
        assert set(there) == {p.name for p in things}
        for p in things:
            box = there[p.name]
            assert (*box.bounds, box.z0, box.z1) == pytest.approx((*p.box.bounds, p.box.z0, p.box.z1), abs=0.1)


def test_nothing_else_in_the_file_changes(kept_file: tuple[str, Path]) -> None:
    """All keys but places and free sizes say the same; every comment stays, in its order; line ends are the file's own."""
    name, path = kept_file
    before, after = FILES[name], path.read_bytes().decode()
    old, new = (yaml.safe_load(text) for text in (before, after))
    found = tried(name).found.arrangements[0].said
    for group, keys in found.sizes.items():
        for key in keys:
            # What a catalogue entry says is not in the file, until the file says otherwise.
            old["things"][group].pop(key, None)
            del new["things"][group][key]
    gone = {"kit", *found.positions}
    for said in (old, new):
        said["arrangement"] = {k: v for k, v in (said.get("arrangement") or {}).items() if k not in gone}

    assert new == old
    assert _comments(after) == _comments(before)
    assert ("\r\n" in after) == ("\r\n" in before)
    assert after.count("\n") == after.count("\r\n") or "\r" not in after


def _comments(text: str) -> list[str]:
    return [line.split("# ", 1)[1].strip() for line in text.splitlines() if "# " in line]


def test_lines_that_need_no_change_are_the_same_bytes(tmp_path: Path) -> None:
    """Of the file with comments only lines with new places are new."""
    path = tmp_path / "van.yaml"
    path.write_text(FILES["comments"], encoding="utf-8")
    keep_in_file(str(path), tried("comments"), "1")
    after = path.read_text(encoding="utf-8").splitlines()

    assert [line for line in after if line not in FILES["comments"].splitlines()] == [
        line for line in after if line.strip().startswith("chest: {at:")
    ]
    assert [line for line in FILES["comments"].splitlines() if line not in after] == []


def test_numbers_are_in_the_units_of_the_file(tmp_path: Path) -> None:
    """In a file in inches places are inches, in one in centimetres centimetres: worked out here from the layout."""
    for name, per in (("inches", 25.4), ("centimetres, windows line ends", 10.0), ("comments", 1.0)):
        path = tmp_path / "van.yaml"
        path.write_bytes(FILES[name].encode())
        keep_in_file(str(path), tried(name), "1")
        said = yaml.safe_load(path.read_text(encoding="utf-8"))["arrangement"]
        key = "kit" if "kit" in said else "chest"
        things = [p for p in tried(name).found.arrangements[0].layout.placed["drive"] if p.thing.group == key]
        rear = min(p.box.bounds[0] for p in things)
        across = [y for p in things for y in (p.box.bounds[1], p.box.bounds[3])]

        assert said[key]["at"][0] * per == pytest.approx(rear, abs=0.01)
        assert said[key]["at"][1] * per == pytest.approx((min(across) + max(across)) / 2, abs=0.01)


def test_a_grid_keeps_its_number_and_gap_and_what_was_said_of_it(tmp_path: Path) -> None:
    """A group that stands as a block is kept as one: its grid, its gap, and where it is outside."""
    path = tmp_path / "van.yaml"
    path.write_bytes(FILES["centimetres, windows line ends"].encode())
    keep_in_file(str(path), tried("centimetres, windows line ends"), "1")
    said = yaml.safe_load(path.read_text(encoding="utf-8"))["arrangement"]["kit"]

    assert said["grid"] in ([2, 1, 2], [4, 1, 1])
    assert said["gap"] == 1
    assert said["outside"] == ["camp"]


def test_free_sizes_are_written_to_the_thing_and_to_what_follows() -> None:
    """The size that was chosen stands under the thing, that of what lies on it too; the comment behind it stays."""
    text = kept(FILES["sizes"].encode(), tried("sizes"), "1").decode()
    said = yaml.safe_load(text)["things"]

    assert said["chest"]["length"] in (900, 1000)
    assert said["pad"]["length"] == said["chest"]["length"]
    assert "# 900 or 1000 will do" in text


def test_each_arrangement_is_kept_by_its_number_and_its_name() -> None:
    """A number and a name lead to the same arrangement; another number to another one."""
    found, data = tried("comments"), FILES["comments"].encode()

    assert len(found.names) == 2
    assert kept(data, found, "2") == kept(data, found, found.names[1])
    assert kept(data, found, "1") != kept(data, found, "2")


def test_keeping_a_second_time_changes_nothing_and_another_one_replaces_the_first() -> None:
    """The same arrangement kept again leaves the bytes; the other one takes its place whole."""
    found, data = tried("comments"), FILES["comments"].encode()
    once = kept(data, found, "1")

    assert kept(once, found, "1") == once
    assert yaml.safe_load(kept(once, found, "2")) == yaml.safe_load(kept(data, found, "2"))


@pytest.mark.parametrize("name", ["", "0", "3", "-1", "1 ", "../../etc/passwd", "\n", "chest: {at: [0, 0, 0]}", "١"])
def test_a_name_that_is_none_is_refused_and_the_file_left_alone(name: str, tmp_path: Path) -> None:
    """What is no name and no number is told with those that there are; the file keeps its bytes."""
    path = tmp_path / "van.yaml"
    path.write_text(FILES["comments"], encoding="utf-8")

    with pytest.raises(InputError) as refused:
        keep_in_file(str(path), tried("comments"), name)
    assert all(f"{i + 1}: {known}" in str(refused.value) for i, known in enumerate(tried("comments").names))
    assert path.read_text(encoding="utf-8") == FILES["comments"]
    assert os.listdir(tmp_path) == ["van.yaml"]  # noqa: PTH208 (names only)


def test_a_read_only_file_is_refused_and_left_alone(tmp_path: Path) -> None:
    """A file that nobody may write to is not replaced, though its folder would allow it."""
    path = tmp_path / "van.yaml"
    path.write_text(FILES["comments"], encoding="utf-8")
    path.chmod(0o444)

    with pytest.raises(InputError, match="read-only"):
        keep_in_file(str(path), tried("comments"), "1")
    assert path.read_text(encoding="utf-8") == FILES["comments"]
    assert stat.S_IMODE(path.stat().st_mode) == 0o444


def test_the_rights_of_the_file_and_a_link_to_it_stay(tmp_path: Path) -> None:
    """A private file stays private; of a link what it leads to is written, and the link stays one."""
    path, link = tmp_path / "van.yaml", tmp_path / "link.yaml"
    path.write_text(FILES["comments"], encoding="utf-8")
    path.chmod(0o600)
    link.symlink_to(path)

    keep_in_file(str(link), tried("comments"), "1")
    assert link.is_symlink()
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert "chest: {at:" in path.read_text(encoding="utf-8")


def test_a_file_that_is_gone_or_a_folder_is_told_plainly(tmp_path: Path) -> None:
    """There is no traceback for a file that went away while it was searched."""
    with pytest.raises(LayoutError, match="no such file"):
        keep_in_file(str(tmp_path / "gone.yaml"), tried("comments"), "1")
    with pytest.raises((InputError, OutputError)):
        keep_in_file(str(tmp_path), tried("comments"), "1")


def test_a_file_that_changed_meanwhile_is_not_spoiled() -> None:
    """Where the file was edited during the search so that the arrangement no longer fits, nothing is written."""
    larger = FILES["comments"].replace("length: 900, width: 500", "length: 900, width: 700")
    smaller = FILES["comments"].replace("length: 3000, width: 1700", "length: 1200, width: 600").replace("1500", "500")

    for changed in (larger, smaller):
        with pytest.raises(InputError):
            kept(changed.encode(), tried("comments"), "1")


def test_what_cannot_be_edited_is_told_with_its_line() -> None:
    """Places behind an anchor are not edited: the fault names the line, and what to do."""
    shared = FILES["comments"].replace("arrangement:\n", "arrangement: &places\n")

    with pytest.raises(InputError) as refused:
        kept(shared.encode(), tried("comments"), "1")
    assert refused.value.faults[0].line == shared[: shared.index("&places")].count("\n") + 1


def test_positions_as_the_file_says_them() -> None:
    """Lengths in the file's units, whole numbers without a point, states within states; by plain arithmetic."""
    night = Position(at=(25.4, -12.7, 0.0), turn=90.0)
    position = Position(at=(254.0, 0.0, 0.0), grid=(2, 1, 1), gap=6.35, outside=("camp",), states={"sleep": night})

    assert as_said(position, "in") == {
        "at": [10, 0, 0], "grid": [2, 1, 1], "gap": 0.25, "outside": ["camp"],
        "states": {"sleep": {"at": [1, -0.5, 0], "turn": 90}},
    }  # fmt: skip
    assert as_said(Position(at=(-0.001, 648.9, 0.0)), "mm") == {"at": [0, 648.9, 0]}
    assert as_said(Position(at=(1234.5, 0.0, 0.0)), "cm") == {"at": [123.45, 0, 0]}


def test_reading_the_file_and_keeping_end_to_end(tmp_path: Path) -> None:
    """From the file to the file: the name that is told is that of the list, and a second search finds nothing free."""
    path = tmp_path / "van.yaml"
    path.write_text(FILES["comments"], encoding="utf-8")
    found = try_file(str(path), Options(count=1, effort="quick"))

    assert keep_in_file(str(path), found, "1") == found.names[0]
    with pytest.raises(InputError, match="everything has its place"):
        try_file(str(path), Options(count=1, effort="quick"))
