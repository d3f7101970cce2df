"""Rubrics as drafts, which may be faulty, and as frozen editions, which hold a document."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import chain, count
from typing import TYPE_CHECKING, Any, Literal, Self

from django.db import models, transaction
from django.urls import reverse
from django.utils import timezone

from accounts.models import AuditEntry, Course, User
from accounts.roles import Act
from rubric.definition import Definition, Draft, apply, read, write_json
from rubric.definition.draft import SHEET
from rubric.definition.exact import Json
from rubric.definition.fields import LONGEST_LINE
from rubric.definition.meaning import lineage

if TYPE_CHECKING:
    from django.contrib.auth.models import AnonymousUser


class NotPublished(Exception):  # noqa: N818 - an answer, no fault
    """`why`: somebody "changed" the draft meanwhile, or it is "unchanged" since the last."""

    def __init__(self, why: Literal["changed", "unchanged"]) -> None:
        self.why = why
        super().__init__(f"the draft is {why}")


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
    draft = models.TextField()
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
    def opened(self) -> Draft:
        return Draft.load(self.draft)

    @property
    def definition(self) -> Definition:
        """What the draft says. Raises Faults while anything in it is wrong."""
        return self.opened.definition()

    @property
    def document(self) -> str:
        """The draft as an edition would hold it. Raises Faults while it is faulty."""
        return write_json(self.definition)

    @classmethod
    def begin(cls, title: str, *, course: Course, by: User) -> Rubric:
        """A new draft with one section. Raises IntegrityError where the title is taken."""
        with transaction.atomic():
            rubric = cls.objects.create(
                course=course,
                title=title,
                draft=Draft.empty(title).dump(),
                changed_by=by,
            )
            rubric._audit(AuditEntry.Verb.BEGAN, by, title=title)
        return rubric

    @classmethod
    def bring_in(cls, definition: Definition, *, course: Course, by: User) -> Rubric:
        """Make the draft of this title in the course, or put it in the old one's place."""
        title = definition.title
        with transaction.atomic():
            _hold_titles(course)
            there = cls.objects.filter(course=course, title=title).first()
            rubric = there or cls(course=course, title=title)
            old = there.locked().opened if there else None
            rubric.draft = Draft.of(definition, by.name, instead_of=old).dump()
            rubric.changed_by, rubric.changed_at = by, timezone.now()
            rubric.save(update_fields=_WRITTEN if there else None)
            rubric._audit(AuditEntry.Verb.IMPORTED, by, title=title)
        return rubric

    @classmethod
    def copy_in(
        cls, definition: Definition, *, course: Course, by: User, of: str
    ) -> Rubric:
        """A new draft that says the same; a number follows a title that is taken.

        `of` names what is copied, for the audit.
        """
        with transaction.atomic():
            _hold_titles(course)
            taken = set(
                cls.objects.filter(course=course).values_list("title", flat=True)
            )
            title = definition.title
            numbers = count(2)
            while title in taken:
                number = f" {next(numbers)}"
                title = definition.title[: LONGEST_LINE - len(number)] + number
            rubric = cls.objects.create(
                course=course,
                title=title,
                draft=Draft.of(replace(definition, title=title), by.name).dump(),
                changed_by=by,
            )
            rubric._audit(AuditEntry.Verb.COPIED, by, of=of, title=title)
        return rubric

    def change(
        self, changes: Sequence[Json], *, by: User
    ) -> tuple[Draft, list[dict[str, Any]]]:
        """Apply the builder's changes to the draft as it now stands.

        Returns the draft, and what became of each change. Raises Unreadable, and keeps
        nothing, where a change has no id to answer by.
        """
        with transaction.atomic():
            # A course's titles are looked at, and held, only where one may change.
            taken: set[str] = set()
            if any(isinstance(c, dict) and c.get("node") == SHEET for c in changes):
                _hold_titles(self.course)
                others = Rubric.objects.filter(course=self.course).exclude(pk=self.pk)
                taken = set(others.values_list("title", flat=True))
            before = self.locked().opened
            draft, results = apply(before, changes, by=by.name, titles_taken=taken)
            if draft != before:
                self.draft, self.title = draft.dump(), draft.title or self.title
                self.changed_by, self.changed_at = by, timezone.now()
                self.save(update_fields=_WRITTEN)
            if draft.version != before.version:
                self._audit_once_a_day(by)
        return draft, results

    def locked(self) -> Rubric:
        """This rubric with its row held, and read anew, until the transaction ends."""
        row = Rubric.objects.select_for_update().filter(pk=self.pk)
        self.draft, self.title, self.last_number = row.values_list(
            "draft", "title", "last_number"
        ).get()
        return self

    def publish(
        self,
        *,
        by: User,
        note: str = "",
        seen: tuple[int, int] | None = None,
        anew: Iterable[str] = (),
        same_as: Mapping[str, str] | None = None,
    ) -> Edition:
        """Freeze the draft as the next numbered edition.

        `seen` is the version that its author read, and the number of the edition that
        they compared it with (0: none); `anew` and `same_as` are what they said of the
        meaning of elements (see `lineage`). Raises Faults while the draft is faulty,
        NotPublished where it is not what was seen or no different from the last
        edition; nothing is kept then.
        """
        with transaction.atomic():
            draft = self.locked().opened
            editions = list(self.editions.all())
            last = editions[0] if editions else None
            stands = (draft.version, last.number if last else 0)
            if seen not in {None, stands}:
                raise NotPublished("changed")
            definition = draft.definition()
            document = write_json(definition)
            if last and last.document == document:
                raise NotPublished("unchanged")
            self.last_number += 1
            self.save(update_fields=["last_number"])
            edition = Edition.objects.create(
                rubric=self,
                number=self.last_number,
                title=definition.title,
                document=document,
                digest=hashlib.sha256(document.encode()).hexdigest(),
                note=note,
                lineage=lineage(
                    definition,
                    self.last_number,
                    last.tokens() if last else {},
                    chain.from_iterable(e.tokens().values() for e in editions),
                    anew,
                    same_as,
                ),
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

    def _audit(self, verb: AuditEntry.Verb, by: User, **detail: Any) -> None:
        AuditEntry.objects.append(
            actor=by,
            verb=verb,
            about=f"rubric {self.pk}",
            course=self.course,
            **detail,
        )

    def _audit_once_a_day(self, by: User) -> None:
        today = timezone.localtime().replace(hour=0, minute=0, second=0, microsecond=0)
        said = AuditEntry.objects.filter(
            actor=by,
            verb=AuditEntry.Verb.CHANGED,
            about=f"rubric {self.pk}",
            at__gte=today,
        )
        if not said.exists():
            self._audit(AuditEntry.Verb.CHANGED, by, title=self.title)


# What work on the draft may change; the rest is publishing's.
_WRITTEN = ("draft", "title", "changed_by", "changed_at")


def _hold_titles(course: Course) -> None:
    """Let nobody else give a rubric of the course a title until the transaction ends."""
    Course.objects.select_for_update().get(pk=course.pk)


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

    def discard(self, *, by: User) -> None:
        """Delete it. Raises ProtectedError, or IntegrityError, where anything refers to it."""
        with transaction.atomic():
            AuditEntry.objects.append(
                actor=by,
                verb=AuditEntry.Verb.DISCARDED,
                about=f"edition {self.pk}",
                course=self.rubric.course,
                title=str(self),
                digest=self.digest,
            )
            self.delete()


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
