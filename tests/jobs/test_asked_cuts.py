"""Cuts that somebody asks for, and what must stay free, shown in plans."""

from __future__ import annotations

import pytest

from layout.drawing.model import Text
from layout.errors import InputError
from layout.jobs.asked_cuts import AskedCuts, asked_cuts
from layout.jobs.draw import Paper
from layout.jobs.load import load
from layout.jobs.making import Making
from layout.jobs.sheets import make_sheets, sheets_called
from tests.builders import ROOT
from tests.views.faults import faults_of

CHEST = str(ROOT / "tests" / "things" / "chest.yaml")
VAN = str(ROOT / "examples" / "market-van.yaml")


def test_zones_are_drawn_when_they_are_wanted() -> None:
    """What a lid sweeps is on the plan with zones, numbered with its words, and on none without; both can be read."""
    plan = load(CHEST)
    layers: dict[bool, dict[str, bool]] = {}
    for zones in (False, True):
        (made,) = make_sheets(sheets_called(["plan"]), Making(plan=plan, zones=zones), Paper())
        layers[zones] = {d.title: any(mark.layer == "zones" for mark in d.marks) for d in made.drawings}
        assert [faults_of(drawing, bound=True) for drawing in made.drawings] == [[] for _ in made.drawings]

    # On the road lids stay shut, so that drive has a sheet of its own.
    assert layers[False] == {"plan, drive, camp, sleep": False}
    assert layers[True] == {"plan, drive": False, "plan, camp, sleep": True}


def test_zones_at_a_height_are_those_of_the_state() -> None:
    """Cut above the chest the lids' sweep is on the sheet of camp, not on that of drive, though all stands alike."""
    (made,) = asked_cuts(Making(plan=load(CHEST), zones=True), Paper(), AskedCuts(heights=["600"]))
    found = {d.title: any(mark.layer == "zones" for mark in d.marks) for d in made.drawings}

    assert found == {
        "plan cut at 600 above the floor, drive": False,
        "plan cut at 600 above the floor, camp, sleep": True,
    }


@pytest.mark.parametrize("paper", ["A4", "A3", "Letter"])
def test_cuts_anywhere_can_be_read(paper: str) -> None:
    """Plans every 300 mm of height and sections every 500 mm, with people and zones: no text on another, none too small."""
    asked = AskedCuts(
        heights=[f"{z}" for z in range(50, 1800, 300)],
        xs=[f"{x}" for x in range(100, 3100, 500)],
        ys=["-800", "-500", "0", "300", "700"],
    )
    for one in asked_cuts(Making(plan=load(VAN), state="sleep", zones=True), Paper(name=paper), asked):
        for drawing in one.drawings:
            assert faults_of(drawing, bound=True) == [], drawing.name


def test_a_cut_stands_for_all_states_that_look_alike() -> None:
    """Without a state, camp and sleep share a drawing whose title names both."""
    (made,) = asked_cuts(Making(plan=load(VAN)), Paper(), AskedCuts(xs=["900"]))
    said = [{m.text for m in drawing.marks if isinstance(m, Text)} for drawing in made.drawings]

    assert [drawing.name for drawing in made.drawings] == ["section-x900-drive", "section-x900-sleep"]
    assert "section across at x = 900, camp, sleep, seen from behind" in said[1]


def test_nothing_asked_is_nothing() -> None:
    """No place, no drawing; a word that is no length is told with its option."""
    plan = load(VAN)
    assert not AskedCuts(toward="left")
    assert asked_cuts(Making(plan=plan), Paper(), AskedCuts()) == ()
    with pytest.raises(InputError, match="--y: cannot read 'aside'"):
        asked_cuts(Making(plan=plan), Paper(), AskedCuts(ys=["aside"]))
