"""Values of a definition in a few words, as every page and sheet says them."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from rubric.definition.values import Effect


def exact(number: Fraction | int) -> str:
    """A number without trailing zeros; where it does not end, as a mixed fraction.

    >>> exact(Fraction(3, 2)), exact(Fraction(4, 3)), exact(Fraction(1234567, 1000))
    ('1.5', '1 1/3', '1234.567')
    """
    if 1000 % number.denominator == 0:
        return f"{(Decimal(number.numerator) / number.denominator).normalize():f}"
    whole, rest = divmod(number, 1)
    return f"{whole} {rest}" if whole else str(rest)


def effect(effect: Effect) -> str:
    """What a violation does.

    >>> effect(Effect("fail")), effect(Effect("cap", Fraction(74)))
    ('not yet', 'at most 74%')
    """
    match effect.kind:
        case "fail":
            return "not yet"
        case "flag":
            return "shown only"
        case "cap":
            return f"at most {exact(effect.amount or Fraction(0))}%"
        case _:
            return f"{exact(effect.amount or Fraction(0))} points off"
