"""What a rubric's credits say about a packed array of states."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from grading.statistics.omissions import Credits, credit_table
from rubric.definition import Definition

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt


def credits_of(definition: Definition) -> npt.NDArray[np.float64]:
    """Credit of each state code for each element, elements x 256; NaN is not judged."""
    default = definition.credit

    def share(own: Fraction | None, usual: Fraction | None, last: Fraction) -> float:
        return float(own if own is not None else usual if usual is not None else last)

    return credit_table(
        Credits(
            partly=share(e.credit.partly, default.partly, Fraction(1, 2)),
            said=share(e.credit.said, default.said, Fraction(0)),
            levels=tuple(float(level.credit) for level in e.levels),
        )
        for e in definition.elements
    )
