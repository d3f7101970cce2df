"""The files of the repository, as its tests about itself see them."""

import subprocess
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent


def files(*patterns: str) -> list[Path]:
    """The files under version control, or those that match one of the patterns."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--", *patterns],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    paths = [ROOT / name for name in listed.split("\0") if name]
    return [path for path in paths if path.exists()]


def name_of(path: Path) -> str:
    return str(path.relative_to(ROOT))
