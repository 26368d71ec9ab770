"""How the page looks: a letter on paper, in light and dark, on a telephone and in print. No colour tells anything."""

from base64 import b64encode
from hashlib import sha256
from typing import Final

LIGHT: Final = {
    "paper": "#fcfbf8",
    "ink": "#1e1d1b",
    "soft": "#57534c",
    "rule": "#8b867c",
    "bar": "#8fb3d9",
    "limit": "#8a4b00",
}
"""Colours on a light screen and in print."""

DARK: Final = {
    "paper": "#1a1b1d",
    "ink": "#edeae3",
    "soft": "#b9b4a9",
    "rule": "#7f7b73",
    "bar": "#3d6a9c",
    "limit": "#f0b35e",
}
"""Colours on a dark screen."""

FIXED: Final = {"surround": "#757575", "on-surround": "#ffffff"}
"""Neutral grey around swatches and the words on it, the same in light and dark."""

_TEXT: Final = """
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink);
font:1.0625rem/1.5 "Iowan Old Style","Palatino Linotype",Palatino,"Book Antiqua",Georgia,"Noto Serif",serif;
font-variant-numeric:lining-nums tabular-nums;overflow-wrap:anywhere}
.letter{max-width:61rem;margin:0 auto;padding:2.5rem 1.5rem 3rem}
.letter>header,.part{display:grid;grid-template-columns:12.5rem minmax(0,40rem);column-gap:2.25rem}
.letter>header{padding-bottom:1.25rem}
.letter>header>*{grid-column:2}
h1{font-size:1.6rem;line-height:1.2;font-weight:600;margin:0 0 .35rem}
.state{margin:0;font-weight:700;letter-spacing:.045em}
.part{padding:1.1rem 0 1.2rem;border-top:1px solid var(--rule)}
.part>h2{margin:.1rem 0 0;font-size:1rem;font-style:italic;font-weight:400;text-align:right;color:var(--soft)}
.part>div>:first-child{margin-top:0}
.part>div>:last-child{margin-bottom:0}
h3{font-size:1rem;font-weight:600;margin:1.2rem 0 .35rem}
p{margin:.5rem 0}
ul,ol{margin:.5rem 0;padding-left:1.4rem}
li{margin:.25rem 0}
small,.small{font-size:.875rem;color:var(--soft)}
code{font:.8125rem/1.4 ui-monospace,"DejaVu Sans Mono",Menlo,Consolas,monospace;color:var(--soft)}
.unseen{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.lead{font-size:1.125rem}
.ask{border-left:3px solid var(--ink);padding:.1rem 0 .1rem 1rem;margin:1rem 0}
.ask p{margin:.3rem 0}
table{border-collapse:collapse;width:100%;margin:.6rem 0 1rem}
th,td{padding:.2rem .5rem .2rem 0;text-align:left;vertical-align:baseline;font-weight:400}
.zones thead th{font-size:.875rem;color:var(--soft);border-bottom:1px solid var(--rule)}
.zones .n{text-align:right;white-space:nowrap;width:1%;padding-left:1.5rem}
.zones tbody th{font-weight:600}
.zones tbody tr+tr td{padding-bottom:.7rem;line-height:1.4}
.zones tbody.named th{padding-top:.7rem;font-style:italic;font-weight:400}
.facts th{width:12rem;color:var(--soft);padding-right:1rem}
.swatch{display:inline-flex;align-items:center;gap:.4rem;background:var(--surround);color:var(--on-surround);
font-size:.75rem;line-height:1;padding:.3rem .5rem .3rem .4rem;margin:.1rem 0 .1rem .75rem;white-space:nowrap;
float:right}
.patch{width:.95rem;height:.95rem;display:block}
.trust h3{margin-top:0}
.trust>div+div{margin-top:1.2rem}
.series{list-style:none;padding:0;margin:.3rem 0 1rem}
.series li{display:grid;grid-template-columns:6.4rem minmax(0,1fr);column-gap:.75rem;margin:.12rem 0}
.standing{font-style:italic}
.not-stated,.contradicts{font-style:normal;font-weight:700}
.contradicts{text-decoration:underline double;text-underline-offset:.2em}
.outcome{margin:1.1rem 0;padding:.85rem 1.1rem .9rem;break-inside:avoid}
.outcome h3{margin:0;font-weight:400}
.outcome .word{font-size:1.25rem;font-weight:700;margin:.1rem 0 .4rem}
.outcome p{margin:.35rem 0}
.conforms{border:7px double var(--ink)}
.does-not-conform{border:4px solid var(--ink);padding-left:2.4rem;
background:repeating-linear-gradient(135deg,var(--ink) 0 2px,var(--paper) 2px 8px) 0 0/1.3rem 100% no-repeat;
-webkit-print-color-adjust:exact;print-color-adjust:exact}
.inconclusive{border:3px dashed var(--ink)}
.cannot-be-compared{border-left:4px dotted var(--ink);margin-left:1.3rem;padding-top:.1rem;padding-bottom:.1rem}
.not-judged{padding-left:0;padding-right:0}
.together strong{font-size:1.0625rem}
.ledger tbody th{font-weight:400}
.lines{margin:.5rem 0 .6rem}
.lines td{vertical-align:middle;padding:.1rem 0}
.lines th{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.drawn{display:grid;grid-template-columns:5.6rem minmax(7rem,1fr) 5.6rem;align-items:center;column-gap:.4rem}
.drawn svg{display:block;width:100%;height:auto}
.end{font-size:.8125rem;color:var(--soft)}
.end:first-child{text-align:right}
.lines .said{width:11rem;padding-left:.9rem;font-size:.9375rem;line-height:1.3}
.axis{stroke:var(--ink);stroke-width:1;fill:none;vector-effect:non-scaling-stroke}
.limit{stroke:var(--limit);stroke-width:2.5;fill:none;vector-effect:non-scaling-stroke}
.bar{fill:var(--bar);stroke:var(--ink);stroke-width:.75;-webkit-print-color-adjust:exact;print-color-adjust:exact}
.mark{fill:var(--paper);stroke:var(--ink);stroke-width:2}
.found{margin:.9rem 0}
.found h3{margin:0 0 .2rem}
.found p{margin:.2rem 0}
.where{font-size:.875rem;color:var(--soft)}
summary{cursor:pointer;font-size:.875rem;color:var(--soft)}
summary:focus-visible,.ask:focus-visible{outline:3px solid var(--ink);outline-offset:2px}
.on-paper{display:none}
"""

_NARROW: Final = """
@media screen and (max-width:52rem){
.letter{padding:1.4rem 1rem 2rem}
.letter>header,.part{display:block}
.part>h2{text-align:left;margin:0 0 .45rem;font-size:1.0625rem}
.lines,.lines tbody,.lines tr,.lines td{display:block;width:auto}
.lines tr{margin:.45rem 0 .8rem}
.lines .said{width:auto;padding:0}
.drawn{grid-template-columns:1fr 1fr;row-gap:.1rem}
.drawn svg{grid-column:1/-1;grid-row:1}
.end:first-child{text-align:left}
.end:last-child{text-align:right}
.outcome{padding-left:.8rem;padding-right:.8rem}
.does-not-conform{padding-left:2rem}
.cannot-be-compared{margin-left:.3rem}
.not-judged{padding-left:0;padding-right:0}
.series li{grid-template-columns:5.7rem minmax(0,1fr);column-gap:.5rem}
.zones .n{padding-left:.75rem;padding-right:.1rem}
.facts th{width:9rem}
}
"""

_PRINT: Final = """
@page{size:portrait;margin:11mm 14mm 13mm;@bottom-right{content:"sheet " counter(page) " of " counter(pages);
font:8pt Georgia,serif;color:#1e1d1b;vertical-align:top;padding-top:1mm}}
@media print{
:root{--paper:#ffffff;color-scheme:light}
html{font-size:8.7pt}
body{line-height:1.3}
.sheets{display:table;width:100%;table-layout:fixed}
.sheet-body{display:table-row-group}
.sheet-foot{display:table-footer-group;break-inside:avoid}
.sheet-foot p{margin:0;padding-top:2mm;font-size:8pt}
.letter{max-width:none;padding:0}
.letter>header,.part{grid-template-columns:29mm minmax(0,1fr);column-gap:5mm}
.letter>header{padding-bottom:2mm}
.part{padding:1.5mm 0 1.6mm}
.part>h2,h3,summary,thead,.part>div>p:first-child{break-after:avoid}
h3,tr,li,.found,.zones tbody{break-inside:avoid}
.ask{margin:1.5mm 0}
li{margin:.4mm 0}
p{margin:1mm 0}
table{margin:1mm 0 1.5mm}
th,td{padding-top:.3mm;padding-bottom:.3mm}
.zones tbody tr+tr td{padding-bottom:1.2mm}
h3{margin:2mm 0 .6mm}
.trust{columns:2;column-gap:6mm}
.trust>div{break-inside:avoid;margin:0 0 2mm}
.series{margin:0}
.series li{grid-template-columns:17mm minmax(0,1fr);column-gap:2mm}
.outcome{margin:2mm 0;padding:1.4mm 3mm 1.6mm}
.does-not-conform{padding-left:8mm;background-size:5mm 100%}
.outcome p{margin:.6mm 0}
.lines{margin:.8mm 0}
.lines td{padding:0}
.found{margin:1.6mm 0}
.unlooked{columns:2;column-gap:8mm}
.swatch{display:none}
.on-paper{display:block}
.sheet-foot.on-paper{display:table-footer-group}
.slip{display:inline-block;width:105mm;margin-top:4mm;padding:4mm 6mm 3mm 0;border-top:1px dashed var(--ink);
border-right:1px dashed var(--ink);break-inside:avoid}
.slip h2{font-size:12pt;margin:0 0 1mm}
.slip table{width:auto}
.slip .n{text-align:right;padding-left:4mm}
.cut{margin:-6.2mm 0 2mm 4mm;width:max-content;background:var(--paper);padding:0 2mm;font-size:8pt}
}
"""


def _variables(colours: dict[str, str]) -> str:
    return "".join(f"--{name}:{value};" for name, value in colours.items())


STYLE: Final = (
    f":root{{color-scheme:light dark;{_variables(LIGHT)}{_variables(FIXED)}}}\n"
    f"@media screen and (prefers-color-scheme:dark){{:root{{{_variables(DARK)}}}}}"
    f"{_TEXT}{_NARROW}{_PRINT}"
)
"""The whole style sheet. It holds nothing of any file."""

STYLE_DIGEST: Final = b64encode(sha256(STYLE.encode()).digest()).decode()
"""SHA-256 of the style sheet for the content security policy: no other style can apply."""
