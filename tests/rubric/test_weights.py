"""Points and criticals by section, and the sound student's chance to fail by them."""

import random
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.stats import binom

from rubric.definition import read, select
from rubric.definition.weights import weigh
from rubric.definition.weights_picture import BAR, draw
from tests.rubric.definitions import definitions
from tests.rubric.test_lint import element, grid, rubric

HALF = Fraction(1, 2)


def weights(*sections, share=Fraction(95, 100), rules=(), **sheet):
    return weigh(read(rubric(*sections, rules=rules, **sheet), "x"), share)


def at_least(key, count, *of, effect="fail"):
    return {
        "key": key,
        "kind": "at_least",
        "count": count,
        "of": of,
        "effect": effect,
        "text": key,
    }


def criticals(number, effect="fail", letter="c"):
    return [element(f"{letter}{n}", critical=effect) for n in range(number)]


def test_a_section_has_its_points_its_share_and_its_criticals():
    first, second = weights(
        [element("a", points=2, critical="flag"), *criticals(2)],
        [grid("g", points=3)],
    ).sections
    assert (first.points, first.share, first.elements) == (4, Fraction(2, 5), 3)
    assert (first.criticals, first.failing, second.criticals) == (3, 2, 0)


def test_independent_criticals_multiply():
    assert weights(criticals(3)).chance == 1 - Fraction(95, 100) ** 3


@pytest.mark.parametrize(
    ("effect", "fails"),
    [
        ("fail", True),
        ("flag", False),
        ({"cap": 74}, True),
        ({"cap": 75}, False),
        ({"deduct": 100}, False),
    ],
)
def test_a_critical_fails_alone_by_fail_or_by_a_cap_below_the_pass_mark(effect, fails):
    found = weights(criticals(1, effect), share=HALF)
    assert found.chance == (HALF if fails else 0)


@pytest.mark.parametrize(("count", "share"), [(8, 0.95), (10, 0.9), (1, 0.2), (4, 0.5)])
def test_an_at_least_rule_alone_is_binomial_as_scipy_has_it(count, share):
    found = weights(
        [grid("g", sites=["a", "b", "c", "d", "e"])],
        rules=[at_least("r", count, "g.*")],
        share=Fraction(str(share)),
    )
    assert float(found.chance) == pytest.approx(binom.cdf(count - 1, 10, share))
    assert found.rules[0].chance == found.chance


def test_a_rule_over_a_critical_needs_one_fewer_once_that_is_right():
    # By hand: right critical (1/2), then one of the other two: 1/2 * (1 - 1/4).
    found = weights(
        [element("a", critical="fail"), element("b"), element("c")],
        rules=[at_least("r", 2, "a", "b", "c")],
        share=HALF,
    )
    assert found.chance == 1 - HALF * Fraction(3, 4)
    assert found.is_exact


def test_an_element_that_always_or_never_earns_credit_is_no_chance():
    levels = [{"label": "a", "credit": 1}, {"label": "b", "credit": 1}]
    nothing = [{"label": "a", "credit": 0}, {"label": "b", "credit": 0}]
    assert weights([element("x", critical="fail", levels=levels)]).chance == 0
    assert weights([element("x", critical="fail", levels=nothing)]).chance == 1


def test_an_element_that_always_earns_credit_counts_for_a_rule():
    levels = [{"label": "a", "credit": 1}, {"label": "b", "credit": 1}]
    parts = [element("a", levels=levels), element("b"), element("c")]
    found = weights(parts, rules=[at_least("r", 2, "a", "b", "c")], share=HALF)
    assert found.chance == Fraction(1, 4)  # both of the others wrong


def by_counting(definition, share):
    """The chance by every pattern of right and wrong, one by one."""
    chance = Fraction(0)
    for rights in product([True, False], repeat=len(definition.elements)):
        right = {
            e.key
            for e, is_right in zip(definition.elements, rights, strict=True)
            if is_right
        }
        fails = any(
            e.critical and e.key not in right for e in definition.elements
        ) or any(
            len(right.intersection(select(definition, r.of))) < r.count
            for r in definition.rules
        )
        if fails:
            chance += share ** len(right) * (1 - share) ** (len(rights) - len(right))
    return chance


@settings(max_examples=30)
@given(st.data())
def test_rules_that_share_elements_are_counted_together(data):
    keys = [f"k{n}" for n in range(7)]
    some = st.lists(st.sampled_from(keys), min_size=1, max_size=7, unique=True)
    rules = []
    for n in range(data.draw(st.integers(1, 4))):
        of = data.draw(some)
        rules.append(at_least(f"r{n}", data.draw(st.integers(1, len(of))), *of))
    critical = data.draw(st.sampled_from([None, "fail"]))
    parts = [
        element(key, **({"critical": critical} if key == "k3" and critical else {}))
        for key in keys
    ]
    definition = read(rubric(parts, rules=rules), "x")
    share = data.draw(st.sampled_from([HALF, Fraction(9, 10)]))
    assert weigh(definition, share).chance == by_counting(definition, share)


def test_what_would_take_too_long_is_bounded_from_above_and_says_so():
    keys = [f"k{n}" for n in range(40)]
    dice = random.Random(3)  # noqa: S311 - a fixed seed, no secret
    rules = [at_least(f"r{n}", 12, *dice.sample(keys, 20)) for n in range(30)]
    found = weights([element(key) for key in keys], rules=rules, share=HALF)
    assert not found.is_exact
    assert max(rule.chance for rule in found.rules) <= found.chance <= 1


@settings(max_examples=15, suppress_health_check=list(HealthCheck))
@given(definitions())
def test_every_rubric_has_a_chance_and_a_picture(definition):
    found = weigh(definition)
    assert 0 <= found.chance <= 1
    assert sum(section.points for section in found.sections) == found.points
    rows = draw(found).rows
    assert all(
        0 <= x <= BAR for row in rows for x in (row.points, row.criticals, row.failing)
    )


def test_a_share_is_0_to_1():
    with pytest.raises(ValueError, match="0 to 1, but got 2"):
        weigh(read(rubric([element("a")]), "x"), Fraction(2))


def test_a_long_title_is_cut_in_the_picture():
    text = rubric([element("a")]).replace("Part 0", "P" * 60)
    (row,) = draw(weigh(read(text, "x"))).rows
    assert row.title == "P" * 37 + "…"


def test_whoever_does_nothing_right_meets_no_count():
    rule = {"key": "r", "kind": "at_least", "count": 1, "of": ["a"], "effect": "fail"}
    definition = read(rubric([element("a")], rules=[rule | {"text": "The one"}]), "x")
    assert weigh(definition, Fraction(0)).chance == 1
