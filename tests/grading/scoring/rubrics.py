"""Small rubrics and sheets, written as short as a test needs them."""

from decimal import Decimal
from fractions import Fraction

from grading.scoring import Mark, Sheet
from rubric.definition.values import (
    AtLeast,
    Before,
    Definition,
    Effect,
    Element,
    Hazard,
    Level,
    Section,
    State,
    Technique,
    Within,
)

FLAG, FAIL = Effect("flag"), Effect("fail")


def deduct(amount):
    return Effect("deduct", Fraction(amount))


def cap(amount):
    return Effect("cap", Fraction(amount))


def element(key, points=1, **more):
    return Element(key, f"Does {key}", Technique.PERFORM, Fraction(points), **more)


def rubric(*elements, rules=(), pass_percent=50, minimum=None, **more):
    """One section `all` of the elements; a string is an element of one point."""
    parts = tuple(element(e) if isinstance(e, str) else e for e in elements)
    section = Section("all", "All", parts, minimum)
    return Definition("R", (section,), Fraction(pass_percent), rules=rules, **more)


def levels(*credits):
    return tuple(Level(f"level {c}", Fraction(c)) for c in credits)


def sheet(states="", **more):
    """From words such as `a:done b:missed@12 c:level3`, seconds after the @."""
    return Sheet(marks=tuple(mark(word) for word in states.split()), **more)


def mark(word):
    key, state = word.split(":")
    state, _, at = state.partition("@")
    level = state.removeprefix("level") if state.startswith("level") else ""
    return Mark(
        key,
        State.LEVEL if level else State(state),
        Decimal(at) if at else None,
        int(level) if level else None,
    )


def at_least(count, *of, effect=FAIL):
    return AtLeast("enough", "Enough of them", effect, count, of)


def before(first, then, effect=FLAG, **more):
    return Before(
        "order", "In order", effect, tuple(first.split()), tuple(then.split()), **more
    )


def hazard(effect=FAIL):
    return Hazard("harm", "Does harm", effect)


def within(minutes=10, effect=FAIL):
    return Within("length", "Longer than allowed", effect, Fraction(minutes))
