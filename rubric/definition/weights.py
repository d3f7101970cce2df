"""What the weights of a rubric do: points and criticals by section, and a chance.

The chance is that of a sound student to fail by criticals alone. Such a student gets
each element right with the same probability (`share`), independently, and the others
wrong: done or missed, the top level or the lowest. What fails then, whatever the
points say, is

- a critical element left out whose effect is `fail`, or a `cap` below the pass mark
  (which no percent gets over), and
- an `at_least` rule of such an effect with fewer performed than its count.

It is worked out exactly. Elements that must be right are taken as right, and rules
then need so many fewer; rules that share elements are counted together (below). Left
out: `deduct` and `flag`, which fail nobody alone, and order, hazards and time, about
which the share of right elements says nothing.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import comb

from rubric.definition.selectors import select
from rubric.definition.values import AtLeast, Definition, Effect, Element

SOUND = Fraction(95, 100)
# Steps of counting rules that share elements; far above what any exam needs.
MOST_STEPS = 100_000


@dataclass(frozen=True)
class SectionWeight:
    """`share` is the section's part of all points (0 to 1; 0 where there are none).

    `criticals` counts its critical elements, `failing` those of them that fail an
    exam alone, and `chance` is the sound student's to leave out one of these.
    """

    key: str
    title: str
    points: Fraction
    share: Fraction
    elements: int
    criticals: int
    failing: int
    chance: Fraction


@dataclass(frozen=True)
class RuleWeight:
    """An at_least rule that fails an exam alone: `count` of `elements`."""

    key: str
    text: str
    count: int
    elements: int
    chance: Fraction


@dataclass(frozen=True)
class Weights:
    """`chance` is exact, or where `is_exact` is false the most that it can be."""

    sections: tuple[SectionWeight, ...]
    rules: tuple[RuleWeight, ...]
    points: Fraction
    elements: int
    criticals: int
    failing: int
    share: Fraction
    chance: Fraction
    is_exact: bool


def weigh(definition: Definition, share: Fraction = SOUND) -> Weights:
    """Weigh a rubric for a student who gets `share` (0 to 1) of its elements right.

    Raises ValueError for a share outside 0 to 1.
    """
    if not 0 <= share <= 1:
        raise ValueError(f"share must be 0 to 1, but got {share}")
    sound = _Sound(definition, share)
    rules = [
        (rule, select(definition, rule.of))
        for rule in definition.rules
        if isinstance(rule, AtLeast) and sound.fails(rule.effect)
    ]
    points = sum((e.points for e in definition.elements), Fraction(0))
    sections = tuple(
        SectionWeight(
            key=section.key,
            title=section.title,
            points=(
                of_section := sum((e.points for e in section.elements), Fraction(0))
            ),
            share=of_section / points if points else Fraction(0),
            elements=len(section.elements),
            criticals=sum(e.critical is not None for e in section.elements),
            failing=sum(sound.fails(e.critical) for e in section.elements),
            chance=1 - sound.all_criticals(section.elements),
        )
        for section in definition.sections
    )
    alone = {
        (count, keys): 1 - sound.all_rules([(count, keys)])[0]
        for count, keys in {(rule.count, keys) for rule, keys in rules}
    }
    all_met, is_exact = sound.all_rules(
        [(rule.count, keys) for rule, keys in rules], given_criticals=True
    )
    return Weights(
        sections=sections,
        rules=tuple(
            RuleWeight(
                rule.key,
                rule.text,
                rule.count,
                len(keys),
                alone[rule.count, keys],
            )
            for rule, keys in rules
        ),
        points=points,
        elements=len(definition.elements),
        criticals=sum(section.criticals for section in sections),
        failing=sum(section.failing for section in sections) + len(rules),
        share=share,
        chance=1 - sound.all_criticals(definition.elements) * all_met,
        is_exact=is_exact,
    )


class _Sound:
    """The student: what chance each element has of being performed."""

    def __init__(self, definition: Definition, share: Fraction) -> None:
        self.pass_percent = definition.pass_percent
        self.share = share
        self.elements = {element.key: element for element in definition.elements}

    def fails(self, effect: Effect | None) -> bool:
        """Whether the effect alone keeps the outcome from being a pass."""
        if effect is None or effect.kind in ("flag", "deduct"):
            return False
        return effect.kind == "fail" or (effect.amount or 0) < self.pass_percent

    def all_criticals(self, elements: Iterable[Element]) -> Fraction:
        """The chance that none of the failing criticals is left out."""
        chance = Fraction(1)
        for element in elements:
            if self.fails(element.critical):
                chance *= self.performed(element)
        return chance

    def performed(self, element: Element) -> Fraction:
        """1 where even the lowest level earns credit, 0 where not even the top does."""
        if element.levels and element.levels[0].credit > 0:
            return Fraction(1)
        if element.levels and element.levels[-1].credit == 0:
            return Fraction(0)
        return self.share

    def all_rules(
        self,
        rules: list[tuple[int, tuple[str, ...]]],
        given_criticals: bool = False,
    ) -> tuple[Fraction, bool]:
        """The chance that every rule (a count, and keys) is met, and whether it is exact.

        Rules with an element in common are counted together. Where that would take too
        many steps their chances are multiplied: at most too low, since doing well on
        one never makes another less likely (Harris's inequality, 1960).
        """
        needs: dict[frozenset[str], int] = {}  # of rules over the same, the strictest
        for count, keys in rules:
            open_keys = []
            for key in keys:
                element = self.elements[key]
                performed = self.performed(element)
                if performed == 1 or (given_criticals and self.fails(element.critical)):
                    count -= 1
                elif performed > 0:
                    open_keys.append(key)
            if count > 0:
                over = frozenset(open_keys)
                needs[over] = max(count, needs.get(over, 0))
        chance, is_exact = Fraction(1), True
        for group in _sharing((count, keys) for keys, count in needs.items()):
            met = _all_met(group, self.share)
            if met is None:
                is_exact = False
                for alone in group:
                    chance *= _all_met([alone], self.share) or 0
            else:
                chance *= met
        return chance, is_exact


_Need = tuple[int, frozenset[str]]


def _sharing(needs: Iterable[_Need]) -> list[list[_Need]]:
    """The rules in groups, so that no two groups have an element in common."""
    groups: list[tuple[frozenset[str], list[_Need]]] = []
    for need in needs:
        keys, members = need[1], [need]
        apart = []
        for group in groups:
            if keys.isdisjoint(group[0]):
                apart.append(group)
            else:
                keys, members = keys | group[0], [*group[1], *members]
        groups = [*apart, (keys, members)]
    return [members for _, members in groups]


def _all_met(needs: list[_Need], share: Fraction) -> Fraction | None:
    """The chance that every count is reached; None where that takes too many steps.

    Elements in the same rules are alike, so their number performed is binomial. Over
    these kinds one after the other runs the joint distribution of what each rule still
    needs, in integers over one common denominator.
    """
    kinds = Counter(
        tuple(n for n, (_, keys) in enumerate(needs) if key in keys)
        for key in frozenset[str]().union(*(keys for _, keys in needs))
    )
    right, wrong = share.numerator, share.denominator - share.numerator
    still: dict[tuple[int, ...], int] = {tuple(count for count, _ in needs): 1}
    steps = 0
    for members, size in kinds.items():
        steps += len(still) * (size + 1) * len(needs)
        if steps > MOST_STEPS and len(needs) > 1:
            return None
        ways = [comb(size, k) * right**k * wrong ** (size - k) for k in range(size + 1)]
        after: dict[tuple[int, ...], int] = {}
        for state, weight in still.items():
            for k, way in enumerate(ways):
                needed = list(state)
                for n in members:
                    needed[n] = max(0, needed[n] - k)
                key = tuple(needed)
                after[key] = after.get(key, 0) + weight * way
        still = after
    return Fraction(
        still.get((0,) * len(needs), 0), share.denominator ** sum(kinds.values())
    )
