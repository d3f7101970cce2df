"""A rubric whose draft became something else, or something faulty."""

from uuid import uuid4

from rubric.definition import read
from rubric.definition.exact import loads
from rubric.models import Rubric
from tests.factories import PULSE_CHECK

TEXT = PULSE_CHECK.read_text(encoding="utf-8")


def become(rubric, by, *pairs):
    """The draft is the pulse check with other texts from now on."""
    text = TEXT
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    Rubric.bring_in(read(text, "changed"), course=rubric.course, by=by)
    rubric.refresh_from_db()


def change(rubric, by, key, **fields):
    """Fields of the part with that key are set, right or wrong; its node."""
    node = next(part for part in rubric.opened.parts() if part.fields["key"] == key)
    set_node(rubric, by, node, fields)
    return node


def set_node(rubric, by, node, fields):
    sent = {
        "id": str(uuid4()),
        "act": "set",
        "node": node.id,
        "base": loads(str(node.version)),
        "fields": fields,
    }
    _, (result,) = rubric.change([sent], by=by)
    return result
