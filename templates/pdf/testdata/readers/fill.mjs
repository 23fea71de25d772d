// Fills a form as a reader of PDF files does: node fill.mjs NODE_MODULES mupdf|pdfjs|pdfium IN OUT VALUES.json
// VALUES maps names of fields to a text, a state of a box, or true.
import { readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [modules, engine, from, to, values] = process.argv.slice(2);
const wanted = JSON.parse(readFileSync(values, "utf8"));
const data = readFileSync(from);
const load = (path) => import(pathToFileURL(join(resolve(modules), path)));

async function mupdf() {
  const mupdf = await load("mupdf/dist/mupdf.js");
  const doc = mupdf.PDFDocument.openDocument(data, "application/pdf");
  for (let i = 0; i < doc.countPages(); i++) {
    for (const widget of doc.loadPage(i).getWidgets()) {
      const value = wanted[widget.getName()];
      if (value === undefined) continue;
      switch (widget.getFieldType()) {
        case "text": widget.setTextValue(value); break;
        case "combobox": widget.setChoiceValue(value); break;
        case "checkbox": widget.toggle(); break;
        case "radiobutton": {
          let state;
          widget.getObject().get("AP").get("N").forEach((_, key) => { if (key !== "Off") state = key; });
          if (state === value) widget.toggle();
          break;
        }
      }
      widget.update();
    }
  }
  return doc.saveToBuffer("").asUint8Array();
}

async function pdfjs() {
  const { getDocument } = await load("pdfjs-dist/legacy/build/pdf.mjs");
  const doc = await getDocument({ data: new Uint8Array(data), verbosity: 0 }).promise;
  for (let i = 1; i <= doc.numPages; i++) {
    const page = await doc.getPage(i);
    for (const a of await page.getAnnotations()) {
      const value = wanted[a.fieldName];
      if (value === undefined) continue;
      if (a.radioButton) doc.annotationStorage.setValue(a.id, { value: a.buttonValue === value });
      else if (a.checkBox) doc.annotationStorage.setValue(a.id, { value: true });
      else doc.annotationStorage.setValue(a.id, { value });
    }
  }
  return doc.saveDocument();
}

async function pdfium() {
  const { start, Form } = await import("./pdfium.mjs");
  const form = new Form(await start(modules), data);
  for (const field of form.fields()) {
    const value = wanted[field.name];
    if (value === undefined || (typeof value === "string" && field.type === "box" && field.state !== value)) continue;
    form.enter(field, value);
    form.leave();
  }
  return form.saved();
}

writeFileSync(to, await { mupdf, pdfjs, pdfium }[engine]());
