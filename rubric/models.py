"""Rubrics as drafts and as frozen editions; each holds one definition, as a document."""

from __future__ import annotations

import hashlib
from functools import lru_cache
from typing import TYPE_CHECKING, Self

from django.db import models, transaction
from django.urls import reverse
from django.utils import timezone

from accounts.models import AuditEntry, Course, User
from accounts.roles import Act
from rubric.definition import Definition, read, write_json

if TYPE_CHECKING:
    from django.contrib.auth.models import AnonymousUser


class RubricQuerySet(models.QuerySet["Rubric"]):
    def visible_to(self, user: User | AnonymousUser) -> Self:
        if not isinstance(user, User):
            return self.none()
        return self.filter(
            course__in=Course.objects.where_may(user, Act.MANAGE_RUBRICS)
        )


class Rubric(models.Model):
    """A draft. Marking never refers to it, only to one of its editions."""

    course = models.ForeignKey(Course, models.PROTECT, related_name="rubrics")
    title = models.CharField(max_length=200)
    document = models.TextField()
    # The highest number an edition ever got: that of a deleted one is not given again.
    last_number = models.PositiveIntegerField(default=0)
    changed_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    changed_at = models.DateTimeField(default=timezone.now)

    objects = RubricQuerySet.as_manager()

    class Meta:
        ordering = ("title",)
        constraints = (
            models.UniqueConstraint(
                fields=("course", "title"), name="rubric_title_once_a_course"
            ),
        )

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("rubric:rubric", args=[self.pk])

    @property
    def definition(self) -> Definition:
        return _definition(self.document)

    @classmethod
    def bring_in(cls, definition: Definition, *, course: Course, by: User) -> Rubric:
        """Make the draft of this title in the course, or replace its document."""
        with transaction.atomic():
            rubric, _ = cls.objects.update_or_create(
                course=course,
                title=definition.title,
                defaults={
                    "document": write_json(definition),
                    "changed_by": by,
                    "changed_at": timezone.now(),
                },
            )
            AuditEntry.objects.append(
                actor=by,
                verb=AuditEntry.Verb.IMPORTED,
                about=f"rubric {rubric.pk}",
                course=course,
                title=rubric.title,
            )
        return rubric

    def publish(self, *, by: User, note: str = "") -> Edition:
        """Freeze the draft as the next numbered edition."""
        with transaction.atomic():
            rubric = Rubric.objects.select_for_update().get(pk=self.pk)
            rubric.last_number += 1
            rubric.save(update_fields=["last_number"])
            edition = Edition.objects.create(
                rubric=self,
                number=rubric.last_number,
                title=self.title,
                document=self.document,
                digest=hashlib.sha256(self.document.encode()).hexdigest(),
                note=note,
                published_by=by,
            )
            AuditEntry.objects.append(
                actor=by,
                verb=AuditEntry.Verb.PUBLISHED,
                about=f"edition {edition.pk}",
                course=self.course,
                digest=edition.digest,
            )
        return edition


class EditionQuerySet(models.QuerySet["Edition"]):
    def visible_to(self, user: User | AnonymousUser) -> Self:
        return self.filter(rubric__in=Rubric.objects.visible_to(user))


class Edition(models.Model):
    """A numbered version of a rubric that the store itself refuses to change."""

    rubric = models.ForeignKey(Rubric, models.PROTECT, related_name="editions")
    number = models.PositiveIntegerField()
    title = models.CharField(max_length=200)
    document = models.TextField()
    digest = models.CharField(max_length=64)
    note = models.TextField(blank=True)
    # What each element means, by its key, where that is not its key's own token: see
    # `tokens`. Equal tokens in two editions of a rubric: the element means the same.
    lineage = models.JSONField(default=dict, blank=True)
    published_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    published_at = models.DateTimeField(default=timezone.now)

    objects = EditionQuerySet.as_manager()

    class Meta:
        ordering = ("rubric", "-number")
        constraints = (
            models.UniqueConstraint(
                fields=("rubric", "number"), name="edition_number_once_a_rubric"
            ),
        )

    def __str__(self) -> str:
        return f"{self.title}, edition {self.number}"

    def get_absolute_url(self) -> str:
        return reverse("rubric:edition", args=[self.pk])

    @property
    def definition(self) -> Definition:
        return definition_of(self)

    def tokens(self) -> dict[str, str]:
        """A token by element key, in exam order.

        An element of another edition of the same rubric that has the same token means
        the same, whatever its key and its words: so its author said when publishing.
        """
        return {key: self.lineage.get(key, key) for key in self.definition.index}


# The last few editions in use, so that a save reads no document. The digest is part of
# the key: a test that rolls back may see the same primary key again with other content.
_KEPT: dict[tuple[int, str], Definition] = {}
_KEEP = 64


def definition_of(edition: Edition) -> Definition:
    """The edition's definition; `document` may be deferred and is then read once."""
    key = (edition.pk, edition.digest)
    kept = _KEPT.get(key)
    if kept is None:
        if len(_KEPT) >= _KEEP:
            _KEPT.pop(next(iter(_KEPT)))
        kept = _KEPT[key] = _definition(edition.document)
    return kept


@lru_cache(maxsize=16)
def _definition(document: str) -> Definition:
    return read(document, "document")
