// Runs the recoil chain as a page would: compares the hash of all its digits with the one
// on record, and times many runs if asked.
//
//     node browser.mjs MODULE RECORD [RUNS]

import { readFileSync } from "node:fs";

const [module, record, runs] = process.argv.slice(2);
const { instance } = await WebAssembly.instantiate(readFileSync(module), {});
const { digest, at_one_per_cent } = instance.exports;

const got = BigInt.asUintN(64, digest()).toString(16).padStart(16, "0");
const wanted = readFileSync(record, "utf8").trim();
console.log(`digits of the let-go in the browser build: ${got}, on record ${wanted}`);
if (got !== wanted) {
  console.error("they differ: a let-go in the browser would not be the one on the command line");
  process.exit(1);
}
if (runs !== undefined) {
  at_one_per_cent(256);
  const began = performance.now();
  at_one_per_cent(Number(runs));
  const seconds = (performance.now() - began) / 1e3;
  console.log(`${runs} runs within 1 %: ${seconds.toFixed(2)} s on one thread`);
}
