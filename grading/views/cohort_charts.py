from __future__ import annotations

from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from accounts.access import AuthenticatedHttpRequest, signed_in
from accounts.models import User
from grading.chart_table import ChartTable, chart_table
from grading.cohort import Chosen, Group, read_groups
from grading.finding import chart_finding
from grading.forms.cohort import CHARTS, CohortForm
from grading.statistics.methods import OF_CHARTS
from grading.views.cohort import opened


@signed_in
@require_GET
def cohort_charts(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """One element over the cohorts and the markers of its rubric, with control limits."""
    found, form = opened(request, pk, CHARTS)
    context: dict[str, Any] = {"cohort": found, "form": form, "methods": OF_CHARTS}
    if form.shown:
        context["assignment"] = form.shown
        if table := charts_of(form):
            context |= {"table": table, "finding": chart_finding(table)}
    return render(request, "grading/cohort_charts.html", context)


def charts_of(form: CohortForm) -> ChartTable | None:
    """The charts of the element chosen, else of the one this cohort most often left out.

    None where nothing of this assignment is released.
    """
    if form.shown is None:
        raise Http404
    chosen = form.chosen()
    same = sorted(form.same, key=lambda a: (a.due_at, a.pk))
    groups = read_groups(same, chosen.of_all_markers)
    own = next(group for group in groups if group.assignment.pk == form.shown.pk)
    if not own.rows:
        return None
    key = form.cleaned_data.get("element") or _worst(own, chosen)
    markers = {row.marker for group in groups for row in group.rows}
    names = dict(User.objects.filter(pk__in=markers).values_list("pk", "name"))
    token = form.shown.edition.tokens()[key]
    return chart_table(groups, token, names, chosen)


def _worst(group: Group, chosen: Chosen) -> str:
    found = group.omissions(chosen)
    rates = [
        omitted / judged if judged else -1.0
        for omitted, judged in zip(found.omitted, found.judged, strict=True)
    ]
    return group.definition.elements[rates.index(max(rates))].key
