"""The referee of one sheet catches every kind of broken answer."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.cutting.one_sheet.referee import answer_faults, require_answer
from layout.cutting.one_sheet.values import SheetAnswer, ValuedPiece
from layout.cutting.values import Laid, Way
from layout.errors import RefereeError

_LONG = Way(length=3, width=2, turned=False)
_TALL = Way(length=2, width=3, turned=True)
_PIECES = (
    ValuedPiece(name="a", ways=(_LONG, _TALL), count=4, value=6),
    ValuedPiece(name="b", ways=(Way(length=1, width=1, turned=False),), count=1, value=1),
)
_GOOD = SheetAnswer(
    value=12,
    laid=(Laid(name="a", x=0, y=0, way=_LONG), Laid(name="a", x=3, y=0, way=_LONG)),
    bound=12,
    proven=True,
)
# Four pieces around a hole: the smallest layout that no edge-to-edge cut frees.
_PINWHEEL = (
    Laid(name="a", x=0, y=0, way=_LONG),
    Laid(name="a", x=3, y=0, way=_TALL),
    Laid(name="a", x=2, y=3, way=_LONG),
    Laid(name="a", x=0, y=2, way=_TALL),
)


def test_a_good_answer_passes() -> None:
    """Protects right answers: nothing is said against one."""
    assert answer_faults(_PIECES, 7, 5, _GOOD) == ()


@pytest.mark.parametrize(
    ("broken", "words"),
    [
        (replace(_GOOD, laid=(_GOOD.laid[0], Laid(name="a", x=2, y=1, way=_LONG))), "less than the kerf apart"),
        (replace(_GOOD, laid=(_GOOD.laid[0], Laid(name="a", x=5, y=0, way=_LONG))), "is not on the sheet"),
        (replace(_GOOD, laid=(_GOOD.laid[0], Laid(name="a", x=3, y=-1, way=_LONG))), "is not on the sheet"),
        (replace(_GOOD, laid=(*_GOOD.laid, *(Laid(name="b", x=x, y=4, way=_PIECES[1].ways[0]) for x in (0, 1)))), "at most 1"),
        (replace(_GOOD, laid=(_GOOD.laid[0], replace(_GOOD.laid[1], way=Way(length=3, width=1, turned=False)))), "which it may not"),
        (replace(_GOOD, laid=(_GOOD.laid[0], replace(_GOOD.laid[1], name="c"))), "was not asked for"),
        (SheetAnswer(value=24, laid=_PINWHEEL, bound=24, proven=True), "no cut from edge to edge frees the 4"),
        (replace(_GOOD, value=13, bound=13), "are worth 12"),
        (replace(_GOOD, bound=11, proven=False), "the bound is 11"),
        (replace(_GOOD, bound=13), "called proven"),
    ],
    ids=["overlap", "outside", "below nothing", "too often", "wrong way", "unknown", "no cut", "sum", "bound", "proof"],
)  # fmt: skip
def test_a_broken_answer_is_caught(broken: SheetAnswer, words: str) -> None:
    """Protects the person at the saw: each kind of broken answer is named."""
    assert words in "\n".join(answer_faults(_PIECES, 7, 5, broken))
    with pytest.raises(RefereeError, match="breaks its own rules"):
        require_answer(_PIECES, 7, 5, broken)


def test_the_kerf_must_be_free() -> None:
    """Protects the blade: pieces that touch leave it no room, pieces a kerf apart do."""
    apart = replace(_GOOD, laid=(_GOOD.laid[0], replace(_GOOD.laid[1], x=4)))
    assert "less than the kerf apart" in answer_faults(_PIECES, 7, 5, _GOOD, kerf=1)[0]
    assert answer_faults(_PIECES, 7, 5, apart, kerf=1) == ()


def test_cuts_through_a_row_and_its_columns_are_found() -> None:
    """Protects against false alarms: pieces freed only by several stages pass."""
    laid = (
        Laid(name="a", x=0, y=0, way=_LONG),
        Laid(name="a", x=0, y=2, way=_TALL),
        Laid(name="b", x=2, y=2, way=_PIECES[1].ways[0]),
        Laid(name="a", x=3, y=1, way=_TALL),
    )
    assert answer_faults(_PIECES, 5, 5, SheetAnswer(value=19, laid=laid, bound=19, proven=True)) == ()
