"""Kind `table-mapping`: how the columns of a table become members of cases, and back. No expressions."""

from typing import Annotated, Literal

from pydantic import Field

from shadefmt.model.base import (
    Absent,
    Block,
    Count,
    Decimals,
    DocumentId,
    EntryId,
    ExtensionName,
    Extensions,
    FormatVersion,
    Positive,
    ShortText,
    Text,
)
from shadefmt.model.table_proposal import MappingProposal
from shadefmt.vocabulary import (
    DateOrder,
    DecimalMark,
    FormulaGuard,
    Illuminant,
    Observer,
    Origin,
    SpectralQuantity,
    SpectralScale,
    TableDelimiter,
    TableEncoding,
    TableMember,
    TableQuote,
    TableUnit,
    ThousandsMark,
    TimePart,
    ToothNotation,
)


class TableDialect(Block):
    """How bytes are cut into cells, and how numbers are written. Nothing is guessed.

    Of a spreadsheet only the numbers that are held as text follow it.
    """

    encoding: TableEncoding
    """Encoding of the text; `utf-8` with or without a byte order mark, `utf-16` with one."""
    delimiter: TableDelimiter
    """Character between cells."""
    quote: TableQuote
    """Character around cells that hold the delimiter or a line break; doubled inside such a cell."""
    decimal_mark: DecimalMark
    """Mark before the decimals of a number."""
    thousands_mark: Absent[ThousandsMark] = None
    """Mark between groups of three digits; absent means that there is none."""
    blank_after_delimiter: Absent[bool] = None
    """Whether blanks after a delimiter are no part of the cell."""
    formula_guard: Absent[FormulaGuard] = None
    """Mark before texts that a spreadsheet would run as a formula; no part of the text. Absent: there is none."""


class TableLayout(Block):
    """Where the table lies in the file. Lines, or the rows of a sheet, count from 1, as a program shows them."""

    sheet: Absent[ShortText] = None
    """Name of the sheet of a spreadsheet; absent means the first."""
    header_line: Absent[Count] = None
    """Line of the column headers; absent where there are none and columns go by number."""
    first_row_line: Absent[Count] = None
    """Line of the first row; absent means the one after the headers, or the first of the file."""
    ends_at_blank_row: Absent[bool] = None
    """Whether the first row without content ends the table; otherwise such rows are passed over."""
    headers_repeat: Absent[bool] = None
    """Whether the line of headers comes again between rows, as on each printed page; it is passed over there."""
    end_word: Absent[ShortText] = None
    """Text of the first cell of the line that closes the table; a file without it is taken as cut off."""


class ColumnChoice(Block):
    """A column by the text of its header, by its number, or by both where a header occurs twice."""

    column: Absent[ShortText] = None
    """Text of its header, blanks at its ends left out."""
    column_number: Absent[Count] = None
    """Its number from the left, from 1."""


class VocabularyWord(Block):
    """What a text of the table means."""

    text: ShortText
    """Text of the cell, blanks at its ends left out."""
    value: ShortText
    """Value of the member; `true` or `false` for yes and no, ISO 3950 for a tooth."""


class MappedColumn(ColumnChoice):
    """One column and the member that its cells become."""

    member: TableMember
    """Member of the case."""
    colour: Absent[EntryId] = None
    """Name of the colour in `colours` that the number belongs to; absent where there is one colour."""
    group: Absent[EntryId] = None
    """Name of the group in `groups` that the column belongs to; absent where it holds for the whole row."""
    unit: Absent[TableUnit] = None
    """Unit of the numbers; absent means the member's own, which for tristimulus values is `percent`."""
    vocabulary: Absent[Annotated[list[VocabularyWord], Field(min_length=1)]] = None
    """What the texts of the column mean."""
    date_order: Absent[DateOrder] = None
    """Order of the parts of dates that are not written as in ISO 8601."""
    time_part: Absent[TimePart] = None
    """Which part of the member the column holds, where another column holds the rest."""
    blank_repeats: Absent[bool] = None
    """Whether a blank cell means what the last cell above it says that is not blank, as where cells were merged."""
    required: Absent[bool] = None
    """Whether a blank cell is a fault of the table."""


class MappedColour(Block):
    """A colour that every reading may have, and what its numbers hold for."""

    name: Absent[EntryId] = None
    """Name by which columns refer to it; absent where there is one colour."""
    illuminant: Absent[Illuminant] = None
    """Illuminant, or what a blank cell of the column that gives it means."""
    observer: Absent[Observer] = None
    """Observer, or what a blank cell of the column that gives it means."""
    origin: Absent[Origin] = None
    """Origin, or what a blank cell of the column that gives it means."""
    decimals: Absent[Decimals] = None
    """Decimals that its numbers are kept to; absent means as many as the colour's own cells show."""
    required: Absent[bool] = None
    """Whether a reading without it is a fault of the table."""


class MappedBand(ColumnChoice):
    """One column of a spectrum."""

    wavelength_nm: Positive
    """Wavelength of the column, in nanometres."""


class MappedSpectrum(Block):
    """The columns that hold the spectrum, by a pattern of their headers or one by one."""

    quantity: Absent[SpectralQuantity] = None
    """What the values are; absent only as long as it is not decided, and then no table is read."""
    unit: Absent[SpectralScale] = None
    """Scale of the cells: `factor` where 1, `percent` where 100 is the perfect reflecting diffuser; absent likewise."""
    decimals: Absent[Decimals] = None
    """Decimals that the cells are kept to, in their own unit; absent means as many as they show."""
    header_prefix: Absent[ShortText] = None
    """What stands before the wavelength in the header of each column."""
    header_suffix: Absent[ShortText] = None
    """What stands after it."""
    bands: Absent[Annotated[list[MappedBand], Field(min_length=2)]] = None
    """The columns one by one; absent means every column whose header is prefix, wavelength, suffix."""
    group: Absent[EntryId] = None
    """Name of the group in `groups` that the columns belong to."""
    required: Absent[bool] = None
    """Whether a reading without it is a fault of the table."""


class MappedConstant(Block):
    """A member that no column gives, or what a blank cell of its column means."""

    member: TableMember
    """Member of the case."""
    value: ShortText
    """Its value as text: the format's own words, decimal point, `true` or `false`, ISO 3950 for a tooth."""


class ReadingGroup(Block):
    """One of several readings that each row holds side by side."""

    name: EntryId
    """Name by which columns refer to it."""
    constants: Absent[Annotated[list[MappedConstant], Field(min_length=1)]] = None
    """What holds for its readings only, such as the zone."""


class LabelledCell(Block):
    """A cell above the table whose text holds for every row: the next after its label that is not blank."""

    label: ShortText
    """Text of the cell before it, a colon at its end left out."""
    member: TableMember
    """Member of the case that it becomes."""
    vocabulary: Absent[Annotated[list[VocabularyWord], Field(min_length=1)]] = None
    """What its texts mean."""
    date_order: Absent[DateOrder] = None
    """Order of the parts of a date that is not written as in ISO 8601."""


class LongRows(Block):
    """How several rows make one, where each holds one number of a reading.

    Adjacent rows whose other cells are equal are one row, until a text of `name_column` comes again. To its own
    columns it has one more for each of `headers`, in their order.
    """

    name_column: ColumnChoice
    """Column that says which number the row holds, such as a coordinate or a wavelength."""
    value_column: ColumnChoice
    """Column of the number."""
    headers: Annotated[list[ShortText], Field(min_length=1)]
    """Texts of the first; each becomes the header of a column."""


class IgnoredColumn(ColumnChoice):
    """A column that is left out on purpose."""

    reason: Text
    """Why."""


class TableMapping(Block):
    """How a table is read and written: one row is one reading, or one of each group."""

    format: Literal["shadefmt"]
    """Always `shadefmt`."""
    version: FormatVersion
    """Version of the format that the document was written to."""
    kind: Literal["table-mapping"]
    """Always `table-mapping`."""
    id: DocumentId
    """Globally unique id of this version of the mapping."""
    extensions_required: Absent[Annotated[list[ExtensionName], Field(min_length=1)]] = None
    """Extensions without which the mapping must not be relied on."""
    title: ShortText
    """Name in words."""
    dialect: TableDialect
    """How cells and numbers are written."""
    layout: Absent[TableLayout] = None
    """Where the table lies; absent means rows from the first line on, without headers."""
    blank_words: Absent[Annotated[list[ShortText], Field(min_length=1)]] = None
    """Texts that mean a blank cell, beside the empty text."""
    tooth_notation: Absent[ToothNotation] = None
    """Notation of the tooth column; needed where there is one."""
    case_key: Absent[Annotated[list[ColumnChoice], Field(min_length=1)]] = None
    """Columns that tell cases apart; absent means that the file is one case."""
    instrument_key: Absent[Annotated[list[ColumnChoice], Field(min_length=1)]] = None
    """Columns that tell instruments apart; absent means that equal members make one instrument."""
    session_key: Absent[Annotated[list[ColumnChoice], Field(min_length=1)]] = None
    """Columns that tell sessions apart; absent means that equal members make one session."""
    specimen_key: Absent[Annotated[list[ColumnChoice], Field(min_length=1)]] = None
    """Columns that tell specimens apart; absent means that equal members make one specimen."""
    long_rows: Absent[LongRows] = None
    """How several rows make one; absent means that each stands for itself."""
    labelled: Absent[Annotated[list[LabelledCell], Field(min_length=1)]] = None
    """Cells above the table that hold for every row."""
    constants: Absent[Annotated[list[MappedConstant], Field(min_length=1)]] = None
    """Members that hold for every row."""
    colours: Absent[Annotated[list[MappedColour], Field(min_length=1)]] = None
    """Colours that a reading may have, one for each illuminant, observer and origin."""
    groups: Absent[Annotated[list[ReadingGroup], Field(min_length=1)]] = None
    """Readings that stand side by side in one row; absent means one reading a row."""
    columns: Absent[Annotated[list[MappedColumn], Field(min_length=1)]] = None
    """Columns and what they become."""
    spectra: Absent[Annotated[list[MappedSpectrum], Field(min_length=1)]] = None
    """Spectra, at most one for each reading of a row."""
    ignored: Absent[Annotated[list[IgnoredColumn], Field(min_length=1)]] = None
    """Columns that are left out on purpose."""
    proposal: Absent[MappingProposal] = None
    """What a program found in a table that it proposed this mapping for; says nothing to readers of tables."""
    extensions: Absent[Extensions] = None
    """Foreign data by reverse-DNS name."""
