"""Scales: chosen, asked for, refused."""

from __future__ import annotations

import pytest

from layout.drawing.paper import Paper, paper
from layout.drawing.scales import check_scale, choose_scale
from layout.errors import ScaleError, ValueFaultError


def _frame_size(sheet: Paper) -> tuple[float, float]:
    x0, y0, x1, y1 = sheet.frame
    return x1 - x0, y1 - y0


def test_the_largest_scale_that_fits_is_taken() -> None:
    """Protects drawings from being smaller than they need be."""
    assert choose_scale((390, 100), (390, 277)) == 1
    assert choose_scale((391, 100), (390, 277)) == 2


def test_what_is_too_large_for_all_scales_is_refused() -> None:
    """Protects against a drawing that runs off the paper."""
    with pytest.raises(ScaleError, match="1:100"):
        choose_scale((50_000, 100), (390, 277))


def test_a_refused_scale_names_both_cures() -> None:
    """Protects the person from guessing: which scale fits here, and which paper would do."""
    with pytest.raises(ScaleError) as caught:
        check_scale(10, (5000, 1800), paper("A3"), "landscape", _frame_size)
    assert "1:20 fits" in str(caught.value)
    assert "1:10 fits on A2" in str(caught.value)


def test_a_scale_that_no_paper_holds_names_only_the_scale() -> None:
    """Protects against naming a paper that does not help."""
    with pytest.raises(ScaleError) as caught:
        check_scale(1, (5000, 1800), paper("A3"), "landscape", _frame_size)
    assert "fits on" not in str(caught.value).split(";")[-1]


def test_letter_is_told_tabloid_not_a3() -> None:
    """Protects those with inch paper from being sent to buy A sizes."""
    with pytest.raises(ScaleError, match="1:10 fits on Tabloid"):
        check_scale(10, (3800, 1800), paper("letter"), "landscape", _frame_size)


def test_a_scale_of_nought_is_refused() -> None:
    """Protects against dividing by zero."""
    with pytest.raises(ScaleError, match="cannot be drawn"):
        check_scale(0, (1, 1), paper("A3"), "landscape", _frame_size)


def test_an_unknown_paper_lists_those_known() -> None:
    """Protects the person from guessing names of papers."""
    with pytest.raises(ValueFaultError, match="A4, A3, A2, A1, Letter, Tabloid"):
        paper("A9")
