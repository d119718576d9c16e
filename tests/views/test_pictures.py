"""The pictures of the README are what the program draws now."""

import os
from functools import cache
from pathlib import Path

import pytest

from layout.jobs.draw import Paper, drawing_files
from layout.jobs.load import load
from layout.jobs.making import Making
from layout.jobs.sheets import in_one_count, make_sheets, sheets_called
from tests.builders import ROOT

FOLDER = ROOT / "examples" / "pictures"
# The example, the kind of sheet, the file of it that the picture is.
PICTURES = {
    "market-van-plan.svg": ("market-van", "plan", "plan-drive.svg"),
    "market-van-left.svg": ("market-van", "left", "left-side-drive.svg"),
    "market-van-rear.svg": ("market-van", "rear", "rear-camp.svg"),
    "market-van-front.svg": ("market-van", "front", "front-camp.svg"),
    "market-van-section.svg": ("market-van", "section", "section-x980-sleep.svg"),
    "market-van-view.svg": ("market-van", "scene", "view-drive.svg"),
    "market-van-measure.svg": ("market-van", "measure", "measure-floor.svg"),
    "market-van-set-out.svg": ("market-van", "set-out", "set-out-drive.svg"),
    "market-van-panels.svg": ("market-van", "panels", "panels-2.svg"),
    "market-van-cut.svg": ("market-van", "cutting", "cut-02.svg"),
    "market-van-bed.svg": ("market-van", "assembly", "apart-bed.svg"),
    "crosswise-wish-plan.svg": ("crosswise-wish", "plan", "plan-drive.svg"),
}


@cache
def _making(example: str) -> Making:
    return Making(plan=load(str(ROOT / "examples" / f"{example}.yaml")))


def drawn(example: str, sheet: str, name: str) -> bytes:
    """Return a file as ``layout print`` makes it of a kind of sheet of an example."""
    made = make_sheets(sheets_called([sheet]), _making(example), Paper())
    return drawing_files(in_one_count(made), example)[name]


def outdated(picture: Path, now: bytes) -> str:
    """Return where a stored picture is not what is drawn now, empty where it is."""
    stored = picture.read_bytes()
    if stored == now:
        return ""
    at = next((i for i, (a, b) in enumerate(zip(stored, now, strict=False)) if a != b), min(len(stored), len(now)))
    around = slice(max(0, at - 60), at + 60)
    return f"{picture.name} at byte {at}: stored {stored[around]!r}, drawn {now[around]!r}; RENEW_PICTURES=1 renews it"


@pytest.mark.parametrize("picture", PICTURES)
def test_picture_is_up_to_date(picture: str) -> None:
    """A committed picture is byte for byte what the program draws; RENEW_PICTURES=1 writes it anew."""
    now = drawn(*PICTURES[picture])
    if os.environ.get("RENEW_PICTURES"):
        (FOLDER / picture).write_bytes(now)

    assert outdated(FOLDER / picture, now) == ""


def test_no_picture_is_left_over() -> None:
    """Every stored picture is one that is compared."""
    assert {path.name for path in FOLDER.iterdir()} == set(PICTURES)


@pytest.mark.parametrize(
    "change", [(b"1880", b"1881"), (b'stroke-width="0.35"', b'stroke-width="0.5"'), (b"</svg>\n", b"</svg>")]
)
def test_the_comparison_can_fail(change: tuple[bytes, bytes], tmp_path: Path) -> None:
    """A picture with one other size, one line of another width, or its last sign gone, is not what is drawn."""
    now = drawn(*PICTURES["market-van-plan.svg"])
    assert change[0] in now
    (tmp_path / "a.svg").write_bytes(now.replace(*change, 1))

    assert "a.svg at byte" in outdated(tmp_path / "a.svg", now)
    assert outdated(FOLDER / "market-van-plan.svg", drawn("market-van", "plan", "plan-camp.svg"))
