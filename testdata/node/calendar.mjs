// Reads calendars and prints their entries as JSON.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { join } from "node:path";
import { createRequire } from "node:module";

const [modules, ...files] = process.argv.slice(2);
const require = createRequire(pathToFileURL(join(modules, "x.js")));
const found = require.resolve("ical.js");
const ICAL = (await import(pathToFileURL(found))).default;

const all = files.map((file) => {
  const root = new ICAL.Component(ICAL.parse(readFileSync(file, "utf8")));
  return {
    version: root.getFirstPropertyValue("version"),
    entries: root.getAllSubcomponents("vevent").map((part) => {
      const event = new ICAL.Event(part);
      const alarm = part.getFirstSubcomponent("valarm");
      return {
        uid: event.uid,
        summary: event.summary,
        note: event.description,
        start: event.startDate.toString(),
        zone: event.startDate.isDate ? "" : event.startDate.zone.tzid,
        stamp: part.getFirstPropertyValue("dtstamp").toString(),
        class: part.getFirstPropertyValue("class"),
        transparent: part.getFirstPropertyValue("transp"),
        trigger: alarm && alarm.getFirstPropertyValue("trigger").toString(),
      };
    }),
  };
});
console.log(JSON.stringify(all));
