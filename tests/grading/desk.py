"""What the tests of the desk share: a marking, and saves as the desk sends them."""

import json
from uuid import uuid4

from django.urls import reverse


def sent(marking, target, value, after="stands", **more):
    """One change as the desk sends it, by default knowing what stands."""
    if after == "stands":
        entry = marking.targets.get(target)
        after = entry and entry["change"]
    return {"id": str(uuid4()), "target": target, "after": after, "value": value} | more


def done(marking, key, **more):
    return sent(
        marking, f"element:{key}", {"state": "done", "at": 3.5, "speed": 1} | more
    )


def save(client, marking, *changes, person=None, version=None, **more):
    """POSTs a save as the marker's desk does; the answer."""
    body = {
        "person": person or marking.marker_id,
        "version": marking.version if version is None else version,
        "changes": list(changes),
    } | more
    return post(client, marking, json.dumps(body))


def post(client, marking, text):
    return client.post(
        reverse("grading:desk_save", args=[marking.pk]),
        text,
        content_type="application/json",
        headers={"accept": "application/json"},
    )
