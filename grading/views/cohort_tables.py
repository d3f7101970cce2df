"""The cohort pages as files: what each shows, and the marks behind it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from django.http import Http404, StreamingHttpResponse
from django.utils.text import slugify
from django.views.decorators.http import require_GET

from accounts.access import AuthenticatedHttpRequest, signed_in
from accounts.models import AuditEntry
from grading.chart_table import LIMITS, ChartRow
from grading.exports.marks import HEAD, marks_rows
from grading.exports.tables import csv_stream
from grading.forms.cohort import ATTEMPTS, CHARTS, OMISSIONS, CohortForm
from grading.models import Assignment
from grading.statistics.figure import Figure
from grading.views.cohort import omissions_of, opened
from grading.views.cohort_attempts import attempts_of
from grading.views.cohort_charts import charts_of


@signed_in
@require_GET
def cohort_csv(request: AuthenticatedHttpRequest, pk: int) -> StreamingHttpResponse:
    """The table as shown; figures that the page does not show are empty."""
    _, form = opened(request, pk, OMISSIONS)
    _, _, table = omissions_of(form)
    head = ["element", "text", "section", "judged", "omitted", "rate", "low", "high"]
    head += ["missed", "said", "partly", "unseen"]
    head += ["other_rate", "other_low", "other_high"]
    head += ["difference", "difference_low", "difference_high", "q"]
    rows = (
        [row.element.key, row.element.text, row.section.title]
        + [row.judged, row.omitted]
        + _limits(row.rate)
        + [n for _, n in row.counts]
        + _limits(row.other)
        + _limits(row.difference)
        + [row.q]
        for row in table.rows
    )
    return _file(request, form, "omissions", head, rows)


@signed_in
@require_GET
def cohort_attempts_csv(
    request: AuthenticatedHttpRequest, pk: int
) -> StreamingHttpResponse:
    """The pairs as shown."""
    _, form = opened(request, pk, ATTEMPTS)
    head = ["element", "text", "section", "pairs"]
    head += ["both", "only_first", "only_second", "neither"]
    head += ["difference", "low", "high", "q"]
    rows = (
        [
            row.element.key,
            row.element.text,
            row.section.title,
            row.pairs,
            row.both,
            row.only_first,
            row.only_second,
            row.neither,
            *_limits(row.difference),
            row.q,
        ]
        for row in attempts_of(form).rows
    )
    return _file(request, form, "attempts", head, rows)


@signed_in
@require_GET
def cohort_charts_csv(
    request: AuthenticatedHttpRequest, pk: int
) -> StreamingHttpResponse:
    """Both charts as shown, one group a row."""
    _, form = opened(request, pk, CHARTS)
    table = charts_of(form)
    head = ["element", "kind", "group", "n", "count", "rate", *LIMITS, "outside"]
    rows: list[list[object]] = []
    if table:
        key = table.element.key
        rows += [[key, "cohort", *_chart_cells(row)] for row in table.cohorts.rows]
        rows += [[key, "marker", *_chart_cells(row)] for row in table.markers.rows]
    return _file(request, form, "charts", head, rows)


@signed_in
@require_GET
def cohort_marks_csv(
    request: AuthenticatedHttpRequest, pk: int
) -> StreamingHttpResponse:
    """The raw marks of the assignment, and of the one beside it, for `statistics`."""
    _, form = opened(request, pk, OMISSIONS)
    assignments = [form.shown, form.cleaned_data.get("against")]
    chosen: list[Assignment] = [a for a in assignments if a]
    return _file(request, form, "marks", HEAD, marks_rows(chosen))


def _file(
    request: AuthenticatedHttpRequest,
    form: CohortForm,
    what: str,
    head: Sequence[str],
    rows: Iterable[Sequence[object]],
) -> StreamingHttpResponse:
    """A CSV file in pieces, and an audit entry that it was taken."""
    if not form.shown:
        raise Http404
    AuditEntry.objects.append(
        actor=request.user,
        verb=AuditEntry.Verb.EXPORTED,
        about=f"assignment {form.shown.pk}",
        course=form.shown.course,
        what=what,
    )
    response = StreamingHttpResponse(
        csv_stream(head, rows), content_type="text/csv; charset=utf-8"
    )
    name = slugify(f"{what} {form.shown.cohort} {form.shown.title}")
    response["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    return response


def _limits(figure: Figure | None) -> list[object]:
    return [figure.value, figure.low, figure.high] if figure else [None, None, None]


def _chart_cells(row: ChartRow) -> list[object]:
    return [
        row.name,
        None if row.omitted is None else row.judged,
        row.omitted,
        row.rate.value,
        *(row.limits.get(name) for name in LIMITS),
        row.outside,
    ]
