from __future__ import annotations

from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.text import slugify
from django.views.decorators.http import require_GET

from accounts.access import AuthenticatedHttpRequest, require, signed_in
from accounts.models import AuditEntry, Cohort
from accounts.roles import Act
from grading.cohort import Chosen, Group, read_groups, section_counts
from grading.exports.tables import csv_text
from grading.forms.cohort import CohortForm
from grading.models import Assignment, Release
from grading.omission_table import finding, omission_table
from grading.pictures.strip import Strip, strip
from grading.recording import opens_at
from grading.scoring import Mark, state_in_words
from grading.statistics.states import unpack, unpack_moments
from rubric.definition import State

MOST_COHORTS = 6


@signed_in
@require_GET
def cohort(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """What a cohort left out, element by element, beside another cohort."""
    found = _cohort(request, pk)
    form = CohortForm(request.GET, cohort=found, user=request.user)
    form.is_valid()
    context: dict[str, Any] = {"cohort": found, "form": form}
    if form.shown:
        chosen, section = form.chosen(), form.cleaned_data.get("section") or ""
        group, other = _groups(form.shown, form.cleaned_data.get("against"), chosen)
        table = omission_table(group, other, chosen, section)
        context |= {
            "assignment": form.shown,
            "group": group,
            "other": other,
            "table": table,
            "finding": finding(table, group, other, chosen),
            "strip": _strip(request, form.shown, chosen),
            "query": request.GET.urlencode(),
        }
    return render(request, "grading/cohort.html", context)


@signed_in
@require_GET
def cohort_element(
    request: AuthenticatedHttpRequest, pk: int, key: str
) -> HttpResponse:
    """One element: its figures, and the students and the moments behind them."""
    found = _cohort(request, pk)
    form = CohortForm(request.GET, cohort=found, user=request.user)
    form.is_valid()
    if not form.shown or key not in form.shown.edition.definition.index:
        raise Http404
    chosen = form.chosen()
    group, other = _groups(form.shown, form.cleaned_data.get("against"), chosen)
    table = omission_table(group, other, chosen)
    AuditEntry.objects.append(
        actor=request.user,
        verb=AuditEntry.Verb.SAW,
        about=f"assignment {form.shown.pk}",
        course=found.course,
        element=key,
    )
    return render(
        request,
        "grading/cohort_element.html",
        {
            "cohort": found,
            "assignment": form.shown,
            "group": group,
            "other": other,
            "row": next(row for row in table.rows if row.element.key == key),
            "table": table,
            "students": _students(group, key),
            "query": request.GET.urlencode(),
        },
    )


@signed_in
@require_GET
def cohort_csv(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """The table as shown, as CSV; figures that the page does not show are empty."""
    found = _cohort(request, pk)
    form = CohortForm(request.GET, cohort=found, user=request.user)
    form.is_valid()
    if not form.shown:
        raise Http404
    chosen, section = form.chosen(), form.cleaned_data.get("section") or ""
    group, other = _groups(form.shown, form.cleaned_data.get("against"), chosen)
    table = omission_table(group, other, chosen, section)
    head = ["element", "text", "section", "judged", "omitted", "rate", "low", "high"]
    head += ["missed", "said", "partly", "unseen"]
    head += ["other_rate", "other_low", "other_high"]
    head += ["difference", "difference_low", "difference_high", "q"]
    AuditEntry.objects.append(
        actor=request.user,
        verb=AuditEntry.Verb.EXPORTED,
        about=f"assignment {form.shown.pk}",
        course=found.course,
        what="omissions",
    )
    text = csv_text(
        head,
        (
            [row.element.key, row.element.text, row.section.title]
            + [row.judged, row.omitted]
            + _limits(row.rate)
            + [n for _, n in row.counts]
            + _limits(row.other)
            + _limits(row.difference)
            + [row.q]
            for row in table.rows
        ),
    )
    response = HttpResponse(text, content_type="text/csv; charset=utf-8")
    name = slugify(f"omissions {found} {form.shown.title}")
    response["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    return response


def _cohort(request: AuthenticatedHttpRequest, pk: int) -> Cohort:
    found = get_object_or_404(
        Cohort.objects.visible_to(request.user).select_related("course"), pk=pk
    )
    require(request.user, Act.SEE_COHORT, found.course)
    return found


def _groups(
    assignment: Assignment, against: Assignment | None, chosen: Chosen
) -> tuple[Group, Group | None]:
    if against is None:
        return read_groups([assignment], chosen)[0], None
    # A marker of one assignment may not mark in the other: the filter is A's alone.
    (group,) = read_groups([assignment], chosen)
    (other,) = read_groups([against], Chosen(chosen.attempt, None, chosen.count))
    return group, other


def _strip(
    request: AuthenticatedHttpRequest, assignment: Assignment, chosen: Chosen
) -> Strip:
    """Share left out by section in the newest cohorts of this rubric, oldest first."""
    same = list(
        Assignment.objects.led_by(request.user)
        .filter(edition__rubric=assignment.edition.rubric_id)
        .order_by("-due_at")[:MOST_COHORTS]
    )[::-1]
    sections = assignment.edition.definition.sections
    groups = read_groups(same, Chosen(chosen.attempt, None, chosen.count))
    columns = [
        (group, section_counts(group, chosen, sections))
        for group in groups
        if group.rows
    ]
    rates, texts = [], []
    for i in range(len(sections)):
        cells = [(group, *counts[i]) for group, counts in columns]
        rates.append(
            [None if g.is_small or not n else omitted / n for g, omitted, n in cells]
        )
        texts.append(
            [
                "–"
                if not n
                else f"{omitted} of {n}"
                if g.is_small
                else f"{omitted / n:.0%}"
                for g, omitted, n in cells
            ]
        )
    names = [str(group.assignment.cohort) for group, _ in columns]
    return strip([s.title for s in sections], names, rates, texts)


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


def _limits(figure: Any) -> list[float | None]:
    return [figure.value, figure.low, figure.high] if figure else [None, None, None]
