// Sections 9.7 and 9.8: numbers and their plausibility, privacy.

import {textsOf} from "../texts.mjs";
import {coordinates} from "../view.mjs";
import {gridOf} from "../weights.mjs";
import {coloursOf} from "./recomputation.mjs";
import {TIMESTAMPS} from "./times.mjs";

const FREE = new Set(["note", "region", "medium", "texture", "cement", "source", "title", "label", "model", "model_reason", "material", "lot", "tile", "light", "reason"]);
const CONTACT = [
  /[A-Za-z0-9._%+-]+@[A-Za-z0-9-]+\.[A-Za-z]/,
  /\bhttps?:\/\//i,
  /(?<![0-9.:])(?:\+|00)[0-9][0-9 ()/-]{6,17}[0-9](?![0-9.:])/,
  /(?<![\p{L}\p{N}_])(?:born|birth|geb|née?|dob|nacid[oa])(?![\p{L}\p{N}_])[^0-9]{0,12}[0-9]/iu,
];
// Publications have addresses, so a web address in `source` is no contact detail.
const contact = (member, text) => CONTACT.some((shape, at) => !(member === "source" && at === 1) && shape.test(text));
const LIKE_A_DATE = /(?:19|20)[0-9]{2}[-./]?[0-9]{2}[-./]?[0-9]{2}|[0-9]{2}[-./][0-9]{2}[-./][0-9]{4}/;
const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/i;
const SERIAL = /^(?=(?:.*[0-9]){5})[A-Za-z]{0,4}[-_]?[0-9][0-9A-Za-z-]{4,}$/;
const BY_TIME = /^urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-[126][0-9a-f]{3}-/i;

const spectra = ({view}, wrong) => view.list("readings").flatMap(({spectrum}, at) => (spectrum && wrong(spectrum) ? [`/readings/${at}/spectrum`] : []));

function contradicts(spectrum) {
  const {wavelengths_nm: listed, start_nm: start, step_nm: step, values} = spectrum;
  if (listed === undefined) return false;
  return start !== undefined || step !== undefined || listed.length !== values.length || !rises(listed);
}

const rises = (grid) => grid.every((nm, at) => at === 0 || nm > grid[at - 1]);

function usable(spectrum) {
  const grid = contradicts(spectrum) ? null : gridOf(spectrum);
  return grid && {first: grid[0], last: grid.at(-1), step: Math.max(...grid.slice(1).map((nm, at) => nm - grid[at]))};
}

function colours({document, view}) {
  return document.kind === "reference-set" ? document.references.map((each, at) => [each.colour, `/references/${at}/colour`]) : coloursOf(view);
}

function tooManyDecimals(number, decimals) {
  const [digits, exponent] = String(number).split("e");
  return (digits.split(".")[1]?.length ?? 0) - Number(exponent ?? 0) > decimals;
}

function decimalsExceeded(matter) {
  const blocks = colours(matter).flatMap(([colour, pointer]) => ["lab", "xyz"].filter((name) => colour[name])
    .map((name) => [colour[name], `${pointer}/${name}`, colour.decimals]));
  if (matter.document.kind === "case") {
    const {view} = matter;
    view.list("readings").forEach(({spectrum}, at) => spectrum && blocks.push([spectrum.values, `/readings/${at}/spectrum/values`, spectrum.decimals]));
    view.list("means").forEach(({spread}, at) => {
      if (spread) blocks.push([Object.fromEntries(Object.entries(spread).filter(([name]) => /^(mcdm|var_|cov_)/.test(name))), `/means/${at}/spread`, spread.decimals]);
    });
    view.list("comparisons").forEach((each, at) => blocks.push([{difference: each.difference}, `/comparisons/${at}`, each.decimals]));
  }
  return blocks.flatMap(([numbers, pointer, decimals]) => {
    const wrong = Object.entries(numbers).find(([, number]) => tooManyDecimals(number, decimals));
    return wrong ? [`${pointer}/${wrong[0]}`] : [];
  });
}

function statedTwice({view}) {
  return view.list("readings").flatMap(({colours: all = []}, at) => all.flatMap((colour, place) => {
    const basis = (each) => `${each.illuminant} ${each.observer} ${each.origin}`;
    return all.findIndex((each) => basis(each) === basis(colour)) < place ? [`/readings/${at}/colours/${place}`] : [];
  }));
}

function median(values) {
  const sorted = [...values].sort((one, two) => one - two);
  return (sorted[Math.floor((sorted.length - 1) / 2)] + sorted[Math.ceil((sorted.length - 1) / 2)]) / 2;
}

function spectraIdentical({view}) {
  const seen = new Set();
  return view.list("readings").flatMap(({spectrum}, at) => {
    if (!spectrum || spectrum.values.length < 20 || spectrum.decimals < 3) return [];
    const key = String(spectrum.values);
    if (seen.has(key)) return [`/readings/${at}/spectrum`];
    seen.add(key);
    return [];
  });
}

function readingsIdentical({view}) {
  const groups = new Map();
  view.list("readings").forEach((each, at) => {
    const own = (each.colours ?? []).find((colour) => colour.origin === "instrument" && colour.lab && colour.decimals >= 2);
    const key = own && JSON.stringify([each.specimen_id, each.zone, each.session_id, coordinates(own)]);
    if (key) groups.set(key, [...(groups.get(key) ?? []), at]);
  });
  return [...groups.values()].filter((places) => places.length >= 3).map(([first]) => `/readings/${first}`);
}

function equalsReference({view}) {
  const key = (colour) => JSON.stringify([colour.illuminant, colour.observer, coordinates(colour)]);
  const known = new Set(view.list("reference_sets").flatMap((set) => set.references).map((each) => each.colour)
    .filter((colour) => colour.lab && colour.decimals >= 1).map(key));
  return view.list("readings").flatMap((each, at) => (["guide-tab", "material-disc"].includes(view.specimen(each)?.kind) ? [] : each.colours ?? [])
    .flatMap((colour, place) => (colour.lab && ["instrument", "typed"].includes(colour.origin) && known.has(key(colour)) ? [`/readings/${at}/colours/${place}`] : [])));
}

const inBand = ([L, a, b]) => L >= 45 && L <= 95 && a >= -6 && a <= 12 && b >= -2 && b <= 45;
const swapped = ([L, a, b]) => a > 10 && Math.abs(b) < 5 && inBand([L, b, a]);
const flipped = ([L, a, b]) => b < -2 && inBand([L, a, -b]);
const likeGingiva = ([L, a, b]) => a > 11 && L < 66 && !(Math.abs(b) < 5 && inBand([L, b, a]));

const permanent = (wrong, step = "") => ({view}) => view.list("readings").flatMap((each, at) => {
  const specimen = view.specimen(each);
  if (specimen?.kind !== "tooth" || specimen.tooth >= "5") return [];
  return (each.colours ?? []).flatMap((colour, place) =>
    (colour.lab && /^D(50|55|65|75)$/.test(colour.illuminant) && wrong(coordinates(colour)) ? [`/readings/${at}/colours/${place}/lab${step}`] : []));
});

const texts = (wrong) => ({known}) => textsOf(known).filter(wrong).map(({pointer}) => pointer);
const dates = {
  year: (text) => !/^[0-9]{4}-01-01$/.test(text),
  removed: () => true,
};

function looksLikeRecord({document}) {
  const pseudonym = document.subject?.pseudonym;
  const found = pseudonym && !UUID.test(pseudonym) && (/^[0-9]{1,10}$/.test(pseudonym) || LIKE_A_DATE.test(pseudonym));
  return found ? ["/subject/pseudonym"] : [];
}

export const RULES = {
  "spectrum-grid-unknown": (matter) => spectra(matter, (each) => each.wavelengths_nm === undefined && gridOf(each) === null),
  "spectrum-grid-contradicts": (matter) => spectra(matter, contradicts),
  "spectrum-grid-unsuited": (matter) => spectra(matter, (each) => {
    const grid = usable(each);
    return grid && (grid.step > 20 + 1e-9 || grid.first < 360 || grid.last > 830);
  }),
  "spectrum-range-short": (matter) => spectra(matter, (each) => {
    const grid = usable(each);
    return grid && (grid.first > 400 || grid.last < 700);
  }),
  "spectrum-scale-suspect": (matter) => spectra(matter, (each) => median(each.values) > 1.5).map((pointer) => `${pointer}/values`),
  "spectra-identical": spectraIdentical,
  "colour-empty": (matter) => colours(matter).filter(([colour]) => !colour.lab && !colour.xyz).map(([, pointer]) => pointer),
  "colour-basis-unknown": (matter) => colours(matter).filter(([colour]) => [colour.illuminant, colour.observer].includes("unknown")).map(([, pointer]) => pointer),
  "colour-stated-twice": statedTwice,
  "decimals-exceeded": decimalsExceeded,
  "origin-wrong": ({view}) => ["means", "computed_colours"].flatMap((name) => view.list(name)
    .flatMap(({colour}, at) => (colour.origin === "computed" ? [] : [`/${name}/${at}/colour/origin`]))),
  "reading-empty": ({view}) => view.list("readings").flatMap((each, at) => (each.spectrum || each.colours || each.visual ? [] : [`/readings/${at}`])),
  "visual-choice-empty": ({view}) => view.list("readings").flatMap(({visual}, at) =>
    (visual && (visual.chosen_id === undefined) !== (visual.none_close === true) ? [`/readings/${at}/visual`] : [])),
  "readings-identical": readingsIdentical,
  "reading-equals-reference": equalsReference,
  "coordinates-swapped": permanent(swapped),
  "coordinate-sign-flipped": permanent(flipped, "/b"),
  "colour-unusual-for-tooth": permanent((lab) => !inBand(lab) && !swapped(lab) && !flipped(lab) && !likeGingiva(lab) && lab[0] <= 100),
  "colour-like-gingiva": permanent(likeGingiva),
  "colour-above-perfect-white": ({view}) => view.list("readings").flatMap((each, at) => (each.colours ?? [])
    .flatMap((colour, place) => (colour.lab?.L > 100 ? [`/readings/${at}/colours/${place}/lab/L`] : []))),
  "subject-looks-like-record-number": looksLikeRecord,
  "text-holds-contact-detail": texts(({member, text}) => FREE.has(member) && contact(member, text)),
  "text-holds-hidden-characters": texts(({text}) => [...text].some((each) => /[\p{Cc}\p{Cf}]/u.test(each) && !"\n\t\u200c\u200d".includes(each))),
  "instrument-serial-exposed": ({view}) => view.list("instruments").flatMap(({id}, at) => (SERIAL.test(id) && !UUID.test(id) ? [`/instruments/${at}/id`] : [])),
  "privacy-unstated": ({document}) => (document.subject && !document.privacy ? [""] : []),
  "dates-finer-than-stated": ({document, known}) => textsOf(known)
    .filter(({member, text}) => TIMESTAMPS.has(member) && dates[document.privacy?.dates]?.(text)).map(({pointer}) => pointer),
  "id-tells-time": ({document}) => (BY_TIME.test(document.id) ? ["/id"] : []),
};
