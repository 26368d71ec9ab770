"""Where the published files are: package data in an installed wheel, the sibling folder in a checkout."""

from functools import cache
from pathlib import Path

from shadefmt.errors import CannotRead


@cache
def schema_folder() -> Path:
    """Return the folder that holds `rules.json` and the schemas.

    Raises:
        CannotRead: the installation is incomplete.
    """
    package = Path(__file__).parent
    for folder in (package / "schema", package.parent / "schema"):
        if (folder / "rules.json").is_file():
            return folder
    raise CannotRead(f"rules.json is missing beside {package}. Install shadefmt again")
