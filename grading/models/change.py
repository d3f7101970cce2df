"""One change of a marking: as the desk proposes it, as it is kept, and the answer."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal
from uuid import UUID, uuid4

from django.db import models

from accounts.models import User
from grading.models.phrase import PhraseUse


class Closed(Exception):  # noqa: N818 (named as the claim it makes)
    """The marking is released and takes no change until it is reopened."""


@dataclass(frozen=True)
class Proposed:
    """One change as the desk sends it, read and found to fit the edition.

    `target` names what it is about: "element:KEY", "comment:ID", "sighting:ID",
    "ruling:RULE", "rating", "start" or "length". `after` is the id of the change that the
    desk last knew for this target, None where it knew none. `value` None takes back.
    `phrase` is what a comment was made with, or is to be kept as.
    """

    id: UUID
    target: str
    after: UUID | None
    value: dict[str, Any] | None
    phrase: PhraseUse | None = None


@dataclass(frozen=True)
class Refusal:
    """A change not taken, and what stands for its target.

    `why`: `older` (someone wrote in between; `by` says who, where it is known),
    `forbidden` (not this person's to do) or `invalid` (it does not fit the edition; then
    `id` and `target` are as they came). `text` says it in words.
    """

    id: str
    target: str
    why: Literal["older", "forbidden", "invalid"]
    text: str = ""
    current: dict[str, Any] | None = None
    by: str = ""


@dataclass
class Saved:
    """The answer to one save. `before` is the marking's version when it began."""

    before: int
    version: int
    acknowledged: list[UUID] = field(default_factory=list)
    refused: list[Refusal] = field(default_factory=list)


class Change(models.Model):
    """One change of a marking, as it came; never altered."""

    marking = models.ForeignKey(
        "grading.Marking", models.CASCADE, related_name="changes"
    )
    client_id = models.UUIDField(default=uuid4)
    # Holds an element's key, which has no longest length.
    target = models.TextField()
    value = models.JSONField(null=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ("pk",)
        constraints = (
            models.UniqueConstraint(
                fields=("marking", "client_id"), name="change_once_a_marking"
            ),
        )

    def __str__(self) -> str:
        return f"{self.target} by {self.by}"
