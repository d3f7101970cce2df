"""Which role may do which act: the one table that decides it."""

from __future__ import annotations

from enum import StrEnum


class Role(StrEnum):
    """What a person is in one course; an administrator is one everywhere."""

    STUDENT = "student"
    INSTRUCTOR = "instructor"
    LEAD = "lead"
    ADMINISTRATOR = "administrator"


class Act(StrEnum):
    SEE_COURSE = "see the course"
    HAND_IN = "hand in a recording"
    READ_FEEDBACK = "read the feedback"
    MARK = "mark a recording"
    EXCUSE_ANY = "excuse any element"
    CONFIRM_HAZARD = "confirm a hazard"
    RELEASE = "release a result"
    SEE_COHORT = "see the cohort's figures"
    MANAGE_RUBRICS = "bring in rubrics and publish editions"
    MANAGE_ASSIGNMENTS = "set assignments"
    MANAGE_PEOPLE = "invite people and give roles"
    MANAGE_COURSES = "open courses and cohorts"
    SEE_AUDIT = "read the audit"


_INSTRUCTOR = {
    Act.SEE_COURSE,
    Act.READ_FEEDBACK,
    Act.MARK,
    Act.CONFIRM_HAZARD,
    Act.RELEASE,
    Act.MANAGE_RUBRICS,
}

# An administrator runs the site and needs nobody's recording or marks for it.
ACTS: dict[Role, frozenset[Act]] = {
    Role.STUDENT: frozenset({Act.SEE_COURSE, Act.HAND_IN, Act.READ_FEEDBACK}),
    Role.INSTRUCTOR: frozenset(_INSTRUCTOR),
    Role.LEAD: frozenset(
        _INSTRUCTOR
        | {
            Act.EXCUSE_ANY,
            Act.SEE_COHORT,
            Act.MANAGE_ASSIGNMENTS,
            Act.MANAGE_PEOPLE,
            Act.SEE_AUDIT,
        }
    ),
    Role.ADMINISTRATOR: frozenset(
        {Act.SEE_COURSE, Act.MANAGE_PEOPLE, Act.MANAGE_COURSES, Act.SEE_AUDIT}
    ),
}


def allows(roles: frozenset[Role], act: Act) -> bool:
    """Whether any of a person's roles in a course permits the act.

    >>> allows(frozenset({Role.STUDENT}), Act.MARK)
    False
    >>> allows(frozenset({Role.STUDENT, Role.LEAD}), Act.MARK)
    True
    """
    return any(act in ACTS[role] for role in roles)


def roles_that_may(act: Act) -> frozenset[Role]:
    """The roles whose row of the table holds the act."""
    return frozenset(role for role, acts in ACTS.items() if act in acts)
