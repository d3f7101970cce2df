from __future__ import annotations

from collections.abc import Collection
from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from accounts.access import AuthenticatedHttpRequest, require, signed_in
from accounts.models import AuditEntry, Cohort
from accounts.roles import Act
from grading.cohort import Group, Row, group_of, read_rows
from grading.finding import omissions_finding
from grading.forms.cohort import OMISSIONS, CohortForm
from grading.models import Assignment, Release
from grading.omission_table import Table, omission_table
from grading.recording import opens_at
from grading.scoring import Mark, state_in_words
from grading.section_strip import section_strip
from grading.statistics.methods import OF_OMISSIONS
from grading.statistics.states import unpack, unpack_moments
from rubric.definition import State

MOST_COHORTS = 6


@signed_in
@require_GET
def cohort(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """What a cohort left out, element by element, beside another cohort."""
    found, form = opened(request, pk, OMISSIONS)
    context: dict[str, Any] = {"cohort": found, "form": form, "methods": OF_OMISSIONS}
    if form.shown:
        strip_of = newest(form)
        against = form.cleaned_data.get("against")
        rows = read_rows({form.shown, *strip_of} | ({against} if against else set()))
        group, other, table = omissions_of(form, rows)
        chosen = form.chosen()
        context |= {
            "assignment": form.shown,
            "group": group,
            "other": other,
            "table": table,
            "finding": omissions_finding(table, group, other, chosen),
            "strip": section_strip(
                form.shown.edition,
                [group_of(a, rows[a.pk], chosen.of_all_markers) for a in strip_of],
                chosen,
            ),
        }
    return render(request, "grading/cohort.html", context)


@signed_in
@require_GET
def cohort_element(
    request: AuthenticatedHttpRequest, pk: int, key: str
) -> HttpResponse:
    """One element: its figures, and the students and the moments behind them."""
    found, form = opened(request, pk, OMISSIONS)
    if not form.shown or key not in form.shown.edition.definition.index:
        raise Http404
    form.cleaned_data["section"] = ""
    group, other, table = omissions_of(form)
    AuditEntry.objects.append(
        actor=request.user,
        verb=AuditEntry.Verb.SAW,
        about=f"assignment {form.shown.pk}",
        course=found.course,
        element=key,
    )
    definition = form.shown.edition.definition
    return render(
        request,
        "grading/cohort_element.html",
        {
            "cohort": found,
            "assignment": form.shown,
            "form": form,
            "group": group,
            "other": other,
            "element": definition.elements[definition.index[key]],
            "row": next((row for row in table.rows if row.element.key == key), None),
            "table": table,
            "students": _students(group, key),
            "methods": OF_OMISSIONS,
        },
    )


def opened(
    request: AuthenticatedHttpRequest, pk: int, shows: Collection[str]
) -> tuple[Cohort, CohortForm]:
    """The cohort, where this person may see it, and its filters, cleaned."""
    found = get_object_or_404(
        Cohort.objects.visible_to(request.user).select_related("course"), pk=pk
    )
    require(request.user, Act.SEE_COHORT, found.course)
    form = CohortForm(request.GET, cohort=found, user=request.user, shows=shows)
    form.is_valid()
    return found, form


def omissions_of(
    form: CohortForm, rows: dict[int, tuple[Row, ...]] | None = None
) -> tuple[Group, Group | None, Table]:
    """The cohort chosen, the one beside it, and their table; `rows` if read already."""
    if form.shown is None:
        raise Http404
    chosen = form.chosen()
    against: Assignment | None = form.cleaned_data.get("against")
    if rows is None:
        rows = read_rows([form.shown, against] if against else [form.shown])
    group = group_of(form.shown, rows[form.shown.pk], chosen)
    other = None
    if against:
        other = group_of(against, rows[against.pk], chosen.of_all_markers)
    section = form.cleaned_data.get("section") or ""
    return group, other, omission_table(group, other, chosen, section)


def newest(form: CohortForm) -> list[Assignment]:
    """The newest assignments of the rubric and the one shown, oldest first."""
    by_date = sorted(form.same, key=lambda a: (a == form.shown, a.due_at))
    return sorted(by_date[-MOST_COHORTS:], key=lambda a: a.due_at)


def _students(group: Group, key: str) -> list[dict[str, Any]]:
    """The releases of the group, those that left the element out first."""
    i = group.definition.index[key]
    element = group.definition.elements[i]
    releases = (
        Release.objects.filter(pk__in=[row.release for row in group.rows])
        .select_related("submission__student", "marking__marker")
        .in_bulk()
    )
    order = ["missed", "said", "partly", "level", "unseen", "done", "excused"]
    students = []
    for row in group.rows:
        release = releases[row.release]
        state, level = unpack(row.states)[i]
        moment = unpack_moments(bytes(release.moments))[i]
        at = None if moment is None else moment / 1000
        students.append(
            {
                "release": release,
                "state": state,
                "word": state_in_words(element, Mark(key, State(state), level=level)),
                "rank": (order.index(state), level or 0),
                "at": at,
                "link": opens_at(release.submission.link, at),
            }
        )
    return sorted(
        students, key=lambda s: (s["rank"], s["release"].submission.student.name)
    )
