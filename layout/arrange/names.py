"""Arrangements named by what they are: 'bed across, bicycles under the bed, galley left'."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations

from layout.arrange.aspects import Aspect, Case, Setting, aspects, subjects
from layout.arrange.several import Several

#: A name of so many words is long enough; what is not needed to tell it apart is left away then.
_WORDS = 6
_AT = ("rear", "front")
#: So much more a heading costs for each word that it takes, and for each "and", which reads badly beside others.
_WORDY, _JOINED = 0.15, 1.5
#: The most headings of which all choices are tried, and of how many of the cheapest.
_HEADINGS, _CHOICE = 3, 40
Pair = tuple[int, int]
Said = Mapping[Aspect, str]


def names_of(found: Several) -> tuple[str, ...]:
    """Return a name for each arrangement, no two alike."""
    if not found.arrangements:
        return ()
    ask = found.arrangements[0].built.ask
    cases = [
        Case(layout=a.layout, sizes=a.said.sizes, said=said)
        for a, said in zip(found.arrangements, found.said, strict=True)
    ]
    return names(cases, Setting(states=ask.states, room=ask.space.bounds, units=ask.units))


def names(cases: Sequence[Case], setting: Setting) -> tuple[str, ...]:
    """Return a name for each arrangement of the same things, no two alike.

    All are named under the same headings, the fewest and most telling that tell them apart.
    """
    told = subjects(cases[0].layout, setting.room)
    said = [aspects(case, told, setting) for case in cases]
    common = [aspect for aspect in said[0] if all(one.get(aspect) for one in said)]
    if len(cases) == 1:
        return (_name(_first(common, said[0]), said[0]),)
    chosen = _telling(common, said)
    made = [_name(_short(chosen, i, said), said[i]) for i in range(len(said))]
    return tuple(_apart(made))


def _apart(made: Sequence[str]) -> list[str]:
    """Return the names with a number behind those that would be alike."""
    found: list[str] = []
    for i, name in enumerate(made):
        number = i + 1
        told = name if made.count(name) == 1 else f"{name} ({number})"
        while told in found or (told != name and told in made):
            number += 1
            told = f"{name} ({number})"
        found.append(told)
    return found


def _first(common: Sequence[Aspect], said: Said) -> list[Aspect]:
    """Return what to say of the only arrangement: how its most telling thing lies, where that and the next one are."""
    told = list(dict.fromkeys(aspect.subject for aspect in common))[:2]
    first, *more = [{a.kind: a for a in common if a.subject == subject} for subject in told] or [{}]
    found = [first[kind] for kind in ("lies", "end") if kind in first]
    for other in more:
        out = "out" in other and said[other["out"]].startswith("outside")
        found += [other[kind] for kind in (("out",) if out else ("end",)) if kind in other]
    return found


def _telling(common: Sequence[Aspect], said: Sequence[Said]) -> list[Aspect]:
    """Return the headings that tell all apart and cost least; where few do not do it, as many as help."""
    kinds: dict[frozenset[Pair], Aspect] = {}
    for aspect in sorted(common, key=lambda a: _cost(a, said)):
        if parted := _parted(aspect, said):
            kinds.setdefault(parted, aspect)
    most = frozenset(pair for parted in kinds for pair in parted)
    cheap = list(kinds)[:_CHOICE]
    tried = [some for few in range(_HEADINGS + 1) for some in combinations(cheap, few)]
    whole = [some for some in tried if frozenset().union(*some) == most]
    best = min(whole, key=lambda some: sum(_cost(kinds[parted], said) for parted in some), default=())
    chosen = [kinds[parted] for parted in best] if whole else _greedily(kinds, most, said)
    return _in_order(chosen, common)


def _in_order(chosen: Sequence[Aspect], common: Sequence[Aspect]) -> list[Aspect]:
    return [aspect for aspect in common if aspect in chosen]


def _greedily(kinds: Mapping[frozenset[Pair], Aspect], most: frozenset[Pair], said: Sequence[Said]) -> list[Aspect]:
    """Return headings that tell all apart: each time the one that tells the most apart for its cost."""
    left, chosen = most, []
    while left:
        best = max(kinds, key=lambda parted: len(parted & left) / _cost(kinds[parted], said))
        chosen.append(kinds[best])
        left -= best
    return chosen


def _cost(aspect: Aspect, said: Sequence[Said]) -> float:
    """Return what a heading costs in a name: more the less it is worth, and the longer its words are on average."""
    words = [word for one in said for word in one[aspect].split()]
    return (1 + (_WORDY * len(words) + _JOINED * words.count("and")) / len(said)) / aspect.worth


def _parted(aspect: Aspect, said: Sequence[Said]) -> frozenset[Pair]:
    """Return the pairs of arrangements that a heading tells apart."""
    return frozenset((i, j) for i, j in combinations(range(len(said)), 2) if said[i][aspect] != said[j][aspect])


def _short(chosen: Sequence[Aspect], number: int, said: Sequence[Said]) -> list[Aspect]:
    """Return the headings less those that a long name can do without and still be told from all others."""
    kept = list(chosen)
    for aspect in sorted(chosen, key=lambda a: a.worth):
        rest = [other for other in kept if other != aspect]
        if len(_name(kept, said[number]).split()) <= _WORDS:
            break
        if rest and all(
            any(said[number][a] != other[a] for a in rest) for i, other in enumerate(said) if i != number
        ):  # fmt: skip
            kept = rest
    return kept


def _name(chosen: Sequence[Aspect], said: Said) -> str:
    parts: dict[str, dict[str, str]] = {}
    for aspect in chosen:
        parts.setdefault(aspect.subject.said, {})[aspect.kind.removesuffix(" too")] = said[aspect]
    return ", ".join(f"{subject} {_joined(words)}" for subject, words in parts.items()) or "as it stands"


def _joined(words: Mapping[str, str]) -> str:
    """Return what is said of one thing: how it lies and where in one, then the rest."""
    end, side = words.get("end", ""), words.get("side", "")
    # "at rear", but "rear left"; what is under the bed is so for both.
    place = side if not end or end == side else f"{end} {side}" if side else f"at {end}" if end in _AT else end
    stands = " ".join(word for word in (words.get("lies", ""), place) if word)
    rest = [word for kind, word in words.items() if kind not in {"lies", "end", "side"} and not kind.startswith("size")]
    sizes = [word for kind, word in words.items() if kind.startswith("size")]
    return ", ".join(word for word in (" and ".join(w for w in (stands, *rest) if w), *sizes) if word)
