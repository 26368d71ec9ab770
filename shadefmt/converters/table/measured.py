"""What a row measures: colours and spectra, each block with its decimals."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any, Final, NoReturn

from shadefmt.converters.base import Account
from shadefmt.converters.table.cells import Memo
from shadefmt.converters.table.fields import Cells, missing, picker, placed
from shadefmt.converters.table.numbers import Figure, NumberReader
from shadefmt.errors import Refused
from shadefmt.limits import MAX_DECIMALS
from shadefmt.vocabulary import SpectralScale

LARGEST_FACTOR: Final = 3
"""A factor above this is thought to be a percentage; fluorescent samples reach about 1.5 (computed, no source)."""

SMALLEST_PEAK: Final = 0.015
"""A whole spectrum below this is thought to be factors taken for percentages (no tooth is that dark)."""


Numbers = tuple[Sequence[int | float], int]
"""Numbers of one row that belong together, and the decimals of their block."""

BLANK_DECIMALS: Final = -1
"""Stands for the decimals of a blank cell."""


@dataclass(slots=True)
class NumberColumns:
    """Columns whose cells are present together or blank together: coordinates, or the bands of a spectrum.

    `labels` name the columns in messages, `paths` and `targets` in the account, where the bands of a spectrum
    share one. `decimals` are those that numbers are kept to, None for all up to ten. `told` says how numbers
    are restated.
    """

    what: str
    indexes: tuple[int, ...]
    labels: tuple[str, ...]
    paths: tuple[str, ...]
    targets: tuple[str, ...]
    reader: NumberReader
    figure: Callable[[str], Figure]
    decimals: int | None = None
    told: str = ""
    required: bool = False
    seen: int = 0
    absent: int = 0
    rounded: dict[int, int] = field(default_factory=dict)
    limit: int = field(init=False)
    _pick: Callable[[Cells], tuple[str, ...]] = field(init=False)

    def __post_init__(self) -> None:
        self._pick = picker(self.indexes)
        self.limit = MAX_DECIMALS if self.decimals is None else self.decimals

    def read(self, line: int, row: Cells, account: Account) -> Numbers | None:
        """Return the numbers of a row, None where all cells are blank.

        Raises:
            Refused: a cell is no number, or some cells are blank and others are not.
        """
        texts = self._pick(row)
        self.seen += 1
        values: tuple[int | float, ...]
        shown: tuple[int, ...]
        try:
            values, shown = zip(*map(self.figure, texts), strict=True)
        except Refused:
            self._misread(line, texts)
        if BLANK_DECIMALS in shown:
            self._demand_blank(line, shown)
            return None
        most = max(shown)
        if most > self.limit:
            return self._rounded(line, texts, account)
        return values, most if self.decimals is None else self.decimals

    def _misread(self, line: int, texts: Sequence[str]) -> NoReturn:
        for label, text in zip(self.labels, texts, strict=True):
            try:
                self.figure(text)
            except Refused as fault:
                raise placed(fault, line, label) from None
        raise AssertionError("a cell was refused and is not refused again")

    def _demand_blank(self, line: int, shown: Sequence[int]) -> None:
        if self.required or max(shown) > BLANK_DECIMALS:
            label = self.labels[shown.index(BLANK_DECIMALS)]
            why = "the mapping requires a value" if self.required else f"other cells of the {self.what} are not"
            raise missing(line, label, why)
        self.absent += 1

    def _rounded(self, line: int, texts: Sequence[str], account: Account) -> Numbers:
        limit = self.limit
        values = []
        for index, text in enumerate(texts):
            value, decimals = self.figure(text)
            if decimals > limit:
                value = self.reader.rounded(text, limit)
                self.rounded[index] = self.rounded.get(index, 0) + 1
                account.lost(
                    self.paths[index],
                    "rounded",
                    "table-number-rounded",
                    f"kept to {limit} decimals",
                    where=f"line {line}, {self.labels[index]}",
                    old=text,
                    new=str(value),
                )
            values.append(value)
        return values, limit

    def account(self, account: Account, more: int = 0) -> None:
        """Enter the counts into the account, with `more` rows that were read elsewhere and sound."""
        for index, (label, target) in enumerate(zip(self.paths, self.targets, strict=True)):
            sound = more + self.seen - self.absent - self.rounded.get(index, 0)
            if sound and self.told:
                account.converted(label, target, self.told, sound)
            elif sound:
                account.kept(label, target, sound)


def figure_memo(reader: NumberReader, blank: frozenset[str]) -> Callable[[str], Figure]:
    """Return a function from text to number that remembers; BLANK_DECIMALS tells a blank cell."""

    def read(text: str) -> Figure:
        return (0, BLANK_DECIMALS) if text.strip() in blank else reader(text)

    return Memo(read).__getitem__


@dataclass(slots=True)
class SpectrumColumns:
    """The columns of a spectrum in order of wavelength, and the members of its block that are the same in all.

    `doubtful` is line and greatest factor of the first spectrum that seems to be on the other scale.
    """

    columns: NumberColumns
    head: dict[str, Any]
    scale: SpectralScale
    doubtful: tuple[int, float] | None = None

    def read(self, line: int, row: Cells, account: Account) -> dict[str, Any] | None:
        """Return the spectrum of a row as the block of a reading, None where all cells are blank."""
        block = self.columns.read(line, row, account)
        if block is None:
            return None
        values, decimals = block
        if self.doubtful is None:
            most = max(values)
            if most > LARGEST_FACTOR if self.scale == "factor" else 0 < most <= SMALLEST_PEAK:
                self.doubtful = line, most
        return {**self.head, "decimals": decimals, "values": [*values]}
