"""The version numbers that travel in documents and reports, each with its own life (see DEVELOPERS.md)."""

FORMAT_NAME = "shadefmt"
FORMAT_VERSIONS = ("1.0",)
"""Every version of the format that this program knows, oldest first. All have one major version."""

FIRST_VERSION = FORMAT_VERSIONS[0]
"""What writers state: a document states the lowest version that defines all it uses."""

FORMAT_VERSION = FORMAT_VERSIONS[-1]
FORMAT_MAJOR, FORMAT_MINOR = map(int, FORMAT_VERSION.split("."))


def is_later(version: str, than: str) -> bool:
    """Whether a version `<major>.<minor>` came after another."""
    return [*map(int, version.split("."))] > [*map(int, than.split("."))]


def tool_version() -> str:
    """Version of this package as installed, `0+unknown` where it runs uninstalled."""
    from importlib.metadata import PackageNotFoundError, version  # slow to import, and `--help` does without

    try:
        return version("shadefmt")
    except PackageNotFoundError:  # pragma: no cover - only from an unpacked source tree
        return "0+unknown"
