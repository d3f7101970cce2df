"""Drafts and changes for tests of the builder."""

import json
from itertools import count

from rubric.definition import Draft, apply, read
from rubric.definition.exact import loads
from tests.factories import PULSE_CHECK

_ids = count(1)


def pulse_check():
    return Draft.of(read(PULSE_CHECK.read_text(encoding="utf-8"), "rubric"))


def change(act, node, **rest):
    """A change with an id of its own, made on the first version unless it says another."""
    base = {"base": 1} if act in ("set", "remove") else {}
    return {"id": f"change-{next(_ids):012}", "act": act, "node": node, **base, **rest}


def made(draft, *changes, by="Marit Egede", **options):
    """What `apply` gives for the changes as they come over the wire."""
    return apply(draft, loads(json.dumps(changes)), by=by, **options)


def statuses(results):
    return [result["status"] for result in results]


def part(draft, key):
    """The id of the part, section or rule with the key."""
    return next(n.id for n in draft.nodes.values() if n.fields.get("key") == key)


def fields(draft, key):
    return draft.nodes[part(draft, key)].fields
