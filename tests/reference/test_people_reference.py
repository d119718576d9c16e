"""People, lying, sitting and standing, against published figures; each where a rule uses it.

ANSUR II, men (Natick/TR-15/007), mm, median and 95th percentile: stature 1755 and 1870, sitting height 918 and 977,
bideltoid breadth 509 and 567, chest depth 253 and 298. Lying bodies are some 15 mm longer than their stature, and men's
shoes add 25 mm (Pheasant, Bodyspace).
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from layout.checks.bed_line import longest_body
from layout.checks.postures import erect, sitting_height, verdict
from layout.checks.standing import check
from layout.files.catalogue import Catalogue
from layout.files.rules import read_rules
from layout.model.finding import Finding
from layout.model.person import Person
from layout.model.spot import Spot
from layout.units.length import parse_length
from tests.builders import plain_space, plan_of
from tests.checks.beds import context_of

STATURE = {50: 1755, 95: 1870}
SITTING = {50: 918, 95: 977}
BIDELTOID = {50: 509, 95: 567}
CHEST_DEPTH_95 = 298
LYING_MORE, SHOES = 15, 25
RULES = read_rules()
TALL = Person(name="A", stature=STATURE[95], sitting=SITTING[95])


def _lying(folder: Path, length: str, stature: float) -> list[Finding]:
    made: dict[str, Any] = {"kind": "mattress", "length": length, "width": "700", "thickness": "100", "sleeps": ["A"]}
    plan = plan_of(
        folder,
        people={"A": {"stature": f"{stature}"}},
        things={"m": made},
        arrangement={"m": {"at": ["100", "0", "300"]}},
    )
    return [f for f in plan.findings if f.rule == "bed-size"]


@pytest.mark.parametrize("percentile", [50, 95])
def test_the_wanted_line_is_longer_than_a_lying_body(percentile: int, tmp_path: Path) -> None:
    """A mattress just as long as the lying body, stature + 15, is found too short: feet and pillow need room too."""
    stature = STATURE[percentile]
    [finding] = _lying(tmp_path, f"{stature + LYING_MORE}", stature)

    assert RULES["bed-size"]["longer"] > LYING_MORE
    assert finding.wanted == stature + RULES["bed-size"]["longer"]
    assert not _lying(tmp_path, f"{finding.wanted}", stature)


@pytest.mark.parametrize(
    ("entry", "tallest"),
    [
        ("us-twin", 1835),
        ("us-full", 1835),
        ("us-queen", 1962),
        ("uk-single", 1830),
        ("uk-double", 1830),
        ("eu-90", 1930),
    ],
)
def test_who_fits_on_trade_mattresses(entry: str, tallest: int, tmp_path: Path) -> None:
    """75 in is 1905 and carries 1835, 80 in is 2032 and carries 1962, 190 cm carry 1830 and 2 m 1930; 1 mm more does not.

    Trade sizes: US twin and full 75 in, queen 80 in; UK single and double 190 cm; European 2 m.
    """
    said = Catalogue(None).entry(f"mattresses/{entry}")
    assert said is not None
    length = float(parse_length(said["length"], "mm"))

    assert not _lying(tmp_path, f"{length}", tallest)
    assert _lying(tmp_path, f"{length}", tallest + 1)


def test_a_body_is_as_broad_as_its_shoulders() -> None:
    """The strip that a body takes, and each sleeper's width, hold the 95th percentile bideltoid breadth, 567."""
    breadth, each = RULES["bed-size"]["breadth"], RULES["bed-size"]["each"]

    assert BIDELTOID[95] <= breadth <= each
    # Aslant on a queen, 1524 wide, the published breadth and that of the rule differ by less than 10 mm of length.
    lengths = [longest_body(2032.0, 1524.0, b)[0] for b in (BIDELTOID[95], breadth)]
    assert 0 <= lengths[0] - lengths[1] < 10


def test_who_lies_on_the_side_has_room_for_the_shoulders() -> None:
    """Nobody is said to crawl, or to turn over, in less than the shoulders' 567; nobody to lie in less than a chest's 298."""
    rule = RULES["headroom"]

    assert rule["least"] >= BIDELTOID[95]
    assert rule["lie"] >= CHEST_DEPTH_95
    assert RULES["standing"]["body"] >= CHEST_DEPTH_95
    assert verdict(rule, TALL, float(BIDELTOID[95])) == "lies"


@pytest.mark.parametrize("percentile", [50, 95])
def test_the_share_gives_the_published_sitting_heights(percentile: int) -> None:
    """0.523 of the stature is the median sitting height within 2 mm, and that of the 95th percentile within 2 mm."""
    person = Person(name="A", stature=STATURE[percentile])

    assert sitting_height(RULES["headroom"], person) == pytest.approx(SITTING[percentile], abs=2)


def test_a_tall_man_over_a_seat_of_450() -> None:
    """A man of the 95th percentile reaches 450 + 977 = 1427 over a hard seat of 450: in that he is not said to sit erect.

    The rule asks for a little room over the head; in 450 + 977 + that he sits erect, and a millimetre lower he does not.
    """
    more = RULES["headroom"]["sitting_more"]

    def told(height: float) -> Finding:
        spot = Spot(name="seat", at=(1500.0, 0.0), does="sit", seat=450.0, people=("A",))
        [finding] = check(context_of(plain_space(height=height), (), (TALL,), (spot,)))
        return finding

    assert 450 + erect(RULES["headroom"], TALL) >= 1427
    assert "sits erect" in told(1427 + more).text
    assert "short of sitting erect" in told(1427 + more - 1).text
    assert told(1427.0).short_by == pytest.approx(more)


def test_a_tall_man_in_shoes() -> None:
    """A man of the 95th percentile stands 1870 + 25 high in shoes: under 1895 he is not said to stand, a hair more does."""
    rule = RULES["standing"]

    def told(height: float) -> str:
        spot = Spot(name="sink", at=(1500.0, 0.0), does="stand", people=("A",))
        [finding] = check(context_of(plain_space(height=height), (), (TALL,), (spot,)))
        return finding.text

    assert rule["shoes"] == SHOES
    assert "stoops" in told(STATURE[95] + SHOES)
    assert "A stands" in told(STATURE[95] + SHOES + rule["hair"])


def test_a_loft_that_is_high_enough_for_shoulders_only() -> None:
    """Between 567, a tall man's shoulders, and the sitting height less a slump there is nothing called sitting."""
    words = [verdict(RULES["headroom"], TALL, float(free)) for free in range(BIDELTOID[95], SITTING[95])]

    assert words[0] == "lies"
    assert words[-1] == "sits"
    assert set(words) == {"lies", "crawls", "stoops", "sits"}
