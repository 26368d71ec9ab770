// Section 9.9: what a receiver has to ask for, pinned documents, attachments.

import {sha256} from "../encode.mjs";

const TRANSLUCENT = ["glass-ceramic", "feldspathic-ceramic", "hybrid-ceramic", "composite"];
const SEGMENT = /^[A-Za-z0-9_-](?:[A-Za-z0-9._-]*[A-Za-z0-9_-])?$/;

const orders = ({view}, wrong, step = "") => view.list("prescriptions").flatMap((each, at) => (wrong(each) ? [`/prescriptions/${at}${step}`] : []));
const translucent = (each) => TRANSLUCENT.includes(each.material_class);

function targetMissing(matter) {
  const {view} = matter;
  const aimed = view.list("targets").filter((each) => view.counts(each)).map((each) => each.specimen_id);
  const reached = new Set([...aimed, ...aimed.map((id) => view.find(id, "specimens")?.part_of_id)]);
  return orders(matter, (each) => !reached.has(each.specimen_id));
}

function stumpMissing(matter) {
  const {view} = matter;
  const read = new Set(view.list("readings").filter((each) => view.counts(each)).map((each) => each.specimen_id));
  return orders(matter, (each) => translucent(each) && !(each.thickness_mm >= 2) && !read.has(each.stump_specimen_id));
}

function abutmentUnstated(matter) {
  const find = (id) => matter.view.find(id, "specimens");
  return orders(matter, (each) => find(each.specimen_id)?.support === "implant"
    && [undefined, "unknown"].includes(find(each.stump_specimen_id)?.substrate));
}

function stumpOfOther(matter) {
  const find = (id) => matter.view.find(id, "specimens")?.tooth;
  return orders(matter, (each) => {
    const [work, stump] = [find(each.specimen_id), find(each.stump_specimen_id)];
    return work && stump && work !== stump && !["bridge", "denture"].includes(each.restoration);
  }, "/stump_specimen_id");
}

function stateUnstated({view}) {
  return view.list("readings").flatMap((each, at) =>
    (view.specimen(each)?.kind === "restoration" && [undefined, "unknown"].includes(each.state) ? [`/readings/${at}`] : []));
}

function zonesPartial({view}) {
  const judged = new Set(view.judgements.map(({standard}) => standard?.entry.id));
  const targets = view.list("targets").filter((each) => view.counts(each));
  const replaced = new Set(targets.map((each) => each.supersedes_id));
  const begun = new Set(targets.filter((each) => judged.has(each.id)).map((each) => each.specimen_id));
  return targets.filter((each) => begun.has(each.specimen_id) && !judged.has(each.id) && !replaced.has(each.id))
    .map((each) => view.entries.get(each.id).pointer);
}

function digestDiffers({view, options}) {
  return ["reference_sets", "tolerances"].flatMap((name) => view.list(name).flatMap(({document: pin}, at) => {
    const found = pin && options.documents?.[pin.id];
    return found !== undefined && found !== pin.sha256 ? [`/${name}/${at}/document/sha256`] : [];
  }));
}

function pathUnsafe({view}) {
  const paths = view.list("attachments").map((each) => each.path);
  return paths.flatMap((path, at) => {
    const first = paths.find((each) => each.toLowerCase() === path.toLowerCase());
    return first !== path || !path.split("/").every((segment) => SEGMENT.test(segment)) ? [`/attachments/${at}/path`] : [];
  });
}

function attachmentDiffers({view, options}) {
  return view.list("attachments").flatMap((each, at) => {
    const text = options.attachments?.[each.path];
    if (text === undefined) return [];
    const data = Buffer.from(text, "utf8");
    if (sha256(data) !== each.sha256) return [`/attachments/${at}/sha256`];
    return data.length === each.size_bytes ? [] : [`/attachments/${at}/size_bytes`];
  });
}

export const RULES = {
  "prescription-target-missing": targetMissing,
  "stump-colour-missing": stumpMissing,
  "cement-unstated-for-thin-work": (matter) => orders(matter, (each) => translucent(each) && each.thickness_mm <= 1 && each.cement === undefined),
  "thickness-unstated-for-translucent": (matter) => orders(matter, (each) => translucent(each) && each.thickness_mm === undefined),
  "abutment-unstated": abutmentUnstated,
  "stump-of-other-tooth": stumpOfOther,
  "finish-state-unstated": stateUnstated,
  "verdict-zones-partial": zonesPartial,
  "document-digest-differs": digestDiffers,
  "document-unpinned": ({view}) => view.list("reference_sets").flatMap((each, at) => (each.document ? [] : [`/reference_sets/${at}`])),
  "attachment-path-unsafe": pathUnsafe,
  "attachment-differs": attachmentDiffers,
};
