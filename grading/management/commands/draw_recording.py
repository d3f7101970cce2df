from __future__ import annotations

import json
from pathlib import Path
from subprocess import CalledProcessError
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from ruamel.yaml.error import YAMLError

from grading.film.encode import EncoderMissingError, encode
from grading.film.frame import draw_act, with_clock
from grading.film.script import (
    Script,
    captions,
    expected_sheet,
    read_script,
    seconds,
)

FAILURES = (OSError, ValueError, YAMLError, EncoderMissingError, CalledProcessError)


class Command(BaseCommand):
    help = "Make the demo's recording.webm, recording.vtt and expected.json of script.yaml."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--folder",
            type=Path,
            default=settings.BASE_DIR / "fixtures" / "demo",
            help="where script.yaml is and the files go, the recording into public/ (default: fixtures/demo)",
        )
        parser.add_argument(
            "--texts-only",
            action="store_true",
            help="leave the recording as it is; write captions and expected sheet only",
        )
        parser.add_argument(
            "--still",
            nargs=2,
            metavar=("M:SS", "FILE.png"),
            help="draw one moment into a picture file, and nothing else",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        folder: Path = options["folder"]
        try:
            script = read_script(folder / "script.yaml")
            if options["still"]:
                moment, target = options["still"]
                self._still(script, seconds(moment), Path(target))
                return
            (folder / "recording.vtt").write_text(captions(script), "utf-8")
            (folder / "expected.json").write_text(_written(script), "utf-8")
            if not options["texts_only"]:
                encode(script, folder / "public" / "recording.webm")
        except FAILURES as error:
            raise CommandError(str(error)) from error
        self.stdout.write(f"Written to {folder}")

    def _still(self, script: Script, moment: int, target: Path) -> None:
        if moment >= script.length:
            raise CommandError(f"The recording ends at {script.length} s")
        act = [act for act in script.acts if act.at <= moment][-1]
        with_clock(draw_act(act), moment).save(target)


def _written(script: Script) -> str:
    """The expected sheet as text, one mark a line, so that changes can be read."""
    sheet = expected_sheet(script)
    lists = {key: sheet[key] for key in ("marks", "hazards", "rulings")}
    head = [
        f"  {json.dumps(key)}: {json.dumps(value)}"
        for key, value in sheet.items()
        if key not in lists
    ]
    body = [
        f"  {json.dumps(key)}: [\n    "
        + ",\n    ".join(json.dumps(item) for item in items)
        + "\n  ]"
        for key, items in lists.items()
    ]
    return "{\n" + ",\n".join(head + body) + "\n}\n"
