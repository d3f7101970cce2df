from __future__ import annotations

from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from accounts.access import AuthenticatedHttpRequest, signed_in
from grading.attempts_table import AttemptsTable, attempts_table
from grading.cohort import read_groups
from grading.finding import attempts_finding
from grading.forms.cohort import ATTEMPTS, CohortForm
from grading.statistics.methods import OF_PAIRS
from grading.views.cohort import opened


@signed_in
@require_GET
def cohort_attempts(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """What the same students left out on their first and on their second attempt."""
    found, form = opened(request, pk, ATTEMPTS)
    context: dict[str, Any] = {"cohort": found, "form": form, "methods": OF_PAIRS}
    if form.shown:
        table = attempts_of(form)
        context |= {
            "assignment": form.shown,
            "table": table,
            "finding": attempts_finding(table),
        }
    return render(request, "grading/cohort_attempts.html", context)


def attempts_of(form: CohortForm) -> AttemptsTable:
    if form.shown is None:
        raise Http404
    chosen = form.chosen()
    (group,) = read_groups([form.shown], chosen)
    return attempts_table(group, chosen, form.cleaned_data.get("section") or "")
