from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import RequestDataTooBig
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest

from accounts.models import Course, User
from accounts.roles import Act
from rubric.definition import Definition, read
from rubric.definition.exact import Json, Number, loads
from rubric.definition.fields import CONTROL
from rubric.definition.sent import Unreadable
from rubric.faults import Faults

LARGEST_FILE = 1_000_000  # bytes; a rubric of 120 elements is about 40 kB
LARGEST_BODY = 500_000  # bytes of changes at once, or of a pasted text
MOST_CHANGES = 500  # at once


class ImportForm(forms.Form):
    """A rubric file for one course; its faults are the form's errors, all at once."""

    file = forms.FileField(
        label="Rubric file",
        help_text="YAML or JSON in the format bellside-rubric/1, up to 1 MB.",
        widget=forms.ClearableFileInput(attrs={"accept": ".yaml,.yml,.json"}),
    )

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["course"] = forms.ModelChoiceField(
            Course.objects.where_may(user, Act.MANAGE_RUBRICS), empty_label=None
        )
        self.order_fields(["course", "file"])

    def clean_file(self) -> Definition:
        file: UploadedFile = self.cleaned_data["file"]
        if file.size is None or file.size > LARGEST_FILE:
            raise forms.ValidationError("The file is larger than 1 MB.")
        try:
            return read(file.read(), file.name or "the file")
        except Faults as faults:
            raise forms.ValidationError(
                [str(fault) for fault in faults.faults]
            ) from None


class NewForm(forms.Form):
    """The title of a rubric that is begun in one course."""

    title = forms.CharField(max_length=200)

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["course"] = forms.ModelChoiceField(
            Course.objects.where_may(user, Act.MANAGE_RUBRICS), empty_label=None
        )
        self.order_fields(["course", "title"])

    def clean_title(self) -> str:
        title: str = self.cleaned_data["title"]
        if re.search(f"[{CONTROL}]", title):
            raise forms.ValidationError("The title holds a character that no file may.")
        return title


@dataclass(frozen=True)
class Sent:
    """Changes as the builder's page sent them, each still unread.

    `person` is who the page believes is signed in; `after` the version it knows.
    """

    changes: list[Json]
    person: int | None
    after: int | None


def read_changes(request: HttpRequest) -> Sent:
    """The changes in a request's body. Raises Unreadable."""
    sent = _body(request)
    changes = sent.get("changes")
    if not isinstance(changes, list) or len(changes) > MOST_CHANGES:
        raise Unreadable(f"changes must be a list of at most {MOST_CHANGES}.")
    return Sent(changes, _whole(sent, "person"), _whole(sent, "after"))


def read_text(request: HttpRequest) -> tuple[str, str]:
    """The pasted text in a request's body, and the section's id. Raises Unreadable."""
    sent = _body(request)
    text, section = sent.get("text"), sent.get("in", "")
    if type(text) is not str or type(section) is not str:
        raise Unreadable("text must be the text that was pasted, in a section's id.")
    return text, section


def _body(request: HttpRequest) -> dict[str, Json]:
    try:
        body = request.body
    except RequestDataTooBig:
        body = None
    if body is None or len(body) > LARGEST_BODY:
        raise Unreadable(f"At most {LARGEST_BODY // 1000} kB may be sent at once.")
    try:
        sent = loads(body)
    except ValueError:
        raise Unreadable("What is sent must be JSON.") from None
    if not isinstance(sent, dict):
        raise Unreadable("What is sent must be an object.")
    return sent


def _whole(sent: dict[str, Json], name: str) -> int | None:
    value = sent.get(name)
    if value is None:
        return None
    if not isinstance(value, Number) or not re.fullmatch("[0-9]{1,15}", value):
        raise Unreadable(f"{name} must be a whole number.")
    return int(value)


class CopyForm(forms.Form):
    """Which of the starter rubrics, and into which of the person's courses."""

    def __init__(
        self, *args: Any, user: User, starters: Mapping[str, str], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.fields["starter"] = forms.ChoiceField(choices=list(starters.items()))
        self.fields["course"] = forms.ModelChoiceField(
            Course.objects.where_may(user, Act.MANAGE_RUBRICS), empty_label=None
        )


class PublishForm(forms.Form):
    note = forms.CharField(
        label="What changed",
        max_length=500,
        required=False,
        help_text="For the people who mark with it. One line is enough.",
    )
