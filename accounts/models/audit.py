"""Who did and saw what: a chain of entries that the store only lets grow."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any, Self

from django.db import connection, models, transaction
from django.utils import timezone

from accounts.roles import Act, roles_that_may
from accounts.statements import insert

if TYPE_CHECKING:
    from accounts.models.course import Course
    from accounts.models.person import User

_LAST = "SELECT number, digest FROM accounts_auditentry ORDER BY number DESC LIMIT 1"
LOCK = 7_260_411  # any number that nothing else on the database uses


@dataclass(frozen=True)
class AuditFault:
    """One entry that is not as it was written."""

    number: int
    says: str


class AuditQuerySet(models.QuerySet["AuditEntry"]):
    def append(
        self,
        *,
        actor: User | None,
        verb: AuditEntry.Verb,
        about: str,
        course: Course | None = None,
        **detail: Any,
    ) -> AuditEntry:
        """Add one entry to the chain; call it last in the act's own transaction.

        Two writers must not read the same last entry. SQLite's immediate transactions
        already keep writers apart; PostgreSQL takes a lock that ends with the
        transaction, which is why this comes last.
        """
        # It stands or falls with its act, so it needs no savepoint of its own.
        with transaction.atomic(savepoint=False):
            with connection.cursor() as cursor:
                if connection.vendor == "postgresql":
                    cursor.execute("SELECT pg_advisory_xact_lock(%s)", [LOCK])
                cursor.execute(_LAST)
                number, previous = cursor.fetchone() or (0, "")
            entry = self.model(
                number=number + 1,
                at=timezone.now(),
                actor=actor,
                verb=verb,
                about=about,
                course=course,
                detail=json.dumps(detail, sort_keys=True, ensure_ascii=False),
                previous=previous,
            )
            entry.digest = entry.compute_digest()
            insert(entry)
        return entry

    def visible_to(self, user: User) -> Self:
        """All for an administrator; else the courses whose audit the person may read."""
        if user.is_administrator:
            return self
        roles = roles_that_may(Act.SEE_AUDIT)
        return self.filter(
            course__in=user.memberships.filter(role__in=roles).values("course")
        )

    def for_page(self) -> Self:
        """Newest first, with the actor and the course."""
        return self.select_related("actor", "course").order_by("-number")

    def matching(
        self, *, person: str = "", verb: str = "", before: int | None = None
    ) -> Self:
        """Of people whose name or e-mail holds `person`; older than entry `before`."""
        found = self
        if person:
            found = found.filter(
                models.Q(actor__name__icontains=person)
                | models.Q(actor__email__icontains=person)
            )
        if verb:
            found = found.filter(verb=verb)
        if before:
            found = found.filter(number__lt=before)
        return found

    def faults(self) -> Iterator[AuditFault]:
        """Where the chain is broken, in order. What was cut off its end leaves no gap:
        compare the head with one kept elsewhere.
        """
        number, digest = 0, ""
        for entry in self.order_by("number").iterator():
            if entry.number != number + 1:
                yield AuditFault(
                    entry.number, f"follows entry {number}: entries between are missing"
                )
            elif entry.previous != digest:
                yield AuditFault(
                    entry.number,
                    f"names {entry.previous[:12] or 'nothing'} as the digest before it, "
                    f"but entry {number} has {digest[:12] or 'none'}",
                )
            said = entry.compute_digest()
            if said != entry.digest:
                yield AuditFault(
                    entry.number,
                    f"was altered: its words give {said[:12]}, "
                    f"but {entry.digest[:12]} was kept",
                )
            number, digest = entry.number, entry.digest


class AuditEntry(models.Model):
    """One thing that a person did or saw; never changed, never deleted."""

    class Verb(models.TextChoices):
        SIGNED_IN = "signed in"
        SET_PASSWORD = "set password"  # noqa: S105 (a verb, no password)
        INVITED = "invited"
        WITHDREW = "withdrew invitation"
        JOINED = "joined"
        GAVE_ROLE = "gave role"
        TOOK_ROLE = "took role"
        OPENED_COURSE = "opened course"
        OPENED_COHORT = "opened cohort"
        IMPORTED = "imported rubric"
        BEGAN = "began rubric"
        COPIED = "copied starter rubric"
        CHANGED = "changed rubric"
        PUBLISHED = "published edition"
        DISCARDED = "deleted edition"
        ASSIGNED = "set assignment"
        HANDED_IN = "handed in"
        SAW = "saw"
        MARKED = "marked"
        REFUSED = "refused an older write"
        CONFIRMED = "confirmed hazard"
        RELEASED = "released"
        REOPENED = "reopened"
        EXPORTED = "exported"

    number = models.PositiveBigIntegerField(primary_key=True)
    at = models.DateTimeField()
    actor = models.ForeignKey(
        "accounts.User", models.PROTECT, null=True, related_name="+"
    )
    verb = models.CharField(max_length=30)
    about = models.CharField(max_length=200)
    course = models.ForeignKey(
        "accounts.Course", models.PROTECT, null=True, related_name="+"
    )
    detail = models.TextField()
    previous = models.CharField(max_length=64)
    digest = models.CharField(max_length=64)

    objects = AuditQuerySet.as_manager()

    class Meta:
        ordering = ("number",)

    def __str__(self) -> str:
        return f"{self.number}: {self.actor} {self.verb} {self.about}"

    def compute_digest(self) -> str:
        """SHA-256 over every field and the digest before it."""
        said = [
            self.number,
            self.at.astimezone(UTC).isoformat(timespec="microseconds"),
            self.actor_id,
            self.verb,
            self.about,
            self.course_id,
            self.detail,
            self.previous,
        ]
        return hashlib.sha256(json.dumps(said, ensure_ascii=False).encode()).hexdigest()

    def detail_words(self) -> str:
        """The detail as a person reads it: `role lead, cohort Autumn`."""
        detail = json.loads(self.detail)
        return ", ".join(
            f"{key.replace('_', ' ')} {_in_words(value)}"
            for key, value in detail.items()
            if value not in (None, "", [])
        )


def _in_words(value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(_in_words(part) for part in value)
    words = str(value)
    with suppress(ValueError):
        at = datetime.fromisoformat(words)
        if at.tzinfo:
            return f"{at.astimezone(UTC):%-d %b %Y, %H:%M:%S} UTC"
    return words.replace("_", " ")
