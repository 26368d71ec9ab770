"""What is raised: wrong use and a failing environment. Faults of a file are findings, never exceptions."""


class ShadefmtError(Exception):
    """Base of everything that shadefmt raises on purpose; the text says what, where and what to do."""


class WrongUse(ShadefmtError):
    """The caller asked for something that cannot be done: an option, an argument, a faulty mapping."""


class CannotRead(ShadefmtError):
    """A source could not be opened or read (missing, no permission, a directory where a file is meant)."""


class CannotWrite(ShadefmtError):
    """A target could not be written, or exists and was not to be replaced."""


class Refused(ShadefmtError):
    """A source was read but is not what it claims to be; nothing was made of it.

    `where` is a place in the source (line, column, cell or element); `remedy` what its owner can do.
    """

    def __init__(self, what: str, *, where: str = "", remedy: str = "") -> None:
        super().__init__(". ".join(part for part in (f"{where}: {what}" if where else what, remedy) if part))
        self.what = what
        self.where = where
        self.remedy = remedy
