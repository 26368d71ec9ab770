"""Plain words of headers and cells in seven languages, and the terms of CIE, ISO and CGATS, by what they mean.

Words are written without accents, in small letters, as `plain` makes them. They are dictionary words and terms of
open standards; no program's own wording is among them.
"""

import re
import unicodedata
from collections.abc import Mapping
from typing import Final

from shadefmt.vocabulary import TableMember

_WORD: Final = re.compile(r"[0-9]+|[^\W\d_]+")


def plain(text: str) -> tuple[str, ...]:
    """Return the words and numbers of a text, small, without accents."""
    bare = unicodedata.normalize("NFKD", text).casefold()
    return tuple(_WORD.findall("".join(each for each in bare if not unicodedata.combining(each))))


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


def _phrases(text: str) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(phrase.split()) for phrase in text.split(", "))


HEADERS: Final[Mapping[TableMember, tuple[tuple[str, ...], ...]]] = {
    "specimen.tooth": _phrases(
        "tooth, teeth, tooth number, tooth no, zahn, zahne, zahnnummer, zahn nr, dent, dents, numero de dent, diente, "
        "pieza, numero de diente, dente, denti, numero dente, numero do dente, tand, gebitselement, tandnummer, fdi"
    ),
    "reading.zone": _phrases(
        "zone, area, third, tooth third, bereich, messstelle, stelle, drittel, zona, tercio, regione, terzo, regiao, "
        "terco, tiers, region, gebied, derde, plaats, tooth zone, position"
    ),
    "reading.order": _phrases(
        "order, sequence, nr, no, number, folge, reihenfolge, nummer, ordre, numero, orden, ordine, ordem, volgorde"
    ),
    "reading.at": _phrases(
        "date, time, timestamp, taken, date time, datum, zeit, uhrzeit, zeitpunkt, datum zeit, heure, date heure, "
        "fecha, hora, fecha hora, data, ora, data ora, data hora, tijd, tijdstip, gemessen am, measured at"
    ),
    "reading.note": _phrases(
        "note, notes, remark, remarks, comment, comments, bemerkung, bemerkungen, kommentar, anmerkung, notiz, "
        "remarque, remarques, commentaire, observacion, observaciones, comentario, nota, osservazione, osservazioni, "
        "commento, observacao, observacoes, opmerking, opmerkingen"
    ),
    "subject.pseudonym": _phrases("pseudonym, pseudonyme, seudonimo, pseudonimo, pseudoniem"),
    "session.started": _phrases(
        "session, session started, sitzung, sitzung begonnen, seance, sesion, seduta, sessao, sessie"
    ),
    "specimen.kind": _phrases(
        "kind, object, objekt, gegenstand, objet, objeto, oggetto, specimen, probe, voorwerp, what, art"
    ),
    "reading.hydration": _phrases(
        "hydration, moisture, feuchte, feuchtigkeit, hydratation, humidite, hidratacion, humedad, idratazione, "
        "umidita, hidratacao, umidade, hydratatie, vocht"
    ),
    "reading.backing": _phrases("backing, background, hintergrund, unterlage, fond, fondo, fundo, achtergrond"),
    "reading.column": _phrases("column, spalte"),
    "reading.colour.illuminant": _phrases(
        "illuminant, lichtart, normlichtart, iluminante, illuminante, lichtsoort, illumination name"
    ),
    "reading.colour.observer": _phrases(
        "observer, observer angle, beobachter, normalbeobachter, observateur, observador, osservatore, waarnemer"
    ),
}
"""Headers by the member that they announce."""

PERSONS: Final = _words(
    "patient patientin paciente paziente patienten name nom nombre nome naam surname vorname nachname geburtsdatum "
    "birth born naissance nacimiento nascita nascimento geboortedatum"
)
"""Words of headers over cells that may name a person."""

CASES: Final = _words(
    "case fall auftrag auftragsnummer cas commande caso pedido ordine commessa encomenda geval opdracht job"
)
"""Words of headers over cells that may tell cases apart."""

NAMES: Final = _words(
    "wavelength wellenlange onde onda golflengte lambda quantity grosse parameter grandeur magnitud grandezza "
    "grandeza grootheid coordinate koordinate"
)
"""Words of headers over what a long row holds."""

VALUES: Final = _words("value wert messwert valeur valor valore waarde reflectance remission factor")
"""Words of headers over the number of a long row."""

DERIVED: Final = frozenset({"c", "h", "chroma", "hue", "buntheit", "bunttonwinkel", "de", "delta", "e"})
"""Words of headers over what follows from coordinates."""

REFLECTANCE: Final = _words(
    "r reflectance reflectancia reflectance reflexion reflexionsgrad reflektanz remission remissionsgrad riflettanza "
    "reflectantie refl"
)
TRANSMITTANCE: Final = _words("t transmittance transmission transmissionsgrad transmitancia trasmittanza transmissie")
SPECTRAL: Final = frozenset({"nm", "spectral", "spec", "lambda", "wl", "wavelength", "dec", "pct", "spectrum"})
PERCENT: Final = frozenset({"pct", "percent", "prozent"})
AROUND: Final = _words(
    "cie lab cielab xyz value wert mean mittel mittelwert moyenne media gemiddelde lightness helligkeit clarte "
    "luminosite luminosidad claridad luminosita luminosidade lichtheid"
)
"""Words that stand beside a coordinate and change nothing."""

ENDS: Final = _words(
    "mean average sum total end mittel mittelwert summe gesamt ende moyenne somme fin media promedio suma totale "
    "somma fine soma fim gemiddelde som totaal einde"
)
"""Words that begin a line below the rows."""

CELLS: Final[Mapping[str, Mapping[str, tuple[tuple[str, ...], ...]]]] = {
    "reading.zone": {
        "cervical": _phrases(
            "cervical, zervikal, neck, hals, zahnhals, tiers cervical, cervicale, colletto, tercio cervical, "
            "terzo cervicale, terco cervical, cervicaal, zervikales drittel, cervical third"
        ),
        "middle": _phrases(
            "middle, mid, body, mitte, mittig, tiers median, tiers moyen, median, medio, tercio medio, terzo medio, "
            "terco medio, midden, mittleres drittel, middle third"
        ),
        "incisal": _phrases(
            "incisal, inzisal, schneide, tiers incisif, tiers incisal, incisif, incisivo, tercio incisal, incisale, "
            "terzo incisale, terco incisal, incisaal, inzisales drittel, incisal third"
        ),
        "occlusal": _phrases("occlusal, okklusal, oclusal, occlusale, occlusaal"),
        "whole": _phrases("whole, ganz, gesamt, entier, entero, intero, inteiro, geheel, whole tooth"),
    },
    "reading.column": {
        "mesial": _phrases("mesial, mesiale, mesiaal"),
        "central": _phrases("central, zentral, centrale, centraal"),
        "distal": _phrases("distal, distale, distaal"),
    },
    "specimen.kind": {
        "tooth": _phrases("tooth, zahn, dent, diente, dente, tand"),
        "stump": _phrases("stump, stumpf, moignon, munon, moncone, coto, stomp"),
        "restoration": _phrases("restoration, restauration, restauracion, restauro, restauracao, restauratie"),
        "gingiva": _phrases("gingiva, gencive, encia, gengiva, zahnfleisch"),
    },
    "reading.hydration": {
        "moist": _phrases("moist, wet, feucht, humide, humedo, umido, vochtig"),
        "dry": _phrases("dry, trocken, sec, seco, secco, droog"),
    },
    "reading.backing": {
        "black": _phrases("black, schwarz, noir, negro, nero, preto, zwart"),
        "white": _phrases("white, weiss, blanc, blanco, bianco, branco, wit"),
        "grey": _phrases("grey, gray, grau, gris, grigio, cinza, grijs"),
    },
    "reading.colour.illuminant": {word: ((word[0].lower(), word[1:]),) for word in ("D50", "D55", "D65", "D75")},
    "reading.colour.observer": {
        "2-degree": _phrases("2, 2 degree, 2 degrees, 2 deg, 2 grad, 1931"),
        "10-degree": _phrases("10, 10 degree, 10 degrees, 10 deg, 10 grad, 1964"),
    },
}
"""Words of cells by member and value."""

BLANKS: Final = frozenset(
    {
        "-",
        "--",
        "---",
        "–",
        "—",
        "/",
        "n/a",
        "N/A",
        "#N/A",
        "na",
        "NA",
        "n.a.",
        "k.A.",
        "nan",
        "NaN",
        "null",
        "none",
        "?",
    }
)
"""Texts among numbers that may mean that there is none."""


def meaning(member: str, text: str) -> str | None:
    """Return the value that a cell's words mean for a member; None where the dictionary does not say."""
    words = plain(text)
    return next((value for value, phrases in CELLS.get(member, {}).items() if words in phrases), None)
