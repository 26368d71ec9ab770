"""A mapping that suits most cases with CIELAB under D65: what tests write tables by. Invented."""

COLUMNS = [("tooth", "specimen.tooth"), ("zone", "reading.zone"), ("kind", "specimen.kind")]
LETTERS = [(letter, f"reading.colour.lab.{letter}") for letter in "Lab"]
ORDINARY = {
    "format": "shadefmt",
    "version": "1.0",
    "kind": "table-mapping",
    "id": "urn:uuid:7a7b9d52-3a53-4a6e-8a38-0d9a0f6f2c11",
    "title": "of a test",
    "dialect": {"encoding": "utf-8", "delimiter": "comma", "quote": "double", "decimal_mark": "point"},
    "layout": {"header_line": 1},
    "tooth_notation": "universal",
    "case_key": [{"column": "case"}],
    "colours": [{"illuminant": "D65", "observer": "2-degree", "origin": "instrument"}],
    "columns": [{"column": name, "member": member} for name, member in COLUMNS + LETTERS],
}
