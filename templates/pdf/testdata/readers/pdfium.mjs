// A form in PDFium as somebody with a mouse and a keyboard uses it: fields are clicked, signs are typed one by one.
import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const types = { 2: "box", 3: "box", 4: "choice", 6: "text" }; // FPDF_FORMFIELD_…
const byHand = 60; // signs typed one by one; the rest of a long text is pasted
const formAndNotes = 0x01; // FPDF_ANNOT

export async function start(modules) {
  const folder = join(resolve(modules), "@embedpdf/pdfium/dist");
  const { init } = await import(pathToFileURL(join(folder, "index.js")));
  const lib = await init({ wasmBinary: readFileSync(join(folder, "pdfium.wasm")) });
  lib.PDFiumExt_Init();
  return lib;
}

export class Form {
  constructor(lib, data) {
    this.lib = lib;
    this.m = lib.pdfium;
    const at = this.m.wasmExports.malloc(data.length);
    this.m.HEAPU8.set(data, at);
    this.doc = lib.FPDF_LoadMemDocument(at, data.length, "");
    if (!this.doc) throw new Error("PDFium opens no such file");
    this.form = lib.PDFiumExt_InitFormFillEnvironment(this.doc, lib.PDFiumExt_OpenFormFillInfo());
    this.pages = [];
    for (let i = 0; i < lib.FPDF_GetPageCount(this.doc); i++) this.pages.push(this.load(i));
  }

  load(i) {
    const page = this.lib.FPDF_LoadPage(this.doc, i);
    this.lib.FORM_OnAfterLoadPage(page, this.form);
    return page;
  }

  // said reads a text that a function writes, in bytes, into room of ours.
  said(get) {
    const length = get(0, 0);
    const at = this.m.wasmExports.malloc(length + 2);
    get(at, length);
    const text = Buffer.from(this.m.HEAPU8.slice(at, at + length)).toString("utf16le").replace(/\0.*$/s, "");
    this.m.wasmExports.free(at);
    return text;
  }

  // fields are the places for answers: name, page, type, state of a box, and the rectangle in points.
  fields() {
    const { lib, form } = this;
    const out = [];
    this.pages.forEach((page, number) => {
      const rect = this.m.wasmExports.malloc(16);
      for (let i = 0; i < lib.FPDFPage_GetAnnotCount(page); i++) {
        const note = lib.FPDFPage_GetAnnot(page, i);
        const type = types[lib.FPDFAnnot_GetFormFieldType(form, note)];
        if (type) {
          lib.FPDFAnnot_GetRect(note, rect);
          const [left, top, right, bottom] = new Float32Array(this.m.HEAPU8.buffer, rect, 4);
          out.push({
            page, number, type, left, top, right, bottom,
            name: this.said((at, n) => lib.FPDFAnnot_GetFormFieldName(form, note, at, n)),
            state: type === "box" ? this.said((at, n) => lib.FPDFAnnot_GetFormFieldExportValue(form, note, at, n)) : "",
            options: type === "choice" ? Array.from({ length: lib.FPDFAnnot_GetOptionCount(form, note) },
              (_, k) => this.said((at, n) => lib.FPDFAnnot_GetOptionLabel(form, note, k, at, n))) : [],
          });
        }
        lib.FPDFPage_CloseAnnot(note);
      }
    });
    return out;
  }

  click(field) {
    const x = (field.left + field.right) / 2, y = (field.top + field.bottom) / 2;
    this.lib.FORM_OnMouseMove(this.form, field.page, 0, x, y);
    this.lib.FORM_OnLButtonDown(this.form, field.page, 0, x, y);
    this.lib.FORM_OnLButtonUp(this.form, field.page, 0, x, y);
  }

  // enter puts a value into a field; the field keeps the keyboard.
  enter(field, value) {
    const { lib, form } = this;
    this.click(field);
    if (field.type === "choice") lib.FORM_SetIndexSelected(form, field.page, field.options.indexOf(value), true);
    if (field.type !== "text") return;
    const signs = Array.from(value);
    for (const sign of signs.slice(0, byHand)) {
      lib.FORM_OnChar(form, field.page, sign === "\n" ? 13 : sign.codePointAt(0), 0);
    }
    if (signs.length > byHand) this.paste(field, signs.slice(byHand).join(""));
  }

  paste(field, text) {
    const data = Buffer.from(text + "\0", "utf16le");
    const at = this.m.wasmExports.malloc(data.length);
    this.m.HEAPU8.set(data, at);
    this.lib.FORM_ReplaceSelection(this.form, field.page, at);
    this.m.wasmExports.free(at);
  }

  empty(field) {
    this.click(field);
    this.lib.FORM_SelectAllText(this.form, field.page);
    this.paste(field, "");
  }

  leave() {
    this.lib.FORM_ForceToKillFocus(this.form);
  }

  saved() {
    const { lib, m } = this;
    const writer = lib.PDFiumExt_OpenFileWriter();
    lib.PDFiumExt_SaveAsCopy(this.doc, writer);
    const size = lib.PDFiumExt_GetFileWriterSize(writer);
    const at = m.wasmExports.malloc(size);
    lib.PDFiumExt_GetFileWriterData(writer, at, size);
    const data = m.HEAPU8.slice(at, at + size);
    lib.PDFiumExt_CloseFileWriter(writer);
    return data;
  }

  // painted is a page with its fields as they stand, in shades of grey: {width, height, grey}.
  painted(number, scale) {
    const { lib, m, form } = this, page = this.pages[number];
    const width = Math.round(lib.FPDF_GetPageWidthF(page) * scale), height = Math.round(lib.FPDF_GetPageHeightF(page) * scale);
    const bitmap = lib.FPDFBitmap_Create(width, height, 0);
    lib.FPDFBitmap_FillRect(bitmap, 0, 0, width, height, 0xffffffff);
    lib.FPDF_RenderPageBitmap(bitmap, page, 0, 0, width, height, 0, formAndNotes);
    lib.FPDF_FFLDraw(form, bitmap, page, 0, 0, width, height, 0, formAndNotes);
    const at = lib.FPDFBitmap_GetBuffer(bitmap), stride = lib.FPDFBitmap_GetStride(bitmap);
    const grey = new Uint8Array(width * height);
    for (let y = 0; y < height; y++) for (let x = 0; x < width; x++) grey[y * width + x] = m.HEAPU8[at + y * stride + 4 * x + 1];
    lib.FPDFBitmap_Destroy(bitmap);
    return { width, height, grey };
  }
}
