"""Statistics of cohorts and of quality: arrays in, figures with n, method and limits out.

Nothing is imported here: `states` is used by pages that never need numpy.
"""

__all__ = [
    "agreement",
    "chart",
    "compare",
    "figure",
    "intraclass",
    "items",
    "methods",
    "omissions",
    "passmark",
    "proportions",
    "reliability",
    "reports",
    "resample",
    "severity",
    "states",
    "table",
]
