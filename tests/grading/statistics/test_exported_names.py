import importlib
import pkgutil

import pytest


@pytest.mark.parametrize(
    "name",
    [
        "grading.pictures",
        "grading.statistics",
        "grading.statistics.passmark",
        "grading.statistics.reports",
    ],
)
def test_a_package_lists_every_module_it_has(name):
    package = importlib.import_module(name)
    assert package.__all__ == sorted(
        m.name for m in pkgutil.iter_modules(package.__path__)
    )
