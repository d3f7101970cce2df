"""The starter rubrics: read from their files, counted, and told with their sources."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from pathlib import Path

from django.conf import settings

from rubric.definition import Definition, Within, read

FOLDER = Path(settings.BASE_DIR) / "fixtures"

PRACTICE = "common practice, no source"
MEMORY = "from memory, check before use"


@dataclass(frozen=True)
class Source:
    """What elements cite, and how much of it was read: page, abstract, reported, ..."""

    cite: str
    seen: str


@dataclass(frozen=True)
class Starter:
    """One starter rubric. `name` is its file's; `adapt` is what to fit to local policy."""

    name: str
    about: str
    adapt: tuple[str, ...]
    definition: Definition
    bibliography: tuple[Source, ...]

    @property
    def title(self) -> str:
        return self.definition.title

    @property
    def criticals(self) -> int:
        return sum(element.critical is not None for element in self.definition.elements)

    @property
    def hazards(self) -> int:
        return sum(rule.kind == "hazard" for rule in self.definition.rules)

    @property
    def points(self) -> Fraction:
        return sum((e.points for e in self.definition.elements), Fraction())

    @property
    def minutes(self) -> Fraction | None:
        """The shortest limit on the recording; None where there is none."""
        limits = [r.minutes for r in self.definition.rules if isinstance(r, Within)]
        return min(limits, default=None)

    @cached_property
    def sources(self) -> tuple[Source, ...]:
        """What its elements cite, in the order of the alphabet."""
        cited = "\n".join(element.source for element in self.definition.elements)
        return tuple(source for source in self.bibliography if source.cite in cited)

    @property
    def by_practice(self) -> int:
        """Elements for which common practice stands, alone or beside a source."""
        return self._saying(PRACTICE)

    @property
    def from_memory(self) -> int:
        """Elements of which something was written from memory."""
        return self._saying(MEMORY)

    def _saying(self, words: str) -> int:
        return sum(words in e.source.lower() for e in self.definition.elements)


@lru_cache(maxsize=1)
def starters() -> dict[str, Starter]:
    """The starter rubrics by name, in the order in which they are listed."""
    return {starter.name: starter for starter in _read()}


def _read() -> Iterator[Starter]:
    from ruamel.yaml import YAML  # takes 50 ms, which only the library has to wait for

    told = YAML(typ="safe").load(FOLDER / "library.yaml")
    sources = tuple(Source(row["cite"], row["seen"]) for row in told["sources"])
    for row in told["starters"]:
        path = FOLDER / "rubrics" / f"{row['rubric']}.yaml"
        yield Starter(
            name=row["rubric"],
            about=row["about"],
            adapt=tuple(row["adapt"]),
            definition=read(path.read_bytes(), path.name),
            bibliography=sources,
        )
