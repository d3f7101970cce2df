"""Every current report of an assignment, made on several processes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import AbstractContextManager, contextmanager
from itertools import repeat
from multiprocessing import get_context
from pathlib import Path
from zipfile import ZIP_STORED, ZipFile

from grading.exports.feedback import feedback_of
from grading.exports.feedback_kin import kin_of, kinship
from grading.exports.feedback_pdf import Paper, print_version, typeset
from grading.models import Assignment, Release

# Setting type leaves 0.5 to 0.8 MB behind each time: a fresh process now and then.
DOCUMENTS_A_PROCESS = 50

Put = Callable[[str, bytes], object]


def batch_of(
    assignment: Assignment, *, processes: int, paper: Paper = "a4"
) -> Iterator[tuple[str, bytes]]:
    """File name and PDF of each current release, in the order of their numbers.

    Names of students stand in the reports, never in the files' names. This process
    alone asks the store; the others only set what they are handed.
    """
    releases = list(
        Release.objects.current()
        .filter(assignment=assignment)
        .for_feedback()
        .order_by("submission__number")
    )
    kin = kin_of(releases)
    pages = (
        print_version(feedback_of(r, kin[kinship(r)], name=r.submission.student.name))
        for r in releases
    )
    names = [f"{r.submission.number:04}-attempt-{r.attempt}.pdf" for r in releases]
    # A fork would take along open connections, a spawn would import all of this anew.
    context = get_context("forkserver")
    context.set_forkserver_preload(["grading.exports.feedback_pdf", "weasyprint"])
    with ProcessPoolExecutor(
        processes, context, max_tasks_per_child=DOCUMENTS_A_PROCESS
    ) as pool:
        yield from zip(names, pool.map(typeset, pages, repeat(paper)), strict=True)


def putting_into(target: Path) -> AbstractContextManager[Put]:
    """Where the files go: a .zip, or else a folder, which is made if need be."""
    return _zip(target) if target.suffix == ".zip" else _folder(target)


@contextmanager
def _zip(target: Path) -> Iterator[Put]:
    # Under another name until it is whole, so that no half of it is taken for it.
    unfinished = target.with_name(f"{target.name}.part")
    with ZipFile(unfinished, "w", ZIP_STORED) as archive:
        yield archive.writestr
    unfinished.replace(target)


@contextmanager
def _folder(target: Path) -> Iterator[Put]:
    target.mkdir(parents=True, exist_ok=True)

    def put(name: str, pdf: bytes) -> None:
        (target / name).write_bytes(pdf)

    yield put
