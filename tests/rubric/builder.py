"""Two people's browsers at one rubric's builder."""

import json

from rubric.definition import read
from rubric.models import Rubric
from tests.factories import PULSE_CHECK
from tests.rubric.drafts import change


def rubric_of(course, by):
    """The pulse check as a draft."""
    definition = read(PULSE_CHECK.read_text(encoding="utf-8"), "rubric")
    return Rubric.bring_in(definition, course=course, by=by)


class Page:
    """What the builder's page knows and sends."""

    def __init__(self, client, rubric):
        self.client, self.path = client, f"/rubrics/{rubric.pk}/changes/"
        self.version = self.look()["version"]

    def look(self, after=0):
        answer = self.client.get(self.path, {"after": after})
        assert answer.status_code == 200
        return answer.json()

    def send(self, *changes, **rest):
        return self.post({"changes": changes, **rest})

    def post(self, body):
        content = body if isinstance(body, str | bytes) else json.dumps(body)
        return self.client.post(
            self.path,
            content,
            content_type="application/json",
            headers={"accept": "application/json"},
        )

    def set(self, node, **fields):
        sent = change("set", node, base=self.version, fields=fields)
        answer = self.send(sent).json()
        self.version = answer["version"]
        return answer
