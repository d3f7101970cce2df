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

# Setting type leaves 0.5 to 0.8 MB behind each time: fresh processes now and then.
DOCUMENTS_A_PROCESS = 50

Put = Callable[[str, bytes], object]


def batch_of(
    assignment: Assignment,
    *,
    processes: int,
    paper: Paper = "a4",
    documents_a_process: int = DOCUMENTS_A_PROCESS,
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

    def page(release: Release) -> str:
        name = release.submission.student.name
        return print_version(feedback_of(release, kin[kinship(release)], name=name))

    # A fork would take along open connections, a spawn would import all of this anew.
    context = get_context("forkserver")
    context.set_forkserver_preload(["grading.exports.feedback_pdf", "weasyprint"])
    at_once = documents_a_process * processes
    for start in range(0, len(releases), at_once):
        some = releases[start : start + at_once]
        names = [f"{r.submission.number:04}-attempt-{r.attempt}.pdf" for r in some]
        # A pool a round, and not max_tasks_per_child, which may hang: cpython
        # gh-115634, in every Python from 3.11 on until July 2026.
        with ProcessPoolExecutor(processes, context) as pool:
            made = pool.map(typeset, map(page, some), repeat(paper))
            yield from zip(names, made, strict=True)


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
