"""What a definition says, in words."""

from __future__ import annotations

from fractions import Fraction

from django import template

from rubric.definition import Effect

register = template.Library()


@register.filter
def exact(number: Fraction) -> str:
    """Points without trailing zeros; where they do not end, as a mixed fraction.

    >>> exact(Fraction(3, 2)), exact(Fraction(4, 3)), exact(Fraction(2))
    ('1.5', '1 1/3', '2')
    """
    whole, rest = divmod(number, 1)
    if 1000 % number.denominator == 0:
        return f"{float(number):g}"
    return f"{whole} {rest}" if whole else str(rest)


@register.filter
def effect(effect: Effect) -> str:
    """What a violation does, in a few words."""
    match effect.kind:
        case "fail":
            return "not yet"
        case "flag":
            return "shown only"
        case "cap":
            return f"at most {exact(effect.amount or Fraction(0))}%"
        case "deduct":
            return f"{exact(effect.amount or Fraction(0))} points off"
