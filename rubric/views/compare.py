from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from accounts.access import AuthenticatedHttpRequest, require, signed_in
from accounts.roles import Act
from rubric.definition import compare as compare_definitions
from rubric.faults import Faults
from rubric.forms import CompareForm
from rubric.models import Rubric
from rubric.publishing import side


@signed_in
@require_GET
def compare(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """Two editions of a rubric, or an edition and the draft: ?from=3&to=draft."""
    rubric = get_object_or_404(
        Rubric.objects.visible_to(request.user).select_related("course"), pk=pk
    )
    require(request.user, Act.MANAGE_RUBRICS, rubric.course)
    editions = list(rubric.editions.select_related("published_by"))
    first = {"from": f"{editions[0].number}" if editions else "draft", "to": "draft"}
    form = CompareForm(first | request.GET.dict(), editions=editions)
    context = {"rubric": rubric, "editions": editions, "form": form}
    if not form.is_valid():
        return render(request, "rubric/compare.html", context, status=422)
    try:
        before, after = (
            side(rubric, editions, form.cleaned_data[name]) for name in ("from", "to")
        )
    except Faults as faults:
        context["faults"] = len(faults.faults)
        return render(request, "rubric/compare.html", context)
    context |= {
        "before": before,
        "after": after,
        "comparison": compare_definitions(
            before.definition, after.definition, before.tokens, after.tokens
        ),
    }
    return render(request, "rubric/compare.html", context)
