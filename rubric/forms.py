from __future__ import annotations

import hashlib
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
from rubric.definition.meaning import Doubt
from rubric.definition.newcomers import Candidate, Newcomer
from rubric.definition.sent import Unreadable
from rubric.faults import Faults
from rubric.models import Edition
from rubric.publishing import Proposal

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
    """What changed, and of each element that may mean something else whether it does.

    `seen` is the version of the draft that its author reads, `after` the number of the
    edition before. A question has a name of its own, so that an answer given to another
    is never taken for one to it.
    """

    seen = forms.IntegerField(widget=forms.HiddenInput)
    after = forms.IntegerField(widget=forms.HiddenInput)
    note = forms.CharField(
        label="What changed",
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="For the people who mark with it. Up to 500 characters.",
    )

    def __init__(self, *args: Any, proposal: Proposal, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.proposal = proposal
        for doubt in proposal.doubts:
            self.fields[_name(doubt)] = _choice(
                doubt.name,
                [("same", "the same meaning"), ("new", "new, and not compared")],
                "same" if doubt.proposes_same else None,
                required=True,
            )
        for newcomer in proposal.newcomers:
            self.fields[_name(newcomer)] = _choice(
                newcomer.name,
                [("", "new"), *((c.value, _says(c)) for c in newcomer.candidates)],
                newcomer.proposal,
            )

    def clean(self) -> dict[str, Any]:
        taken: dict[str, str] = {}
        for newcomer in self.proposal.newcomers:
            chosen = self._chosen(newcomer)
            for token in chosen.tokens.values() if chosen else ():
                if token in taken:
                    other = taken[token]
                    words = f"{other} is already the same as that. Only one can be."
                    self.add_error(_name(newcomer), words)
                    break
                taken[token] = newcomer.name
        return self.cleaned_data

    @property
    def anew(self) -> list[str]:
        """The keys of the elements that mean something else now."""
        return [
            key
            for doubt in self.proposal.doubts
            if self.cleaned_data[_name(doubt)] == "new"
            for key in doubt.elements
        ]

    @property
    def same_as(self) -> dict[str, str]:
        """Tokens by the keys of added elements that were there under another key."""
        chosen = map(self._chosen, self.proposal.newcomers)
        return {
            key: token
            for candidate in chosen
            if candidate
            for key, token in candidate.tokens.items()
        }

    @property
    def asked(self) -> list[tuple[Doubt, forms.BoundField]]:
        return [(doubt, self[_name(doubt)]) for doubt in self.proposal.doubts]

    @property
    def came(self) -> list[tuple[Newcomer, forms.BoundField]]:
        return [(each, self[_name(each)]) for each in self.proposal.newcomers]

    def _chosen(self, newcomer: Newcomer) -> Candidate | None:
        value = self.cleaned_data.get(_name(newcomer))
        return next((c for c in newcomer.candidates if c.value == value), None)


def _name(asked: Doubt | Newcomer) -> str:
    """The same for the same question alone: its elements and what changed in them."""
    digest = hashlib.sha256(repr(asked).encode()).hexdigest()
    return f"meaning-{digest[:16]}"


def _says(candidate: Candidate) -> str:
    edition = f", edition {candidate.edition}" if candidate.edition else ""
    return f"the same as: {candidate.name}{edition}"


def _choice(
    label: str,
    choices: list[tuple[str, str]],
    initial: str | None,
    *,
    required: bool = False,
) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=label,
        choices=choices,
        initial=initial,
        required=required,
        widget=forms.RadioSelect,
        error_messages={"required": "Say whether it still means the same."},
    )


class CompareForm(forms.Form):
    """Two of a rubric's editions, or its draft."""

    def __init__(self, *args: Any, editions: list[Edition], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [("draft", "the draft")]
        choices += [(f"{e.number}", f"edition {e.number}") for e in editions]
        for name, label in (("from", "From"), ("to", "To")):
            self.fields[name] = forms.ChoiceField(label=label, choices=choices)
