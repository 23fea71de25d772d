// Prints the text that three readers find in PDF files, as JSON: [{mupdf, pdfjs, pdfium}, …] in the order of
// the arguments. Usage: node extract.mjs NODE_MODULES FILE…
import { readFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { pathToFileURL } from 'node:url'

const [modules, ...files] = process.argv.slice(2)
const load = (path) => import(pathToFileURL(join(resolve(modules), path)))

const mupdf = await load('mupdf/dist/mupdf.js')
const pdfjs = await load('pdfjs-dist/legacy/build/pdf.mjs')
const { PDFiumLibrary } = await load('@hyzyla/pdfium/dist/index.esm.js')
const pdfium = await PDFiumLibrary.init()

function byMupdf(bytes) {
  const doc = mupdf.Document.openDocument(bytes, 'application/pdf')
  let text = ''
  for (let i = 0; i < doc.countPages(); i++) text += doc.loadPage(i).toStructuredText('preserve-whitespace').asText() + '\n'
  return text
}

async function byPdfjs(bytes) {
  const doc = await pdfjs.getDocument({ data: bytes, verbosity: 0 }).promise
  let text = ''
  for (let i = 1; i <= doc.numPages; i++) {
    const content = await (await doc.getPage(i)).getTextContent()
    let last
    for (const item of content.items) { // cells beside one another are items with a gap between them
      const [, , , size, x, y] = item.transform
      if (last && last.y === y && (x > last.right + size || last.x > x + item.width + size)) text += '\n'
      text += item.str + (item.hasEOL ? '\n' : '')
      if (item.str.trim()) last = { x, y, right: x + item.width }
    }
    text += '\n'
  }
  await doc.destroy()
  return text
}

async function byPdfium(bytes) {
  const doc = await pdfium.loadDocument(bytes)
  let text = ''
  for (const page of doc.pages()) text += page.getText() + '\n'
  doc.destroy()
  return text
}

const out = []
for (const file of files) {
  const bytes = readFileSync(file)
  out.push({
    mupdf: byMupdf(bytes), pdfjs: await byPdfjs(new Uint8Array(bytes)), pdfium: await byPdfium(new Uint8Array(bytes)),
  })
}
pdfium.destroy()
process.stdout.write(JSON.stringify(out), () => process.exit(0))
