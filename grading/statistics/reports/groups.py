"""p-chart and funnel from a table of groups, one group a row."""

from __future__ import annotations

import numpy as np

from grading.statistics.chart import NO_SPREAD, chart
from grading.statistics.reports.report import Names, Report, row
from grading.statistics.table import Column, number, read_table, text
from rubric.faults import Faults

MOST = 1_000_000_000
COLUMNS = (
    Column("group", text),
    Column("n", number(0, MOST, whole=True)),
    Column("count", number(0, MOST, whole=True)),
)
LIMITS = ("low_3sd", "high_3sd", "low_95", "high_95", "low_998", "high_998")


def chart_report(file: str, data: bytes) -> Report:
    """Each group's rate and limits, and the groups outside them."""
    table = read_table(file, data, COLUMNS, ("group",))
    names = table.texts("group")
    n, count = table.numbers("n"), table.numbers("count")
    faults = [
        table.refuse(i, f"count {count[i]:g} is more than n", f"0 to {n[i]:g}")
        for i in np.flatnonzero(count > n).tolist()
    ]
    if faults:
        raise Faults(faults)
    found = chart(n.astype(np.int64), count.astype(np.int64))
    rows = [
        row(
            {"group": name},
            {
                "rate": float(found.rate[i]),
                **{limit: float(getattr(found, limit)[i]) for limit in LIMITS},
            },
            "n is 0",
        )
        for i, name in enumerate(names)
    ]
    methods = {
        "outside_3sd": "beyond the centre -+ 3 standard deviations",
        "outside_95": "beyond the exact binomial 95% limits",
        "outside_998": "beyond the exact binomial 99.8% limits",
    }
    outside = {
        name: Names(tuple(names[i] for i in getattr(found, name)), len(names), method)
        for name, method in methods.items()
    }
    notes = [NO_SPREAD] if found.center.value in (0, 1) else []
    return Report("chart", len(names), rows, {"center": found.center, **outside}, notes)
