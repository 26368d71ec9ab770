// Makes types of every JSON Schema with two generators, compiles a program with them, and reads every example with it.

import {spawnSync} from "node:child_process";
import {copyFileSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync} from "node:fs";
import {fileURLToPath} from "node:url";
import {compile} from "json-schema-to-typescript";
import {InputData, JSONSchemaInput, quicktype} from "quicktype-core";

const HERE = new URL("./", import.meta.url);
const SCHEMAS = new URL("../../../schema/1.0/", HERE);
const BUILD = new URL("build/", HERE);

const GENERATORS = {
  "json-schema-to-typescript": (schema) => compile(structuredClone(schema), schema.title, {additionalProperties: false}),
  quicktype: async (schema) => {
    const input = new JSONSchemaInput();
    await input.addSource({name: schema.title, schema: JSON.stringify(schema)});
    const inputData = new InputData();
    inputData.addInput(input);
    const made = await quicktype({inputData, lang: "typescript", rendererOptions: {"just-types": true}});
    return made.lines.join("\n");
  },
};

// Types that a generator may make beyond the definitions of a schema: those of its members with a single word.
const OF_SINGLE_WORDS = ["Format", "Kind", "Version"];

// What a generated module has that nobody could read: classes twice, invented ones, unions without a name.
function blemishes(text, schema) {
  const made = [...text.matchAll(/^export (?:interface|type|enum|class) (\w+)/gm)].map((found) => found[1]);
  const known = new Set([schema.title, ...Object.keys(schema.$defs ?? {}), ...OF_SINGLE_WORDS]);
  const members = text.replaceAll(/\{ \[key: string\]: (?:\{ \[key: string\]: unknown \}|unknown) \}/g, "Open"); // foreign data
  const objects = Object.entries(schema.$defs ?? {}).filter(([, each]) => each.properties || each.enum);
  return [
    ...made.filter((name, place) => made.indexOf(name) !== place).map((name) => `${name} twice`),
    ...made.filter((name) => !known.has(name)).map((name) => `${name} is no definition`),
    ...[schema.title, ...objects.map(([name]) => name)].filter((name) => !made.includes(name)).map((name) => `no ${name}`),
    ...[...members.matchAll(/^ +\w+\??: (.*\|.*|\{.*\}|unknown|any);/gm)].map((found) => `without a name: ${found[0].trim()}`),
  ];
}

function schemas() {
  const names = readdirSync(SCHEMAS).filter((name) => name.endsWith(".schema.json"));
  return names.map((name) => [name.replace(".schema.json", ""), JSON.parse(readFileSync(new URL(name, SCHEMAS), "utf8"))]);
}

function* examples() {
  for (const path of readdirSync(new URL("examples/", SCHEMAS), {recursive: true}).sort()) {
    if (!/\.shade\.(nd)?json$/.test(path)) continue;
    const text = readFileSync(new URL(`examples/${path}`, SCHEMAS), "utf8");
    yield* path.endsWith(".ndjson") ? text.trimEnd().split("\n") : [text];
  }
}

rmSync(BUILD, {recursive: true, force: true});
const faults = [];
for (const [generator, generate] of Object.entries(GENERATORS)) {
  const folder = new URL(`${generator}/`, BUILD);
  mkdirSync(folder, {recursive: true});
  for (const [kind, schema] of schemas()) {
    const text = await generate(schema);
    writeFileSync(new URL(`${kind}.ts`, folder), text);
    faults.push(...blemishes(text, schema).map((each) => `${generator}, ${kind}: ${each}`));
  }
  copyFileSync(new URL("read.ts", HERE), new URL("read.ts", folder));
}
faults.forEach((each) => console.log(each));

const compiler = fileURLToPath(new URL("node_modules/typescript/bin/tsc", HERE));
const compiled = spawnSync(process.execPath, [compiler, "--project", fileURLToPath(HERE)], {stdio: "inherit"});
if (compiled.status !== 0) process.exit(1);

const [one, other] = await Promise.all(
  Object.keys(GENERATORS).map(async (generator) => {
    const {summary} = await import(new URL(`${generator}/read.js`, BUILD));
    return [...examples()].map(summary);
  }),
);
const same = one.length > 0 && one.every((each, place) => each === other[place] && !each.includes("undefined"));
console.log(`${one.length} examples read as the types of ${Object.keys(GENERATORS).join(" and ")}, ${faults.length} faults`);
process.exitCode = same && faults.length === 0 ? 0 : 1;
