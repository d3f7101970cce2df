from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from accounts.access import AuthenticatedHttpRequest, require, signed_in
from accounts.roles import Act
from rubric.definition import Draft
from rubric.definition.lint import Finding, lint
from rubric.forms import PublishForm
from rubric.models import NotPublished, Rubric
from rubric.publishing import Proposal, proposal

CHANGED = (
    "The draft changed while you read it, so nothing was published. This is how it "
    "stands now; your note and the answers that still hold are kept."
)


@signed_in
@never_cache
@require_http_methods(["GET", "POST"])
def publish(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """What the next edition would change; on POST, freeze the draft as that edition."""
    rubric = get_object_or_404(
        Rubric.objects.visible_to(request.user).select_related("course"), pk=pk
    )
    require(request.user, Act.MANAGE_RUBRICS, rubric.course)
    draft = rubric.opened
    findings = lint(draft.file())
    must = [finding for finding in findings if finding.weight == "must"]
    context: dict[str, Any] = {"rubric": rubric, "looks": len(findings) - len(must)}
    if must:
        context["must"] = [_placed(finding, draft) for finding in must]
        return render(
            request,
            "rubric/publish.html",
            context,
            status=409 if request.method == "POST" else 200,
        )
    asked = proposal(rubric, draft.definition())
    context |= {"proposal": asked}
    if asked.comparison and asked.comparison.is_empty:
        context["is_unchanged"] = True
        status = 409 if request.method == "POST" else 200
        return render(request, "rubric/publish.html", context, status=status)
    seen = (draft.version, asked.last.number if asked.last else 0)
    status = 200
    form = _form(asked, seen)
    if request.method == "POST":
        sent = PublishForm(request.POST, proposal=asked)
        status = 409
        if _seen(request.POST) != seen:
            form = _form(asked, seen, request.POST)
        elif not sent.is_valid():
            form, status = sent, 422
        else:
            try:
                edition = rubric.publish(
                    by=request.user,
                    note=sent.cleaned_data["note"],
                    seen=seen,
                    anew=sent.anew,
                    same_as=sent.same_as,
                )
            except NotPublished:
                # Between this page's reading and the lock: read it all again.
                messages.warning(request, CHANGED)
                return redirect("rubric:publish", rubric.pk)
            messages.success(request, f"{edition} is published and can be assigned.")
            return redirect(edition)
    context |= {"form": form, "changed": status == 409, "words": CHANGED}
    return render(request, "rubric/publish.html", context, status=status)


def _form(
    asked: Proposal, seen: tuple[int, int], sent: QueryDict | None = None
) -> PublishForm:
    """The form as it is first shown, with what was sent to one of before put in."""
    first = {"seen": seen[0], "after": seen[1], "note": asked.note}
    form = PublishForm(proposal=asked, initial=first)
    if sent:
        for name in form.fields.keys() & sent.keys() - {"seen", "after"}:
            form.initial[name] = sent.get(name)
    return form


def _seen(sent: QueryDict) -> tuple[int, int] | None:
    """None where it is not what the page put there."""
    try:
        return int(sent.get("seen", "")), int(sent.get("after", ""))
    except ValueError:
        return None


def _placed(finding: Finding, draft: Draft) -> dict[str, str]:
    """A finding with the node of the builder that it is about, and that node's name."""
    node = draft.node_at(finding.place)
    fields = draft.nodes[node].fields
    names = (fields.get(name) for name in ("text", "title", "key"))
    where = next((name for name in names if isinstance(name, str) and name), node)
    return {"node": node, "where": where, "words": finding.words}
