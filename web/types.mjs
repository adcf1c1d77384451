// The contract's TypeScript types, from the JSON Schemas that the Rust types give.
// `npm run types` renews src/contract/types.gen.ts; with --check it only compares.
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { compile } from 'json-schema-to-typescript';

const folder = new URL('../schemas/', import.meta.url);
const target = new URL('src/contract/types.gen.ts', import.meta.url);

/** A property of which the schema says no type holds any JSON. */
function anyJson(schema) {
  for (const property of Object.values(schema.properties ?? {})) {
    const says = Object.keys(property).some((k) => ['type', '$ref', 'anyOf', 'allOf', 'oneOf', 'enum'].includes(k));
    if (!says) property.tsType = 'unknown';
  }
}

/** Every definition of every schema, each once; the same name must mean the same. */
const definitions = {};
const roots = {};
for (const name of readdirSync(folder).filter((n) => n.endsWith('.schema.json')).sort()) {
  const { definitions: own = {}, $schema: _dialect, ...root } = JSON.parse(readFileSync(new URL(name, folder), 'utf8'));
  for (const [key, value] of [...Object.entries(own), [root.title, root]]) {
    // An object with a schema of its own has its title there, and none inside of another.
    const { title: _title, ...meaning } = value;
    const before = JSON.stringify(definitions[key] ?? meaning);
    if (before !== JSON.stringify(meaning)) throw new Error(`${name}: ${key} means something else elsewhere`);
    definitions[key] = meaning;
  }
  roots[root.title] = { $ref: `#/definitions/${root.title}` };
}

Object.values(definitions).forEach(anyJson);

const text = await compile(
  { title: 'Contract', type: 'object', properties: roots, required: Object.keys(roots), additionalProperties: false, definitions },
  'Contract',
  {
    additionalProperties: false,
    bannerComment: '// Made by `npm run types` from ../schemas; never edited by hand.',
    style: { singleQuote: true, printWidth: 110 },
  },
);

if (process.argv.includes('--check')) {
  let standing = '';
  try { standing = readFileSync(target, 'utf8'); } catch { /* missing counts as different */ }
  if (standing !== text) {
    console.error('src/contract/types.gen.ts is out of step with schemas/: run `npm run types` in web/');
    process.exit(1);
  }
} else {
  writeFileSync(target, text);
}
