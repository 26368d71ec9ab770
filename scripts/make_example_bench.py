"""Write the invented files of the laboratory's side of the demo: bench export (CxF3), guide, stock list, tolerance.

Everything is computed from smooth spectra, nothing was measured; names and labels are invented words.
"""

import sys
from math import exp
from pathlib import Path
from typing import Any

from shadefmt.colour.single import spectrum_to_xyz, xyz_to_lab
from shadefmt.colour.weights import weights
from shadefmt.jsontext import file_form

FOLDER = Path(__file__).resolve().parent.parent / "schema" / "1.0" / "examples"
START_NM, STEP_NM, BANDS, WIDTH_NM = 380, 10, 36, 45

CROWN = (
    ("cervical", 0.1905, 0.5012, 523.9),
    ("middle", 0.2722, 0.5655, 514.2),
    ("incisal", 0.2905, 0.5095, 498.6),
)
"""Zone of the crown; low and high reflectance factor; wavelength of the middle of the rise in nm."""

REPEATS = ((0.0, 0.0), (-0.0009, 0.3), (0.0007, -0.2))
"""For each repeat: what is added to the reflectance factor, and to the wavelength of the middle in nm."""

GUIDE = {
    "Moorel": (75.4, 1.1, 15.2),
    "Tandry": (73.9, 2.1, 18.6),
    "Quessel": (71.2, 3.3, 21.7),
    "Ilvane": (78.3, 0.2, 11.4),
}
STOCK = {"Fennach": (74.9, 1.8, 17.3), "Ostrel": (72.6, 2.9, 20.4), "Wimbrey": (70.1, 0.9, 12.2)}


def spectrum(low: float, high: float, middle_nm: float) -> list[float]:
    """Return reflectance factors with four decimals."""
    waves = (START_NM + STEP_NM * band for band in range(BANDS))
    return [round(low + (high - low) / (1 + exp(-(nm - middle_nm) / WIDTH_NM)), 4) for nm in waves]


def cxf() -> str:
    """Return the bench export: one object a reading, tags for what was read."""
    basis = weights("D65", "2-degree", START_NM, STEP_NM, BANDS)
    objects = []
    for zone, low, high, middle_nm in CROWN:
        for more, shift_nm in REPEATS:
            number = len(objects) + 1
            values = spectrum(low + more, high + more, middle_nm + shift_nm)
            lab = xyz_to_lab(spectrum_to_xyz(values, basis), basis.white)
            objects.append(_object(number, zone, values, lab))
    return _FRAME.replace("OBJECTS", "\n".join(objects))


def _object(number: int, zone: str, values: list[float], lab: tuple[float, float, float]) -> str:
    minute, second = divmod(number * 20, 60)
    moment = f"2026-03-12T15:{52 + minute:02}:{second:02}+01:00"
    tags = {"Specimen": "restoration", "Tooth": "11", "Support": "tooth", "Zone": zone, "State": "glazed"}
    L, a, b = (f"{each:.2f}" for each in lab)
    return f"""\
   <cc:Object ObjectType="Trial" Name="crown {zone} {number}" Id="o{number}">
    <cc:CreationDate>{moment}</cc:CreationDate>
    <cc:ColorValues>
     <cc:ReflectanceSpectrum ColorSpecification="bench" StartWL="380">{" ".join(f"{each:.4f}" for each in values)}</cc:ReflectanceSpectrum>
     <cc:ColorCIELab ColorSpecification="bench"><cc:L>{L}</cc:L><cc:A>{a}</cc:A><cc:B>{b}</cc:B></cc:ColorCIELab>
    </cc:ColorValues>
    <cc:TagCollection Name="what">{"".join(f'<cc:Tag Name="{name}" Value="{value}"/>' for name, value in tags.items())}</cc:TagCollection>
   </cc:Object>"""


_FRAME = """\
<?xml version="1.0" encoding="UTF-8"?>
<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core">
 <cc:FileInformation><cc:CreationDate>2026-03-12T16:05:00+01:00</cc:CreationDate><cc:Description>Bench readings of one crown, invented</cc:Description></cc:FileInformation>
 <cc:Resources>
  <cc:ObjectCollection>
OBJECTS
  </cc:ObjectCollection>
  <cc:ColorSpecificationCollection>
   <cc:ColorSpecification Id="bench">
    <cc:TristimulusSpec><cc:Illuminant>D65</cc:Illuminant><cc:Observer>2_Degree</cc:Observer><cc:Method>E308_Table5</cc:Method></cc:TristimulusSpec>
    <cc:MeasurementSpec>
     <cc:MeasurementType>Spectrum_Reflectance</cc:MeasurementType>
     <cc:GeometryChoice><cc:SingleAngle><cc:SingleAngleConfiguration>Annular</cc:SingleAngleConfiguration><cc:IlluminationAngle>45</cc:IlluminationAngle><cc:MeasurementAngle>0</cc:MeasurementAngle></cc:SingleAngle></cc:GeometryChoice>
     <cc:WavelengthRange StartWL="380" Increment="10"/>
     <cc:Aperture>3 mm</cc:Aperture>
     <cc:Backing>black</cc:Backing>
    </cc:MeasurementSpec>
   </cc:ColorSpecification>
  </cc:ColorSpecificationCollection>
 </cc:Resources>
</cc:CxF>
"""


def reference_set(
    identity: str, title: str, source: str, members: dict[str, tuple[float, float, float]]
) -> dict[str, Any]:
    """Return a reference-set document."""
    return {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "reference-set",
        "id": identity,
        "title": title,
        "source": source,
        "references": [
            {
                "id": f"ref-{label.lower()}",
                "label": label,
                "colour": {
                    "illuminant": "D65",
                    "observer": "2-degree",
                    "decimals": 1,
                    "origin": "copied",
                    "lab": dict(zip("Lab", lab, strict=True)),
                },
            }
            for label, lab in members.items()
        ],
    }


TOLERANCE = {
    "format": "shadefmt",
    "version": "1.0",
    "kind": "tolerance",
    "id": "urn:uuid:b6a7e9d2-5b0e-4f6c-9a2b-6e0d7b1f4c35",
    "title": "Front teeth, published thresholds, guarded",
    "formula": "CIEDE2000",
    "k_L": 1,
    "k_C": 1,
    "k_H": 1,
    "tissue": "tooth",
    "source": "Paravina et al. 2015, J Esthet Restor Dent 27 Suppl 1:S1-S9: 50:50 % perceptibility 0.8, acceptability 1.8",
    "grades": [
        {"grade": "up-to-perceptible", "at_most": 0.8},
        {"grade": "up-to-acceptable", "at_most": 1.8},
        {"grade": "up-to-twice-acceptable", "at_most": 3.6},
        {"grade": "up-to-three-times-acceptable", "at_most": 5.4},
        {"grade": "beyond-three-times-acceptable"},
    ],
    "limit": 1.8,
    "decision_rule": "four-way-guarded",
    "coverage_factor": 2,
}


def expected() -> dict[str, bytes]:
    """Return every file by name."""
    guide = reference_set(
        "urn:uuid:4d1c0a3e-7f52-4c0b-8a55-2f9f5c6e1b70",
        "Shingle Bank, an invented guide",
        "Invented for the demo; own copy of the laboratory, read once",
        GUIDE,
    )
    stock = reference_set(
        "urn:uuid:9e2f7b58-03d4-4a1e-b6c9-71c5d8e4f206",
        "Copper Beech, stock of powders",
        "Invented for the demo; fired discs of 1.5 mm, read on black",
        STOCK,
    )
    return {
        "bench-export.cxf": cxf().encode(),
        "guide.shade.json": file_form(guide),
        "stock.shade.json": file_form(stock),
        "tolerance.shade.json": file_form(TOLERANCE),
    }


def main() -> int:
    """Write the files; with --check only say whether they are fresh."""
    stale = [name for name, data in expected().items() if not _same(FOLDER / name, data)]
    if "--check" in sys.argv:
        print("stale: " + ", ".join(stale) if stale else "example files are fresh")
        return int(bool(stale))
    for name, data in expected().items():
        (FOLDER / name).write_bytes(data)
    return 0


def _same(path: Path, data: bytes) -> bool:
    return path.is_file() and path.read_bytes() == data


if __name__ == "__main__":
    sys.exit(main())
