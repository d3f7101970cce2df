from __future__ import annotations

import json

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.http import content_disposition_header
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from accounts.access import AuthenticatedHttpRequest, require, signed_in
from accounts.models import AuditEntry
from accounts.roles import Act
from grading.exports.feedback import comments_file, feedback_of
from grading.exports.feedback_kin import kin_of, kinship
from grading.exports.feedback_pdf import PAPERS, pdf_of
from grading.exports.feedback_values import Feedback
from grading.models import Release
from grading.recording import playback


@signed_in
@never_cache
@require_GET
def feedback(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """What a student reads: outcome, reasons, what to work on, every element."""
    release = _release(request, pk)
    _audit(request, AuditEntry.Verb.SAW, release)
    plays = playback(release.submission.link)
    response = render(
        request,
        "grading/feedback.html",
        {
            "feedback": _feedback(request, release),
            "is_own": release.submission.student_id == request.user.pk,
            "assignment": release.assignment,
            "submission": release.submission,
            "playback": plays,
            "spoken": json.dumps(plays.messages),
            "opens": plays.plays == "window",
            # A file plays from its own address, which need not be the link.
            "recording": (
                plays.address if plays.plays == "file" else release.submission.link
            ).partition("#")[0],
            "takes_another": _takes_another(request, release),
            "is_late": timezone.now() > release.assignment.due_at,
        },
    )
    if plays.origin:
        directive = "media-src" if plays.plays == "file" else "frame-src"
        response._csp_update = {directive: [plays.origin]}  # type: ignore[attr-defined] # django-csp's way
    return response


@signed_in
@never_cache
@require_GET
def feedback_pdf(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """The same to keep, as a tagged PDF; ?paper=letter for North American paper."""
    release = _release(request, pk)
    paper = request.GET.get("paper", "a4")
    if paper not in PAPERS:
        allowed = " or ".join(PAPERS)
        return HttpResponse(
            f"paper must be {allowed}, but is {paper!r}.",
            status=400,
            content_type="text/plain; charset=utf-8",
        )
    _audit(request, AuditEntry.Verb.EXPORTED, release, kind="pdf")
    return _file(
        pdf_of(_feedback(request, release), paper),
        "application/pdf",
        f"feedback-{release.submission.number}-{release.attempt}.pdf",
    )


@signed_in
@never_cache
@require_GET
def feedback_comments(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """The comments as WebVTT, to watch beside the recording in any player."""
    release = _release(request, pk)
    _audit(request, AuditEntry.Verb.EXPORTED, release, kind="comments")
    return _file(
        comments_file(_feedback(request, release)).encode(),
        "text/vtt; charset=utf-8",
        f"comments-{release.submission.number}-{release.attempt}.vtt",
    )


@signed_in
@never_cache
@require_GET
def feedback_captions(request: AuthenticatedHttpRequest, pk: int) -> HttpResponse:
    """The captions that were handed in, for the player on the page."""
    release = _release(request, pk)
    return HttpResponse(
        release.submission.captions, content_type="text/vtt; charset=utf-8"
    )


def _release(request: AuthenticatedHttpRequest, pk: int) -> Release:
    release = get_object_or_404(
        Release.objects.visible_to(request.user).for_feedback(), pk=pk
    )
    require(request.user, Act.READ_FEEDBACK, release.assignment.course)
    return release


def _feedback(request: AuthenticatedHttpRequest, release: Release) -> Feedback:
    kin = kin_of([release])[kinship(release)]
    return feedback_of(release, kin, name=_name_for(request, release))


def _name_for(request: AuthenticatedHttpRequest, release: Release) -> str:
    """The student's name, for all who may know it; else the number of the submission."""
    assignment, submission = release.assignment, release.submission
    knows = (
        submission.student_id == request.user.pk
        or not assignment.names_hidden
        or request.user.may(Act.SEE_COHORT, assignment.course)
    )
    return submission.student.name if knows else str(submission)


def _takes_another(request: AuthenticatedHttpRequest, release: Release) -> bool:
    """Whether the reader is the student and may hand in once more now."""
    assignment = release.assignment
    if release.submission.student_id != request.user.pk:
        return False
    used = assignment.submissions.filter(student=request.user).count()
    return used < assignment.attempts and assignment.takes(timezone.now())


def _audit(
    request: AuthenticatedHttpRequest,
    verb: AuditEntry.Verb,
    release: Release,
    **detail: str,
) -> None:
    AuditEntry.objects.append(
        actor=request.user,
        verb=verb,
        about=f"release {release.pk}",
        course=release.assignment.course,
        submission=release.submission_id,
        **detail,
    )


def _file(content: bytes, kind: str, name: str) -> HttpResponse:
    disposition = content_disposition_header(True, name)
    return HttpResponse(
        content, content_type=kind, headers={"Content-Disposition": disposition}
    )
