"""The pictures of the README are what the program draws now."""

import os
from pathlib import Path

import pytest

from layout.jobs.book import book
from layout.jobs.draw import Paper
from layout.jobs.load import load
from tests.builders import ROOT

PICTURES = {
    "market-van-plan.svg": ("market-van", "plan-drive.svg"),
    "market-van-left.svg": ("market-van", "left-side-drive.svg"),
    "market-van-rear.svg": ("market-van", "rear-camp.svg"),
    "market-van-cut.svg": ("market-van", "cut-02.svg"),
    "crosswise-wish-plan.svg": ("crosswise-wish", "plan-drive.svg"),
}


def drawn(example: str, name: str) -> bytes:
    """Return a file of an example's book."""
    return book(load(str(ROOT / "examples" / f"{example}.yaml")), Paper())[name]


@pytest.mark.parametrize("picture", PICTURES)
def test_picture_is_up_to_date(picture: str) -> None:
    """A committed picture is byte for byte what the program draws; RENEW_PICTURES=1 writes it anew."""
    path = ROOT / "examples" / "pictures" / picture
    now = drawn(*PICTURES[picture])
    if os.environ.get("RENEW_PICTURES"):
        path.write_bytes(now)

    assert path.read_bytes() == now


def test_the_comparison_can_fail(tmp_path: Path) -> None:
    """Another state's drawing is not the picture."""
    assert drawn("market-van", "plan-camp.svg") != (ROOT / "examples" / "pictures" / "market-van-plan.svg").read_bytes()
