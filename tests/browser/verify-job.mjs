// A second reader of job files that shares no code with the first: JSON.parse, its own canonical form, node:crypto.
//
//   node verify-job.mjs FILE
//
// Prints one JSON object {"job", "entries", "heads", "root", "photos", "faults"} and ends with 0 where there are no
// faults, else with 1. It takes the file at its word for everything but hashes, chains and the order of keys.
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { canonical } from './canonical.mjs';

const sha256 = (data) => createHash('sha256').update(data).digest('hex');

const file = JSON.parse(readFileSync(process.argv[2], 'utf8'));
const faults = [];
if (file.format !== 'dotside-job' || file.breaking !== 1) faults.push('format');

const byHash = new Map();
for (const entry of file.entries) {
  const hash = sha256(canonical(entry));
  if (byHash.has(hash)) faults.push(`doubled ${hash}`);
  byHash.set(hash, entry);
}
const followed = new Set();
for (const [hash, entry] of byHash) {
  if (entry.job !== file.job) faults.push(`job of ${hash}`);
  for (const seen of entry.seen) if (!byHash.has(seen)) faults.push(`seen of ${hash}`);
  if (entry.prev === null) {
    if (entry.n !== 1) faults.push(`start of ${hash}`);
    continue;
  }
  const before = byHash.get(entry.prev);
  if (!before || before.device !== entry.device || before.n !== entry.n - 1) faults.push(`prev of ${hash}`);
  followed.add(entry.prev);
}
const tips = new Map();
for (const [hash, entry] of byHash) {
  if (followed.has(hash)) continue;
  tips.set(entry.device, [...(tips.get(entry.device) ?? []), hash].sort());
}
const heads = Object.fromEntries([...tips].map(([device, list]) => [device, list.length === 1 ? list[0] : list]));
const root = sha256(canonical(heads));

for (const { hash, base64 } of file.blobs) {
  if (sha256(Buffer.from(base64, 'base64')) !== hash) faults.push(`photo ${hash}`);
}
console.log(JSON.stringify({ job: file.job, entries: byHash.size, heads, root, photos: file.blobs.length, faults }));
process.exit(faults.length === 0 ? 0 : 1);
