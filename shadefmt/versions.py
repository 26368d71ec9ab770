"""The version numbers that travel in documents and reports, each with its own life (see DEVELOPERS.md)."""

from importlib.metadata import PackageNotFoundError, version

FORMAT_NAME = "shadefmt"
FORMAT_VERSION = "1.0"
FORMAT_MAJOR, FORMAT_MINOR = 1, 0


def tool_version() -> str:
    """Version of this package as installed, `0+unknown` where it runs uninstalled."""
    try:
        return version("shadefmt")
    except PackageNotFoundError:  # pragma: no cover - only from an unpacked source tree
        return "0+unknown"
