import types

import rubric.definition


def test_all_lists_every_public_name_in_order():
    public = {
        name
        for name, value in vars(rubric.definition).items()
        if not name.startswith("_") and not isinstance(value, types.ModuleType)
    }
    assert rubric.definition.__all__ == sorted(public)
