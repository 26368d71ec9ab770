"""Time of reading and writing CxF3 against an independent library: `python tests/benchmarks/bench_cxf.py [objects [runs]]`.

Prints, for one invented file, the time of colour-cxf's read (objects of its own, no linking), of a bare
`iterparse` that only makes arrays, of `read_cxf` (one case with all readings linked), and of `read_cxf` followed
by validation of the case against the model; each the shortest processor time of several runs that take turns.
Then the same for writing: colour-cxf's `write_cxf` of what it read, and ours of the case, with the whole loss report
and, in our file, some ten tags more an object.
"""

import io
import random
import sys
import time
import warnings
from collections.abc import Callable

import colour_cxf
import numpy as np
from lxml import etree

from shadefmt.converters.cxf import read_cxf, write_cxf
from shadefmt.documents import as_model
from shadefmt.model.case import Case

NAMESPACE = "{http://colorexchangeformat.com/CxF3-core}"

HEAD = """<?xml version="1.0" encoding="UTF-8"?>
<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core">
 <cc:FileInformation>
  <cc:Creator>bench</cc:Creator><cc:CreationDate>2026-01-02T03:04:05</cc:CreationDate>
 </cc:FileInformation>
 <cc:Resources>
  <cc:ObjectCollection>
"""
OBJECT = """   <cc:Object ObjectType="Standard" Name="Sample {number}" Id="o{number}">
    <cc:CreationDate>2026-01-02T03:04:05</cc:CreationDate>
    <cc:ColorValues>
     <cc:ReflectanceSpectrum ColorSpecification="spec" StartWL="400">{values}</cc:ReflectanceSpectrum>
     <cc:ColorCIELab ColorSpecification="spec">
      <cc:L>{L:.2f}</cc:L><cc:A>{a:.2f}</cc:A><cc:B>{b:.2f}</cc:B>
     </cc:ColorCIELab>
    </cc:ColorValues>
    <cc:TagCollection Name="Location"><cc:Tag Name="Row" Value="{number}"/></cc:TagCollection>
   </cc:Object>
"""
TAIL = """  </cc:ObjectCollection>
  <cc:ColorSpecificationCollection>
   <cc:ColorSpecification Id="spec">
    <cc:TristimulusSpec>
     <cc:Illuminant>D65</cc:Illuminant><cc:Observer>10_Degree</cc:Observer><cc:Method>E308_Table6</cc:Method>
    </cc:TristimulusSpec>
    <cc:MeasurementSpec>
     <cc:MeasurementType>Spectrum_Reflectance</cc:MeasurementType>
     <cc:GeometryChoice><cc:SingleAngle>
      <cc:SingleAngleConfiguration>Annular</cc:SingleAngleConfiguration>
      <cc:IlluminationAngle>45</cc:IlluminationAngle><cc:MeasurementAngle>0</cc:MeasurementAngle>
     </cc:SingleAngle></cc:GeometryChoice>
     <cc:WavelengthRange StartWL="400" Increment="10"/>
    </cc:MeasurementSpec>
   </cc:ColorSpecification>
  </cc:ColorSpecificationCollection>
 </cc:Resources>
</cc:CxF>
"""


def make_file(objects: int, bands: int = 31, seed: int = 5) -> bytes:
    """Return an invented file with one spectrum, one CIELAB colour and one tag an object."""
    chance = random.Random(seed)
    parts = [HEAD]
    for number in range(objects):
        values = " ".join(f"{chance.uniform(0.05, 0.9):.4f}" for _ in range(bands))
        a, b = chance.uniform(-5, 5), chance.uniform(-5, 5)
        parts.append(OBJECT.format(number=number, values=values, L=chance.uniform(0, 100), a=a, b=b))
    return "".join([*parts, TAIL]).encode()


def bare(data: bytes) -> list[np.ndarray]:
    """Arrays of the spectra by `iterparse`, nothing else: the floor of reading with lxml."""
    found = []
    tag = NAMESPACE + "ReflectanceSpectrum"
    for _, element in etree.iterparse(io.BytesIO(data), events=("end",), tag=(tag, NAMESPACE + "Object")):
        if element.tag == tag:
            found.append(np.array((element.text or "").split(), dtype=float))
        else:
            element.clear()
    return found


def best(works: dict[str, Callable[[], object]], runs: int) -> dict[str, float]:
    """Return the shortest processor time of each work, in seconds, the works taking turns."""
    times = dict.fromkeys(works, float("inf"))
    for _ in range(runs):
        for name, work in works.items():
            start = time.process_time()
            work()
            times[name] = min(times[name], time.process_time() - start)
    return times


def main() -> None:
    """Print times and ratios."""
    objects = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    runs = int(sys.argv[2]) if len(sys.argv) > 2 else 3
    data = make_file(objects)
    warnings.simplefilter("ignore")  # colour-cxf warns of what it converts
    case = as_model(read_cxf(data).case)
    assert isinstance(case, Case)
    assert len(case.readings or []) == objects
    times = best(
        {
            "colour-cxf read": lambda: colour_cxf.read_cxf(data),
            "bare iterparse into arrays": lambda: bare(data),
            "read_cxf": lambda: read_cxf(data),
            "read_cxf and as_model": lambda: as_model(read_cxf(data).case),
        },
        runs,
    )
    print(f"{objects} objects, {len(data) / 1e6:.1f} MB, best of {runs}")
    show(times)
    value, theirs = read_cxf(data).case, colour_cxf.read_cxf(data)
    bare_case = {name: each for name, each in value.items() if name != "extensions"}
    show(
        best(
            {
                "colour-cxf write": lambda: colour_cxf.write_cxf(theirs),
                "write_cxf": lambda: write_cxf(bare_case),
                "write_cxf with what CxF3 had": lambda: write_cxf(value),
            },
            runs,
        )
    )


def show(times: dict[str, float]) -> None:
    """Print times, each with its ratio to the first."""
    theirs = next(iter(times.values()))
    for name, seconds in times.items():
        print(f"{name:34}{seconds:8.3f} s  {theirs / seconds:5.1f} times the speed of colour-cxf")


if __name__ == "__main__":
    main()
