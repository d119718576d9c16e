"""Errors planted into twelve readings of a floor are found, and named right, in at least 95 of 100 cases each."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from layout.model.survey import Measure, Reading, Surveyed
from layout.survey.adjust import adjust
from layout.survey.digits import slips
from tests.survey.tape import distance, floor, survey, taped

SEEDS = (1, 3)


def _planted(measures: list[Measure], i: int, text: str) -> list[Measure]:
    read = Reading(mm=float(text), text=text)
    return [replace(m, reading=read) if k == i else m for k, m in enumerate(measures)]


def _swapped(text: str, rng: np.random.Generator) -> str | None:
    """Return the text with two neighbouring digits changed about; nobody writes a nought in front."""
    ways = [
        text[:k] + text[k + 1] + text[k] + text[k + 2 :]
        for k in range(len(text) - 1)
        if text[k] != text[k + 1] and (k or text[1] != "0")
    ]
    return ways[int(rng.integers(len(ways)))] if ways else None


def _names(found: Surveyed, name: str) -> bool:
    return bool(found.suspects) and found.suspects[0].checked.measure.name == name


@pytest.mark.parametrize("seed", SEEDS)
def test_one_reading_wrong_by_20_mm_is_named(seed: int) -> None:
    """Twelve readings with a spread of 2 mm, one of them 20 mm off: the right one is named in 95 of 100 cases."""
    rng, named = np.random.default_rng(seed), 0
    for _ in range(100):
        measures, i = taped(floor(rng), rng), int(rng.integers(12))
        off = 20 if rng.random() < 0.5 else -20
        text = f"{measures[i].reading.mm + off:g}"
        named += _names(adjust(survey(_planted(measures, i, text))), measures[i].name)

    assert named >= 95


@pytest.mark.parametrize("seed", SEEDS)
def test_swapped_digits_are_suspected(seed: int) -> None:
    """Two neighbouring digits of one reading changed about: it is named, with what was meant, in 95 of 100 cases."""
    rng, told, cases = np.random.default_rng(seed), 0, 0
    while cases < 100:
        measures, i = taped(floor(rng), rng), int(rng.integers(12))
        text = _swapped(measures[i].reading.text, rng)
        if text is None:
            continue
        cases += 1
        found = adjust(survey(_planted(measures, i, text)))
        suspect = found.suspects[0] if _names(found, measures[i].name) else None
        told += suspect is not None and suspect.swapped is not None and suspect.swapped.mm == measures[i].reading.mm

    assert told >= 95


def test_honest_readings_are_let_pass() -> None:
    """Of 300 floors without a slip, no more than one in twenty has a reading suspected."""
    rng = np.random.default_rng(7)
    suspected = sum(bool(adjust(survey(taped(floor(rng), rng))).suspects) for _ in range(300))

    assert suspected <= 15


def test_the_places_do_without_a_gross_error() -> None:
    """With one diagonal read 400 mm long the corners are where they were without it."""
    rng = np.random.default_rng(5)
    measures = taped(floor(rng), rng)
    clean = adjust(survey([m for m in measures if m.name != "A-C"]))

    found = adjust(survey([distance("A", "C", m.reading.mm + 400) if m.name == "A-C" else m for m in measures]))

    assert found.suspects[0].checked.measure.name == "A-C"
    for point, place in clean.points.items():
        assert found.points[point] == pytest.approx(place, abs=1e-4)


@pytest.mark.parametrize(
    ("text", "units", "meant"),
    [
        ("465", "mm", 645.0),
        ("465", "mm", 456.0),
        ("17.42", "mm", 14.72),
        ("1.742 m", "mm", 1724.0),
        ("17.4 cm", "mm", 1740.0),
        ("68 5/8", "in", 86.625 * 25.4),
        ("5' 12 1/2\"", "in", (60 + 21.5) * 25.4),
    ],
)
def test_slips_are_tried_in_the_unit_that_was_written(text: str, units: str, meant: float) -> None:
    """Digits are changed about as they were written: whole inches before the fraction, centimetres, the point moved."""
    from layout.units.length import parse_length

    read = Reading(mm=float(parse_length(text, units)), text=text, units=units)  # type: ignore[arg-type]  # plain strings

    assert any(slip.mm == pytest.approx(meant) for slip in slips(read))


def test_no_slip_makes_a_tick_that_no_tape_shows() -> None:
    """7/16 is not taken for 7/61."""
    assert all("/61" not in slip.text for slip in slips(Reading(mm=11.1125, text="7/16", units="in")))
