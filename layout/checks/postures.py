"""What a person can do in a height: the words that are told, and what each of them takes."""

from __future__ import annotations

from layout.model.person import Person
from layout.model.rule import Rule
from layout.space.space import TOUCH

#: From the least to the most; each is a word of what the person does, as in "Ada sits erect".
VERDICTS = ("cannot lie", "lies", "crawls", "stoops", "sits", "sits erect")


def sitting_height(rule: Rule, person: Person) -> float:
    """Return the height of the person above the seat, mm: as measured, or the rule's share of the stature."""
    return person.sitting if person.sitting is not None else person.stature * rule["sitting_share"]


def erect(rule: Rule, person: Person) -> float:
    """Return the height over a seat, or over a mattress, in which the person sits erect, mm."""
    return sitting_height(rule, person) + rule["sitting_more"]


def verdict(rule: Rule, person: Person, free: float) -> str:
    """Return what the person can do in `free` mm over a seat or a mattress, one of `VERDICTS`.

    More height never gives a lesser word, and nobody taller, or taller when sitting, a better one in the same height.
    """
    heights = _heights(rule, person)
    return next((word for word in reversed(VERDICTS[1:]) if free >= heights[word] - TOUCH), VERDICTS[0])


def least_for(rule: Rule, person: Person, word: str) -> float:
    """Return the least height in which the person can do what `word` says, or what comes after it, mm."""
    heights = _heights(rule, person)
    return min(heights[other] for other in VERDICTS[rank(word) :])


def _heights(rule: Rule, person: Person) -> dict[str, float]:
    """Return what each word takes by itself: for somebody short, sitting may take less than the rule's stooping."""
    return {
        "lies": rule["lie"],
        "crawls": rule["least"],
        "stoops": rule["wanted"],
        "sits": sitting_height(rule, person) - rule["slump"],
        "sits erect": erect(rule, person),
    }


def rank(word: str) -> int:
    """Return the place of a verdict among all, from 0 for the least."""
    return VERDICTS.index(word)
