// Sections 9.1 and 9.2: references, identity, revisions.

import {asItWas, canonical, digest} from "../encode.mjs";
import {isLater} from "../times.mjs";
import {ENTRY_LISTS} from "../view.mjs";

const JUDGED = ["readings", "computed_colours", "means", "targets", "references", "comparisons", "tolerances", "reference_sets"];

function idReused({document, view}) {
  if (view === null) {
    const name = document.kind === "reference-set" ? "references" : "waivers";
    const ids = document[name].map((each) => each.id);
    return ids.flatMap((id, at) => (ids.indexOf(id) < at ? [`/${name}/${at}/id`] : []));
  }
  const taken = new Set(view.entries.keys());
  const revisions = view.list("revisions").flatMap((each, at) => {
    if (taken.has(each.id)) return [`/revisions/${at}/id`];
    taken.add(each.id);
    return [];
  });
  return [...view.repeated.map((each) => `${each.pointer}/id`), ...revisions];
}

const dangling = ({view}) => view.references()
  .filter(({named}) => !view.entries.has(named) && !view.revisionIds.has(named))
  .map(({pointer}) => pointer);

function ofOtherKind({view}) {
  return view.references().filter(({named, allowed}) => {
    const located = view.entries.get(named);
    if (allowed[0] === "revisions") return located !== undefined && !view.revisionIds.has(named);
    return located === undefined ? view.revisionIds.has(named) : !allowed.includes(located.list);
  }).map(({pointer}) => pointer);
}

function toLaterRevision({view}) {
  if (view.list("revisions").length < 2) return [];
  const revisionOf = (entry) => entry.revision_id ?? view.firstRevision;
  return view.references().filter(({entry, named, allowed}) => {
    const located = view.entries.get(named);
    if (!located || !entry || allowed[0] === "revisions" || !view.entries.has(entry.id)) return false;
    const [own, other] = [revisionOf(entry), revisionOf(located.entry)];
    return view.ancestors.has(own) && view.ancestors.has(other) && !view.ancestors.get(own).has(other);
  }).map(({pointer}) => pointer);
}

function withdrawnInUse({view}) {
  return view.references().filter(({entry, list, member, named, allowed}) =>
    ["targets", "matches", "comparisons", "verdicts"].includes(list) && view.counts(entry) && view.withdrawn.has(named)
    && member !== "supersedes_id" && allowed.every((each) => JUDGED.includes(each)),
  ).map(({pointer}) => pointer);
}

function neverRead({view}) {
  const read = new Set(view.list("readings").map((each) => each.specimen_id));
  const wholes = new Set(view.list("specimens").map((each) => each.part_of_id));
  return view.list("specimens").flatMap((each, at) =>
    each.kind === "restoration" || read.has(each.id) || wholes.has(each.id) ? [] : [`/specimens/${at}`]);
}

function parents(view) {
  return view.list("revisions").flatMap((revision, at) =>
    (revision.parents ?? []).map((parent, place) => ({revision, at, parent, pointer: `/revisions/${at}/parents/${place}`})));
}

const digestDiffers = ({document, view}) => parents(view)
  .filter(({revision, parent}) => view.revisionIds.has(parent.revision_id) && parent.revision_id !== revision.id)
  .filter(({parent}) => digest(asItWas(document, parent.revision_id)) !== parent.sha256)
  .map(({pointer}) => `${pointer}/sha256`);

const parentLater = ({view}) => parents(view)
  .filter(({at, parent}) => view.list("revisions").findIndex((each) => each.id === parent.revision_id) >= at)
  .map(({pointer}) => `${pointer}/revision_id`);

const withoutParent = ({view}) => view.list("revisions").flatMap((each, at) => (at > 0 && !each.parents ? [`/revisions/${at}`] : []));

function outOfOrder({view}) {
  const dated = new Map(view.list("revisions").map((each) => [each.id, each.at]));
  return parents(view).filter(({revision, parent}) => dated.has(parent.revision_id) && isLater(dated.get(parent.revision_id), revision.at))
    .map(({at}) => `/revisions/${at}/at`);
}

function withdrawalsMany({view}) {
  const groups = grouped(view.list("readings").map((each, at) => ({...each, at})));
  return [...groups.values()].flatMap((readings) => {
    const gone = readings.filter((each) => view.withdrawn.has(each.id));
    return gone.length >= 2 && gone.length * 3 > readings.length ? [`/readings/${gone[0].at}`] : [];
  });
}

const placeOf = (each) => JSON.stringify([each.specimen_id, each.zone, each.session_id]);

function grouped(readings) {
  const groups = new Map();
  for (const each of readings) groups.set(placeOf(each), [...(groups.get(placeOf(each)) ?? []), each]);
  return groups;
}

function entriesOf(document) {
  const found = new Map();
  for (const name of [...ENTRY_LISTS, "revisions"]) {
    for (const [at, entry] of (document?.[name] ?? []).entries()) {
      if (!found.has(entry.id)) found.set(entry.id, {name, entry, pointer: `/${name}/${at}`});
    }
  }
  return found;
}

function previousChanged({document, options}) {
  const now = entriesOf(document);
  return [...entriesOf(options.previous)].flatMap(([id, {name, entry}]) => {
    const found = now.get(id);
    return found && (found.name !== name || canonical(found.entry) !== canonical(entry)) ? [found.pointer] : [];
  });
}

function previousVanished({document, options}) {
  const now = entriesOf(document);
  return [...entriesOf(options.previous)].flatMap(([id, {name}]) => (now.has(id) ? [] : [name in document ? `/${name}` : ""]));
}

function previousRoot({document, options}) {
  const names = Object.keys({...options.previous, ...document}).filter((name) => name !== "revisions" && !ENTRY_LISTS.includes(name));
  return names.flatMap((name) => {
    if (name === "version" && options.previous.version === "1.0") return []; // 1.0 is the lowest: it can only have risen
    const equal = name in document && name in options.previous && canonical(document[name]) === canonical(options.previous[name]);
    return equal ? [] : [name in document ? `/${name}` : ""];
  });
}

export const RULES = {
  "id-reused": idReused,
  "reference-dangling": dangling,
  "reference-of-other-kind": ofOtherKind,
  "reference-to-later-revision": toLaterRevision,
  "reference-to-itself": ({view}) => view.references().filter(({entry, named}) => entry?.id === named).map(({pointer}) => pointer),
  "withdrawn-in-use": withdrawnInUse,
  "specimen-never-read": neverRead,
  "revision-digest-differs": digestDiffers,
  "revision-parent-later": parentLater,
  "revision-without-parent": withoutParent,
  "revisions-out-of-order": outOfOrder,
  "withdrawals-many": withdrawalsMany,
  "previous-entry-changed": previousChanged,
  "previous-entry-vanished": previousVanished,
  "previous-root-changed": previousRoot,
};
