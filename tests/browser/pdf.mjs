// Reads what a PDF printed by Chromium shows: how many pages it has and the text on each, by the fonts' own tables.

import { inflateSync } from "node:zlib";

/** The objects of the file by number, each as its dictionary's text and, where it has one, its stream unpacked. */
const objectsOf = (bytes) => {
  const text = bytes.toString("latin1");
  const objects = new Map();
  for (const { 1: number, index, 0: head } of text.matchAll(/(?:^|[\r\n])(\d+) 0 obj\b/g)) {
    const from = index + head.length;
    const end = text.indexOf("endobj", from);
    const body = text.slice(from, end);
    const stream = /stream\r?\n/.exec(body);
    if (!stream) { objects.set(Number(number), { dictionary: body }); continue; }
    const dictionary = body.slice(0, stream.index);
    const length = Number(/\/Length (\d+)(?! \d+ R)/.exec(dictionary)?.[1]);
    const start = from + stream.index + stream[0].length;
    const packed = bytes.subarray(start, start + length);
    objects.set(Number(number), { dictionary, stream: /\/FlateDecode/.test(dictionary) ? inflateSync(packed).toString("latin1") : packed.toString("latin1") });
  }
  return objects;
};

const utf16 = (hex) => Buffer.from(hex, "hex").swap16().toString("utf16le");

/** What each glyph number of a font means, from its ToUnicode table. */
const meanings = (table) => {
  const found = new Map();
  for (const { 1: lines } of table.matchAll(/beginbfchar([\s\S]*?)endbfchar/g)) {
    for (const { 1: glyph, 2: means } of lines.matchAll(/<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>/g)) found.set(parseInt(glyph, 16), utf16(means));
  }
  for (const { 1: lines } of table.matchAll(/beginbfrange([\s\S]*?)endbfrange/g)) {
    for (const { 1: first, 2: last, 3: means } of lines.matchAll(/<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>/g)) {
      const from = parseInt(first, 16);
      for (let glyph = from; glyph <= parseInt(last, 16); glyph += 1) found.set(glyph, String.fromCodePoint(parseInt(means, 16) + glyph - from));
    }
  }
  return found;
};

/** The bytes of a string between parentheses, as hexadecimal digits. */
const unescaped = (text) => Buffer.from(text.replace(/\\([0-7]{1,3}|[\s\S])/g, (_, what) => {
  if (/^[0-7]/.test(what)) return String.fromCharCode(parseInt(what, 8));
  return { n: "\n", r: "\r", t: "\t", b: "\b", f: "\f" }[what] ?? what;
}), "latin1").toString("hex");

/** The text that a content stream shows, without spaces: those are made by moving, not by letters. */
const shown = (stream, fonts) => {
  let font;
  let text = "";
  for (const { 1: name, 2: hex, 3: plain } of stream.matchAll(/\/(\S+) [\d.]+ Tf|<([0-9A-Fa-f]+)>|\(((?:\\[\s\S]|[^\\()])*)\)/g)) {
    if (name) { font = fonts.get(name); continue; }
    const digits = hex ?? unescaped(plain);
    for (let at = 0; at < digits.length; at += 4) text += font?.get(parseInt(digits.slice(at, at + 4), 16)) ?? "";
  }
  return text.replace(/\s/gu, "");
};

/** The pages of a PDF, each as the text on it without any spaces. */
export const pagesOf = (bytes) => {
  const objects = objectsOf(bytes);
  const at = (reference) => objects.get(Number(/(\d+) 0 R/.exec(reference)?.[1]));
  const pages = [...objects.values()].filter(({ dictionary }) => /\/Type\s*\/Page\b/.test(dictionary));
  return pages.map(({ dictionary }) => {
    const list = /\/Font\s*<<([^>]*)>>/.exec(dictionary)?.[1] ?? "";
    const fonts = new Map([...list.matchAll(/\/(\S+) (\d+ 0 R)/g)].map(({ 1: name, 2: reference }) => {
      const table = at(/\/ToUnicode (\d+ 0 R)/.exec(at(reference)?.dictionary ?? "")?.[1] ?? "");
      return [name, table?.stream ? meanings(table.stream) : undefined];
    }));
    const contents = [.../\/Contents\s*(\[[^\]]*\]|\d+ 0 R)/.exec(dictionary)[1].matchAll(/\d+ 0 R/g)];
    return contents.map(([reference]) => shown(at(reference).stream, fonts)).join("");
  });
};
