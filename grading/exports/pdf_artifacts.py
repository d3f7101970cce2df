"""Marks what a tagged PDF's structure leaves out as artifacts: running footers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any


def set_footers_aside(_document: object, pdf: Any) -> None:
    """A finisher for WeasyPrint's write_pdf; `pdf` is a pydyf.PDF.

    WeasyPrint 70 marks the text of page margins as content and gives it no place in
    the structure, so that a reader may come upon a page number in the middle of a
    sentence. ISO 32000-1, 14.8.2.2, and ISO 14289-1, 7.8, want an artifact.
    """
    objects = {each.reference: each for each in pdf.objects}
    tree = objects[pdf.catalog["StructTreeRoot"]]
    held = set(_held(tree, objects))
    # Pairs: a page's number, and for each marked content on it the element it is in.
    pairs = objects[tree["ParentTree"]]["Nums"]
    elements = dict(zip(pairs[::2], pairs[1::2], strict=True))
    for number, page in enumerate(pdf.page_references):
        aside = {
            mark for mark, element in enumerate(elements[number]) if element not in held
        }
        _turn(objects[objects[page]["Contents"]].stream, aside)
        for mark in aside:
            elements[number][mark] = b"null"


def _held(element: Any, objects: dict[bytes, Any]) -> Iterator[bytes]:
    for kid in element.get("K", []):
        if isinstance(kid, bytes) and "S" in objects[kid]:
            yield kid
            yield from _held(objects[kid], objects)


def _turn(operations: list[Any], marks: set[int]) -> None:
    """In a page's content: tag, property list and BDC stand one after the other."""
    for place, operation in enumerate(operations):
        if operation == b"BDC" and operations[place - 1].get("MCID") in marks:
            operations[place - 2] = "/Artifact"
            operations[place - 1].clear()
            operations[place - 1].update(Type="/Pagination", Subtype="/Footer")
