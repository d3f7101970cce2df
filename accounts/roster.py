"""A list of people, pasted or from a file: name, e-mail, and a student's cohort."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.core.validators import validate_email

from accounts.models import Cohort, Course, Membership
from accounts.roles import Role

MOST_PEOPLE = 500
_HEADINGS = {"email", "e-mail"}


@dataclass(frozen=True)
class Invitee:
    """One line in order."""

    line: int
    name: str
    email: str
    cohort: Cohort | None


@dataclass(frozen=True)
class LineFault:
    """What is wrong in one line, and what is allowed."""

    line: int
    says: str

    def __str__(self) -> str:
        return f"Line {self.line}: {self.says}"


class Roster:
    """The people of a list and its faults; either may be empty, nothing is dropped.

    `cohort` is for students whose line names none. Columns are parted by comma,
    semicolon or tab, as spreadsheets write and paste them.
    """

    def __init__(
        self, text: str, *, course: Course, role: Role, cohort: Cohort | None = None
    ) -> None:
        self._role = role
        self._cohort = cohort
        self._cohorts = {c.title.casefold(): c for c in course.cohorts.all()}
        self._lacks_cohort = False
        self._line_of: dict[str, int] = {}
        self.invitees: list[Invitee] = []
        self.faults: list[LineFault] = []
        try:
            for line, cells in _lines(text):
                self._read(line, cells)
        except csv.Error as error:
            self.faults.append(LineFault(0, f"the list cannot be read: {error}"))
        self._refuse_members(course)
        if not self.invitees and not self.faults:
            self.faults.append(LineFault(1, "nobody is on the list"))
        if len(self.invitees) > MOST_PEOPLE:
            self.faults.append(
                LineFault(
                    self.invitees[MOST_PEOPLE].line,
                    f"at most {MOST_PEOPLE} people are invited at once",
                )
            )
        self.faults.sort(key=lambda fault: fault.line)

    def _read(self, line: int, cells: list[str]) -> None:
        says: list[str] = []
        if not 2 <= len(cells) <= 3:
            says.append(
                f"has {len(cells)} parts, must have 2 or 3: name, e-mail, cohort"
            )
        else:
            name, email = cells[0], cells[1].lower()
            cohort = self._cohort_of(cells[2] if len(cells) == 3 else "", says)
            if not 1 <= len(name) <= 200 or not name.isprintable():
                says.append("the name must have 1 to 200 printable characters")
            if not _is_email(email):
                says.append(f"{email or 'nothing'} is no e-mail address")
            elif email in self._line_of:
                says.append(f"{email} stands already in line {self._line_of[email]}")
            else:
                self._line_of[email] = line
            if not says:
                self.invitees.append(Invitee(line, name, email, cohort))
        self.faults += [LineFault(line, words) for words in says]

    def _cohort_of(self, title: str, says: list[str]) -> Cohort | None:
        if self._role != Role.STUDENT:
            if title:
                says.append("only students have a cohort")
            return None
        if title and title.casefold() not in self._cohorts:
            known = ", ".join(c.title for c in self._cohorts.values()) or "none yet"
            says.append(f"{title} is no cohort of this course (it has: {known})")
        if not (title or self._cohort or self._lacks_cohort):
            says.append(
                "a student needs a cohort: choose one for all, or name it in each line"
            )
            self._lacks_cohort = True  # said once, not for a hundred lines
        return self._cohorts.get(title.casefold(), self._cohort)

    def _refuse_members(self, course: Course) -> None:
        members = Membership.objects.filter(
            course=course, role=self._role, user__email__in=self._line_of
        ).values_list("user__email", flat=True)
        self.faults += [
            LineFault(
                self._line_of[email], f"{email} is already {self._role} in this course"
            )
            for email in members
        ]


def _lines(text: str) -> Iterator[tuple[int, list[str]]]:
    parted = next((sign for sign in "\t;" if sign in text), ",")
    reader = csv.reader(io.StringIO(text.lstrip("\ufeff")), delimiter=parted)
    for count, row in enumerate(reader):
        cells = [cell.strip() for cell in row]
        is_heading = count == 0 and len(cells) > 1 and cells[1].lower() in _HEADINGS
        if any(cells) and not is_heading:
            yield reader.line_num, cells


def _is_email(text: str) -> bool:
    try:
        validate_email(text)
    except ValidationError:
        return False
    return len(text) <= 254
