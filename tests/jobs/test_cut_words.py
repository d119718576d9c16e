"""What is said of the saw and the shop: read in the tables' unit, or told by the option's name."""

from __future__ import annotations

import pytest

from layout.errors import InputError
from layout.jobs.cut_words import CutWords, job_without_parts
from layout.model.cutting import CutJob, Shop


def test_nothing_said_is_the_plain_job() -> None:
    """Protects the defaults: they are the job's own, in one place."""
    assert job_without_parts(CutWords(), "mm") == CutJob(parts=(), stocks=())


def test_every_word_is_read() -> None:
    """Protects the options: lengths with and without a unit, preferences in any order, the shop and the car."""
    words = CutWords(
        kerf="1/8", trim="0", offcut_min="4", longest_cut="8 ft", smallest_hold="150 mm", prefer="breakdown, offcut",
        shop_cuts="2", shop_kerf="4 mm", shop_narrowest="12", shop_trim="1/2", shop_tolerance="1/8", car="50x38 in",
    )  # fmt: skip
    job = job_without_parts(words, "in")
    assert (job.kerf, job.trim, job.smallest_offcut) == (3.175, 0, 101.6)
    assert (job.longest_cut, job.smallest_hold, job.prefer) == (2438.4, 150, ("breakdown", "offcut"))
    assert job.shop == Shop(cuts=2, kerf=4, narrowest=304.8, trim=12.7, tolerance=3.175, car=(1270, 965.2))


@pytest.mark.parametrize(
    ("words", "option", "says"),
    [
        (CutWords(kerf="wide"), "--kerf", "cannot read"),
        (CutWords(kerf="-1"), "--kerf", "not between 0 and 100 mm"),
        (CutWords(trim="1 m"), "--trim", "not between 0 and 100 mm"),
        (CutWords(prefer="offcut,speed"), "--prefer", "offcut, settings, breakdown"),
        (CutWords(prefer="offcut,offcut"), "--prefer", "each once"),
        (CutWords(shop_kerf="3"), "--shop-kerf", "--shop-cuts 2"),
        (CutWords(car="1250x950"), "--car", "--shop-cuts 2"),
        (CutWords(shop_cuts="two"), "--shop-cuts", "whole number"),
        (CutWords(shop_cuts="-1"), "--shop-cuts", "whole number"),
        (CutWords(shop_cuts="1000000000"), "--shop-cuts", "whole number"),
        (CutWords(shop_cuts="2", car="1250"), "--car", "1250x950"),
        (CutWords(shop_cuts="2", car="1250x0"), "--car", "more than zero"),
        (CutWords(shop_cuts="2", shop_trim="1"), "--shop-trim", "tolerance"),
    ],
)
def test_a_wrong_word_is_told_by_its_option(words: CutWords, option: str, says: str) -> None:
    """Protects the person at the keyboard: the option is named, with what may be written."""
    with pytest.raises(InputError) as error:
        job_without_parts(words, "mm")

    assert [fault.key for fault in error.value.faults] == [option]
    assert says in error.value.faults[0].text
