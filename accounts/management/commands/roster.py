"""Invite the people of a CSV file: name, e-mail, and a student's cohort."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import transaction

from accounts.mail import send_invitations
from accounts.models import Cohort, Course, Invitation, User
from accounts.roles import Act, Role
from accounts.roster import Roster


class Command(BaseCommand):
    help = (
        "Invites everybody in FILE (columns name, email and, for students, cohort; "
        "commas, semicolons or tabs) to COURSE. Nobody is invited while a line is wrong."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("course", help="the course's title")
        parser.add_argument("file", type=Path, help="a CSV file in UTF-8")
        parser.add_argument(
            "--by", required=True, metavar="EMAIL", help="who invites them"
        )
        parser.add_argument(
            "--role", choices=["student", "instructor", "lead"], default="student"
        )
        parser.add_argument(
            "--cohort", default="", help="for students whose line names none"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        course = Course.objects.filter(title=options["course"]).first()
        if course is None:
            known = ", ".join(c.title for c in Course.objects.all()) or "none yet"
            raise CommandError(f"No course {options['course']!r}. There are: {known}.")
        by = User.objects.filter(email=options["by"].lower()).first()
        if by is None or not by.may(Act.MANAGE_PEOPLE, course):
            raise CommandError(f"{options['by']} may not invite people to {course}.")
        roster = Roster(
            self._text(options["file"]),
            course=course,
            role=Role(options["role"]),
            cohort=self._cohort(course, options["cohort"]),
        )
        if roster.faults:
            raise CommandError("\n".join(str(fault) for fault in roster.faults))
        self._invite(roster, course=course, role=options["role"], by=by)

    def _text(self, path: Path) -> str:
        try:
            return path.read_text(encoding="utf-8-sig")
        except (OSError, UnicodeDecodeError) as error:
            raise CommandError(f"{path} cannot be read: {error}") from error

    def _cohort(self, course: Course, title: str) -> Cohort | None:
        if not title:
            return None
        cohort = course.cohorts.filter(title__iexact=title).first()
        if cohort is None:
            raise CommandError(f"{course} has no cohort {title!r}.")
        return cohort

    def _invite(self, roster: Roster, *, course: Course, role: str, by: User) -> None:
        with transaction.atomic():
            made = [
                Invitation.invite(
                    by=by,
                    course=course,
                    cohort=invitee.cohort,
                    role=role,
                    email=invitee.email,
                    name=invitee.name,
                )
                for invitee in roster.invitees
            ]
        failed = send_invitations(made, site=settings.SITE_ADDRESS)
        for invitation in failed:
            invitation.withdraw(by=by)
        if failed:
            emails = ", ".join(invitation.email for invitation in failed)
            raise CommandError(
                f"{len(made) - len(failed)} invited. The mail server did not take "
                f"these, who are not: {emails}"
            )
        self.stdout.write(f"{len(made)} invited to {course}.")
