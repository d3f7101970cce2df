"""The public names of the scorer."""

from types import ModuleType

import grading.scoring


def test_every_public_name_is_listed_and_every_listed_name_is_there():
    here = {
        name
        for name, value in vars(grading.scoring).items()
        if not name.startswith("_") and not isinstance(value, ModuleType)
    }
    assert here == set(grading.scoring.__all__)
