from __future__ import annotations

from decimal import Decimal
from functools import cache
from typing import TYPE_CHECKING, Self

from django.db import models
from django.db.models import Q

from accounts.models import Course, User
from accounts.roles import Act
from accounts.statements import Kept
from grading.models.assignment import Assignment

if TYPE_CHECKING:
    from django.contrib.auth.models import AnonymousUser

    from grading.models.marking import Marking


class MarkingQuerySet(models.QuerySet["Marking"]):
    def visible_to(self, user: User | AnonymousUser) -> Self:
        """One's own, while one still marks in the course, and for a lead all of it."""
        if not isinstance(user, User):
            return self.none()
        marked = user.courses_where_may(Act.MARK)
        led = user.courses_where_may(Act.EXCUSE_ANY)
        course = "submission__assignment__cohort__course__in"
        return self.filter(
            Q(marker=user, **{course: marked}) | Q(**{course: led})
        ).exclude(submission__student=user)

    def awaiting_word_of(self, user: User) -> Self:
        """Markings of others that may hold sightings this person may confirm."""
        return self.filter(
            submission__assignment__hazards_confirmed_by=Assignment.ConfirmedBy.SECOND,
            submission__assignment__cohort__course__in=Course.objects.where_may(
                user, Act.CONFIRM_HAZARD
            ),
            awaits_word=True,
        ).exclude(Q(marker=user) | Q(submission__student=user))

    def queue_of(self, user: User) -> Self:
        """What waits for this marker; the sheets themselves stay behind."""
        return (
            self.visible_to(user)
            .filter(marker=user, closed=False)
            .for_desk()
            .defer("targets", "played")
        )

    def paces_of(self, user: User) -> list[tuple[int, Decimal | None]]:
        """(seconds worked, recording's seconds) of the marker's last finished ones."""
        return list(
            self.filter(marker=user, closed=True)
            .order_by("-saved_at")
            .values_list("worked_seconds", "submission__length_seconds")[:20]
        )

    def for_save(self, pk: int, *, by: User) -> Marking | None:
        """What a save needs beside the sheet, which is read under the lock; None where
        the person may not see the marking.
        """
        return _for_save(self.model).first(by.pk, pk)

    def locked(self, pk: int, names: tuple[str, ...]) -> Marking:
        """The row with these columns, held until the transaction ends."""
        row = _locked(self.model, names).first(pk)
        if row is None:
            raise self.model.DoesNotExist
        return row

    def for_desk(self) -> Self:
        """All that the desk needs, in one query; the edition's document stays behind."""
        return self.select_related(
            "marker",
            "submission__student",
            "submission__assignment__edition",
            "submission__assignment__cohort__course",
        ).defer("submission__assignment__edition__document", "submission__captions")


@cache
def _for_save(markings: type[Marking]) -> Kept[Marking]:
    return Kept(
        lambda person, pk: (
            markings.objects.visible_to(User(pk=person))
            .filter(pk=pk)
            .select_related(
                "submission__assignment__edition",
                "submission__assignment__cohort__course",
            )
            .only(
                "marker",
                "submission__student",
                "submission__length_seconds",
                "submission__extra_minutes",
                "submission__assignment__purpose",
                "submission__assignment__hazards_confirmed_by",
                "submission__assignment__edition__digest",
                "submission__assignment__cohort__course__id",
            )
        )
    )


@cache
def _locked(markings: type[Marking], names: tuple[str, ...]) -> Kept[Marking]:
    return Kept(
        lambda pk: markings.objects.select_for_update().filter(pk=pk).only(*names)
    )
